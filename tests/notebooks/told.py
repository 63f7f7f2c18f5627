"""What a lesson or a question tells: its blocks by name, its sentences by a cue, and the numbers that are printed in them."""

from __future__ import annotations

import re

from lesson_pages import cells, plain


def block(name: str, cell: str) -> str:
    """The words of a text block of a lesson, on one line, by the name of its cell."""
    (found,) = [one["source"] for one in cells(name) if one["id"] == cell and one["cell_type"] == "markdown"]
    return " ".join(plain(found).split())


def sentence(text: str, cue: str) -> str:
    """The one sentence that holds the cue; several or none is an error.

    >>> sentence("It melts at 3.5 of it. The clay, at 7!", "clay")
    'The clay, at 7!'
    """
    found = [one for one in re.split(r"(?<=[.!?])\s+", " ".join(text.split())) if cue in one]
    assert len(found) == 1, f"{cue!r} stands in {len(found)} sentences"
    return found[0]


def numbers(text: str) -> list[str]:
    """Every number of a text as it is printed, in order; a typographic minus is written as a plain one.

    >>> numbers("from -2.0 to −1.7, 26 g of C1: SiO₂ at 10⁻⁶")
    ['-2.0', '-1.7', '26', '10']
    """
    return [found.replace("−", "-") for found in re.findall(r"(?<![\w.])[-−]?\d+(?:\.\d+)?", text)]
