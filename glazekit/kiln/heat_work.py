"""Heat work, a sketch: heat and time added up the way a cone seems to add them. It never commands a kiln.

What a cone feels in a moment grows with exp(-activation / T); added over the firing it is the heat work. How steeply it grows is
fitted to the temperatures at which one and the same cone bends at two heating rates. Neighbouring cones disagree about it by half
as much again, because the table is rounded to 5 degrees (and recalled from memory); that disagreement is the range.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import exp, factorial, log
from statistics import median

from glazekit.ground.cone import Cone
from glazekit.ground.errors import DataError
from glazekit.ground.numbers import within
from glazekit.kiln.cones import LARGE_CONES, cone_temperatures
from glazekit.kiln.schedule import Curve, Schedule, ScheduleError

KELVIN = 273.15
NEIGHBOURS = 3
"""Cones on either side whose activation is looked at too (a choice of this package)."""
CONES = tuple(str(number) for number in range(1, 12))
"""The cones the sketch speaks about: below cone 1 the table's two rates disagree too much to fit anything."""
FLAT_K = 0.01
"""A leg that changes by less than this is reckoned as a hold [K]."""
_SERIES = tuple((power, factorial(power) if power % 2 else -factorial(power)) for power in range(1, 10))

WARNING = "A sketch from remembered cone tables: it compares two firings. It never tells when to switch off; the cone does."


@dataclass(frozen=True, slots=True)
class HeatWork:
    """Heat work of a firing, as minutes at its own peak.

    So long at the peak alone would do the same [min], with the range in which the cones beside ``cone``, whose steepness is used,
    put it. ``source``, ``status`` are those of the rows it is fitted to.
    """

    cone: str
    peak_c: float
    minutes_at_peak: float
    low_minutes: float
    high_minutes: float
    source: str
    status: str

    def text(self) -> str:
        """One sentence, with the range and the warning."""
        return (
            f"Sketch: as much heat work as {self.minutes_at_peak:.0f} minutes at {self.peak_c:g} °C "
            f"(between {self.low_minutes:.0f} and {self.high_minutes:.0f}; fitted to a cone table, status {self.status}). "
            f"{WARNING}"
        )


@dataclass(frozen=True, slots=True)
class ConeBand:
    """Which cones a firing may bring down.

    ``down`` is the highest cone that is down however the table is read, ``perhaps`` the highest that may be; None when even cone
    1 is not. ``beyond``: the firing is hotter than the highest cone of the sketch.
    """

    down: str | None
    perhaps: str | None
    beyond: bool
    source: str
    status: str

    def text(self) -> str:
        """One sentence, with the warning."""
        if self.beyond:
            band = f"past cone {CONES[-1]}, where this sketch ends"
        elif self.perhaps is None:
            band = f"below cone {CONES[0]}, where this sketch begins"
        elif self.down is None:
            band = f"not surely cone {CONES[0]}, perhaps cone {self.perhaps}"
        else:
            band = f"about cone {self.down}" if self.down == self.perhaps else f"cone {self.down} to cone {self.perhaps}"
        return f"Sketch: {band} (fitted to a cone table, status {self.status}). {WARNING}"


def activation_k(cone: str) -> float:
    """How steeply the heat work of one cone grows with heat: the activation over the gas constant [K].

    From its two rows, T at rate r and T' at r': activation (1/T - 1/T') = ln(r'/r) + 2 ln(T/T'), with T in kelvin. This is what
    the integral of exp(-activation/T) over a steady ramp gives, when both ramps are to do the same heat work.

    >>> round(activation_k("6"), -3)
    108000.0

    Raises DataError for a cone outside the sketch.
    Limits: a number that describes a table rounded to 5 degrees and recalled from memory, not a property of any substance.
    """
    (hot_k, fast), (cool_k, slow) = _rows(cone)
    return (log(fast / slow) + 2 * log(cool_k / hot_k)) / (1 / cool_k - 1 / hot_k)


def heat_work(firing: Schedule | Curve, cone: Cone | str = "6") -> HeatWork:
    """Heat work of a firing, as minutes at its peak: a sketch that never commands a kiln.

    minutes = integral of exp(-activation / T) dt over the firing, divided by exp(-activation / peak).

    Parameters: firing, a schedule or the corners of a curve, (hours [h], temperature [C]); cone, that the firing is for, 1 to 11.

    >>> from glazekit.kiln.schedule import Hold, Ramp
    >>> work = heat_work(Schedule([Ramp(1120, 150), Ramp(1222, 60), Hold(10)]), cone="6")
    >>> round(work.minutes_at_peak), round(work.low_minutes), round(work.high_minutes), work.status
    (26, 23, 30, 'memory')

    Raises DataError for a cone outside 1 to 11, ScheduleError or RangeError for a curve that is none.
    Limits: for comparing two firings of one kiln. Where the ware stands, the load and the atmosphere count as much.
    """
    curve = checked_curve(firing)
    peak_c = max(temp_c for _, temp_c in curve)
    middle = _single(cone)
    steepness = _steepness(middle)
    low, value, high = sorted(60 * _hours_at(peak_c, curve, one) for one in steepness)
    row = cone_temperatures(middle)[0]
    return HeatWork(middle, peak_c, value, low, high, row.source, row.status)


