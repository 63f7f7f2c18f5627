"""At the scale: readings checked against the sheet in any order, and mishaps: too much was poured, a material was forgotten."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, fsum

from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import show_ml, show_percent, within
from glazekit.recipe.batch import LIQUID_STEP_ML, BatchLine, BatchSheet, batch_sheet, in_steps

WATER_LIMITS_ML_PER_100G = (0.0, 5000.0)
"""Water of a slip [mL per 100 g dry]; more is a slip of the pen."""
Readings = Mapping[int, float | None]
"""Number of a line of the sheet, from 0 (``BatchSheet.places`` finds it) -> net reading; None or absent: not weighed yet."""
READING_MAX_G = 1e9
BIG_GROWTH = 1.5
"""A rescue that makes the batch grow more than this deserves a second thought (course practice)."""


@dataclass(frozen=True, slots=True)
class WeighedLine:
    """A line of the sheet with its reading. ``reading_g`` is what the scale showed and ``difference_g`` reading minus target [g;
    mL for a liquid], both None until it is weighed; ``word`` is "in band", "under", "over" or "not yet"."""

    line: BatchLine
    reading_g: float | None
    word: str
    difference_g: float | None


@dataclass(frozen=True, slots=True)
class WeighCheck:
    """Every line with its reading, the dry material in the cup so far [g], and whether every line is in its band."""

    lines: tuple[WeighedLine, ...]
    running_total_g: float
    done: bool


def check_weighings(sheet: BatchSheet, readings: Readings) -> WeighCheck:
    """Compare what the scale showed, without the cup [g; mL for liquids], with the sheet; the order does not matter.

    Raises RecipeError for a line that is not on the sheet, RangeError for a reading below 0.

    >>> from glazekit.recipe.batch import batch_sheet
    >>> from glazekit.recipe.recipe import Recipe
    >>> sheet = batch_sheet(Recipe("Half Clear", {"soda feldspar": 60, "whiting": 40}))
    >>> check = check_weighings(sheet, {1: 41.2})
    >>> [line.word for line in check.lines], check.running_total_g
    (['not yet', 'over'], 41.2)
    """
    if strange := [number for number in readings if not 0 <= number < len(sheet.lines)]:
        raise RecipeError(f"there is no line {strange[0]} on the sheet; lines are counted from 0 to {len(sheet.lines) - 1}")
    lines = tuple(_weighed(line, readings.get(number)) for number, line in enumerate(sheet.lines))
    dry = [line.reading_g or 0.0 for line in lines if line.line.dry]
    return WeighCheck(lines, round(fsum(dry), 9), all(line.word == "in band" for line in lines))


def _weighed(line: BatchLine, reading_g: float | None) -> WeighedLine:
    if reading_g is None:
        return WeighedLine(line, None, "not yet", None)
    reading_g = within(reading_g, 0, READING_MAX_G, f"the reading of {line.material}", line.unit)
    tiny = 1e-9 * max(1.0, reading_g)  # 13.13 typed must pass a limit computed as 13.13
    word = "under" if reading_g < line.low_g - tiny else "over" if reading_g > line.high_g + tiny else "in band"
    return WeighedLine(line, reading_g, word, round(reading_g - line.target_g, 9))


def untared(sheet: BatchSheet, readings: Readings) -> tuple[int, float] | None:
    """A reading over its band that looks as if Tare was not pressed: its line of the sheet, and what it poured in truth [g].

    Without Tare a scale shows target + what lay in the cup before: the sum of the other readings, or the last of readings none of
    which had it pressed. Agreement within the band of the line, or two hundredths of the reading, is taken for that.

    >>> from glazekit.recipe.recipe import Recipe
    >>> sheet = batch_sheet(Recipe("Half Clear", {"soda feldspar": 60, "whiting": 40}))
    >>> untared(sheet, {0: 60, 1: 100.2}), untared(sheet, {0: 60, 1: 47})
    ((1, 40.2), None)
    """
    read = {number: mass_g for number, mass_g in readings.items() if mass_g and sheet.lines[number].dry}
    for number, shown_g in read.items():
        line, others = sheet.lines[number], [mass_g for other, mass_g in read.items() if other != number]
        near_g = max(line.high_g - line.target_g, 0.02 * shown_g)
        for before_g in (fsum(others), *others):
            if shown_g > line.high_g and before_g and abs(shown_g - before_g - line.target_g) <= near_g:
                return number, round(shown_g - before_g, 9)
    return None


@dataclass(frozen=True, slots=True)
class StillToAdd:
    """What is in the cup of one line of the sheet, and what to add, 0 when there is enough [g; mL for a liquid]."""

    line: BatchLine
    in_cup_g: float
    add_g: float


@dataclass(frozen=True, slots=True)
class Rescue:
    """How to save a batch in which something was over-poured. ``action`` is "carry on", "spoon out" or "make more"; ``sheet`` is
    followed from now on, the old one unless more is made."""

    action: str
    sheet: BatchSheet
    lines: tuple[StillToAdd, ...]
    words: str


@dataclass(frozen=True, slots=True)
class ForgottenItem:
    """A material forgotten: how much to add now [g; mL for a liquid], after wetting it in a little water [mL], 0 for a liquid."""

    add_g: float
    water_ml: float
    words: str


def over_poured(sheet: BatchSheet, readings: Readings, on_top: bool = False) -> Rescue:
    """Too much of something went in: the smallest bigger batch in which everything already in the cup fits.

    growth = largest reading / target among the lines over their band; every target grows by it. ``on_top``: the surplus still
    lies on top, so it can be spooned out; no other powder has buried it.

    Raises RecipeError when a material with the amount 0 was poured in: no batch size mends that.

    >>> from glazekit.recipe.recipe import Recipe
    >>> sheet = batch_sheet(Recipe("Half Clear", {"soda feldspar": 60, "whiting": 40}))
    >>> rescue = over_poured(sheet, {0: 66})
    >>> rescue.sheet.base_g, [(line.line.material, line.add_g) for line in rescue.lines]
    (110.0, [('soda feldspar', 0.0), ('whiting', 44.0)])
    """
    check = check_weighings(sheet, readings)
    over = [line for line in check.lines if line.word == "over"]
    if not over:
        return Rescue("carry on", sheet, _still(sheet, check.lines), "Nothing is over its band. Carry on with the sheet.")
    if on_top:
        listed = " and ".join(f"{_show(line.line, line.difference_g or 0.0)} of {line.line.label}" for line in over)
        words = f"Spoon out {listed} while it lies on top, and weigh again. Nothing else changes."
        return Rescue("spoon out", sheet, _still(sheet, check.lines), words)
    strange = next((line.line.label for line in over if line.line.exact_g == 0), None)
    if strange:
        raise RecipeError(
            f"{strange} has the amount 0 in this recipe: no batch size makes room for it; spoon it out or start again"
        )
    growth = max((line.reading_g or 0.0) / line.line.exact_g for line in over)
    steps = ceil(sheet.base_g * growth / sheet.scale_division_g - 1e-6)
    bigger = batch_sheet(sheet.recipe, round(steps * sheet.scale_division_g, 9), sheet.scale_division_g, sheet.stock)
    lines = _still(bigger, check.lines)
    return Rescue("make more", bigger, lines, _more_words(sheet, bigger, lines))


def _still(sheet: BatchSheet, weighed: tuple[WeighedLine, ...]) -> tuple[StillToAdd, ...]:
    """What each line lacks; a reading that is in the band of its target lacks nothing."""
    found = []
    for line, before in zip(sheet.lines, weighed, strict=True):
        in_cup_g = before.reading_g or 0.0
        enough = before.reading_g is not None and in_cup_g >= line.low_g
        found.append(StillToAdd(line, in_cup_g, 0.0 if enough else max(0.0, round(line.target_g - in_cup_g, 9))))
    return tuple(found)


def _show(line: BatchLine, amount: float) -> str:
    """An amount of a line as read: whole steps of the scale, or mL of a liquid."""
    return show_ml(amount) if line.unit == "ml" else f"{amount:.10g} g"


def _more_words(old: BatchSheet, new: BatchSheet, lines: tuple[StillToAdd, ...]) -> str:
    todo = ", ".join(f"{_show(line.line, line.add_g)} {line.line.label}" for line in lines if line.add_g > 0) or "nothing more"
    words = (
        f"Make more: the base becomes {new.base_g:.10g} g instead of {old.base_g:.10g} g. Still to add: {todo}. "
        f"Work out the water for {new.total_g:.10g} g of dry powder."
    )
    if new.base_g > BIG_GROWTH * old.base_g:
        words += " That is a lot more glaze: starting again may waste less."
    return words


def forgotten_item(
    sheet: BatchSheet, material: str, dry_left_g: float | None = None, water_ml_per_100g: float | None = None
) -> ForgottenItem:
    """A material was forgotten and the rest is already wet: how much to add now.

    add = target x dry powder left / dry powder that went in without it.

    Parameters: sheet, on which everything but ``material`` is taken as weighed right; material, all its lines together;
    dry_left_g, dry powder still in the bucket [g], from one weighing of the slip, None when nothing was used; water_ml_per_100g,
    the water of the batch [mL per 100 g dry], so that the thickness stays, None takes 1 mL per gram.
    Raises RecipeError when the material is not on the sheet or is all there is; RangeError when more is left than went in.

    >>> from glazekit.recipe.recipe import Recipe
    >>> sheet = batch_sheet(Recipe("Half Clear", {"soda feldspar": 60, "whiting": 40}))
    >>> forgotten_item(sheet, "whiting", dry_left_g=30).add_g
    20.0

    Limits: pots dipped before this have another glaze on them; write that down.
    """
    lines = [sheet.lines[i] for i in sheet.places(material)]
    went_in_g = fsum(line.target_g for line in sheet.lines if line.dry and line not in lines)
    if went_in_g <= 0:
        raise RecipeError(f"{material} is all there is on this sheet: nothing else was weighed")
    share_left = 1.0 if dry_left_g is None else within(dry_left_g, 0, went_in_g * 1.05, "the dry powder left", "g") / went_in_g
    unit, name = lines[0].unit, lines[0].label
    step = sheet.scale_division_g if unit == "g" else LIQUID_STEP_ML
    add_g = in_steps(fsum(line.target_g for line in lines) * share_left, step)
    per_100g = 100.0
    if water_ml_per_100g is not None:
        per_100g = within(water_ml_per_100g, *WATER_LIMITS_ML_PER_100G, "the water", "mL per 100 g")
    water_ml = 0.0 if unit == "ml" else round(add_g * per_100g / 100, 1)
    amount = _show(lines[0], add_g)
    if unit == "ml":
        words = f"Stir in {amount} of {name}."
    else:
        words = f"Wet {amount} of {name} in {show_ml(water_ml)} of water, soak, stir it in and sieve everything again."
    if share_left < 1:
        words += (
            f" That is for the {show_percent(100 * share_left, 0)} of the batch still in the bucket; "
            "what was dipped before is another glaze."
        )
    return ForgottenItem(add_g, water_ml, words + " Write it down.")
