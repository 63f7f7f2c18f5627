"""Slip is powder in water: from mL per 100 g to density and back, what one weighing tells, and a sketch of the coat it leaves."""

from functools import cache
from math import prod, sqrt

from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import within
from glazekit.ground.tables import read_table
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.recipe.weighing import WATER_LIMITS_ML_PER_100G

START_WATER_ML_PER_100G = 60.0
"""Water in the cup before the powder goes in [mL per 100 g of total dry] (course practice)."""
WATER_STEP_ML = 10.0
"""Then added in steps of this [mL per 100 g] (course practice)."""
POWDER_DENSITY_G_ML = 2.6
"""Density of the powder's grains that every exercise uses [g/mL] (a rule of this course)."""
POWDER_DENSITY_LIMITS_G_ML = (1.5, 8.0)
WATER_TEMP_LIMITS_C = (0.0, 40.0)
DIP_LIMITS_S = (0.1, 120.0)
COAT_LIMITS_MM = (0.01, 10.0)


def water_density_g_ml(temp_c: float) -> float:
    """Density of clear water at ordinary pressure [g/mL].

    The one polynomial through the IAPWS-95 rows of data/water_density.csv (4, 15, 20, 25 and 30 C).

    >>> round(water_density_g_ml(20), 5)
    0.99821

    Raises RangeError outside 0 to 40 C.
    Limits: within 0.000 02 g/mL of IAPWS-95 from 0 to 40 C; tap water carries a little salt and is about 0.000 2 denser.
    """
    temp_c = within(temp_c, *WATER_TEMP_LIMITS_C, "the water temperature", "°C")
    rows = _water_rows()
    return sum(density * prod((temp_c - other) / (at - other) for other, _ in rows if other != at) for at, density in rows)


@cache
def _water_rows() -> tuple[tuple[float, float], ...]:
    rows = read_table("water_density")
    return tuple((row["temp_c"], row["density_kg_m3"] / 1000) for row in rows if row["source"] == "iapws_95")


def slip_density_g_ml(
    water_ml_per_100g: float, powder_density_g_ml: float = POWDER_DENSITY_G_ML, water_temp_c: float | None = None
) -> float:
    """Density of a slip, which potters also call its specific gravity [g/mL].

    density = (D + W) / (D / powder density + W) with D = 100 g of dry powder and W mL of water at 1 g/mL.

    Parameters: water_ml_per_100g, water per 100 g of total dry [mL]; powder_density_g_ml, density of the grains [g/mL];
    water_temp_c, temperature of the water [C], None takes water as 1 g/mL, as in the exercises.

    >>> round(slip_density_g_ml(90), 3)
    1.479

    Raises RangeError for less than 0 mL or a powder no glaze is made of.
    """
    water_ml = within(water_ml_per_100g, *WATER_LIMITS_ML_PER_100G, "the water", "mL per 100 g")
    powder, water = _densities(powder_density_g_ml, water_temp_c)
    return (100 + water_ml * water) / (100 / powder + water_ml)


def water_ml_per_100g_from_density(
    density_g_ml: float, powder_density_g_ml: float = POWDER_DENSITY_G_ML, water_temp_c: float | None = None
) -> float:
    """Water per 100 g of total dry in a slip of this density [mL]; the way back from ``slip_density_g_ml``.

    >>> round(water_ml_per_100g_from_density(1.48), 1)
    89.7

    Raises RangeError unless the density lies between clear water and solid powder.
    """
    powder, water = _densities(powder_density_g_ml, water_temp_c)
    density = _slip_density(density_g_ml, powder, water)
    return 100 * (1 - density / powder) / (density - water)


def dry_g_from_weighing(
    slip_g: float, slip_ml: float, powder_density_g_ml: float = POWDER_DENSITY_G_ML, water_temp_c: float | None = None
) -> float:
    """Dry powder in a measured volume of slip, from one weighing (Brongniart) [g].

    dry = (G - V x water density) x powder density / (powder density - water density) for G grams in V mL.

    Parameters: slip_g, net mass of the slip [g]; slip_ml, its volume [mL]; the others as in ``slip_density_g_ml``.

    >>> round(dry_g_from_weighing(148, 100), 1)
    78.0

    Raises RangeError when the slip is not heavier than water or is heavier than solid powder.
    Limits: 1 mL misread is 1.6 g of dry powder, so fill to the line exactly. Air bubbles make it read too low.
    Source: A. Brongniart, Traite des Arts Ceramiques 1 (1854) 249.
    """
    slip_ml = within(slip_ml, 0.1, 1e6, "the volume of the slip", "mL")
    slip_g = within(slip_g, 0, 1e7, "the mass of the slip", "g")
    powder, water = _densities(powder_density_g_ml, water_temp_c)
    _slip_density(slip_g / slip_ml, powder, water)
    return (slip_g - slip_ml * water) * powder / (powder - water)


def water_to_reach_density(
    dry_g: float,
    water_ml: float,
    target_density_g_ml: float,
    powder_density_g_ml: float = POWDER_DENSITY_G_ML,
    water_temp_c: float | None = None,
) -> float:
    """Water to add so that a slip reaches a density [mL]; negative when there is already too much.

    Parameters: dry_g [g] and water_ml [mL], what is in the slip now; target_density_g_ml, the density wanted [g/mL].

    >>> round(water_to_reach_density(dry_g=100, water_ml=60, target_density_g_ml=1.479))
    30
    """
    dry_g = within(dry_g, 0.1, 1e6, "the dry powder", "g")
    water_ml = within(water_ml, 0, 1e7, "the water", "mL")
    return dry_g / 100 * water_ml_per_100g_from_density(target_density_g_ml, powder_density_g_ml, water_temp_c) - water_ml


