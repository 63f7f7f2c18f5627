"""What the counting lessons share: molar masses of the course's powders as printed, and powder on top of a glaze."""

from __future__ import annotations

from glazekit.chemistry.unity import flux_sum_mol, oxide_moles
from glazekit.exercises.rules import shown
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.stock import course_stock
from glazekit.recipe.recipe import Line, Recipe


def powder(name: str) -> Material:
    """A material of the course."""
    return course_stock().find(name)


def g_mol(name: str) -> float:
    """Molar mass of a material of the course that has a formula [g per mol].

    >>> round(g_mol("whiting"), 2)
    100.09
    """
    return molar_mass_g_mol(powder(name).formula)


def masses(**powders: str) -> dict[str, str | float]:
    """Molar masses as the questions print them: ``whiting="whiting"`` fills {whiting_mass}."""
    return shown(2, **{f"{word}_mass": g_mol(name) for word, name in powders.items()})


def counted(recipe: Recipe) -> dict[str, float]:
    """Moles of each oxide of a recipe, and "flux", the sum of the fluxes."""
    moles = oxide_moles(recipe)
    return {**moles, "flux": flux_sum_mol(moles)}


def on_top(recipe: Recipe, name: str, grams: float) -> Recipe:
    """The base of a recipe with so many grams of one more line."""
    return Recipe("changed", [*recipe.base, Line(name, grams)])
