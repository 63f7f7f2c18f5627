"""The label strip: bucket, lid, what to write on a tile's back, and small labels to cut."""

from __future__ import annotations

from glazekit.drawing.markup import Html, el
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.batch_sheet import firing_words
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import form, sentence, ticks, write_in
from glazekit.sheets.wording import listed, say

LOUD_KEYS = ("toxic", "poison", "lithium", "unknown", "decorative")
"""Cautions that follow the bucket wherever it goes."""


def label_strip_html(
    recipe: Recipe, *, batch: str = "", date: str = "", initials: str = "", small_labels: int = 6, stock: Stock | None = None
) -> str:
    """Labels to cut out, for one batch of a glaze.

    Parameters
    ----------
    recipe : its name, firing and materials are printed.
    batch, date, initials : printed when given, else a line to write on.
    small_labels : how many small ones.
    stock : where the names are looked up, for the cautions on the bucket.

    Raises UnknownMaterialError for a name not in the stock.
    """
    who = (
        write_in(say("labels.batch"), batch),
        write_in(say("labels.date"), date),
        write_in(say("labels.initials"), initials),
    )
    name = el("p", recipe.name, class_="name")
    water = write_in(say("labels.water"), unit=say("labels.water_unit"))
    weighs = write_in(say("labels.weighs"), unit=say("labels.weighs_unit"))
    bucket = _label(
        say("labels.bucket"),
        el("p", recipe.name, class_="name big"),
        el("p", firing_words(recipe)),
        form(*who),
        form(water, weighs),
        el("p", say("labels.inside", materials=", ".join(recipe.materials()))),
        *(el("p", sentence(line), class_="loud") for line in _loud(recipe, stock)),
        el("p", say("labels.untested")),
        el("p", say("labels.stir")),
    )
    lid = _label(say("labels.lid"), name, el("p", firing_words(recipe)), form(*who))
    back = _label(say("labels.tile"), el("p", say("labels.tile_hint")), name, form(*who), _fire(recipe))
    small = [el("div", name, form(*who), _fire(recipe), class_="label small-label") for _ in range(small_labels)]
    return page(
        say("labels.title", recipe=recipe.name),
        heading(say("labels.kind"), say("labels.title", recipe=recipe.name), say("labels.facts")),
        bucket,
        el("div", lid, back, class_="pair labels"),
        el("div", *small, class_="labels threes"),
    )


def _label(what: str, *body: str) -> Html:
    return el("section", el("h2", what, class_="what"), *body, class_="label")


def _fire(recipe: Recipe) -> Html:
    """Cone, and two boxes for what the kiln really was."""
    cone = say("batch.cone", cone=recipe.cone) if recipe.cone else say("labels.cone_blank")
    return el("div", el("span", cone), ticks(listed("labels.atmospheres")), class_="fire")


def _loud(recipe: Recipe, stock: Stock | None) -> tuple[str, ...]:
    """What the next person who opens the bucket must know."""
    found = [one for moment in ("mixing", "using") for one in cautions_for(recipe, stock, moment) if one.key in LOUD_KEYS]
    return tuple(dict.fromkeys(one.text for one in found))
