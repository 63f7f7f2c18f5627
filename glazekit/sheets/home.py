"""Home versions: the idea of a lesson with things from a kitchen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import sheet_page
from glazekit.sheets.home_figures import figures_of
from glazekit.sheets.parts import blank_rows, caution, form, step, table, write_in
from glazekit.sheets.wording import Say, words


def home_page_html(lesson: str) -> str:
    """One page to do a lesson at home.

    Parameters
    ----------
    lesson : its number, such as "03".

    Raises DataError for a lesson that has no home version.
    """
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


SHEET = Sheet("home page", home_page_html)
