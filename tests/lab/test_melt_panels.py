"""Firing sketch and Slope tray, driven by ``.value``: against hand sums, the cone table and an integral of our own."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from itertools import pairwise
from pathlib import Path

import pytest
from saying import says
from wording import spoken

import glazekit as gk
from glazekit.folder.glaze import glaze_as_used
from glazekit.folder.shelf import save_bag, save_recipe
from glazekit.glass.melt import viscosity
from glazekit.glass.run import flow_shares
from glazekit.ground.tables import read_table
from glazekit.kiln.cones import cone_temperatures
from glazekit.lab.page import Page
from glazekit.lab.panels.firing_log import FiringLog
from glazekit.lab.panels.firing_sketch import FiringSketch
from glazekit.lab.panels.slope_tray import SlopeTray
from glazekit.lab.parts.firing_plan import class_firing, kept_plan
from glazekit.materials.material import Material

Reopen = Callable[[str], Page]
LOG = "0:00 20\n2:00 230\n4:00 430\n6:00 610\n7:00 ?\n8:00 900\n10:00 1130\n12:00 1221"

CLAY_WATER, OWN_BAG = "clay gives up its water", "whiting, lot B"
CONE_LINE = re.compile(r"cone ([\w.]+): ([\d.]+)")
RUNS, STAYS = "runs off (90 %: moves to runs off), fitted", "stays (90 %: no other grade), fitted"


@pytest.fixture
def sketch(reopen: Reopen) -> FiringSketch:
    return reopen("10").panel("firing sketch")  # type: ignore[return-value]


@pytest.fixture
def log(reopen: Reopen) -> FiringLog:
    return reopen("10").panel("firing log")  # type: ignore[return-value]


@pytest.fixture
def tray(reopen: Reopen) -> SlopeTray:
    return reopen("10").panel("slope tray", recipe="Overboard")  # type: ignore[return-value]


def tile_in_book(page: Page, recipe: gk.Recipe, label: str, seen: str = "") -> str:
    batch = page.book.add("batch", **glaze_as_used(recipe), base_g=100)
    tile = page.book.add("tile", label=label, body="white", application="pour", batch=batch.id)
    if seen:
        page.book.add("result", tile=tile.id, seen=seen)
    return tile.id


class TestFiringSketch:
    def test_hours_of_the_course(self, sketch: FiringSketch) -> None:
        """Exercise 10.1: 580/100 + 520/150 + 102/60 + 10/60 = 11.13 h."""
        assert sketch.said.startswith("11.13 hours") and says(sketch, "peak", peak="1222")
        sketch.plan.sliders["hold"].value = "0"
        assert sketch.said.startswith("10.97 hours")

    def test_slow_cooling_is_told_apart(self, sketch: FiringSketch) -> None:
        sketch.plan.sliders["cooling"].value = "80"
        assert says(sketch, "hours", hours="11.13") and says(sketch, "cooling", hours=f"{(1222 - 900) / 80:.2f}")

    def test_a_faster_last_climb_gives_less_heat_work_at_the_same_display(self, sketch: FiringSketch) -> None:
        def minutes() -> int:
            return int(re.search(r"as much heat work as (\d+) minutes at 1222", sketch.said)[1])  # type: ignore[index]

        slow, cones = minutes(), sketch.cones.value
        sketch.plan.sliders["last"].value = "150"
        assert minutes() < slow and sketch.cones.value != cones

    def test_no_cone_temperature_without_its_rate_and_status(self, sketch: FiringSketch) -> None:
        for peak in ("1000", "1222", "1290"):
            sketch.plan.sliders["peak"].value = peak
            lines = re.findall(r"<li>(.*?)</li>", sketch.near.value)
            assert lines and all(" °C/h (" in line and "your own cones" in line for line in lines)
            near = {(row.cone, row.temp_c) for row in cone_temperatures() if abs(row.temp_c - float(peak)) <= 15}
            assert {(one[1], float(one[2])) for line in lines if (one := CONE_LINE.match(line))} == near

    def test_it_never_commands(self, sketch: FiringSketch) -> None:
        assert "Sketch" in sketch.said and "switch off" in sketch.said
        assert "Sketch" in sketch.cones.value and says(sketch, "kiln_care", sketch.caution)

    def test_quartz_passed_too_fast_on_the_way_down_is_named(self, sketch: FiringSketch) -> None:
        sketch.plan.way.value = "words"
        sketch.plan.own.value = "100/h to 1000\nhold 10 min\n40/h down to 500"
        assert not says(sketch, "too_fast", sketch.passed) and "573" in sketch.passed.value
        sketch.plan.own.value = "100/h to 1000\nhold 10 min\n120/h down to 500"
        assert says(sketch, "too_fast", sketch.passed, rate="50")

    def test_bisque_brings_what_clay_does(self, sketch: FiringSketch) -> None:
        assert CLAY_WATER not in sketch.passed.value
        sketch.kind.value = "bisque"
        assert CLAY_WATER in sketch.passed.value

    def test_a_plan_that_cannot_be_read_is_one_sentence_and_dims(self, sketch: FiringSketch) -> None:
        sketch.plan.way.value = "words"
        sketch.plan.own.value = "as hot as it goes"
        assert "line 1" in sketch.said and "gk-stale" in sketch.box._dom_classes

    def test_electricity_is_practice_and_waits_for_a_power(self, sketch: FiringSketch) -> None:
        assert "kWh" not in sketch.energy.value
        sketch.power.value = "7 kW"
        low, high = map(int, re.search(r"(\d+) to (\d+) kWh", sketch.energy.value).groups())  # type: ignore[union-attr]
        assert 0 < low < high <= 7 * 11.2 and "practice" in sketch.energy.value

    def test_the_plan_is_left_for_the_other_benches_and_comes_back(self, reopen: Reopen, sketch: FiringSketch) -> None:
        assert kept_plan(reopen("10")).text() == class_firing().text()
        sketch.plan.sliders["peak"].value = "1240"
        assert kept_plan(reopen("10")).peak_c == 1240
        again: FiringSketch = reopen("10").panel("firing sketch")  # type: ignore[assignment]
        assert again.plan.schedule().peak_c == 1240

    def test_the_firing_sheet_holds_the_plan_once_it_was_moved(self, sketch: FiringSketch) -> None:
        """As the class left it, an invented firing, it is not printed for somebody else's kiln."""
        sheet = sketch.desk.print_sheet("firing sheet")
        assert "1222" not in sheet.html()  # type: ignore[attr-defined]
        sketch.plan.sliders["peak"].value = "1237"
        assert "1237" in sheet.html()  # type: ignore[attr-defined]

    def test_a_damaged_plan_is_the_classs_own(self, reopen: Reopen) -> None:
        page = reopen("10")
        page.state.put("10", "firing plan", "nonsense")  # as a later version may leave it
        assert kept_plan(page) == class_firing()


