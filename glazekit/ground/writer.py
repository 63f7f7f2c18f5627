"""The one way a file is written for a learner: whole or not at all, and on the disk before the call returns.

Every function makes the folder where it is missing and raises FileError, one sentence, when the file cannot be written; what
stood there before then stands there still, and nothing half done lies beside it.
"""

import os
import re
import secrets
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import TypeVar

from glazekit.ground.errors import FileError, quoted

PAUSES_S = (0.02, 0.1, 0.5)
"""On Windows another program, such as a virus scanner, may hold a file for a moment: so long it is waited for [s]."""
LOCKED_S = 2.0
"""Reading and writing a page takes thousandths of a second: whoever has held it for so long is gone [s]."""
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{i}" for port in ("com", "lpt") for i in range(1, 10))}
_Made = TypeVar("_Made")


def write_over(path: Path, content: str | bytes) -> None:
    """Write a file in one step: whoever looks finds the old one or the new one, never half of either."""
    with _told(path), _part(path, content) as part:
        _patiently(lambda: part.replace(path))
        _settle(path.parent)


def write_new(path: Path, content: str | bytes) -> bool:
    """Write a file that is not there yet; False, with nothing touched, when the name is taken."""
    with _told(path), _part(path, content) as part:
        try:
            _take_place(part, path)
        except FileExistsError:
            return False
        _settle(path.parent)
    return True


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, where they are missing, for this account alone."""
    for step in (*reversed(folder.parents), folder):
        if not step.exists():
            step.mkdir(0o700, exist_ok=True)


def append_line(path: Path, line: str) -> None:
    """Add a line to a file; behind a torn line it begins a new one."""
    with _told(path), _patiently(lambda: path.open("ab+", buffering=0)) as file:
        content = _encoded(f"{line}\n")
        if file.seek(0, os.SEEK_END):
            file.seek(-1, os.SEEK_END)
            content = content if file.read(1) == b"\n" else b"\n" + content
        if file.write(content) != len(content):
            raise OSError("the disk took only part of the line")
        os.fsync(file.fileno())


def save_new(folder: str | Path, name: str, suffix: str, content: str) -> Path:
    """Write a new file named after any text, with a number when that name is taken; returns its path."""
    return next(path for path in numbered(Path(folder), file_stem(name), suffix) if write_new(path, content))


def numbered(folder: Path, stem: str, suffix: str = "") -> Iterator[Path]:
    """Names for a file, one after the other, without end.

    >>> names = numbered(Path("prints"), "tile card", ".html")
    >>> next(names).name, next(names).name
    ('tile card.html', 'tile card 2.html')
    """
    yield folder / f"{stem}{suffix}"
    yield from (folder / f"{stem} {number}{suffix}" for number in count(2))


def file_stem(name: str) -> str:
    """A name that every computer accepts as a file name.

    >>> file_stem("Anchor Chain: 5/6 <try>"), file_stem("../.."), file_stem("con")
    ('Anchor Chain 5 6 try', 'sheet', 'con sheet')
    """
    kept = re.sub(r"[^\w\s()+,=-]", " ", name)
    stem = " ".join(kept.split())[:80].strip()
    if not stem:
        return "sheet"
    return f"{stem} sheet" if stem.casefold() in _RESERVED else stem


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Nobody else comes between reading a file and writing it over; a lock left by a power cut holds for a moment only."""
    lock, end = path.with_name(f".{path.name}.lock"), time.monotonic() + LOCKED_S
    with _told(path):
        while time.monotonic() < end:
            with suppress(FileExistsError):
                lock.mkdir()
                break
            time.sleep(0.005)
    try:
        yield
    finally:
        with suppress(OSError):
            lock.rmdir() if lock.is_dir() else lock.unlink()


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Make the folder; whatever goes wrong becomes one sentence."""
    try:
        make_folder(path.parent)
        yield
    except UnicodeEncodeError:
        raise FileError(f"{quoted(path.name, 60)} cannot be saved: the text holds half a character; type it again") from None
    except (OSError, ValueError) as error:  # a ValueError: a name no file can have
        why = getattr(error, "strerror", None) or error
        raise FileError(f"{quoted(path.name, 60)} cannot be saved in {quoted(path.parent, 200)}: {why}") from error


@contextmanager
def _part(path: Path, content: str | bytes) -> Iterator[Path]:
    """The whole content on the disk beside ``path``, under a name that is gone again at the end."""
    part = path.with_name(f".{secrets.token_hex(6)}.part")
    try:
        part.touch(0o600, exist_ok=False)
        with part.open("wb") as file:
            file.write(_encoded(content))
            file.flush()
            os.fsync(file.fileno())
        yield part
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _take_place(part: Path, path: Path) -> None:
    """Give the whole file its name in one step; FileExistsError when that is taken."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except (OSError, AttributeError):  # a disk without links: the name is taken first, then filled in one step
        path.open("xb").close()
        try:
            _patiently(lambda: part.replace(path))
        except BaseException:
            path.unlink(missing_ok=True)
            raise


def _encoded(content: str | bytes) -> bytes:
    return content.encode("utf-8") if isinstance(content, str) else content


def _patiently(act: Callable[[], _Made]) -> _Made:
    for pause_s in PAUSES_S:
        try:
            return act()
        except PermissionError:
            time.sleep(pause_s)
    return act()


def _settle(folder: Path) -> None:
    """Wait until the name of a new file is on the disk too, where the system knows how."""
    with suppress(OSError):
        place = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(place)
        finally:
            os.close(place)
