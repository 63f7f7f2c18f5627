"""Lesson 3, water: what was added, how dense the slip is, what one weighing tells, how the coat grows."""

from __future__ import annotations

from collections.abc import Mapping

from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.water.coat import coat_factor_mm_per_root_s, coat_mm
from glazekit.water.slip import (
    POWDER_DENSITY_G_ML,
    WATER_STEP_ML,
    dry_g_for_volume,
    dry_g_from_weighing,
    slip_density_g_ml,
)

LONGEST_DIP_S = 20


def _water_so_far(n: Numbers) -> Solution:
    """3.1: start plus every later lot, for 100 g of dry powder."""
    start_ml, lots = n["start_ml"], n["lots"]
    later_ml = lots * WATER_STEP_ML
    total_ml = start_ml + later_ml
    return Solution(
        right={"water_ml": total_ml},
        wrong={
            "later_only": {"water_ml": later_ml},
            "start_twice": {"water_ml": start_ml + total_ml},
            "start_only": {"water_ml": start_ml},
            "lots_as_ml": {"water_ml": start_ml + lots},
            "one_lot": {"water_ml": start_ml + WATER_STEP_ML},
        },
        words={"step_ml": WATER_STEP_ML, "later_ml": later_ml},
    )


def _density(n: Numbers) -> Solution:
    """3.2: mass over volume, and the grains take up room too."""
    water_ml = n["water_ml"]
    density = slip_density_g_ml(water_ml)
    return Solution(
        right={"density_g_ml": density},
        wrong={
            "powder_no_room": {"density_g_ml": (100 + water_ml) / 100},
            "water_only": {"density_g_ml": (100 + water_ml) / water_ml},
            "upside_down": {"density_g_ml": 1 / density},
        },
        words={
            "slip_g": 100 + water_ml,
            "grains_ml": show_number(100 / POWDER_DENSITY_G_ML, 1),
            "slip_ml": show_number(100 / POWDER_DENSITY_G_ML + water_ml, 1),
        },
    )


def _weighing_words(n: Numbers) -> dict[str, str | float]:
    dry_g = dry_g_from_weighing(n["slip_g"], n["slip_ml"])
    return {
        "extra_g": n["slip_g"] - n["slip_ml"],
        "dry_g": show_number(dry_g, 2),
        "water_g": show_number(n["slip_g"] - float(show_number(dry_g, 2)), 2),  # the subtraction on the page comes out
        "dry_hundreds": show_number(dry_g / 100, 3),
    }


def _dry_content(n: Numbers) -> Solution:
    """3.3: dry powder in a measured volume, from its weight."""
    slip_g, slip_ml = n["slip_g"], n["slip_ml"]
    extra_g = slip_g - slip_ml
    return Solution(
        right={"dry_g": dry_g_from_weighing(slip_g, slip_ml)},
        wrong={
            "extra_only": {"dry_g": extra_g},
            "whole_slip": {"dry_g": slip_g},
            "not_divided": {"dry_g": extra_g * POWDER_DENSITY_G_ML},
            "not_multiplied": {"dry_g": extra_g / (POWDER_DENSITY_G_ML - 1)},
        },
        words=_weighing_words(n),
    )


def _water_per_100g(n: Numbers) -> Solution:
    """3.4: the water of the same weighing, per 100 g of dry powder."""
    slip_g = n["slip_g"]
    dry_g = dry_g_from_weighing(slip_g, n["slip_ml"])
    water_g = slip_g - dry_g
    return Solution(
        right={"water_ml": 100 * water_g / dry_g},
        wrong={
            "in_this_weighing": {"water_ml": water_g},
            "upside_down": {"water_ml": 100 * dry_g / water_g},
            "share_of_slip": {"water_ml": 100 * water_g / slip_g},
        },
        words=_weighing_words(n),
    )


def _dry_for_bucket(n: Numbers) -> Solution:
    """3.5: dry powder that fills a bucket at a known water."""
    bucket_l, water_ml = n["bucket_l"], n["water_ml"]
    return Solution(
        right={"dry_kg": dry_g_for_volume(1000 * bucket_l, water_ml) / 1000},
        wrong={
            "grams_as_ml": {"dry_kg": 100 * bucket_l / (100 + water_ml)},
            "no_powder_volume": {"dry_kg": 100 * bucket_l / water_ml},
            "multiplied": {"dry_kg": bucket_l * water_ml / 100},
        },
        words={
            "litre_per_kg": show_number(1 / POWDER_DENSITY_G_ML + water_ml / 100, 3),
            "grains_l": show_number(1 / POWDER_DENSITY_G_ML, 3),
            "water_l": show_number(water_ml / 100, 2),
        },
    )


def _longer_dip(n: Numbers) -> Solution:
    """3.6: the coat grows with the square root of the time."""
    short_s, thin_mm, root = n["short_s"], n["thin_mm"], n["root"]
    long_s = short_s * root**2
    return Solution(
        right={"coat_mm": coat_mm(long_s, coat_factor_mm_per_root_s(thin_mm, short_s))},
        wrong={"straight_line": {"coat_mm": thin_mm * root**2}, "no_growth": {"coat_mm": thin_mm}},
        words={"long_s": long_s, "times": root**2},
    )


def _dips_are_possible(n: Numbers) -> bool:
    """Nobody holds a tile in the bucket for half a minute."""
    return n["short_s"] * n["root"] ** 2 <= LONGEST_DIP_S


RULES: Mapping[str, Rule] = {
    "3.1": Rule(_water_so_far, {"start_ml": Range(50, 70, 5), "lots": Range(2, 8, 1)}, {"start_ml": 60, "lots": 4}),
    "3.2": Rule(_density, {"water_ml": Range(65, 130, 5)}, {"water_ml": 90}),
    "3.3": Rule(
        _dry_content,
        {"slip_ml": Range(100, 100, 1), "slip_g": Range(138, 157, 1)},
        {"slip_ml": 100, "slip_g": 148},
    ),
    "3.4": Rule(_water_per_100g, shares="3.3"),
    "3.5": Rule(
        _dry_for_bucket,
        {"bucket_l": Range(3, 10, 1), "water_ml": Range(70, 130, 5)},
        {"bucket_l": 5, "water_ml": 90},
    ),
    "3.6": Rule(
        _longer_dip,
        {"short_s": Range(2, 5, 1), "thin_mm": Range(0.3, 0.8, 0.1), "root": Range(2, 3, 1)},
        {"short_s": 3, "thin_mm": 0.5, "root": 2},
        keep=_dips_are_possible,
    ),
}
