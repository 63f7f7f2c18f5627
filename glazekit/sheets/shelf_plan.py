"""The shelf plan of lesson 10: who stands where, what stands on a waste slab, and what never goes into this firing."""

from collections.abc import Sequence

from glazekit.drawing.markup import Html, el
from glazekit.kiln.firing import blocked_in
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import WRITE, box, caution, fields, grid, part, ticks, warning

LINES = 7
"""Lines of the list; more when more recipes are given."""
_SAY = Say("shelf_plan")


@printed_as("shelf plan")
def shelf_plan_html(
    recipes: Sequence[Recipe] = (),
    *,
    atmosphere: str = "",
    fuel: str = "",
    stock: Stock | None = None,
    kiln: str = "",
    fired_on: str = "",
) -> str:
    """One page to plan a firing on.

    The names of the glazes to be fired are printed, and zinc is marked. With an ``atmosphere`` ("oxidation", "reduction" or
    "neutral"), a recipe that must not go into it is printed as a stop; a ``fuel`` with a flame ("gas") stops zinc whatever
    the atmosphere. ``stock``: where the materials are looked up; the course's materials when not given.

    Raises UnknownMaterialError for a material not in the stock, FiringError for another atmosphere.
    """
    stops = [_SAY("zinc")]
    blocked = blocked_in(recipes, atmosphere or "neutral", fuel, stock)
    if blocked:
        stops.append(_SAY("blocked", recipes=", ".join(dict.fromkeys(one.recipe for one in blocked))))
    air = el("p", el("strong", atmosphere)) if atmosphere else ticks(_SAY.all("air"))
    return sheet_page(
        _SAY,
        fields(_SAY, kiln=kiln, number="", date=fired_on, cone=""),
        el("div", el("h2", _SAY("air_title")), air, class_="tick-line"),
        el("p", _SAY("split")),
        caution(_SAY("zinc_word"), stops, stop=True),
        warning(_SAY, "slab"),
        el("div", *map(_shelf, _SAY.all("shelves")), class_="threes shelves"),
        part(_SAY("list_title"), _list(recipes, stock)),
        caution(_SAY("hands_word"), [_SAY("hands")]),
    )


def _shelf(name: str) -> Html:
    """An empty square to draw in, with its front marked."""
    square = el("div", el("span", _SAY("front")), class_="shelf")
    return el("section", el("h3", _SAY("shelf", shelf=name)), square, ticks(_SAY.all("shelf_ticks")))


def _list(recipes: Sequence[Recipe], stock: Stock | None) -> Html:
    columns = _SAY.all("list_columns")
    with_zinc = {one.recipe for one in blocked_in(recipes, "reduction", stock=stock)}
    names = [recipe.name for recipe in recipes] + [""] * (LINES - len(recipes))
    rows = []
    for line, name in enumerate(names, start=1):
        glaze = el("td", name, el("strong", f" ({_SAY('has_zinc')})") if name in with_zinc else "")
        boxes = (el("td", box(_SAY("list_box", line=line, what=what))) for what in columns[3:])
        rows.append(el("tr", WRITE, glaze, WRITE, *boxes))
    return grid(_SAY("list_caption"), columns, rows, class_="many places")
