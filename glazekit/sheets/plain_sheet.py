"""The batch sheet for a terminal: as plain text of at most 80 columns, and as one JSON object."""

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from glazekit.chemistry.analysis import Analysis, analyse
from glazekit.chemistry.unity import UnityFormula
from glazekit.folder.glaze import as_data
from glazekit.ground.errors import NoAnalysisError, RecipeError
from glazekit.ground.estimate import Estimate
from glazekit.ground.numbers import show_g, show_ml, show_number
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchLine, BatchSheet, batch_sheet
from glazekit.recipe.cautions import MOMENTS, Caution, cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.footnotes import analysis_lines, estimate_data, estimate_lines, estimates_for, oxide_groups
from glazekit.sheets.measuring import helping_ml, start_water_ml, target_words
from glazekit.water.slip import POWDER_DENSITY_G_ML, batch_volume_ml, slip_density_g_ml

WIDTH = 80


@dataclass(frozen=True, slots=True)
class ReckonedSheet:
    """Everything the sheet shows, computed once: what to weigh, the analyses used, the water to start with [mL per 100 g of dry
    total], and of the base its analysis and formula, None where the chemistry stops, for the reason in ``stopped``."""

    sheet: BatchSheet
    stock: Stock
    water_ml_per_100g: float
    analysis: Analysis | None
    unity: UnityFormula | None
    stopped: str
    cautions: tuple[Caution, ...]
    estimates: tuple[Estimate, ...] = ()


def reckon_sheet(
    recipe: Recipe,
    base_g: float,
    scale_division_g: float,
    water_ml_per_100g: float,
    stock: Stock,
    peak_c: float | None = None,
    reference: Recipe | None = None,
) -> ReckonedSheet:
    """Compute what the sheet shows; a material declared unknown stops the chemistry, not the sheet. ``peak_c`` and ``reference``
    are those of ``estimates_for``. Raises GlazekitError for anything that keeps the batch itself from being weighed."""
    sheet = batch_sheet(recipe, base_g, scale_division_g, stock)
    slip_density_g_ml(water_ml_per_100g)  # this and the next say what is allowed before anything is printed
    helping_ml(sheet.total_g)
    analysis = unity = None
    stopped = ""
    try:
        analysis = analyse(recipe, stock=stock)
        unity = analysis.unity
    except (NoAnalysisError, RecipeError) as error:  # no analysis, or no flux to divide by
        stopped = f"{error}."
    cautions = cautions_for(recipe, stock, batch_g=sheet.total_g)
    estimates = estimates_for(recipe, stock, peak_c, reference) if unity else ()
    return ReckonedSheet(sheet, stock, water_ml_per_100g, analysis, unity, stopped, cautions, estimates)


def sheet_text(reckoned: ReckonedSheet) -> str:
    """The sheet as plain text, at most 80 columns wide as long as the names allow it."""
    parts = (_heading, _weighing, _water, _chemistry, _estimates, _origins, _cautions)
    return "\n\n".join("\n".join(lines) for part in parts if (lines := list(part(reckoned)))) + "\n"


def _heading(reckoned: ReckonedSheet) -> Iterator[str]:
    sheet = reckoned.sheet
    recipe = sheet.recipe
    cone = f"cone {recipe.cone}" if recipe.cone else ""
    firing = ", ".join(filter(None, [cone, recipe.atmosphere]))
    room = WIDTH - len(recipe.name) - len(firing)
    yield recipe.name + (" " * room + firing if room > 1 else f"\n{firing}") if firing else recipe.name
    yield "=" * WIDTH
    base = f"{sheet.base_g:.6g} g" if sheet.base_g < 1000 else f"{sheet.base_g / 1000:.6g} kg"
    yield f"Batch with a base of {base}, weighed in steps of {sheet.scale_division_g:g} g"
    if not recipe.totals_100:
        yield f"The recipe's base totals {recipe.base_sum:g} as written; it is scaled, the proportions stay."
    if recipe.note:
        yield from _wrapped(f"Note: {recipe.note}")


def _weighing(reckoned: ReckonedSheet) -> Iterator[str]:
    sheet = reckoned.sheet
    names = max([16, *(len(line.label) for line in sheet.lines)])
    yield f"{'[ ] material':{names + 4}} {'as written':>11} {'weigh':>11}   close enough"
    base_sum, division = f"{sheet.recipe.base_sum:g}", sheet.scale_division_g
    for part, written in (("base", sheet.recipe.base), ("addition", sheet.recipe.additions)):
        lines = [line for line in sheet.lines if line.part == part]
        if part == "addition" and lines:
            yield "    on top of the base"
        for line, as_written in zip(lines, written, strict=True):
            is_percent = part == "addition" and sheet.recipe.additions_are == "percent_of_base" and not as_written.unit
            amount = f"{as_written.amount:g}{' %' if is_percent else ''}"
            target, unit, band = target_words(line, sheet)
            yield f"{'[ ]' if target else '   '} {line.label:{names}} {amount:>11} {f'{target} {unit}':>11}   {band}"
        if part == "base":
            yield f"    {'base':{names}} {base_sum:>11} {show_g(sheet.base_total_g, division):>11}"
    yield f"    {'all dry powder':{names}} {'':>11} {show_g(sheet.total_g, division):>11}"
    for warning in sheet.warnings:
        yield from _wrapped(f"! {warning}")


