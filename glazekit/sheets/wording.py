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


class Say:
    """The words of one sheet.

    Parameters
    ----------
    table : dotted key of the table they stand in.

    >>> say = Say("labels")
    >>> say("title", recipe="Half Clear"), say.all("atmospheres"), say.any("no such key")
    ('Labels for Half Clear', ('ox', 'red'), '')
    """

    def __init__(self, table: str) -> None:
        self.table = table

    def __call__(self, key: str, /, **values: object) -> str:
        """One text, its braces filled in."""
        return str(words(f"{self.table}.{key}")).format(**values)

    def all(self, key: str, /, **values: object) -> tuple[str, ...]:
        """A list of texts, their braces filled in."""
        return tuple(str(text).format(**values) for text in words(f"{self.table}.{key}"))

    def any(self, key: str, /) -> str:
        """One text, or "" where there is none of this key."""
        return str(words(self.table).get(key, ""))
