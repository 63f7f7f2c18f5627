"""Planned against fired: how far behind the kiln was, how late, how hot, and which readings cannot be trusted."""

from dataclasses import dataclass
from itertools import pairwise

from glazekit.kiln.firing import Firing, FiringError
from glazekit.kiln.readings import Reading, doubts_of, long_gaps
from glazekit.kiln.schedule import Curve

REACHED_C = 5.0
"""A kiln within this of the planned peak has reached it: displays differ by as much (course practice) [C]."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """A firing beside its plan.

    The highest temperature planned and the highest good reading [C]; ``largest``, the time [h] at which it was furthest behind
    the plan and by how much [C], before the cooling begins, where cooler is no longer behind, None without a good reading then;
    ``hours_late``, how much later than planned it came within 5 C of the planned peak [h], below 0 when early, None when it never
    did; ``doubtful``, each reading that is missing or doubtful with the reason; ``gaps``, from and to [h], as ``long_gaps``.
    """

    planned_peak_c: float
    peak_c: float
    largest: tuple[float, float] | None
    hours_late: float | None
    doubtful: tuple[tuple[Reading, str], ...]
    gaps: tuple[tuple[float, float], ...]

    def lines(self) -> tuple[str, ...]:
        """What there is to say, a sentence each."""
        said, late = [], self.hours_late
        if late is None:
            said.append(f"The planned peak, {self.planned_peak_c:g} °C, was not read; the highest reading is {self.peak_c:g} °C.")
        else:
            when = f"{clock(abs(late))} {'late' if late > 0 else 'early'}" if round(late, 2) else "on time"
            said.append(f"The peak of {self.planned_peak_c:g} °C came {when}; the highest reading is {self.peak_c:g} °C.")
        if self.largest and round(self.largest[1]) > 0:
            said.append(f"Furthest behind the plan: {self.largest[1]:.0f} °C, {clock(self.largest[0])} into the firing.")
        elif self.largest:
            said.append("No reading was behind the plan.")
        said += [f"Reading at {clock(reading.hours)}: {doubt}; it is not used." for reading, doubt in self.doubtful]
        said += [f"No good reading between {clock(start)} and {clock(end)}." for start, end in self.gaps]
        return tuple(said)


def clock(hours: float) -> str:
    """Hours as hours and minutes.

    >>> clock(11.13), clock(0.25)
    ('11 h 08', '0 h 15')
    """
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d}"


def compare_with_plan(firing: Firing) -> Comparison:
    """Put what the kiln did beside what was planned. Between two good readings the kiln is taken to have changed steadily.
    Doubtful readings are listed, and left out of the figures.

    >>> from glazekit.kiln.readings import readings_from_text
    >>> from glazekit.kiln.schedule_text import schedule_from_text
    >>> plan = schedule_from_text("100/h to 620; hold 60 min")
    >>> log = readings_from_text("0:00 20, 3:00 300, 5:00 ?, 7:00 620".replace(", ", chr(10)))
    >>> for line in compare_with_plan(Firing("kitty", "oxidation", plan, log)).lines(): print(line)
    The peak of 620 °C came 0 h 59 late; the highest reading is 620 °C.
    Furthest behind the plan: 20 °C, 3 h 00 into the firing.
    Reading at 5 h 00: no temperature written; it is not used.
    No good reading between 0 h 00 and 3 h 00.
    No good reading between 3 h 00 and 7 h 00.

    Raises FiringError without a plan or with fewer than two good readings.
    Limits: the display is not the ware; what the ware got is on the witness cones.
    """
    if firing.planned is None:
        raise FiringError("this firing has no plan to compare with")
    curve, plan = firing.curve(), firing.planned
    heats_until_h = max(hours for hours, temp_c in plan.curve() if temp_c == plan.peak_c)
    behind = [(hours, plan.temp_at(hours) - temp_c) for hours, temp_c in curve if hours <= heats_until_h]
    goal_c = plan.peak_c - REACHED_C
    planned_h, fired_h = first_time_at(plan.curve(), goal_c), first_time_at(curve, goal_c)
    return Comparison(
        planned_peak_c=plan.peak_c,
        peak_c=max(temp_c for _, temp_c in curve),
        largest=max(behind, key=lambda lag: lag[1], default=None),
        hours_late=None if planned_h is None or fired_h is None else fired_h - planned_h,
        doubtful=tuple((one, doubt) for one, doubt in zip(firing.readings, doubts_of(firing.readings), strict=True) if doubt),
        gaps=long_gaps(firing.readings),
    )


def first_time_at(curve: Curve, temp_c: float) -> float | None:
    """When a line first reaches a temperature on its way up [h]; None when it never does.

    >>> first_time_at(((0, 20), (2, 120)), 70)
    1.0
    """
    if curve[0][1] >= temp_c:
        return curve[0][0]
    for (start_h, start_c), (end_h, end_c) in pairwise(curve):
        if start_c < temp_c <= end_c:
            return start_h + (end_h - start_h) * (temp_c - start_c) / (end_c - start_c)
    return None
