"""The batch sheet: how much of each material to weigh, how close is close enough, and what the scale can tell apart."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import ceil, floor, fsum

from glazekit.ground.errors import RecipeError, name_key, unknown_name
from glazekit.ground.numbers import show_g, within
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Line, Recipe

BASE_LIMITS_G = (1.0, 100_000.0)
DIVISION_LIMITS_G = (0.001, 50.0)
BAND = {"base": (0.05, 0.01), "addition": (0.02, 0.02)}
"""Part -> (grams, share of the target); the wider of the two is close enough (a rule of this course)."""
COARSE_SHARE = 0.02
"""A scale whose division is more than this share of a line is too coarse for it (a rule of this course)."""
NAMED_MAX = 4
"""A warning that would name more lines than this counts them."""
LIQUID_STEP_ML = 0.1
LIQUID_BAND = (0.1, 0.02)


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One line of the sheet.

    ``material`` is the name as the recipe writes it, ``resolved`` that in the stock; ``part`` is "base" or "addition".
    ``exact_g`` is the amount before rounding, ``target_g`` to weigh, in whole divisions of the scale; a reading from ``low_g`` to
    ``high_g`` is close enough [all in g; mL when ``unit`` is "ml"]. ``coarse``: one division of the scale is more than 2 % of
    this line. ``dry``: it counts in the dry total; liquids do not.
    """

    material: str
    part: str
    exact_g: float
    target_g: float
    low_g: float
    high_g: float
    unit: str = "g"
    coarse: bool = False
    resolved: str = ""
    dry: bool = True

    @property
    def label(self) -> str:
        """Name for the sheet: as written, with the stock's name behind it when that is another one."""
        return self.material if name_key(self.material) == name_key(self.resolved) else f"{self.material} ({self.resolved})"


@dataclass(frozen=True, slots=True)
class BatchSheet:
    """What to weigh for one batch.

    Parameters: recipe, as written; base_g, base mass asked for, without additions [g]; scale_division_g, smallest step the scale
    shows [g]; lines, in recipe order, base first; leftover_g, what rounding left over and the largest base line took up, negative
    when it gave [g]; warnings, whole sentences; stock, where the names were looked up.
    """

    recipe: Recipe
    base_g: float
    scale_division_g: float
    lines: tuple[BatchLine, ...]
    leftover_g: float
    warnings: tuple[str, ...]
    stock: Stock = field(repr=False, compare=False)

    @property
    def base_total_g(self) -> float:
        """Sum of the base targets [g]."""
        return _tidy(fsum(line.target_g for line in self.lines if line.part == "base"))

    @property
    def total_g(self) -> float:
        """Sum of every dry target, additions included; the water is measured on this [g]."""
        return _tidy(fsum(line.target_g for line in self.lines if line.dry))

    def places(self, name: str) -> tuple[int, ...]:
        """Numbers, from 0, of the lines of this material, under the name of the recipe or any name the stock knows.

        Raises RecipeError, with the nearest name, when it is not on the sheet.
        """
        wanted = {name_key(name), name_key(self.stock.find(name).name) if name in self.stock else ""}
        found = tuple(i for i, line in enumerate(self.lines) if wanted & {name_key(line.material), name_key(line.resolved)})
        if not found:
            raise unknown_name(RecipeError, "material", name, [line.material for line in self.lines], where="this sheet has ")
        return found


@dataclass(frozen=True, slots=True)
class LargestBatch:
    """The largest base a limited stock allows. ``base_g`` is the largest base mass [g]; ``limited_by`` runs out first; ``limits``
    are (material, largest base it alone allows [g]), tightest first. ``taken_as_enough`` are materials of the recipe that are not
    on the list, ``not_in_recipe`` those on the list that the recipe does not use."""

    base_g: float
    limited_by: str
    limits: tuple[tuple[str, float], ...]
    taken_as_enough: tuple[str, ...]
    not_in_recipe: tuple[str, ...]
    words: str