def cone_band(firing: Schedule | Curve) -> ConeBand:
    """Which cones a firing may bring down: a sketch that never commands a kiln.

    A cone counts as down when the firing does more heat work than a steady ramp to its temperature does, at both rates of the
    table and at every steepness its neighbours allow; as perhaps down when at one of them.

    >>> from glazekit.kiln.schedule import Hold, Ramp
    >>> band = cone_band(Schedule([Ramp(1120, 150), Ramp(1222, 60), Hold(10)]))
    >>> band.down, band.perhaps
    ('6', '7')

    Firing and limits: as ``heat_work``. Only a cone beside the ware knows.
    """
    curve = checked_curve(firing)
    readings = {cone: _is_down(curve, cone) for cone in CONES}
    down, perhaps = (next((cone for cone in reversed(CONES) if sure(readings[cone])), None) for sure in (all, any))
    row = cone_temperatures(CONES[0])[0]
    return ConeBand(down, perhaps, down == CONES[-1], row.source, row.status)


def checked_curve(firing: Schedule | Curve) -> tuple[tuple[float, float], ...]:
    """The corners of a firing, with times that grow; ScheduleError or RangeError for anything else."""
    if isinstance(firing, Schedule):
        return firing.curve()
    curve = tuple(
        (within(hours, 0, 1000, "a time", "h"), within(temp, -50, 1800, "a temperature", "°C")) for hours, temp in firing
    )
    if len(curve) < 2 or any(later[0] < sooner[0] for sooner, later in pairwise(curve)):
        raise ScheduleError("a firing curve needs two moments or more, in the order of time")
    return curve


def _single(cone: Cone | str) -> str:
    wanted = cone if isinstance(cone, Cone) else Cone.parse(cone)
    if wanted.low != wanted.high or wanted.high not in CONES:
        raise DataError(
            f"the sketch of heat work knows cones {CONES[0]} to {CONES[-1]}, one at a time; cone {wanted} is not one of them"
        )
    return wanted.high


def _rows(cone: str) -> tuple[tuple[float, float], ...]:
    """(temperature [K], rate [C/h]) of both rows, the faster first."""
    rows = cone_temperatures(_single(cone), LARGE_CONES)
    return tuple(sorted(((row.temp_c + KELVIN, row.rate_c_per_h or 0.0) for row in rows), key=lambda row: -row[1]))


@cache
def _steepness(cone: str) -> tuple[float, float, float]:
    """Low, middle and high activation among the cone and its neighbours [K]."""
    at = CONES.index(cone)
    found = [activation_k(one) for one in CONES[max(0, at - NEIGHBOURS) : at + NEIGHBOURS + 1]]
    return min(found), median(found), max(found)


def _hours_at(reference_c: float, curve: Curve, activation: float) -> float:
    """Hours at the reference temperature that do the same heat work as the curve [h], exactly, leg by leg."""
    reference = activation / (reference_c + KELVIN)

    def speed(temp_k: float) -> float:
        return exp(reference - activation / temp_k)

    def area(temp_k: float) -> float:
        """Integral of ``speed`` over temperature, from 0 K [K]: T speed(T) (1/x - 2!/x^2 + 3!/x^3 - ...), x = activation/T."""
        return temp_k * speed(temp_k) * sum(sign * (temp_k / activation) ** power for power, sign in _SERIES)

    total = 0.0
    for (start_h, start_c), (end_h, end_c) in pairwise(curve):
        start_k, end_k = start_c + KELVIN, end_c + KELVIN
        if abs(end_k - start_k) < FLAT_K:
            total += (end_h - start_h) * speed((start_k + end_k) / 2)
        else:
            total += (end_h - start_h) * (area(end_k) - area(start_k)) / (end_k - start_k)
    return total


@cache
def _wanted(cone: str) -> tuple[tuple[float, float, float], ...]:
    """What brings a cone down, for each way to read the table: (temperature [C], steepness [K], hours there [h])."""
    wanted = []
    for temp_k, rate in _rows(cone):
        temp_c = temp_k - KELVIN
        ramp = ((0.0, 0.0), (temp_c / rate, temp_c))
        wanted += [(temp_c, one, _hours_at(temp_c, ramp, one) * (1 - 1e-9)) for one in _steepness(cone)]
    return tuple(wanted)


def _is_down(curve: Curve, cone: str) -> list[bool]:
    """Is the cone down, once for each way to read the table?"""
    return [_hours_at(temp_c, curve, steepness) >= hours for temp_c, steepness, hours in _wanted(cone)]
