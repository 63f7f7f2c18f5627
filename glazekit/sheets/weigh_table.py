"""The table of a batch sheet: tick, material, target, close enough, and an empty column for what the scale said."""

from __future__ import annotations

from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import decimals_of, show_g, show_number
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.batch import LIQUID_STEP_ML, BatchLine, BatchSheet, band_on_scale
from glazekit.sheets.parts import across, box, num, table
from glazekit.sheets.wording import Say

BIG_G = 1000.0
"""From here on a mass is also shown in kilograms."""
MANY_LINES = 7
"""From this many lines on, rows stand closer; the boxes stay over 6 mm."""
_SAY = Say("batch")


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
    return across(_SAY(key, mass=mass_words(mass_g, sheet.scale_division_g)), 5)


def _total(sheet: BatchSheet) -> Html:
    shown = show_number(sheet.total_g, decimals_of(sheet.scale_division_g))
    amount = _amount(shown, "g", sheet.total_g, sheet.scale_division_g)
    return el("tr", el("td"), el("th", _SAY("total"), scope="row"), amount, el("td"), el("td"), class_="grand")


def _amount(shown: str, unit: str, mass_g: float, division_g: float) -> Html:
    kilograms = el("span", mass_words(mass_g, division_g), class_="sub") if unit == "g" and mass_g >= BIG_G else ""
    return el("td", el("span", shown, class_="target"), f" {unit}", kilograms, class_="num")


def target_words(line: BatchLine, sheet: BatchSheet) -> tuple[str, str, str]:
    """What to weigh, its unit and how close is close enough, as this scale can show them."""
    division, unit = (LIQUID_STEP_ML, "mL") if line.unit == "ml" else (sheet.scale_division_g, "g")
    numbers = (line.target_g, *band_on_scale(line, sheet.scale_division_g))
    target, low, high = (show_number(number, decimals_of(division)) for number in numbers)
    return target, unit, _SAY("just", target=target) if low == high else _SAY("band", low=low, high=high)


def _row(line: BatchLine, sheet: BatchSheet, stock: Stock | None) -> Html:
    target, unit, band = target_words(line, sheet)
    remarks = []
    if (stock or course_stock()).find(line.material).kind == "unknown":
        remarks.append(_SAY("no_analysis"))
    if line.coarse:
        remarks.append(_SAY("coarse"))
    return el(
        "tr",
        el("td", box(_SAY("tick_name", material=line.material))),
        el("th", line.label, *(el("span", remark, class_="sub") for remark in remarks), scope="row"),
        _amount(target, unit, line.target_g, sheet.scale_division_g),
        num(band),
        el("td", class_="write", aria_label=_SAY("actual_name", material=line.material)),
    )
