"""Impossible formulas: the smallest conflict, the sentence, what relieves it."""

from __future__ import annotations

import re
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazekit as gk
from glazekit.chemistry.base_limits import AT_MOST, BaseLimit
from glazekit.chemistry.conflict import Conflict, smallest_impossible
from glazekit.chemistry.formulate import Formulation, formulate

FOUR = ("potash feldspar", "whiting", "kaolin", "quartz")


def numbers(text: str) -> list[float]:
    """The numbers with decimals in a sentence."""
    return [float(found) for found in re.findall(r"\d+\.\d+", text)]


def conflict(found: Formulation) -> Conflict:
    assert not found.feasible
    assert found.why_not is not None
    return found.why_not


def test_too_much_alumina_comes_with_the_potash() -> None:
    found = formulate({"K2O": 0.30, "CaO": 0.70, "Al2O3": 0.20, "SiO2": 3.5}, FOUR)
    why = conflict(found)
    assert why.oxides == ("K2O", "Al2O3")
    assert dict(why.instead) == pytest.approx({"K2O": 0.20, "Al2O3": 0.30}, abs=1e-6), "what is held is held, not nearly"
    potash, alumina, *reach = numbers(why.sentence)
    assert (potash, alumina, reach) == (0.30, 0.20, [0.30, 0.30]), "wanted both; with so much potash at least so much alumina"
    assert "potash feldspar" in why.sentence
    assert "(Al2O3)" in why.reliefs[0] and all(helper in why.reliefs[0] for helper in why.helpers)
    assert [numbers(relief) for relief in why.reliefs[1:]] == [[0.20, 0.30], [0.30, 0.20]], "accept this instead of that"
    assert ["potash" in relief for relief in why.reliefs[1:]] == [True, False]
    assert found.left_over["Al2O3"] > 0.03, "the nearest recipe and its misses are shown all the same"
    assert found.missing["K2O"] > 0.01


@pytest.mark.parametrize("feldspar", ["potash feldspar", "nepheline syenite"])
def test_a_sum_that_cannot_be_met_is_named_as_the_sum(feldspar: str) -> None:
    """Neither soda nor potash alone was asked for, so neither alone is to blame."""
    target = {"Na2O+K2O": 0.30, "CaO": 0.70, "Al2O3": 0.10, "SiO2": 3.5}
    found = formulate(target, (feldspar, *FOUR[1:]))
    why = conflict(found)
    assert why.oxides == ("Na2O+K2O", "Al2O3")
    assert numbers(why.sentence)[:2] == [0.30, 0.10] and "soda + potash" in why.sentence
    less = dict(why.instead)["Na2O+K2O"]
    assert less < 0.30 and formulate(target | {"Na2O+K2O": less, "CaO": 1 - less}, (feldspar, *FOUR[1:])).feasible
    assert why.helpers and all(formulate(target, (feldspar, *FOUR[1:], helper)).feasible for helper in why.helpers)


def test_a_sum_that_nothing_brings_is_named_once() -> None:
    why = conflict(formulate({"Na2O+K2O": 0.30, "CaO": 0.70, "Al2O3": 0.2, "SiO2": 2.5}, ("whiting", "alumina", "quartz")))
    assert why.absent == ("Na2O+K2O",)


@pytest.mark.parametrize("index", range(3))
def test_each_relief_is_one(index: int) -> None:
    target = {"K2O": 0.30, "CaO": 0.70, "Al2O3": 0.20, "SiO2": 3.5}
    why = conflict(formulate(target, FOUR))
    tries = [
        formulate(target, (*FOUR, why.helpers[0])),
        formulate({**target, "Al2O3": dict(why.instead)["Al2O3"]}, FOUR),
        formulate({**target, "K2O": dict(why.instead)["K2O"], "CaO": 1 - dict(why.instead)["K2O"]}, FOUR),
    ]
    assert tries[index].feasible


