"""The density of clear water."""

from __future__ import annotations

from functools import cache
from math import prod

from glazekit.ground.limits import within
from glazekit.ground.tables import read_table

WATER_TEMP_LIMITS_C = (0.0, 40.0)


def water_density_g_ml(temp_c: float) -> float:
    """Density of clear water at ordinary pressure [g/mL].

    The one polynomial through the IAPWS-95 rows of data/water_density.csv (4, 15, 20, 25 and 30 C).

    Parameters
    ----------
    temp_c : temperature of the water [C], 0 to 40.

    >>> round(water_density_g_ml(20), 5)
    0.99821

    Raises RangeError outside 0 to 40 C.
    Limits: within 0.000 02 g/mL of IAPWS-95 from 0 to 40 C; tap water carries a little salt and is about 0.000 2 denser.
    """
    temp_c = within(temp_c, *WATER_TEMP_LIMITS_C, "the water temperature", "°C")
    rows = _rows()
    return sum(density * prod((temp_c - other) / (at - other) for other, _ in rows if other != at) for at, density in rows)


@cache
def _rows() -> tuple[tuple[float, float], ...]:
    rows = read_table("water_density")
    return tuple((row["temp_c"], row["density_kg_m3"] / 1000) for row in rows if row["source"] == "iapws_95")
