"""The frame of every drawing: an SVG picture with a title and a description in words, and a few strokes used all over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap as _fold

from glazekit.drawing.colours import INK
from glazekit.drawing.markup import Html, el, n

TEXT_PX = 15
"""Type size in drawing units; a drawing is about 360 units wide, so it stays readable on a phone."""


def drawing(title: str, description: str, width: float, height: float, parts: Iterable[Html], max_px: int = 520) -> Html:
    """A whole drawing.

    ``title``, ``description``: what it is and what it shows, in words; read aloud instead of the picture. ``width``, ``height``:
    size in drawing units; the picture fills the width it is given, up to ``max_px`` pixels. ``parts``: SVG elements.

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


def route(points: Iterable[tuple[float, float]]) -> str:
    """The way of a path from point to point.

    >>> route([(0, 0), (1.5, 2)])
    'M0 0L1.5 2'
    """
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points)


def path(
    points: Sequence[tuple[float, float]], fill: str = "none", stroke: str = INK, line: float = 2, dash: str = "", name: str = ""
) -> Html:
    """Straight strokes from point to point; closed when it has a fill."""
    return el(
        "path",
        class_=name,
        d=route(points) + ("Z" if fill != "none" else ""),
        fill=fill,
        stroke=stroke,
        stroke_width=line,
        stroke_linejoin="round",
        stroke_linecap="round",
        stroke_dasharray=dash,
    )


def diamond(x: float, y: float, half: float, fill: str, stroke: str = INK, line: float = 1.5, name: str = "") -> Html:
    """A square mark that stands on a corner, so far across from its middle."""
    return path([(x, y - half), (x + half, y), (x, y + half), (x - half, y)], fill, stroke, line, name=name)


def dot(x: float, y: float, radius: float, fill: str = INK, stroke: str = INK, line: float = 1.5, name: str = "") -> Html:
    """A round mark."""
    return el("circle", class_=name, cx=x, cy=y, r=radius, fill=fill, stroke=stroke, stroke_width=line)


def text(
    x: float,
    y: float,
    words: str,
    size: float = TEXT_PX,
    anchor: str = "start",
    weight: int = 400,
    fill: str = INK,
    strike: bool = False,
    halo: str = "",
    name: str = "",
) -> Html:
    """One line of type; a ``halo`` in the colour of the ground keeps lines from running through it."""
    struck = "line-through" if strike else ""
    look: dict[str, str | float] = {"font_size": size, "text_anchor": anchor, "font_weight": weight, "fill": fill}
    if halo:
        look |= {"stroke": halo, "stroke_width": 5, "stroke_linejoin": "round", "paint_order": "stroke"}
    return el("text", words, class_=name, x=x, y=y, text_decoration=struck, **look)


def numbered(x: float, y: float, number: int) -> Html:
    """A number on a small plate, so that it reads on every fill; ``x`` and ``y`` are its middle."""
    return rect(x - 10, y - 11, 20, 22, "#ffffff", line=1) + text(x, y + 5, str(number), 14, anchor="middle", weight=650)


def hatch(x: float, y: float, width: float, height: float, gap: float = 8) -> Html:
    """Slanting lines inside a rectangle: the sign, besides its colour, that a part lies on top of the base.

    >>> hatch(0, 0, 10, 10, gap=10).count("M")
    2
    """
    strokes = "".join(map(route, slants(x, y, width, height, gap)))
    return el("path", d=strokes, stroke=INK, stroke_width=1.0, fill="none")


def slants(
    x: float, y: float, width: float, height: float, gap: float
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Start and end of slanting lines over a rectangle, from its upper or right edge down to the left."""
    offset = gap / 2
    while offset < width + height:
        start = (x + min(offset, width), y + max(0.0, offset - width))
        yield start, (x + max(0.0, offset - height), y + min(offset, height))
        offset += gap


def wrap(words: str, columns: int) -> list[str]:
    """Words broken into lines of at most ``columns`` letters, since SVG does not wrap."""
    return _fold(words, columns) or [""]
