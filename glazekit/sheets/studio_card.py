"""One small card for each lesson, to take to the studio."""

from glazekit.drawing.markup import el
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, page
from glazekit.sheets.parts import caution, lines


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


SHEET = Sheet("studio card", studio_card_html)