def test_oxides_that_nothing_brings_are_all_named() -> None:
    why = conflict(formulate({"Li2O": 0.1, "K2O": 0.15, "CaO": 0.75, "Al2O3": 0.4, "B2O3": 0.2, "SiO2": 3.5}, FOUR))
    assert why.absent == ("Li2O", "B2O3")
    assert "(Li2O)" in why.sentence and "(B2O3)" in why.sentence
    assert len(why.oxides) == 1
    assert len(why.reliefs) == 2
    assert "spodumene" in why.helpers
    assert any(gk.course_stock().find(helper).kind == "frit" for helper in why.helpers)


def test_a_poison_is_never_put_forward() -> None:
    why = conflict(formulate({"BaO": 0.2, "K2O": 0.2, "CaO": 0.6, "Al2O3": 0.4, "SiO2": 3.5}, FOUR))
    assert why.helpers == ()
    assert "barium carbonate" not in " ".join(why.reliefs)
    assert "white lead" not in " ".join(conflict(formulate({"PbO": 0.5, "CaO": 0.5, "SiO2": 2}, FOUR)).reliefs)


def test_dolomite_brings_its_two_fluxes_in_one_proportion() -> None:
    why = conflict(
        formulate({"K2O": 0.25, "CaO": 0.35, "MgO": 0.40, "Al2O3": 0.4, "SiO2": 3.5}, ("potash feldspar", "dolomite", *FOUR[2:]))
    )
    assert why.oxides == ("MgO", "CaO")
    assert {"talc", "magnesium carbonate"} <= set(why.helpers)
    assert "bentonite" not in why.helpers, "a few percent of magnesia are no source of it"


def test_a_limit_in_the_way_is_named() -> None:
    target = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.4, "SiO2": 3.5}
    found = formulate(target, FOUR, max_share={"kaolin": 5, "whiting": 90})
    why = conflict(found)
    assert "limits" in why.sentence
    kaolin, whiting = (str(BaseLimit(AT_MOST, (name,), pct)) for name, pct in (("kaolin", 5), ("whiting", 90)))
    assert any(kaolin in relief for relief in why.reliefs)
    assert not any(whiting in relief for relief in why.reliefs), "a limit that does not bind is no relief"
    assert {line.material: line.amount for line in found.recipe.base}["kaolin"] <= 5 + 1e-6


def test_no_relief_breaks_the_sum_of_the_fluxes() -> None:
    """Letting the only two fluxes go to other amounts would leave no unity formula."""
    why = conflict(
        formulate(
            {"CaO": 0.7, "ZnO": 0.3, "Al2O3": 0.3, "SiO2": 2.5},
            ("whiting", "zinc oxide", "kaolin", "quartz"),
            max_share={"zinc oxide": 3},
        )
    )
    amounts = dict(why.instead)
    offered = [number for relief in why.reliefs for number in numbers(relief)]
    assert round(amounts["SiO2"], 2) in offered
    assert not {round(amounts["CaO"], 2), round(amounts["ZnO"], 2)} & set(offered)


def test_the_course_stock_is_searched_unless_another_is_given(stock: gk.Stock) -> None:
    small = gk.Stock(tuple(stock.find(name) for name in FOUR), stock.synonyms)
    why = conflict(formulate({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.2, "SiO2": 3.5}, FOUR, stock=small))
    assert why.helpers == ()


LETTERS = "abcdefg"


@given(st.lists(st.sets(st.sampled_from(LETTERS), min_size=1), min_size=1, max_size=5))
def test_the_smallest_set_against_trying_them_all(impossible: list[set[str]]) -> None:
    """A collection is impossible when it holds one of these sets; the search must find a smallest one."""

    def met(some: object) -> set[str] | None:
        some = set(some)  # type: ignore[call-overload]
        return None if any(bad <= some for bad in impossible) else some

    found = smallest_impossible(list(LETTERS), met)
    assert any(bad <= found for bad in impossible)
    for size in range(len(found)):
        assert all(met(some) is not None for some in combinations(LETTERS, size))
