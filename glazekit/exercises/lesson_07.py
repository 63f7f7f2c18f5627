"""Lesson 7, fluxes and boron: shares of the fluxes, and one flux for another, mole by mole."""

from collections.abc import Mapping

from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.chemistry.unity import flux_sum_mol, unity_formula, unity_from_moles
from glazekit.exercises.rules import CLEAR, Numbers, Rules, Solution, Steps, counted, g_mol, masses, one_box, powder, shown
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.recipe import Line, Recipe

RULES = Rules()
SALT, SUGAR, SALT_G = "NaCl", "C12H22O11", 3.0
"""On the home page."""
SOURCES = ("lithium carbonate", "zinc oxide", "magnesite", "whiting", "soda ash", "strontium carbonate")
"""Powders with one flux in each formula, lightest first; exercise 7.3 compares one of the first three with one of the last."""


@RULES.add("7.1", soda=Steps(0.1, 0.4, 0.002, course=0.356), potash=Steps(0.06, 0.24, 0.002, course=0.118))
def _alkali_share(n: Numbers) -> Solution:
    """Soda and potash together, in percent of the fluxes."""
    soda, potash = n["soda"], n["potash"]
    lime = 1 - soda - potash
    share = 100 * unity_from_moles({"Na2O": soda, "K2O": potash, "CaO": lime}).alkali_share
    wrong = {
        "over_the_rest": 100 * share / (100 - share),
        "soda_only": 100 * soda,
        "potash_only": 100 * potash,
        "the_rest": 100 - share,
    }
    return one_box("alkali_pct", share, wrong, shown(3, lime=lime))


@RULES.add("7.2", whiting_g=Steps(3, 9, 0.5, course=5))
def _strontia_for_lime(n: Numbers) -> Solution:
    """Equal moles of another carbonate."""
    whiting_g, whiting, strontium = n["whiting_g"], g_mol("whiting"), g_mol("strontium carbonate")
    wrong = {"gram_for_gram": whiting_g, "upside_down": whiting_g * whiting / strontium}
    into_g = mole_swap("whiting", "strontium carbonate", whiting_g).into_g
    return one_box("strontium_g", into_g, wrong, masses(whiting="whiting", strontium="strontium carbonate"))


@RULES.add("7.3", light=Steps(0, 2, 1, course=0), heavy=Steps(3, 5, 1, course=5))
def _flux_in_a_gram(n: Numbers) -> Solution:
    """How many times the moles of flux are in a gram of the lighter powder."""
    light, heavy = SOURCES[int(n["light"])], SOURCES[int(n["heavy"])]
    times = flux_sum_mol(dict(powder(light).moles_per_g)) / flux_sum_mol(dict(powder(heavy).moles_per_g))
    words = masses(light=light, heavy=heavy) | {"light_name": light, "heavy_name": heavy}
    return one_box("times", times, {"equal_grams": 1, "upside_down": 1 / times}, words)


@RULES.add("7.4", whiting_g=Steps(4, 10, 0.5, course=7))
def _magnesia_from_talc(n: Numbers) -> Solution:
    """Three magnesia in each talc, and silica that has to come out elsewhere."""
    whiting_g = n["whiting_g"]
    swap, lime_mol = mole_swap("whiting", "talc", whiting_g), whiting_g / g_mol("whiting")
    return Solution(
        right={"talc_g": swap.into_g, "quartz_g": -swap.correction_g["quartz"]},
        wrong={
            "one_magnesia": {"talc_g": lime_mol * g_mol("talc")},
            "gram_for_gram": {"talc_g": whiting_g},
            "quartz_left": {"quartz_g": 0},
            "one_silica": {"quartz_g": lime_mol * g_mol("quartz")},
        },
        words=masses(whiting="whiting", talc="talc", quartz="quartz"),
    )


@RULES.add("7.5", shares="7.4")
def _shares_after_swap(n: Numbers) -> Solution:
    """Lime gives to magnesia, the sum stays."""
    whiting_g, before = n["whiting_g"], counted(CLEAR)
    swap = mole_swap("whiting", "talc", whiting_g)
    less = [Line(line.material, line.amount - (whiting_g if line.material == "whiting" else 0.0)) for line in CLEAR.base]
    after = unity_formula(Recipe("swapped", [*less, Line("talc", swap.into_g)]))
    flux_mol, lime_mol, moved_mol = before["flux"], before["CaO"], swap.moles
    return Solution(
        right={"lime": after["CaO"], "magnesia": after["MgO"]},
        wrong={
            "lime_stays": {"lime": lime_mol / flux_mol},
            "sum_grew": {"lime": lime_mol / (flux_mol + moved_mol)},
            "not_divided": {"magnesia": moved_mol},
            "lime_alone_left": {"magnesia": moved_mol / lime_mol},
        },
        words=shown(4, flux_mol=flux_mol, lime_mol=lime_mol, moved_mol=moved_mol)
        | shown(2, lime_was=lime_mol / flux_mol)
        | masses(whiting="whiting"),
    )


@RULES.add("7.6", whiting_g=Steps(5, 13, 0.5, course=10))
def _lime_from_dolomite(n: Numbers) -> Solution:
    """One lime in each dolomite, and a magnesia that nobody asked for."""
    whiting_g = n["whiting_g"]
    swap = mole_swap("whiting", "dolomite", whiting_g, same="CaO")
    magnesia_mol = swap.change_mol["MgO"]
    return Solution(
        right={"dolomite_g": swap.into_g, "magnesia_mol": magnesia_mol},
        wrong={
            "two_limes": {"dolomite_g": swap.into_g / 2},
            "gram_for_gram": {"dolomite_g": whiting_g},
            "magnesia_ignored": {"magnesia_mol": 0},
            "grams_of_magnesia": {"magnesia_mol": magnesia_mol * OXIDES["MgO"].molar_mass_g_mol},
        },
        words=masses(whiting="whiting", dolomite="dolomite"),
    )


def home_figures() -> Mapping[str, str]:
    """Salt and sugar on ice."""
    salt, sugar = molar_mass_g_mol(SALT), molar_mass_g_mol(SUGAR)
    return {
        "salt": f"{SALT_G:g}",
        "salt_mass": show_number(salt, 0),
        "sugar_mass": show_number(sugar, 0),
        "salt_moles": show_number(1000 * SALT_G / salt, 0),
        "sugar_moles": show_number(1000 * SALT_G / sugar, 0),
        "sugar_as_many": show_number(SALT_G / salt * sugar, 0),
    }
