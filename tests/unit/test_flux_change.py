"""Other fluxes for a glaze: what is held stays, what is wished comes out, and what cannot be is said."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazekit as gk
from glazekit.chemistry.flux_change import hold_formula, hold_materials, is_flux_source
from glazekit.ground.errors import RangeError, RecipeError

SHELF = (
    "soda feldspar",
    "potash feldspar",
    "whiting",
    "talc",
    "dolomite",
    "zinc oxide",
    "strontium carbonate",
    "kaolin",
    "quartz",
)
SOURCES = ("whiting", "magnesium carbonate", "zinc oxide", "strontium carbonate")


def flux_moles(recipe: gk.Recipe) -> float:
    brought = gk.analyse(recipe)
    return sum(moles for oxide, moles in brought.oxide_mol if oxide in ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO"))


@given(parts=st.lists(st.floats(0.05, 1), min_size=4, max_size=4))
@settings(max_examples=60, deadline=None)
def test_pure_sources_make_any_mixture_and_leave_the_rest_alone(parts: list[float]) -> None:
    """Four sources of one flux each can make every mixture: shares as wished, other grams and the sum of flux untouched."""
    recipe = gk.Recipe("plain", {"whiting": 35, "kaolin": 25, "quartz": 40})
    wish = {oxide: part / sum(parts) for oxide, part in zip(("CaO", "MgO", "ZnO", "SrO"), parts, strict=True)}
    change = hold_materials(recipe, wish, SOURCES)
    after = gk.unity_formula(change.changed.recipe)
    assert change.feasible
    assert all(after[oxide] == pytest.approx(share, abs=1e-4) for oxide, share in wish.items())
    new = {line.material: line.amount for line in change.changed.recipe.base}
    assert new["kaolin"] == 25 and new["quartz"] == 40
    assert flux_moles(change.changed.recipe) == pytest.approx(flux_moles(recipe), rel=1e-4)
    assert after["SiO2"] == pytest.approx(gk.unity_formula(recipe)["SiO2"], rel=1e-3), "pure sources bring no silica"


@given(potash=st.floats(0.05, 0.35), magnesia=st.floats(0, 0.3))
@settings(max_examples=40, deadline=None)
def test_the_rest_of_the_formula_is_held(potash: float, magnesia: float) -> None:
    practice = gk.Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    before = gk.unity_formula(practice)
    change = hold_formula(practice, {"K2O": potash, "MgO": magnesia, "CaO": 1 - potash - magnesia}, SHELF)
    after = gk.unity_formula(change.changed.recipe)
    assert change.feasible
    assert after["K2O"] == pytest.approx(potash, abs=0.0021) and after["MgO"] == pytest.approx(magnesia, abs=0.0021)
    assert after["SiO2"] == pytest.approx(before["SiO2"], abs=0.0021) and after["Al2O3"] == pytest.approx(
        before["Al2O3"], abs=0.0021
    )
    assert flux_moles(change.changed.recipe) == pytest.approx(flux_moles(practice), rel=1e-6)


def test_more_potash_than_alumina_allows() -> None:
    practice = gk.Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    change = hold_formula(practice, {"K2O": 0.9, "CaO": 0.1}, practice.materials())
    assert not change.feasible and "alumina" in change.why_not[0] and change.reliefs


def test_a_flux_nobody_brings() -> None:
    change = hold_materials(
        gk.Recipe("plain", {"whiting": 35, "kaolin": 25, "quartz": 40}), {"CaO": 0.8, "Li2O": 0.2}, ["whiting"]
    )
    assert not change.feasible and any("(Li2O)" in why and "0.20" in why for why in change.why_not)


def test_wishes_that_make_no_sense_are_refused() -> None:
    plain = gk.Recipe("plain", {"whiting": 35, "kaolin": 25, "quartz": 40})
    with pytest.raises(RangeError, match=r"total 0\.9"):
        hold_materials(plain, {"CaO": 0.9}, ["whiting"])
    with pytest.raises(RangeError, match="SiO2"):
        hold_formula(plain, {"SiO2": 1.0}, ["whiting"])
    with pytest.raises(RecipeError, match="kaolin, quartz"):
        hold_materials(plain, {"CaO": 1.0}, ["kaolin", "quartz"])
    with pytest.raises(RecipeError, match="no flux"):
        hold_materials(gk.Recipe("clay", {"kaolin": 50, "quartz": 50}), {"CaO": 1.0}, ["whiting"])


def test_a_clay_with_a_trace_of_flux_is_no_source(stock: gk.Stock) -> None:
    names = ("ball clay", "bentonite", "quartz", "rutile")
    assert [name for name in (*names, "whiting") if is_flux_source(stock.find(name))] == ["whiting"]


def test_a_small_miss_is_told_with_a_number_that_is_not_nothing() -> None:
    """The frit that is held brings potash: soda is missed by 0.0028."""
    clear = gk.demo_recipe("Gangway Clear")
    change = hold_materials(clear, {"Na2O": 0.3, "CaO": 0.7}, clear.materials())
    assert not change.feasible and any("(Na2O)" in why and "0.003" in why for why in change.why_not)
    assert not any("0.00 " in why for why in change.why_not)
