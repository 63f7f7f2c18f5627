"""What data/ says of the models: their properties, the measured rules of the intervals, and single numbers."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from glazekit.ground.errors import DataError, looked_up
from glazekit.ground.tables import Row, read_table


@dataclass(frozen=True, slots=True)
class Property:
    """A row of data/properties.csv; its fields are the columns in their order, and the sidecar says what each means.

    ``quantity``, ``unit`` and ``basis`` are as in ``Estimate``; ``scope`` are the temperatures for which its figures hold.
    ``model`` is "sum" where every oxide adds its share, "melt" for the viscosity; its fitted numbers stand in ``factor_table``,
    and ``offset`` is added to their sum [unit]. Its intervals follow the measured rules of ``interval``; on ``width`` their
    widths depend, ``floor`` is the least half width. ``decimals``, ``measured_as``, ``fit_unit`` and ``borrows``: how it is
    fitted, and how its errors are told. ``on_sheet`` is "yes" when it stands on a batch sheet. ``more`` and ``less``: what a
    glaze does that has more or less of it than another, to be followed by "than".
    """

    name: str
    quantity: str
    scope: str
    unit: str
    basis: str
    model: str
    factor_table: str
    offset: float
    interval: str
    width: str
    floor: float
    decimals: int
    measured_as: str
    fit_unit: str
    borrows: str
    on_sheet: str
    more: str
    less: str

    @property
    def heading(self) -> str:
        """What it is, and the temperatures for which its figures hold."""
        return f"{self.quantity}, {self.scope}" if self.scope else self.quantity

    @property
    def trust(self) -> tuple[str, str]:
        """Where its numbers come from, and how far they can be trusted: source and status of its table."""
        row = read_table(self.factor_table)[0]
        return row["source"], row["status"]


@cache
def properties() -> tuple[Property, ...]:
    """All properties, in the order in which they are shown.

    >>> [each.quantity for each in properties()][:2]
    ['thermal expansion', 'glass transition']
    """
    return tuple(Property(*row.values()) for row in read_table("properties"))


@cache
def property_named(name: str) -> Property:
    """A property by its name; raises DataError, with the nearest name, for one that no model estimates."""
    return looked_up({each.name: each for each in properties()}, name, DataError, "property")


@cache
def interval_rule(name: str, kind: str) -> Mapping[str, float]:
    """Parameter -> value of the 90 % interval in property_intervals.csv, ``kind`` "absolute" or "change"."""
    rows = read_table("property_intervals")
    found = {row["parameter"]: row["value"] for row in rows if (row["property"], row["kind"]) == (name, kind)}
    if not found:
        raise DataError(f"property_intervals.csv has no {kind} interval for {name}")
    return MappingProxyType(found)


@cache
def most_sure(name: str) -> float:
    """The largest chance that the intervals of a property support [0 to 1]. Of an average publication among the studio-like
    glasses a share c lies inside its interval. Half of the rest may lie on the wrong side: 1 - (1 - c) / 2, and with n
    publications never more than (n - 1) / n. What lies farther out was not measured."""
    key = (name, "studio-like", "all")
    row = next(row for row in read_table("property_accuracy") if (row["property"], row["subset"], row["kept"]) == key)
    held, publications = row["coverage_publications_pct"] / 100, row["publications"]
    return min(1 - (1 - float(held)) / 2, 1 - 1 / float(publications))


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
