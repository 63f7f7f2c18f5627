"""Every word on a printed sheet stands in teaching/text/sheets.toml; this room reads it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from glazekit.ground.errors import DataError, nearest_name


@cache
def _all_words() -> dict[str, Any]:
    import tomllib

    path = files("glazekit.teaching").joinpath("text", "sheets.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def words(section: str) -> Mapping[str, Any]:
    """The texts of one section of sheets.toml, such as "batch" or "studio.01".

    >>> words("page")["lang"]
    'en'

    Raises DataError, with the nearest name, for a section that is not there.
    """
    found: Any = _all_words()
    for step in section.split("."):
        if step not in found:
            hint = nearest_name(step, found)
            raise DataError(f"no sheet text called '{section}'" + (f"; did you mean '{hint}'?" if hint else ""))
        found = found[step]
    return MappingProxyType(found)