def _water(reckoned: ReckonedSheet) -> Iterator[str]:
    per_100g, dry_g = reckoned.water_ml_per_100g, reckoned.sheet.total_g
    if not dry_g:
        return
    yield from _wrapped(
        f"Water: start with {start_water_ml(dry_g, per_100g):g} mL ({per_100g:g} mL for every 100 g of dry powder), then add "
        f"{helping_ml(dry_g):g} mL at a time until it pours like heavy cream, and write down the total. The start makes about "
        f"{show_ml(batch_volume_ml(dry_g, per_100g))} of slip of {show_number(slip_density_g_ml(per_100g))} g/mL, "
        f"with the powder taken as {POWDER_DENSITY_G_ML:g} g/mL."
    )


def _chemistry(reckoned: ReckonedSheet) -> Iterator[str]:
    yield "What it becomes in the kiln (base only)"
    analysis, unity = reckoned.analysis, reckoned.unity
    if analysis:
        yield from _wrapped(
            f"  Leaves as gas (loss on ignition, LOI): {analysis.loi_wt_pct_raw:.1f} % of the dry base; "
            f"100 g of base leave {100 * analysis.fired_yield:.1f} g of glass."
        )
    if not unity:
        yield from _wrapped(f"  {reckoned.stopped}")
        return
    yield "  Unity formula: moles of each oxide for one mole of all fluxes together"
    for title, oxides in oxide_groups(unity):
        text = ", ".join(f"{OXIDES[oxide].name} {oxide} {unity[oxide]:.3f}" for oxide in oxides)
        yield from textwrap.wrap(f"    {title.lower() + ':':14} {text}", WIDTH, subsequent_indent=" " * 19)
    ratio = unity.silica_to_alumina_mol
    said = f"silica to alumina {ratio:.1f}" if ratio is not None else "no alumina"
    yield f"  {said}; alkali share {100 * unity.alkali_share:.0f} % of the fluxes"
    for note in analysis.notes if analysis else ():
        yield from _wrapped(f"  {note}.")


def _estimates(reckoned: ReckonedSheet) -> Iterator[str]:
    if not reckoned.estimates:
        return
    yield "Estimates: as a clear glass in air; the interval is right 9 times in 10"
    for said, change in estimate_lines(reckoned.estimates):
        yield from textwrap.wrap(f"  {said}", WIDTH, subsequent_indent="    ")
        if change:
            yield from textwrap.wrap(f"    {change}", WIDTH, subsequent_indent="      ")
    yield "  An estimate is no verdict: the tile decides."


def _origins(reckoned: ReckonedSheet) -> Iterator[str]:
    yield "Analyses used"
    for line in analysis_lines(reckoned.sheet.recipe, reckoned.stock):
        yield from _wrapped(f"  {line}")


def _cautions(reckoned: ReckonedSheet) -> Iterator[str]:
    for moment in MOMENTS:
        texts = dict.fromkeys(caution.text for caution in reckoned.cautions if caution.moment == moment)
        if texts:
            yield "Before use" if moment == "using" else f"Take care when {moment}"
        for text in texts:
            yield from textwrap.wrap(f"  * {text}", WIDTH, subsequent_indent="    ")


def _wrapped(text: str) -> list[str]:
    indent = text[: len(text) - len(text.lstrip())]
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent + ("  " if text.lstrip().startswith("!") else ""))


def sheet_data(reckoned: ReckonedSheet) -> dict[str, Any]:
    """The sheet as one JSON object; its keys stay the same when parts are empty."""
    sheet, analysis, unity = reckoned.sheet, reckoned.analysis, reckoned.unity
    batch = _picked(sheet, "base_g", "scale_division_g", "base_total_g", "total_g", "leftover_g", "warnings")
    per_100g, used = reckoned.water_ml_per_100g, dict.fromkeys(reckoned.stock.find(line.material) for line in sheet.lines)
    water = {"water_ml_per_100g": per_100g, "water_ml": per_100g * sheet.total_g / 100}
    return {
        "recipe": as_data(sheet.recipe),
        "batch": batch | {"lines": [_line_data(line) for line in sheet.lines]},
        "water": water | {"slip_density_g_ml": slip_density_g_ml(per_100g)},
        "unity_formula": dict(unity.moles) if unity else None,
        "analysis": _analysis_data(analysis, unity) if analysis and analysis.oxide_g else None,
        "loi_wt_pct_raw": analysis.loi_wt_pct_raw if analysis else None,
        "estimates": [estimate_data(estimate) for estimate in reckoned.estimates],
        "cautions": [_picked(caution, "moment", "text") for caution in reckoned.cautions],
        "materials": [_picked(material, "name", "label", "kind", "status", "source") for material in used],
        "chemistry_stopped": reckoned.stopped or None,
    }


def _picked(thing: object, *names: str) -> dict[str, Any]:
    return {name: getattr(thing, name) for name in names}


def _line_data(line: BatchLine) -> Mapping[str, Any]:
    """A line of the batch; a liquid has its numbers under ``_ml``, a powder under ``_g``."""
    numbers = {f"{name}_{line.unit}": getattr(line, f"{name}_g") for name in ("exact", "target", "low", "high")}
    return _picked(line, "material", "part", "unit", "coarse") | numbers


def _analysis_data(analysis: Analysis, unity: UnityFormula | None) -> dict[str, Any]:
    mappings = {name: dict(getattr(analysis, name)) for name in ("oxide_wt_pct_fired", "oxide_mol_pct")}
    ratios = {name: getattr(unity, name, None) for name in ("silica_to_alumina_mol", "alkali_share")}
    return _picked(analysis, "include_additions", "fired_yield", "notes") | mappings | ratios
