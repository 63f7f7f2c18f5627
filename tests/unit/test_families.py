"""Nearest keeps families of fluxes as sums, and leaves lines alone that nobody named."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.chemistry.bag_change import new_bag
from glazekit.chemistry.families import FAMILIES
from glazekit.chemistry.substitute import Substitution, substitute
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.chemistry.unity import FLUXES

MATTE = gk.Recipe(
    "baria matte",
    {"nepheline syenite": 60, "barium carbonate": 22, "lithium carbonate": 2, "ball clay": 6, "quartz": 10},
)
ZINC = gk.Recipe(
    "zinc satin",
    {"soda feldspar": 40, "zinc oxide": 8, "whiting": 12, "lithium carbonate": 2, "kaolin": 10, "quartz": 28},
)
CASES = [
    (gk.demo_recipe("Gangway Clear"), "soda feldspar", "potash feldspar", 26 * 556.66 / 524.45),
    (MATTE, "barium carbonate", "strontium carbonate", 22 * 147.63 / 197.34),
    (ZINC, "zinc oxide", "whiting", 8 * 100.09 / 81.38),
]
"""Recipe, what is out, what takes its place, and how much of it brings the same moles of flux: molar masses by hand."""


@pytest.mark.parametrize(("recipe", "out", "into", "same_flux"), CASES, ids=lambda case: str(case)[:20])
def test_as_many_moles_of_flux_come_in_as_went_out_and_the_other_lines_stay(
    recipe: gk.Recipe, out: str, into: str, same_flux: float
) -> None:
    swap = substitute(recipe, out, [into])
    moves = dict(swap.nearest.change_parts)
    assert moves.pop(out) == -next(line.amount for line in recipe.base if line.material == out)
    assert moves.pop(into) == pytest.approx(same_flux, rel=0.01)
    assert all(abs(by) < 1 for by in moves.values()) and swap.reasons == ()
    assert swap.nearest.after.alkali_share == pytest.approx(swap.nearest.before.alkali_share, abs=0.001)


POTASH_LIME = {"potash feldspar": 40, "whiting": 15, "kaolin": 12, "quartz": 28}
BARIA = {"nepheline syenite": 45, "barium carbonate": 30, "ball clay": 8, "quartz": 12, "lithium carbonate": 2, "whiting": 3}
LEFT_ALONE = [
    (BARIA, "barium carbonate", "strontium carbonate", 30 * 147.63 / 197.34),
    (POTASH_LIME | {"barium carbonate": 15}, "barium carbonate", "strontium carbonate", 15 * 147.63 / 197.34),
    (POTASH_LIME | {"wollastonite": 8}, "whiting", "strontium carbonate", 15 * 147.63 / 100.09),
    (POTASH_LIME | {"lithium carbonate": 5}, "lithium carbonate", "soda ash", 5 * 105.99 / 73.89),
    (POTASH_LIME | {"lithium carbonate": 5, "soda feldspar": 9}, "lithium carbonate", "soda ash", 5 * 105.99 / 73.89),
    (POTASH_LIME | {"zinc oxide": 8, "strontium carbonate": 5}, "zinc oxide", "whiting", 15 + 8 * 100.09 / 81.38),
]
"""Another line brings the same family, or the new oxide of it, already: the same moles of flux all the same, by hand."""


@pytest.mark.parametrize(("base", "out", "into", "grams"), LEFT_ALONE, ids=str)
def test_a_new_oxide_of_a_family_is_no_reason_to_move_another_line(
    base: dict[str, float], out: str, into: str, grams: float
) -> None:
    swap = substitute(gk.Recipe("any", base), out, [into])
    found = {line.material: line.amount for line in swap.nearest.recipe.base}
    assert found.pop(into) == pytest.approx(grams, abs=0.02)
    assert found == pytest.approx({name: parts for name, parts in base.items() if name not in (out, into)}, abs=0.02)
    assert swap.reasons == ()


def test_of_two_powders_the_one_that_brings_the_same_oxide_takes_the_place() -> None:
    """What is gone can be had again: single oxides still decide between the powders that were named."""
    swap = substitute(gk.Recipe("any", POTASH_LIME | {"soda ash": 5}), "soda ash", ["pearl ash", "sodium nitrate"])
    assert swap.nearest.after["Na2O"] == pytest.approx(swap.nearest.before["Na2O"], abs=0.01)


def test_fluxes_belong_to_one_family_each() -> None:
    assert sorted(oxide for family in FAMILIES for oxide in family) == sorted(FLUXES)


def test_exact_by_family_stands_in_when_exact_refuses() -> None:
    swap = substitute(MATTE, "barium carbonate", ["strontium carbonate"])
    assert swap.exact is None and swap.merged == ("SrO+BaO",)
    assert swap.by_family is not None and swap.replacements[0] is swap.by_family
    assert dict(swap.by_family.change_parts) == pytest.approx({"barium carbonate": -22, "strontium carbonate": 16.458}, abs=0.001)
    moved = {oxide: moles for oxide, moles in swap.by_family.unity_change.items() if abs(moles) > 1e-5}
    assert moved == pytest.approx({"SrO": -moved["BaO"], "BaO": moved["BaO"]})


def refused(swap: Substitution) -> bool:
    return swap.by_family is None and swap.merged == ()


def test_no_way_by_family_when_there_is_an_exact_one_or_another_family_comes_in() -> None:
    assert refused(substitute(CASES[0][0], "soda feldspar", ["nepheline syenite"]))
    assert refused(substitute(ZINC, "zinc oxide", ["whiting"]))


def test_a_family_that_is_gone_is_said_with_what_took_its_place() -> None:
    zinc, baria = substitute(ZINC, "zinc oxide", ["whiting"]), substitute(MATTE, "barium carbonate", ["strontium carbonate"])
    assert zinc.gone_over == (("ZnO",), ("CaO",)) and zinc.reasons == () and len(zinc.reason_words) == 1
    assert baria.gone_over == ((), ()) and baria.reason_words == (), "strontia is of baria's family"


def test_a_line_that_moves_unnamed_says_what_it_holds() -> None:
    """The frit brought soda, lime, alumina and silica besides its boric oxide; colemanite brings but lime and boric oxide."""
    swap = substitute(CASES[0][0], "calcium borosilicate frit", ["colemanite"])
    told = {reason.material: reason for reason in swap.reasons}
    assert {name: told[name].holds for name in told} == {
        "soda feldspar": ("Na2O", "K2O"),
        "whiting": ("CaO",),
        "kaolin": ("Al2O3",),
        "quartz": ("SiO2",),
    }
    shelf, flux_mol = gk.course_stock(), 0.0
    for line in CASES[0][0].base:
        flux_mol += line.amount * sum(moles for oxide, moles in shelf.find(line.material).moles_per_g if oxide in FLUXES)
    quartz = told["quartz"]
    shift = quartz.by_parts / 60.084 / flux_mol
    silica = swap.nearest.unity_change["SiO2"]
    assert quartz.else_mol == pytest.approx(silica - shift, abs=0.002), "less by what the quartz brings"


def test_traces_of_alkali_in_clay_do_not_take_the_glaze_over() -> None:
    """The whole soda of a feldspar could come from bentonite; the glaze would then be clay."""
    recipe = gk.Recipe("lithia", {"lithium carbonate": 12, "talc": 30, "bentonite": 3, "kaolin": 20, "quartz": 35})
    nearest = substitute(recipe, "lithium carbonate", ["whiting"]).nearest
    for oxide in ("Al2O3", "SiO2"):
        assert nearest.after[oxide] == pytest.approx(nearest.before[oxide], rel=0.5)
    assert nearest.after.alkali_share < nearest.before.alkali_share / 2


def test_a_new_bag_of_feldspar_is_corrected_by_its_alkalis_together() -> None:
    """Potash where there was soda: what one brings less the other brings more, and no line moves by a part."""
    shelf = gk.course_stock()
    potash = shelf.find("potash feldspar")
    bag = gk.Material("soda feldspar", "bag", potash.oxides, loi_wt_pct_raw=potash.loi_wt_pct_raw)
    (moved,) = new_bag(bag, [CASES[0][0]]).moved
    assert not moved.feasible
    assert dict(moved.corrected.change_parts) == pytest.approx({"soda feldspar": CASES[0][3] - 26}, abs=0.01)


def test_a_mole_swap_counts_a_family_together() -> None:
    swap = mole_swap("barium carbonate", "strontium carbonate", 22, same="SrO+BaO")
    assert swap.into_g == pytest.approx(CASES[1][3], abs=0.01) and swap.counted == ("SrO", "BaO")
