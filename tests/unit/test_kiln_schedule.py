"""Schedules: hours reckoned by hand, what people type, and a clear sentence for everything that is no schedule."""

from __future__ import annotations

from time import perf_counter

import pytest

from glazekit.ground.errors import AmbiguousNumberError, GlazekitError, RangeError
from glazekit.kiln.schedule import Hold, Ramp, Schedule, ScheduleError
from glazekit.kiln.schedule_text import minutes_of, schedule_from_text

GLAZE = Schedule([Ramp(600, 100), Ramp(1120, 150), Ramp(1222, 60), Hold(10)])


class TestHours:
    def test_the_plan_of_exercise_10_1(self) -> None:
        """By hand: 580/100 + 520/150 + 102/60 + 10/60 = 5.8 + 3.4667 + 1.7 + 0.1667 h."""
        assert GLAZE.hours == pytest.approx(11.1333, abs=1e-4)
        assert round(GLAZE.hours, 2) == 11.13

    def test_a_warm_start_is_shorter_by_what_it_need_not_climb(self) -> None:
        assert Schedule(GLAZE.steps, start_c=70).hours == pytest.approx(GLAZE.hours - 0.5)

    def test_cooling_counts(self) -> None:
        """From 1222 to 900 at 100 C/h: 3.22 h more."""
        assert Schedule([*GLAZE.steps, Ramp(900, 100)]).hours == pytest.approx(11.1333 + 3.22, abs=1e-4)

    def test_temperatures_on_the_way(self) -> None:
        assert GLAZE.temp_at(0) == 20
        assert GLAZE.temp_at(2.9) == pytest.approx(310)
        assert GLAZE.temp_at(5.8 + 520 / 150) == pytest.approx(1120)
        assert GLAZE.temp_at(11.05) == 1222
        down = Schedule([*GLAZE.steps, Ramp(900, 100)])
        assert down.temp_at(GLAZE.hours + 1) == pytest.approx(1122)

    def test_nothing_is_asked_for_after_the_end(self) -> None:
        with pytest.raises(RangeError, match="the time in the schedule is 12 h; allowed is 0 to 11"):
            GLAZE.temp_at(12)

    def test_the_rate_a_cone_answers_to_is_the_last_one_up_to_the_peak(self) -> None:
        assert GLAZE.last_heating_rate_c_per_h == pytest.approx(60)
        up_and_down = Schedule([Ramp(1222, 60), Ramp(900, 200), Ramp(1000, 150)])
        assert (up_and_down.peak_c, up_and_down.last_heating_rate_c_per_h) == (1222, pytest.approx(60))
        assert Schedule([Ramp(900, 100)], start_c=1222).last_heating_rate_c_per_h is None

    def test_values_do_not_change(self) -> None:
        steps = [Ramp(600, 100)]
        plan = Schedule(steps)
        steps.append(Hold(10))
        assert plan.steps == (Ramp(600, 100),)
        with pytest.raises(AttributeError):
            plan.start_c = 25  # type: ignore[misc]
        assert plan == Schedule([Ramp(600, 100)]) and hash(plan) == hash(Schedule([Ramp(600, 100)]))


class TestImpossible:
    @pytest.mark.parametrize(
        ("make", "says"),
        [
            (lambda: Schedule([]), "at least one step"),
            (lambda: Schedule([Ramp(600, 100), Ramp(600, 50)]), "step 2 goes to 600 °C, where the kiln already is"),
            (lambda: Schedule([Ramp(20, 100)]), "step 1 goes to 20 °C"),
            (lambda: Schedule([600]), "step 1 is 600"),  # type: ignore[list-item]
            (lambda: Ramp(2000, 100), "temperature of a ramp is 2000 °C; allowed is 15 to 1500"),
            (lambda: Ramp(600, 0), "rate of a ramp is 0"),
            (lambda: Ramp(600, float("nan")), "plain number"),
            (lambda: Hold(-1), "the hold is -1 minutes"),
            (lambda: Schedule([Hold(5)], start_c=2000), "temperature at the start"),
        ],
    )
    def test_is_one_clear_sentence(self, make, says: str) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(GlazekitError, match=says):
            make()


