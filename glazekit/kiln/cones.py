"""Cones and temperatures: never a temperature without the heating rate it belongs to and the trust it deserves."""

from dataclasses import dataclass
from functools import cache

from glazekit.ground.cone import Cone
from glazekit.ground.errors import DataError, unknown_name
from glazekit.ground.numbers import plain_text
from glazekit.ground.tables import read_table

TODAY = "US self-supporting cones, today"
"""The series with heating rates; its rates are those of the last 100 degrees, without a hold."""


@dataclass(frozen=True, slots=True)
class ConeTemperature:
    """At which temperature one cone bends when it is heated at one rate. Numbers of different ``series`` (which cones, and when)
    are not comparable; the heating rate over the last part of the firing [C/h] is None when the source reports none."""

    series: str
    cone: str
    rate_c_per_h: float | None
    temp_c: float
    note: str
    source: str
    status: str

    def text(self) -> str:
        """Cone, temperature, rate and what they are good for in one line; the only way a cone temperature is shown.

        >>> print(cone_temperatures("6")[0].text())
        cone 6: 1185 °C, heated at 15 °C/h (US self-supporting cones, today; check the chart of your own cones)
        >>> print(cone_temperatures("6", "Seger cones, estimates of 1896")[0].text())
        cone 6: 1250 °C, heating rate not reported (Seger cones, estimates of 1896; not today's cone temperatures)
        """
        rate = "heating rate not reported" if self.rate_c_per_h is None else f"heated at {plain_text(self.rate_c_per_h)} °C/h"
        trust = "not today's cone temperatures" if self.series.startswith("Seger") else "check the chart of your own cones"
        return f"cone {self.cone}: {plain_text(self.temp_c)} °C, {rate} ({self.series}; {trust})"


@cache
def _all() -> tuple[ConeTemperature, ...]:
    return tuple(ConeTemperature(**row) for row in read_table("cone_temperatures"))


def cone_series() -> tuple[str, ...]:
    """The series of cones on record."""
    return tuple(dict.fromkeys(row.series for row in _all()))


def cone_temperatures(cone: Cone | str | None = None, series: str = TODAY) -> tuple[ConeTemperature, ...]:
    """What is on record about a cone, one row for each heating rate.

    Parameters: cone, such as "6", "06" or "5-6", None for the whole series; series, one of ``cone_series()``.

    Returns rows in the order of the table; empty when the series does not have the cone.
    Raises NumberError for a text that is no cone, DataError for an unknown series.

    >>> [(row.rate_c_per_h, row.temp_c, row.status) for row in cone_temperatures("6")]
    [(15.0, 1185.0, 'seen'), (60.0, 1222.0, 'seen'), (150.0, 1243.0, 'seen')]

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
