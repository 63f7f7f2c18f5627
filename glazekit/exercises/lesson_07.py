"""Lesson 7, fluxes and boron: shares of the fluxes, and one flux for another, mole by mole."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum

from glazekit.chemistry.reckoning import oxide_moles
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.chemistry.unity import unity_from_moles
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Line, Recipe

SOURCES = ("lithium carbonate", "zinc oxide", "magnesium carbonate", "whiting", "soda ash", "strontium carbonate")
"""Powders with one flux in each formula, lightest first; exercise 7.3 compares one of the first three with one of the last."""


def _g_mol(name: str) -> float:
    return molar_mass_g_mol(course_stock().find(name).formula)


def _alkali_share(n: Numbers) -> Solution:
    """7.1: soda and potash together, in percent of the fluxes."""
    soda, potash = n["soda"], n["potash"]
    lime = 1 - soda - potash
    share = 100 * unity_from_moles({"Na2O": soda, "K2O": potash, "CaO": lime}).alkali_share
    return Solution(
        right={"alkali_pct": share},
        wrong={
            "over_the_rest": {"alkali_pct": 100 * share / (100 - share)},
            "soda_only": {"alkali_pct": 100 * soda},
            "potash_only": {"alkali_pct": 100 * potash},
            "the_rest": {"alkali_pct": 100 - share},
        },
        words={"lime": show_number(lime, 3)},
    )


def _strontia_for_lime(n: Numbers) -> Solution:
    """7.2: equal moles of another carbonate."""
    whiting_g = n["whiting_g"]
    return Solution(
        right={"strontium_g": mole_swap("whiting", "strontium carbonate", whiting_g).into_g},
        wrong={
            "gram_for_gram": {"strontium_g": whiting_g},
            "upside_down": {"strontium_g": whiting_g * _g_mol("whiting") / _g_mol("strontium carbonate")},
        },
        words={
            "whiting_mass": show_number(_g_mol("whiting")),
            "strontium_mass": show_number(_g_mol("strontium carbonate")),
            "whiting_mol": show_number(whiting_g / _g_mol("whiting"), 4),
        },
    )


def _flux_in_a_gram(n: Numbers) -> Solution:
    """7.3: how many times the moles of flux are in a gram of the lighter powder."""
    light, heavy = SOURCES[int(n["light"])], SOURCES[int(n["heavy"])]
    counts = [fsum(moles for oxide, moles in course_stock().find(name).moles_per_g if oxide in FLUXES) for name in (light, heavy)]
    return Solution(
        right={"times": counts[0] / counts[1]},
        wrong={"equal_grams": {"times": 1}, "upside_down": {"times": counts[1] / counts[0]}},
        words={
            "light_name": light,
            "heavy_name": heavy,
            "light_mass": show_number(_g_mol(light)),
            "heavy_mass": show_number(_g_mol(heavy)),
        },
    )


def _magnesia_from_talc(n: Numbers) -> Solution:
    """7.4: three magnesia in each talc, and silica that has to come out elsewhere."""
    whiting_g = n["whiting_g"]
    swap = mole_swap("whiting", "talc", whiting_g)
    lime_mol = whiting_g / _g_mol("whiting")
    return Solution(
        right={"talc_g": swap.into_g, "quartz_g": -swap.correction_g["quartz"]},
        wrong={
            "one_magnesia": {"talc_g": lime_mol * _g_mol("talc")},
            "gram_for_gram": {"talc_g": whiting_g},
            "quartz_left": {"quartz_g": 0},
            "one_silica": {"quartz_g": lime_mol * _g_mol("quartz")},
        },
        words={
            "whiting_mass": show_number(_g_mol("whiting")),
            "talc_mass": show_number(_g_mol("talc")),
            "quartz_mass": show_number(_g_mol("quartz")),
            "lime_mol": show_number(lime_mol, 4),
        },
    )


def _shares_after_swap(n: Numbers) -> Solution:
    """7.5: lime gives to magnesia, the sum stays."""
    whiting_g = n["whiting_g"]
    clear = demo_recipe("Gangway Clear")
    swap = mole_swap("whiting", "talc", whiting_g)
    moles = oxide_moles(Recipe("swapped", [*_less(clear, "whiting", whiting_g), Line("talc", swap.into_g)]))
    before = oxide_moles(clear)
    flux_mol = fsum(before.get(flux, 0.0) for flux in FLUXES)
    after = unity_from_moles(moles)
    return Solution(
        right={"lime": after["CaO"], "magnesia": after["MgO"]},
        wrong={
            "lime_stays": {"lime": before["CaO"] / flux_mol},
            "sum_grew": {"lime": before["CaO"] / (flux_mol + swap.moles)},
            "not_divided": {"magnesia": swap.moles},
            "lime_alone_left": {"magnesia": swap.moles / before["CaO"]},
        },
        words={
            "flux_mol": show_number(flux_mol, 4),
            "lime_mol": show_number(before["CaO"], 4),
            "lime_was": show_number(before["CaO"] / flux_mol),
            "moved_mol": show_number(swap.moles, 4),
            "whiting_mass": show_number(_g_mol("whiting")),
        },
    )


def _less(recipe: Recipe, name: str, grams: float) -> list[Line]:
    return [Line(line.material, line.amount - (grams if line.material == name else 0.0)) for line in recipe.base]


def _lime_from_dolomite(n: Numbers) -> Solution:
    """7.6: one lime in each dolomite, and a magnesia that nobody asked for."""
    whiting_g = n["whiting_g"]
    swap = mole_swap("whiting", "dolomite", whiting_g, same="CaO")
    return Solution(
        right={"dolomite_g": swap.into_g, "magnesia_mol": swap.change_mol["MgO"]},
        wrong={
            "two_limes": {"dolomite_g": swap.into_g / 2},
            "gram_for_gram": {"dolomite_g": whiting_g},
            "magnesia_ignored": {"magnesia_mol": 0},
            "grams_of_magnesia": {"magnesia_mol": swap.change_mol["MgO"] * OXIDES["MgO"].molar_mass_g_mol},
        },
        words={
            "whiting_mass": show_number(_g_mol("whiting")),
            "dolomite_mass": show_number(_g_mol("dolomite")),
            "lime_mol": show_number(whiting_g / _g_mol("whiting"), 4),
        },
    )


RULES: Mapping[str, Rule] = {
    "7.1": Rule(
        _alkali_share, {"soda": Range(0.1, 0.4, 0.002), "potash": Range(0.06, 0.24, 0.002)}, {"soda": 0.356, "potash": 0.118}
    ),
    "7.2": Rule(_strontia_for_lime, {"whiting_g": Range(3, 9, 0.5)}, {"whiting_g": 5}),
    "7.3": Rule(_flux_in_a_gram, {"light": Range(0, 2, 1), "heavy": Range(3, 5, 1)}, {"light": 0, "heavy": 5}),
    "7.4": Rule(_magnesia_from_talc, {"whiting_g": Range(4, 10, 0.5)}, {"whiting_g": 7}),
    "7.5": Rule(_shares_after_swap, shares="7.4"),
    "7.6": Rule(_lime_from_dolomite, {"whiting_g": Range(5, 13, 0.5)}, {"whiting_g": 10}),
}
