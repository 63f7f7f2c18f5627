"""Oxide scales, Gas meter, Mole swap, Swap bench, New bag. Expected numbers are the course's own, worked out by hand there."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest

from glazekit.lab.page import Page
from glazekit.lab.panels.gas_meter import GasMeter
from glazekit.lab.panels.mole_swap import MoleSwapPanel
from glazekit.lab.panels.new_bag import NewBagPanel
from glazekit.lab.panels.oxide_scales import OxideScales
from glazekit.lab.panels.swap_bench import SwapBench
from glazekit.recipe.reading import demo_recipe, read_recipe, recipe_csv_text

Reopen = Callable[[str], Page]


def widths(html: str, name: str) -> list[float]:
    svg = html[html.index("<svg") :]
    return [float(node.get("width", "nan")) for node in ET.fromstring(svg).iter() if node.get("class") == name]


def cells(html: str) -> dict[str, list[str]]:
    rows = re.findall(r'<tr[^>]*><th scope="row">(.*?)</th>(.*?)</tr>', html)
    return {name: re.findall(r"<td[^>]*>(.*?)</td>", rest) for name, rest in rows}


class TestOxideScales:
    @pytest.fixture
    def scales(self, reopen: Reopen) -> OxideScales:
        return reopen("04").panel("oxide scales")  # type: ignore[return-value]

    def test_whiting_loses_44_percent(self, scales: OxideScales) -> None:
        """COURSE 4.1 and 4.2: 20 g leave 11.21 g of lime, 8.79 g go as gas, 0.1998 mol."""
        assert "11.21 g stay, 8.79 g leave as carbonic gas" in scales.said and "44.0 %" in scales.said
        assert "0.1998 mol, 200 thousandths" in scales.steps.value
        (raw,), (stays,), (gas,) = (widths(scales.picture.value, name) for name in ("raw", "stays", "gas"))
        assert stays / raw == pytest.approx(0.5603, abs=0.001) and stays + gas == pytest.approx(raw, abs=0.1)
        assert "blister" in scales.caution.value

    def test_kaolin_gives_off_its_water(self, scales: OxideScales) -> None:
        """COURSE 4.3: 17.21 g of 20 g stay."""
        scales.material.value = "kaolin"
        assert "17.21 g stay, 2.79 g leave as steam" in scales.said

    def test_each_feldspar_carries_six_silica(self, scales: OxideScales) -> None:
        """COURSE 4.4: 26 g of soda feldspar bring 0.2975 mol of silica."""
        scales.material.value, scales.mass.value = "soda feldspar", "26 g"
        assert "Na₂O.Al₂O₃.6SiO₂, weighs 524.44 g" in scales.steps.value and "0.0496 mol" in scales.steps.value
        assert "silica SiO₂: 6 in each, makes 0.2975 mol, 297 thousandths" in scales.steps.value
        assert "nothing leaves" in scales.said and "Take care" not in scales.caution.value

    def test_a_frit_goes_by_its_analysis(self, scales: OxideScales) -> None:
        """COURSE 4.5: 22 % of 25 g are 5.50 g of boric oxide, 0.0790 mol, 79 thousandths."""
        scales.material.value, scales.mass.value = "calcium borosilicate frit", "25"
        assert "22 % of it, 5.50 g ÷ 69.62 g = 0.0790 mol, 79 thousandths" in scales.steps.value
        scales.view.value = "count"
        svg = ET.fromstring(scales.picture.value[scales.picture.value.index("<svg") :])
        dots = [node.get("class") for node in svg.iter() if node.get("class") in ("mole", "part")]
        assert "One dot is 0.005 mol" in scales.picture.value
        # silica 0.2122, alumina 0.0172, boron 0.0790, lime 0.0758, soda 0.0081, potash 0.0027: full dots, then an open one
        assert dots.count("mole") == 42 + 3 + 15 + 15 + 1 + 0 and dots.count("part") == 6

    def test_nothing_on_the_scale(self, scales: OxideScales) -> None:
        scales.mass.value = "0"
        assert "nothing on the scale" in scales.said and "gk-stale" in scales.box._dom_classes


class TestGasMeter:
    def test_gangway_clear_loses_8_percent(self, reopen: Reopen) -> None:
        """COURSE 4.6: 7.97 %; 6.16 g of it from the whiting."""
        meter: GasMeter = reopen("04").panel("gas meter")  # type: ignore[assignment]
        assert "(LOI) 7.97 %" in meter.said and "whiting: 6.16 g" in meter.said
        assert len(widths(meter.picture.value, "gas")) == 2, "whiting and kaolin"
        assert "gas comes off in the kiln" in meter.caution.value

    def test_another_base_is_brought_to_100(self, reopen: Reopen) -> None:
        meter: GasMeter = reopen("04").panel("gas meter", recipe="Overboard")  # type: ignore[assignment]
        assert cells(meter.table.value)["all"][0] == "100.00" and "9.2" in cells(meter.table.value)["all"][3]


class TestMoleSwap:
    @pytest.fixture
    def swap(self, reopen: Reopen) -> MoleSwapPanel:
        return reopen("07").panel("mole swap")  # type: ignore[return-value]

    def test_whiting_for_talc(self, swap: MoleSwapPanel) -> None:
        """COURSE 7.4: 8.84 g of talc in, 5.60 g of quartz out."""
        assert "8.84 g of talc in: 0.0699 moles" in swap.said and "Take out 5.60 g of quartz" in swap.said
        assert cells(swap.moves.value)["silica SiO₂"] == ["+0.0933", "0.0000"]
        assert "asbestos" in swap.caution.value

    def test_strontium_for_whiting(self, swap: MoleSwapPanel) -> None:
        """COURSE 7.2: 7.38 g for 5 g."""
        swap.into.value, swap.grams.value = "strontium carbonate", "5"
        assert "7.38 g of strontium carbonate in" in swap.said and "Nothing else has to change" in swap.said

    def test_dolomite_for_the_same_lime(self, swap: MoleSwapPanel) -> None:
        """COURSE 7.6: 18.42 g, and 0.0999 moles of magnesia come along."""
        swap.into.value, swap.grams.value, swap.same.value = "dolomite", "10", "CaO"
        assert "18.42 g of dolomite in" in swap.said and cells(swap.moves.value)["magnesia MgO"][0] == "+0.0999"

    def test_soda_and_potash_as_one(self, swap: MoleSwapPanel) -> None:
        """COURSE 8.3: 22.44 g of nepheline for 26 g of feldspar, 1.28 g less kaolin, 5.06 g more quartz."""
        swap.out.value, swap.into.value, swap.grams.value = "soda feldspar", "nepheline syenite", "26"
        assert (
            "22.44 g of nepheline" in swap.said
            and "Take out 1.28 g of kaolin" in swap.said
            and "Add 5.06 g of quartz" in swap.said
        )

    def test_clay_for_clay_counts_alumina(self, swap: MoleSwapPanel) -> None:
        """COURSE 8.5: 11.19 g of calcined kaolin for 13 g."""
        with swap.one_refresh():
            swap.out.value, swap.into.value, swap.grams.value = "kaolin", "calcined kaolin", "13"
        assert swap.same.value == "Al2O3" and "11.19 g of calcined kaolin in" in swap.said

    def test_two_powders_without_anything_in_common(self, swap: MoleSwapPanel) -> None:
        swap.into.value = "quartz"
        assert "brings no flux" in swap.said and "gk-stale" in swap.box._dom_classes


class TestSwapBench:
    @pytest.fixture
    def bench(self, reopen: Reopen) -> SwapBench:
        return reopen("08").panel("swap bench")  # type: ignore[return-value]

    def test_three_ways_side_by_side(self, bench: SwapBench) -> None:
        """COURSE 8.3 and 8.6: exact 22.44 g; gram for gram silica falls to 3.30, the ratio to 7.2."""
        rows = cells(bench.ways.value)
        assert rows["nepheline syenite"][:2] == ["–", "22.44 g"] and rows["nepheline syenite"][3] == "26.00 g"
        assert rows["kaolin"][1] == "11.72 g" and rows["quartz"][1] == "27.06 g"
        formulas = cells(bench.formulas.value)
        assert formulas["silica SiO₂"][3] == "3.30 (−0.24)" and formulas["silica to alumina"] == ["8.3", "8.3", "8.3", "7.2"]
        assert bench.said.startswith("Exact: ")

    def test_wollastonite_for_whiting(self, bench: SwapBench) -> None:
        """COURSE 8.4: 16.25 g in, 8.40 g of quartz out; LOI falls by what the whiting lost."""
        with bench.one_refresh():
            bench.out.value, bench.into.value = "whiting", "wollastonite"
        assert "wollastonite +16.25 g" in bench.said and "quartz −8.40 g" in bench.said
        bench.chosen.value = 0
        assert "fibrous" in bench.caution.value and cells(bench.formulas.value)["LOI, change"][1].startswith("−6.")

    def test_what_is_kept_can_be_unticked(self, bench: SwapBench) -> None:
        assert bench.keeping.value == ["Na2O+K2O", "Al2O3", "SiO2"]
        bench.keeping.value = ["Na2O+K2O"]
        assert "kaolin" not in bench.said.split("That keeps")[0], "nothing but the alkalis is put right"
        bench.keeping.value = []
        assert "tick at least one" in bench.said

    def test_no_exact_way_is_said(self, bench: SwapBench) -> None:
        with bench.one_refresh():
            bench.out.value, bench.into.value = "calcium borosilicate frit", "wollastonite"
        assert "no exact way" in bench.said and "boric oxide" in bench.said
        assert bench.chosen.options[0][0] == "nearest"

    def test_the_chosen_way_is_saved(self, bench: SwapBench, tmp_path: Path) -> None:
        bench.save()
        recipe = read_recipe(tmp_path / "my-recipes" / "Gangway Clear, no soda feldspar.csv")
        assert recipe.base_sum == pytest.approx(100) and "nepheline syenite" in recipe.materials()

    def test_kept_oxides_come_back(self, reopen: Reopen) -> None:
        first: SwapBench = reopen("08").panel("swap bench")  # type: ignore[assignment]
        first.keeping.value = ["Al2O3", "SiO2"]
        again: SwapBench = reopen("08").panel("swap bench")  # type: ignore[assignment]
        assert again.keeping.value == ["Al2O3", "SiO2"] and again.said == first.said


class TestNewBag:
    BAG = "SiO2 67,0\nAl2O3 19.0\nNa2O 10.5\nK2O 2,0\nCaO 0.6\nLOI 0.4"

    @pytest.fixture
    def bag(self, reopen: Reopen) -> NewBagPanel:
        return reopen("08").panel("new bag")  # type: ignore[return-value]

    def test_the_same_numbers_move_nothing(self, bag: NewBagPanel) -> None:
        """The paper starts with what is known, to two decimals: no formula moves by more than its last printed place."""
        assert "rises" not in bag.moved.value and "falls" not in bag.moved.value

    def test_what_moves_in_each_recipe(self, bag: NewBagPanel) -> None:
        bag.figures.value = self.BAG
        assert cells(bag.analysis.value)["soda Na₂O"] == ["11.82 %", "10.50 %", "−1.32 %"]
        assert "6 recipes hold it" in bag.said and "Gangway Clear: soda falls by 0.0" in bag.moved.value
        assert "Without it: " in bag.rest.value and "Bollard Matte" in bag.rest.value

    def test_a_bag_that_can_be_made_good(self, bag: NewBagPanel) -> None:
        """A kaolin that is a tenth quartz: more of it, less quartz, and the formula is back."""
        bag.material.value = "kaolin"
        bag.figures.value = "SiO2 51.89\nAl2O3 35.54\nLOI 12.57"
        gangway = bag.moved.value.split("<p>")[1]
        assert "kaolin 13.0 to 14.4" in gangway and "quartz 22.0 to 20.6" in gangway, "13 / 0.9, and what came along"

    def test_my_own_recipes_are_looked_through(self, reopen: Reopen, tmp_path: Path) -> None:
        (tmp_path / "my-recipes").mkdir()
        (tmp_path / "my-recipes" / "mine.csv").write_text(recipe_csv_text((demo_recipe("Gangway Clear").renamed("Mine"),)))
        bag: NewBagPanel = reopen("08").panel("new bag")  # type: ignore[assignment]
        bag.figures.value = self.BAG
        assert "Mine: soda falls" in bag.moved.value
        bag.lot.value, bag.corrected.value = "B7", "Mine"
        bag.save()
        assert read_recipe(tmp_path / "my-recipes" / "Mine, soda feldspar B7.csv").base_sum == pytest.approx(100)

    def test_a_slip_on_the_paper_is_told(self, bag: NewBagPanel) -> None:
        bag.figures.value = "SiO2 67\nAl203 19"
        assert "did you mean Al2O3" in bag.said and "gk-stale" in bag.box._dom_classes

    def test_the_paper_is_kept(self, reopen: Reopen) -> None:
        first: NewBagPanel = reopen("08").panel("new bag")  # type: ignore[assignment]
        first.figures.value = self.BAG
        again: NewBagPanel = reopen("08").panel("new bag")  # type: ignore[assignment]
        assert again.figures.value == self.BAG and again.said == first.said