def batch_volume_ml(dry_g: float, water_ml_per_100g: float, powder_density_g_ml: float = POWDER_DENSITY_G_ML) -> float:
    """Volume of slip that a batch makes [mL]: dry / powder density + water.

    Parameters: dry_g, total dry, additions included [g]; water_ml_per_100g, water per 100 g of it [mL].

    >>> round(batch_volume_ml(1000, 90))
    1285
    """
    dry_g = within(dry_g, 0, 1e6, "the dry powder", "g")
    water_ml = within(water_ml_per_100g, *WATER_LIMITS_ML_PER_100G, "the water", "mL per 100 g")
    powder, _ = _densities(powder_density_g_ml, None)
    return dry_g / powder + dry_g / 100 * water_ml


def dry_g_for_volume(volume_ml: float, water_ml_per_100g: float, powder_density_g_ml: float = POWDER_DENSITY_G_ML) -> float:
    """Total dry that fills a bucket to this volume of slip [g]; the way back from ``batch_volume_ml``.

    >>> round(dry_g_for_volume(5000, 90))
    3892
    """
    volume_ml = within(volume_ml, 0, 1e6, "the volume", "mL")
    return volume_ml / batch_volume_ml(1, water_ml_per_100g, powder_density_g_ml)


def powder_density_g_ml_of(recipe: Recipe, stock: Stock | None = None) -> float:
    """Density of the grains of a mixed recipe, from the densities of its materials [g/mL].

    density = total mass / sum of mass / density; a material without a density on record counts as 2.6, a liquid not at all.

    >>> round(powder_density_g_ml_of(Recipe("Demo", {"quartz": 50, "whiting": 50})), 2)
    2.68

    Limits: grains with closed pores (calcined, fritted) are lighter than the mineral.
    """
    stock = stock or course_stock()
    mass = volume = 0.0
    for line in recipe.lines_in_parts():
        material = stock.find(line.material)
        if not line.unit and not material.liquid:
            mass += line.amount
            volume += line.amount / (material.density_g_cm3 or POWDER_DENSITY_G_ML)
    return mass / volume


def without_density(recipe: Recipe, stock: Stock | None = None) -> tuple[str, ...]:
    """Materials of a recipe that ``powder_density_g_ml_of`` has to take as 2.6 for want of a density on record."""
    stock = stock or course_stock()
    names = dict.fromkeys(line.material for line in recipe.lines_in_parts() if not line.unit)
    return tuple(name for name in names if stock.find(name).density_g_cm3 is None and not stock.find(name).liquid)


def coat_factor_mm_per_root_s(measured_mm: float, dip_s: float) -> float:
    """The class's own factor k of coat = k x square root of dip time, from one measured tile [mm per root second].

    Parameters: measured_mm, the coat on the tile, dry and unfired [mm]; dip_s, how long it was dipped [s].

    >>> round(coat_factor_mm_per_root_s(0.5, 3), 3)
    0.289
    """
    measured_mm = within(measured_mm, *COAT_LIMITS_MM, "the measured coat", "mm")
    return measured_mm / sqrt(within(dip_s, *DIP_LIMITS_S, "the dip time", "s"))


def coat_mm(dip_s: float, factor_mm_per_root_s: float) -> float:
    """A sketch of the dry coat after a dip [mm]: k x square root of the dip time.

    The bisque drinks water and particles pile up; the growing cake slows the water down: four times the dip, twice the coat.

    Parameters: dip_s, dip time [s]; factor_mm_per_root_s, the k of ``coat_factor_mm_per_root_s`` for the same bisque and slip.

    >>> round(coat_mm(12, coat_factor_mm_per_root_s(0.5, 3)), 2)
    1.0

    Limits: a sketch. It stops growing when the wall is full of water; another bisque, thickness or slip needs its own tile.
    Source: square-root growth of a cast layer, review in Ceramics (MDPI) 8 (2025) 6, which also notes linear growth.
    """
    factor = within(factor_mm_per_root_s, 0.001, 10, "the coat factor", "mm per root second")
    return factor * sqrt(within(dip_s, *DIP_LIMITS_S, "the dip time", "s"))


def _densities(powder_density_g_ml: float, water_temp_c: float | None) -> tuple[float, float]:
    powder = within(powder_density_g_ml, *POWDER_DENSITY_LIMITS_G_ML, "the powder density", "g/mL")
    return powder, 1.0 if water_temp_c is None else water_density_g_ml(water_temp_c)


def _slip_density(density_g_ml: float, powder: float, water: float) -> float:
    """The density when water and powder can make it: heavier than water, not heavier than the powder."""
    density = within(density_g_ml, 0, 1e6, "the slip density", "g/mL")
    if water < density <= powder:
        return density
    hint = "; is that grams per litre? Divide by 1000" if 900 < density < 1000 * powder else ""
    raise RangeError(
        f"the slip density is {density:.6g} g/mL; a slip lies above {water:.4g} (clear water) and "
        f"not above {powder:g} (solid powder){hint}"
    )
