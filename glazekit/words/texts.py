"""Reads the words: one TOML a lesson, one for the parts that panels share, one for the sheets, one for the browser edition."""

import tomllib
from copy import deepcopy
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from glazekit.ground.errors import DataError, unknown_name


class Words:
    """The texts of one table of a TOML file. ``words("title")`` is the text; ``words("left", mass_g=3)`` fills the braces. A
    missing text is a DataError."""

    def __init__(self, texts: dict[str, Any], where: str) -> None:
        self.texts, self.where = texts, where

    def __call__(self, key: str, /, **values: Any) -> str:
        """The text under ``key`` with its braces filled."""
        if key not in self.texts:
            raise unknown_name(DataError, "text", key, self.texts, where=f"{self.where} has ")
        text: str = self.texts[key]
        return text.format(**values) if values else text


def text_folder() -> Path:
    """Folder of the texts."""
    return Path(str(files(__package__)))


@cache
def load(name: str) -> dict[str, Any]:
    """The TOML file of this name, read once; not to be changed.

    >>> load("lesson_01")["title"]
    'Your first batch'
    """
    path = text_folder() / f"{name}.toml"
    if not path.is_file():
        known = ", ".join(sorted(path.stem for path in text_folder().glob("*.toml")))
        raise DataError(f"there is no text '{name}'; there is {known}")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def lesson_key(lesson: str | int) -> str:
    """The two-digit name of a lesson.

    >>> lesson_key(1), lesson_key("02")
    ('01', '02')
    """
    text = str(lesson).strip()
    return text.zfill(2) if text.isdigit() else text


def lesson_text(lesson: str | int) -> dict[str, Any]:
    """All text of a lesson; panel texts under ``["panel"][name]``. A fresh copy at each call. Raises DataError when there is no
    such lesson."""
    return deepcopy(load(f"lesson_{lesson_key(lesson)}"))


def phrase(name: str) -> str:
    """A general sentence of the marker, with placeholders, from the start page's text."""
    return str(load("lesson_00")["marking"][name])


def panel_words(lesson: str, panel_name: str) -> Words:
    """The texts of a panel from the TOML of its home lesson."""
    key = panel_name.replace(" ", "_")
    return Words(lesson_text(lesson).get("panel", {}).get(key, {}), f"[panel.{key}] of lesson {lesson}")


def part_words(name: str) -> Words:
    """The texts of a part that several panels share.

    >>> part_words("frame")("caution")
    'Take care'
    """
    return Words(load("parts").get(name, {}), f"[{name}] of the parts")