class TestFiringLog:
    def test_what_comes_off_the_glaze_and_the_ticked_tiles_is_named(self, reopen: Reopen) -> None:
        """Manganese is in the tile, nitre in the glaze named; nothing is said of a tile that is not in this kiln."""
        page = reopen("10")
        tile = tile_in_book(page, gk.Recipe("Brown", {"quartz": 60, "whiting": 40}, {"manganese dioxide": 5}, "parts"), "B1")
        tile_in_book(page, gk.Recipe("Old Red", {"red lead": 60, "quartz": 40}), "L1")
        save_recipe(page.folder, gk.Recipe("Nitre", {"saltpetre": 10, "quartz": 90}))
        log: FiringLog = page.panel("firing log")  # type: ignore[assignment]

        def named() -> set[str]:
            rows = [row for row in read_table("cautions") if row["moment"] == "firing"]
            return {row["key"] for row in rows if row["text"].split("}")[-1] in unescape(log.caution.value)}

        assert not named()
        log.glaze.value = "Nitre"
        assert {"nitrate", "gas"} == named()
        log._tile_ticks[tile].value = True
        assert {"nitrate", "toxic", "manganese"} <= named() and "lead" not in named()

    def test_readings_lie_over_the_plan_and_a_doubtful_one_is_told(self, log: FiringLog) -> None:
        assert 'class="did"' not in log.picture.value
        log.log.value = LOG
        assert log.picture.value.count('class="reading"') == 7
        assert "7 h" in log.said and "1221" in log.said
        log.log.value = "yesterday it was hot"
        assert "line 1" in log.said

    def test_into_the_book_and_a_tile_points_to_it(self, log: FiringLog) -> None:
        tile = tile_in_book(log.desk, gk.demo_recipe("Overboard"), "O1")
        log.refresh()
        log.do(log.write)
        missing = spoken("parts.frame.say_first", log.said)
        assert missing and missing["what"].count(",") >= 1 and not log.desk.book.entries("firing")
        log.cones["top"].value = "6"
        log.do(log.write)
        assert spoken("parts.frame.say_first", log.said) and says(log, "half_a_cone"), "all that is missing at once"
        log.kiln.value, log.atmosphere.value, log.log.value = "Kitty", "oxidation", LOG
        log.cones["top"].value = "6"
        log.do(log.write)
        assert says(log, "half_a_cone")
        log.states["top"].value = "down"
        log.cones["bottom"].value, log.states["bottom"].value = "6", "leaning"
        (box,) = log.tiles.children
        box.value = True
        log.do(log.write)
        (firing,) = log.desk.book.entries("firing")
        assert (firing.data["cone_seen"], firing.data["peak_c"], len(firing.data["readings"])) == ("6", 1221, 8)
        assert firing.data["witness_cones"] == [["top", "6", "down"], ["bottom", "6", "leaning"]]
        assert log.desk.book.entry(tile).data["firing"] == firing.id and not log.tiles.children

    def test_a_glaze_made_for_the_other_air_is_told_to_be_unchecked(self, log: FiringLog) -> None:
        log.glaze.value = "Gangway Clear"
        for air, told in (("reduction", True), ("oxidation", False), ("neutral", False)):
            log.atmosphere.value = air
            assert says(log, "other_air", log.caution, recipe="Gangway Clear", made="oxidation") == told
        log.glaze.value = next(n for n, r in log.recipes.items() if r.atmosphere == "reduction")
        for air, told in (("reduction", False), ("oxidation", True)):
            log.atmosphere.value = air
            assert says(log, "other_air", log.caution, made="reduction") == told

    def test_zinc_and_a_flame_are_refused(self, log: FiringLog) -> None:
        log.kiln.value, log.atmosphere.value = "Gus", "oxidation"
        log.cones["top"].value, log.states["top"].value = "6", "down"
        log.glaze.value = "Overboard"
        assert not says(log, "blocked", log.caution)
        log.fuel.value = "gas"
        assert says(log, "blocked", log.caution)
        log.do(log.write)
        assert says(log, "blocked") and not log.desk.book.entries("firing")


