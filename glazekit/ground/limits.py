"""One door for numbers that arrive from outside: finite, inside what makes sense, or one clear sentence."""

from __future__ import annotations

from math import isfinite

from glazekit.ground.errors import NumberError, RangeError

WATER_LIMITS_ML_PER_100G = (0.0, 5000.0)
"""Water of a slip [mL per 100 g dry]; more is a slip of the pen."""


def within(value: float, low: float, high: float, what: str, unit: str = "") -> float:
    """The value as a float when it lies from ``low`` to ``high``, both included.

    ``what`` is the quantity as a learner reads it, such as "the base mass"; the unit is printed behind the numbers.

    >>> within(100, 1, 100_000, "the base mass", "g")
    100.0

    Raises NumberError when it is no finite number, RangeError when it is outside.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise NumberError(f"{what} is {value!r}; a plain number is needed")
    if not low <= value <= high:
        space = " " if unit else ""
        raise RangeError(f"{what} is {value:.12g}{space}{unit}; allowed is {low:.12g} to {high:.12g}{space}{unit}")
    return float(value)
