"""Lesson 8, from a formula to a recipe, and one powder in place of another."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from glazekit.chemistry.by_hand import HandWork, by_hand
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock

POWDERS = {"feldspar_pct": "potash feldspar", "whiting_pct": "whiting", "kaolin_pct": "kaolin", "quartz_pct": "quartz"}


@cache
def _g_mol(name: str) -> float:
    return molar_mass_g_mol(course_stock().find(name).formula)


def _shopping(potash: float, alumina: float, silica: float) -> HandWork:
    target = {"K2O": potash, "CaO": round(1 - potash, 6), "Al2O3": alumina, "SiO2": silica}
    return by_hand(target, "potash feldspar", ["whiting"], "kaolin", "quartz")


def _percents(moles: Mapping[str, float]) -> dict[str, float]:
    """Percent by weight of moles of the four powders."""
    grams = {box: moles[box] * _g_mol(name) for box, name in POWDERS.items()}
    return {box: 100 * mass / sum(grams.values()) for box, mass in grams.items()}


def _four_powders(n: Numbers) -> Solution:
    """8.1: feldspar, whiting, kaolin for what alumina is left, quartz for what silica is left, grams, percent."""
    potash, alumina, silica = n["potash"], n["alumina"], n["silica"]
    recipe = _shopping(potash, alumina, silica).recipe
    found = {line.material: line.amount for line in recipe.base} if recipe else {}
    kaolin = alumina - potash
    moles = {"feldspar_pct": potash, "whiting_pct": 1 - potash, "kaolin_pct": kaolin}
    quartz = silica - 6 * potash - 2 * kaolin
    quartz_if_kaolin_for_all = silica - 6 * potash - 2 * alumina
    slips = {
        "kaolin_for_all": moles | {"kaolin_pct": alumina, "quartz_pct": quartz_if_kaolin_for_all},
        "quartz_for_all": moles | {"quartz_pct": silica},
        "clay_silica_forgotten": moles | {"quartz_pct": silica - 6 * potash},
    }
    percents = {name: _percents(slip) for name, slip in slips.items()}
    all_mol = 1 + kaolin + quartz
    return Solution(
        right={box: found.get(name, 0.0) for box, name in POWDERS.items()},
        wrong={
            "kaolin_for_all": {"kaolin_pct": percents["kaolin_for_all"]["kaolin_pct"]},
            "quartz_for_all": {"quartz_pct": percents["quartz_for_all"]["quartz_pct"]},
            "clay_silica_forgotten": {"quartz_pct": percents["clay_silica_forgotten"]["quartz_pct"]},
            "moles_as_percent": {"feldspar_pct": 100 * potash / all_mol, "quartz_pct": 100 * quartz / all_mol},
        },
        words=_masses() | {"lime": f"{1 - potash:g}", "kaolin_mol": show_number(kaolin), "quartz_mol": show_number(quartz)},
    )


def _masses() -> dict[str, str | float]:
    return {f"{box.removesuffix('_pct')}_mass": show_number(_g_mol(name)) for box, name in POWDERS.items()}


def _can_be_bought(n: Numbers) -> bool:
    """The four powders make it, with enough of each to be worth weighing, and the fluxes' silica leaves room for quartz."""
    potash, alumina, silica = n["potash"], n["alumina"], n["silica"]
    quartz_if_kaolin_for_all = silica - 6 * potash - 2 * alumina
    return alumina - potash >= 0.05 and quartz_if_kaolin_for_all >= 0.2


def _impossible(n: Numbers) -> Solution:
    """8.2: the feldspar alone brings more alumina than is wanted."""
    potash, alumina = n["potash"], n["alumina"]
    kaolin = next(one for one in _shopping(potash, alumina, 3.5).purchases if one.material == "kaolin")
    return Solution(
        right={"kaolin_mol": kaolin.need_mol},
        wrong={
            "nothing": {"kaolin_mol": 0},
            "not_taken_off": {"kaolin_mol": alumina},
            "no_sign": {"kaolin_mol": -kaolin.need_mol},
            "added": {"kaolin_mol": potash + alumina},
        },
        words={"lime": f"{1 - potash:g}", "over_mol": show_number(-kaolin.need_mol)},
    )


