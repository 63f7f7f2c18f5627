"""The oxides, their roles and their molar masses."""

from __future__ import annotations

import pytest

from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.oxides import COLOUR_FLUXES, FLUXES, OXIDE_ORDER, OXIDES


def test_the_mapping_holds_every_oxide_in_display_order() -> None:
    assert tuple(OXIDES) == OXIDE_ORDER and len(OXIDES) == len(OXIDE_ORDER) == len(set(OXIDE_ORDER))
    assert "SiO2" in OXIDES and "CO2" not in OXIDES and "LOI" not in OXIDES
    with pytest.raises(KeyError):
        OXIDES["SO3"]


def test_fluxes_are_the_oxides_whose_role_is_flux() -> None:
    assert tuple(symbol for symbol, oxide in OXIDES.items() if oxide.role == "flux") == FLUXES
    assert all(OXIDES[symbol].role == "colour" for symbol in COLOUR_FLUXES)
    assert OXIDES["B2O3"].role == "glass former"


def test_moles_in_a_gram_are_mass_over_molar_mass() -> None:
    moles = dict(Material.from_formula("wollastonite", "CaSiO3").moles_per_g)
    assert moles["CaO"] == pytest.approx(moles["SiO2"]) == pytest.approx(1 / molar_mass_g_mol("CaSiO3"))
    assert OXIDES["K2O"].molar_mass_g_mol == molar_mass_g_mol("K2O")
