"""Mole swap and swap bench, against the numbers of lessons 7 and 8."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from saying import says
from wording import text_of

from glazekit.folder.shelf import save_recipe
from glazekit.ground.errors import RecipeError
from glazekit.lab.page import Page
from glazekit.lab.panels.mole_swap import MoleSwapPanel
from glazekit.lab.panels.swap_bench import SwapBench
from glazekit.recipe.reading import read_recipes
from glazekit.recipe.recipe import Recipe

Reopen = Callable[[str], Page]


@pytest.fixture
def swap(reopen: Reopen) -> MoleSwapPanel:
    return reopen("07").panel("mole swap")  # type: ignore[return-value]


@pytest.fixture
def bench(reopen: Reopen) -> SwapBench:
    return reopen("08").panel("swap bench")  # type: ignore[return-value]


def cells(html: str, row: str) -> list[str]:
    """The cells of a table row, without tags."""
    line = next(part for part in html.split("<tr") if f">{row}</th>" in part)
    return [cell.partition("<")[0] for cell in line.split('<td class="gk-number">')[1:]]


class TestMoleSwap:
    def test_whiting_for_talc(self, swap: MoleSwapPanel) -> None:
        """Course exercise 7.4: 8.84 g of talc, and 5.60 g of quartz out."""
        moved = {"out": "7.00 g whiting, 5.60 g quartz", "into": "8.84 g talc"}
        assert says(swap, "verdict", **moved) and "certificate" in swap.caution.value
        assert says(swap, "count_out", swap.steps, mass="7.00 g", molar="100.09", powder_mol="0.0699")
        assert says(swap, "count_in", swap.steps, material="talc", each="3") and "silica" in swap.steps.value
        assert says(swap, "take_out", swap.steps, mass="5.60 g", material="quartz")

    def test_strontium_for_whiting(self, swap: MoleSwapPanel) -> None:
        """Course exercise 7.2: 7.38 g for 5 g, and no company."""
        swap.into.value, swap.grams.value = "strontium carbonate", "5"
        into = "7.38 g strontium carbonate"
        assert says(swap, "verdict", into=into) and says(swap, "no_company", swap.steps)

    def test_dolomite_for_the_same_lime(self, swap: MoleSwapPanel) -> None:
        """Course exercise 7.6: 18.42 g, and 0.0999 mol of magnesia besides."""
        swap.into.value, swap.grams.value = "dolomite", "10"
        swap.same.value = "CaO"
        into, magnesia = "18.42 g dolomite", "magnesia MgO +0.0999 mol"
        assert says(swap, "verdict", into=into) and says(swap, "for_good", oxides=magnesia)
        assert says(swap, "more_flux", moles="0.0999")
        swap.same.value = "fluxes"
        into = "9.21 g dolomite"
        assert says(swap, "verdict", into=into) and not says(swap, "more_flux")

    def test_what_can_stay_the_same_follows_the_powders(self, swap: MoleSwapPanel) -> None:
        assert [key for _, key in swap.same.options] == ["fluxes"]
        swap.into.value = "dolomite"
        assert [key for _, key in swap.same.options] == ["fluxes", "CaO"]
        swap.same.value = "CaO"
        swap.into.value = "talc"
        assert swap.same.value == "fluxes" and "8.84 g" in swap.said

    def test_a_family_is_counted_together(self, swap: MoleSwapPanel) -> None:
        """Two alkalis count for each other, and lime does not: 22.44 g of syenite, as in exercise 8.3."""
        swap.out.value, swap.into.value, swap.grams.value = "soda feldspar", "nepheline syenite", "26"
        assert [key for _, key in swap.same.options] == ["fluxes", "Na2O+K2O", "Na2O"]
        swap.same.value = "Na2O+K2O"
        into = "22.44 g nepheline syenite, 5.06 g quartz"
        assert says(swap, "verdict", into=into)
        swap.same.value = "Na2O"
        assert not says(swap, "verdict", into=into)

    def test_a_clay_correction_comes_before_quartz(self, swap: MoleSwapPanel) -> None:
        """Course exercise 8.3, worked as a swap: 22.44 g, kaolin 1.28 out, quartz 5.06 in."""
        swap.out.value, swap.into.value, swap.grams.value = "soda feldspar", "nepheline syenite", "26"
        moved = {"out": "26.00 g soda feldspar, 1.28 g kaolin", "into": "22.44 g nepheline syenite, 5.06 g quartz"}
        assert says(swap, "verdict", **moved)
        assert swap.steps.value.index("kaolin less") < swap.steps.value.index("quartz more")

    def test_a_frit_is_counted_by_its_analysis(self, swap: MoleSwapPanel) -> None:
        swap.into.value = "calcium borosilicate frit"
        assert says(swap, "count_in_analysis", swap.steps, material=swap.into.value)

    def test_a_poison_may_go_out_but_never_in(self, swap: MoleSwapPanel) -> None:
        assert "barium carbonate" in dict(swap.out.options) and "barium carbonate" not in dict(swap.into.options)
        assert "quartz" not in dict(swap.out.options)

    @pytest.mark.parametrize(("control", "typed", "said"), [("grams", "0", "nothing goes out"), ("grams", "many", "many")])
    def test_odd_grams_are_one_sentence(self, swap: MoleSwapPanel, control: str, typed: str, said: str) -> None:
        swap.grams.value = typed
        assert said in swap.said and "gk-stale" in swap.box._dom_classes

    def test_a_powder_for_itself(self, swap: MoleSwapPanel) -> None:
        swap.into.value = "whiting"
        assert "no swap" in swap.said

    def test_it_comes_back_as_it_was_left(self, reopen: Reopen, swap: MoleSwapPanel) -> None:
        swap.into.value = "dolomite"
        swap.same.value = "CaO"
        again: MoleSwapPanel = reopen("07").panel("mole swap")  # type: ignore[assignment]
        assert again.same.value == "CaO" and again.said == swap.said


class TestSwapBench:
    def test_the_feldspar_is_sold_out(self, bench: SwapBench) -> None:
        """Course exercise 8.3: 22.44 g, kaolin down 1.28, quartz up 5.06."""
        for change in ("nepheline syenite +22.44", "kaolin −1.28", "quartz +5.06"):
            assert change in bench.said
        held = "soda + potash, alumina Al₂O₃, silica SiO₂"
        assert says(bench, "exact_found", held=held) and says(bench, "test_first")

    def test_side_by_side(self, bench: SwapBench) -> None:
        """Course exercise 8.6: weight for weight moves silica to alumina from 8.3 to 7.2, alkali share from 22 to 24 %."""
        shown = bench.ways.value
        as_it_was, exact, _, same_weight = cells(shown, "silica to alumina")
        assert (as_it_was, exact, same_weight) == ("8.3", "8.3", "▽ 7.2")
        assert cells(shown, text_of("lesson_08.panel.swap_bench.alkali"))[3].split() == ["▲", "24", "%"]
        assert cells(shown, "silica SiO₂")[3] == "▽ 3.30"
        assert cells(shown, text_of("lesson_08.panel.swap_bench.loi"))[0] == "8.0 %"
        assert cells(shown, "plastic clay")[0] == "13.0 %"
        assert cells(shown, "together")[0] == "100.00"

    def test_wollastonite_for_whiting(self, bench: SwapBench) -> None:
        """Course exercise 8.4: 16.25 g in, 8.40 g of quartz out."""
        bench.out.value, bench.candidates.value = "whiting", ["wollastonite"]
        assert "wollastonite +16.25" in bench.said and "quartz −8.40" in bench.said
        assert "fibrous" in bench.caution.value
        loss = cells(bench.ways.value, "loss on ignition")
        assert float(loss[1].strip("▽ %")) < float(loss[0].strip(" %")) - 5

    def test_calcined_kaolin_takes_the_clay_away(self, bench: SwapBench) -> None:
        """Course exercise 8.5: 11.19 g; and nothing keeps the slip afloat."""
        bench.out.value, bench.candidates.value = "kaolin", ["calcined kaolin"]
        assert "kaolin +11.19" in bench.said and "settle hard" in bench.said
        assert cells(bench.ways.value, "plastic clay")[1] == "–"

    def test_no_exact_way_says_why_and_offers_the_nearest(self, bench: SwapBench) -> None:
        bench.candidates.value = ["talc"]
        assert says(bench, "no_exact") and bench.way.value == "nearest"
        assert next(key for _, key in bench.way.options) == "nearest"

    def test_alike_fluxes_stand_in_for_each_other_by_family(self, bench: SwapBench) -> None:
        """14 g of whiting are 20.65 g of strontium carbonate: 14 x 147.63 / 100.09."""
        bench.out.value, bench.candidates.value = "whiting", ["strontium carbonate"]
        assert [key for _, key in bench.way.options][:2] == ["by_family", "nearest"]
        assert says(bench, "no_exact") and says(bench, "family_found", merged="lime + strontia")
        bench.way.value = "by_family"
        moves = "whiting −14.00, strontium carbonate +20.65"
        assert says(bench, "chosen", way=text_of("lesson_08.panel.swap_bench.by_family"), moves=moves)
        assert not says(bench, "reasons")

    def test_nearest_tells_why_a_line_moves_that_was_not_named(self, bench: SwapBench) -> None:
        bench.out.value, bench.candidates.value = "calcium borosilicate frit", ["colemanite"]
        bench.way.value = "nearest"
        assert says(bench, "reasons", reasons="; ".join(reason.words for reason in bench.swap.reasons))
        assert [reason.holds for reason in bench.swap.reasons][-1] == ("SiO2",)

    def test_an_oxide_may_be_let_go(self, bench: SwapBench) -> None:
        assert list(bench.held.ticks) == ["Na2O+K2O", "Al2O3", "SiO2"]
        bench.held.ticks["SiO2"].value = False
        held = "soda + potash, alumina Al₂O₃"
        assert says(bench, "exact_found", held=held) and "quartz" not in bench.said.partition("\n")[2]
        for box in bench.held.ticks.values():
            box.value = False
        assert says(bench, "nothing_held") and "gk-stale" in bench.box._dom_classes

    def test_nobody_takes_its_place(self, bench: SwapBench) -> None:
        assert says(bench, "in_place", bench.in_place, powders="nepheline syenite")
        assert "gk-hide" in bench.candidates.box._dom_classes, "the long list lies folded"
        bench.others.value = True
        assert "gk-hide" not in bench.candidates.box._dom_classes
        bench.candidates.value = ["soda feldspar"]
        assert says(bench, "no_candidates", material="soda feldspar")

    def test_the_chosen_way_is_saved_under_a_name_of_its_own(self, bench: SwapBench) -> None:
        bench.save()
        (path,) = (bench.desk.folder / "my-recipes").iterdir()
        (recipe,) = read_recipes(path)
        amounts = {line.material: round(line.amount, 2) for line in recipe.base}
        said = {"name": "Gangway Clear", "into": "nepheline syenite", "out": "soda feldspar", "way": "exact"}
        assert says(bench, "saved_name", recipe.name, **said)
        assert amounts["nepheline syenite"] == 22.44 and amounts["kaolin"] == 11.72 and "soda feldspar" not in amounts
        before = path.read_bytes()
        bench.way.value = "weight for weight: nepheline syenite"
        bench.save()
        bench.save()
        assert len(list(path.parent.iterdir())) == 3 and path.read_bytes() == before

    def test_the_swap_sheet(self, bench: SwapBench) -> None:
        bench.print_sheet()
        (path,) = (bench.desk.folder / "prints").iterdir()
        sheet = path.read_text(encoding="utf-8")
        assert path.name.startswith("Gangway Clear") and "TEST FIRST" in sheet.upper() and "22.44" in sheet
        assert bench.tray.link.html == sheet

    def test_another_recipe_offers_its_own_powders(self, bench: SwapBench) -> None:
        bench.recipe.value = "Drizzle Rail"
        assert bench.out.value == "potash feldspar" and "soda feldspar" not in dict(bench.out.options)
        bench.out.value = "kaolin"
        bench.recipe.value = "Gangway Clear"
        assert bench.out.value == "kaolin"

    def test_a_strange_powder_stops_it_and_no_page_breaks(self, reopen: Reopen, tmp_path: Path) -> None:
        save_recipe(tmp_path, Recipe("mine", {"pit clay": 50, "whiting": 50}))
        bench: SwapBench = reopen("08").panel("swap bench")  # type: ignore[assignment]
        bench.recipe.value = "mine"
        assert "pit clay" in bench.said
        again: SwapBench = reopen("08").panel("swap bench")  # type: ignore[assignment]
        assert again.recipe.value == "mine" and "pit clay" in again.said

    def test_it_comes_back_as_it_was_left(self, reopen: Reopen, bench: SwapBench) -> None:
        bench.candidates.value = ["nepheline syenite", "potash feldspar"]
        bench.held.ticks["SiO2"].value = False
        bench.way.value = "weight for weight: potash feldspar"
        again: SwapBench = reopen("08").panel("swap bench")  # type: ignore[assignment]
        assert again.way.value == bench.way.value and again.said == bench.said and again.held.kept == bench.held.kept

    def test_a_powder_that_is_not_in_the_recipe(self, reopen: Reopen) -> None:
        with pytest.raises(RecipeError, match="no talc"):
            reopen("08").panel("swap bench", out="talc")
