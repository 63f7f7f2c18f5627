"""What holds for every schedule and every log, whatever the numbers."""

from __future__ import annotations

from contextlib import suppress
from itertools import pairwise
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import ROOM_C
from glazekit.kiln.firing import Firing
from glazekit.kiln.heat_work import heat_work
from glazekit.kiln.notes import passings
from glazekit.kiln.readings import Reading, doubts_of, good_readings, readings_from_text
from glazekit.kiln.schedule import SAME_C, Hold, Ramp, RampOrHold, Schedule
from glazekit.kiln.schedule_text import schedule_from_text

temps = st.floats(15, 1500)
holds = st.builds(Hold, st.floats(0.1, 10_000))
ramps = st.builds(Ramp, temps, st.floats(0.5, 3000))


@st.composite
def schedules(draw: st.DrawFn, start: bool = True) -> Schedule:
    """Any schedule: ramps that go somewhere, and holds."""
    start_c = draw(st.floats(-20, 60)) if start else ROOM_C
    now, steps = start_c, []
    for step in draw(st.lists(st.one_of(ramps, holds), min_size=1, max_size=8)):
        if isinstance(step, Ramp):
            if abs(step.to_c - now) < SAME_C:
                continue
            now = step.to_c
        steps.append(step)
    return Schedule(steps or [Hold(10)], start_c)


@given(schedules())
def test_hours_are_the_sum_of_the_steps(plan: Schedule) -> None:
    now, hours = plan.start_c, 0.0
    step: RampOrHold
    for step in plan.steps:
        if isinstance(step, Ramp):
            hours += abs(step.to_c - now) / step.rate_c_per_h
            now = step.to_c
        else:
            hours += step.minutes / 60
    assert plan.hours == pytest.approx(hours)


@given(schedules())
def test_the_curve_goes_on_in_time_and_ends_with_the_plan(plan: Schedule) -> None:
    curve = plan.curve()
    assert len(curve) == len(plan.steps) + 1 and curve[0] == (0, plan.start_c)
    assert all(before[0] < after[0] for before, after in pairwise(curve))
    assert curve[-1][0] == pytest.approx(plan.hours) and plan.peak_c == max(temp for _, temp in curve)


@given(schedules(), st.floats(0, 1))
def test_no_moment_is_outside_the_corners_around_it(plan: Schedule, share: float) -> None:
    hours = share * plan.hours
    temp = plan.temp_at(hours)
    for (start_h, start_c), (end_h, end_c) in pairwise(plan.curve()):
        if start_h < hours < end_h:
            assert min(start_c, end_c) - 1e-6 <= temp <= max(start_c, end_c) + 1e-6


@given(schedules())
def test_text_goes_out_and_in(plan: Schedule) -> None:
    assert schedule_from_text(plan.text()) == plan


@given(schedules(start=False))
def test_a_table_says_the_same_as_lines(plan: Schedule) -> None:
    rows = [f"{step.rate_c_per_h!r},{step.to_c!r}," if isinstance(step, Ramp) else f",,{step.minutes!r}" for step in plan.steps]
    assert schedule_from_text("\n".join(["rate_c_per_h,to_c,hold_min", *rows])) == plan


@settings(max_examples=60)
@given(schedules(), st.floats(1, 600))
def test_more_time_is_more_heat_work(plan: Schedule, minutes: float) -> None:
    work = heat_work(plan)
    assert 0 <= work.low_minutes <= work.minutes_at_peak <= work.high_minutes <= plan.hours * 60 * (1 + 1e-9)
    if plan.curve()[-1][1] == plan.peak_c:
        longer = heat_work(Schedule([*plan.steps, Hold(minutes)], plan.start_c))
        assert longer.minutes_at_peak == pytest.approx(work.minutes_at_peak + minutes)


@given(schedules())
def test_what_is_passed_lies_on_the_leg_that_passes_it(plan: Schedule) -> None:
    for one in passings(plan, bisque=True):
        low, high = sorted((one.leg.from_c, one.leg.to_c))
        assert one.event.low_c <= high and (one.event.high_c is None or one.event.high_c >= low)
        assert one.event.when in ("both", "heating" if one.leg.kind == "heats" else "cooling")


logs = st.lists(st.tuples(st.floats(0, 60), st.one_of(st.none(), st.floats(-500, 5000))), max_size=20)


@given(logs)
def test_every_reading_is_good_or_doubted_and_the_good_ones_make_a_line(log: list[tuple[float, float | None]]) -> None:
    readings = [Reading(*one) for one in log]
    doubts = doubts_of(readings)
    assert len(doubts) == len(readings)
    good = good_readings(readings)
    assert len(good) + sum(bool(doubt) for doubt in doubts) == len(readings)
    assert all(before[0] < after[0] for before, after in pairwise(good))


@given(schedules(), logs)
def test_a_firing_goes_into_the_book_and_back(plan: Schedule, log: list[tuple[float, float | None]]) -> None:
    fired = Firing("kitty", "neutral", plan, tuple(Reading(*one) for one in log), cone_seen="6")
    assert Firing.from_entry(fired.to_entry()) == fired


typed = st.one_of(
    st.text(max_size=60),
    st.lists(
        st.sampled_from(
            ["100", "600", "/h", "°C", "to", "at", "hold", "min", ";", ",", "\n", ":", "-", "1:30", "?", "and", "1,5", "h"]
        ),
        max_size=14,
    ).map(" ".join),
)


@pytest.mark.parametrize("read", [schedule_from_text, readings_from_text], ids=["schedule", "readings"])
@pytest.mark.parametrize(
    "nasty", ["1", "1 ", "1:", "1h ", "hold ", "100/h to 600; ", "1 h 30 ", "\n1 1", "°", " ", "1e", "temp_c,"]
)
def test_endless_text_is_refused_at_once(read, nasty: str) -> None:  # type: ignore[no-untyped-def]
    started = perf_counter()
    for times in (190 // len(nasty), 50_000):
        with suppress(GlazekitError):
            read(nasty * times + "x")
    assert perf_counter() - started < 1


@given(typed)
def test_whatever_is_typed_is_read_or_refused_in_words(text: str) -> None:
    for read in (schedule_from_text, readings_from_text):
        try:
            read(text)
        except GlazekitError as problem:
            assert 10 < len(str(problem)) < 400
