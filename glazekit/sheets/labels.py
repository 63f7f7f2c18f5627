"""The label strip: bucket, lid, what to write on a tile's back, and small labels to cut."""

from glazekit.drawing.markup import Html, el
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.batch_sheet import firing_words
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import fields, sentence, ticks

LOUD_KEYS = ("toxic", "poison", "barytes", "lithium", "sensitising", "caustic", "unknown", "decorative")
"""Cautions that follow the bucket wherever it goes."""
_SAY = Say("labels")


def label_strip_html(
    recipe: Recipe, *, label: str = "", date: str = "", who: str = "", small_labels: int = 6, stock: Stock | None = None
) -> str:
    """Labels to cut out, for one batch of a glaze.

    Name of the batch, day and initials are printed when given, else a line to write on; ``stock`` is where the names are looked
    up, for the cautions on the bucket. Raises UnknownMaterialError for a name not in the stock.
    """
    batch = fields(_SAY, batch=label, date=date, initials=who)
    name = el("p", recipe.name, class_="name")
    bucket = _label(
        _SAY("bucket"),
        el("p", recipe.name, class_="name big"),
        el("p", firing_words(recipe)),
        batch,
        fields(_SAY, "water", "weighs"),
        el("p", _SAY("inside", materials=", ".join(recipe.materials()))),
        *(el("p", sentence(line), class_="loud") for line in _loud(recipe, stock)),
        el("p", _SAY("untested")),
        el("p", _SAY("stir")),
    )
    lid = _label(_SAY("lid"), name, el("p", firing_words(recipe)), batch)
    back = _label(_SAY("tile"), el("p", _SAY("tile_hint")), name, batch, _fire(recipe))
    small = [el("div", name, batch, _fire(recipe), class_="label small-label")] * small_labels
    return sheet_page(
        _SAY,
        bucket,
        el("div", lid, back, class_="pair labels"),
        el("div", *small, class_="labels threes"),
        title=_SAY("title", recipe=recipe.name),
    )


def _label(what: str, *body: str) -> Html:
    return el("section", el("h2", what, class_="what"), *body, class_="label")


def _fire(recipe: Recipe) -> Html:
    """Cone, and two boxes for what the kiln really was."""
    cone = Say("batch")("cone", cone=recipe.cone) if recipe.cone else _SAY("cone_blank")
    return el("div", el("span", cone), ticks(_SAY.all("atmospheres")), class_="fire")


def _loud(recipe: Recipe, stock: Stock | None) -> tuple[str, ...]:
    """What the next person who opens the bucket must know."""
    found = [one for moment in ("mixing", "using") for one in cautions_for(recipe, stock, moment) if one.key in LOUD_KEYS]
    return tuple(dict.fromkeys(one.text for one in found))


SHEET = Sheet("label strip", label_strip_html, recipes=(("recipe", "Gangway Clear"),))
