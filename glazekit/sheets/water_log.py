"""The water log: every mL that goes in or out of a bucket, and what 100 mL of slip should weigh."""

from __future__ import annotations

from collections.abc import Callable

from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import show_number
from glazekit.ground.tables import read_table
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import blank_rows, caution, form, head_row, scroll, write_in
from glazekit.sheets.water_boxes import helping_ml, start_water_ml, water_boxes
from glazekit.sheets.weigh_table import mass_words
from glazekit.sheets.wording import listed, say
from glazekit.water.slip import POWDER_DENSITY_G_ML, dry_g_from_weighing, slip_density_g_ml

LOG_ROWS, LOG_ROWS_BELOW_BOXES = 9, 6
"""Rows to write in; fewer when the boxes for the first helpings stand above, so that it stays one page."""
WATERS_ML_PER_100G = range(60, 161, 10)
JUG_ML = 100.0


def water_log_html(
    recipe: Recipe | None = None,
    *,
    dry_g: float | None = None,
    batch: str = "",
    initials: str = "",
    powder_density_g_ml: float = POWDER_DENSITY_G_ML,
) -> str:
    """A page to log water on.

    Parameters
    ----------
    recipe : its name is printed when given.
    dry_g : total dry powder in the bucket, additions included [g]; with it come boxes for the first helpings.
    batch, initials : printed when given, else a line to write on.
    powder_density_g_ml : density of the grains that the table of weights reckons with [g/mL].

    Raises RangeError for a density no glaze powder has.
    """
    title = say("water_log.title_named", recipe=recipe.name) if recipe else say("water_log.title")
    dry = mass_words(dry_g, 0.1) if dry_g else ""
    feels = (f"{number} {row['feel']}" for number, row in enumerate(read_table("slip_feel"), start=1))
    return page(
        title,
        heading(say("water_log.kind"), title),
        form(
            write_in(say("water_log.batch"), batch),
            write_in(say("water_log.initials"), initials),
            write_in(say("water_log.dry"), dry, "" if dry else say("water_log.dry_unit")),
        ),
        caution(say("water_log.cautions_word"), listed("water_log.cautions")),
        _start(dry_g, dry),
        el(
            "section",
            el("h2", say("water_log.log_title")),
            el("p", say("water_log.log_hint", feels=", ".join(feels))),
            _log(LOG_ROWS_BELOW_BOXES if dry_g else LOG_ROWS),
            class_="plain-part",
        ),
        _weights(powder_density_g_ml),
        el("section", el("h2", say("water_log.thin_title")), el("p", say("water_log.thin")), class_="framed"),
    )


def _start(dry_g: float | None, dry: str) -> Html:
    title = el("h2", say("water_log.start_title"))
    if not dry_g:
        return el("section", title, el("p", say("water_log.start_blank")), class_="plain-part")
    hint = say("water_log.start", start=f"{start_water_ml(dry_g):g}", step=f"{helping_ml(dry_g):g}", dry=dry)
    return el("section", title, el("p", hint), water_boxes(dry_g), class_="plain-part")


def _log(rows: int) -> Html:
    columns = listed("water_log.columns")
    caption = el("caption", say("water_log.log_caption"), class_="unseen")
    return el("table", caption, head_row(columns), blank_rows(columns, rows), class_="grid")


def _weights(powder_density_g_ml: float) -> Html:
    """Water per 100 g against the weight of 100 mL and the dry powder in it."""

    def weight_g(water_ml: float) -> float:
        return JUG_ML * slip_density_g_ml(water_ml, powder_density_g_ml)

    def dry_g(water_ml: float) -> float:
        return dry_g_from_weighing(weight_g(water_ml), JUG_ML, powder_density_g_ml)

    waters, weighs, dry = listed("water_log.rows")
    heads = head_row((waters, *(f"{water}" for water in WATERS_ML_PER_100G)))
    body = el("tbody", _number_row(weighs, weight_g), _number_row(dry, dry_g))
    basis = el("p", say("water_log.table_caption", density=f"{powder_density_g_ml:g}"))
    caption = el("caption", title := say("water_log.table_title"), class_="unseen")
    table = el("table", caption, heads, body, class_="lookup")
    return el("section", el("h2", title), basis, scroll(title, table), class_="plain-part")


def _number_row(name: str, value: Callable[[float], float]) -> Html:
    cells = (el("td", show_number(value(water), 0)) for water in WATERS_ML_PER_100G)
    return el("tr", el("th", name, scope="row"), *cells)
