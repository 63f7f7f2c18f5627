"""Lesson 1, first batch: colour on top, the cup on the scale, the weighing band."""

from __future__ import annotations

from collections.abc import Mapping

from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.ground.numbers import show_number
from glazekit.recipe.batch import band_g
from glazekit.recipe.recipe import Recipe

SCALE_DIVISION_G = 0.01
"""Exercise 1.3 shows readings of a scale with hundredths."""


def _colour_on_top(n: Numbers) -> Solution:
    """1.1: a 100 g test batch is 100 g of base; the colour comes on top."""
    colour_g = n["colour_g"]
    batch = Recipe("Gangway Clear with iron", {"base": 100}, {"red iron oxide": colour_g}, additions_are="parts").to_100()
    total_g = sum(line.amount for line in batch.lines_in_parts())
    return Solution(
        right={"base_g": batch.base_sum, "total_g": total_g},
        wrong={
            "made_room": {"base_g": 100 - colour_g},
            "taken_off": {"total_g": 100 - colour_g},
            "colour_inside": {"total_g": 100},
            "base_with_colour": {"base_g": 100 + colour_g},
        },
        words={"room_g": 100 - colour_g},
    )


def _cup_on_scale(n: Numbers) -> Solution:
    """1.2: display minus cup."""
    cup_g, feldspar_g = n["cup_g"], n["feldspar_g"]
    display_g = cup_g + feldspar_g
    return Solution(
        right={"feldspar_g": feldspar_g},
        wrong={
            "with_cup": {"feldspar_g": display_g},
            "cup_added": {"feldspar_g": display_g + cup_g},
            "cup_alone": {"feldspar_g": cup_g},
        },
        words={
            "cup_g": show_number(cup_g, 1),
            "display_g": show_number(display_g, 1),
            "both_g": show_number(display_g + cup_g, 1),
        },
    )


def _which_pass(n: Numbers) -> Solution:
    """1.3: four readings around a target; no number to type, the options carry the readings."""
    target_g = n["target_g"]
    low_g, high_g = band_g(target_g, "base", SCALE_DIVISION_G)
    readings = {
        "inside_low": target_g - n["inside_low_g"],
        "inside_high": target_g + n["inside_high_g"],
        "over": target_g + n["over_g"],
        "under": target_g - n["under_g"],
        "target": target_g,
        "low": low_g,
        "high": high_g,
        "band": high_g - target_g,
    }
    return Solution(words={name: show_number(value, 2) for name, value in readings.items()})


def _band_is_clear(n: Numbers) -> bool:
    """No reading lies so near the edge of the band that rounding decides."""
    half_g = band_g(n["target_g"], "base", SCALE_DIVISION_G)[1] - n["target_g"]
    inside = max(n["inside_low_g"], n["inside_high_g"]) <= 0.95 * half_g
    return inside and n["over_g"] >= 1.3 * half_g and n["under_g"] >= 1.3 * half_g


RULES: Mapping[str, Rule] = {
    "1.1": Rule(_colour_on_top, {"colour_g": Range(1, 10, 0.5)}, {"colour_g": 1}),
    "1.2": Rule(
        _cup_on_scale,
        {"cup_g": Range(31, 48, 0.1), "feldspar_g": Range(20, 29.9, 0.1)},
        {"cup_g": 38.2, "feldspar_g": 26.0},
    ),
    "1.3": Rule(
        _which_pass,
        {
            "target_g": Range(10, 20, 1),  # whole grams, so that 1 % is told without rounding
            "inside_low_g": Range(0.05, 0.16, 0.01),
            "inside_high_g": Range(0.05, 0.16, 0.01),
            "over_g": Range(0.15, 0.4, 0.01),
            "under_g": Range(0.3, 0.8, 0.02),
        },
        {"target_g": 13, "inside_low_g": 0.10, "inside_high_g": 0.12, "over_g": 0.20, "under_g": 0.40},
        keep=_band_is_clear,
    ),
}
