"""One calm look: colours, signs, the frame of every drawing with its title and description in words, and strokes used all over.

Meaning is never carried by colour alone: each colour here stands beside a sign, a word or a hatch, and the five tones lie at
least 12 steps of lightness (CIE L*) apart, so they stay distinct in a grey print. ``tests/lab/test_theme.py`` checks that.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import floor, log10
from textwrap import wrap as _fold

from glazekit.drawing.markup import Html, el, n

PAPER = "#fbfaf6"
INK = "#1d2a2b"
LINE = "#8b9694"
TONES = {
    "deep water": "#17434a",
    "slate": "#3f6369",
    "wet clay": "#b27848",
    "straw": "#d9b36a",
    "mist": "#dfe7e4",
}
"""Fills for bars and drawings, dark to light."""
SIGNS = {"ok": "✓", "note": "•", "look": "▲", "under": "▽", "stop": "✕", "open": "○"}
"""A shape for each kind of message; it always stands with a word."""
Spot = tuple[float, float]
"""A place on paper [drawing units]."""
TEXT_PX = 15
"""Type size in drawing units; a drawing is about 360 units wide, so it stays readable on a phone."""


def drawing(title: str, description: str, width: float, height: float, parts: Iterable[Html], max_px: int = 520) -> Html:
    """A whole drawing. ``title`` and ``description``, what it is and what it shows, are read aloud instead of the picture.
    ``width`` and ``height`` are its size in drawing units; it fills the width it is given, up to ``max_px`` pixels.

    >>> svg = drawing("Cup", "A cup, half full.", 100, 50, [rect(0, 0, 10, 10, "#000000")])
    >>> 'aria-label="Cup. A cup, half full."' in svg and "<title>Cup</title>" in svg
    True
    """
    return el(
        "svg",
        el("title", title),
        el("desc", description),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {n(width)} {n(height)}",
        role="img",
        aria_label=f"{title}. {description}",
        style=f"max-width:{max_px}px",
    )


def rect(
    x: float, y: float, width: float, height: float, fill: str, stroke: str = INK, line: float = 1.5, name: str = ""
) -> Html:
    """A rectangle; ``name`` becomes its class, by which tests and style sheets find it."""
    width, height = max(width, 0), max(height, 0)
    return el("rect", class_=name, x=x, y=y, width=width, height=height, fill=fill, stroke=stroke, stroke_width=line)


def route(points: Iterable[Spot]) -> str:
    """The way of a path from point to point.

    >>> route([(0, 0), (1.5, 2)])
    'M0 0L1.5 2'
    """
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points)


def path(points: Sequence[Spot], fill: str = "none", stroke: str = INK, line: float = 2, dash: str = "", name: str = "") -> Html:
    """Straight strokes from point to point; closed when it has a fill."""
    look = {"fill": fill, "stroke": stroke, "stroke_width": n(line), "stroke_linejoin": "round", "stroke_linecap": "round"}
    return el("path", class_=name, d=route(points) + ("Z" if fill != "none" else ""), **look, stroke_dasharray=dash)


def diamond(
    x: float, y: float, half: float, fill: str, stroke: str = INK, line: float = 1.5, name: str = "", up: float = 0
) -> Html:
    """A mark that stands on a corner, so far across from its middle, and ``up`` or as far again from its top to its middle."""
    up = up or half
    return path([(x, y - up), (x + half, y), (x, y + up), (x - half, y)], fill, stroke, line, name=name)


def dot(x: float, y: float, radius: float, fill: str = INK, stroke: str = INK, line: float = 1.5, name: str = "") -> Html:
    """A round mark."""
    return el("circle", class_=name, cx=x, cy=y, r=radius, fill=fill, stroke=stroke, stroke_width=line)


def text(
    x: float, y: float, words: str, size: float = TEXT_PX, anchor: str = "start", weight: int = 400, fill: str = INK, **more: str
) -> Html:
    """One line of type; ``more`` are attributes that few lines need."""
    return el("text", words, x=x, y=y, font_size=size, text_anchor=anchor, font_weight=weight, fill=fill, **more)


def number_plate(x: float, y: float, number: int) -> Html:
    """A number on a small plate, so that it reads on every fill; ``x`` and ``y`` are its middle."""
    return rect(x - 10, y - 11, 20, 22, "#ffffff", line=1) + text(x, y + 5, str(number), 14, anchor="middle", weight=650)


def hatch(x: float, y: float, width: float, height: float, gap: float = 8) -> Html:
    """Slanting lines inside a rectangle: the sign, besides its colour, that a part lies on top of the base.

    >>> hatch(0, 0, 10, 10, gap=10).count("M")
    2
    """
    strokes = "".join(map(route, slants(x, y, width, height, gap)))
    return el("path", d=strokes, stroke=INK, stroke_width=1.0, fill="none")


def slants(x: float, y: float, width: float, height: float, gap: float) -> Iterator[tuple[Spot, Spot]]:
    """Start and end of slanting lines over a rectangle, from its upper or right edge down to the left."""
    offset = gap / 2
    while offset < width + height:
        start = (x + min(offset, width), y + max(0.0, offset - width))
        yield start, (x + max(0.0, offset - height), y + min(offset, height))
        offset += gap


def round_step(least: float) -> float:
    """The smallest of 1, 2 and 5 times a power of ten that is not smaller than this.

    >>> round_step(0.3), round_step(4), round_step(0.12)
    (0.5, 5.0, 0.2)
    """
    power = 10.0 ** floor(log10(least) + 1e-9)
    return next(float(f"{times * power:.6g}") for times in (1, 2, 5, 10) if times * power >= least * (1 - 1e-9))


def wrap(words: str, columns: int) -> list[str]:
    """Words broken into lines of at most ``columns`` letters, since SVG does not wrap."""
    return _fold(words, columns) or [""]
