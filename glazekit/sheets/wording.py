"""Every word on a printed sheet stands in words/sheets.toml; this room reads it."""

from __future__ import annotations

from typing import Any

from glazekit.ground.errors import DataError, unknown_name
from glazekit.words.texts import load


def words(key: str) -> Any:
    """Whatever stands under a dotted key: a text, a list, a table.

    Raises DataError, with the nearest name, for a key that is not there.
    """
    found: Any = load("sheets")
    for step in key.split("."):
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
