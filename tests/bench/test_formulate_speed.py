"""How fast a recipe is found, with the limits a slider needs."""

from __future__ import annotations

from statistics import median

import numpy as np
from stopwatch import calm_s

import glazekit as gk
from glazekit.chemistry.formulate import formulate

TWELVE = (
    "potash feldspar",
    "soda feldspar",
    "whiting",
    "dolomite",
    "talc",
    "zinc oxide",
    "spodumene",
    "bone ash",
    "calcium borosilicate frit",
    "kaolin",
    "quartz",
    "rutile",
)
"""Twelve materials that together bring twelve oxides."""


def best_ms(target: dict[str, float]) -> float:
    return 1000 * calm_s(lambda: formulate(target, TWELVE), rounds=5)


def targets(count: int, *, possible: bool) -> list[dict[str, float]]:
    random = np.random.default_rng(7)
    found = []
    while len(found) < count:
        recipe = gk.Recipe("any", {name: float(random.exponential()) + 0.01 for name in TWELVE})
        target = dict(gk.unity_formula(recipe).moles)
        if not possible:  # the alumina of the feldspars cannot be left behind
            target["Al2O3"] *= 0.3
            target["SiO2"] *= float(random.uniform(0.2, 1.2))
        if formulate(target, TWELVE).feasible == possible:
            found.append(target)
    return found


def test_twelve_materials_bring_twelve_oxides() -> None:
    assert len(gk.unity_formula(gk.Recipe("all", dict.fromkeys(TWELVE, 1.0))).moles) == 12


def test_a_recipe_with_its_alternatives_under_10_milliseconds() -> None:
    ms = median(best_ms(target) for target in targets(20, possible=True))
    print(f"possible formula, 12 materials x 12 oxides: median {ms:.1f} ms")
    assert ms < 10


def test_a_conflict_with_its_ways_out_under_20_milliseconds() -> None:
    ms = median(best_ms(target) for target in targets(20, possible=False))
    print(f"impossible formula, 12 materials x 12 oxides: median {ms:.1f} ms")
    assert ms < 20