def batch_sheet(recipe: Recipe, base_g: float = 100, scale_division_g: float = 0.1, stock: Stock | None = None) -> BatchSheet:
    """Scale a recipe to a batch and round it to what the scale can show.

    target = amount / base sum x base mass, in whole divisions; additions come on top of the base. What rounding leaves
    over goes onto the largest base line, so that the base totals what was asked for.

    Parameters: recipe, with any base sum, additions in parts or in percent of base; base_g, base mass, additions not included
    [g], 1 g to 100 kg; scale_division_g, smallest step of the scale [g], 0.001 to 50 g; stock, where the names are looked up, the
    course's materials when not given.

    Returns the sheet; its warnings are whole sentences.
    Raises UnknownMaterialError for a name not in the stock, RecipeError when it is unclear how the additions are meant or
    a liquid stands in the base, RangeError for a mass or division that makes no sense.

    >>> sheet = batch_sheet(Recipe("Half Clear", {"soda feldspar": 30, "whiting": 20}, {"tin oxide": 2}, "parts"), base_g=500)
    >>> [(line.material, line.target_g) for line in sheet.lines], sheet.total_g
    ([('soda feldspar', 300.0), ('whiting', 200.0), ('tin oxide', 20.0)], 520.0)

    Limits: as good as the recipe; damp materials hold water that is weighed as if it were powder.
    """
    base_g = within(base_g, *BASE_LIMITS_G, "the base mass", "g")
    division = within(scale_division_g, *DIVISION_LIMITS_G, "the scale's division", "g")
    stock = stock or course_stock()
    factor = recipe.addition_factor()
    lines = [_line(line, "base", line.amount / recipe.base_sum * base_g, division, stock) for line in recipe.base]
    liquid = next((line for line in lines if not line.dry), None)
    if liquid:
        raise RecipeError(f"{recipe.name}: {liquid.material} is a liquid; the base is weighed dry, list it as an addition in ml")
    leftover_g = _give_leftover(lines, base_g, division)
    lines += [
        _line(line, "addition", line.amount * factor / recipe.base_sum * base_g, division, stock) for line in recipe.additions
    ]
    sheet = BatchSheet(recipe, base_g, division, tuple(lines), leftover_g, (), stock)
    return replace(sheet, warnings=tuple(_warnings(sheet)))


def _line(line: Line, part: str, exact: float, division: float, stock: Stock) -> BatchLine:
    material = stock.find(line.material)
    if line.unit == "ml":
        target = in_steps(exact, LIQUID_STEP_ML)
        half_band = max(LIQUID_BAND[0], LIQUID_BAND[1] * target)
        low, high = max(0.0, _tidy(target - half_band)), _tidy(target + half_band)
        return BatchLine(line.material, part, exact, target, low, high, "ml", resolved=material.name, dry=False)
    low, high = band_g(target := in_steps(exact, division), part, division)
    coarse = exact > 0 and division > COARSE_SHARE * exact * (1 + 1e-9)
    return BatchLine(line.material, part, exact, target, low, high, "g", coarse, material.name, dry=not material.liquid)


def band_g(target_g: float, part: str, scale_division_g: float) -> tuple[float, float]:
    """Lowest and highest reading that is close enough [g].

    Half a division, or 0.05 g or 1 % for a base line (0.02 g or 2 % for an addition), whichever is widest.

    >>> band_g(13, "base", 0.01)
    (12.87, 13.13)
    """
    grams, share = BAND[part]
    half_band = max(scale_division_g / 2, grams, share * target_g)
    return max(0.0, _tidy(target_g - half_band)), _tidy(target_g + half_band)


def band_on_scale(line: BatchLine, scale_division_g: float) -> tuple[float, float]:
    """Lowest and highest reading inside the band of a line that the scale can show [g; mL for a liquid].

    Both are the target on a scale so coarse that no other step of it lies inside.

    >>> band_on_scale(BatchLine("kaolin", "base", 13, 13, 12.87, 13.13), 0.1)
    (12.9, 13.1)
    """
    step = LIQUID_STEP_ML if line.unit == "ml" else scale_division_g
    low, high = _tidy(ceil(line.low_g / step - 1e-6) * step), _tidy(floor(line.high_g / step + 1e-6) * step)
    return (low, high) if low < high else (line.target_g, line.target_g)


def _give_leftover(lines: list[BatchLine], base_g: float, division: float) -> float:
    """Move what rounding left over onto the largest base line; returns it [g]. Only on a scale far too coarse can the largest
    line have too little to give; then the next largest gives the rest."""
    asked = in_steps(base_g, division)
    leftover = rest = _tidy(asked - fsum(line.target_g for line in lines))
    for i in sorted(range(len(lines)), key=lambda i: -lines[i].exact_g):
        if rest == 0:
            break
        move = max(rest, -lines[i].target_g)
        target = _tidy(lines[i].target_g + move)
        low, high = band_g(target, "base", division)
        lines[i] = replace(lines[i], target_g=target, low_g=low, high_g=high)
        rest = _tidy(rest - move)
    return leftover


