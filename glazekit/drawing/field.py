"""The silica-alumina field: a window on paper, and layers that are laid on it one over the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor
from typing import Protocol

from glazekit.drawing.colours import PAPER
from glazekit.drawing.markup import Html, el, n
from glazekit.drawing.strokes import drawing, path, rect, text

WIDTH, HEIGHT = 392.0, 372.0
LEFT, RIGHT, TOP, FOOT = 44.0, 350.0, 46.0, 318.0
WHOLE_SILICA, WHOLE_ALUMINA = 7.0, 1.0

Point = tuple[float, float]
"""(silica, alumina) [moles per mole of flux]."""


@dataclass(frozen=True, slots=True)
class Field:
    """The window: the silica and alumina it shows, and where they lie on paper.

    Parameters
    ----------
    silica, alumina : lowest and highest of the window [moles per mole of flux].

    >>> field = Field((0, 6), (0, 1))
    >>> field.spot((0, 0)) == (LEFT, FOOT), field.spot((6, 1)) == (RIGHT, TOP), field.shows((7, 0.5))
    (True, True, False)
    """

    silica: tuple[float, float] = (0.0, WHOLE_SILICA)
    alumina: tuple[float, float] = (0.0, WHOLE_ALUMINA)

    def spot(self, point: Point) -> tuple[float, float]:
        """Place of a point on paper [drawing units]."""
        silica, alumina = point
        across = (silica - self.silica[0]) / (self.silica[1] - self.silica[0])
        up = (alumina - self.alumina[0]) / (self.alumina[1] - self.alumina[0])
        return LEFT + across * (RIGHT - LEFT), FOOT - up * (FOOT - TOP)

    def shows(self, point: Point) -> bool:
        """Does the point lie in the window."""
        return self.silica[0] <= point[0] <= self.silica[1] and self.alumina[0] <= point[1] <= self.alumina[1]


def whole_field(points: Iterable[Point]) -> Field:
    """The window from nothing at all to everyday glazes, or further where a point lies further out.

    >>> whole_field([(3.5, 0.4)]) == Field(), whole_field([(14.63, 3.55)])
    (True, Field(silica=(0.0, 16.0), alumina=(0.0, 4.0)))
    """
    silica, alumina = zip(*points, strict=True)
    return Field(_from_0(max(silica) * 1.04, WHOLE_SILICA), _from_0(max(alumina) * 1.04, WHOLE_ALUMINA))


def near_field(points: Iterable[Point]) -> Field:
    """A window close round some points, on round numbers, so that it stays put while a point moves inside it.

    >>> near_field([(3.54, 0.42), (3.8, 0.56)])
    Field(silica=(2.5, 5.0), alumina=(0.2, 0.8))
    """
    silica, alumina = zip(*points, strict=True)
    return Field(_round_about(silica, 0.9, 0.5), _round_about(alumina, 0.18, 0.1))


def _from_0(value: float, usual: float) -> tuple[float, float]:
    return 0.0, usual if value <= usual else float(ceil(value / _step(value)) * _step(value))


def _round_about(values: Sequence[float], room: float, step: float) -> tuple[float, float]:
    low, high = floor((min(values) - room) / step) * step, ceil((max(values) + room) / step) * step
    return round(max(0.0, low), 6), round(high, 6)


class Layer(Protocol):
    """Something laid on the field. Layers are drawn in order, the glaze last; each is cut off at the window's edge."""

    def marks(self, field: Field) -> Iterable[Html]:
        """SVG elements inside the window."""
        ...

    def margin(self, field: Field) -> Iterable[Html]:
        """SVG elements outside it, such as the label of a line."""
        ...


@lru_cache(maxsize=16)
def field_paper(field: Field, layers: tuple[Layer, ...], title: str, description: str, silica: str, alumina: str) -> Html:
    """The paper of the chart: axes, and the layers that stay where they are. Drawn once for each window.

    Parameters
    ----------
    field : the window.
    layers : bottom to top.
    title, description : for the ear.
    silica, alumina : words on the two axes.

    >>> svg = field_paper(Field(), (), "Field", "Empty.", "silica", "alumina")
    >>> ">silica</text>" in svg and 'class="window"' in svg
    True
    """
    parts = [
        rect(LEFT, TOP, RIGHT - LEFT, FOOT - TOP, PAPER, line=0),
        _window(field, layers),
        *(mark for layer in layers for mark in layer.margin(field)),
        *_axes(field),
        text(LEFT - 40, 14, alumina, 14),
        text(RIGHT, FOOT + 42, silica, 14, anchor="end"),
    ]
    return drawing(title, description, WIDTH, HEIGHT, parts, max_px=620)


def field_sheet(field: Field, layers: Sequence[Layer], title: str, description: str) -> Html:
    """A clear sheet to lie on the paper: the layers that move, so that a move repaints little."""
    return drawing(title, description, WIDTH, HEIGHT, [_window(field, layers)], max_px=620)


def _window(field: Field, layers: Sequence[Layer]) -> Html:
    width, height = RIGHT - LEFT, FOOT - TOP
    return el(
        "svg",
        *(mark for layer in layers for mark in layer.marks(field)),
        class_="window",
        x=LEFT,
        y=TOP,
        width=width,
        height=height,
        viewBox=f"{n(LEFT)} {n(TOP)} {n(width)} {n(height)}",
        # the size again because the panels' style sheet stretches every drawing to the full width
        style=f"width:{n(width)}px;height:{n(height)}px;min-width:0;overflow:hidden",
    )


def _axes(field: Field) -> Iterable[Html]:
    yield path([(LEFT, TOP), (LEFT, FOOT), (RIGHT, FOOT)], line=2)
    for value in _ticks(field.silica):
        x, _ = field.spot((value, field.alumina[0]))
        yield path([(x, FOOT), (x, FOOT + 5)], line=1.5) + text(x, FOOT + 20, f"{value:g}", 14, anchor="middle")
    for value in _ticks(field.alumina):
        _, y = field.spot((field.silica[0], value))
        yield path([(LEFT, y), (LEFT - 5, y)], line=1.5) + text(LEFT - 8, y + 5, f"{value:g}", 14, anchor="end")


def _ticks(span: tuple[float, float]) -> list[float]:
    step = _step(span[1] - span[0])
    first = ceil(span[0] / step - 1e-9)
    return [round(k * step, 6) for k in range(first, floor(span[1] / step + 1e-9) + 1)]


def _step(length: float) -> float:
    """A round step that cuts a length into four to nine pieces.

    >>> _step(7), _step(1), _step(0.6), _step(16)
    (1, 0.2, 0.1, 2)
    """
    return next(step for step in (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 1e9) if length / step < 8.5)


def named(mark: Html, words: str) -> Html:
    """A mark that says its words when the pointer rests on it.

    >>> named(el("path"), "a & b")
    '<g><title>a &amp; b</title><path/></g>'
    """
    return el("g", el("title", words), mark)
