"""The bucket: what to do when the slip is too thick or too thin, and how to find water nobody wrote down."""

from dataclasses import dataclass

from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import show_g, show_ml, within
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.water.slip import POWDER_DENSITY_G_ML, dry_g_from_weighing, water_ml_per_100g_from_density, water_to_reach_density

CLOSE_ENOUGH_G_ML = 0.005
"""A smaller difference in density is within what one weighing of 100 mL can tell (course practice)."""
ADD_WATER, DRAW_OFF, EVAPORATE, LEAVE = "add water", "let settle and draw off", "let evaporate", "leave it"


@dataclass(frozen=True, slots=True)
class BucketCorrection:
    """How to bring a bucket to a density. ``action`` is one of the four words above; ``water_ml`` the water to add, or when
    negative to take away [mL]; ``recipe_g`` the other way when it is too thin: this much of the whole dry recipe, additions
    included [g]; ``dry_g`` the dry powder in the bucket now [g]; ``soluble`` are materials that would leave with drawn-off
    water."""

    action: str
    water_ml: float
    recipe_g: float
    dry_g: float
    soluble: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class FoundWater:
    """Water that was never written down, per 100 g of total dry and in the whole batch [mL]; density of the slip [g/mL]."""

    water_ml_per_100g: float
    water_ml: float
    density_g_ml: float
    words: str


def bucket_correction(
    density_g_ml: float,
    target_density_g_ml: float,
    bucket_ml: float,
    recipe: Recipe | None = None,
    stock: Stock | None = None,
    powder_density_g_ml: float = POWDER_DENSITY_G_ML,
    water_temp_c: float | None = None,
) -> BucketCorrection:
    """What to do with a bucket whose slip is not at the density wanted.

    Too thick: add water. Too thin: let it settle and draw off clear water, or add whole recipe; when the recipe holds
    soluble materials, or some that nobody knows, the water has to evaporate instead: drawn-off water carries flux away.

    Parameters: density_g_ml, target_density_g_ml, measured and wanted [g/mL]; bucket_ml, slip in the bucket [mL]; recipe, what is
    in it, None when nobody knows; powder_density_g_ml, water_temp_c as in ``slip_density_g_ml``.

    >>> bucket_correction(1.55, 1.45, 1000).words
    'Too thick: add 222 mL of water, stir, sieve and weigh again. Write it down.'

    Raises RangeError for a density no slip can have.
    Limits: only as good as the reading of the bucket's volume; go in two steps and weigh in between.
    """
    bucket_ml = within(bucket_ml, 1, 1e6, "the slip in the bucket", "mL")
    held_ml_per_100g = water_ml_per_100g_from_density(density_g_ml, powder_density_g_ml, water_temp_c)
    then_ml_per_100g = water_ml_per_100g_from_density(target_density_g_ml, powder_density_g_ml, water_temp_c)
    if not then_ml_per_100g:
        raise RangeError(f"a slip of {target_density_g_ml:g} g/mL is solid powder without a drop of water; aim lower")
    dry_g = dry_g_from_weighing(density_g_ml * bucket_ml, bucket_ml, powder_density_g_ml, water_temp_c)
    held_ml = dry_g / 100 * held_ml_per_100g
    water_ml = water_to_reach_density(dry_g, held_ml, target_density_g_ml, powder_density_g_ml, water_temp_c)
    named = {name: (stock or course_stock()).find(name) for name in recipe.materials()} if recipe else {}
    soluble = tuple(name for name, material in named.items() if material.soluble)
    if abs(density_g_ml - target_density_g_ml) <= CLOSE_ENOUGH_G_ML:
        words = "Close enough: the difference is no bigger than one weighing can tell. Leave it."
        return BucketCorrection(LEAVE, 0.0, 0.0, dry_g, soluble, words)
    if water_ml > 0:
        words = f"Too thick: add {show_ml(water_ml)} of water, stir, sieve and weigh again. Write it down."
        return BucketCorrection(ADD_WATER, water_ml, 0.0, dry_g, soluble, words)
    recipe_g = 100 * held_ml / then_ml_per_100g - dry_g
    unknown = tuple(name for name, material in named.items() if material.kind == "unknown")
    action = EVAPORATE if soluble or unknown else DRAW_OFF
    words = _too_thin_words(-water_ml, recipe_g, soluble, unknown, recipe is not None)
    return BucketCorrection(action, water_ml, recipe_g, dry_g, soluble, words)


def _too_thin_words(away_ml: float, recipe_g: float, soluble: tuple[str, ...], unknown: tuple[str, ...], known: bool) -> str:
    if soluble or unknown:
        words = f"Too thin: let {show_ml(away_ml)} of water evaporate from the open bucket. Do not draw water off: "
        if soluble:
            words += f"some of the {' and the '.join(soluble)} is dissolved, and the water would carry that flux away."
        else:
            words += f"nobody knows whether {' or '.join(unknown)} dissolves, and the water could carry flux away."
    else:
        words = f"Too thin: let it settle, draw off {show_ml(away_ml)} of clear water, stir and weigh again."
        if not known:
            words += " If the recipe holds soluble materials (lithium, nepheline), let the water evaporate instead."
    return (
        words + f" Or add {show_g(recipe_g)} of the whole recipe, additions included, never one material alone:"
        " respirator on, dry into wet, sieve again. Write it down."
    )


def forgotten_water(
    dry_g: float,
    slip_g: float,
    slip_ml: float,
    powder_density_g_ml: float = POWDER_DENSITY_G_ML,
    water_temp_c: float | None = None,
) -> FoundWater:
    """Find the water of a batch that nobody wrote down, from one weighing of a known volume.

    Parameters: dry_g, total dry of the batch [g]; slip_g, slip_ml, net mass [g] and volume [mL] of a well stirred sample.

    >>> round(forgotten_water(101, 148, 100).water_ml_per_100g, 1)
    89.7

    Raises RangeError when the sample is not heavier than water or is heavier than powder.
    Limits: water that dried away since counts as never added; that is the water the next dip meets.
    """
    dry_g = within(dry_g, 0.1, 1e6, "the total dry", "g")
    dry_g_from_weighing(slip_g, slip_ml, powder_density_g_ml, water_temp_c)  # says what is wrong with the sample
    density = slip_g / slip_ml
    per_100g = water_ml_per_100g_from_density(density, powder_density_g_ml, water_temp_c)
    water_ml = dry_g / 100 * per_100g
    words = (
        f"The slip holds {show_ml(per_100g)} of water per 100 g dry, {show_ml(water_ml)} in the whole batch. Write it down now."
    )
    return FoundWater(per_100g, water_ml, density, words)
