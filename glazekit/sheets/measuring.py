"""Powder and water to measure out: the table of a batch sheet, boxes for each helping of water, and the water log of a bucket."""

from math import floor, log10

from glazekit.drawing.markup import Html, el
from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import decimals_of, show_g, show_number
from glazekit.ground.tables import read_table
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.batch import LIQUID_STEP_ML, BatchLine, BatchSheet, band_on_scale
from glazekit.recipe.cautions import cautions_for, not_to_weigh
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import blank_rows, box, fields, form, grid, over, part, row, short, stops, table, warning, write_in
from glazekit.water.slip import (
    POWDER_DENSITY_G_ML,
    START_WATER_ML_PER_100G,
    WATER_STEP_ML,
    dry_g_from_weighing,
    slip_density_g_ml,
)

BIG_G = 1000.0
"""From here on a mass is also shown in kilograms."""
MANY_LINES = 7
"""From this many lines on, rows stand closer; the boxes stay over 6 mm."""
HELPINGS = 10
LOG_ROWS, LOG_ROWS_BELOW_BOXES = 9, 6
"""Rows to write in; fewer when the boxes for the first helpings stand above, so that it stays one page."""
WATERS_ML_PER_100G = range(60, 161, 10)
JUG_ML = 100.0
_SAY, _WATER, _LOG = Say("batch"), Say("water"), Say("water_log")


def mass_words(mass_g: float, division_g: float) -> str:
    """A mass with its unit, without zeros that say nothing.

    >>> mass_words(100, 0.1), mass_words(2500, 0.1), mass_words(3.25, 0.01)
    ('100 g', '2.5 kg', '3.25 g')
    """
    if mass_g >= BIG_G:
        return f"{short(mass_g / 1000, decimals_of(division_g) + 3)} kg"
    decimals = decimals_of(division_g)
    return f"{short(mass_g, decimals)} g" if decimals else show_g(mass_g, division_g)


def weigh_table(sheet: BatchSheet, stock: Stock | None = None) -> Html:
    """Base lines, then clearly apart what goes on top, then the totals; a line that must not be weighed has no target, no box."""
    base = [_row(line, sheet, stock) for line in sheet.lines if line.part == "base"]
    top = [_row(line, sheet, stock) for line in sheet.lines if line.part != "base"]
    groups: list[Html | list[Html]] = [base]
    if top:
        groups = [
            [_part_row("base_part", sheet.base_total_g, sheet), *base],
            el("tbody", _part_row("top_part", sheet.total_g - sheet.base_total_g, sheet), *top, class_="on-top"),
        ]
    class_ = "weigh many" if len(sheet.lines) > MANY_LINES else "weigh"
    columns, classes = _SAY.all("columns"), ("", "", "num", "num", "write")
    return table(_SAY("weigh_hint"), columns, *groups, [_total(sheet)], class_=class_, head_classes=classes)


def _part_row(key: str, mass_g: float, sheet: BatchSheet) -> Html:
    return over(_SAY(key, mass=mass_words(mass_g, sheet.scale_division_g)), 5)


def _total(sheet: BatchSheet) -> Html:
    shown = show_number(sheet.total_g, decimals_of(sheet.scale_division_g))
    amount = _amount(shown, "g", sheet.total_g, sheet.scale_division_g)
    barred = not_to_weigh(cautions_for(sheet.recipe, sheet.stock))
    then = el("td", _SAY("barred" if barred else "turn_over"), class_="turn-over", colspan=2)
    return el("tr", el("td"), el("th", _SAY("total"), scope="row"), amount, then, class_="grand")


def _amount(shown: str, unit: str, mass_g: float, division_g: float) -> Html:
    kilograms = el("span", mass_words(mass_g, division_g), class_="sub") if unit == "g" and mass_g >= BIG_G else ""
    return el("td", el("span", shown, class_="target"), f" {unit}", kilograms, class_="num")


def target_words(line: BatchLine, sheet: BatchSheet) -> tuple[str, str, str]:
    """What to weigh, its unit and how close is close enough, as this scale can show them; no number that is not to be weighed."""
    division, unit = (LIQUID_STEP_ML, "mL") if line.unit == "ml" else (sheet.scale_division_g, "g")
    if line.material in not_to_weigh(cautions_for(sheet.recipe, sheet.stock)):
        return "", "", _SAY("barred")
    numbers = (line.target_g, *band_on_scale(line, sheet.scale_division_g))
    target, low, high = (show_number(number, decimals_of(division)) for number in numbers)
    return target, unit, _SAY("just", target=target) if low == high else _SAY("band", low=low, high=high)


def _row(line: BatchLine, sheet: BatchSheet, stock: Stock | None) -> Html:
    target, unit, band = target_words(line, sheet)
    no_analysis = (stock or course_stock()).find(line.material).kind == "unknown"
    remarks = [_SAY(key) for key, holds in (("no_analysis", no_analysis), ("coarse", line.coarse)) if holds]
    return el(
        "tr",
        el("td", box(_SAY("tick_name", material=line.material)) if target else ""),
        el("th", line.label, *(el("span", remark, class_="sub") for remark in remarks), scope="row"),
        _amount(target, unit, line.target_g, sheet.scale_division_g) if target else el("td"),
        el("td", band, class_="num"),
        el("td", class_="write", aria_label=_SAY("actual_name", material=line.material)),
    )


