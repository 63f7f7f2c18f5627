"""Lesson 4, what the kiln leaves: oxide and gas, grams to moles, many oxides in one mineral, the loss of a whole glaze."""

from __future__ import annotations

from collections.abc import Mapping

from glazekit.chemistry.analysis import analyse
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe

LOSING = ("Gangway Clear", "Handrail Clear", "Gantry Clear", "Drizzle Rail", "Late Boat", "Bulkhead Liner", "Deck Paint")
"""Glazes of exercise 4.6: bases of 100 with whiting and at least one more powder that loses weight."""


def _material(name: str) -> Material:
    return course_stock().find(name)


def _fired_g(name: str, raw_g: float) -> float:
    material = _material(name)
    return raw_g * sum(wt_pct for _, wt_pct in material.oxides) / 100


def _moles(name: str, oxide: str, raw_g: float) -> float:
    return raw_g * dict(_material(name).moles_per_g)[oxide]


def _mineral_g_mol(name: str) -> float:
    return molar_mass_g_mol(_material(name).formula)


def _masses(name: str, oxide: str) -> dict[str, str | float]:
    """Masses of one mole, as printed in the question."""
    oxide_mass = show_number(OXIDES[oxide].molar_mass_g_mol)
    return {"mineral_mass": show_number(_mineral_g_mol(name)), "oxide_mass": oxide_mass}


def _lime_left(n: Numbers) -> Solution:
    """4.1: whiting leaves lime, the rest is gas."""
    raw_g = n["whiting_g"]
    left_g = _fired_g("whiting", raw_g)
    return Solution(
        right={"lime_g": left_g},
        wrong={
            "nothing_left": {"lime_g": raw_g},
            "the_gas": {"lime_g": raw_g - left_g},
            "upside_down": {"lime_g": raw_g * raw_g / left_g},
        },
        words=_masses("whiting", "CaO") | {"loss_pct": show_number(_material("whiting").loi_wt_pct_raw, 0)},
    )


def _lime_moles(n: Numbers) -> Solution:
    """4.2: grams over grams per mole."""
    raw_g = n["whiting_g"]
    moles = _moles("whiting", "CaO", raw_g)
    mineral_g_mol = _mineral_g_mol("whiting")
    return Solution(
        right={"lime_mol": moles},
        wrong={
            "mass_of_lime": {"lime_mol": raw_g / OXIDES["CaO"].molar_mass_g_mol},
            "multiplied": {"lime_mol": raw_g * mineral_g_mol},
            "upside_down": {"lime_mol": mineral_g_mol / raw_g},
        },
        words=_masses("whiting", "CaO") | {"thousandths": show_number(1000 * moles, 0)},
    )


def _clay_left(n: Numbers) -> Solution:
    """4.3: clay loses water that no drying takes out."""
    raw_g = n["kaolin_g"]
    left_g = _fired_g("kaolin", raw_g)
    return Solution(
        right={"fired_g": left_g},
        wrong={
            "nothing_lost": {"fired_g": raw_g},
            "the_water": {"fired_g": raw_g - left_g},
            "upside_down": {"fired_g": raw_g * raw_g / left_g},
        },
        words={
            "mineral_mass": show_number(_mineral_g_mol("kaolin")),
            "water_mass": show_number(2 * molar_mass_g_mol("H2O")),
            "loss_pct": show_number(_material("kaolin").loi_wt_pct_raw, 0),
        },
    )


def _six_silicas(n: Numbers) -> Solution:
    """4.4: one feldspar carries six silicas."""
    raw_g = n["feldspar_g"]
    feldspar_mol = raw_g / _mineral_g_mol("soda feldspar")
    return Solution(
        right={"silica_mol": _moles("soda feldspar", "SiO2", raw_g)},
        wrong={
            "of_feldspar": {"silica_mol": feldspar_mol},
            "as_quartz": {"silica_mol": raw_g / OXIDES["SiO2"].molar_mass_g_mol},
            "divided_by_six": {"silica_mol": feldspar_mol / 6},
        },
        words=_masses("soda feldspar", "SiO2") | {"feldspar_mol": show_number(feldspar_mol, 4)},
    )


def _boron_in_frit(n: Numbers) -> Solution:
    """4.5: by analysis: weight percent over molar mass."""
    raw_g = n["frit_g"]
    boric_pct = _material("calcium borosilicate frit").oxide_wt_pct["B2O3"]
    boric_g, boric_g_mol = raw_g * boric_pct / 100, OXIDES["B2O3"].molar_mass_g_mol
    moles = _moles("calcium borosilicate frit", "B2O3", raw_g)
    return Solution(
        right={"boron_mol": moles},
        wrong={
            "whole_frit": {"boron_mol": raw_g / boric_g_mol},
            "grams": {"boron_mol": boric_g},
            "multiplied": {"boron_mol": boric_g * boric_g_mol},
        },
        words={
            "oxide_mass": show_number(boric_g_mol),
            "boric_pct": boric_pct,
            "boric_g": show_number(boric_g),
            "thousandths": show_number(1000 * moles, 0),
        },
    )


def _loss_of_glaze(n: Numbers) -> Solution:
    """4.6: each powder's own loss, added up."""
    recipe = demo_recipe(LOSING[int(n["glaze"])])
    losing = [(line, _material(line.material)) for line in recipe.base if _material(line.material).loi_wt_pct_raw > 0.5]
    whiting_g = next(line.amount for line, material in losing if material.name == "whiting")
    whiting_loss_g = whiting_g * _material("whiting").loi_wt_pct_raw / 100
    return Solution(
        right={"loss_pct": analyse(recipe).loi_wt_pct_raw},
        wrong={
            "whiting_only": {"loss_pct": whiting_loss_g},
            "whole_powders": {"loss_pct": sum(line.amount for line, _ in losing)},
            "losses_added": {"loss_pct": sum(material.loi_wt_pct_raw for _, material in losing)},
        },
        words={
            "name": recipe.name,
            "lines": ", ".join(f"{line.material} {line.amount:g}" for line in recipe.base),
            "losses": ", ".join(f"{line.material} {show_number(material.loi_wt_pct_raw, 1)} %" for line, material in losing),
            "whiting_g": f"{whiting_g:g}",
            "whiting_loss_g": show_number(whiting_loss_g),
        },
    )


RULES: Mapping[str, Rule] = {
    "4.1": Rule(_lime_left, {"whiting_g": Range(12, 30, 1)}, {"whiting_g": 20}),
    "4.2": Rule(_lime_moles, shares="4.1"),
    "4.3": Rule(_clay_left, {"kaolin_g": Range(12, 30, 1)}, {"kaolin_g": 20}),
    "4.4": Rule(_six_silicas, {"feldspar_g": Range(20, 36, 1)}, {"feldspar_g": 26}),
    "4.5": Rule(_boron_in_frit, {"frit_g": Range(15, 42, 1)}, {"frit_g": 25}),
    "4.6": Rule(_loss_of_glaze, {"glaze": Range(0, len(LOSING) - 1, 1)}, {"glaze": 0}),
}
