"""The single numbers of the glass models: guards, limits and constants, from data/glass_constants.csv."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from glazekit.ground.tables import Row, read_table


@cache
def constant(name: str) -> float:
    """A number of data/glass_constants.csv by its name."""
    return float(_constants()[name]["value"])


def constant_half_width(name: str) -> float:
    """Half of the 90 % interval of such a number, 0 when it is a choice."""
    return float(_constants()[name]["half_width"] or 0.0)


def constant_status(name: str) -> str:
    """How far such a number can be trusted, one of ``STATUSES``."""
    return str(_constants()[name]["status"])


@cache
def _constants() -> Mapping[str, Row]:
    return MappingProxyType({row["constant"]: row for row in read_table("glass_constants")})
