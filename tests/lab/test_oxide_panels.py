"""Oxide scales and gas meter, against the numbers of lesson 4."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest
from saying import says

from glazekit.drawing.bars import kiln_bars, loss_bars
from glazekit.drawing.moles import counted_dots, moles_per_dot
from glazekit.folder.shelf import save_bag, save_recipe
from glazekit.ground.errors import UnknownMaterialError
from glazekit.lab.page import Page
from glazekit.lab.panels.gas_meter import GasMeter
from glazekit.lab.panels.oxide_scales import OxideScales
from glazekit.materials.material import Material
from glazekit.recipe.recipe import Recipe

Reopen = Callable[[str], Page]


@pytest.fixture
def scales(reopen: Reopen) -> OxideScales:
    return reopen("04").panel("oxide scales")  # type: ignore[return-value]


@pytest.fixture
def meter(reopen: Reopen) -> GasMeter:
    return reopen("04").panel("gas meter")  # type: ignore[return-value]


def named(svg: str, name: str) -> list[ET.Element]:
    return [node for node in ET.fromstring(svg).iter() if node.get("class") == name]


def width(node: ET.Element) -> float:
    return float(node.get("width", "nan"))


def left_and_right(node: ET.Element) -> tuple[float, float]:
    xs = [float(pair.split()[0]) for pair in node.get("d", "").strip("MZ").split("L")]
    return min(xs), max(xs)


def test_strokes_of_gas_leave_the_label_of_the_bar_alone() -> None:
    """Gum leaves whole, so gas rises along all of the bar; the word over its left end stays readable."""
    svg = kiln_bars(20, [], 20, "t", "d", ("in", "out:", "stays", "leaves"))
    label = next(node for node in ET.fromstring(svg).iter() if node.text == "out:")
    starts = [left_and_right(node)[0] for node in named(svg, "rising")]
    assert len(starts) >= 4 and min(starts) > float(label.get("x", "nan")) + 8 * len("out:")


class TestOxideScales:
    def test_whiting_of_the_course(self, scales: OxideScales) -> None:
        """Course exercises 4.1 and 4.2: 20 g whiting leave 11.21 g of lime, 0.1998 mol."""
        assert (
            says(scales, "of", stays="11.21 g")
            and says(scales, "parts.kiln_words.leaves", mass="8.79 g", gas="carbon dioxide")
            and "43.97 %" in scales.said
        )
        assert says(scales, "aloud", scales.tables[0], moles="0.1998", thousandths="200") and "CaCO₃" in scales.tables[0].value

    @pytest.mark.parametrize(
        ("material", "grams", "stays", "count"),
        [
            ("kaolin", "20", "17.21 g", "Al₂O₃ · 2 SiO₂ · 2 H₂O"),  # course exercise 4.3
            ("soda feldspar", "26", "26.00 g", "0.2975 mol"),  # 4.4
            ("calcium borosilicate frit", "25 g", "25.00 g", "0.0790 mol, 79 thousandths"),  # 4.5
        ],
    )
    def test_the_exercises(self, scales: OxideScales, material: str, grams: str, stays: str, count: str) -> None:
        scales.material.value, scales.grams.value = material, grams
        assert f"{stays} stays" in scales.said and count in scales.tables[0].value

    def test_a_frit_is_counted_from_its_analysis(self, scales: OxideScales) -> None:
        scales.material.value = "calcium borosilicate frit"
        assert says(scales, "by_analysis", scales.tables[0]) and "loses nothing" in scales.said

    def test_clay_without_analysis_stops_with_its_sentence(self, scales: OxideScales) -> None:
        """The lesson's planned failure."""
        (dug,) = [label for label, _ in scales.material.options if label.startswith("clay dug at Ferry Yard")]
        assert says(scales, "unknown", dug)
        scales.material.value = dug
        assert "Ferry Yard'" in scales.said and "gk-stale" in scales.box._dom_classes
        scales.material.value = "quartz"
        assert "loses nothing" in scales.said and "gk-stale" not in scales.box._dom_classes

    def test_gum_leaves_whole(self, scales: OxideScales) -> None:
        scales.material.value, scales.count.value = "gum", True
        assert (
            says(scales, "of", stays="0.00 g")
            and says(scales, "parts.kiln_words.leaves", mass="20.00 g", gas="smoke")
            and says(scales, "nothing_to_count", scales.dots[0])
        )

    def test_black_iron_oxide_grows(self, scales: OxideScales) -> None:
        scales.material.value = "black iron oxide"
        assert (
            says(scales, "of", stays="20.69 g")
            and says(scales, "parts.kiln_words.takes_up", mass="0.69 g")
            and "−3.46 %" in scales.said
        )
        assert named(scales.bars[0].value, "taken-up") and not named(scales.bars[0].value, "leaves")

    def test_two_carbonates_of_equal_weight_are_counted_with_one_dot(self, reopen: Reopen) -> None:
        """Course exercise 7.3: 1 g lithium carbonate holds twice the moles of 1 g strontium carbonate."""
        scales: OxideScales = reopen("04").panel(  # type: ignore[assignment]
            "oxide scales", material="lithium carbonate", beside="strontium carbonate", mass_g=1, count=True
        )
        lithium, strontium = (len(named(box.value, "whole")) for box in scales.dots)
        assert lithium == 27 and strontium == 13 and says(scales, "one_dot", moles="0.0005", thousandths="0.5")
        assert "Gloves on" in scales.caution.value

    def test_the_count_waits_for_its_tick(self, scales: OxideScales) -> None:
        assert "gk-hide" in scales.dots[0]._dom_classes
        scales.count.value = True
        assert "gk-hide" not in scales.dots[0]._dom_classes and "gk-hide" in scales.dots[1]._dom_classes

    @pytest.mark.parametrize(
        ("material", "line"), [("talc", "certificate"), ("wollastonite", "fibrous"), ("barium carbonate", "POISON")]
    )
    def test_cautions_stand_on_the_panel(self, scales: OxideScales, material: str, line: str) -> None:
        scales.material.value = material
        assert line in scales.caution.value

    @pytest.mark.parametrize(("typed", "said"), [("0", "the pan is empty"), ("200", "outside 0 to 100"), ("some", "some")])
    def test_odd_weights_are_one_sentence(self, scales: OxideScales, typed: str, said: str) -> None:
        scales.grams.value = typed
        assert said in scales.said and "gk-stale" in scales.box._dom_classes

    def test_a_bag_of_mine_is_on_the_scales(self, reopen: Reopen, tmp_path: Path) -> None:
        save_bag(tmp_path, Material("talc", "bag", {"SiO2": 60, "MgO": 32}, loi_wt_pct_raw=6, lot="T1"))
        scales: OxideScales = reopen("04").panel("oxide scales", material="talc, lot T1")  # type: ignore[assignment]
        assert says(scales, "of", stays="18.40 g") and says(scales, "open", mass="0.40 g")
        assert "certificate" in scales.caution.value

    def test_another_powder_by_a_name_nobody_knows(self, reopen: Reopen) -> None:
        with pytest.raises(UnknownMaterialError, match="whiting"):
            reopen("04").panel("oxide scales", material="whitting")

    def test_it_comes_back_as_it_was_left(self, reopen: Reopen, scales: OxideScales) -> None:
        scales.material.value, scales.grams.value = "kaolin", "33,5"
        again: OxideScales = reopen("04").panel("oxide scales")  # type: ignore[assignment]
        assert again.material.value == "kaolin" and again.said == scales.said