def _too_much_alumina(n: Numbers) -> bool:
    return n["potash"] - n["alumina"] >= 0.04


def _nepheline(n: Numbers) -> Solution:
    """8.3: the same soda and potash, less clay, more quartz."""
    out_g = n["feldspar_g"]
    swap = mole_swap("soda feldspar", "nepheline syenite", out_g, same="Na2O+K2O")
    alkali_mol = out_g / _g_mol("soda feldspar")
    silica_short = -dict(swap.swap)["SiO2"]
    return Solution(
        right={"syenite_g": swap.into_g, "kaolin_g": -swap.correction_g["kaolin"], "quartz_g": swap.correction_g["quartz"]},
        wrong={
            "weight_for_weight": {"syenite_g": out_g},
            "upside_down": {"syenite_g": out_g * out_g / swap.into_g},
            "clay_silica_forgotten": {"quartz_g": silica_short * OXIDES["SiO2"].molar_mass_g_mol},
            "kaolin_left": {"kaolin_g": 0},
        },
        words={
            "feldspar_mass": show_number(_g_mol("soda feldspar")),
            "syenite_mass": show_number(_g_mol("nepheline syenite")),
            "kaolin_mass": show_number(_g_mol("kaolin")),
            "quartz_mass": show_number(_g_mol("quartz")),
            "alkali_mol": show_number(alkali_mol, 4),
            "alumina_mol": show_number(0.1 * alkali_mol, 5),
            "silica_mol": show_number(1.5 * alkali_mol, 4),
        },
    )


def _wollastonite(n: Numbers) -> Solution:
    """8.4: lime with a silica attached."""
    out_g = n["whiting_g"]
    swap = mole_swap("whiting", "wollastonite", out_g)
    return Solution(
        right={"wollastonite_g": swap.into_g, "quartz_g": -swap.correction_g["quartz"]},
        wrong={
            "gram_for_gram": {"wollastonite_g": out_g},
            "upside_down": {"wollastonite_g": out_g * out_g / swap.into_g},
            "quartz_left": {"quartz_g": 0},
            "quartz_for_grams": {"quartz_g": swap.into_g},
        },
        words={
            "whiting_mass": show_number(_g_mol("whiting")),
            "wollastonite_mass": show_number(_g_mol("wollastonite")),
            "quartz_mass": show_number(_g_mol("quartz")),
            "lime_mol": show_number(out_g / _g_mol("whiting"), 4),
        },
    )


def _calcined(n: Numbers) -> Solution:
    """8.5: clay without its water."""
    raw_g = n["kaolin_g"]
    calcined_g = mole_swap("kaolin", "calcined kaolin", raw_g, same="Al2O3").into_g
    return Solution(
        right={"calcined_g": calcined_g},
        wrong={
            "gram_for_gram": {"calcined_g": raw_g},
            "upside_down": {"calcined_g": raw_g * raw_g / calcined_g},
            "the_water": {"calcined_g": raw_g - calcined_g},
        },
        words={"kaolin_mass": show_number(_g_mol("kaolin")), "calcined_mass": show_number(_g_mol("calcined kaolin"))},
    )


RULES: Mapping[str, Rule] = {
    "8.1": Rule(
        _four_powders,
        {"potash": Range(0.2, 0.34, 0.01), "alumina": Range(0.32, 0.5, 0.01), "silica": Range(3.2, 4.4, 0.1)},
        {"potash": 0.25, "alumina": 0.40, "silica": 3.5},
        keep=_can_be_bought,
    ),
    "8.2": Rule(
        _impossible,
        {"potash": Range(0.25, 0.4, 0.01), "alumina": Range(0.15, 0.34, 0.01)},
        {"potash": 0.30, "alumina": 0.20},
        keep=_too_much_alumina,
    ),
    "8.3": Rule(_nepheline, {"feldspar_g": Range(20, 34, 1)}, {"feldspar_g": 26}),
    "8.4": Rule(_wollastonite, {"whiting_g": Range(8, 20, 1)}, {"whiting_g": 14}),
    "8.5": Rule(_calcined, {"kaolin_g": Range(8, 22, 1)}, {"kaolin_g": 13}),
}
