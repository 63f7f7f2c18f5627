"""The firing sheet of lesson 10: the plan, the witness cones of every shelf, and on the back the readings."""

from __future__ import annotations

from math import ceil

from glazekit.drawing.markup import Html, el, join
from glazekit.ground.numbers import show_number
from glazekit.kiln.compare import clock
from glazekit.kiln.schedule import Leg, Schedule
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import blank_rows, box, caution, form, head_row, scroll, short, ticks, write_in
from glazekit.sheets.wording import listed, say

PLAN_ROWS = 5
"""Lines for a plan that is written by hand."""
CONES_A_SHELF = 3
READING_ROWS = 20
"""Lines for readings: as many as fit on the back."""


def firing_sheet_html(schedule: Schedule | None = None, *, kiln: str = "", date: str = "", team: str = "") -> str:
    """Two pages to hang beside the kiln.

    Parameters
    ----------
    schedule : the plan; None leaves lines to write it on. With a plan the hours and the temperatures planned are printed.
    kiln, date, team : printed when given, else a line to write on.
    """
    title = say("firing_sheet.title_named", kiln=kiln) if kiln else say("firing_sheet.title")
    return page(
        title,
        heading(say("firing_sheet.kind"), title, say("firing_sheet.facts")),
        form(
            write_in(say("firing_sheet.kiln"), kiln),
            write_in(say("firing_sheet.number")),
            write_in(say("firing_sheet.date"), date),
            write_in(say("firing_sheet.by"), team),
        ),
        el("div", _tick_line("atmosphere_title", "atmospheres"), _tick_line("fuel_title", "fuels"), class_="two-lines"),
        _tick_line("zinc_title", "zinc"),
        caution(say("firing_sheet.stop_word"), listed("firing_sheet.stops"), "caution stop"),
        caution(say("firing_sheet.caution_word"), listed("firing_sheet.cautions")),
        el("section", el("h2", say("firing_sheet.plan_title")), _plan(schedule), class_="plain-part"),
        el(
            "section",
            el("h2", say("firing_sheet.cones_title")),
            el("p", say("firing_sheet.cones")),
            _cones(),
            class_="plain-part",
        ),
        el(
            "section",
            el("h2", say("firing_sheet.readings_title")),
            el("p", say("firing_sheet.readings")),
            _readings(schedule),
            class_="plain-part whole new-page",
        ),
        el(
            "section",
            el("h2", say("firing_sheet.end_title")),
            form(*(write_in(field) for field in listed("firing_sheet.end_fields"))),
            form(write_in(say("firing_sheet.differs"), class_="write-in wide")),
            class_="plain-part",
        ),
    )


def _tick_line(title: str, labels: str) -> Html:
    return el("div", el("h2", say(f"firing_sheet.{title}")), ticks(listed(f"firing_sheet.{labels}")), class_="tick-line")


def _plan(schedule: Schedule | None) -> Html:
    """The steps with the time each is done, or lines to write them on."""
    columns = listed("firing_sheet.plan_columns")
    if schedule:
        body = el("tbody", *(_plan_row(number, leg) for number, leg in enumerate(schedule.legs(), start=1)))
        hint = say(
            "firing_sheet.plan_total",
            hours=clock(schedule.hours),
            peak=short(schedule.peak_c, 1),
            start=short(schedule.start_c, 1),
        )
    else:
        body = blank_rows(columns, PLAN_ROWS, [str(number) for number in range(1, PLAN_ROWS + 1)])
        hint = say("firing_sheet.plan_blank")
    caption = el("caption", say("firing_sheet.plan_caption"), class_="unseen")
    table = el("table", caption, head_row(columns), body, class_="grid plan")
    return join(scroll(say("firing_sheet.plan_caption"), table), el("p", hint))


def _plan_row(number: int, leg: Leg) -> Html:
    holds = leg.kind == "holds"
    cells = (
        "" if holds else show_number(leg.rate_c_per_h, 0 if abs(leg.rate_c_per_h) >= 10 else 1),
        short(leg.to_c, 1),
        short(leg.hours * 60, 1) if holds else "",
        clock(leg.from_hours + leg.hours),
    )
    filled = (el("td", cell, class_="num") for cell in cells)
    return el("tr", el("th", str(number), scope="row"), join(*filled), el("td", class_="write"))


def _cones() -> Html:
    """Three cones for each shelf, each with a place for its number and a box for every way it may look."""
    columns = listed("firing_sheet.cones_columns")
    rows = []
    for shelf in listed("firing_sheet.shelves"):
        for number in range(1, CONES_A_SHELF + 1):
            first = el("th", shelf, scope="rowgroup", rowspan=str(CONES_A_SHELF)) if number == 1 else ""
            boxes = (
                el("td", box(say("firing_sheet.cones_box", shelf=shelf, number=number, state=state))) for state in columns[2:]
            )
            rows.append(el("tr", first, el("td", class_="write"), join(*boxes)))
    caption = el("caption", say("firing_sheet.cones_caption"), class_="unseen")
    table = el("table", caption, head_row(columns), el("tbody", *rows), class_="grid cones many")
    return scroll(say("firing_sheet.cones_caption"), table)


def _readings(schedule: Schedule | None) -> Html:
    """A line for every hour of the plan with what is asked for then, and empty lines below."""
    columns = listed("firing_sheet.readings_columns")
    hours = range(min(ceil(schedule.hours), READING_ROWS - 1) + 1) if schedule else range(0)
    rows = []
    for line in range(READING_ROWS):
        planned = ""
        if schedule and line in hours:
            planned = show_number(schedule.temp_at(min(line, schedule.hours)), 0)
        hour = clock(min(line, schedule.hours)) if schedule and planned else ""
        known = (el("td", text, class_="num") if text else el("td", class_="write") for text in (hour, planned))
        rows.append(el("tr", el("td", class_="write"), join(*known), el("td", class_="write"), el("td", class_="write")))
    caption = el("caption", say("firing_sheet.readings_caption"), class_="unseen")
    table = el("table", caption, head_row(columns), el("tbody", *rows), class_="grid readings")
    return scroll(say("firing_sheet.readings_caption"), table)
