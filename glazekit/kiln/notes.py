"""What a schedule brings with it: what happens at which temperature, what it passes too fast, the electricity it takes."""

from dataclasses import dataclass
from functools import cache

from glazekit.ground.numbers import within
from glazekit.ground.tables import read_table
from glazekit.kiln.schedule import Leg, Schedule


@dataclass(frozen=True, slots=True)
class FiringEvent:
    """Something that happens to clay or glaze at a temperature. It begins at ``low_c`` and ends at ``high_c`` [C]: equal for a
    change at once, None where the end is not known. ``when`` is "heating", "cooling" or "both"; ``firing`` is "bisque" when it
    matters for the first firing only, else "any". ``rate_c_per_h`` is not to be passed, where somebody advises one [C/h]."""

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

        >>> [event.range_text() for event in firing_events() if event.event == "quartz changes size"]
        ['at 573 °C', 'at 573 °C']
        """
        if self.high_c is None:
            return f"from about {self.low_c:g} °C"
        return f"at {self.low_c:g} °C" if self.high_c == self.low_c else f"{self.low_c:g} to {self.high_c:g} °C"

    def meets(self, low_c: float, high_c: float) -> bool:
        """Does it happen somewhere between these two temperatures?"""
        return self.low_c <= high_c and (self.high_c is None or self.high_c >= low_c)


@dataclass(frozen=True, slots=True)
class Passing:
    """An event that one leg of a schedule passes, ``too_fast`` when the leg is faster than somebody advises."""

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


def passings(schedule: Schedule, bisque: bool = False) -> tuple[Passing, ...]:
    """What a schedule passes on its way, leg by leg; some events matter for a ``bisque`` firing only.

    >>> from glazekit.kiln.schedule import Ramp
    >>> plan = Schedule([Ramp(1222, 150), Ramp(500, 100)])
    >>> [(one.event.event, one.leg.kind) for one in passings(plan) if one.too_fast]
    [('quartz changes size', 'cools')]

    Limits: as planned, not as fired; on the way up the ware lags behind the display. A kiln that cools by itself after the last
    step is not in the schedule. Source: each event names its own.
    """
    found = []
    for leg in schedule.legs():
        if leg.kind == "holds":
            continue
        low_c, high_c = sorted((leg.from_c, leg.to_c))
        here = ("both", "heating" if leg.kind == "heats" else "cooling")
        for event in firing_events():
            if event.when in here and event.meets(low_c, high_c) and (bisque or event.firing == "any"):
                too_fast = event.rate_c_per_h is not None and abs(leg.rate_c_per_h) > event.rate_c_per_h * (1 + 1e-9)
                found.append(Passing(event, leg, too_fast))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class FiringEnergy:
    """Electricity of one firing, as a range [kWh]; source and status are those of the shares of the time."""

    low_kwh: float
    high_kwh: float
    source: str
    status: str

    def text(self) -> str:
        """One sentence."""
        energy = f"about {self.low_kwh:.0f} to {self.high_kwh:.0f} kWh"
        return f"{energy} ({self.status}); your meter, read before and after, knows better"


def firing_energy(schedule: Schedule, power_kw: float) -> FiringEnergy:
    """Electricity that a schedule takes in an electric kiln.

    energy = sum over the legs of power x hours x share of the time the elements are on.

    Parameters: schedule, as planned; power_kw, full power of the kiln, as on its plate [kW].

    >>> from glazekit.kiln.schedule import Ramp
    >>> print(firing_energy(Schedule([Ramp(1020, 100)]), power_kw=7).text())
    about 35 to 56 kWh (practice); your meter, read before and after, knows better

    Raises RangeError for a power that no pottery kiln has.
    Limits: electric kilns only. The shares are common practice, not measured.
    """
    power_kw = within(power_kw, 0.5, 200, "the power of the kiln", "kW")
    duty = {row["leg"]: row for row in read_table("kiln_duty")}
    low, high = (
        sum(power_kw * leg.hours * duty[leg.kind][share] for leg in schedule.legs()) for share in ("low_share", "high_share")
    )
    row = duty["heats"]
    return FiringEnergy(low, high, row["source"], row["status"])
