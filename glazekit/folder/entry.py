"""One entry of the book, as a value and as a line of its file."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from glazekit.folder.kinds import kind_of
from glazekit.ground.errors import BookError


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact in the book.

    Parameters
    ----------
    id : name of the entry, the same on every computer.
    kind : batch, water, tile, firing, result, prediction or exercise.
    time : when it was written, ISO 8601 in UTC.
    data : what it says.
    corrects : id of the entry it puts right; empty for a first writing.
    """

    id: str
    kind: str
    time: str
    data: Mapping[str, Any]
    corrects: str = ""

    @property
    def when(self) -> datetime:
        """When it was written, on this computer's clock."""
        return datetime.fromisoformat(self.time).astimezone()

    def line(self) -> str:
        """The entry as its line in the file."""
        fields = {"id": self.id, "kind": self.kind, "time": self.time, "data": self.data}
        if self.corrects:
            fields["corrects"] = self.corrects
        return json.dumps(fields, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in the book's files that could not be used: where it stands and what is wrong, in words."""

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        return f"{self.file}, line {self.line}: {self.message}" if self.line else f"{self.file}: {self.message}"


def entry_of_line(line: bytes, last: bool) -> Entry:
    """Read one line back; ValueError in plain words when it is no entry. ``last``: is it the last of its file."""
    try:
        fields = json.loads(line.decode("utf-8"))
    except (ValueError, RecursionError):
        raise ValueError(
            "torn or damaged, skipped" + (" (the last line: the computer stopped while writing it)" if last else "")
        ) from None
    if not isinstance(fields, dict) or not isinstance(fields.get("data"), dict):
        raise ValueError("not an entry of a book, skipped")
    words = [fields.get(name) for name in ("id", "kind", "time")] + [fields.get("corrects", "")]
    if not all(isinstance(word, str) for word in words) or not all(words[:3]):
        raise ValueError("an entry without id, kind or time, skipped")
    try:
        kind_of(str(words[1]))
        if datetime.fromisoformat(str(words[2])).tzinfo is None:
            raise ValueError
    except BookError as error:
        raise ValueError(f"{error}; skipped") from None
    except ValueError:
        raise ValueError(f"the time {words[2]!r} cannot be read, skipped") from None
    return Entry(str(words[0]), str(words[1]), str(words[2]), fields["data"], str(words[3]))