class TestSlopeTray:
    def test_it_leads_with_the_class_and_never_says_millimetres_of_run(self, tray: SlopeTray) -> None:
        assert says(tray, "said", name="Overboard", coat="0.20", angle="45", run=RUNS)
        shown = tray.said + tray.meaning.value + tray.picture.value
        assert re.findall(r"[\d.]+ ?mm", shown) == ["0.20 mm"], "the coat is the only millimetre"

    def test_a_potter_reads_it_before_any_figure(self, tray: SlopeTray) -> None:
        """The melt beside honey, which is 10 Pa s: the viscosity's number and interval less one step, as times."""
        for glaze, ends in (("Overboard", "may_be"), ("Late Boat", "sure")):
            tray.glaze.choice.value = glaze
            opening, _, folded = tray.meaning.value.partition("<details>")
            assert says(tray, ends, opening) and "log10" not in opening and "log10" in folded
            melt = viscosity(gk.demo_recipe(glaze), 1222)
            told = spoken("lesson_10.panel.slope_tray.honey", opening) or {}
            for name, power in (("times", melt.value), ("low", melt.low), ("high", melt.high)):
                assert float(told[name].replace(" ", "")) == pytest.approx(10**power / 10, rel=0.06)
        tray.glaze.choice.value = "Mooring White"
        assert not says(tray, "honey", tray.meaning) and not says(tray, "sure", tray.meaning)

    def test_kaolin_stiffens_and_a_thinner_coat_stays(self, tray: SlopeTray) -> None:
        before = viscosity_of(tray)
        tray.glaze.more.value = "kaolin"
        tray.glaze.add()
        tray.glaze.sliders["kaolin"].value = "20"
        assert viscosity_of(tray) > before + 0.3
        tray.glaze.choice.value = "Late Boat"
        tray.coat.value = "0.1"
        assert says(tray, "said", name="Late Boat", coat="0.10", angle="45") and f"{STAYS}, uncertain" in tray.said

    @pytest.mark.parametrize(("coat", "angle"), [("0.3", "10"), ("0.1", "45")])
    def test_less_coat_or_slope_is_never_more_running(self, tray: SlopeTray, coat: str, angle: str) -> None:
        tray.glaze.choice.value = "Gangway Clear"
        order = ["stays", "moves", "runs", "runs off"]

        def reached() -> int:
            words = re.search(r"degrees: (stays|moves|runs off|runs)", tray.said)
            return order.index(words[1])  # type: ignore[index]

        tray.coat.value, tray.angle.value = "0.5", "60"
        much = reached()
        tray.coat.value, tray.angle.value = coat, angle
        assert reached() < much

    def test_a_ratio_with_its_interval_against_the_stand_in(self, tray: SlopeTray) -> None:
        tray.glaze.choice.value = "Handrail Clear"
        times, low, high = map(float, re.search(r"flows: ([\d.]+) times .*?90 %: ([\d.]+) to ([\d.]+)", tray.said).groups())  # type: ignore[union-attr]
        assert (
            low < times < high
            and says(tray, "parts.reference_picker.stand_in")
            and says(tray, "parts.reference_picker.none_yet", tray.about_reference)
        )
        tray.glaze.choice.value = "Gangway Clear"
        assert "same glaze" in tray.said and "times" not in tray.said

    def test_a_tile_of_the_book_becomes_the_reference(self, reopen: Reopen) -> None:
        page = reopen("10")
        tile_in_book(page, gk.demo_recipe("Handrail Clear"), "H1", "glossy, ran a little")
        tray: SlopeTray = page.panel("slope tray", recipe="Gangway Clear")  # type: ignore[assignment]
        assert "tile H1" in tray.said and "stand-in" not in tray.said
        assert "reference" in tray.picture.value and "tile H1" in tray.meaning.value

    def test_the_hold_is_the_small_part_by_an_integral_of_our_own(self, tray: SlopeTray) -> None:
        before, hold, after = map(int, re.search(r"flows: about (\d+) % .*?, (\d+) % .*?, (\d+) %", tray.meaning.value).groups())  # type: ignore[union-attr]
        curve = tray.firings.curve()
        parts = [0.0, 0.0, 0.0]
        step = 1 / 120  # hours
        peak_h = [hours for hours, temp_c in curve if temp_c == 1222]
        for i in range(int(curve[-1][0] / step)):
            hours = (i + 0.5) * step
            temp_c = next(
                c0 + (c1 - c0) * (hours - h0) / (h1 - h0) for (h0, c0), (h1, c1) in pairwise(curve) if h0 <= hours <= h1
            )
            if temp_c > 600:
                value = viscosity(gk.demo_recipe("Overboard"), temp_c).value
                assert value is not None
                parts[0 if hours < peak_h[0] else 1 if hours < peak_h[-1] else 2] += step * 10**-value
        assert [before, hold, after] == pytest.approx([100 * part / sum(parts) for part in parts], abs=1)
        assert hold < before and hold < after

    def test_without_a_hold_no_share_is_told_for_it(self, tray: SlopeTray) -> None:
        tray.firings.widget.value = "no_hold"
        assert says(tray, "no_hold_shares", tray.meaning) and not says(tray, "shares", tray.meaning)

    def test_my_plan_and_my_firing_can_be_laid_on_it(self, reopen: Reopen) -> None:
        page = reopen("10")
        tray: SlopeTray = page.panel("slope tray", recipe="Gangway Clear")  # type: ignore[assignment]
        sketch: FiringSketch = page.panel("firing sketch")  # type: ignore[assignment]
        tray.firings.widget.value = "my_plan"
        sketch.plan.sliders["peak"].value = "1150"
        assert "1150 °C" in tray.meaning.value
        log: FiringLog = page.panel("firing log")  # type: ignore[assignment]
        log.kiln.value, log.atmosphere.value, log.log.value = "Kitty", "oxidation", LOG
        log.cones["top"].value, log.states["top"].value = "6", "down"
        log.do(log.write)
        (label,) = [value for text, value in tray.firings.widget.options if "Kitty" in text]
        tray.firings.widget.value = label
        assert "1221 °C" in tray.meaning.value

    def test_outside_the_measured_glasses_the_reason_stands_in_words(self, tray: SlopeTray) -> None:
        tray.glaze.choice.value = "Mooring White"
        assert "no grade" in tray.said and "measured glasses" in tray.said and "?" in tray.picture.value
        assert tray.picture.value.count('class="tongue"') == 1, "the stand-in alone"

    def test_what_was_seen_greys_the_class_with_its_reason(self, tray: SlopeTray) -> None:
        tray.glaze.choice.value = "Late Boat"
        assert "stroke-dasharray" in tongue(tray) and says(tray, "weak"), "it has not melted, and the tray knows"
        tray.glaze.choice.value = "Gangway Clear"
        assert "stroke-dasharray" not in tongue(tray)
        tray.seen.value = "underfired"
        assert says(tray, "weak") and says(tray, "weak") and "stroke-dasharray" in tongue(tray)

    def test_a_third_tile_beside_them(self, reopen: Reopen) -> None:
        tray: SlopeTray = reopen("10").panel("slope tray", recipe="Overboard", beside="Late Boat")  # type: ignore[assignment]
        assert tray.picture.value.count('class="tongue"') == 3 and "Boat: stays" in tray.picture.value
        tray.beside.value = ""
        assert tray.picture.value.count('class="tongue"') == 2

    def test_every_glaze_gets_the_slab_and_its_own_cautions(self, tray: SlopeTray) -> None:
        assert "waste slab" in tray.caution.value and "red iron oxide" in tray.caution.value

    def test_own_bags_are_counted_and_named_once_the_learner_says_so(self, tmp_path: Path, reopen: Reopen) -> None:
        """A whiting with a tenth of magnesia is another flux: the viscosity moves, and the tray says whose whiting it was."""
        plain = viscosity_of(reopen("10").panel("slope tray", recipe="Overboard"))  # type: ignore[arg-type]
        bag = Material("whiting", "bag", {"CaO": 30.0, "MgO": 10.0, "SiO2": 30.0}, loi_wt_pct_raw=30.0, lot="B")
        save_bag(tmp_path, bag)
        reopen("08").panel("new bag").everywhere.value = True  # type: ignore[attr-defined]
        tray: SlopeTray = reopen("10").panel("slope tray", recipe="Overboard")  # type: ignore[assignment]
        assert viscosity_of(tray) != plain and says(tray, "parts.frame.own_bags", tray.counted_with, bags=OWN_BAG)

    def test_an_unknown_glaze_names_the_nearest(self, reopen: Reopen) -> None:
        with pytest.raises(gk.GlazekitError, match="Late Boat"):
            reopen("10").panel("slope tray", beside="Late Boot")


def viscosity_of(tray: SlopeTray) -> float:
    return float(re.search(r"viscosity at 1222 °C: ([\d.]+)", tray.meaning.value)[1])  # type: ignore[index]


def tongue(tray: SlopeTray) -> str:
    """The second tongue of the drawing: the glaze on the tray."""
    return re.findall(r'<path class="tongue"[^>]*>', tray.picture.value)[1]


def test_flow_shares_sum_to_one_and_are_silent_outside() -> None:
    shares = flow_shares(gk.demo_recipe("Gangway Clear"), [(0, 20), (12, 1222), (12.5, 1222), (20, 20)])
    assert shares is not None and shares.before + shares.hold + shares.after == pytest.approx(1)
    assert flow_shares(gk.demo_recipe("Mooring White"), [(0, 20), (12, 1222)]) is None
    only_up = flow_shares(gk.demo_recipe("Gangway Clear"), [(0, 20), (12, 1222)])
    assert only_up is not None and (only_up.before, only_up.hold, only_up.after) == (1, 0, 0)
    assert flow_shares(gk.demo_recipe("Gangway Clear"), [(0, 20), (12, 500)]) is None, "nothing melts"
