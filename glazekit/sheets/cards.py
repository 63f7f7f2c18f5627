"""Cards for the glaze room: the tile card, the twelve steps of lesson 1 and one small card for each lesson."""

from __future__ import annotations

from glazekit.drawing.markup import Html, el, join
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.batch_sheet import firing_words
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import caution, form, ticks, write_in
from glazekit.sheets.wording import listed, say, words

CARDS_A_PAGE = 2


def tile_card_html(recipe: Recipe | None = None, *, batch: str = "", date: str = "", initials: str = "") -> str:
    """Two cards for two tiles of one batch: how each was coated, fired, and what is there to see.

    Parameters
    ----------
    recipe : its name and firing are printed; None leaves a line to write on.
    batch, date, initials : printed when given, else a line to write on.
    """
    card = _tile_card(recipe, batch, date, initials)
    name = recipe.name if recipe else say("tile.blank")
    return page(f"{name} - {say('tile.kind')}", *(card for _ in range(CARDS_A_PAGE)))


def _tile_card(recipe: Recipe | None, batch: str, date: str, initials: str) -> Html:
    title = el("h1", recipe.name if recipe else el("span", class_="line title-line"))
    who = form(
        write_in(say("tile.tile_no")),
        write_in(say("tile.batch"), batch),
        write_in(say("tile.date"), date),
        write_in(say("tile.initials"), initials),
    )
    top = el(
        "div",
        el("p", say("tile.kind"), class_="kind"),
        title,
        el("p", firing_words(recipe)) if recipe else "",
        el("p", say("tile.untested")),
        who,
    )
    coat = form(
        write_in(say("tile.body")),
        write_in(say("tile.water"), unit=say("tile.water_unit")),
        write_in(say("tile.coat"), unit=say("tile.coat_unit")),
    )
    fire = form(write_in(say("tile.firing")), write_in(say("tile.place")), write_in(say("tile.reached")))
    return el(
        "article",
        el("div", top, el("div", say("tile.sketch"), class_="sketch"), class_="tile-top"),
        _tick_line("tile.coat_title", listed("tile.applied"), write_in(say("tile.seconds"))),
        coat,
        form(write_in(say("tile.prediction"), class_="write-in wide")),
        _tick_line("tile.fire_title", listed("tile.atmospheres")),
        fire,
        _tick_line("tile.look_title", listed("tile.surfaces")),
        ticks(listed("tile.seen")),
        form(write_in(say("tile.colour"), class_="write-in wide")),
        form(write_in(say("tile.next"), class_="write-in wide")),
        class_="card tile-card",
    )


def _tick_line(title_key: str, labels: tuple[str, ...], *more: str) -> Html:
    return el("div", el("h2", say(title_key)), ticks(labels), *more, class_="tick-line")


def step_card_html() -> str:
    """The twelve steps of the first batch on one page, the dust moments marked."""
    steps = words("step_card.steps")
    dusty = [step for step in steps if "dust" in step]
    items = []
    for step in steps:
        mark = say("step_card.dust", number=dusty.index(step) + 1, count=len(dusty)) if "dust" in step else ""
        body = join(el("strong", step["title"]), " ", step["text"])
        items.append(el("li", el("span", class_="box"), el("div", el("p", body), caution(mark, [step["dust"]] if mark else []))))
    rules = (el("p", rule) for rule in listed("step_card.rules"))
    return page(
        say("step_card.title"),
        heading(say("step_card.kind"), say("step_card.title"), say("step_card.facts")),
        el("ol", *items, class_="steps"),
        el("section", *rules, class_="framed"),
    )


def studio_card_html(lesson: str) -> str:
    """The card of one lesson to take to the studio, printed twice: one to keep, one to pass on.

    Parameters
    ----------
    lesson : its number, such as "01".

    Raises DataError for a lesson that has no card.
    """
    key = f"lesson_{lesson}.studio"
    card = el(
        "article",
        el("p", say("studio.kind", number=int(lesson)), class_="kind"),
        el("h1", say(f"{key}.title")),
        el("ol", *(el("li", line) for line in listed(f"{key}.lines"))),
        caution(say(f"{key}.caution_word"), [say(f"{key}.caution")]),
        el("p", el("strong", say("studio.bring_title")), class_="bring"),
        form(*(write_in(what) for what in listed(f"{key}.bring"))),
        class_="card studio-card",
    )
    copy = Html(card.replace("<article", '<article aria-hidden="true"', 1))
    return page(say(f"{key}.title"), card, el("div", copy, class_="print-only"))
