"""Oxides, moles, LOI and the unity formula: small cases reckoned by hand."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.chemistry.unity import unity_from_moles
from glazekit.ground.errors import GlazekitError, NoAnalysisError, RangeError, RecipeError


def test_boron_and_alumina_are_no_fluxes_and_lead_is() -> None:
    u = unity_from_moles({"PbO": 1, "CaO": 1, "B2O3": 1, "Al2O3": 1, "SiO2": 4})
    assert dict(u.fluxes) == {"PbO": 0.5, "CaO": 0.5}
    assert u["B2O3"] == 0.5 and u["SiO2"] == 2


def test_colouring_fluxes_join_only_when_asked() -> None:
    moles = {"CaO": 1, "CoO": 1, "SiO2": 4}
    assert unity_from_moles(moles)["SiO2"] == 4
    joined = unity_from_moles(moles, count_colour_fluxes=True)
    assert joined["SiO2"] == 2 and sum(joined.fluxes.values()) == 1


def test_absent_is_zero_and_unknown_is_an_error(practice: gk.Recipe) -> None:
    u = gk.unity_formula(practice)
    assert u["ZnO"] == 0.0
    with pytest.raises(RangeError) as caught:
        u["Al2O"]
    assert caught.value.hint == "Al2O3"
    with pytest.raises(RangeError, match="'Xx'"):
        unity_from_moles({"CaO": 1, "Xx": 1})


def test_no_flux_no_unity() -> None:
    with pytest.raises(RecipeError, match="flux"):
        gk.unity_formula(gk.Recipe("clay only", {"kaolin": 100}))
    assert gk.analyse(gk.Recipe("clay only", {"kaolin": 100})).loi_wt_pct_raw == pytest.approx(13.96, abs=0.01)


def test_no_alumina_no_ratio() -> None:
    assert gk.unity_formula(gk.Recipe("x", {"quartz": 50, "whiting": 50})).silica_to_alumina_mol is None


def test_additions_count_only_when_asked() -> None:
    anchor = gk.demo_recipe("Anchor Chain")
    assert gk.unity_formula(anchor)["Fe2O3"] < 0.01
    # The course notes, reckoned separately: Anchor Chain with its additions has Fe2O3 0.20.
    assert gk.unity_formula(anchor, include_additions=True)["Fe2O3"] == pytest.approx(0.20, abs=0.01)


def test_unknown_material_stops_chemistry_with_one_sentence(stock: gk.Stock, practice: gk.Recipe) -> None:
    shelf = stock.with_unknown("mystery clay")
    recipe = gk.Recipe("m", {"mystery clay": 10, "whiting": 90})
    for reckon in (gk.analyse, gk.unity_formula):
        with pytest.raises(NoAnalysisError) as caught:
            reckon(recipe, stock=shelf)
        assert "mystery clay" in str(caught.value) and "\n" not in str(caught.value)


def test_liquids_bring_nothing_and_a_powder_in_millilitres_is_refused() -> None:
    gummed = gk.Recipe("g", {"whiting": 50, "quartz": 50}, [gk.Line("gum solution", 5, "ml")])
    assert gk.analyse(gummed, include_additions=True).raw_g == 100
    poured = gk.Recipe("p", {"whiting": 100}, [gk.Line("quartz", 5, "ml")])
    with pytest.raises(GlazekitError, match=r"quartz .*ml"):
        gk.unity_formula(poured, include_additions=True)


def test_a_two_stage_recipe_gives_the_chemistry_of_its_materials(stock: gk.Stock) -> None:
    melt = gk.Recipe("melt", {"soda feldspar": 40, "whiting": 30, "quartz": 30})
    frit = gk.frit_of("my frit", melt)
    shelf = stock.with_materials([frit])
    from_frit = gk.unity_formula(gk.Recipe("two stages", {"my frit": 70, "kaolin": 30}), stock=shelf)
    share = 70 / gk.analyse(melt).fired_yield / 100
    straight = {"soda feldspar": 40 * share, "whiting": 30 * share, "quartz": 30 * share, "kaolin": 30}
    assert dict(from_frit.moles) == pytest.approx(dict(gk.unity_formula(gk.Recipe("one", straight)).moles))
    assert "gas" not in frit.cautions


def test_working_keeps_each_step(practice: gk.Recipe) -> None:
    # Reckoned by hand from the molar masses 556.65, 100.09, 258.16 and 60.08 g/mol.
    found = gk.analyse(practice)
    assert found.flux_sum_mol == pytest.approx(40 / 556.65 + 20 / 100.09, abs=2e-5)
    assert dict(found.oxide_mol)["SiO2"] == pytest.approx(6 * 40 / 556.65 + 2 * 15 / 258.16 + 25 / 60.08, abs=1e-4)
    assert found.unity["SiO2"] == pytest.approx(3.55, abs=0.005)
    whiting = next(line for line in found.weighed if line.material.name == "whiting")
    assert (whiting.fired_g, whiting.loi_g) == pytest.approx((11.21, 8.79), abs=0.01)
    (lime,) = whiting.oxides
    assert (lime.oxide, lime.moles) == ("CaO", pytest.approx(20 / 100.09, abs=2e-5))
    assert list(found.unity.fluxes) == ["K2O", "CaO"]


@pytest.mark.parametrize(
    "name", ["fluorspar", "barytes", "silicon carbide", "rock salt", "charcoal", "Cornish stone", "wood ash"]
)
def test_what_the_chemistry_cannot_count_is_said(name: str, stock: gk.Stock) -> None:
    """Once, with the formula, whether it is the course's powder or a new lot of it."""
    recipe = gk.Recipe("old", {name: 20, "whiting": 30, "quartz": 50})
    assert [note for note in gk.unity_formula(recipe).notes if note.startswith(name)] == [f"{name}: {stock.find(name).uncounted}"]
    lot = gk.Material(name, "bag", (("CaO", 60.0), ("SiO2", 40.0)))
    assert gk.unity_formula(recipe, stock=stock.with_materials([lot])).notes == gk.unity_formula(recipe).notes
    assert gk.unity_formula(gk.Recipe("new", {"whiting": 30, "quartz": 70})).notes == ()
