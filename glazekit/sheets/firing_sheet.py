"""The firing sheet of lesson 10: the plan, the witness cones of every shelf, and on the back the readings."""

from math import ceil

from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import show_number
from glazekit.kiln.firing import clock
from glazekit.kiln.schedule import Leg, Schedule
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import WRITE, blank_rows, box, fields, grid, lines, num, part, row, short, tick_line, warning, wide

PLAN_ROWS = 5
CONES_A_SHELF = 3
READING_ROWS = 20
"""Lines for readings: as many as fit on the back."""
_SAY = Say("firing_sheet")


@printed_as("firing sheet")
def firing_sheet_html(schedule: Schedule | None = None, *, kiln: str = "", fired_on: str = "", team: str = "") -> str:
    """Two pages to hang beside the kiln. Plan, kiln, day and team are printed when given, else there are lines to write them
    on."""
    air, fuel = (tick_line(_SAY(f"{name}_title"), _SAY.all(f"{name}s")) for name in ("atmosphere", "fuel"))
    return sheet_page(
        _SAY,
        fields(_SAY, kiln=kiln, number="", date=fired_on, by=team),
        el("div", air, fuel, class_="two-lines"),
        tick_line(_SAY("zinc_title"), _SAY.all("zinc")),
        warning(_SAY, "stop", stop=True),
        warning(_SAY),
        part(_SAY("plan_title"), *_plan(schedule)),
        part(_SAY("cones_title"), el("p", _SAY("cones")), _cones()),
        part(_SAY("readings_title"), el("p", _SAY("readings")), _readings(schedule), class_="plain-part whole new-page"),
        part(_SAY("end_title"), lines(_SAY.all("end_fields")), wide(_SAY("differs"))),
        title=_SAY("title_named", kiln=kiln) if kiln else "",
    )


def _plan(schedule: Schedule | None) -> tuple[Html, Html]:
    """The steps with the time each is done, or lines to write them on."""
    columns = _SAY.all("plan_columns")
    if schedule:
        rows = [_plan_row(str(number), leg) for number, leg in enumerate(schedule.legs(), start=1)]
        numbers = {"peak": short(schedule.peak_c, 1), "start": short(schedule.start_c, 1)}
        hint = _SAY("plan_total", hours=clock(schedule.hours), **numbers)
    else:
        rows = blank_rows(columns, PLAN_ROWS, [str(number) for number in range(1, PLAN_ROWS + 1)])
        hint = _SAY("plan_blank")
    return grid(_SAY("plan_caption"), columns, rows, class_="grid plan"), el("p", hint)


def _plan_row(number: str, leg: Leg) -> Html:
    holds = leg.kind == "holds"
    cells = (
        "" if holds else show_number(leg.rate_c_per_h, 0 if abs(leg.rate_c_per_h) >= 10 else 1),
        short(leg.to_c, 1),
        short(leg.hours * 60, 1) if holds else "",
        clock(leg.from_hours + leg.hours),
    )
    return row(number, *map(num, cells), WRITE)


def _cones() -> Html:
    """Three cones for each shelf, each with a place for its number and a box for every way it may look."""
    columns = _SAY.all("cones_columns")
    rows = []
    for shelf in _SAY.all("shelves"):
        for number in range(1, CONES_A_SHELF + 1):
            first = el("th", shelf, scope="rowgroup", rowspan=CONES_A_SHELF) if number == 1 else ""
            names = (_SAY("cones_box", shelf=shelf, number=number, state=state) for state in columns[2:])
            rows.append(el("tr", first, WRITE, *(el("td", box(name)) for name in names)))
    return grid(_SAY("cones_caption"), columns, rows, class_="grid cones many")


def _readings(schedule: Schedule | None) -> Html:
    """A line for every hour of the plan with what is asked for then, and empty lines below."""
    planned = []
    if schedule:
        hours = (min(line, schedule.hours) for line in range(min(ceil(schedule.hours), READING_ROWS - 1) + 1))
        planned = [(num(clock(hour)), num(show_number(schedule.temp_at(hour), 0))) for hour in hours]
    blank = [(WRITE, WRITE)] * (READING_ROWS - len(planned))
    rows = (el("tr", WRITE, *known, WRITE, WRITE) for known in (*planned, *blank))
    return grid(_SAY("readings_caption"), _SAY.all("readings_columns"), rows, class_="grid readings")