class TestGasMeter:
    def test_gangway_clear_of_the_course(self, meter: GasMeter) -> None:
        """Course exercise 4.6: 7.97 %, of which the whiting 6.16."""
        assert (
            says(meter, "total", loi="7.97 %")
            and says(meter, "total", stays="92.03 g")
            and says(meter, "most", material="whiting", mass="6.16 g")
        )
        assert "6.16" in meter.table.value and "1.81" in meter.table.value

    def test_a_bar_for_each_powder_and_an_open_end_where_it_loses(self, meter: GasMeter) -> None:
        assert len(named(meter.picture.value, "stays")) == 5 and len(named(meter.picture.value, "leaves")) == 2
        assert says(meter, "parts.kiln_words.leaves", meter.picture, gas="carbon dioxide") and "as steam" in meter.picture.value

    def test_a_base_of_another_total_is_brought_to_100(self, meter: GasMeter) -> None:
        meter.recipe.value = "Overboard"
        assert "9.19 %" in meter.said and says(meter, "total")

    def test_a_recipe_with_a_stranger_is_one_sentence(self, reopen: Reopen, tmp_path: Path) -> None:
        save_recipe(tmp_path, Recipe("mine", {"pit clay": 50, "whiting": 50}))
        meter: GasMeter = reopen("04").panel("gas meter")  # type: ignore[assignment]
        meter.recipe.value = "mine"
        assert "pit clay" in meter.said and "gk-stale" in meter.box._dom_classes

    def test_nothing_is_lost_by_what_loses_nothing(self, reopen: Reopen, tmp_path: Path) -> None:
        save_recipe(tmp_path, Recipe("dry", {"quartz": 50, "zinc oxide": 50}))
        meter: GasMeter = reopen("04").panel("gas meter")  # type: ignore[assignment]
        meter.recipe.value = "dry"
        assert says(meter, "total", loi="0.00 %") and "Most" not in meter.said


def test_the_kiln_bars_are_on_one_scale() -> None:
    svg = kiln_bars(20, [("CaO", 11.21)], 8.79, "t", "d", ("in", "out", "stays", "leaves"))
    (raw,), (stays,), (leaves,) = (named(svg, name) for name in ("raw", "stays", "leaves"))
    assert width(stays) / width(raw) == pytest.approx(11.21 / 20, rel=1e-3)
    left, right = left_and_right(leaves)
    assert (right - left) / width(raw) == pytest.approx(8.79 / 20, rel=1e-2)
    assert named(svg, "rising"), "a shape besides the colour: it rises"


def test_two_kiln_bars_can_be_compared() -> None:
    words = ("in", "out", "stays", "leaves")
    small, large = (kiln_bars(grams, [("SiO2", grams)], 0, "t", "d", words, full_g=20) for grams in (10, 20))
    assert width(named(large, "raw")[0]) == pytest.approx(2 * width(named(small, "raw")[0]), rel=1e-3)


def test_loss_bars_share_a_scale() -> None:
    svg = loss_bars([("whiting", 20, 8.8), ("black iron oxide", 10, -0.35)], "t", "d")
    stays, (leaves,), (taken,) = (named(svg, name) for name in ("stays", "leaves", "taken-up"))
    assert width(leaves) / (width(stays[0]) + width(leaves)) == pytest.approx(0.44, rel=1e-2)
    assert width(taken) / width(stays[1]) == pytest.approx(0.035, rel=2e-2)


@pytest.mark.parametrize("moles", [0.0034, 0.01, 0.0499, 0.0599, 0.1998, 0.999, 6.0])
def test_the_largest_heap_can_be_counted(moles: float) -> None:
    dots = moles / moles_per_dot(moles)
    assert 24 <= dots <= 60 + 1e-6


def test_dots_count_and_the_last_one_counts_in_part() -> None:
    svg = counted_dots([("soda", 0.0496), ("silica", 0.2975)], 0.01, "t", "d")
    assert len(named(svg, "whole")) == 4 + 29 and len(named(svg, "part")) == 2
