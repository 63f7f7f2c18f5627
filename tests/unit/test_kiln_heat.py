"""Cones, heat work, notes and electricity: against the table itself, a slower way to add up, and sums by hand."""

from __future__ import annotations

import csv
from itertools import pairwise
from math import exp, log

import pytest
from wording import numbers_in

import glazekit as gk
from glazekit.ground.errors import DataError, GlazekitError, NumberError, RangeError
from glazekit.ground.tables import data_dir
from glazekit.kiln.cones import cone_series, cone_temperatures
from glazekit.kiln.heat_work import CONES, WARNING, _hours_at, _own_ways, cone_band, heat_work
from glazekit.kiln.notes import FiringEvent, firing_energy, firing_events, passings
from glazekit.kiln.schedule import Hold, Ramp, Schedule, ScheduleError

PLAN = Schedule([Ramp(600, 100), Ramp(1120, 150), Ramp(1222, 60), Hold(10)])


def straight(to_c: float, rate: float) -> Schedule:
    return Schedule([Ramp(to_c, rate)])


class TestCones:
    def test_no_temperature_without_rate_and_trust(self) -> None:
        assert len(cone_series()) > 1
        for series in cone_series():
            for row in cone_temperatures(series=series):
                said = row.text()
                assert f"{row.temp_c:g} °C, heat" in said and row.series in said
                assert ("not today's" in said) == (row.source == "hecht_1896")
                assert ("not reported" in said) == (row.rate_c_per_h is None)

    def test_06_is_not_6(self) -> None:
        low, high = cone_temperatures("06"), cone_temperatures("6")
        assert {row.cone for row in low} == {"06"} and {row.cone for row in high} == {"6"}
        assert max(row.temp_c for row in low) + 150 < min(row.temp_c for row in high)

    def test_a_range_gives_both(self) -> None:
        assert [row.cone for row in cone_temperatures("5-6")] == ["5", "5", "5", "5.5", "5.5", "5.5", "6", "6", "6"]
        assert [row.cone for row in cone_temperatures("01-1")] == ["01"] * 3 + ["1"] * 3

    def test_faster_never_needs_less_heat(self) -> None:
        by_rate: dict[str, dict[float, float]] = {}
        for row in cone_temperatures():
            by_rate.setdefault(row.cone, {})[row.rate_c_per_h or 0] = row.temp_c
        assert {cone for cone, rates in by_rate.items() if set(rates) != {15, 60, 150}} == {"022", "021", "020"}
        for rates in by_rate.values():
            in_order = [rates[rate] for rate in sorted(rates)]
            assert len(in_order) > 1 and in_order == sorted(set(in_order))

    def test_at_each_rate_a_higher_cone_is_hotter(self) -> None:
        for rate in (15, 60, 150):
            temps = [row.temp_c for row in cone_temperatures() if row.rate_c_per_h == rate]
            assert temps == sorted(set(temps)) and len(temps) > 33

    def test_a_cone_that_is_not_there(self) -> None:
        assert cone_temperatures("42") == ()
        with pytest.raises(NumberError):
            cone_temperatures("cold")
        with pytest.raises(DataError, match="did you mean"):
            cone_temperatures("6", cone_series()[0].replace(",", ""))


