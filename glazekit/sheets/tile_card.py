"""The tile card: two cards for two tiles of one batch, from the coat to what was seen."""

from glazekit.drawing.markup import Html, el
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.batch_sheet import firing_words
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, page
from glazekit.sheets.parts import fields, tick_line, ticks, wide, write_in

CARDS_A_PAGE = 2
_SAY = Say("tile")


def tile_card_html(recipe: Recipe | None = None, *, label: str = "", date: str = "", who: str = "") -> str:
    """Two cards for two tiles of one batch: how each was coated, fired, and what is there to see.

    Name and firing of the recipe, name of the batch, day and initials are printed when given, else a line to write on.
    """
    name = recipe.name if recipe else _SAY("blank")
    return page(f"{name} - {_SAY('kind')}", *[_card(recipe, label, date, who)] * CARDS_A_PAGE)


def _card(recipe: Recipe | None, label: str, date: str, who: str) -> Html:
    top = el(
        "div",
        el("p", _SAY("kind"), class_="kind"),
        el("h1", recipe.name if recipe else el("span", class_="line title-line")),
        el("p", firing_words(recipe)) if recipe else "",
        el("p", _SAY("untested")),
        fields(_SAY, "tile_no", batch=label, date=date, initials=who),
    )
    return el(
        "article",
        el("div", top, el("div", _SAY("sketch"), class_="sketch"), class_="tile-top"),
        tick_line(_SAY("coat_title"), _SAY.all("applied"), write_in(_SAY("seconds"))),
        fields(_SAY, "body", "water", "coat"),
        wide(_SAY("prediction")),
        tick_line(_SAY("fire_title"), _SAY.all("atmospheres")),
        fields(_SAY, "firing", "place", "reached"),
        tick_line(_SAY("look_title"), _SAY.all("surfaces")),
        ticks(_SAY.all("seen")),
        wide(_SAY("colour")),
        wide(_SAY("next")),
        class_="card tile-card",
    )


SHEET = Sheet("tile card", tile_card_html, recipes=(("recipe", "Gangway Clear"),))
