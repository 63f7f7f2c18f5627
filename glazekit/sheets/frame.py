"""The page every sheet is printed on: black on white, self-contained, no script, no request to anywhere."""

from __future__ import annotations

from functools import cache
from html import escape
from importlib.resources import files

from glazekit.drawing.markup import Html, el, join
from glazekit.sheets.wording import say

# The edge of a poured glaze: it is the heading line of every sheet.
_POURED_EDGE = (
    "M0 0H600V7C585 7 578 9 566 9C548 9 540 6 522 6C508 6 503 13 490 13C476 13 472 7 455 7C430 7 420 10 396 10"
    "C380 10 376 6 360 6C346 6 342 17 331 17C319 17 316 7 300 7C270 7 262 9 236 9C222 9 218 6 204 6C190 6 186 12 174 12"
    "C160 12 157 6 140 6C116 6 108 10 86 10C70 10 64 7 48 7C34 7 30 14 20 14C10 14 8 8 0 8Z"
)
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


@cache
def _css() -> str:
    return files(__package__).joinpath("sheet.css").read_text(encoding="utf-8")


def page(title: str, *body: str) -> str:
    """A whole HTML document.

    Parameters
    ----------
    title : shown in the browser's tab, escaped.
    body : parts made with ``el``; plain text is escaped.

    >>> "<script>" in page("<script>", el("h1", "Clear"))
    False
    """
    return (
        f'<!doctype html>\n<html lang="{escape(say("page.lang"))}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n<link rel="icon" href="data:,">\n'
        f"<title>{escape(title)}</title>\n<style>\n{_css()}</style>\n</head>\n<body>\n"
        f"{el('p', say('page.print_hint'), class_='screen-only')}\n<main>\n{join(*body)}\n</main>\n</body>\n</html>\n"
    )


def sideways(*body: str) -> Html:
    """Parts that are printed across the long side of the paper."""
    return el("div", el("p", say("page.sideways_hint"), class_="screen-only"), *body, class_="sideways")


def heading(kind: str, title: str, facts: str = "") -> Html:
    """Poured line, what kind of sheet this is, the title, one line of facts."""
    path = f'<path d="{_POURED_EDGE}"/>'
    edge = Html(f'<svg class="edge" viewBox="0 0 600 18" preserveAspectRatio="none" aria-hidden="true">{path}</svg>')
    line = el("p", facts, class_="facts") if facts else ""
    return el("header", edge, el("p", kind, class_="kind"), el("h1", title), line)
