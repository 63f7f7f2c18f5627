"""The parts sheets are made of: numbered steps, boxes to tick, lines to write on, cautions, tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from glazekit.drawing.markup import Html, el, join
from glazekit.ground.numbers import show_number


def step(number: int, title: str, *body: str, class_: str = "step") -> Html:
    """A numbered part of a sheet; the number stands in a ring beside its title."""
    return el("section", el("h2", el("span", str(number), class_="ring"), " ", title), *body, class_=class_)


def pair(*sections: str) -> Html:
    """Two short parts side by side where the paper is wide enough."""
    return el("div", *sections, class_="pair")


def box(name: str) -> Html:
    """A bare box to tick with a pencil and wet hands; ``name`` is what a screen reader says."""
    return el("span", class_="box", role="img", aria_label=name)


def ticks(labels: Iterable[str]) -> Html:
    """A line of boxes, each with its label."""
    return el(
        "p", *(join(el("span", el("span", class_="box"), " ", label, class_="tick"), " ") for label in labels), class_="ticks"
    )


def write_in(label: str, value: str = "", unit: str = "", class_: str = "write-in") -> Html:
    """A label with its value, or with a line to write on when there is none yet."""
    space = el("span", value, class_="given") if value else el("span", class_="line")
    return el("span", el("span", label), " ", space, f" {unit}" if unit else "", class_=class_)


def form(*fields: str) -> Html:
    """Write-in fields in a row that wraps."""
    return el("p", *(join(field, " ") for field in fields), class_="form")


def sentence(text: str) -> str:
    """A text that begins with a capital, such as a caution that starts with the name of a material.

    >>> sentence("quartz: dust")
    'Quartz: dust'
    """
    return text[:1].upper() + text[1:]


def short(value: float, decimals: int) -> str:
    """A number without the zeros that say nothing.

    >>> short(26.0, 2), short(0.25, 2), short(20, 0)
    ('26', '0.25', '20')
    """
    shown = show_number(value, decimals)
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def caution(word: str, texts: Sequence[str], class_: str = "caution") -> Html:
    """A caution beside the action it belongs to: a word in a frame, then whole sentences; nothing when there are none."""
    if not texts:
        return Html("")
    lines = (el("p", sentence(text)) for text in texts)
    return el("div", el("strong", word, class_="flag"), " ", el("div", *lines), class_=class_, role="note")


def head_row(heads: Sequence[str], classes: Sequence[str] = ()) -> Html:
    """The row of column heads; ``classes`` go with them one by one."""
    padded = [*classes, *[""] * (len(heads) - len(classes))]
    cells = (
        el("th", head, scope="col", class_=class_) if class_ else el("th", head, scope="col")
        for head, class_ in zip(heads, padded, strict=True)
    )
    return el("thead", el("tr", *cells))


def scroll(name: str, content: str) -> Html:
    """Something wide that a small screen moves sideways, by finger or by arrow keys; ``name`` is what a screen reader says."""
    return el("div", content, class_="scroll", tabindex="0", role="region", aria_label=name)


def blank_rows(columns: Sequence[str], count: int, firsts: Sequence[str] = ()) -> Html:
    """Empty rows to write in; ``firsts`` fill the first cell of each, the rest of the cells are blank."""
    rows = []
    for i in range(count):
        first = el("th", firsts[i], scope="row") if firsts else el("td", class_="write")
        rows.append(el("tr", first, *(el("td", class_="write") for _ in columns[1:])))
    return el("tbody", *rows)
