"""Heat work, a sketch: heat and time added up the way a cone seems to add them. It never commands a kiln.

What a cone feels in a moment grows with exp(-activation / T); added over the firing it is the heat work. So every firing does as
much as some steady climb to its peak, and the cone table says which cone a steady climb brings down. How steeply heat work grows
is read from the table, for each cone from every two of its heating rates. Where they disagree, that is the range.
"""

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import exp, factorial, inf, log
from statistics import median
from typing import NamedTuple

from glazekit.ground.numbers import KELVIN, within
from glazekit.kiln.cones import TODAY, cone_temperatures
from glazekit.kiln.schedule import Curve, Schedule, ScheduleError

CONES = tuple(dict.fromkeys(row.cone for row in cone_temperatures(series=TODAY)))
"""The cones the sketch speaks about, the softest first."""
FLAT_K = 0.01
"""A leg that changes by less than this is reckoned as a hold [K]."""
SHORT_BY_C = 0.5
"""So little short of a cone's temperature is as good as there: the table is in whole degrees [C]."""
_SERIES = tuple((power, factorial(power) if power % 2 else -factorial(power)) for power in range(1, 10))
WARNING = "It compares two firings. It never tells when to switch off; the cone beside your pots does."


@dataclass(frozen=True, slots=True)
class HeatWork:
    """Heat work of a firing, as minutes at its own peak. So long at the peak alone would do the same [min], with the range in
    which the cones that bend near the peak put it. ``source``, ``status`` are those of the cone table."""

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
            f"(between {self.low_minutes:.0f} and {self.high_minutes:.0f}), by the table of today's cones. {WARNING}"
        )


@dataclass(frozen=True, slots=True)
class ConeBand:
    """Which cone a firing brings down, as a place on the ladder ``CONES``. 0 is the first cone, 1 the next, 0.5 halfway between;
    below 0 a firing that brings none down. ``low`` and ``high`` are the range in which the heating rates of the table put it,
    ``place`` is what those nearest to the firing say."""

    low: float
    place: float
    high: float
    source: str
    status: str

    @property
    def down(self) -> str | None:
        """The highest cone that is down however the table is read; None when not even the first is."""
        return CONES[int(self.low)] if self.low >= 0 else None

    @property
    def perhaps(self) -> str | None:
        """The highest cone that may be down; None when not even the first may."""
        return CONES[int(self.high)] if self.high >= 0 else None

    @property
    def beyond(self) -> bool:
        """Is the firing hotter than the highest cone of the sketch?"""
        return self.down == CONES[-1]

    def text(self) -> str:
        """One sentence, with the warning."""
        if self.beyond:
            band = f"past cone {CONES[-1]}, where this sketch ends"
        elif self.perhaps is None:
            band = f"below cone {CONES[0]}, where this sketch begins"
        elif self.down is None:
            band = f"perhaps cone {self.perhaps}, surely none"
        else:
            band = f"about cone {self.down}" if self.down == self.perhaps else f"cone {self.down} to cone {self.perhaps}"
        return f"Sketch: {band}, by the table of today's cones. {WARNING}"


class _Way(NamedTuple):
    """One way to read a cone: it bends at ``temp_c`` [C] at ``rate`` [C/h], ``rise_c`` higher [C] for each e-fold faster climb.
    ``activation_k`` is the steepness that says the same [K]."""

    temp_c: float
    rate: float
    rise_c: float
    activation_k: float

    def over_c(self, curve: Curve, peak_c: float) -> tuple[float, float]:
        """How far beyond the cone the firing goes [C]; and the steady climb to the peak that does the same work [C/h]."""
        hours = _hours_at(peak_c, curve, self.activation_k)
        climb = _kelvins_below(peak_c + KELVIN, self.activation_k) / hours if hours else inf
        return peak_c - self.temp_c - self.rise_c * log(climb / self.rate), climb


def heat_work(firing: Schedule | Curve) -> HeatWork:
    """Heat work of a firing, as minutes at its peak: a sketch that never commands a kiln.

    minutes = integral of exp(-activation / T) dt over the firing, divided by exp(-activation / peak), with the activation of the
    cones that bend near the peak.

    Parameters: firing, a schedule or the corners of a curve, (hours [h], temperature [C]).

    >>> from glazekit.kiln.schedule import Hold, Ramp
    >>> work = heat_work(Schedule([Ramp(1120, 150), Ramp(1222, 60), Hold(10)]))
    >>> round(work.minutes_at_peak), round(work.low_minutes), round(work.high_minutes), work.status
    (35, 33, 37, 'seen')

    Raises ScheduleError or RangeError for a curve that is none.
    Limits: for comparing two firings of one kiln. Where the ware stands, the load and the atmosphere count as much.
    """
    curve = checked_curve(firing)
    peak_c = max(temp_c for _, temp_c in curve)
    nearest = min(CONES, key=lambda cone: abs(_ways(cone)[0].temp_c - peak_c))
    steepness = [way.activation_k for way in _ways(nearest)]
    low, value, high = sorted(60 * _hours_at(peak_c, curve, one) for one in (min(steepness), median(steepness), max(steepness)))
    row = cone_temperatures(nearest)[0]
    return HeatWork(peak_c, value, low, high, row.source, row.status)


