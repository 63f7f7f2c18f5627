"""The water log: every mL that goes in or out of a bucket, and what 100 mL of slip should weigh."""

from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import show_number
from glazekit.ground.tables import read_table
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.measuring import helping_ml, mass_words, start_water_ml, water_boxes
from glazekit.sheets.parts import blank_rows, fields, part, row, scroll, table, warning
from glazekit.water.slip import POWDER_DENSITY_G_ML, dry_g_from_weighing, slip_density_g_ml

LOG_ROWS, LOG_ROWS_BELOW_BOXES = 9, 6
"""Rows to write in; fewer when the boxes for the first helpings stand above, so that it stays one page."""
WATERS_ML_PER_100G = range(60, 161, 10)
JUG_ML = 100.0
_SAY = Say("water_log")


@printed_as("water log", ("recipe", "Gangway Clear"))
def water_log_html(
    recipe: Recipe | None = None,
    *,
    dry_g: float | None = None,
    label: str = "",
    who: str = "",
    powder_density_g_ml: float = POWDER_DENSITY_G_ML,
) -> str:
    """A page to log water on.

    With ``dry_g``, all dry powder in the bucket, additions included [g], come boxes for the first helpings of water; the table of
    weights reckons with grains of ``powder_density_g_ml`` [g/mL]. Raises RangeError for a density no glaze powder has.
    """
    title = _SAY("title_named", recipe=recipe.name) if recipe else ""
    dry = mass_words(dry_g, 0.1) if dry_g else ""
    feels = (f"{number} {row['feel']}" for number, row in enumerate(read_table("slip_feel"), start=1))
    columns = _SAY.all("columns")
    log = blank_rows(columns, LOG_ROWS_BELOW_BOXES if dry_g else LOG_ROWS)
    return sheet_page(
        _SAY,
        fields(_SAY, batch=label, initials=who, dry=dry),
        warning(_SAY),
        part(_SAY("start_title"), *_start(dry_g, dry)),
        part(
            _SAY("log_title"),
            el("p", _SAY("log_hint", feels=", ".join(feels))),
            table(_SAY("log_caption"), columns, log, class_="grid", seen=False),
        ),
        _weights(powder_density_g_ml),
        part(_SAY("thin_title"), el("p", _SAY("thin")), class_="framed"),
        title=title,
    )


def _start(dry_g: float | None, dry: str) -> tuple[Html, ...]:
    if not dry_g:
        return (el("p", _SAY("start_blank")),)
    hint = _SAY("start", start=f"{start_water_ml(dry_g):g}", step=f"{helping_ml(dry_g):g}", dry=dry)
    return el("p", hint), water_boxes(dry_g)


def _weights(powder_density_g_ml: float) -> Html:
    """Water per 100 g against the weight of 100 mL and the dry powder in it."""
    weights_g = [JUG_ML * slip_density_g_ml(water_ml, powder_density_g_ml) for water_ml in WATERS_ML_PER_100G]
    dry_g = [dry_g_from_weighing(weight_g, JUG_ML, powder_density_g_ml) for weight_g in weights_g]
    title, (waters, weighs, dry) = _SAY("table_title"), _SAY.all("rows")
    heads = (waters, *(f"{water}" for water in WATERS_ML_PER_100G))
    rows = (row(name, *(show_number(value, 0) for value in values)) for name, values in ((weighs, weights_g), (dry, dry_g)))
    basis = el("p", _SAY("table_caption", density=f"{powder_density_g_ml:g}"))
    return part(title, basis, scroll(title, table(title, heads, rows, class_="lookup", seen=False)))
