"""The fit test card of lesson 9: two tiles, looked at on day 1, after a week and after a month, then boiling and ice water."""

from __future__ import annotations

from glazekit.drawing.markup import Html, el, join
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import box, caution, form, head_row, scroll, step, write_in
from glazekit.sheets.wording import listed, say


def fit_card_html(recipe: Recipe | None = None, *, reference: str = "", body: str = "", batch: str = "", date: str = "") -> str:
    """One page that stays with two tiles for a month.

    Parameters
    ----------
    recipe : the glaze to test; None leaves a line to write on.
    reference : name of the fired glaze it is compared with.
    body, batch, date : printed when given, else a line to write on.
    """
    title = say("fit_card.title_named", recipe=recipe.name) if recipe else say("fit_card.title")
    return page(
        title,
        heading(say("fit_card.kind"), title, say("fit_card.facts")),
        form(
            *(() if recipe else (write_in(say("fit_card.glaze")),)),
            write_in(say("fit_card.batch"), batch),
            write_in(say("fit_card.reference"), reference),
            write_in(say("fit_card.body"), body),
            write_in(say("fit_card.firing")),
            write_in(say("fit_card.reached")),
            write_in(say("fit_card.coat"), unit=say("fit_card.coat_unit")),
            write_in(say("fit_card.coat_reference"), unit=say("fit_card.coat_unit")),
            write_in(say("fit_card.date"), date),
        ),
        caution(say("fit_card.caution_word"), listed("fit_card.cautions"), "caution stop"),
        step(1, say("fit_card.cool_title"), el("p", say("fit_card.cool")), _looks()),
        step(
            2,
            say("fit_card.boil_title"),
            caution(say("fit_card.boil_caution_word"), listed("fit_card.boil_cautions")),
            el("p", say("fit_card.boil")),
            _rounds(),
        ),
        el(
            "section",
            el("h2", say("fit_card.means_title")),
            *(el("p", line) for line in listed("fit_card.means")),
            form(write_in(say("fit_card.next"), class_="write-in wide")),
            class_="framed",
        ),
    )


def _looks() -> Html:
    """Three looks at two tiles: a box for what is there, and how far apart the cracks are."""
    when, date, *tiles = listed("fit_card.look_columns")
    seen, apart = listed("fit_card.seen"), say("fit_card.apart")
    tall = (el("th", name, scope="col", rowspan="2") for name in (when, date))
    wide = (el("th", tile, scope="colgroup", colspan=str(len(seen) + 1)) for tile in tiles)
    heads = el(
        "thead", el("tr", *tall, *wide), el("tr", *(el("th", name, scope="col") for _ in tiles for name in (*seen, apart)))
    )
    rows = []
    for look in listed("fit_card.look_rows"):
        cells = []
        for tile in tiles:
            cells += [el("td", box(say("fit_card.look_box", tile=tile, when=look, what=what))) for what in seen]
            cells.append(el("td", class_="write"))
        rows.append(el("tr", el("th", look, scope="row"), el("td", class_="write"), *cells))
    caption = el("caption", say("fit_card.look_caption"), class_="unseen")
    table = el("table", caption, heads, el("tbody", *rows), class_="grid looks")
    return scroll(say("fit_card.look_caption"), table)


def _rounds() -> Html:
    """A box for each round of each tile."""
    columns = listed("fit_card.boil_columns")
    rows = []
    for tile in listed("fit_card.boil_rows"):
        boxes = (el("td", box(say("fit_card.boil_box", tile=tile, round=number))) for number in columns[1:-1])
        rows.append(el("tr", el("th", tile, scope="row"), join(*boxes), el("td", class_="write")))
    caption = el("caption", say("fit_card.boil_caption"), class_="unseen")
    table = el("table", caption, head_row(columns), el("tbody", *rows), class_="grid rounds")
    return scroll(say("fit_card.boil_caption"), table)