def cone_band(firing: Schedule | Curve) -> ConeBand:
    """Which cone a firing brings down: a sketch that never commands a kiln.

    Each cone is asked, for every two of its heating rates, which steady climb to the same peak does as much heat work, and at
    which temperature it bends in such a climb. Between two cones the degrees beyond the one and short of the other tell how far.

    >>> from glazekit.kiln.schedule import Hold, Ramp
    >>> [cone_band(Schedule([Ramp(1122, 150), Ramp(1222, 60), *hold])).down for hold in ((), (Hold(10),))]
    ['6', '6']

    Firing and limits: as ``heat_work``. The table ends at 15 and 150 C/h and knows no hold; beyond, each reading is continued.
    Only a cone beside the ware knows.
    """
    curve = checked_curve(firing)
    peak_c = max(temp_c for _, temp_c in curve)
    overs = [_overs_c(curve, peak_c, cone) for cone in CONES]
    low, place, high = (_place(column) for column in zip(*overs, strict=True))
    row = cone_temperatures(CONES[0])[0]
    return ConeBand(low, place, high, row.source, row.status)


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


@cache
def _own_ways(cone: str) -> tuple[_Way, ...]:
    """What two heating rates of a cone say of it: each two that are neighbours, the slowest first, then the two ends.

    The activation is the one with which both climbs do the same work: activation (1/T - 1/T') = ln(r'/r) + 2 ln(T/T'), in kelvin.
    """
    rows = sorted((row.rate_c_per_h or 0.0, row.temp_c) for row in cone_temperatures(cone))
    found = []
    for (slow, cool_c), (fast, hot_c) in dict.fromkeys([*pairwise(rows), (rows[0], rows[-1])]):
        faster, cool_k, hot_k = log(fast / slow), cool_c + KELVIN, hot_c + KELVIN
        activation = (faster + 2 * log(cool_k / hot_k)) / (1 / cool_k - 1 / hot_k)
        found.append(_Way(hot_c, fast, (hot_c - cool_c) / faster, activation))
    return tuple(found)


@cache
def _ways(cone: str) -> tuple[_Way, ...]:
    """Every way to read a cone: its own, then its own temperature with the steepness of the cone on either side."""
    own, at = _own_ways(cone), CONES.index(cone)
    beside = [_own_ways(one)[-1] for one in CONES[max(0, at - 1) : at + 2] if one != cone]
    return (*own, *(way._replace(temp_c=own[0].temp_c, rate=own[0].rate) for way in beside))


def _overs_c(curve: Curve, peak_c: float, cone: str) -> tuple[float, float, float]:
    """How far a firing goes beyond a cone [C]: at the least, by the two rates nearest to the firing, at the most."""
    found = [way.over_c(curve, peak_c) for way in _ways(cone)]
    slow, fast = found[0], found[min(1, len(_own_ways(cone)) - 1)]
    nearest = slow if slow[1] <= _own_ways(cone)[0].rate else fast
    return min(found)[0], nearest[0], max(found)[0]


def _place(overs_c: tuple[float, ...]) -> float:
    """Place on the ladder of cones, from the degrees beyond each of them."""
    at = next((number for number in reversed(range(len(CONES))) if overs_c[number] >= -SHORT_BY_C), -1)
    if not 0 <= at < len(CONES) - 1:
        return float(at)
    beyond = max(0.0, overs_c[at])
    return at + beyond / (beyond - overs_c[at + 1])


def _kelvins_below(temp_k: float, activation_k: float) -> float:
    """Kelvins at full speed that do what a climb from 0 K to a temperature does: integral of exp(activation/T - activation/t) dt.

    T (1/x - 2!/x^2 + 3!/x^3 - ...), with x = activation/T.
    """
    return temp_k * sum(sign * (temp_k / activation_k) ** power for power, sign in _SERIES)


def _hours_at(reference_c: float, curve: Curve, activation_k: float) -> float:
    """Hours at the reference temperature that do the same heat work as the curve [h], exactly, leg by leg."""
    reference = activation_k / (reference_c + KELVIN)

    def speed(temp_k: float) -> float:
        return exp(reference - activation_k / temp_k)

    def area(temp_k: float) -> float:
        return speed(temp_k) * _kelvins_below(temp_k, activation_k)

    total = 0.0
    for (start_h, start_c), (end_h, end_c) in pairwise(curve):
        start_k, end_k = start_c + KELVIN, end_c + KELVIN
        if abs(end_k - start_k) < FLAT_K:
            total += (end_h - start_h) * speed((start_k + end_k) / 2)
        else:
            total += (end_h - start_h) * (area(end_k) - area(start_k)) / (end_k - start_k)
    return total
