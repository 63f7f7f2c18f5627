"""At the scale: readings checked against the sheet in any order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

from glazekit.ground.errors import RecipeError
from glazekit.ground.limits import within
from glazekit.recipe.batch import BatchLine, BatchSheet

Readings = Mapping[int, float | None]
"""Number of a line of the sheet, from 0 (``BatchSheet.places`` finds it) -> net reading; None or absent: not weighed yet."""

READING_MAX_G = 1e9


@dataclass(frozen=True, slots=True)
class WeighedLine:
    """A line of the sheet with its reading.

    ``reading_g`` is what the scale showed and ``difference_g`` reading minus target [g; mL for a liquid], both None until it is
    weighed; ``word`` is "in band", "under", "over" or "not yet".
    """

    line: BatchLine
    reading_g: float | None
    word: str
    difference_g: float | None


@dataclass(frozen=True, slots=True)
class WeighCheck:
    """Every line with its reading.

    ``running_total_g`` is the dry material in the cup so far [g]. ``done``: every line is in its band.
    """

    lines: tuple[WeighedLine, ...]
    running_total_g: float
    remaining_g: float
    done: bool


def check_weighings(sheet: BatchSheet, readings: Readings) -> WeighCheck:
    """Compare what the scale showed with the sheet; the order does not matter.

    Readings are net, without the cup [g; mL for liquids].

    Raises RecipeError for a line that is not on the sheet, RangeError for a reading below 0.

    >>> from glazekit.recipe.batch import batch_sheet
    >>> from glazekit.recipe.recipe import Recipe
    >>> sheet = batch_sheet(Recipe("Half Clear", {"soda feldspar": 60, "whiting": 40}))
    >>> check = check_weighings(sheet, {1: 41.2})
    >>> [line.word for line in check.lines], check.running_total_g, check.remaining_g
    (['not yet', 'over'], 41.2, 60.0)
    """
    if strange := [number for number in readings if not 0 <= number < len(sheet.lines)]:
        raise RecipeError(f"there is no line {strange[0]} on the sheet; lines are counted from 0 to {len(sheet.lines) - 1}")
    lines = tuple(_weighed(line, readings.get(number)) for number, line in enumerate(sheet.lines))
    dry = [line for line in lines if line.line.dry]
    lacking = [line.line.target_g - (line.reading_g or 0.0) for line in dry if line.word in ("not yet", "under")]
    return WeighCheck(
        lines,
        round(fsum(line.reading_g or 0.0 for line in dry), 9),
        round(fsum(lacking), 9),
        all(line.word == "in band" for line in lines),
    )


def _weighed(line: BatchLine, reading_g: float | None) -> WeighedLine:
    if reading_g is None:
        return WeighedLine(line, None, "not yet", None)
    reading_g = within(reading_g, 0, READING_MAX_G, f"the reading of {line.material}", line.unit)
    tiny = 1e-9 * max(1.0, reading_g)  # 13.13 typed must pass a limit computed as 13.13
    word = "under" if reading_g < line.low_g - tiny else "over" if reading_g > line.high_g + tiny else "in band"
    return WeighedLine(line, reading_g, word, round(reading_g - line.target_g, 9))
