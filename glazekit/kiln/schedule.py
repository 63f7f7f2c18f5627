"""A firing schedule: ramps, holds and controlled cooling, the hours they take and the line they draw."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import ROOM_C, plain_text, within

START_LIMITS_C = (-20.0, 1500.0)
TEMP_LIMITS_C = (15.0, 1500.0)
RATE_LIMITS_C_PER_H = (0.5, 3000.0)
HOLD_LIMITS_MIN = (0.1, 10_000.0)
SAME_C = 0.5
"""Two temperatures closer than this are one and the same to a kiln [C]."""


class ScheduleError(GlazekitError):
    """A firing schedule that cannot be read or followed."""


@dataclass(frozen=True, slots=True)
class Ramp:
    """Heat or cool to a temperature [C] at a steady rate [C/h]: positive up and down alike, where the kiln is tells which. Raises
    RangeError outside 15 to 1500 C and 0.5 to 3000 C/h."""

    to_c: float
    rate_c_per_h: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "to_c", within(self.to_c, *TEMP_LIMITS_C, "the temperature of a ramp", "°C"))
        object.__setattr__(self, "rate_c_per_h", within(self.rate_c_per_h, *RATE_LIMITS_C_PER_H, "the rate of a ramp", "°C/h"))

    def text(self) -> str:
        """One line of a schedule."""
        return f"{plain_text(self.rate_c_per_h)} °C/h to {plain_text(self.to_c)} °C"


@dataclass(frozen=True, slots=True)
class Hold:
    """Stay at the temperature reached, for some minutes [min]; RangeError outside 0.1 to 10 000."""

    minutes: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "minutes", within(self.minutes, *HOLD_LIMITS_MIN, "the hold", "minutes"))

    def text(self) -> str:
        """One line of a schedule."""
        return f"hold {plain_text(self.minutes)} min"


RampOrHold = Ramp | Hold
Curve = Sequence[tuple[float, float]]
"""Corners of a firing: (hours since the start [h], temperature [C]), in the order of time."""


@dataclass(frozen=True, slots=True)
class Leg:
    """One step as it runs: from where to where, and how long. From one temperature to another [C], equal for a hold; it begins
    ``from_hours`` after the start of the schedule and takes ``hours`` [h]."""

    from_c: float
    to_c: float
    hours: float
    from_hours: float

    @property
    def kind(self) -> str:
        """ "heats", "holds" or "cools"."""
        return "holds" if self.to_c == self.from_c else "heats" if self.to_c > self.from_c else "cools"

    @property
    def rate_c_per_h(self) -> float:
        """Degrees an hour [C/h]: above 0 up, below 0 down, 0 for a hold."""
        return (self.to_c - self.from_c) / self.hours


@dataclass(frozen=True, slots=True)
class Schedule:
    """What a kiln is asked to do, step by step; cooling is a ramp down.

    Parameters: steps, ramps and holds in their order; start_c, temperature of the kiln at the start [C].

    >>> glaze = Schedule([Ramp(600, 100), Ramp(1120, 150), Ramp(1222, 60), Hold(10)])
    >>> round(glaze.hours, 2), glaze.peak_c
    (11.13, 1222.0)

    Raises ScheduleError for a schedule without a step or a ramp to where the kiln already is, RangeError for impossible numbers.
    Limits: this is what is asked. What the kiln does is in the readings; what the ware got is on the cones. A kiln that cools
    by itself is not part of the schedule: only what the controller holds back is.
    """

    steps: tuple[RampOrHold, ...]
    start_c: float = ROOM_C

    def __init__(self, steps: Iterable[RampOrHold], start_c: float = ROOM_C) -> None:
        object.__setattr__(self, "steps", tuple(steps))
        object.__setattr__(self, "start_c", within(start_c, *START_LIMITS_C, "the temperature at the start", "°C"))
        if not self.steps:
            raise ScheduleError("a schedule needs at least one step, such as 100 °C/h to 600 °C")
        now_c = self.start_c
        for number, step in enumerate(self.steps, start=1):
            if isinstance(step, Ramp):
                if abs(step.to_c - now_c) < SAME_C:
                    raise ScheduleError(
                        f"step {number} goes to {step.to_c:g} °C, where the kiln already is; write a hold instead"
                    )
                now_c = step.to_c
            elif not isinstance(step, Hold):
                raise ScheduleError(f"step {number} is {step!r}; a step is a Ramp or a Hold")

    def legs(self) -> tuple[Leg, ...]:
        """The steps as they run, with times.

        >>> [(leg.kind, leg.hours) for leg in Schedule([Ramp(120, 50), Hold(30)]).legs()]
        [('heats', 2.0), ('holds', 0.5)]
        """
        legs, now_c, now_h = [], self.start_c, 0.0
        for step in self.steps:
            to_c = step.to_c if isinstance(step, Ramp) else now_c
            hours = abs(to_c - now_c) / step.rate_c_per_h if isinstance(step, Ramp) else step.minutes / 60
            legs.append(Leg(now_c, to_c, hours, now_h))
            now_c, now_h = to_c, now_h + hours
        return tuple(legs)

    @property
    def hours(self) -> float:
        """How long all steps take together [h]."""
        last = self.legs()[-1]
        return last.from_hours + last.hours

    @property
    def peak_c(self) -> float:
        """The highest temperature asked for [C]."""
        return max(temp_c for _, temp_c in self.curve())

    @property
    def last_heating_rate_c_per_h(self) -> float | None:
        """The rate of the last ramp up to the peak [C/h], which is the one a cone answers to; None when nothing heats."""
        up = [leg for leg in self.legs() if leg.kind == "heats" and leg.to_c == self.peak_c]
        return up[0].rate_c_per_h if up else None

    def curve(self) -> tuple[tuple[float, float], ...]:
        """The corners of the line: (hours since the start [h], temperature [C]), in the order of time.

        >>> Schedule([Ramp(120, 50), Hold(30)]).curve()
        ((0.0, 20.0), (2.0, 120.0), (2.5, 120.0))
        """
        return ((0.0, self.start_c), *((leg.from_hours + leg.hours, leg.to_c) for leg in self.legs()))

    def temp_at(self, hours: float) -> float:
        """Temperature asked for at a moment [C]; RangeError before the start and after the last step: nothing is asked then.

        >>> Schedule([Ramp(120, 50), Hold(30)]).temp_at(1)
        70.0
        """
        hours = within(hours, 0, self.hours, "the time in the schedule", "h")
        for leg in self.legs():
            if hours <= leg.from_hours + leg.hours:
                return leg.from_c + leg.rate_c_per_h * (hours - leg.from_hours)
        return self.curve()[-1][1]

    def text(self) -> str:
        """The schedule as lines to read, print, or give to ``schedule_from_text`` again.

        >>> print(Schedule([Ramp(600, 100), Hold(10)], start_c=25).text())
        start at 25 °C
        100 °C/h to 600 °C
        hold 10 min
        """
        start = [] if self.start_c == ROOM_C else [f"start at {plain_text(self.start_c)} °C"]
        return "\n".join([*start, *(step.text() for step in self.steps)])
