"""The shelf plan of lesson 10: who stands where, what stands on a waste slab, and what never goes into this firing."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.drawing.markup import Html, el, join
from glazekit.kiln.atmosphere import blocked_in
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import box, caution, form, head_row, scroll, ticks, write_in
from glazekit.sheets.wording import listed, say

LINES = 7
"""Lines of the list; more when more recipes are given."""


def shelf_plan_html(
    recipes: Sequence[Recipe] = (),
    *,
    atmosphere: str = "",
    fuel: str = "",
    stock: Stock | None = None,
    kiln: str = "",
    date: str = "",
) -> str:
    """One page to plan a firing on.

    Parameters
    ----------
    recipes : the glazes to be fired; their names are printed, and zinc is marked.
    atmosphere : "oxidation", "reduction" or "neutral"; when given, a recipe that must not go into it is printed as a stop.
    fuel : of the kiln, such as "gas"; a flame stops zinc whatever the atmosphere.
    stock : where the materials are looked up; the course's materials when not given.
    kiln, date : printed when given, else a line to write on.

    Raises UnknownMaterialError for a material not in the stock, FiringError for another atmosphere.
    """
    stops = [say("shelf_plan.zinc")]
    blocked = blocked_in(recipes, atmosphere or "neutral", fuel, stock)
    if blocked:
        stops.append(say("shelf_plan.blocked", recipes=", ".join(dict.fromkeys(one.recipe for one in blocked))))
    return page(
        say("shelf_plan.title"),
        heading(say("shelf_plan.kind"), say("shelf_plan.title"), say("shelf_plan.facts")),
        form(
            write_in(say("shelf_plan.kiln"), kiln),
            write_in(say("shelf_plan.number")),
            write_in(say("shelf_plan.date"), date),
            write_in(say("shelf_plan.cone")),
        ),
        el("div", el("h2", say("shelf_plan.air_title")), _air(atmosphere), class_="tick-line"),
        el("p", say("shelf_plan.split")),
        caution(say("shelf_plan.zinc_word"), stops, "caution stop"),
        caution(say("shelf_plan.slab_word"), listed("shelf_plan.slabs")),
        el("div", *(_shelf(name) for name in listed("shelf_plan.shelves")), class_="threes shelves"),
        el("section", el("h2", say("shelf_plan.list_title")), _list(recipes, stock), class_="plain-part"),
        caution(say("shelf_plan.hands_word"), [say("shelf_plan.hands")]),
    )


def _air(atmosphere: str) -> Html:
    return el("p", el("strong", atmosphere)) if atmosphere else ticks(listed("shelf_plan.air"))


def _shelf(name: str) -> Html:
    """An empty square to draw in, with its front marked."""
    return el(
        "section",
        el("h3", say("shelf_plan.shelf", shelf=name)),
        el("div", el("span", say("shelf_plan.front")), class_="shelf"),
        ticks(listed("shelf_plan.shelf_ticks")),
    )


def _list(recipes: Sequence[Recipe], stock: Stock | None) -> Html:
    columns = listed("shelf_plan.list_columns")
    with_zinc = {one.recipe for one in blocked_in(recipes, "reduction", stock=stock)}
    rows = []
    for line in range(1, max(LINES, len(recipes)) + 1):
        name = recipes[line - 1].name if line <= len(recipes) else ""
        glaze = el("td", name, el("strong", f" ({say('shelf_plan.has_zinc')})") if name in with_zinc else "")
        boxes = (el("td", box(say("shelf_plan.list_box", line=line, what=what))) for what in columns[3:])
        rows.append(el("tr", el("td", class_="write"), glaze, el("td", class_="write"), join(*boxes)))
    caption = el("caption", say("shelf_plan.list_caption"), class_="unseen")
    table = el("table", caption, head_row(columns), el("tbody", *rows), class_="grid many places")
    return scroll(say("shelf_plan.list_caption"), table)
