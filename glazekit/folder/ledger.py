"""What the files of a book hold: read once, and from then on only what was appended.

Entries stand by time, each id once, with their corrections applied. A file that became shorter, has something else where it
ended, or whose last line was torn when it was read, is read anew, and everything with it.
"""

from codecs import BOM_UTF8
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from glazekit.folder.entry import Entry, Problem, entry_of_line
from glazekit.folder.kinds import KINDS, unusable

NOT_READ = "is no file of this book and is not read; its files end in .jsonl"
END_BYTES = 100
"""So much of what was read is looked at again: a file that was changed before its end has something else there."""


def _moment(entry: Entry) -> tuple[str, str]:
    return entry.time, entry.id


class Ledger:
    """The entries of all files of a folder; ``look`` brings them up to date, ``version`` grows when it finds something."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.version = 0
        self._strange: list[Problem] = []
        self._forget()

    def _forget(self) -> None:
        self.as_written: list[Entry] = []
        self.facts: dict[str, dict[str, Entry]] = {kind: {} for kind in KINDS}
        self._seen: dict[str, tuple[int, int]] = {}
        self._read_to: dict[str, tuple[int, int, bytes]] = {}  # bytes and lines read, and what stood at their end
        self._torn: set[str] = set()
        self._known: dict[str, Entry] = {}
        self._places: dict[str, tuple[str, int]] = {}
        self._unreadable: list[Problem] = []
        self._not_applied: dict[str, Problem] = {}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Lines and files that could not be used."""
        return (*self._strange, *self._unreadable, *self._not_applied.values())

    def look(self) -> None:
        """Read what is new."""
        files: list[Path] = []
        self._strange = []
        try:
            with suppress(FileNotFoundError):  # nothing was written yet
                there = sorted(path for path in self.folder.iterdir() if not path.name.startswith("."))
                files = [path for path in there if path.suffix == ".jsonl" and path.is_file()]
                self._strange = [Problem(path.name, 0, NOT_READ) for path in there if path not in files]
            stats = {path.name: path.stat() for path in files}
        except OSError as error:
            self._forget()
            self.version += 1
            self._strange = [Problem(self.folder.name, 0, f"cannot be read ({error.strerror})")]
            return
        seen = {name: (stat.st_size, stat.st_mtime_ns) for name, stat in stats.items()}
        if seen == self._seen:
            return
        if any(
            now != then and not self._only_grew(name, then, now) for name, then in self._seen.items() for now in [seen.get(name)]
        ):
            self._forget()
        fresh = [entry for path in files if seen[path.name] != self._seen.get(path.name) for entry in self._fresh(path)]
        self._take(sorted(fresh, key=_moment))
        self._seen = seen
        self.version += 1

    def _only_grew(self, name: str, then: tuple[int, int], now: tuple[int, int] | None) -> bool:
        if now is None or now[0] <= then[0] or name in self._torn or name not in self._read_to:
            return False
        to, _, end = self._read_to[name]
        with suppress(OSError), (self.folder / name).open("rb") as file:
            file.seek(to - len(end))
            return file.read(len(end)) == end
        return False

    def _fresh(self, path: Path) -> Iterator[Entry]:
        """The entries behind what was read of a file, those left out that cannot be used or are there already."""
        start, number, _ = self._read_to.get(path.name, (0, 0, b""))
        try:
            with path.open("rb") as file:
                file.seek(start)
                content = file.read()
        except OSError as error:
            self._unreadable.append(Problem(path.name, 0, f"cannot be read ({error.strerror}); its entries are missing"))
            return
        lines = content.removeprefix(b"" if start else BOM_UTF8).split(b"\n")
        self._read_to[path.name] = (start + len(content), number + len(lines) - 1, content[-END_BYTES:])
        if lines[-1]:
            self._torn.add(path.name)
        for place, line in enumerate(lines, number + 1):
            if not line.strip():
                continue
            try:
                entry = entry_of_line(line, last=place == number + len(lines))
            except ValueError as error:
                self._unreadable.append(Problem(path.name, place, str(error)))
                continue
            if entry.id not in self._known:
                self._known[entry.id], self._places[entry.id] = entry, (path.name, place)
                yield entry
            elif entry != self._known[entry.id]:
                first = "{}, line {}".format(*self._places[entry.id])
                said = f"the id {entry.id} already stands in {first} with other words; that one counts"
                self._unreadable.append(Problem(path.name, place, said))

    def _take(self, fresh: list[Entry]) -> None:
        """Put new entries in their place; from the beginning where one is older than what stands there, or was waited for."""
        late = self.as_written and fresh and _moment(fresh[0]) < _moment(self.as_written[-1])
        self.as_written += fresh
        if late or self._not_applied:
            fresh = self.as_written = sorted(self.as_written, key=_moment)
            self.facts, self._not_applied = {kind: {} for kind in KINDS}, {}
        for entry in fresh:
            if not entry.corrects:
                self.facts[entry.kind][entry.id] = entry
        for entry in fresh:
            if entry.corrects:
                self._correct(entry)

    def _correct(self, entry: Entry) -> None:
        fact = self.facts[entry.kind].get(entry.corrects)
        if fact is None:
            why = f"corrects {entry.corrects!r}, but this book has no such {entry.kind}"
        else:
            kept = {name: value for name, value in {**fact.data, **entry.data}.items() if value is not None}
            why = unusable(fact.kind, kept)
            if not why:
                self.facts[fact.kind][fact.id] = replace(fact, data=kept)
        if why:
            self._not_applied[entry.id] = Problem(*self._places[entry.id], f"{why}; not applied")
