"""One entry of the book: as a value, as a line of its file, and as a row of a CSV file that a spreadsheet may open.

A cell of text that starts with ``=``, ``+``, ``-``, ``@``, a tab or a return would be taken for a formula by a spreadsheet;
such a cell gets an apostrophe in front. Numbers are written as numbers. Lists and mappings (a recipe, the analyses) stand in
their cell as JSON text. The files start with a byte-order mark, which spreadsheets need to show letters beyond English.
"""

import csv
import json
import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import datetime
from io import StringIO
from math import isfinite
from pathlib import Path
from typing import Any

from glazekit.folder.kinds import KINDS, kind_of, unusable
from glazekit.ground.errors import BookError, FileError
from glazekit.ground.typed_table import guarded
from glazekit.ground.writer import make_folder, numbered, write_new

CALLED = {"seed": "draw"}
"""Fields that the tables of an export call by a plainer name: what a learner's numbers were drawn with."""


_SPLIT_OFF = re.compile(r"(?<=[;\t\r\n])(?=\s*[=+\-@＝＋－＠])")
"""Where a formula would begin if the file were split at semicolons or tabs."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A fact in the book: its id is the same on every computer, its time ISO 8601 in UTC; ``corrects`` is another's id or ""."""

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
        fields = json.loads(line.decode("utf-8"), parse_constant=_finite, parse_float=_finite)
        if b"\\u" in line:
            json.dumps(fields, ensure_ascii=False).encode("utf-8")  # half a character could not be written again
    except (ValueError, RecursionError):
        raise ValueError(
            "torn or damaged, skipped" + (" (the last line: the computer stopped while writing it)" if last else "")
        ) from None
    if not isinstance(fields, dict) or not isinstance(fields.get("data"), dict):
        raise ValueError("not an entry of a book, skipped")
    words = [fields.get(name) for name in ("id", "kind", "time")] + [fields.get("corrects", "")]
    if not all(isinstance(word, str) for word in words) or not all(words[:3]):
        raise ValueError("an entry without id, kind or time, skipped")
    entry = Entry(str(words[0]), str(words[1]), str(words[2]), fields["data"], str(words[3]))
    try:
        kind_of(entry.kind)
        if datetime.fromisoformat(entry.time).tzinfo is None or not 1970 <= entry.when.year < 9999:
            raise ValueError
    except BookError as error:
        raise ValueError(f"{error}; skipped") from None
    except (ValueError, OverflowError, OSError):  # no time, or one that this computer's clock cannot show
        raise ValueError(f"the time {words[2]!r} cannot be read, skipped") from None
    if why := unusable(entry.kind, entry.data, complete=not entry.corrects):
        raise ValueError(f"{why}, skipped")
    return entry


def _finite(text: str) -> float:
    """A number of the file; ValueError for one that is not finite."""
    if not isfinite(value := float(text)):
        raise ValueError
    return value


def safe_cell(value: Any) -> str | int | float:
    """A value as a cell that no spreadsheet takes for a formula.

    >>> safe_cell("=1+1"), safe_cell(-5.5), safe_cell({"kaolin": 13}), safe_cell(None), safe_cell("a;=1+1")
    ("'=1+1", -5.5, '{"kaolin": 13}', '', "a;'=1+1")
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return value
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return guarded(_SPLIT_OFF.sub("'", text))


def export_csv(entries: Iterable[Entry], problems: Iterable[Problem], folder: Path) -> Path:
    """Write one CSV per kind that has entries, and problems.csv if there are any, into a new dated folder; returns it. Raises
    FileError when the folder cannot be written. An earlier export is never touched."""
    entries = tuple(entries)
    target = _new_folder(folder, f"book-{datetime.now():%Y-%m-%d-%H%M%S}")
    for kind in KINDS:
        of_kind = [entry for entry in entries if entry.kind == kind]
        if of_kind:
            rows = [{"entry": entry.id, "written": f"{entry.when:%Y-%m-%d %H:%M:%S}", **entry.data} for entry in of_kind]
            _write(target / f"{kind}.csv", _columns(kind, of_kind), rows)
    rows = [asdict(problem) for problem in problems]
    if rows:
        _write(target / "problems.csv", list(rows[0]), rows)
    return target


def _new_folder(folder: Path, name: str) -> Path:
    try:
        make_folder(folder)
        for target in numbered(folder, name):
            with suppress(FileExistsError):
                target.mkdir(0o700)
                return target
    except OSError as error:
        raise FileError(f"the book could not be exported to {folder}: {error.strerror or error}") from error
    raise AssertionError("unreachable: the names never end")


def _columns(kind: str, entries: list[Entry]) -> list[str]:
    """id and time, the known fields in use in the order of their kind, then the others by name."""
    used = {name for entry in entries for name in entry.data}
    known = [name for name in KINDS[kind].fields if name in used]
    return ["entry", "written", *known, *sorted(used - set(known))]


def _write(path: Path, columns: list[str], rows: Iterable[Mapping[str, Any]]) -> None:
    text = StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([safe_cell(CALLED.get(name, name)) for name in columns])
    writer.writerows([safe_cell(row.get(name)) for name in columns] for row in rows)
    write_new(path, "\ufeff" + text.getvalue())
