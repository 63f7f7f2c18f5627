"""The oxides, their roles, and weight percent to mole percent and back."""

from __future__ import annotations

import pytest

from glazekit.ground.errors import AnalysisError, RangeError
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import COLOUR_FLUXES, FLUXES, OXIDE_ORDER, OXIDES, ROLES, mol_pct_to_wt_pct, wt_pct_to_mol_pct


def test_the_mapping_holds_every_oxide_in_display_order() -> None:
    assert tuple(OXIDES) == OXIDE_ORDER and len(OXIDES) == len(OXIDE_ORDER) == len(set(OXIDE_ORDER))
    assert "SiO2" in OXIDES and "CO2" not in OXIDES and "LOI" not in OXIDES
    with pytest.raises(KeyError):
        OXIDES["SO3"]


def test_fluxes_are_the_oxides_whose_role_is_flux() -> None:
    assert tuple(symbol for symbol, oxide in OXIDES.items() if oxide.role == "flux") == FLUXES
    assert all(OXIDES[symbol].role == "colour" for symbol in COLOUR_FLUXES)
    assert OXIDES["B2O3"].role == "glass former"
    assert {oxide.role for oxide in OXIDES.values()} <= set(ROLES)


def test_shares_are_by_mass_over_molar_mass() -> None:
    mol = wt_pct_to_mol_pct({"CaO": molar_mass_g_mol("CaO"), "SiO2": 3 * molar_mass_g_mol("SiO2")})
    assert mol == pytest.approx({"CaO": 25, "SiO2": 75})
    wt = mol_pct_to_wt_pct({"K2O": 1, "SiO2": 1})
    assert wt["K2O"] / wt["SiO2"] == pytest.approx(molar_mass_g_mol("K2O") / molar_mass_g_mol("SiO2"))


@pytest.mark.parametrize("convert", [wt_pct_to_mol_pct, mol_pct_to_wt_pct])
def test_refuses_what_is_no_composition(convert) -> None:
    with pytest.raises(AnalysisError) as caught:
        convert({"Si02": 60})
    assert caught.value.hint == "SiO2"
    for shares in ({"SiO2": -1}, {"SiO2": float("nan")}, {"SiO2": float("inf")}, {"SiO2": 0}, {}):
        with pytest.raises(RangeError):
            convert(shares)
