"""The fitted tables as the models use them: one factor for each oxide, and the measured widths of the intervals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from operator import mul
from types import MappingProxyType

from glazekit.glass.composition import MODEL_OXIDES, Composition
from glazekit.ground.errors import DataError
from glazekit.ground.tables import read_table

_LIME = MODEL_OXIDES.index("CaO")


@dataclass(frozen=True, slots=True)
class Factors:
    """A property to which every oxide adds its share: p = sum of factor(oxide) x share(oxide).

    Parameters
    ----------
    factors : one for each of ``MODEL_OXIDES`` in their order [unit of the property per mole fraction].
    source, status : where the factors come from.
    """

    factors: tuple[float, ...]
    source: str
    status: str

    def of(self, glass: Composition) -> float:
        """The property of a composition."""
        return sum(map(mul, self.factors, glass.fractions), 0.0)


@cache
def factors(table: str, column: str) -> Factors:
    """The factors in a table with a column ``oxide``; an oxide without a row adds nothing."""
    rows = read_table(table)
    by_oxide = {row["oxide"]: row[column] for row in rows}
    strange = set(by_oxide) - set(MODEL_OXIDES)
    if strange:
        raise DataError(f"{table}.csv has a factor for {', '.join(sorted(strange))}, which no composition holds")
    return Factors(tuple(by_oxide.get(oxide, 0.0) for oxide in MODEL_OXIDES), rows[0]["source"], rows[0]["status"])


@cache
def interval_numbers(quantity: str, kind: str) -> Mapping[str, float]:
    """Parameter -> value of the 90 % interval of a property, ``kind`` "absolute" or "change"."""
    found = {
        row["parameter"]: row["value"]
        for row in read_table("property_intervals")
        if row["property"] == quantity and row["kind"] == kind
    }
    if not found:
        raise DataError(f"property_intervals.csv has no {kind} interval for {quantity}")
    return MappingProxyType(found)


def absolute_half_width(quantity: str, glass: Composition) -> float:
    """Half of the 90 % interval of a property: max(floor, constant + per_alkali x alkali + per_lime x lime), shares by moles."""
    floor, constant_part, per_alkali, per_lime = _absolute(quantity)
    return max(floor, constant_part + per_alkali * glass.alkali + per_lime * glass.fractions[_LIME])


@cache
def _absolute(quantity: str) -> tuple[float, float, float, float]:
    numbers = interval_numbers(quantity, "absolute")
    return (
        numbers.get("floor", 0.0),
        numbers["constant"],
        numbers.get("per_alkali", 0.0),
        numbers.get("per_lime", 0.0),
    )
