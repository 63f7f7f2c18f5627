"""Flux mixer and Shopping bench, driven by their values. Expected numbers are the course's own, worked out by hand there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from saying import says

from glazekit.lab.page import Page
from glazekit.lab.panels.flux_mixer import FluxMixer
from glazekit.lab.panels.shopping_bench import ShoppingBench
from glazekit.lab.parts.formula_words import name_of
from glazekit.recipe.reading import read_recipe

Reopen = Callable[[str], Page]
FLUX_MOL = 14 / 100.09 + 26 / 524.44 + 25 * (0.17 / 56.08 + 0.02 / 61.98 + 0.01 / 94.20)
"""Moles of flux in 100 g of Gangway Clear, by hand: whiting, soda feldspar, frit."""
TALC_MOL = 7 / 100.09
"""COURSE 7.4: 7 g of whiting go, as much magnesia comes."""


@pytest.fixture
def mixer(reopen: Reopen) -> FluxMixer:
    return reopen("07").panel("flux mixer")  # type: ignore[return-value]


@pytest.fixture
def shop(reopen: Reopen) -> ShoppingBench:
    """The bench as it stands when the whole recipe is asked for."""
    bench: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
    bench.work_out.value = True
    return bench


def set_mix(mixer: FluxMixer, **shares: float) -> None:
    mixer.mix.value = {"shares": {**dict.fromkeys(mixer.mix.shares, 0.0), **shares}, "locked": []}


def swap_whiting_for_talc(mixer: FluxMixer) -> None:
    mixer.powders.value = ["soda feldspar", "calcium borosilicate frit", "whiting", "talc", "kaolin", "quartz"]
    shares = dict(mixer.mix.shares)
    moved = TALC_MOL / FLUX_MOL
    set_mix(mixer, **{**shares, "MgO": moved, "CaO": shares["CaO"] - moved})


def grams(mixer: FluxMixer) -> dict[str, float]:
    return {line.material: line.amount for line in mixer.change.changed.recipe.base}


class TestFluxMixer:
    def test_it_starts_as_the_card_is(self, mixer: FluxMixer) -> None:
        assert sum(mixer.mix.shares.values()) == pytest.approx(1) and mixer.mix.shares["CaO"] == pytest.approx(0.78, abs=0.005)
        assert grams(mixer)["whiting"] == pytest.approx(14, abs=0.05) and says(mixer, "can")

    def test_silica_and_alumina_held(self, mixer: FluxMixer) -> None:
        """COURSE 7.4: 8.84 g of talc in, 5.60 g of quartz out, and the rest of the formula stays."""
        swap_whiting_for_talc(mixer)
        found = grams(mixer)
        assert found["talc"] == pytest.approx(8.84, abs=0.06) and found["quartz"] == pytest.approx(22 - 5.60, abs=0.06)
        assert found["whiting"] == pytest.approx(7, abs=0.06) and found["kaolin"] == pytest.approx(13, abs=0.06)
        assert mixer.change.changed.unity_change["SiO2"] == pytest.approx(0, abs=0.002)

    def test_other_powders_held(self, mixer: FluxMixer) -> None:
        """The same talc, but no quartz goes, so its four silica for three magnesia stay in."""
        swap_whiting_for_talc(mixer)
        mixer.held.value = "other materials held"
        found = grams(mixer)
        assert found["talc"] == pytest.approx(8.84, abs=0.06) and found["quartz"] == 22 and found["kaolin"] == 13
        assert mixer.change.changed.unity_change["SiO2"] == pytest.approx(4 / 3 * TALC_MOL / FLUX_MOL, abs=0.01)
        assert "Silica +0.34" in mixer.said

    def test_the_learner_sees_what_holding_means(self, mixer: FluxMixer) -> None:
        first = mixer.meaning.value
        mixer.held.value = "other materials held"
        assert says(mixer, "means_formula", first) and says(mixer, "means_materials", mixer.meaning)

    def test_what_cannot_be_made_is_said_with_ways_out(self, mixer: FluxMixer) -> None:
        set_mix(mixer, Na2O=0.6, CaO=0.4)
        assert says(mixer, "cannot") and "alumina comes" in mixer.ways.value
        assert "alkali source" in mixer.ways.value
        mixer.do(mixer.save)
        assert says(mixer, "parts.frame.nothing_to_save")

    def test_the_held_frit_may_be_too_much_already(self, mixer: FluxMixer) -> None:
        mixer.held.value = "other materials held"
        set_mix(mixer, Na2O=0.5, MgO=0.5)
        assert says(mixer, "cannot") and "(CaO) 0.27" in mixer.ways.value

    def test_another_glaze_brings_its_own_fluxes_and_back(self, mixer: FluxMixer) -> None:
        mixer.recipe.value = "Deck Green"
        assert mixer.mix.shares["Li2O"] == pytest.approx(0.23, abs=0.005)
        set_mix(mixer, CaO=0.7, K2O=0.3)
        mixer.back_to_the_card()
        assert mixer.mix.shares["ZnO"] == pytest.approx(0.26, abs=0.005)

    def test_a_mix_that_can_be_made_is_saved_as_a_recipe_of_100(self, mixer: FluxMixer, tmp_path: Path) -> None:
        swap_whiting_for_talc(mixer)
        mixer.save()
        recipe = read_recipe(tmp_path / "my-recipes" / "Gangway Clear, other fluxes.csv")
        assert recipe.base_sum == pytest.approx(100) and "talc" in recipe.materials() and "Test it" in mixer.said

    def test_mix_locks_and_powders_come_back(self, reopen: Reopen) -> None:
        first: FluxMixer = reopen("07").panel("flux mixer")  # type: ignore[assignment]
        first.powders.value = [*first.powders.value[:-1]]
        first.mix.value = {"shares": {**dict.fromkeys(first.mix.shares, 0.0), "K2O": 0.3, "CaO": 0.7}, "locked": ["K2O"]}
        again: FluxMixer = reopen("07").panel("flux mixer")  # type: ignore[assignment]
        assert again.mix.value == first.mix.value and again.powders.value == first.powders.value

    def test_without_powders_it_says_so(self, mixer: FluxMixer) -> None:
        mixer.powders.value = []
        assert says(mixer, "no_powders") and "gk-stale" in mixer.box._dom_classes


def hidden(part: Any) -> bool:
    return "gk-hide" in part._dom_classes


class TestShoppingBench:
    def test_no_recipe_is_shown_before_it_is_bought_or_asked_for(self, reopen: Reopen) -> None:
        shop: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
        assert hidden(shop.worked_out) and says(shop, "buy_on")
        seen = " ".join(part.value for part in (shop.by_hand.bought, shop.by_hand.left, shop.shelf, shop.status))
        assert not any(f"{line.amount:.1f}" in seen for line in shop.result.recipe.base)
        shop.work_out.value = True
        assert not hidden(shop.worked_out) and says(shop, "can")
        again: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
        assert not hidden(again.worked_out)

    def test_long_lists_lie_folded(self, shop: ShoppingBench) -> None:
        assert hidden(shop.powders.box) and hidden(shop.conditions.widget)
        assert says(shop, "shelf", shop.shelf, powders="potash feldspar, whiting, kaolin, quartz")
        shop.others.value = shop.limits.value = True
        assert not hidden(shop.powders.box) and not hidden(shop.conditions.widget)

    def test_the_four_minerals_of_lesson_8(self, shop: ShoppingBench) -> None:
        """COURSE 8.1: 39.2, 21.1, 10.9, 28.8 %."""
        shares = {line.material: line.amount for line in shop.shown.recipe.base}
        assert [round(share, 1) for share in shares.values()] == [39.2, 21.1, 10.9, 28.8]
        assert says(shop, "can")

    def test_by_hand_step_by_step(self, shop: ShoppingBench) -> None:
        for _ in range(2):
            shop.by_hand.buy()
        bought = {"number": "2", "material": "whiting", "moles": "0.750", "per_mol": "100.09 g", "mass": "75.06 g"}
        assert says(shop, "bought_some", shop.by_hand.bought, oxide=name_of("CaO"), **bought)
        assert "0.150" in shop.by_hand.left.value and "In percent" not in shop.by_hand.left.value  # alumina still to buy
        shop.by_hand.put_back()
        assert not says(shop, "bought_some", shop.by_hand.bought, number="2")
        for _ in range(9):
            shop.by_hand.buy()
        shares = "potash feldspar 39.2 %, whiting 21.1 %, kaolin 10.9 %, quartz 28.8 %"
        assert says(shop, "hand_recipe", shop.by_hand.left, shares=shares)
        shop.work_out.value = False
        assert says(shop, "bought_all") and "✓" in shop.status.value and says(shop, "reckoned_exact", shop.reckoned)
        shop.by_hand.put_back()
        assert says(shop, "buy_on")
        shop.by_hand.empty()
        assert shop.by_hand.bought.value == ""

    def test_soda_and_potash_may_be_asked_for_together(self, shop: ShoppingBench) -> None:
        """Worth the same moles as potash alone when potash feldspar is all there is; asked for twice it stops."""
        before = shop.found.value
        shop.wanted["K2O"].value, shop.wanted["Na2O+K2O"].value = "", "0.25"
        assert shop.result.feasible and shop.result.reached["K2O"] == pytest.approx(0.25)
        assert before.partition("</table>")[0] == shop.found.value.partition("</table>")[0], "the same powders"
        shop.wanted["K2O"].value = "0.1"
        assert "gk-stale" in shop.box._dom_classes and "K2O" in shop.said

    def test_an_impossible_formula_by_hand_and_reckoned(self, shop: ShoppingBench) -> None:
        """COURSE 8.2: potash 0.30, alumina 0.20 would need -0.10 of kaolin."""
        with shop.one_refresh():
            for oxide, text in {"K2O": "0.30", "CaO": "0,70", "Al2O3": "0.20"}.items():
                shop.wanted[oxide].value = text
        for _ in range(4):
            shop.by_hand.buy()
        assert says(shop, "bought_none", shop.by_hand.bought, need="-0.100") and "✕" in shop.by_hand.left.value
        assert says(shop, "reckoned", shop.reckoned) and not says(shop, "reckoned_exact", shop.reckoned)
        shop.work_out.value = False
        assert "✕" in shop.status.value and all(problem in shop.said for problem in shop.by_hand.work.problems)
        shop.work_out.value = True
        assert says(shop, "cannot") and "alkali source" in shop.ways_out.value
        assert "Too much" in shop.said and "Missing" in shop.said, "the residual is never hidden"
        assert "potash frit" in shop.ways_out.value, "the way out has a name, and it is on the shelf"
        shop.powders.value = [*shop.powders.value, "potash frit"]
        assert shop.said.startswith("Yes") and "potash frit" in shop.said and shop.ways_out.value == ""

    def test_too_little_clay_is_warned_of_and_can_be_asked_for(self, shop: ShoppingBench) -> None:
        shop.wanted["Al2O3"].value = "0.26"
        assert "settle hard" in shop.found.value
        shop.clay.value = True
        assert says(shop, "cannot") and "8 %" in shop.ways_out.value

    def condition(self, shop: ShoppingBench, powder: str, kind: str, number: str) -> None:
        """Set a condition by its words, as a learner does."""
        shop.conditions.powder.value = powder
        shop.conditions.kind.value = next(value for label, value in shop.conditions.kind.options if kind in label)
        shop.conditions.number.value = number
        shop.do(shop.conditions.set)

    def shares(self, shop: ShoppingBench) -> dict[str, float]:
        return {line.material: line.amount for line in shop.shown.recipe.base}

    def test_conditions_hold_in_the_recipe_and_can_be_lifted(self, shop: ShoppingBench) -> None:
        """Ball clay and kaolin both bring alumina, so there is a choice for conditions to make."""
        shop.powders.value = [*shop.powders.value, "ball clay", "soda feldspar"]
        free = self.shares(shop)
        self.condition(shop, "ball clay", "at least", "5,5")
        assert self.shares(shop)["ball clay"] >= 5.5 - 1e-6
        self.condition(shop, "ball clay", "exactly", "6")
        assert self.shares(shop)["ball clay"] == pytest.approx(6)
        shop.conditions.lift("ball clay", "exactly")
        self.condition(shop, "kaolin", "at most", "2")
        assert self.shares(shop).get("kaolin", 0) <= 2 + 1e-6 and self.shares(shop)["ball clay"] >= 5.5 - 1e-6
        listed = [line.children[0].value for line in shop.conditions.listed.children]
        assert len(listed) == 2
        assert says(shop, "at_least", listed[0], powder="ball clay", amount="5.5 %")
        assert says(shop, "at_most", listed[1], powder="kaolin", amount="2.0 %")
        for powder, kind, _ in list(shop.memory["conditions"]):
            shop.conditions.lift(powder, kind)
        assert self.shares(shop) == pytest.approx(free) and not shop.conditions.listed.children

    def test_no_more_than_is_left_for_the_base_that_is_weighed(self, shop: ShoppingBench) -> None:
        """20 g of kaolin for 400 g of base is 5 %, and the formula of exercise 8.1 needs 10.9 %."""
        self.condition(shop, "kaolin", "left", "20")
        assert shop.said.startswith("Yes"), "20 g are enough for 100 g of base"
        shop.conditions.base.value = "0.4 kg"
        assert says(shop, "cannot") and self.shares(shop)["kaolin"] <= 5 + 1e-6
        assert "20 g" in shop.ways_out.value

    def test_a_second_condition_of_the_kind_replaces_the_first(self, shop: ShoppingBench) -> None:
        self.condition(shop, "kaolin", "at most", "30")
        self.condition(shop, "kaolin", "at most", "25 %")
        assert shop.memory["conditions"] == [["kaolin", "at most", 25.0]] and shop.conditions.number.value == ""

    @pytest.mark.parametrize(("number", "said"), [("", "type how much"), ("101", "allowed is 0 to 100 %"), ("some", "'some'")])
    def test_a_condition_that_cannot_be_read_changes_nothing(self, shop: ShoppingBench, number: str, said: str) -> None:
        self.condition(shop, "kaolin", "at least", number)
        assert said in shop.said and shop.memory["conditions"] == []

    def test_conditions_that_contradict_each_other_are_named(self, shop: ShoppingBench) -> None:
        self.condition(shop, "kaolin", "at least", "20")
        self.condition(shop, "kaolin", "at most", "10")
        assert "20 %" in shop.said and "10 %" in shop.said and "gk-stale" in shop.box._dom_classes
        assert len(shop.conditions.listed.children) == 2, "each can still be lifted"

    def test_a_condition_on_a_powder_that_is_not_ticked_waits_and_says_so(self, shop: ShoppingBench) -> None:
        self.condition(shop, "kaolin", "exactly", "10.9")
        shop.powders.value = ["potash feldspar", "whiting", "quartz", "ball clay"]
        assert says(shop, "waits", shop.conditions.listed.children[0].children[0])
        assert "limit on" not in shop.said
        shop.powders.value = [*shop.powders.value, "kaolin"]
        assert self.shares(shop)["kaolin"] == pytest.approx(10.9)

    def test_conditions_hold_in_every_way_that_is_offered_and_come_back(self, reopen: Reopen) -> None:
        shop: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
        shop.recipe.value = "Gangway Clear"
        shop.take_formula()
        shop.powders.value = [*shop.powders.value, "soda feldspar", "calcium borosilicate frit", "wollastonite", "ball clay"]
        self.condition(shop, "quartz", "at most", "21")
        assert len(shop.way.options) > 1
        for _, way in shop.way.options:
            shop.way.value = way
            assert self.shares(shop).get("quartz", 0) <= 21 + 1e-6
        again: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
        assert self.shares(again) == self.shares(shop) and len(again.conditions.listed.children) == 1

    def test_the_formula_of_a_glaze_and_several_ways_to_it(self, shop: ShoppingBench) -> None:
        shop.recipe.value = "Gangway Clear"
        shop.take_formula()
        assert says(shop, "cannot") and name_of("B2O3") in shop.said
        shop.powders.value = [
            *shop.powders.value,
            "soda feldspar",
            "calcium borosilicate frit",
            "wollastonite",
            "calcined kaolin",
        ]
        assert len(shop.way.options) > 1 and "settle hard" not in shop.found.value, "first what has clay enough to float"
        shop.way.value = next(i for label, i in shop.way.options if "whiting" in label)
        assert "fibrous dust" not in shop.caution.value
        raw = next(i for label, i in shop.way.options if "wollastonite" in label and "calcined kaolin" in label)
        shop.way.value = raw
        assert "fibrous dust" in shop.caution.value and "settle hard" in shop.found.value

    def test_fluxes_that_do_not_total_1_are_refused(self, shop: ShoppingBench) -> None:
        shop.wanted["CaO"].value = "0.5"
        assert "0.75, not" in shop.said and "gk-stale" in shop.box._dom_classes

    def test_a_shop_without_clay_says_so_but_reckons(self, shop: ShoppingBench) -> None:
        shop.powders.value = ["potash feldspar", "whiting", "quartz"]
        assert says(shop, "shop_lacks", shop.by_hand.order) and says(shop, "cannot")

    def test_which_flux_is_bought_first(self, shop: ShoppingBench) -> None:
        shop.by_hand.first.value = "whiting"
        assert "kaolin" not in shop.by_hand.order.value, "which comes next is for the learner to find"
        for _ in range(4):
            shop.by_hand.buy()
        order = "whiting, potash feldspar, kaolin, quartz"
        assert says(shop, "order", shop.by_hand.order, order=order)

    def test_what_is_saved_can_be_weighed(self, shop: ShoppingBench, tmp_path: Path) -> None:
        shop.save()
        recipe = read_recipe(tmp_path / "my-recipes" / "Shopped glaze.csv")
        assert [line.amount for line in recipe.base] == [39.2, 21.1, 10.9, 28.8]

    def test_everything_comes_back(self, reopen: Reopen) -> None:
        first: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
        first.wanted["SiO2"].value, first.work_out.value = "3,2", True
        first.by_hand.buy()
        again: ShoppingBench = reopen("08").panel("shopping bench")  # type: ignore[assignment]
        assert again.said == first.said and again.by_hand.bought.value == first.by_hand.bought.value != ""
