"""The papers of a lesson: its card for the studio and its home version, and the card with the steps of the first batch."""

from collections.abc import Mapping
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, page, sheet_page, words
from glazekit.sheets.parts import blank_rows, caution, form, lines, paragraphs, step, table, write_in

_STEPS = Say("step_card")


@printed_as("step card")
def step_card_html() -> str:
    """The card to hang above the bench."""
    steps = words("step_card.steps")
    dusty = [one for one in steps if "dust" in one]
    items = []
    for one in steps:
        mark = _STEPS("dust", number=dusty.index(one) + 1, count=len(dusty)) if one in dusty else ""
        body = _titled(one["title"], one["text"])
        items.append(el("li", el("span", class_="box"), el("div", body, caution(mark, [one["dust"]] if mark else []))))
    rules = el("section", paragraphs(_STEPS.all("rules")), class_="framed")
    return sheet_page(_STEPS, el("ol", *items, class_="steps"), rules)


@printed_as("studio card")
def studio_card_html(lesson: str) -> str:
    """The card of one lesson, such as "01", printed twice: one to keep, one to pass on. Raises DataError where there is none."""
    say, of_all = Say(f"lesson_{lesson}.studio"), Say("studio")
    inside = (
        el("p", of_all("kind", number=int(lesson)), class_="kind"),
        el("h1", say("title")),
        el("ol", *(el("li", line) for line in say.all("lines"))),
        caution(say("caution_word"), [say("caution")]),
        el("p", el("strong", of_all("bring_title")), class_="bring"),
        lines(say.all("bring")),
    )
    card, copy = (el("article", *inside, class_="card studio-card", aria_hidden=hidden) for hidden in ("", "true"))
    return page(say("title"), card, el("div", copy, class_="print-only"))


@printed_as("home page")
def home_page_html(lesson: str) -> str:
    """One page to do a lesson, such as "03", at home. Raises DataError for a lesson that has no home version."""
    say, figures = Say(f"lesson_{lesson}.home"), figures_of(lesson)
    end = Say(f"{say.table}.end")
    return sheet_page(
        say,
        _titled(say("need_title"), say("need", **figures)),
        caution(say("caution_word"), say.all("cautions", **figures)),
        *(_step(number, part, figures) for number, part in enumerate(words(f"{say.table}.steps"), start=1)),
        _titled(end("title"), end("text", **figures), class_="plain-part"),
        facts=say("facts", **figures),
    )


def _titled(title: str, text: str, class_: str = "") -> Html:
    return el("p", el("strong", title), " ", text, class_=class_)


def _step(number: int, part: Mapping[str, Any], figures: Mapping[str, str]) -> Html:
    def filled(texts: list[str]) -> list[str]:
        return [text.format(**figures) for text in texts]

    body = [el("p", text) for text in filled([part["text"]])]
    if "fields" in part:
        body.append(form(*(write_in(label, unit=unit) for label, unit in map(filled, part["fields"]))))
    if "columns" in part:
        columns, firsts = filled(part["columns"]), filled(part["first_column"])
        body.append(table(part["title"], columns, blank_rows(columns, len(firsts), firsts), class_="grid", seen=False))
    return step(number, part["title"], *body)


def figures_of(lesson: str) -> Mapping[str, str]:
    """The figures of a lesson's home page, by the names its text uses: ``home_figures`` beside its exercises, where it has one.

    >>> figures_of("04")["gas"], figures_of("03")
    ('4.4', {})
    """
    module = f"glazekit.exercises.lesson_{lesson}"
    make = getattr(import_module(module), "home_figures", None) if find_spec(module) else None
    return dict(make()) if make else {}
