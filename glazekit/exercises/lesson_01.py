"""Lesson 1, first batch: colour on top, the cup on the scale, the weighing band."""

from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, one_box, shown
from glazekit.recipe.batch import band_g
from glazekit.recipe.recipe import Recipe

RULES = Rules()
SCALE_DIVISION_G = 0.01
"""Exercise 1.3 shows readings of a scale with hundredths."""


@RULES.add("1.1", colour_g=Steps(1, 10, 0.5, course=1))
def _colour_on_top(n: Numbers) -> Solution:
    """A 100 g test batch is 100 g of base; the colour comes on top."""
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


@RULES.add("1.2", cup_g=Steps(31, 48, 0.1, course=38.2), feldspar_g=Steps(20, 29.9, 0.1, course=26.0))
def _cup_on_scale(n: Numbers) -> Solution:
    """Display minus cup."""
    cup_g, display_g = n["cup_g"], n["cup_g"] + n["feldspar_g"]
    wrong = {"with_cup": display_g, "cup_added": display_g + cup_g, "cup_alone": cup_g}
    return one_box("feldspar_g", n["feldspar_g"], wrong, shown(1, cup_g=cup_g, display_g=display_g, both_g=display_g + cup_g))


def _band_is_clear(n: Numbers) -> bool:
    """No reading lies so near the edge of the band that rounding decides."""
    half_g = band_g(n["target_g"], "base", SCALE_DIVISION_G)[1] - n["target_g"]
    inside = max(n["inside_low_g"], n["inside_high_g"]) <= 0.95 * half_g
    return inside and n["over_g"] >= 1.3 * half_g and n["under_g"] >= 1.3 * half_g


@RULES.add(
    "1.3",
    target_g=Steps(10, 20, 1, course=13),  # whole grams, so that 1 % is told without rounding
    inside_low_g=Steps(0.05, 0.16, 0.01, course=0.10),
    inside_high_g=Steps(0.05, 0.16, 0.01, course=0.12),
    over_g=Steps(0.15, 0.4, 0.01, course=0.20),
    under_g=Steps(0.3, 0.8, 0.02, course=0.40),
    keep=_band_is_clear,
)
def _which_pass(n: Numbers) -> Solution:
    """Four readings around a target; no number to type, the options carry the readings."""
    target_g = n["target_g"]
    low_g, high_g = band_g(target_g, "base", SCALE_DIVISION_G)
    readings = shown(
        2,
        inside_low=target_g - n["inside_low_g"],
        inside_high=target_g + n["inside_high_g"],
        over=target_g + n["over_g"],
        under=target_g - n["under_g"],
    )
    return Solution(words=readings | shown(2, target=target_g, low=low_g, high=high_g, band=high_g - target_g))