class TestHeatWork:
    def added_up_slowly(self, curve: tuple[tuple[float, float], ...], activation: float) -> float:
        """Minutes at the peak by adding a hundred thousand thin slices, each as if it were flat."""
        peak = max(temp for _, temp in curve) + 273.15
        slices, total = 100_000, 0.0
        for (start_h, start_c), (end_h, end_c) in pairwise(curve):
            width = (end_h - start_h) / slices
            for number in range(slices):
                temp = start_c + (end_c - start_c) * (number + 0.5) / slices + 273.15
                total += width * exp(activation / peak - activation / temp)
        return 60 * total

    def test_the_closed_form_against_thin_slices(self) -> None:
        curve = PLAN.curve()
        for activation in (40_000.0, 85_000.0, 170_000.0):
            assert 60 * _hours_at(1222, curve, activation) == pytest.approx(self.added_up_slowly(curve, activation), rel=2e-5)

    def test_a_hold_alone_is_its_own_minutes(self) -> None:
        assert heat_work(((0, 1222), (0.5, 1222))).minutes_at_peak == pytest.approx(30)

    def test_a_longer_hold_adds_its_minutes_exactly(self) -> None:
        longer = Schedule([*PLAN.steps[:3], Hold(25)])
        assert heat_work(longer).minutes_at_peak - heat_work(PLAN).minutes_at_peak == pytest.approx(15)

    def test_the_curve_does_not_care_how_it_is_cut(self) -> None:
        whole, cut = ((0, 20), (12, 1220)), ((0, 20), (5, 520), (11.5, 1170), (12, 1220))
        assert heat_work(cut).minutes_at_peak == pytest.approx(heat_work(whole).minutes_at_peak, rel=1e-9)

    def test_slower_is_more(self) -> None:
        minutes = [heat_work(straight(1222, rate)).minutes_at_peak for rate in (150, 100, 60, 20)]
        assert minutes == sorted(minutes) and minutes[-1] > 6 * minutes[0]

    def test_the_steepness_makes_two_rows_of_a_cone_the_same_heat_work(self) -> None:
        """Reckoned here from the file: T^2/rate exp(-steepness/T) is the same at both rates that it is read from."""
        with (data_dir() / "cone_temperatures.csv").open(encoding="utf-8", newline="") as stream:
            rows = [row for row in csv.DictReader(stream) if row["rate_c_per_h"]]
        for cone in CONES:
            own = sorted((float(row["rate_c_per_h"]), float(row["temp_c"]) + 273.15) for row in rows if row["cone"] == cone)
            pairs = [*pairwise(own), (own[0], own[-1])][: len(_own_ways(cone))]
            for pair, way in zip(pairs, _own_ways(cone), strict=True):
                first, second = (2 * log(temp) - log(rate) - way.activation_k / temp for rate, temp in pair)
                assert first == pytest.approx(second, abs=1e-9)

    def test_it_has_a_range_a_source_and_the_warning(self) -> None:
        work, band = heat_work(PLAN), cone_band(PLAN)
        assert work.low_minutes < work.minutes_at_peak < work.high_minutes and band.low < band.place < band.high
        assert {(one.source, one.status) for one in (work, band)} == {("self_supporting_cones", "seen")}
        assert all(said.startswith("Sketch:") and WARNING in said for said in (work.text(), band.text()))

    def test_no_word_of_the_workshop_reaches_a_learner(self) -> None:
        for word in ("fitted", "memory", "status"):
            assert word not in heat_work(PLAN).text() + cone_band(PLAN).text()

    def test_what_is_no_firing(self) -> None:
        with pytest.raises(ScheduleError, match="in the order of time"):
            heat_work(((1, 20), (0, 1200)))
        with pytest.raises(GlazekitError):
            heat_work(((0, 20), (1, 9000)))


class TestConeBand:
    @pytest.mark.parametrize("row", cone_temperatures(), ids=lambda row: f"{row.cone} at {row.rate_c_per_h:g}")
    def test_every_row_of_the_table_comes_back_within_half_a_cone(self, row) -> None:  # type: ignore[no-untyped-def]
        band = cone_band(straight(row.temp_c, row.rate_c_per_h))
        assert band.place == pytest.approx(CONES.index(row.cone), abs=0.5)
        assert band.low <= band.place <= band.high
        assert band.perhaps and CONES.index(band.perhaps) - CONES.index(row.cone) in (0, 1)

    @pytest.mark.parametrize("cone", CONES[:-1])
    def test_a_climb_between_two_rates_bends_a_cone_between_their_temperatures(self, cone: str) -> None:
        """At 30 and 100 C/h, which the table does not have."""
        temps = {row.rate_c_per_h: row.temp_c for row in cone_temperatures(cone)}
        for slow, rate, fast in ((15, 30, 60), (60, 100, 150)):
            if slow in temps:
                cool, hot = (cone_band(straight(temps[one], rate)).place for one in (slow, fast))
                assert cool < CONES.index(cone) < hot

    def test_a_hold_goes_on_and_a_slower_climb_does_more(self) -> None:
        places = [cone_band(Schedule([Ramp(1122, 150), Ramp(1222, 60), *more])).place for more in ((), [Hold(10)], [Hold(30)])]
        assert places == sorted(set(places)) and places[0] == CONES.index("6")
        assert cone_band(straight(1222, 150)).place < places[0] < cone_band(straight(1222, 30)).place

    def test_only_the_last_stretch_counts(self) -> None:
        """A table for the last 100 C: what the kiln did before changes the cone by less than a tenth."""
        calm, wild = (cone_band(Schedule([Ramp(1122, early), Ramp(1222, 60)])).place for early in (60, 400))
        assert calm == pytest.approx(wild, abs=0.1)

    @pytest.mark.parametrize(("to_c", "lowest", "highest"), [(950, "09", "07"), (1000, "07", "06"), (1060, "05", "03")])
    def test_bisque_earthenware_and_raku_get_an_answer(self, to_c: float, lowest: str, highest: str) -> None:
        band = cone_band(straight(to_c, 100))
        assert CONES.index(lowest) <= band.place <= CONES.index(highest)

    @pytest.mark.parametrize("hold", [[], [Hold(30)]])
    def test_hotter_is_never_less(self, hold: list[Hold]) -> None:
        found = [cone_band(Schedule([Ramp(temp - 50, 150), Ramp(temp, 80), *hold])) for temp in range(550, 1450, 5)]
        for read in ("low", "place", "high"):
            places = [getattr(band, read) for band in found]
            assert all(later >= sooner - 1e-9 for sooner, later in pairwise(places)) and places[-1] > places[0] + 20

    def test_beyond_both_ends(self) -> None:
        cold, hot = cone_band(straight(500, 150)), cone_band(straight(1450, 20))
        assert (cold.down, cold.perhaps) == (None, None) and numbers_in(cold.text()) == [22]
        assert hot.beyond and numbers_in(hot.text()) == [14]


