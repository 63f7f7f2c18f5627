"""What must hold for every recipe, whatever is in it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazekit as gk
from glazekit.materials.oxides import FLUXES, OXIDES

POWDERS = [material.name for material in gk.course_stock() if not material.liquid]
AMOUNTS = st.floats(0.01, 1000)
RECIPES = st.dictionaries(st.sampled_from(POWDERS), AMOUNTS, min_size=1, max_size=9).map(
    lambda base: gk.Recipe("any", base | {"whiting": 12.0})
)
COMPOSITIONS = st.dictionaries(st.sampled_from(sorted(OXIDES)), st.floats(0.01, 100), min_size=1, max_size=12)


@given(RECIPES)
def test_mass_in_is_oxides_plus_what_leaves(recipe: gk.Recipe) -> None:
    analysis = gk.analyse(recipe)
    assert analysis.fired_g + analysis.loi_g + analysis.unreported_g == pytest.approx(recipe.base_sum)
    assert analysis.unreported_g == pytest.approx(0, abs=0.002 * recipe.base_sum), "the course's own analyses close"


@given(RECIPES, st.floats(0.001, 1000))
def test_scaling_changes_nothing(recipe: gk.Recipe, factor: float) -> None:
    assert dict(gk.unity_formula(recipe.scaled(factor)).moles) == pytest.approx(dict(gk.unity_formula(recipe).moles))
    assert gk.analyse(recipe.to_100()).loi_wt_pct_raw == pytest.approx(gk.analyse(recipe).loi_wt_pct_raw)


@given(RECIPES)
def test_the_fluxes_sum_to_one(recipe: gk.Recipe) -> None:
    u = gk.unity_formula(recipe)
    assert sum(u[flux] for flux in FLUXES) == pytest.approx(1)


@given(RECIPES)
def test_the_working_ends_at_the_formula(recipe: gk.Recipe) -> None:
    analysis = gk.analyse(recipe)
    moles: dict[str, float] = {}
    for step in analysis.working:
        moles[step.oxide] = moles.get(step.oxide, 0.0) + step.mass_g * step.oxide_wt_pct_raw / 100 / step.molar_mass_g_mol
    flux_sum = sum(moles.get(flux, 0.0) for flux in FLUXES)
    assert {oxide: n / flux_sum for oxide, n in moles.items() if n} == pytest.approx(dict(analysis.unity.moles))


@given(RECIPES)
def test_percentages_total_100(recipe: gk.Recipe) -> None:
    analysis = gk.analyse(recipe)
    assert sum(analysis.oxide_wt_pct_fired.values()) == pytest.approx(100)
    assert sum(analysis.oxide_mol_pct.values()) == pytest.approx(100)


@given(COMPOSITIONS)
def test_weight_to_moles_and_back(composition: dict[str, float]) -> None:
    total = sum(composition.values())
    wt_pct = {oxide: 100 * amount / total for oxide, amount in composition.items()}
    shelf = gk.course_stock().with_materials([gk.Material("glass", "frit", wt_pct)])
    glass = gk.analyse(gk.Recipe("any", {"glass": 100}), stock=shelf)
    assert dict(glass.oxide_wt_pct_fired) == pytest.approx(wt_pct)
    grams = {oxide: mol_pct * OXIDES[oxide].molar_mass_g_mol for oxide, mol_pct in glass.oxide_mol_pct.items()}
    assert {oxide: 100 * mass / sum(grams.values()) for oxide, mass in grams.items()} == pytest.approx(wt_pct)
