"""The fit test card of lesson 9: two tiles, looked at on day 1, after a week and after a month, then boiling and ice water."""

from glazekit.drawing.markup import Html, el
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import WRITE, box, fields, grid, paragraphs, part, row, step, warning, wide

_SAY = Say("fit_card")


def fit_card_html(
    recipe: Recipe | None = None, reference: Recipe | None = None, *, body: str = "", batch_no: str = "", date: str = ""
) -> str:
    """One page that stays with two tiles for a month.

    The glaze to test, the fired one it is compared with, clay, batch and day are printed when given, else a line to write on.
    """
    glaze = {} if recipe else {"glaze": ""}
    given = {"batch": batch_no, "reference": reference.name if reference else "", "body": body}
    rest = dict.fromkeys(("firing", "reached", "coat", "coat_reference"), "")
    return sheet_page(
        _SAY,
        fields(_SAY, **glaze, **given, **rest, date=date),
        warning(_SAY, stop=True),
        step(1, _SAY("cool_title"), el("p", _SAY("cool")), _looks()),
        step(2, _SAY("boil_title"), warning(_SAY, "boil_caution"), el("p", _SAY("boil")), _rounds()),
        part(_SAY("means_title"), paragraphs(_SAY.all("means")), wide(_SAY("next")), class_="framed"),
        title=_SAY("title_named", recipe=recipe.name) if recipe else "",
    )


def _looks() -> Html:
    """Three looks at two tiles: a box for what is there, and how far apart the cracks are."""
    when, date, *tiles = _SAY.all("look_columns")
    seen, apart = _SAY.all("seen"), _SAY("apart")
    tall = (el("th", name, scope="col", rowspan=2) for name in (when, date))
    over = (el("th", tile, scope="colgroup", colspan=len(seen) + 1) for tile in tiles)
    under = (el("th", name, scope="col") for _ in tiles for name in (*seen, apart))
    rows = []
    for look in _SAY.all("look_rows"):
        names = [[_SAY("look_box", tile=tile, when=look, what=what) for what in seen] for tile in tiles]
        rows.append(row(look, WRITE, *(cell for tile in names for cell in (*(el("td", box(name)) for name in tile), WRITE))))
    return grid(_SAY("look_caption"), el("thead", el("tr", *tall, *over), el("tr", *under)), rows, class_="looks")


def _rounds() -> Html:
    """A box for each round of each tile."""
    columns = _SAY.all("boil_columns")
    rows = []
    for tile in _SAY.all("boil_rows"):
        names = (_SAY("boil_box", tile=tile, round=number) for number in columns[1:-1])
        rows.append(row(tile, *(el("td", box(name)) for name in names), WRITE))
    return grid(_SAY("boil_caption"), columns, rows, class_="rounds")


SHEET = Sheet("fit test card", fit_card_html, recipes=(("recipe", "Cracked Lamp"), ("reference", "Gangway Clear")))
