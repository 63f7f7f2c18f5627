"""Lesson 5, the unity formula by hand: the flux sum, dividing by it, the ratio, and boron that stays outside the sum."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum

from glazekit.chemistry.reckoning import oxide_moles
from glazekit.chemistry.unity import UnityFormula, unity_from_moles
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.materials.stock import course_stock
from glazekit.recipe.recipe import Recipe

POWDERS = {"feldspar": "potash feldspar", "whiting": "whiting", "kaolin": "kaolin", "quartz": "quartz"}


def _practice(n: Numbers) -> Recipe:
    """The practice glaze; quartz makes it up to 100."""
    quartz = 100 - n["feldspar"] - n["whiting"] - n["kaolin"]
    return Recipe("practice", dict(zip(POWDERS.values(), (n["feldspar"], n["whiting"], n["kaolin"], quartz), strict=True)))


def _minerals(n: Numbers) -> tuple[dict[str, float], dict[str, str | float]]:
    """Moles of each powder, and the words of the question: grams, formula masses, moles."""
    lines = {line.material: line.amount for line in _practice(n).base}
    moles = {key: lines[name] / molar_mass_g_mol(course_stock().find(name).formula) for key, name in POWDERS.items()}
    words: dict[str, str | float] = {"quartz": lines["quartz"]}
    for key, name in POWDERS.items():
        words[f"{key}_mass"] = show_number(molar_mass_g_mol(course_stock().find(name).formula))
        words[f"{key}_mol"] = show_number(moles[key], 4)
    return moles, words


def _formula(n: Numbers) -> tuple[dict[str, float], float, UnityFormula]:
    """Moles of each oxide, the flux sum, the unity formula."""
    moles = oxide_moles(_practice(n))
    return moles, fsum(moles.get(flux, 0.0) for flux in FLUXES), unity_from_moles(moles)


def _flux_sum(n: Numbers) -> Solution:
    """5.1: only fluxes go into the divisor."""
    moles, flux_mol, _ = _formula(n)
    minerals, words = _minerals(n)
    return Solution(
        right={"flux_mol": flux_mol},
        wrong={
            "every_oxide": {"flux_mol": fsum(moles.values())},
            "with_alumina": {"flux_mol": flux_mol + moles["Al2O3"]},
            "feldspar_only": {"flux_mol": minerals["feldspar"]},
            "whiting_only": {"flux_mol": minerals["whiting"]},
            "every_powder": {"flux_mol": fsum(minerals.values())},
        },
        words=words,
    )


def _silica(n: Numbers) -> Solution:
    """5.2: silica from three powders, divided by the flux sum."""
    moles, flux_mol, unity = _formula(n)
    minerals, words = _minerals(n)
    return Solution(
        right={"silica": unity["SiO2"]},
        wrong={
            "all_moles": {"silica": moles["SiO2"] / fsum(moles.values())},
            "kaolin_forgotten": {"silica": (6 * minerals["feldspar"] + minerals["quartz"]) / flux_mol},
            "feldspar_once": {"silica": (minerals["feldspar"] + 2 * minerals["kaolin"] + minerals["quartz"]) / flux_mol},
            "not_divided": {"silica": moles["SiO2"]},
            "quartz_only": {"silica": minerals["quartz"] / flux_mol},
        },
        words=words | {"flux_mol": show_number(flux_mol, 4)},
    )


def _alumina(n: Numbers) -> Solution:
    """5.3: alumina from two powders."""
    moles, flux_mol, unity = _formula(n)
    minerals, words = _minerals(n)
    return Solution(
        right={"alumina": unity["Al2O3"]},
        wrong={
            "feldspar_only": {"alumina": minerals["feldspar"] / flux_mol},
            "kaolin_only": {"alumina": minerals["kaolin"] / flux_mol},
            "not_divided": {"alumina": moles["Al2O3"]},
        },
        words=words | {"flux_mol": show_number(flux_mol, 4)},
    )


def _ratio(n: Numbers) -> Solution:
    """5.4: moles of silica over moles of alumina."""
    _, _, unity = _formula(n)
    silica, alumina = unity["SiO2"], unity["Al2O3"]
    by_weight = silica * OXIDES["SiO2"].molar_mass_g_mol / (alumina * OXIDES["Al2O3"].molar_mass_g_mol)
    return Solution(
        right={"ratio": silica / alumina},
        wrong={
            "by_weight": {"ratio": by_weight},
            "upside_down": {"ratio": alumina / silica},
            "multiplied": {"ratio": silica * alumina},
        },
        words=_minerals(n)[1] | {"silica": show_number(silica, 3), "alumina": show_number(alumina, 3)},
    )


def _boron(n: Numbers) -> Solution:
    """5.5: boron is divided by the flux sum and stays out of it."""
    quartz = 100 - n["frit"] - n["feldspar"] - n["whiting"] - n["kaolin"]
    powders = {
        "calcium borosilicate frit": n["frit"],
        "soda feldspar": n["feldspar"],
        "whiting": n["whiting"],
        "kaolin": n["kaolin"],
        "quartz": quartz,
    }
    moles = oxide_moles(Recipe("boron clear", powders))
    unity = unity_from_moles(moles)
    flux_mol = fsum(moles.get(flux, 0.0) for flux in FLUXES)
    return Solution(
        right={"boron": unity["B2O3"]},
        wrong={
            "boron_as_flux": {"boron": moles["B2O3"] / (flux_mol + moles["B2O3"])},
            "not_divided": {"boron": moles["B2O3"]},
            "upside_down": {"boron": flux_mol / moles["B2O3"]},
        },
        words={
            "flux_mol": show_number(flux_mol, 4),
            "boron_mol": show_number(moles["B2O3"], 4),
            "silica_mol": show_number(moles["SiO2"], 4),
            "silica": show_number(unity["SiO2"]),
            "silica_if_flux": show_number(moles["SiO2"] / (flux_mol + moles["B2O3"])),
        },
    )


RULES: Mapping[str, Rule] = {
    "5.1": Rule(
        _flux_sum,
        {"feldspar": Range(35, 45, 1), "whiting": Range(15, 24, 1), "kaolin": Range(10, 20, 1)},
        {"feldspar": 40, "whiting": 20, "kaolin": 15},
    ),
    "5.2": Rule(_silica, shares="5.1"),
    "5.3": Rule(_alumina, shares="5.1"),
    "5.4": Rule(_ratio, shares="5.1"),
    "5.5": Rule(
        _boron,
        {"frit": Range(36, 46, 1), "feldspar": Range(12, 20, 1), "whiting": Range(5, 11, 1), "kaolin": Range(10, 16, 1)},
        {"frit": 42, "feldspar": 16, "whiting": 8, "kaolin": 13},
    ),
}
