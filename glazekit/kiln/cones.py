"""Cones and temperatures: never a temperature without the heating rate it belongs to and the trust it deserves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from glazekit.ground.cone import Cone
from glazekit.ground.errors import DataError, unknown_name
from glazekit.ground.numbers import plain_text
from glazekit.ground.tables import read_table

LARGE_CONES = "large cones, 1926"
"""The series with two heating rates; recalled from memory, so the chart that came with your cones decides."""

_TRUST = {"seen": "read in the source", "memory": "from memory, check the chart of your own cones"}


@dataclass(frozen=True, slots=True)
class ConeTemperature:
    """At which temperature one cone bends when it is heated at one rate.

    Numbers of different ``series`` (which cones, and when) are not comparable; the heating rate over the last part of the firing
    [C/h] is None when the source reports none.
    """

    series: str
    cone: str
    rate_c_per_h: float | None
    temp_c: float
    note: str
    source: str
    status: str

    def text(self) -> str:
        """Cone, temperature, rate and trust in one line; the only way a cone temperature is shown.

        >>> print(cone_temperatures("6")[0].text())
        cone 6: 1230 °C, heated at 150 °C/h (large cones, 1926; from memory, check the chart of your own cones)
        >>> print(cone_temperatures("6", "Seger cones, estimates of 1896")[0].text())  # doctest: +ELLIPSIS
        cone 6: 1250 °C, heating rate not reported (Seger cones, estimates of 1896; ... not today's cone temperatures)
        """
        rate = "heating rate not reported" if self.rate_c_per_h is None else f"heated at {plain_text(self.rate_c_per_h)} °C/h"
        trust = _TRUST.get(self.status, self.status)
        if self.series.startswith("Seger"):  # numbers of the 19th century
            trust += "; not today's cone temperatures"
        return f"cone {self.cone}: {plain_text(self.temp_c)} °C, {rate} ({self.series}; {trust})"


@cache
def _all() -> tuple[ConeTemperature, ...]:
    return tuple(ConeTemperature(**row) for row in read_table("cone_temperatures"))


def cone_series() -> tuple[str, ...]:
    """The series of cones on record."""
    return tuple(dict.fromkeys(row.series for row in _all()))


def cone_temperatures(cone: Cone | str | None = None, series: str = LARGE_CONES) -> tuple[ConeTemperature, ...]:
    """What is on record about a cone, one row for each heating rate.

    Parameters: cone, such as "6", "06" or "5-6", None for the whole series; series, one of ``cone_series()``.

    Returns rows in the order of the table; empty when the series does not have the cone.
    Raises NumberError for a text that is no cone, DataError for an unknown series.

    >>> [(row.rate_c_per_h, row.temp_c, row.status) for row in cone_temperatures("6")]
    [(150.0, 1230.0, 'memory'), (20.0, 1190.0, 'memory')]

    Limits: a cone measures heat work. On the same day in the same kiln two shelves can differ by a cone, so a cone on each
    shelf says more than this table. No rate beyond those of the table is guessed at.
    Source: each row names its own.
    """
    if series not in cone_series():
        raise unknown_name(DataError, "series of cones", series, cone_series())
    rows = tuple(row for row in _all() if row.series == series)
    if cone is None:
        return rows
    wanted = cone if isinstance(cone, Cone) else Cone.parse(cone)
    low, high = Cone(wanted.low, wanted.low), Cone(wanted.high, wanted.high)
    return tuple(row for row in rows if not (Cone.parse(row.cone) < low or high < Cone.parse(row.cone)))
