"""What can be laid on the silica-alumina field: lines of equal ratio, an old study's glazes, tiles, a trail, the glaze itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from glazekit.drawing.colours import INK, LINE, TONES
from glazekit.drawing.field import FOOT, RIGHT, TOP, Field, Point, named
from glazekit.drawing.markup import Html, el, join
from glazekit.drawing.strokes import dot, path, text

SHAPES = ("circle", "triangle", "square", "plus", "cross")
"""Shapes of points, told apart without colour."""


@dataclass(frozen=True, slots=True)
class RatioLines:
    """Lines of equal silica to alumina through the corner where both are 0.

    Parameters
    ----------
    ratios : (moles of silica for each of alumina, is it one that teachers point at).

    >>> "".join(RatioLines(((5.0, True),)).margin(Field())).count("5:1")
    1
    """

    ratios: tuple[tuple[float, bool], ...]

    def marks(self, field: Field) -> Iterable[Html]:
        """The lines; those teachers point at are dashed and bold."""
        for ratio, pointed_at in self.ratios:
            ends = [field.spot((alumina * ratio, alumina)) for alumina in (0.0, 100.0)]
            dash = "9 5" if pointed_at else ""
            yield path(ends, stroke=INK if pointed_at else LINE, line=1.8 if pointed_at else 1, dash=dash, name="ratio")

    def margin(self, field: Field) -> Iterable[Html]:
        """Each ratio where its line leaves the window."""
        for ratio, pointed_at in self.ratios:
            weight = 650 if pointed_at else 400
            at_top, at_right = field.alumina[1] * ratio, field.silica[1] / ratio
            if field.silica[0] <= at_top <= field.silica[1]:
                x, _ = field.spot((at_top, field.alumina[1]))
                yield text(x, TOP - 6, f"{ratio:g}:1", 14, anchor="middle", weight=weight)
            elif field.alumina[0] <= at_right <= field.alumina[1]:
                _, y = field.spot((field.silica[1], at_right))
                yield text(RIGHT + 3, min(max(y + 5, TOP + 8), FOOT), f"{ratio:g}:1", 14 if ratio < 10 else 13, weight=weight)


@dataclass(frozen=True, slots=True)
class MarkedPoint:
    """A point with a shape and words; ``bold`` fills it, or rings a cross."""

    point: Point
    words: str
    shape: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class MarkedPoints:
    """Glazes of a study, or tiles of a class: small marks, quieter than the learner's own glaze.

    Parameters
    ----------
    points : what to draw.
    stroke : line colour.
    size : half width of a mark [drawing units].
    """

    points: tuple[MarkedPoint, ...]
    stroke: str = LINE
    size: float = 4.0

    def marks(self, field: Field) -> Iterable[Html]:
        """A mark for each point in the window."""
        for marked in self.points:
            if field.shows(marked.point):
                yield named(_shape(marked, field.spot(marked.point), self.size, self.stroke), marked.words)

    def margin(self, field: Field) -> Iterable[Html]:
        """Nothing outside the window."""
        return ()


def _shape(marked: MarkedPoint, spot: tuple[float, float], size: float, stroke: str) -> Html:
    x, y = spot
    fill = stroke if marked.bold else "#ffffff"
    if marked.shape == "circle":
        return dot(x, y, size, fill, stroke)
    if marked.shape == "triangle":
        return path([(x, y - size * 1.2), (x + size * 1.1, y + size * 0.8), (x - size * 1.1, y + size * 0.8)], fill, stroke, 1.5)
    if marked.shape == "square":
        return path([(x - size, y - size), (x + size, y - size), (x + size, y + size), (x - size, y + size)], fill, stroke, 1.5)
    arms = ((0, 1), (1, 0)) if marked.shape == "plus" else ((1, 1), (1, -1))
    ring = [dot(x, y, size * 1.9, "none", INK, 1.6)] if marked.bold else []
    strokes = [[(x - dx * size, y - dy * size), (x + dx * size, y + dy * size)] for dx, dy in arms]
    return join(*ring, *(path(stroke_, stroke=stroke, line=1.5) for stroke_ in strokes))


@dataclass(frozen=True, slots=True)
class Trail:
    """Where the glaze has been: dots that fade, joined by a thin line.

    Parameters
    ----------
    points : oldest first.
    """

    points: tuple[Point, ...]

    def marks(self, field: Field) -> Iterable[Html]:
        """The line, and the dots from faint to firm."""
        spots = [field.spot(point) for point in self.points]
        if len(spots) > 1:
            yield path(spots, stroke=TONES["slate"], line=1, name="trail")
        for i, (x, y) in enumerate(spots):
            firm = (i + 1) / len(spots)
            yield el("circle", cx=x, cy=y, r=2 + 1.6 * firm, fill=TONES["slate"], opacity=0.2 + 0.6 * firm)

    def margin(self, field: Field) -> Iterable[Html]:
        """Nothing outside the window."""
        return ()


@dataclass(frozen=True, slots=True)
class Glaze:
    """The learner's glaze: one bold mark, and round it where nine of ten batches would lie.

    Parameters
    ----------
    point : the glaze.
    cloud : edge of the ellipse; empty for none.
    words : said when the pointer rests on the mark.
    """

    point: Point
    cloud: tuple[Point, ...]
    words: str

    def marks(self, field: Field) -> Iterable[Html]:
        """Ellipse below, mark above."""
        if self.cloud:
            edge = [field.spot(point) for point in (*self.cloud, self.cloud[0])]
            yield path(edge, stroke=TONES["deep water"], line=1.6, name="cloud")
        x, y = field.spot(self.point)
        diamond = [(x, y - 10), (x + 9, y), (x, y + 10), (x - 9, y)]
        yield named(path(diamond, TONES["deep water"], "#ffffff", 2, name="glaze"), self.words)

    def margin(self, field: Field) -> Iterable[Html]:
        """Nothing outside the window."""
        return ()
