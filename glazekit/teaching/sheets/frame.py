"""The page every sheet is printed on: black on white, self-contained, no script, no request to anywhere."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from html import escape
from importlib.resources import files

from glazekit.teaching.sheets.markup import Html, el, join
from glazekit.teaching.sheets.wording import words

# The edge of a poured glaze, drawn once: it is the heading line of every sheet.
_POURED_EDGE = (
    "M0 0H600V7C585 7 578 9 566 9C548 9 540 6 522 6C508 6 503 13 490 13C476 13 472 7 455 7C430 7 420 10 396 10"
    "C380 10 376 6 360 6C346 6 342 17 331 17C319 17 316 7 300 7C270 7 262 9 236 9C222 9 218 6 204 6C190 6 186 12 174 12"
    "C160 12 157 6 140 6C116 6 108 10 86 10C70 10 64 7 48 7C34 7 30 14 20 14C10 14 8 8 0 8Z"
)


@cache
def _css() -> str:
    return files(__package__).joinpath("sheet.css").read_text(encoding="utf-8")


def page(title: str, *body: str, kind: str = "sheet") -> str:
    """A whole HTML document.

    Parameters
    ----------
    title : shown in the browser's tab, escaped.
    body : parts made with ``el``; plain text is escaped.
    kind : class of the page, picks its print rules in sheet.css ("sheet" or "cards").

    >>> "<script>" in page("<script>", el("h1", "Clear"))
    False
    """
    frame = words("page")
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    hint = el("p", frame["print_hint"], class_="screen-only")
    return (
        f'<!doctype html>\n<html lang="{escape(frame["lang"])}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n<link rel="icon" href="data:,">\n'
        f"<title>{escape(title)}</title>\n<style>\n{_css()}</style>\n</head>\n"
        f'<body class="{escape(kind)}">\n{hint}\n<main>\n{join(*body)}\n</main>\n</body>\n</html>\n'
    )


def heading(kind: str, title: str, facts: str = "") -> Html:
    """Poured line, what kind of sheet this is, the title, one line of facts."""
    edge = Html(
        f'<svg class="edge" viewBox="0 0 600 18" preserveAspectRatio="none" aria-hidden="true"><path d="{_POURED_EDGE}"/></svg>'
    )
    return el("header", edge, el("p", kind, class_="kind"), el("h1", title), el("p", facts, class_="facts") if facts else "")


def step(number: int | str, title: str, *body: str, class_: str = "step") -> Html:
    """A numbered part of a sheet; the number stands in a ring in the margin."""
    return el("section", el("h2", el("span", str(number), class_="ring"), " ", title), *body, class_=class_)


def tick(label: str = "", name: str = "") -> Html:
    """A box of 7 mm to tick with a pencil and wet hands; ``name`` is read out when there is no printed label."""
    box = el("span", class_="box") if label else el("span", class_="box", role="img", aria_label=name)
    return el("span", box, " ", label, class_="tick") if label else box


def ticks(labels: Iterable[str]) -> Html:
    """A line of labelled boxes."""
    return el("p", *(join(tick(label), " ") for label in labels), class_="ticks")


def write_in(label: str, value: str = "", unit: str = "") -> Html:
    """A label with its value, or with a line to write on when there is none yet."""
    space = el("span", value, class_="given") if value else el("span", class_="line")
    return el("span", el("span", label, class_="label"), " ", space, f" {unit}" if unit else "", class_="write-in")


def form(*fields: str) -> Html:
    """Write-in fields in a row that wraps."""
    return el("p", *(join(field, " ") for field in fields), class_="form")


def caution(word: str, texts: Sequence[str]) -> Html:
    """A caution: a word on black, then one sentence or more, beside the action it belongs to."""
    if not texts:
        return Html("")
    return el(
        "div", el("strong", word, class_="flag"), el("div", *(el("p", text) for text in texts)), class_="caution", role="note"
    )


def table(caption: str, heads: Sequence[str], *bodies: str, class_: str = "") -> Html:
    """A table with a caption and column heads; each body is a ready ``tbody`` or ``tfoot``."""
    top = el("thead", el("tr", *(el("th", head, scope="col") for head in heads)))
    return el("table", el("caption", caption), top, *bodies, class_=class_ or "plain")
