"""The ladder sheet of lesson 9: five reference glazes on one clay, to find where that clay's glazes begin to crack."""

from glazekit.drawing.markup import Html, el
from glazekit.glass.ladder import MATERIALS, Rung, fit_ladder
from glazekit.ground.numbers import show_number
from glazekit.kiln.schedule import Schedule
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import (
    WRITE,
    box,
    cautions,
    fields,
    form,
    grid,
    num,
    paragraphs,
    part,
    row,
    scroll,
    step,
    table,
    warning,
    write_in,
)
from glazekit.words.texts import part_words

_SAY = Say("fit_ladder")


def fit_ladder_html(
    schedule: Schedule | None = None, *, stock: Stock | None = None, body: str = "", who: str = "", date: str = ""
) -> str:
    """A protocol for one clay and one firing.

    ``schedule``: the firing the glazes are made for; the class's when None. ``stock``: where the analyses come from. ``body``,
    ``who``, ``date``: clay, maker, day; printed when given, else a line to write on. Raises RangeError for a firing in which the
    five cannot be equally stiff.
    """
    plan, shelf = schedule or schedule_from_text(part_words("firing_plan")("class_firing")), stock or course_stock()
    rungs = fit_ladder(plan.peak_c, stock=shelf)
    return sheet_page(
        _SAY,
        fields(_SAY, body=body, firing="", reached="", coat="", who=who, date=date),
        step(1, _SAY("weigh_title"), cautions(cautions_for(rungs[0].recipe, shelf), "weighing"), _recipes(rungs, plan.peak_c)),
        step(2, _SAY("fire_title"), el("p", _SAY("fire", peak=f"{plan.peak_c:g}"))),
        step(3, _SAY("look_title"), warning(_SAY), el("p", _SAY("look")), _looks(rungs)),
        part(
            _SAY("means_title"),
            paragraphs(_SAY.all("means")),
            form(*map(write_in, _SAY.all("results"))),
            class_="framed",
        ),
    )


def _recipes(rungs: tuple[Rung, ...], peak_c: float) -> Html:
    """What to weigh for 100 g of each rung, what the sum says of it, and how it stands to the rung above."""
    amounts = [{line.material: line.amount for line in rung.recipe.base} for rung in rungs]
    lines = [
        row(name, *(num(show_number(each[name], 1) if name in each else _SAY("none")) for each in amounts)) for name in MATERIALS
    ]
    half = (rungs[0].expansion.high or 0.0) - (rungs[0].expansion.value or 0.0)
    step_half = max((one.high - one.low) / 2 for rung in rungs if (one := rung.expansion.change))
    alpha = [show_number(rung.expansion.value or 0.0, 1) for rung in rungs]
    changes = [show_number(one.expansion.change.value, 1) if one.expansion.change else _SAY("none") for one in rungs]
    sums = [row(_SAY("alpha"), *map(num, alpha)), row(_SAY("change"), *map(num, (c.replace("-", "−") for c in changes)))]
    columns = [_SAY("powder"), *(_SAY("rung", number=str(number)) for number in range(1, len(rungs) + 1))]
    caption, classes = _SAY("recipes_caption"), ("", *["num"] * len(rungs))
    shown = table(caption, columns, lines, sums, class_="card-table", head_classes=classes, seen=False)
    melt = f"{10 ** (rungs[-1].melt.value or 0.0):.0f}"
    small = _SAY("sums", half=show_number(half, 1), step=show_number(step_half, 1), peak=f"{peak_c:g}", melt=melt)
    return el("div", scroll(caption, shown), el("p", small))


def _looks(rungs: tuple[Rung, ...]) -> Html:
    """A box for each look at each rung, and a line for what was seen."""
    columns, rows = _SAY.all("look_columns"), []
    for number in range(1, len(rungs) + 1):
        name = _SAY("rung", number=str(number))
        boxes = (el("td", box(_SAY("look_box", rung=name, when=when))) for when in columns[1:-1])
        rows.append(row(name, *boxes, WRITE))
    return grid(_SAY("look_caption"), columns, rows, class_="rounds")


SHEET = Sheet("fit ladder", fit_ladder_html)
