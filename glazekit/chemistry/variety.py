"""Several recipes for one formula: leave out each material in turn and see whether the others still make it."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.chemistry.allowed import Allowed, Goal
from glazekit.chemistry.changed_recipe import Amounts

MOST_RECIPES = 6
MOST_TRIES = 30
NOTHING = 1e-9
"""An amount below this part of the whole is none at all."""


def used(allowed: Allowed, amounts: list[float]) -> Amounts:
    """Material -> amount, of the materials in use."""
    least = NOTHING * sum(amounts)
    return {material.name: amount for material, amount in zip(allowed.materials, amounts, strict=True) if amount > least}


def variety(allowed: Allowed, first: Amounts, goal: Goal) -> list[Amounts]:
    """Recipes of different materials that all bring the goal within its tolerance, ``first`` in front.

    How: leave out one of the materials of a recipe and look for another recipe among the rest; do the same with what is
    found, until nothing new turns up or ``MOST_TRIES`` have been made. A material that could not be spared once cannot be
    spared when others are left out as well. Every recipe found uses materials of which none is a mixture of the others.

    Returns material -> amount [hundreds of grams per mole of flux].
    """
    found = [first]
    needed: set[str] = set()
    tried: set[frozenset[str]] = set()
    queue: list[tuple[Allowed, frozenset[str], Amounts]] = [(allowed, frozenset(), first)]
    while queue and len(found) < MOST_RECIPES:
        choice, left_out, recipe = queue.pop(0)
        for material in sorted(recipe, key=lambda name: recipe[name]):
            out = left_out | {material}
            if material in needed or out in tried or len(tried) >= MOST_TRIES:
                continue
            tried.add(out)
            fewer = choice.without(material)
            amounts = fewer and fewer.within(goal, goal.tolerance)
            if not fewer or not amounts:
                if not left_out:
                    needed.add(material)
                continue
            other = used(fewer, amounts)
            if all(set(other) != set(known) for known in found):
                found.append(other)
            queue.append((fewer, out, other))
    return found


def fewest(recipes: list[Amounts], order: Sequence[str]) -> Amounts:
    """The recipe with the fewest materials; of several, the one with those named earlier in ``order``."""
    return min(recipes, key=lambda recipe: (len(recipe), sorted(order.index(name) for name in recipe)))


def mean(recipes: list[Amounts]) -> Amounts:
    """The middle of several recipes for one formula, itself a recipe for it: a little of every material."""
    names = dict.fromkeys(name for recipe in recipes for name in recipe)
    return {name: sum(recipe.get(name, 0.0) for recipe in recipes) / len(recipes) for name in names}
