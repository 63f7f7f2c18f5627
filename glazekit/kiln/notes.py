"""What happens in the kiln at which temperature, and which of it a schedule passes too fast."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from glazekit.ground.errors import RangeError
from glazekit.ground.limits import within
from glazekit.ground.tables import read_table
from glazekit.kiln.schedule import Leg, Schedule

TEMP_LIMITS_C = (-50.0, 2000.0)


@dataclass(frozen=True, slots=True)
class FiringEvent:
    """Something that happens to clay or glaze at a temperature.

    Parameters
    ----------
    event : in a few words.
    low_c, high_c : where it begins and ends [C]; equal for a change at once; ``high_c`` None where the end is not known.
    when : "heating", "cooling" or "both".
    firing : "bisque" when it matters for the first firing only, else "any".
    what, care : what happens; what to take care of.
    rate_c_per_h : rate not to go beyond, where somebody advises one [C/h].
    note : remark; may be empty.
    source, status : key in sources.toml and status word.
    """

    event: str
    low_c: float
    high_c: float | None
    when: str
    firing: str
    what: str
    care: str
    rate_c_per_h: float | None
    note: str
    source: str
    status: str

    def range_text(self) -> str:
        """Where it happens, in words.

        >>> events_between(570, 580, when="heating")[-1].range_text()
        'at 573 °C'
        """
        if self.high_c is None:
            return f"from about {self.low_c:g} °C"
        return f"at {self.low_c:g} °C" if self.high_c == self.low_c else f"{self.low_c:g} to {self.high_c:g} °C"

    def meets(self, low_c: float, high_c: float) -> bool:
        """Does it happen somewhere between these two temperatures?"""
        return self.low_c <= high_c and (self.high_c is None or self.high_c >= low_c)


@dataclass(frozen=True, slots=True)
class Passing:
    """An event that one leg of a schedule passes.

    Parameters
    ----------
    event : what happens.
    leg : the part of the schedule.
    too_fast : is the leg faster than somebody advises?
    """

    event: FiringEvent
    leg: Leg
    too_fast: bool

    def text(self) -> str:
        """One sentence, or two when it is passed too fast."""
        rate = f"{abs(self.leg.rate_c_per_h):.0f} °C/h"
        speed = f" Here it is passed at {rate}; {self.event.rate_c_per_h:g} °C/h is advised." if self.too_fast else ""
        return f"{self.event.event.capitalize()} ({self.event.range_text()}): {self.event.what}{speed}"


@cache
def firing_events() -> tuple[FiringEvent, ...]:
    """Everything on record, the coolest first."""
    return tuple(sorted((FiringEvent(**row) for row in read_table("firing_events")), key=lambda event: event.low_c))


def events_between(low_c: float, high_c: float, when: str | None = None, bisque: bool = True) -> tuple[FiringEvent, ...]:
    """What happens between two temperatures.

    Parameters
    ----------
    low_c, high_c : the range [C], both ends included.
    when : "heating" or "cooling"; None for both.
    bisque : with what matters for a bisque firing only?

    >>> [(event.event, event.when) for event in events_between(560, 590, bisque=False)]
    [('quartz changes size', 'heating'), ('quartz changes size', 'cooling')]

    Raises RangeError when ``low_c`` is above ``high_c`` or ``when`` is no direction.
    Limits: temperatures of the ware, which lags behind the display on the way up. Source: each event names its own.
    """
    low_c = within(low_c, *TEMP_LIMITS_C, "the lower temperature", "°C")
    high_c = within(high_c, *TEMP_LIMITS_C, "the upper temperature", "°C")
    if low_c > high_c:
        raise RangeError(f"the lower temperature, {low_c:g} °C, is above the upper one, {high_c:g} °C")
    if when not in (None, "heating", "cooling"):
        raise RangeError(f"'{when}' is no direction; write heating or cooling")
    return tuple(
        event
        for event in firing_events()
        if event.meets(low_c, high_c) and (when is None or event.when in (when, "both")) and (bisque or event.firing == "any")
    )


def passings(schedule: Schedule, bisque: bool = False) -> tuple[Passing, ...]:
    """What a schedule passes on its way, leg by leg.

    Parameters
    ----------
    schedule : as planned.
    bisque : is it a bisque firing?

    >>> from glazekit.kiln.schedule import Ramp
    >>> plan = Schedule([Ramp(1222, 150), Ramp(500, 100)])
    >>> [(one.event.event, one.leg.kind) for one in passings(plan) if one.too_fast]
    [('quartz changes size', 'cools')]

    Limits: as planned, not as fired. A kiln that cools by itself after the last step is not in the schedule.
    """
    found = []
    for leg in schedule.legs():
        if leg.kind == "holds":
            continue
        when = "heating" if leg.kind == "heats" else "cooling"
        for event in events_between(min(leg.from_c, leg.to_c), max(leg.from_c, leg.to_c), when, bisque):
            too_fast = event.rate_c_per_h is not None and abs(leg.rate_c_per_h) > event.rate_c_per_h * (1 + 1e-9)
            found.append(Passing(event, leg, too_fast))
    return tuple(found)
