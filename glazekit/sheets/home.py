"""Home versions: the idea of a lesson with things from a kitchen; their numbers are computed, so that none is typed."""

from collections.abc import Callable, Mapping
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, sheet_page, words
from glazekit.sheets.parts import blank_rows, caution, form, step, table, write_in


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


SHEET = Sheet("home page", home_page_html)


def figures_of(lesson: str) -> Mapping[str, str]:
    """The figures of a lesson's home page, by the names its text uses: ``home_figures`` beside its exercises, where it has one.

    >>> figures_of("04")["gas"], figures_of("03")
    ('4.4', {})
    """
    module = f"glazekit.exercises.lesson_{lesson}"
    make: Callable[[], Mapping[str, str]] | None = (
        getattr(import_module(module), "home_figures", None) if find_spec(module) else None
    )
    return make() if make else {}
