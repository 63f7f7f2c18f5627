"""Opacifier: much zircon, tin oxide or titania stays as grains or crystals, whatever the analysis says."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress

from glazekit.chemistry.unity import oxide_moles
from glazekit.glass.constants import constant
from glazekit.ground.errors import GlazekitError
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe

_OPACIFIERS = ("ZrO2", "SnO2", "TiO2")


def opacifier_doubt(recipe: Recipe, moles: Mapping[str, float], stock: Stock | None) -> tuple[str, ...]:
    """A sentence when a recipe holds more opacifier than dissolves, additions included even where they are not counted.

    ``moles`` are those already counted. Zirconia is weighed as zircon, which is how it comes into a recipe. An addition whose
    amount or analysis is not known says nothing here.
    """
    if recipe.additions:
        with suppress(GlazekitError):
            moles = oxide_moles(recipe, include_additions=True, stock=stock)
    if not any(oxide in moles for oxide in _OPACIFIERS):
        return ()
    zircon = OXIDES["ZrO2"].molar_mass_g_mol + OXIDES["SiO2"].molar_mass_g_mol
    mass_g = moles.get("ZrO2", 0.0) * zircon
    mass_g += sum(moles.get(oxide, 0.0) * OXIDES[oxide].molar_mass_g_mol for oxide in ("SnO2", "TiO2"))
    share_pct, most_pct = 100 * mass_g / recipe.base_sum, constant("opacifier_pct")
    if share_pct <= most_pct + 1e-9:
        return ()
    return (f"opacifier {share_pct:.2g} % of the base: more than {most_pct:g} % mostly stays undissolved and is no glass",)