def start_water_ml(dry_g: float, water_ml_per_100g: float = START_WATER_ML_PER_100G) -> float:
    """Water to start with, in steps a jug can show: 1 mL below 50 mL, 5 mL below 500 mL, then 10 mL [mL].

    >>> start_water_ml(100), start_water_ml(102), start_water_ml(2666)
    (60.0, 60.0, 1600.0)
    """
    exact = water_ml_per_100g * dry_g / 100
    division = 1.0 if exact < 50 else 5.0 if exact < 500 else 10.0
    return round(exact / division) * division


def helping_ml(dry_g: float) -> float:
    """One helping of water: 10 mL for each 100 g of dry powder, as a round number [mL].

    >>> helping_ml(100), helping_ml(107), helping_ml(2666)
    (10.0, 10.0, 250.0)

    Raises RangeError where there is no powder at all.
    """
    if dry_g <= 0:
        raise RangeError("on this scale the whole batch rounds to nothing; mix more, or take a finer scale")
    wanted = WATER_STEP_ML * dry_g / 100
    scale = 10.0 ** floor(log10(wanted))
    return min((nice * scale for nice in (1, 2, 2.5, 5, 10)), key=lambda nice: abs(nice - wanted))


def water_boxes(dry_g: float, water_ml_per_100g: float = START_WATER_ML_PER_100G) -> Html:
    """Ten boxes to cross, then the sum that turns the total into mL per 100 g of dry powder."""
    start, helping = start_water_ml(dry_g, water_ml_per_100g), helping_ml(dry_g)
    so_far = (f"{start + i * helping:.6g}" for i in range(1, HELPINGS + 1))
    boxes = (el("li", _WATER("helping", ml=f"{helping:g}"), box(_WATER("box", ml=ml)), ml) for ml in so_far)
    divided = write_in(_WATER("divided", hundreds=short(dry_g / 100, 3)), unit=_WATER("per_100g_unit"))
    return el("ol", *boxes, class_="water") + form(write_in(_WATER("in_all"), unit=_WATER("in_all_unit")), divided)


@printed_as("water log", ("recipe", "Gangway Clear"))
def water_log_html(
    recipe: Recipe | None = None,
    *,
    dry_g: float | None = None,
    label: str = "",
    who: str = "",
    powder_density_g_ml: float = POWDER_DENSITY_G_ML,
    stock: Stock | None = None,
) -> str:
    """A page to log water on. With ``dry_g``, all dry powder in the bucket [g], come boxes for the first helpings of water; the
    table of weights reckons with grains of ``powder_density_g_ml`` [g/mL]. Raises RangeError for a density no glaze powder
    has."""
    title = _LOG("title_named", recipe=recipe.name) if recipe else ""
    dry = mass_words(dry_g, 0.1) if dry_g else ""
    feels = (f"{number} {row['feel']}" for number, row in enumerate(read_table("slip_feel"), start=1))
    columns = _LOG.all("columns")
    log = blank_rows(columns, LOG_ROWS_BELOW_BOXES if dry_g else LOG_ROWS)
    return sheet_page(
        _LOG,
        fields(_LOG, batch=label, initials=who, dry=dry),
        stops(recipe, stock, "mixing"),
        warning(_LOG),
        part(_LOG("start_title"), *_start(dry_g, dry)),
        part(
            _LOG("log_title"),
            el("p", _LOG("log_hint", feels=", ".join(feels))),
            table(_LOG("log_caption"), columns, log, class_="grid", seen=False),
        ),
        _weights(powder_density_g_ml),
        part(_LOG("thin_title"), el("p", _LOG("thin")), class_="framed"),
        title=title,
    )


def _start(dry_g: float | None, dry: str) -> tuple[Html, ...]:
    if not dry_g:
        return (el("p", _LOG("start_blank")),)
    hint = _LOG("start", start=f"{start_water_ml(dry_g):g}", step=f"{helping_ml(dry_g):g}", dry=dry)
    return el("p", hint), water_boxes(dry_g)


def _weights(powder_density_g_ml: float) -> Html:
    """Water per 100 g against the weight of 100 mL and the dry powder in it."""
    weights_g = [JUG_ML * slip_density_g_ml(water_ml, powder_density_g_ml) for water_ml in WATERS_ML_PER_100G]
    dry_g = [dry_g_from_weighing(weight_g, JUG_ML, powder_density_g_ml) for weight_g in weights_g]
    title, (waters, weighs, dry) = _LOG("table_title"), _LOG.all("rows")
    heads = (waters, *(f"{water}" for water in WATERS_ML_PER_100G))
    rows = (row(name, *(show_number(value, 0) for value in values)) for name, values in ((weighs, weights_g), (dry, dry_g)))
    basis = el("p", _LOG("table_caption", density=f"{powder_density_g_ml:g}"))
    return part(title, basis, grid(title, heads, rows, class_="lookup"))