class TestTyped:
    @pytest.mark.parametrize(
        "text",
        [
            "20 -> 600 at 100/h, -> 1120 at 150/h, -> 1222 at 60/h, hold 10 min",
            "20→600 at 100 °C/h; →1120 at 150 °C/h; →1222 at 60 °C/h; hold 10",
            "100/h to 600\n150/h to 1120\n60/h to 1222\nhold 10 min",
            "1. 100 °C per hour up to 600 °C\n2. 150 °C per hour up to 1120 °C\n3. 60 °C per hour up to 1222 °C hold 10 min",
            "heat at 100 K/h to 600, then 150/h to 1120 and 60/h to 1222, soak for 0:10",
            "to 600 in 5 h 48 min; 1120 @ 150/h; 1222 at 60/h and hold for 10 minutes",
            "start at 20 °C\n100,0 °C/h to 600 °C\n150/h to 1120\n60/h to 1222\n10 min hold",
            "rate_c_per_h,to_c,hold_min\n100,600,\n150,1120,\n60,1222,10",
            "to_c;rate_c_per_h;hold_min\n600;100,0;0\n1120;150;\n1222;60,0;10",
            "rate_c_per_h\tto_c\thold_min\n100\t600\t\n150\t1120\t\n60\t1222\t\n\t\t10",
        ],
    )
    def test_one_plan_in_many_hands(self, text: str) -> None:
        read = schedule_from_text(text)
        assert [type(step) for step in read.steps] == [Ramp, Ramp, Ramp, Hold]
        for mine, theirs in zip(read.curve(), GLAZE.curve(), strict=True):
            assert mine == pytest.approx(theirs, abs=1e-9)

    def test_decimal_commas(self) -> None:
        (step,) = schedule_from_text("62,5 °C/h to 600,5").steps
        assert step == Ramp(600.5, 62.5)

    def test_cooling_may_be_written_below_nothing(self) -> None:
        read = schedule_from_text("150/h to 1222; -100/h to 900; hold at 900 for 1 h 30; cool 50/h to 700")
        assert read.steps == (Ramp(1222, 150), Ramp(900, 100), Hold(90), Ramp(700, 50))

    @pytest.mark.parametrize(
        ("text", "says"),
        [
            ("", "the schedule is empty"),
            (
                "100/h to 600\n\nbring it up nicely",
                "line 3: 'bring it up nicely' is no step of a schedule; write it like '100 °C/h to",
            ),
            ("100 600 10", "does not say which number is what"),
            ("9999 to 600", "has no rate to count with"),
            ("100/h to 1100 °F", "degrees Fahrenheit"),
            ("100/h to 600\noff", "line 2: 'off': how fast a kiln cools by itself is not planned"),
            ("100-150/h to 600", "is no step"),
            ("150/h to 1 120", "is no step"),
            ("100/h to 600, hold at 590 for 10 min", "this step is at 590 °C, but the step before ends at 600 °C"),
            ("hold at 700 for 10 min", "the first step is a hold at 700 °C, but the kiln starts at 20 °C"),
            ("100/h to 600; 500 to 700 at 50/h", "this step is at 500 °C"),
            ("-100/h to 600", "the rate is below 0, but 600 °C is above 20 °C"),
            ("cool 100/h to 900", "goes the other way"),
            ("100/h to 600; ramp up 50/h to 500", "goes the other way"),
            ("100/h to 600, hold 0 min", "the hold is 0 minutes"),
            ("100/h to 600; start at 25", "stands before the first step"),
            ("hold 1:75", "75 minutes behind the hours"),
            ("rate_c_per_h,to_c,hold\n100,600,10", "column called 'hold'; did you mean 'hold_min'"),
            ("to_c,hold_min\n600,10", "no column 'rate_c_per_h'"),
            ("rate_c_per_h,to_c,hold_min\n100,600", "line 2: 2 cells"),
            ("rate_c_per_h,to_c,hold_min\n100,,10", "line 2: the temperature is missing"),
            ("rate_c_per_h,to_c\n-100,600", "line 2: the rate is below 0"),
            ("rate_c_per_h,to_c,hold_min\n62,5,600,", "decimal comma"),
        ],
    )
    def test_anything_else_is_refused_in_words(self, text: str, says: str) -> None:
        with pytest.raises(GlazekitError) as caught:
            schedule_from_text(text)
        assert says in str(caught.value)

    def test_a_comma_that_could_be_a_thousand_is_asked_about(self) -> None:
        with pytest.raises(AmbiguousNumberError, match=r"line 1.*1120 or 1\.12"):
            schedule_from_text("150/h to 1,120")


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("10", 10), ("10 min", 10), ("90m", 90), ("1.5 h", 90), ("0,5 hours", 30), ("1 h 30", 90), ("1h30m", 90), ("2:05", 125)],
)
def test_times_as_typed(text: str, minutes: float) -> None:
    assert minutes_of(text) == pytest.approx(minutes)


def test_a_bare_number_can_be_hours() -> None:
    assert minutes_of("1,5", bare="h", decimal_comma=True) == 90


@pytest.mark.parametrize("text", ["500 mg", "0.5 cm", "18 %", "10 °C", "3 May"])
def test_what_is_no_time_is_not_taken_for_minutes(text: str) -> None:
    with pytest.raises(ScheduleError) as caught:
        minutes_of(text)
    assert caught.value.given == text.split()[1]


@pytest.mark.parametrize(
    "odd", ["1" * 80_000, "1 " * 40_000, "1:" * 40_000, "1" + " " * 80_000 + "h", "1h" * 40_000, "9" * 5_000 + ":30"]
)
def test_a_time_without_end_is_refused_at_once(odd: str) -> None:
    begun = perf_counter()
    with pytest.raises(GlazekitError) as caught:
        minutes_of(odd)
    assert perf_counter() - begun < 1 and len(str(caught.value)) < 200
