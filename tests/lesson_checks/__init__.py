"""Checks of one lesson, whichever it is: each takes a lesson of the course and returns the faults it finds, in words.

The tests run them over every lesson that is there, and over a lesson that is laid beside them with one fault at a time
(``laid.py``, ``new_lesson/``).
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from glazekit.words.course import Lesson

Check = Callable[[Lesson], list[str]]
OF_EXERCISES_AND_WORDS = ("rows", "written", "exercises", "sums", "words")


def checks(*parts: str) -> dict[str, Check]:
    """The checks of these files by their names; of all, when none is named."""
    files = [import_module(f"{__name__}.{part}") for part in parts or (*OF_EXERCISES_AND_WORDS, "page")]
    return {check.__name__: check for file in files for check in file.CHECKS}
