"""Saving a sheet to the learner's prints folder, without ever writing over one that is there."""

from __future__ import annotations

import re
from itertools import count
from pathlib import Path

from glazekit.ground.errors import FileError

_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{i}" for port in ("com", "lpt") for i in range(1, 10))}


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


def save_print(folder: str | Path, name: str, html: str) -> Path:
    """Write ``html`` to a new file in ``folder`` and return its path.

    Parameters
    ----------
    folder : made when it is not there.
    name : becomes the file name; a number is added when that name is taken.
    html : the document.

    Raises FileError when the folder cannot be made or written to.
    """
    return save_new(folder, name, ".html", html)


def save_new(folder: str | Path, name: str, suffix: str, content: str) -> Path:
    """Write ``content`` to a new file named after ``name`` with this suffix, such as ".csv"; never over an existing one.

    Raises FileError when the folder cannot be made or written to.
    """
    stem = file_stem(name)
    try:
        Path(folder).mkdir(parents=True, exist_ok=True)
        for number in count(1):
            path = Path(folder) / (f"{stem}{suffix}" if number == 1 else f"{stem} {number}{suffix}")
            try:
                with path.open("x", encoding="utf-8", newline="\n") as file:
                    file.write(content)
            except FileExistsError:
                continue
            return path
    except OSError as error:
        raise FileError(f"{stem}{suffix} cannot be saved in {folder}: {error.strerror or error}") from error
    raise AssertionError("unreachable: count never ends")
