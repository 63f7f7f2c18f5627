"""Impossible formulas: the smallest conflict, the sentence, what relieves it."""

from __future__ import annotations

import re
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazekit as gk
from glazekit.chemistry.base_limits import AT_LEAST, AT_MOST, BaseLimit
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


FLUX_NAMES = ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")
CLEAR = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.40, "SiO2": 3.5}
SODA_TOO = (*FOUR, "soda feldspar")
Limits = dict[str, dict[str, float]]


def with_instead(target: dict[str, float], oxide: str, moles: float) -> dict[str, float]:
    """The formula with this oxide let go, as typed with three decimals; of a flux the other fluxes in their old proportions."""
    changed = target | {oxide: round(moles, 3)}
    if oxide.split("+")[0] in FLUX_NAMES:
        others = [other for other in target if other != oxide and other.split("+")[0] in FLUX_NAMES]
        room = sum(target[other] for other in others)
        changed |= {other: (1 - changed[oxide]) * target[other] / room for other in others}
    return changed


@pytest.mark.parametrize(
    ("target", "materials", "limits"),
    [
        (CLEAR, FOUR, {"min_share": {"kaolin": 15}}),
        (CLEAR, FOUR, {"min_share": {"kaolin": 25}}),
        (CLEAR, FOUR, {"fixed": {"whiting": 10}}),
        (CLEAR, FOUR, {"max_share": {"quartz": 20}}),
        (CLEAR, FOUR, {"max_share": {"potash feldspar": 25}}),
        (
            {"CaO": 0.7, "ZnO": 0.3, "Al2O3": 0.3, "SiO2": 2.5},
            ("whiting", "zinc oxide", *FOUR[2:]),
            {"max_share": {"zinc oxide": 3}},
        ),
        ({"Na2O+K2O": 0.3, "CaO": 0.7, "Al2O3": 0.25, "SiO2": 4}, SODA_TOO, {}),
        ({"Na2O+K2O": 0.4, "CaO": 0.6, "Al2O3": 0.5, "SiO2": 2.2}, SODA_TOO, {}),
        ({"BaO": 0.4, "Na2O+K2O": 0.6, "Al2O3": 0.4, "SiO2": 2.5}, ("nepheline syenite", "barium carbonate", "quartz"), {}),
        ({"K2O": 0.3, "MgO": 0.4, "CaO": 0.3, "Al2O3": 0.3, "SiO2": 1.8}, (*FOUR, "talc"), {}),
        ({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.35, "SiO2": 3.5}, FOUR, {"min_share": {"kaolin": 8}}),
        (
            {"Na2O+K2O": 0.2, "CaO": 0.8, "B2O3": 0.6, "Al2O3": 0.2, "SiO2": 2.0},
            (*SODA_TOO, "calcium borosilicate frit"),
            {},
        ),
    ],
)
def test_every_way_out_makes_the_whole_formula(target: dict[str, float], materials: tuple[str, ...], limits: Limits) -> None:
    why = conflict(formulate(target, materials, **limits))
    assert why.instead, "these formulas have one"
    for oxide, moles in why.instead:
        assert formulate(with_instead(target, oxide, moles), materials, **limits).feasible, (oxide, moles)


@pytest.mark.parametrize(("least_pct", "alumina", "potash"), [(15, 0.4612, 0.1923), (25, 0.6238, 0.0479)])
def test_how_much_alumina_so_much_clay_brings(least_pct: float, alumina: float, potash: float) -> None:
    """By hand: p feldspar, 1 - p whiting, k kaolin and quartz for the rest of the silica, in moles; k is least_pct by weight."""
    why = conflict(formulate(CLEAR, FOUR, min_share={"kaolin": least_pct}))
    instead = dict(why.instead)
    assert (instead["Al2O3"], instead["K2O"]) == pytest.approx((alumina, potash), abs=0.0005)


def test_how_much_silica_comes_with_so_little_whiting() -> None:
    """By hand: whiting is a tenth; 0.75 x 100.09 g are then 750.7 g of base, with 0.25 mol of feldspar and 0.15 of kaolin."""
    why = conflict(formulate(CLEAR, FOUR, fixed={"whiting": 10}))
    quartz = (750.7 - 75.07 - 0.25 * 556.66 - 0.15 * 258.16) / 60.084
    assert dict(why.instead)["SiO2"] == pytest.approx(quartz + 6 * 0.25 + 2 * 0.15, abs=0.02)


def test_a_limit_is_a_way_out_only_when_the_rest_can_then_be_made() -> None:
    """Without the least of kaolin there is still the feldspar's alumina, more than is asked for."""
    why = conflict(formulate(CLEAR | {"Al2O3": 0.1}, FOUR, min_share={"kaolin": 15}))
    kaolin = str(BaseLimit(AT_LEAST, ("kaolin",), 15))
    assert not any(kaolin in relief for relief in why.reliefs)


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
