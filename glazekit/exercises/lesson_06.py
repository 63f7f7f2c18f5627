"""Lesson 6, the silica and alumina chart: the ratio, and where a point goes when clay or whiting is added."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum

from glazekit.chemistry.reckoning import oxide_moles
from glazekit.chemistry.unity import UnityFormula, unity_formula, unity_from_moles
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Line, Recipe


def _formula(alumina: float, silica: float) -> UnityFormula:
    return unity_from_moles({"CaO": 1.0, "Al2O3": alumina, "SiO2": silica})


def _clear_with(name: str, grams: float) -> Recipe:
    clear = demo_recipe("Gangway Clear")
    return Recipe("changed", [*clear.base, Line(name, grams)])


def _brought(recipe: Recipe) -> tuple[float, float, float]:
    """Moles of flux, alumina and silica."""
    moles = oxide_moles(recipe)
    return fsum(moles.get(flux, 0.0) for flux in FLUXES), moles["Al2O3"], moles["SiO2"]


def _clear_words(name: str) -> dict[str, str | float]:
    """What 100 g of the clear and 1 g of the powder bring, and the formula of the clear."""
    flux_mol, alumina_mol, silica_mol = _brought(demo_recipe("Gangway Clear"))
    own = oxide_moles(Recipe("one gram", {name: 1}))
    return {
        "flux_mol": show_number(flux_mol, 4),
        "alumina_mol": show_number(alumina_mol, 4),
        "silica_mol": show_number(silica_mol, 4),
        "alumina_was": show_number(alumina_mol / flux_mol, 3),
        "silica_was": show_number(silica_mol / flux_mol),
        "ratio_was": show_number(silica_mol / alumina_mol),
        **{f"{oxide.lower()}_per_g": show_number(moles, 5) for oxide, moles in own.items()},
    }


def _read_ratio(n: Numbers) -> Solution:
    """6.1: silica over alumina."""
    silica, alumina = n["silica"], n["alumina"]
    by_weight = OXIDES["SiO2"].molar_mass_g_mol / OXIDES["Al2O3"].molar_mass_g_mol
    ratio = _formula(alumina, silica).silica_to_alumina_mol or 0.0
    return Solution(
        right={"ratio": ratio},
        wrong={
            "upside_down": {"ratio": alumina / silica},
            "multiplied": {"ratio": silica * alumina},
            "by_weight": {"ratio": ratio * by_weight},
        },
    )


def _add_kaolin(n: Numbers) -> Solution:
    """6.2: clay brings one alumina and two silica."""
    kaolin_g = n["kaolin_g"]
    changed = unity_formula(_clear_with("kaolin", kaolin_g))
    flux_mol, alumina_mol, silica_mol = _brought(demo_recipe("Gangway Clear"))
    own_mol = oxide_moles(Recipe("clay", {"kaolin": kaolin_g}))["Al2O3"]
    bucket = (100 + kaolin_g) / 100
    return Solution(
        right={"alumina": changed["Al2O3"], "silica": changed["SiO2"]},
        wrong={
            "silica_unchanged": {"silica": silica_mol / flux_mol},
            "one_to_one": {"silica": (silica_mol + own_mol) / flux_mol},
            "by_the_total": {"alumina": changed["Al2O3"] / bucket, "silica": changed["SiO2"] / bucket},
            "not_divided": {"alumina": alumina_mol + own_mol, "silica": silica_mol + 2 * own_mol},
        },
        words=_clear_words("kaolin") | {"total_g": 100 + kaolin_g, "added_mol": show_number(own_mol, 4)},
    )


def _ratio_after_kaolin(n: Numbers) -> Solution:
    """6.3: the ratio moves towards that of the clay."""
    changed = unity_formula(_clear_with("kaolin", n["kaolin_g"]))
    _, alumina_mol, silica_mol = _brought(demo_recipe("Gangway Clear"))
    silica, alumina = changed["SiO2"], changed["Al2O3"]
    return Solution(
        right={"ratio": silica / alumina},
        wrong={
            "unchanged": {"ratio": silica_mol / alumina_mol},
            "upside_down": {"ratio": alumina / silica},
            "alumina_only": {"ratio": silica_mol / alumina_mol * unity_formula(demo_recipe("Gangway Clear"))["Al2O3"] / alumina},
        },
        words=_clear_words("kaolin"),
    )


def _add_whiting(n: Numbers) -> Solution:
    """6.4: more flux in the divisor: both numbers shrink alike."""
    changed = unity_formula(_clear_with("whiting", n["whiting_g"]))
    before = unity_formula(demo_recipe("Gangway Clear"))
    grown = before["Al2O3"] / changed["Al2O3"]
    return Solution(
        right={"alumina": changed["Al2O3"], "silica": changed["SiO2"], "ratio": changed["SiO2"] / changed["Al2O3"]},
        wrong={
            "unchanged": {"alumina": before["Al2O3"], "silica": before["SiO2"]},
            "grown": {"alumina": before["Al2O3"] * grown, "silica": before["SiO2"] * grown},
            "ratio_shrunk": {"ratio": changed["SiO2"] / changed["Al2O3"] / grown},
            "upside_down": {"ratio": changed["Al2O3"] / changed["SiO2"]},
        },
        words=_clear_words("whiting")
        | {"added_mol": show_number(oxide_moles(Recipe("x", {"whiting": n["whiting_g"]}))["CaO"], 4)},
    )


def _stay_on_line(n: Numbers) -> Solution:
    """6.5: silica for a given alumina on a line of equal ratio."""
    ratio, alumina = n["ratio"], n["alumina"]
    return Solution(
        right={"silica": ratio * alumina},
        wrong={
            "divided": {"silica": ratio / alumina},
            "upside_down": {"silica": alumina / ratio},
            "added": {"silica": ratio + alumina},
        },
    )


RULES: Mapping[str, Rule] = {
    "6.1": Rule(
        _read_ratio, {"silica": Range(2.6, 4.4, 0.02), "alumina": Range(0.34, 0.52, 0.002)}, {"silica": 3.54, "alumina": 0.424}
    ),
    "6.2": Rule(_add_kaolin, {"kaolin_g": Range(5, 15, 1)}, {"kaolin_g": 10}),
    "6.3": Rule(_ratio_after_kaolin, shares="6.2"),
    "6.4": Rule(_add_whiting, {"whiting_g": Range(5, 15, 1)}, {"whiting_g": 10}),
    "6.5": Rule(_stay_on_line, {"ratio": Range(5, 10, 0.5), "alumina": Range(0.3, 0.55, 0.01)}, {"ratio": 8, "alumina": 0.45}),
}
