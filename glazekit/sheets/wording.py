"""Every word on a printed sheet stands in words/sheets.toml, that of one lesson in its own file; this room reads them."""

from __future__ import annotations

from typing import Any

from glazekit.ground.errors import DataError, unknown_name
from glazekit.words.texts import load


def words(key: str) -> Any:
    """Whatever stands under a dotted key, a text, a list, a table; ``lesson_03.home`` leads into the words of lesson 3.

    Raises DataError, with the nearest name, for a key that is not there.
    """
    file, _, rest = key.partition(".")
    found: Any = load(file) if file.startswith("lesson_") else load("sheets")
    for step in (rest if file.startswith("lesson_") else key).split("."):
        if step not in found:
            raise unknown_name(DataError, "sheet text", step, found, where=f"{key}: ")
        found = found[step]
    return found


def say(key: str, **values: object) -> str:
    """One text, its braces filled in.

    >>> say("batch.cone", cone="06")
    'cone 06'
    """
    return str(words(key)).format(**values)


def listed(key: str, **values: object) -> tuple[str, ...]:
    """A list of texts, their braces filled in.

    >>> listed("labels.atmospheres")
    ('ox', 'red')
    """
    return tuple(str(text).format(**values) for text in words(key))
