"""What goes with bucket and tiles: the label strip, and the card that follows two tiles of one batch to what was seen."""

from glazekit.drawing.markup import Html, el, join
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.reading import faulty_on_purpose
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.batch_sheet import firing_words
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, page, sheet_page
from glazekit.sheets.parts import fields, sentence, stops, tick_line, ticks, wide, write_in

LOUD_KEYS = ("toxic", "poison", "barytes", "lithium", "sensitising", "caustic", "unknown", "decorative")
"""Cautions that follow the bucket wherever it goes."""
CARDS_A_PAGE = 2
AIRS = ("oxidation", "reduction")
_LABELS, _TILE = Say("labels"), Say("tile")


@printed_as("label strip", ("recipe", "Gangway Clear"))
def label_strip_html(
    recipe: Recipe, *, label: str = "", date: str = "", who: str = "", small_labels: int = 6, stock: Stock | None = None
) -> str:
    """Labels to cut out, for one batch of a glaze. Name of the batch, day and initials are printed when given, else a line to
    write on; ``stock`` is where the names are looked up, for the cautions on the bucket (UnknownMaterialError for a stranger)."""
    # what the next person who opens the bucket must know
    loud = [one.text for moment in ("mixing", "using") for one in cautions_for(recipe, stock, moment) if one.key in LOUD_KEYS]
    batch = fields(_LABELS, batch=label, date=date, initials=who)
    name = el("p", recipe.name, class_="name")
    bucket = _label(
        _LABELS("bucket"),
        el("p", recipe.name, class_="name big"),
        _fault(recipe),
        el("p", firing_words(recipe)),
        batch,
        fields(_LABELS, "water", "weighs"),
        el("p", _LABELS("inside", materials=", ".join(recipe.materials()))),
        *(el("p", sentence(line), class_="loud") for line in dict.fromkeys(loud)),
        el("p", _LABELS("untested")),
        el("p", _LABELS("stir")),
    )
    lid = _label(_LABELS("lid"), name, _fault(recipe), el("p", firing_words(recipe)), batch)
    cone = Say("batch")("cone", cone=recipe.cone) if recipe.cone else _LABELS("cone_blank")
    fire = el("div", el("span", cone), ticks(*_airs(_LABELS, recipe, stock)), class_="fire")
    back = _label(_LABELS("tile"), el("p", _LABELS("tile_hint")), name, batch, fire)
    small = [el("div", name, batch, fire, class_="label small-label")] * small_labels
    return sheet_page(
        _LABELS,
        bucket,
        el("div", lid, back, class_="pair labels"),
        el("div", *small, class_="labels threes"),
        title=_LABELS("title", recipe=recipe.name),
    )


def _label(what: str, *body: str) -> Html:
    return el("section", el("h2", what, class_="what"), *body, class_="label")


def _airs(say: Say, recipe: Recipe | None, stock: Stock | None) -> tuple[list[str], str]:
    """Labels of the boxes for the air of the kiln, and the one the recipe asks for. No reduction where zinc is in it."""
    labels = dict(zip(AIRS, say.all("atmospheres"), strict=True))
    if recipe is None:
        return list(labels.values()), ""
    if any(one.key.startswith("zinc") for one in cautions_for(recipe, stock, "firing")):
        del labels["reduction"]
    said = [air for air in AIRS if air in recipe.atmosphere.casefold()]
    return list(labels.values()), labels.get(said[0], "") if len(said) == 1 else ""


def _fault(recipe: Recipe) -> Html:
    """What must be known of a glaze that goes wrong on purpose."""
    return el("p", _LABELS("fault"), class_="loud") if faulty_on_purpose(recipe.name) else Html("")


@printed_as("tile card", ("recipe", "Gangway Clear"))
def tile_card_html(
    recipe: Recipe | None = None, *, label: str = "", date: str = "", who: str = "", stock: Stock | None = None
) -> str:
    """Two cards for two tiles of one batch: how each was coated, fired, and what is there to see. Name and firing of the recipe,
    name of the batch, day and initials are printed when given, else a line to write on. ``stock`` is as for the labels."""
    name = recipe.name if recipe else _TILE("blank")
    return page(f"{name} - {_TILE('kind')}", *[_card(recipe, label, date, who, stock)] * CARDS_A_PAGE)


def _card(recipe: Recipe | None, label: str, date: str, who: str, stock: Stock | None) -> Html:
    airs, ticked = _airs(_TILE, recipe, stock)
    top = el(
        "div",
        el("p", _TILE("kind"), class_="kind"),
        el("h1", recipe.name if recipe else el("span", class_="line title-line")),
        join(_fault(recipe), el("p", firing_words(recipe))) if recipe else "",
        el("p", _TILE("untested")),
        stops(recipe, stock, "firing", "using"),
        fields(_TILE, "tile_no", batch=label, date=date, initials=who),
    )
    return el(
        "article",
        el("div", top, el("div", _TILE("sketch"), class_="sketch"), class_="tile-top"),
        tick_line(_TILE("coat_title"), _TILE.all("applied"), write_in(_TILE("seconds"))),
        fields(_TILE, "body", "water", "coat"),
        wide(_TILE("prediction")),
        tick_line(_TILE("fire_title"), airs, ticked=ticked),
        fields(_TILE, "firing", "place", "reached"),
        tick_line(_TILE("look_title"), _TILE.all("surfaces")),
        ticks(_TILE.all("seen")),
        wide(_TILE("colour")),
        wide(_TILE("next")),
        class_="card tile-card",
    )
