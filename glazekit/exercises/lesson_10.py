"""Lesson 10, melt and running: hours of a schedule, thickness and slope, and two cures with their price."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum, radians, sin

from glazekit.chemistry.reckoning import oxide_moles
from glazekit.chemistry.unity import unity_formula
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.kiln.schedule import ROOM_C, Hold, Ramp, Schedule
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Line, Recipe

STEEP_DEG = (30, 45)
"""Slopes of test tiles that exercise 10.3 asks about [degrees]."""


def _hours(n: Numbers) -> Solution:
    """10.1: three ramps and a hold, added up."""
    ramps = [(600.0, n["first_rate"]), (1120.0, n["second_rate"]), (n["peak_c"], n["last_rate"])]
    schedule = Schedule([*(Ramp(to_c, rate) for to_c, rate in ramps), Hold(n["hold_min"])])
    legs = schedule.legs()
    from_zero = ramps[0][0] / ramps[0][1] - legs[0].hours
    return Solution(
        right={"hours": schedule.hours},
        wrong={
            "hold_forgotten": {"hours": schedule.hours - legs[-1].hours},
            "from_zero": {"hours": schedule.hours + from_zero},
            "hold_in_hours": {"hours": schedule.hours - legs[-1].hours + n["hold_min"]},
            "one_rate": {"hours": (n["peak_c"] - ROOM_C) / n["first_rate"] + legs[-1].hours},
        },
        words={
            f"{name}_h": show_number(leg.hours, 2) for name, leg in zip(("first", "second", "last", "hold"), legs, strict=True)
        }
        | {"first_climb": 600 - ROOM_C, "last_climb": n["peak_c"] - 1120},
    )


def _thicker(n: Numbers) -> Solution:
    """10.2: speed of a film goes with the square of its thickness."""
    times = n["thick_mm"] / n["thin_mm"]
    return Solution(
        right={"times": times**2},
        wrong={
            "in_step": {"times": times},
            "cubed": {"times": times**3},
            "doubled": {"times": 2 * times},
            "upside_down": {"times": 1 / times**2},
        },
        words={"ratio": show_number(times, 2)},
    )


def _steeper(n: Numbers) -> Solution:
    """10.3: speed goes with the pull along the slope, the sine of its angle."""
    angle, ran_mm = n["angle_deg"], n["ran_mm"]
    pull = sin(radians(angle))
    return Solution(
        right={"run_mm": ran_mm / pull},
        wrong={
            "by_angle": {"run_mm": ran_mm * 90 / angle},
            "upside_down": {"run_mm": ran_mm * pull},
            "unchanged": {"run_mm": ran_mm},
        },
        words={"pull": show_number(pull, 2)},
    )


def _counted(recipe: Recipe) -> dict[str, float]:
    moles = oxide_moles(recipe)
    return moles | {"flux": fsum(moles.get(flux, 0.0) for flux in FLUXES)}


def _with(recipe: Recipe, name: str, grams: float) -> Recipe:
    return Recipe("changed", [*recipe.base, Line(name, grams)])


def _clay_cure(n: Numbers) -> Solution:
    """10.5: kaolin on top of 100 g of Overboard; it brings silica as well as alumina."""
    kaolin_g, name = n["kaolin_g"], "Overboard"
    before, own = _counted(demo_recipe(name).to_100()), oxide_moles(Recipe("clay", {"kaolin": kaolin_g}))
    cured = unity_formula(_with(demo_recipe(name).to_100(), "kaolin", kaolin_g))
    as_written = unity_formula(_with(demo_recipe(name), "kaolin", kaolin_g))
    flux_mol = before["flux"]
    ratio = cured.silica_to_alumina_mol or 0.0
    return Solution(
        right={"alumina": cured["Al2O3"], "silica": cured["SiO2"]},
        wrong={
            "as_written": {"alumina": as_written["Al2O3"]},
            "silica_forgotten": {"silica": before["SiO2"] / flux_mol},
            "one_to_one": {"silica": (before["SiO2"] + own["Al2O3"]) / flux_mol},
            "not_divided": {"alumina": before["Al2O3"] + own["Al2O3"], "silica": before["SiO2"] + own["SiO2"]},
        },
        words={
            "flux_mol": show_number(flux_mol, 4),
            "alumina_mol": show_number(before["Al2O3"], 4),
            "silica_mol": show_number(before["SiO2"], 4),
            "kaolin_mass": show_number(molar_mass_g_mol(course_stock().find("kaolin").formula)),
            "kaolin_mol": show_number(own["Al2O3"], 4),
            "ratio_was": show_number(before["SiO2"] / before["Al2O3"], 1),
            "ratio": show_number(ratio, 1),
        },
    )


def _frit_cure(n: Numbers) -> Solution:
    """10.6: frit on top of 100 g of Late Boat; it brings boron, and fluxes too."""
    frit_g, name = n["frit_g"], "calcium borosilicate frit"
    before, own = _counted(demo_recipe("Late Boat").to_100()), _counted(Recipe("frit", {name: frit_g}))
    cured = unity_formula(_with(demo_recipe("Late Boat").to_100(), name, frit_g))
    boron_mass = OXIDES["B2O3"].molar_mass_g_mol
    flux_mol = before["flux"] + own["flux"]
    return Solution(
        right={"boron": cured["B2O3"], "alkali_pct": 100 * cured.alkali_share},
        wrong={
            "old_flux": {"boron": own["B2O3"] / before["flux"]},
            "all_boron": {"boron": frit_g / boron_mass / flux_mol},
            "not_divided": {"boron": own["B2O3"]},
            "share_unchanged": {"alkali_pct": 100 * before["K2O"] / before["flux"]},
            "the_rest": {"alkali_pct": 100 - 100 * cured.alkali_share},
        },
        words={
            "boron_wt_pct": show_number(course_stock().find(name).oxide_wt_pct["B2O3"], 0),
            "boron_mass": show_number(boron_mass, 2),
            "boron_mol": show_number(own["B2O3"], 4),
            "flux_was": show_number(before["flux"], 4),
            "flux_frit": show_number(own["flux"], 4),
            "alkali_was": show_number(before["K2O"], 4),
            "alkali_frit": show_number(own["Na2O"] + own["K2O"], 4),
        },
    )


RULES: Mapping[str, Rule] = {
    "10.1": Rule(
        _hours,
        {
            "first_rate": Range(60, 110, 10),
            "second_rate": Range(120, 200, 10),
            "last_rate": Range(50, 90, 10),
            "peak_c": Range(1210, 1240, 2),
            "hold_min": Range(10, 25, 5),
        },
        {"first_rate": 100, "second_rate": 150, "last_rate": 60, "peak_c": 1222, "hold_min": 10},
    ),
    "10.2": Rule(
        _thicker,
        {"thin_mm": Range(0.3, 0.8, 0.1), "thick_mm": Range(0.5, 1.4, 0.1)},
        {"thin_mm": 0.6, "thick_mm": 0.9},
        keep=lambda n: 1.3 <= n["thick_mm"] / n["thin_mm"] <= 2.5,
    ),
    "10.3": Rule(
        _steeper,
        {"angle_deg": Range(STEEP_DEG[0], STEEP_DEG[-1], 15), "ran_mm": Range(6, 24, 1)},
        {"angle_deg": 45, "ran_mm": 10},
    ),
    "10.5": Rule(_clay_cure, {"kaolin_g": Range(7, 20, 1)}, {"kaolin_g": 10}),
    "10.6": Rule(_frit_cure, {"frit_g": Range(20, 30, 1)}, {"frit_g": 25}),
}
