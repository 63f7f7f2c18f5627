"""Lesson 3, water: what was added, how dense the slip is, what one weighing tells, how the coat grows."""

from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, Written, one_box, shown
from glazekit.ground.numbers import show_number
from glazekit.water import slip

RULES = Rules()
LONGEST_DIP_S = 20


@RULES.add("3.1", start_ml=Steps(50, 70, 5, course=60), lots=Steps(2, 8, 1, course=4))
def _water_so_far(n: Numbers) -> Solution:
    """Start plus every later lot, for 100 g of dry powder."""
    start_ml, later_ml = n["start_ml"], n["lots"] * slip.WATER_STEP_ML
    wrong = {
        "later_only": later_ml,
        "start_twice": start_ml + start_ml + later_ml,
        "start_only": start_ml,
        "lots_as_ml": start_ml + n["lots"],
        "one_lot": start_ml + slip.WATER_STEP_ML,
    }
    return one_box("water_ml", start_ml + later_ml, wrong, {"step_ml": slip.WATER_STEP_ML, "later_ml": later_ml})


@RULES.add("3.2", water_ml=Steps(65, 130, 5, course=90))
def _density(n: Numbers) -> Solution:
    """Mass over volume, and the grains take up room too."""
    slip_g, water_ml, grains_ml = 100 + n["water_ml"], n["water_ml"], 100 / slip.POWDER_DENSITY_G_ML
    density = slip.slip_density_g_ml(water_ml)
    wrong = {"powder_no_room": slip_g / 100, "water_only": slip_g / water_ml, "upside_down": 1 / density}
    words = shown(1, grains_ml=grains_ml, slip_ml=grains_ml + water_ml) | {"slip_g": slip_g}
    return one_box("density_g_ml", density, wrong, words)


def _weighing(n: Numbers) -> tuple[float, Written]:
    """Dry powder in a weighed volume [g], and the words of the question."""
    dry_g = slip.dry_g_from_weighing(n["slip_g"], n["slip_ml"])
    words = shown(2, dry_g=dry_g, water_g=n["slip_g"] - float(show_number(dry_g, 2)))  # so the subtraction on the page comes out
    return dry_g, words | shown(3, dry_hundreds=dry_g / 100) | {"extra_g": n["slip_g"] - n["slip_ml"]}


@RULES.add("3.3", slip_ml=Steps(100, 100, 1, course=100), slip_g=Steps(138, 157, 1, course=148))
def _dry_content(n: Numbers) -> Solution:
    """Dry powder in a measured volume, from its weight."""
    extra_g = n["slip_g"] - n["slip_ml"]
    dry_g, words = _weighing(n)
    wrong = {
        "extra_only": extra_g,
        "whole_slip": n["slip_g"],
        "not_divided": extra_g * slip.POWDER_DENSITY_G_ML,
        "not_multiplied": extra_g / (slip.POWDER_DENSITY_G_ML - 1),
    }
    return one_box("dry_g", dry_g, wrong, words)


@RULES.add("3.4", shares="3.3")
def _water_per_100g(n: Numbers) -> Solution:
    """The water of the same weighing, per 100 g of dry powder."""
    dry_g, words = _weighing(n)
    water_g = n["slip_g"] - dry_g
    wrong = {"in_this_weighing": water_g, "upside_down": 100 * dry_g / water_g, "share_of_slip": 100 * water_g / n["slip_g"]}
    return one_box("water_ml", 100 * water_g / dry_g, wrong, words)


@RULES.add("3.5", bucket_l=Steps(3, 10, 1, course=5), water_ml=Steps(70, 130, 5, course=90))
def _dry_for_bucket(n: Numbers) -> Solution:
    """Dry powder that fills a bucket at a known water."""
    bucket_l, water_ml, grains_l = n["bucket_l"], n["water_ml"], 1 / slip.POWDER_DENSITY_G_ML
    wrong = {
        "grams_as_ml": 100 * bucket_l / (100 + water_ml),
        "no_powder_volume": 100 * bucket_l / water_ml,
        "multiplied": bucket_l * water_ml / 100,
    }
    words = shown(3, litre_per_kg=grains_l + water_ml / 100, grains_l=grains_l) | shown(2, water_l=water_ml / 100)
    return one_box("dry_kg", slip.dry_g_for_volume(1000 * bucket_l, water_ml) / 1000, wrong, words)


@RULES.add(
    "3.6",
    short_s=Steps(2, 5, 1, course=3),
    thin_mm=Steps(0.3, 0.8, 0.1, course=0.5),
    root=Steps(2, 3, 1, course=2),
    keep=lambda n: n["short_s"] * n["root"] ** 2 <= LONGEST_DIP_S,  # nobody holds a tile in the bucket for half a minute
)
def _longer_dip(n: Numbers) -> Solution:
    """The coat grows with the square root of the time."""
    short_s, thin_mm, times = n["short_s"], n["thin_mm"], n["root"] ** 2
    wrong = {"straight_line": thin_mm * times, "no_growth": thin_mm}
    words = {"long_s": short_s * times, "times": times}
    return one_box("coat_mm", slip.coat_mm(short_s * times, slip.coat_factor_mm_per_root_s(thin_mm, short_s)), wrong, words)
