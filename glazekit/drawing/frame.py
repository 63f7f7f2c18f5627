"""The frame of every drawing: an SVG string with a title and a description in words, and a few strokes used all over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from glazekit.drawing.colours import INK

TEXT_PX = 15
"""Type size in drawing units; a drawing is about 360 units wide, so it stays readable on a phone."""


def drawing(title: str, description: str, width: float, height: float, parts: Iterable[str], max_px: int = 520) -> str:
    """A whole drawing.

    Parameters
    ----------
    title, description : what it is and what it shows, in words; read aloud instead of the picture.
    width, height : size in drawing units; the picture fills the width it is given, up to ``max_px`` pixels.
    parts : SVG elements.

    >>> svg = drawing("Cup", "A cup, half full.", 100, 50, [rect(0, 0, 10, 10, "#000000")])
    >>> 'aria-label="Cup. A cup, half full."' in svg and "<title>Cup</title>" in svg
    True
    """
    spoken = escape(f"{title}. {description}")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {n(width)} {n(height)}" role="img" aria-label="{spoken}" '
        f'style="max-width:{max_px}px"><title>{escape(title)}</title><desc>{escape(description)}</desc>{"".join(parts)}</svg>'
    )


def n(value: float) -> str:
    """A coordinate with at most two decimals."""
    return f"{round(value, 2):g}"


def rect(x: float, y: float, width: float, height: float, fill: str, stroke: str = INK, line: float = 1.5, name: str = "") -> str:
    """A rectangle; ``name`` becomes its class, by which tests and style sheets find it."""
    label = f' class="{escape(name)}"' if name else ""
    return (
        f'<rect{label} x="{n(x)}" y="{n(y)}" width="{n(max(width, 0))}" height="{n(max(height, 0))}" '
        f'fill="{fill}" stroke="{stroke}" stroke-width="{n(line)}"/>'
    )


def path(
    points: Sequence[tuple[float, float]], fill: str = "none", stroke: str = INK, line: float = 2, dash: str = "", name: str = ""
) -> str:
    """Straight strokes from point to point; closed when it has a fill."""
    route = "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + ("Z" if fill != "none" else "")
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    label = f' class="{escape(name)}"' if name else ""
    return (
        f'<path{label} d="{route}" fill="{fill}" stroke="{stroke}" stroke-width="{n(line)}" '
        f'stroke-linejoin="round" stroke-linecap="round"{dashes}/>'
    )


def dot(x: float, y: float, radius: float, fill: str = INK, stroke: str = INK, line: float = 1.5, name: str = "") -> str:
    """A round mark."""
    label = f' class="{escape(name)}"' if name else ""
    return f'<circle{label} cx="{n(x)}" cy="{n(y)}" r="{n(radius)}" fill="{fill}" stroke="{stroke}" stroke-width="{n(line)}"/>'


def text(
    x: float,
    y: float,
    words: str,
    size: float = TEXT_PX,
    anchor: str = "start",
    weight: int = 400,
    fill: str = INK,
    strike: bool = False,
) -> str:
    """One line of type; the words are escaped."""
    more = ' text-decoration="line-through"' if strike else ""
    return (
        f'<text x="{n(x)}" y="{n(y)}" font-size="{n(size)}" text-anchor="{anchor}" font-weight="{weight}" '
        f'fill="{fill}"{more}>{escape(words, quote=False)}</text>'
    )


def hatch(x: float, y: float, width: float, height: float, gap: float = 8, stroke: str = INK, line: float = 1) -> str:
    """Slanting lines inside a rectangle: the sign, besides its colour, that a part lies on top of the base.

    >>> hatch(0, 0, 10, 10, gap=10).count("M")
    2
    """
    strokes = []
    offset = gap / 2
    while offset < width + height:
        start = (x + min(offset, width), y + max(0.0, offset - width))
        end = (x + max(0.0, offset - height), y + min(offset, height))
        strokes.append(f"M{n(start[0])} {n(start[1])}L{n(end[0])} {n(end[1])}")
        offset += gap
    return f'<path d="{"".join(strokes)}" stroke="{stroke}" stroke-width="{n(line)}" fill="none"/>'


def wrap(words: str, columns: int) -> list[str]:
    """Words broken into lines of at most ``columns`` letters, since SVG does not wrap."""
    from textwrap import wrap as fold

    return fold(words, columns) or [""]
