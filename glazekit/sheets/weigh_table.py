"""The table of a batch sheet: tick, material, target, close enough, and an empty column for what the scale said."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import decimals_of, show_g, show_number
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.batch import LIQUID_STEP_ML, BatchLine, BatchSheet, band_on_scale
from glazekit.sheets.parts import box, head_row
from glazekit.sheets.wording import listed, say

BIG_G = 1000.0
"""From here on a mass is also shown in kilograms."""
MANY_LINES = 7
"""From this many lines on, rows stand closer; the boxes stay over 6 mm."""


def mass_words(mass_g: float, division_g: float) -> str:
    """A mass with its unit, without zeros that say nothing.

    >>> mass_words(100, 0.1), mass_words(2500, 0.1), mass_words(3.25, 0.01)
    ('100 g', '2.5 kg', '3.25 g')
    """
    if mass_g >= BIG_G:
        return f"{mass_g / 1000:.6g} kg"
    return (
        f"{mass_g:.{decimals_of(division_g)}f}".rstrip("0").rstrip(".") + " g"
        if decimals_of(division_g)
        else show_g(mass_g, division_g)
    )


def weigh_table(sheet: BatchSheet, stock: Stock | None = None) -> Html:
    """Base lines, then clearly apart what goes on top, then the totals."""
    base = [line for line in sheet.lines if line.part == "base"]
    top = [line for line in sheet.lines if line.part != "base"]
    base_rows = [_row(line, sheet, stock) for line in base]
    if top:
        on_top_g = sheet.total_g - sheet.base_total_g
        top_rows = [_row(line, sheet, stock) for line in top]
        bodies = [
            el("tbody", _part_row("batch.base_part", sheet.base_total_g, sheet), *base_rows),
            el("tbody", _part_row("batch.top_part", on_top_g, sheet), *top_rows, class_="on-top"),
        ]
    else:
        bodies = [el("tbody", *base_rows)]
    classes = "weigh many" if len(sheet.lines) > MANY_LINES else "weigh"
    heads = head_row(listed("batch.columns"), ("", "", "num", "num", "write"))
    return el("table", el("caption", say("batch.weigh_hint")), heads, *bodies, el("tbody", _total(sheet)), class_=classes)


def _part_row(key: str, mass_g: float, sheet: BatchSheet) -> Html:
    title = say(key, mass=mass_words(mass_g, sheet.scale_division_g))
    return el("tr", el("th", title, colspan="5", scope="rowgroup"), class_="part")


def _total(sheet: BatchSheet) -> Html:
    amount = el("td", *_amount(sheet.total_g, sheet.scale_division_g, "g"), class_="num")
    return el("tr", el("td"), el("th", say("batch.total"), scope="row"), amount, el("td"), el("td"), class_="grand")


def _amount(amount: float, division: float, unit: str) -> Sequence[str]:
    shown = el("span", show_number(amount, decimals_of(division)), class_="target")
    kilograms = el("span", mass_words(amount, division), class_="sub") if unit == "g" and amount >= BIG_G else ""
    return shown, f" {unit}", kilograms


def _row(line: BatchLine, sheet: BatchSheet, stock: Stock | None) -> Html:
    division, unit = (LIQUID_STEP_ML, "mL") if line.unit == "ml" else (sheet.scale_division_g, "g")
    remarks = []
    if (stock or course_stock()).find(line.material).kind == "unknown":
        remarks.append(say("batch.no_analysis"))
    if line.coarse:
        remarks.append(say("batch.coarse"))
    return el(
        "tr",
        el("td", box(say("batch.tick_name", material=line.material))),
        el("th", line.label, *(el("span", remark, class_="sub") for remark in remarks), scope="row"),
        el("td", *_amount(line.target_g, division, unit), class_="num"),
        el("td", _band(line, sheet), class_="num"),
        el("td", class_="write", aria_label=say("batch.actual_name", material=line.material)),
    )


def _band(line: BatchLine, sheet: BatchSheet) -> str:
    """Lowest and highest reading inside the band that this scale can show."""
    decimals = decimals_of(LIQUID_STEP_ML if line.unit == "ml" else sheet.scale_division_g)
    low, high = band_on_scale(line, sheet.scale_division_g)
    if high == low:
        return say("batch.just", target=show_number(line.target_g, decimals))
    return say("batch.band", low=show_number(low, decimals), high=show_number(high, decimals))