def _warnings(sheet: BatchSheet) -> list[str]:
    division = sheet.scale_division_g
    found = [
        f"{line.label} is {line.exact_g:.2g} g and rounds to 0 on a scale with {division:.10g} g steps: "
        "it would be left out. Use a finer scale or a bigger batch."
        for line in sheet.lines
        if line.exact_g > 0 and line.target_g == 0 and line.unit == "g"
    ]
    found += _coarse_warning(sheet)
    if sheet.base_total_g != _tidy(sheet.base_g):
        found.append(
            f"{sheet.base_g:.10g} g is no whole number of {division:.10g} g steps: "
            f"the base on the sheet totals {sheet.base_total_g:.10g} g."
        )
    largest = max((line for line in sheet.lines if line.part == "base"), key=lambda line: line.exact_g)
    if abs(sheet.leftover_g) > max(division, BAND["base"][1] * largest.exact_g):
        found.append(
            f"Rounding left {sheet.leftover_g:+.10g} g over, which went onto {largest.label}: more than its pass band. "
            "The scale is too coarse for this batch size."
        )
    for line in sheet.lines:
        if line.exact_g == 0:
            found.append(f"{line.label} has the amount 0: nothing to weigh.")
        if line.unit == "g" and not line.dry:
            found.append(f"{line.label} is a liquid but the recipe gives grams: weigh it, it does not count as dry powder.")
        material = sheet.stock.find(line.material)
        if line.unit == "ml" and not material.liquid and material.kind != "unknown":
            found.append(f"{line.label} is a powder but the recipe gives mL: is that amount meant in grams?")
    return found + _double_warnings(sheet)


def _coarse_warning(sheet: BatchSheet) -> list[str]:
    coarse = [line for line in sheet.lines if line.coarse and line.target_g > 0]
    if not coarse:
        return []
    division = sheet.scale_division_g
    names = ", ".join(f"{line.label} ({line.target_g:.10g} g)" for line in coarse)
    if len(coarse) > NAMED_MAX:
        names = f"{len(coarse)} of the {len(sheet.lines)} lines"
    needed_g = division / COARSE_SHARE / min(line.exact_g for line in coarse) * sheet.base_g
    needed_g = ceil(needed_g / 10 - 1e-9) * 10
    bigger = f"a base of at least {needed_g:.10g} g, or " if needed_g <= BASE_LIMITS_G[1] else ""
    it = "it" if len(coarse) == 1 else "each"
    return [
        f"Scale too coarse for {names}: one step of {division:.10g} g is more than 2 % of {it}. Ways out: {bigger}a finer scale."
    ]


def _double_warnings(sheet: BatchSheet) -> list[str]:
    found = []
    for part, where in (("base", "base"), ("addition", "additions")):
        names = [line.resolved for line in sheet.lines if line.part == part]
        for name in dict.fromkeys(name for name in names if names.count(name) > 1):
            found.append(
                f"{name} is written {names.count(name)} times in the {where}; every line is kept. "
                "Merge them if they are one weighing."
            )
    return found


def largest_batch(recipe: Recipe, available_g: Mapping[str, float], stock: Stock | None = None) -> LargestBatch:
    """The largest base mass that the amounts at hand allow.

    base = available / (parts of the material in base and additions / base sum), smallest over the materials listed.

    Parameters: recipe; available_g, material -> what is left [g; mL for liquids]: list what is short, a material of the recipe
    that is not listed counts as plenty and is named in the result; stock, for the names: synonyms are one material.
    Raises RecipeError when nothing listed is in the recipe, UnknownMaterialError for a misspelt name.

    >>> recipe = Recipe("Half Clear", {"soda feldspar": 30, "whiting": 20})
    >>> largest_batch(recipe, {"soda feldspar": 312}).base_g
    520.0
    """
    stock = stock or course_stock()
    per_base: dict[str, float] = {}
    for line in recipe.lines_in_parts():
        name = stock.find(line.material).name
        if line.amount > 0:
            per_base[name] = per_base.get(name, 0.0) + line.amount / recipe.base_sum
    at_hand: dict[str, float] = {}
    for written, mass_g in available_g.items():
        name = stock.find(written).name
        at_hand[name] = at_hand.get(name, 0.0) + within(mass_g, 0, 1e9, f"the amount of {written} at hand", "g")
    limits = sorted(
        ((name, _tidy(at_hand[name] / part)) for name, part in per_base.items() if name in at_hand), key=lambda pair: pair[1]
    )
    if not limits:
        raise RecipeError(f"{recipe.name}: none of the materials listed is in the recipe, so they set no limit")
    limited_by, base_g = limits[0]
    enough = tuple(name for name in per_base if name not in at_hand)
    step = 0.1 if base_g >= 10 else 0.01
    at_most = show_g(floor(base_g / step + 1e-6) * step)  # rounded down: more is not there
    words = f"The largest base is {at_most}; {limited_by} runs out first."
    if enough:
        words += f" Taken as enough: {', '.join(enough)}."
    return LargestBatch(base_g, limited_by, tuple(limits), enough, tuple(name for name in at_hand if name not in per_base), words)


def in_steps(value: float, step: float) -> float:
    """Nearest whole number of steps, halves upwards."""
    return _tidy(floor(value / step + 0.5 + 1e-9) * step)


def _tidy(value: float) -> float:
    """Without the dust of binary arithmetic: 25.900000000000002 is 25.9."""
    return round(value, 9)