def met(low_c: float, high_c: float) -> list[FiringEvent]:
    return [event for event in firing_events() if event.meets(low_c, high_c)]


class TestNotes:
    def test_quartz_turns_on_the_way_up_and_down(self) -> None:
        assert [event.when for event in met(573, 573) if "quartz" in event.event] == ["heating", "cooling"]
        assert not any("quartz" in event.event for event in met(574, 600))

    def test_cristobalite_turns_both_ways(self) -> None:
        up, down = Schedule([Ramp(240, 100)], start_c=200), Schedule([Ramp(200, 100)], start_c=240)
        for plan in (up, down):
            (one,) = passings(plan, bisque=True)
            assert one.event.event.startswith("cristobalite")

    def test_what_has_no_known_end_goes_on(self) -> None:
        assert any(event.high_c is None and event.event.startswith("barium") for event in met(1400, 1450))

    def test_only_what_lies_on_the_way(self) -> None:
        found = passings(Schedule([Ramp(500, 100)], start_c=300))
        assert [one.event.event.split()[0] for one in found] == ["copper", "magnesium"]

    def test_gas_of_whiting_and_of_strontium_in_a_glaze_leaves_before_the_last_hundred_degrees(self) -> None:
        """Over chalk, lg p[atm] = 7.08 - 8308/T (recalled): a hundredth of the air at the lower end, all of it at the upper."""
        ranges = {one.event.split()[0]: (one.low_c, one.high_c) for one in firing_events() if one.status == "memory"}
        low, high = ranges["whiting"]
        pressure = [10 ** (7.08 - 8308 / (temp_c + 273.15)) for temp_c in (low, high or 0)]
        assert pressure[0] == pytest.approx(0.01, rel=0.3) and pressure[1] == pytest.approx(1, rel=0.05)
        assert ranges["strontium"][1] <= PLAN.peak_c - 100

    def test_too_fast_is_said_with_both_rates(self) -> None:
        fast, slow = (Schedule([Ramp(700, rate)], start_c=1000) for rate in (100, 50))
        assert not any(one.too_fast for one in passings(slow))
        through = Schedule([Ramp(500, 80)], start_c=1000)
        (said,) = (one.text() for one in passings(through) if one.too_fast)
        assert numbers_in(said)[-2:] == [80, 50]
        assert not any(one.too_fast for one in passings(fast)), "it stops above 573"

    def test_a_bisque_firing_has_more_to_look_out_for(self) -> None:
        plan = Schedule([Ramp(1000, 120)])
        assert len(passings(plan, bisque=True)) > len(passings(plan))
        fast = [one.event for one in passings(plan, bisque=True) if one.too_fast]
        assert len(fast) == 2 and all("water" in event.event and event.firing == "bisque" for event in fast)

    def test_the_ranges_are_the_right_way_round(self) -> None:
        ranges = [(event.low_c, event.high_c) for event in firing_events() if event.high_c is not None]
        assert len(ranges) > 9 and all(low <= high for low, high in ranges)


class TestElectricity:
    def test_by_hand(self) -> None:
        """10 h of heating and 1 h of hold at 8 kW: 8 x (10 x 0.5 + 0.4) = 43.2 to 8 x (8 + 0.8) = 70.4 kWh."""
        found = firing_energy(Schedule([Ramp(1020, 100), Hold(60)]), 8)
        assert (found.low_kwh, found.high_kwh) == pytest.approx((43.2, 70.4))
        assert "practice" in found.text() and "meter" in found.text()

    def test_never_more_than_all_of_it(self) -> None:
        plan = Schedule([*PLAN.steps, Ramp(900, 50)])
        found = firing_energy(plan, 7)
        assert found.low_kwh < found.high_kwh < 7 * plan.hours

    def test_a_power_no_kiln_has(self) -> None:
        with pytest.raises(RangeError, match="the power of the kiln is 7000 kW"):
            firing_energy(PLAN, 7000)


def test_the_public_names_are_these() -> None:
    assert gk.Schedule is Schedule and gk.cone_temperatures is cone_temperatures and gk.heat_work is heat_work
