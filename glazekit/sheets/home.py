"""Home versions: the idea of a lesson with things from a kitchen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.sheets.frame import heading, page
from glazekit.sheets.home_figures import figures_of
from glazekit.sheets.parts import blank_rows, caution, form, head_row, step, write_in
from glazekit.sheets.wording import listed, say, words


def home_page_html(lesson: str) -> str:
    """One page to do a lesson at home.

    Parameters
    ----------
    lesson : its number, such as "03".

    Raises DataError for a lesson that has no home version.
    """
    key, figures = f"lesson_{lesson}.home", figures_of(lesson)
    end = el("p", el("strong", say(f"{key}.end.title")), " ", say(f"{key}.end.text", **figures), class_="plain-part")
    return page(
        say(f"{key}.title"),
        heading(say(f"{key}.kind"), say(f"{key}.title"), say(f"{key}.facts", **figures)),
        el("p", el("strong", say(f"{key}.need_title")), " ", say(f"{key}.need", **figures)),
        caution(say(f"{key}.caution_word"), listed(f"{key}.cautions", **figures)),
        *(_step(number, part, figures) for number, part in enumerate(words(f"{key}.steps"), start=1)),
        end,
    )


def _step(number: int, part: Mapping[str, Any], figures: Mapping[str, str]) -> Html:
    def filled(texts: list[str]) -> list[str]:
        return [text.format(**figures) for text in texts]

    body = [el("p", text) for text in filled([part["text"]])]
    if "fields" in part:
        body.append(form(*(write_in(label, unit=unit) for label, unit in map(filled, part["fields"]))))
    if "columns" in part:
        columns, firsts = filled(part["columns"]), filled(part["first_column"])
        caption = el("caption", part["title"], class_="unseen")
        body.append(el("table", caption, head_row(columns), blank_rows(columns, len(firsts), firsts), class_="grid"))
    return step(number, part["title"], *body)
