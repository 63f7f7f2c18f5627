"""Air in the kiln: which recipes never go where the fire takes oxygen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from glazekit.kiln.firing import FiringError
from glazekit.kiln.terms import ATMOSPHERES, FUELS
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe

FLAME = ("gas", "wood", "oil")
"""Fuels whose flame can take oxygen from the glaze, whatever was planned."""


@dataclass(frozen=True, slots=True)
class Blocked:
    """A recipe that must not go into this firing, and why, in words."""

    recipe: str
    why: str


def blocked_in(recipes: Iterable[Recipe], atmosphere: str, fuel: str = "", stock: Stock | None = None) -> tuple[Blocked, ...]:
    """Which recipes must not go into a firing: zinc never goes into reduction or into a kiln with a flame.

    Parameters: recipes, what is to be loaded; atmosphere, one of ``ATMOSPHERES``; fuel, one of ``FUELS``, "" when it does not
    matter; stock, where the materials are looked up.

    >>> zinc = Recipe("Zinc White", {"quartz": 60, "zinc oxide": 40})
    >>> [one.recipe for one in blocked_in([zinc], "oxidation", "gas")], blocked_in([zinc], "oxidation", "electric")
    (['Zinc White'], ())

    Raises FiringError for another atmosphere or fuel, UnknownMaterialError for a name not in the stock.
    Limits: the stops of this course, not every danger; the trained kiln team and local rules decide.
    """
    if atmosphere not in ATMOSPHERES:
        raise FiringError(f"the atmosphere is '{atmosphere}'; allowed are {', '.join(ATMOSPHERES)}")
    if fuel and fuel not in FUELS:
        raise FiringError(f"the fuel is '{fuel}'; allowed are {', '.join(FUELS)}, or nothing when it does not matter")
    if atmosphere != "reduction" and fuel not in FLAME:
        return ()
    found = []
    for recipe in recipes:
        lines = cautions_for(replace(recipe, atmosphere="reduction"), stock, moment="firing")
        found += [Blocked(recipe.name, line.text) for line in lines if line.level == "stop" and line.materials]
    return tuple(found)
