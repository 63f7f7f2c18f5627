"""A learner's book: what was weighed, wetted, dipped, fired, seen, predicted and answered. Append only, never rewritten.

The book is a folder of JSON Lines files, one entry per line. Every running session writes a file of its own, so two open lessons
never touch each other's lines; each entry is flushed to the disk before ``add`` returns. Reading merges all files by id and time.
A mistake is put right by a new entry that corrects the old one; both stay. A line that cannot be read (a torn last line after a
power cut, say) is reported with its file and line, and skipped; the file is left as it is.
"""

import os
import secrets
import threading
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar

from glazekit.folder.entry import Entry, Problem, export_csv
from glazekit.folder.kinds import KINDS, POINTS_TO, checked, kind_of
from glazekit.folder.ledger import Ledger
from glazekit.ground.errors import BookError, FileError
from glazekit.ground.writer import append_line, write_new

_Found = TypeVar("_Found")


class Book:
    """The book in a folder; the folder appears with the first entry.

    >>> import tempfile
    >>> book = Book(tempfile.mkdtemp())
    >>> firing = book.add("firing", kiln="electric", cone_seen="6", atmosphere="oxidation")
    >>> fixed = book.correct(firing.id, cone_seen="5")
    >>> [entry.data["cone_seen"] for entry in book.entries("firing")]
    ['5']

    Raises BookError when an entry does not fit or cannot be written.
    """

    def __init__(self, folder: str | Path) -> None:
        self.folder = Path(folder).expanduser()
        self._lock = threading.Lock()
        self._session = ""
        self._written = 0
        self._pid = 0
        self._last_time = ""
        self._ledger = Ledger(self.folder)
        self._found: dict[Any, tuple[int, Any]] = {}

    def __repr__(self) -> str:
        return f"Book({str(self.folder)!r})"

    def add(self, kind: str, /, **data: Any) -> Entry:
        """Write one entry of this kind; the fields and their rules stand in ``kinds.KINDS``. Returns the entry."""
        return self._write(kind, self._checked(kind, data))

    def correct(self, entry_id: str, /, **data: Any) -> Entry:
        """Put an entry right with a new one that holds only what changes; None takes an optional field away.

        Returns the correction. What the entry says afterwards must still be complete. The last correction counts, also where one
        before it was written while the computer's clock ran ahead: its time is later than that of all it corrects.
        """
        now = self.entry(entry_id)
        after = self._checked(now.kind, {**now.data, **data})
        before = max(entry.time for entry in self._ledger.as_written if entry_id in (entry.id, entry.corrects))
        later = _as_time(datetime.fromisoformat(before).astimezone(UTC) + timedelta(microseconds=1))
        return self._write(now.kind, {name: after.get(name) for name in data}, corrects=entry_id, not_before=later)

    def _checked(self, kind: str, data: Mapping[str, Any]) -> dict[str, Any]:
        kept = checked(kind, {name: value.id if isinstance(value, Entry) else value for name, value in data.items()})
        self._ledger.look()
        for name, wanted in POINTS_TO.items():
            if name in kept and name in kind_of(kind).fields and kept[name] not in self._ledger.facts[wanted]:
                raise BookError(f"{kind}: {name} is {kept[name]!r}, but this book has no {wanted} of that id")
        return kept

    def _write(self, kind: str, data: Mapping[str, Any], corrects: str = "", not_before: str = "") -> Entry:
        with self._lock:
            if self._pid != os.getpid():  # a forked session writes a file of its own
                self._session, self._pid = "", os.getpid()
            # within a session time never runs backwards, even if the computer's clock does
            self._last_time = max(_as_time(datetime.now(UTC)), self._last_time)
            time = max(self._last_time, not_before)
            try:
                entry = self._put(kind, time, data, corrects)
            except FileError as error:
                self._session = ""  # a half-written line may stand there: the next entry starts a new file
                raise BookError(f"the {kind} was NOT recorded: {error}") from error
            self._written += 1
            return entry

    def _put(self, kind: str, time: str, data: Mapping[str, Any], corrects: str) -> Entry:
        """Add a line to the session's own file, or begin it: its name holds the time and a random part, never one that exists."""
        while not self._session:
            session = f"{datetime.now(UTC):%Y%m%d-%H%M%S}-{secrets.token_hex(3)}"
            entry = Entry(f"{session}-0001", kind, time, data, corrects)
            if write_new(self.folder / f"{session}.jsonl", f"{entry.line()}\n"):
                self._session, self._written = session, 0
                return entry
        entry = Entry(f"{self._session}-{self._written + 1:04d}", kind, time, data, corrects)
        append_line(self.folder / f"{self._session}.jsonl", entry.line())
        return entry

    def entries(self, kind: str | None = None) -> tuple[Entry, ...]:
        """Every entry, or those of one kind, oldest first, with its corrections applied."""
        if kind is not None:
            kind_of(kind)
        self._ledger.look()
        found = [entry for name in (KINDS if kind is None else [kind]) for entry in self._ledger.facts[name].values()]
        return tuple(found if kind else sorted(found, key=lambda entry: (entry.time, entry.id)))

    def once(self, find: Callable[["Book"], _Found]) -> _Found:
        """What ``find`` makes of this book, made anew only when the book has more to say."""
        self._ledger.look()
        if self._found.get(find, (-1, None))[0] != self._ledger.version:
            self._found[find] = (self._ledger.version, find(self))
        found: _Found = self._found[find][1]
        return found

    def entry(self, entry_id: str) -> Entry:
        """One entry as it stands now; BookError when there is none of this id."""
        self._ledger.look()
        found = next((facts[entry_id] for facts in self._ledger.facts.values() if entry_id in facts), None)
        if found is None:
            raise BookError(f"this book has no entry with the id {entry_id!r}")
        return found

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Lines and files that could not be used; empty when all is well."""
        self._ledger.look()
        return self._ledger.problems

    def export_csv(self, folder: str | Path) -> Path:
        """Write the book as CSV files, one per kind, into a new dated folder inside ``folder``; returns that folder."""
        return export_csv(self.entries(), self.problems, Path(folder).expanduser())


def _as_time(moment: datetime) -> str:
    return moment.isoformat(timespec="microseconds")
