"""How thick a dip gets: a sketch, tied to a tile the class has measured."""

from __future__ import annotations

from math import sqrt

from glazekit.ground.limits import within

DIP_LIMITS_S = (0.1, 120.0)
COAT_LIMITS_MM = (0.01, 10.0)


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

    The bisque drinks water and the particles pile up; the cake that grows slows the water down, so four times the dip
    makes twice the coat.

    Parameters: dip_s, dip time [s]; factor_mm_per_root_s, the k of ``coat_factor_mm_per_root_s`` for the same bisque, slip and
    water.

    >>> round(coat_mm(12, coat_factor_mm_per_root_s(0.5, 3)), 2)
    1.0

    Limits: a sketch. It stops growing when the wall is full of water; another bisque, thickness or slip needs its own tile.
    Source: square-root growth of a cast layer, review in Ceramics (MDPI) 8 (2025) 6, which also notes linear growth.
    """
    factor = within(factor_mm_per_root_s, 0.001, 10, "the coat factor", "mm per root second")
    return factor * sqrt(within(dip_s, *DIP_LIMITS_S, "the dip time", "s"))
