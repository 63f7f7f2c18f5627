"""Electricity of a firing: hours, power, and the share of the time the elements are on. Practice, so a range."""

from __future__ import annotations

from dataclasses import dataclass

from glazekit.ground.limits import within
from glazekit.ground.tables import read_table
from glazekit.kiln.schedule import Schedule


@dataclass(frozen=True, slots=True)
class FiringEnergy:
    """Electricity of one firing.

    ``low_kwh``, ``high_kwh`` are the range [kWh]; it cannot be more than ``full_kwh``, with the elements on all the time.
    ``source``, ``status`` are those of the shares.
    """

    low_kwh: float
    high_kwh: float
    full_kwh: float
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
    legs = schedule.legs()
    low = sum(power_kw * leg.hours * duty[leg.kind]["low_share"] for leg in legs)
    high = sum(power_kw * leg.hours * duty[leg.kind]["high_share"] for leg in legs)
    row = duty["heats"]
    return FiringEnergy(low, high, power_kw * schedule.hours, row["source"], row["status"])
