"""Two-strip sketch and Fit gauge, driven by ``.value``: against hand sums from the table of factors and a book of tiles."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from saying import says
from wording import text_of

import glazekit as gk
from glazekit.folder.glaze import glaze_as_used
from glazekit.glass.composition import counted_formula
from glazekit.glass.sums import expansion
from glazekit.lab.page import Page
from glazekit.lab.panels.fit_gauge import FitGauge
from glazekit.lab.panels.two_strip_sketch import TwoStripSketch

Reopen = Callable[[str], Page]
FACTORS = Path(__file__).parents[2] / "data" / "expansion_factors.csv"

LAMP, CLEAR, GANTRY = "Cracked Lamp (C1)", "Gangway Clear (G1)", "Gantry Clear (T1)"
MOORING = "Mooring White, tile F1"


@pytest.fixture
def strips(reopen: Reopen) -> TwoStripSketch:
    return reopen("09").panel("two-strip sketch")  # type: ignore[return-value]


@pytest.fixture
def gauge(reopen: Reopen) -> FitGauge:
    return reopen("09").panel("fit gauge")  # type: ignore[return-value]


def tile_in_book(page: Page, recipe: gk.Recipe, label: str, seen: str, body: str = "white", firing: str | None = None) -> None:
    batch = page.book.add("batch", **glaze_as_used(recipe), base_g=100)
    tile = page.book.add("tile", label=label, body=body, application="pour", batch=batch.id, firing=firing)
    page.book.add("result", tile=tile.id, seen=seen)


def factors() -> dict[str, float]:
    with FACTORS.open(encoding="utf-8", newline="") as file:
        return {row["oxide"]: float(row["factor_1e6_per_k"]) for row in csv.DictReader(file)}


def sum_by_hand(recipe: gk.Recipe) -> float:
    """Factors of the table by the moles of the unity formula, without the glass room."""
    formula = gk.unity_formula(recipe)
    moles = {oxide: formula[oxide] for oxide in factors()}
    return sum(factors()[oxide] * share for oxide, share in moles.items()) / sum(moles.values())


def number_and_interval(text: str) -> tuple[float, float, float]:
    found = re.search(r"([+−]?[\d.]+) \(90 %: ([+−]?[\d.]+) to ([+−]?[\d.]+)\)", text)
    assert found, text
    return tuple(float(number.replace("−", "-")) for number in found.groups())  # type: ignore[return-value]


class TestTwoStripSketch:
    def test_while_soft_nothing_acts(self, strips: TwoStripSketch) -> None:
        assert "still soft" in strips.said and 'class="arrow"' not in strips.picture.value

    def test_mismatch_by_hand(self, strips: TwoStripSketch) -> None:
        """1.1 millionths x (600 - 20) = 638 millionths = 0.0638 %."""
        strips.apart.value, strips.temp.value = "1,1", "20"
        assert strips.mismatch_pct() == pytest.approx(0.0638) and says(strips, "shorter", pct="0.064")

    def test_more_is_pulled_and_crazes_less_is_squeezed_and_flakes(self, strips: TwoStripSketch) -> None:
        strips.temp.value = "20"
        pulled = strips.picture.value
        assert "is pulled" in strips.said and "crazing" in strips.said and "shivering" not in strips.said
        strips.apart.value = "-1"
        assert "is squeezed" in strips.said and "shivering" in strips.said and "crazing" not in strips.said
        assert strips.picture.value != pulled

    def test_alike_is_neither(self, strips: TwoStripSketch) -> None:
        strips.apart.value, strips.temp.value = "0", "20"
        assert "shrunk alike" in strips.said and 'class="arrow"' not in strips.picture.value

    def test_it_knows_no_limit_and_says_so(self, strips: TwoStripSketch) -> None:
        assert says(strips, "set_point", strips.meaning)


class TestFitGauge:
    def test_with_no_fired_tile_it_says_that_a_demo_glaze_stands_in(self, gauge: FitGauge) -> None:
        assert says(gauge, "parts.reference_picker.none_yet", gauge.about_reference) and says(
            gauge, "parts.reference_picker.stand_in"
        )

    def test_the_same_glaze_is_no_change(self, gauge: FitGauge) -> None:
        assert says(gauge, "said_same", name="Cracked Lamp") and "90 %" not in gauge.said
        assert not says(gauge, "likely_less", gauge.meaning)

    def test_it_leads_with_the_change_and_ends_with_the_tile(self, gauge: FitGauge) -> None:
        gauge.glaze.choice.value = "Gangway Clear"
        lamp, clear = (sum_by_hand(gk.demo_recipe(name)) for name in ("Cracked Lamp", "Gangway Clear"))
        change, low, high = number_and_interval(gauge.said)
        assert change == pytest.approx(clear - lamp, abs=0.006) and low < change < high < 0
        assert says(gauge, "towards_squeeze")
        assert says(gauge, "verdict")
        head = gauge.meaning.value.index("compared with")
        assert head < gauge.meaning.value.index("By itself"), "the change stands before the absolute number"
        absolute, low, high = number_and_interval(gauge.meaning.value[gauge.meaning.value.index("By itself") :])
        assert absolute == pytest.approx(clear, abs=0.06) and low < absolute < high

    def test_a_moved_powder_moves_the_change_the_way_the_chemistry_goes(self, gauge: FitGauge) -> None:
        picture = gauge.gauge.value
        gauge.glaze.sliders["nepheline syenite"].value, gauge.glaze.sliders["quartz"].value = "48", "24"
        down = number_and_interval(gauge.said)[0]
        assert down < -0.6 and gauge.gauge.value != picture
        gauge.glaze.back_to_the_card()
        gauge.glaze.sliders["nepheline syenite"].value, gauge.glaze.sliders["quartz"].value = "72", "0"
        assert number_and_interval(gauge.said)[0] > 0.3

    def test_where_the_interval_spans_nothing_no_direction_is_told(self, gauge: FitGauge) -> None:
        gauge.glaze.more.value = "kaolin"
        gauge.glaze.add()
        gauge.glaze.sliders["kaolin"].value = "5"
        change, low, high = number_and_interval(gauge.said)
        assert low < 0 < high and change < 0 and says(gauge, "towards_unknown")

    def test_the_bars_are_share_times_factor_and_sum_to_the_number(self, gauge: FitGauge) -> None:
        gauge.glaze.choice.value = "Gangway Clear"
        rows = re.findall(r">([\d.]+) mol % × (-?[\d.]+) = (-?[\d.]+)<", gauge.bars.value)
        assert len(rows) >= 6
        for mol, factor, adds in rows:
            assert float(mol) * float(factor) / 100 == pytest.approx(float(adds), abs=0.008)
            assert any(float(factor) == pytest.approx(known, abs=0.006) for known in factors().values())
        assert sum(float(row[2]) for row in rows) == pytest.approx(sum_by_hand(gk.demo_recipe("Gangway Clear")), abs=0.03)

    def test_a_clay_that_shrinks_more_pulls_less(self, gauge: FitGauge) -> None:
        def chance() -> int:
            return int(re.search(r"by the sum alone, chance of a pull: about (\d+) in 100", gauge.meaning.value)[1])  # type: ignore[index]

        before, said = chance(), gauge.said
        assert before > 50
        gauge.clay.value = "8,5"
        assert chance() < before and gauge.said == said, "the clay changes the chance, never the change of the glaze"
        assert says(gauge, "own_body", gauge.about_body)

    def test_a_clay_is_unmeasured_until_an_entry_says_otherwise(self, gauge: FitGauge) -> None:
        unmeasured = text_of("lesson_09.panel.fit_gauge.clay_unmeasured")
        assert says(gauge, "house", gauge.about_body) and unmeasured in gauge.gauge.value
        gauge.clay.value = "6,9"
        assert says(gauge, "own_body", gauge.about_body) and unmeasured not in gauge.gauge.value

    def test_a_clay_known_less_well_is_less_certain(self, gauge: FitGauge) -> None:
        gauge.clay_half.value = "0"
        sharp = re.search(r"alone, chance of a pull: about (\d+) in 100", gauge.meaning.value)
        gauge.clay_half.value = "2"
        blunt = re.search(r"alone, chance of a pull: about (\d+) in 100", gauge.meaning.value)
        assert sharp and blunt and int(sharp[1]) > int(blunt[1]) > 50

    def test_outside_the_measured_glasses_there_is_no_number_and_a_reason(self, gauge: FitGauge) -> None:
        gauge.glaze.choice.value = "Mooring White"
        assert says(gauge, "outside") and "measured glasses" in gauge.said
        shown = gauge.said + gauge.meaning.value
        assert says(gauge, "unit_help", shown) and not re.search(r"90 %: [+−-]?\d", shown)
        assert "No bars" in gauge.bars.value and "<svg" not in gauge.bars.value
        assert 'class="glaze"' not in gauge.gauge.value and "no number" in gauge.gauge.value
        assert "gk-weak" in gauge.gauge._dom_classes
        gauge.glaze.choice.value = "Gangway Clear"
        assert "gk-weak" not in gauge.gauge._dom_classes

    def test_what_was_seen_greys_the_number_with_its_reason(self, gauge: FitGauge) -> None:
        gauge.glaze.choice.value = "Gangway Clear"
        assert "stroke-dasharray" not in gauge.gauge.value
        gauge.seen.value = "matte"
        assert says(gauge, "greyed") and "crystals" in gauge.said and "stroke-dasharray" in gauge.gauge.value

    def test_food_and_flakes_are_named_and_the_powders_cautions_too(self, gauge: FitGauge) -> None:
        assert says(gauge, "food", gauge.caution)
        gauge.glaze.choice.value = "Deck Green"
        assert "copper carbonate" in gauge.caution.value

    def test_a_tile_of_the_book_becomes_the_reference(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "whole, week 1")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert "tile G1" in gauge.said and "stand-in" not in gauge.said

    def test_my_own_tile_can_be_written_here_and_is_read_back(self, gauge: FitGauge) -> None:
        note = gauge.note
        note.label.value, note.body.value, note.application.value, note.seen.value = "C1", "white", "pour", "crazed"
        gauge.do(note.write)
        assert len(gauge.desk.book.entries("result")) == 1
        assert says(gauge, "edges_crazed", gauge.meaning, crazed=LAMP)
        assert gauge.gauge.value.count('class="tile crazed"') == 1


class TestEdges:
    def test_none_is_drawn_from_nothing(self, gauge: FitGauge) -> None:
        assert says(gauge, "edges_none", gauge.meaning) and 'class="tile' not in gauge.gauge.value

    def test_an_edge_lies_between_two_tiles_that_are_named(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "glossy, no crazing")
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C1", "Crazed, a fine net")
        tile_in_book(page, gk.demo_recipe("Late Boat"), "L1", "dry")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert says(gauge, "edges_gap_maybe", gauge.meaning, whole=CLEAR, crazed=LAMP), "their firing is not in the book"
        assert gauge.gauge.value.count('class="tile ') == 2 and says(gauge, "edges_unread", gauge.meaning, count="1")

    def test_tiles_that_contradict_the_sum_are_believed(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "crazed")
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C1", "whole")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert says(gauge, "edges_mixed", gauge.meaning) and "edge lies" not in gauge.meaning.value

    def test_the_highest_flaked_tile_is_named(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Handrail Clear"), "H1", "shivered at the rim")
        tile_in_book(page, gk.demo_recipe("Gantry Clear"), "T1", "flaked, day 1")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert says(gauge, "edges_flaked", gauge.meaning, flaked=GANTRY)
        assert gauge.gauge.value.count('class="tile flaked"') == 2

    def test_a_reference_outside_the_data_is_told(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Mooring White"), "F1", "dry")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert says(gauge, "said_none", name="Cracked Lamp", reference=MOORING) and "alumina" in gauge.said
        assert number_and_interval(gauge.meaning.value)[0] > 6, "the number by itself stays"

    def test_an_edge_is_told_of_one_clay_and_one_firing(self, reopen: Reopen) -> None:
        page = reopen("09")
        hot, cool = (page.book.add("firing", kiln="a", cone_seen=cone, atmosphere="oxidation").id for cone in ("6", "4"))
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "whole", firing=hot)
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C1", "crazed", firing=cool)
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C2", "crazed", body="red", firing=hot)
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        for clay in ("", "white"):
            gauge.tiles.widget.value = clay
            assert says(gauge, "edges_apart", gauge.meaning) and not says(gauge, "edges_gap", gauge.meaning)
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C3", "crazed", firing=hot)
        gauge.refresh()
        assert says(gauge, "edges_gap", gauge.meaning, whole=CLEAR, crazed="Cracked Lamp (C3)", clay="white")

    def test_crazed_alone_is_told_from_the_lowest_on(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "crazed")
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C1", "crazed")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert says(gauge, "edges_crazed", gauge.meaning, crazed=CLEAR)

    def test_no_edge_is_told_from_a_number_that_is_grey(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "whole, matte")
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C1", "crazed")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        assert says(gauge, "edges_crazed", gauge.meaning, crazed=LAMP) and says(gauge, "edges_unread", gauge.meaning, count="1")

    def test_one_clay_at_a_time(self, reopen: Reopen) -> None:
        page = reopen("09")
        tile_in_book(page, gk.demo_recipe("Gangway Clear"), "G1", "whole", body="White")
        tile_in_book(page, gk.demo_recipe("Cracked Lamp"), "C1", "crazed", body="red")
        gauge: FitGauge = page.panel("fit gauge")  # type: ignore[assignment]
        gauge.tiles.widget.value = "white"
        assert says(gauge, "edges_whole", gauge.meaning) and gauge.gauge.value.count('class="tile ') == 1


@pytest.mark.parametrize("name", ["Cracked Lamp", "Gangway Clear", "Anchor Chain"])
def test_one_glaze_counted_by_two_ways_is_no_change(name: str) -> None:
    change = expansion(gk.demo_recipe(name), counted_formula(gk.demo_recipe(name))).change
    assert change is not None and (change.low, change.value, change.high) == (0, 0, 0)
