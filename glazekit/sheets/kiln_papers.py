"""Papers for the kiln room: the shelf plan of lesson 10, and the page of faults as they are seen, the cheapest test first."""

from collections.abc import Sequence

from glazekit.drawing.markup import Html, el
from glazekit.ground.tables import Row, read_table
from glazekit.kiln.firing import blocked_in
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import WRITE, box, caution, fields, grid, num, part, row, sentence, table, ticks, warning

LINES = 7
"""Lines of the list; more when more recipes are given."""
_PLAN, _FAULTS = Say("shelf_plan"), Say("faults")


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
    """One page to plan a firing on. The names of the glazes to be fired are printed, and zinc is marked. With an ``atmosphere``
    ("oxidation", "reduction" or "neutral"), a recipe that must not go into it is printed as a stop; a ``fuel`` with a flame
    ("gas") stops zinc whatever the atmosphere. ``stock``: where the materials are looked up; the course's materials when not
    given. Raises UnknownMaterialError for a material not in the stock, FiringError for another atmosphere."""
    stops = [_PLAN("zinc")]
    blocked = blocked_in(recipes, atmosphere or "neutral", fuel, stock)
    if blocked:
        stops.append(_PLAN("blocked", recipes=", ".join(dict.fromkeys(one.recipe for one in blocked))))
    air = el("p", el("strong", atmosphere)) if atmosphere else ticks(_PLAN.all("air"))
    return sheet_page(
        _PLAN,
        fields(_PLAN, kiln=kiln, number="", date=fired_on, cone=""),
        el("div", el("h2", _PLAN("air_title")), air, class_="tick-line"),
        el("p", _PLAN("split")),
        caution(_PLAN("zinc_word"), stops, stop=True),
        warning(_PLAN, "slab"),
        el("div", *map(_shelf, _PLAN.all("shelves")), class_="threes shelves"),
        part(_PLAN("list_title"), _list(recipes, stock)),
        caution(_PLAN("hands_word"), [_PLAN("hands")]),
    )


def _shelf(name: str) -> Html:
    """An empty square to draw in, with its front marked."""
    square = el("div", el("span", _PLAN("front")), class_="shelf")
    return el("section", el("h3", _PLAN("shelf", shelf=name)), square, ticks(_PLAN.all("shelf_ticks")))


def _list(recipes: Sequence[Recipe], stock: Stock | None) -> Html:
    columns = _PLAN.all("list_columns")
    with_zinc = {
        recipe.name for recipe in recipes if any(one.key.startswith("zinc") for one in cautions_for(recipe, stock, "firing"))
    }
    names = [recipe.name for recipe in recipes] + [""] * (LINES - len(recipes))
    rows = []
    for line, name in enumerate(names, start=1):
        glaze = el("td", name, el("strong", f" ({_PLAN('has_zinc')})") if name in with_zinc else "")
        boxes = (el("td", box(_PLAN("list_box", line=line, what=what))) for what in columns[3:])
        rows.append(el("tr", WRITE, glaze, WRITE, *boxes))
    return grid(_PLAN("list_caption"), columns, rows, class_="grid many places")


@printed_as("what happened")
def what_happened_html() -> str:
    """The page of faults, from data/faults.csv."""
    groups = (_fault(name, rows) for name, rows in faults().items())
    return sheet_page(
        _FAULTS,
        warning(_FAULTS),
        table(_FAULTS("status"), _FAULTS.all("columns"), *groups, class_="faults", head_classes=("", "", "num")),
    )


def faults() -> dict[str, list[Row]]:
    """Fault -> its rows of data/faults.csv, cheapest test first.

    >>> [row["lesson"] for row in faults()["ran"]][0]
    10
    """
    found: dict[str, list[Row]] = {cause["fault"]: [] for cause in read_table("faults")}
    for cause in sorted(read_table("faults"), key=lambda cause: cause["cheapest_first"]):
        found[cause["fault"]].append(cause)
    return found


def _fault(name: str, causes: list[Row]) -> list[Html]:
    title = el("strong", sentence(name), class_="fault-name")
    seen = el("tr", el("th", title, " ", causes[0]["seen"], colspan=3, scope="rowgroup"), class_="seen")
    return [seen, *(row(cause["likely_cause"], cause["cheap_test"], num(str(cause["lesson"]))) for cause in causes)]
