"""Lines of equal value on the silica-alumina field, with their numbers, and the part of it that lies outside the data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from glazekit.drawing.colours import INK, LINE, PAPER, TONES
from glazekit.drawing.contours import Line
from glazekit.drawing.field import FOOT, LEFT, RIGHT, TOP, Field, Point
from glazekit.drawing.markup import Html, el
from glazekit.drawing.strokes import path, route

HATCH_GAP = 11.0
LETTER, TYPE = 7.6, 14.0
"""Width of a letter and size of the type of a label [drawing units]."""
_WINDOW = [(LEFT, TOP), (RIGHT, TOP), (RIGHT, FOOT), (LEFT, FOOT)]
CLEAR = 19.0
"""Height that a label needs for itself [drawing units]."""
ENOUGH = 95.0
"""Labels farther apart than this are far enough [drawing units]."""


@dataclass(frozen=True, slots=True)
class ContourLines:
    """Lines of equal value.

    Parameters
    ----------
    lines : points in silica and alumina.
    """

    lines: tuple[Line, ...]

    def marks(self, field: Field) -> Iterable[Html]:
        """One firm curve each."""
        for line in self.lines:
            yield path([field.spot(point) for point in line], stroke=TONES["wet clay"], line=2.4, name="contour")

    def margin(self, field: Field) -> Iterable[Html]:
        """Nothing outside the window."""
        return ()


@dataclass(frozen=True, slots=True)
class OutsideData:
    """Grey and hatched: where the model has never seen a glass like that. It covers what lies below.

    Parameters
    ----------
    inside : corners of the convex part that the data cover, in order; fewer than three for none.
    """

    inside: tuple[Point, ...]

    def marks(self, field: Field) -> Iterable[Html]:
        """The grey and its hatch."""
        hole = [field.spot(point) for point in self.inside] if len(self.inside) > 2 else []
        shape = "".join(f"{route(ring)}Z" for ring in (_WINDOW, hole) if ring)
        yield el("path", class_="outside", d=shape, fill=TONES["mist"], fill_rule="evenodd", stroke=LINE, stroke_width=1.2)
        yield el("path", d="".join(map(route, _hatch(hole))), stroke=LINE, stroke_width=1.0, fill="none")

    def margin(self, field: Field) -> Iterable[Html]:
        """Nothing outside the window."""
        return ()


@dataclass(frozen=True, slots=True)
class ContourLabels:
    """The number of each line, once, inside the data, away from other numbers and on no other line; a line that has no such
    place goes without. The part outside the data gets its words where there is room.

    Parameters
    ----------
    lines : (number with its unit, points), one or more for each number.
    inside : corners of the part that the data cover.
    outside : words for the other part.
    keep_clear : points that no label may hide.
    """

    lines: tuple[tuple[str, Line], ...]
    inside: tuple[Point, ...]
    outside: str
    keep_clear: tuple[Point, ...] = ()

    def marks(self, field: Field) -> Iterable[Html]:
        """The labels, lying on their lines; those with the least choice come first."""
        hole = [field.spot(point) for point in self.inside] if len(self.inside) > 2 else []
        taken = [field.spot(point) for point in self.keep_clear]
        if spot := _room(hole, len(self.outside) * LETTER, taken):
            yield _label(*spot, self.outside, TONES["mist"], 400)
        drawn: dict[str, list[Point]] = {}
        for label, line in self.lines:
            drawn.setdefault(label, []).extend(_along([field.spot(point) for point in line]))
        choices = {label: _places(label, drawn, hole) for label in drawn}
        if not any(choices.values()) and drawn:  # a window so wide that all lines lie close: the longest gets its number
            longest = max(drawn, key=lambda label: len(drawn[label]))
            choices[longest] = [spot for spot in drawn[longest] if _within(hole, spot)]
        for label in sorted(choices, key=lambda label: len(choices[label])):
            across = len(label) * LETTER + 6
            free = [(x, y) for x, y in choices[label] if all(abs(x - a) > across or abs(y - b) > CLEAR for a, b in taken)]
            if free:
                x, y = max(free, key=lambda spot: min([ENOUGH, *(hypot(spot[0] - a, spot[1] - b) for a, b in taken)]))
                taken.append((x, y))
                yield _label(x, y + 4.5, label, PAPER, 600)

    def margin(self, field: Field) -> Iterable[Html]:
        """Nothing outside the window."""
        return ()


def _label(x: float, y: float, words: str, halo: str, weight: int) -> Html:
    """Words in the middle of a spot, with a rim in the colour of the ground so that lines do not run through them."""
    return el(
        "text",
        words,
        class_="contour-label",
        x=x,
        y=y,
        font_size=TYPE,
        text_anchor="middle",
        font_weight=weight,
        fill=INK,
        stroke=halo,
        stroke_width=5,
        stroke_linejoin="round",
        paint_order="stroke",
    )


def _places(label: str, drawn: dict[str, list[Point]], hole: list[Point]) -> list[Point]:
    """Where a label can stand: on its line, wholly inside the data, and hiding no other line."""
    half = len(label) * LETTER / 2
    others = [spot for name, spots in drawn.items() if name != label for spot in spots]
    inside = [spot for spot in drawn[label] if all(_within(hole, corner) for corner in _box(*spot, half))]
    return [(x, y) for x, y in inside if not any(abs(x - a) < half and abs(y - b) < CLEAR / 2 for a, b in others)]


def _box(x: float, y: float, half: float) -> Iterator[Point]:
    """Corners of a label round a spot."""
    yield from ((x + dx, y + dy) for dx in (-half - 6, half + 6) for dy in (-10, 10))


def _along(spots: list[Point], gap: float = 8.0) -> Iterator[Point]:
    """Spots on a line, at most so far apart."""
    for (x1, y1), (x2, y2) in pairwise(spots):
        pieces = int(hypot(x2 - x1, y2 - y1) / gap) + 1
        yield from ((x1 + (x2 - x1) * k / pieces, y1 + (y2 - y1) * k / pieces) for k in range(pieces))


def _within(polygon: list[Point], spot: Point) -> bool:
    """Does a spot lie in a convex polygon: always on the same side of every edge."""
    x, y = spot
    turns = [
        (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
        for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=True)
    ]
    return bool(turns) and (min(turns) >= 0 or max(turns) <= 0)


def _hatch(hole: list[Point]) -> Iterator[tuple[Point, Point]]:
    """Slanting strokes over the window, broken where the convex hole is."""
    width, height = RIGHT - LEFT, FOOT - TOP
    offset = HATCH_GAP / 2
    while offset < width + height:
        start = (LEFT + min(offset, width), TOP + max(0.0, offset - width))
        end = (LEFT + max(0.0, offset - height), TOP + min(offset, height))
        first, last = _inside_part(hole, start, end)
        for low, high in ((0.0, first), (last, 1.0)) if first < last else ((0.0, 1.0),):
            if high > low:
                yield _between(start, end, low), _between(start, end, high)
        offset += HATCH_GAP


def _inside_part(hole: list[Point], start: Point, end: Point) -> tuple[float, float]:
    """From where to where a stroke runs inside the hole, as parts of its length; (1, 0) when it misses it."""
    first, last = (0.0, 1.0) if hole else (1.0, 0.0)
    turn = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(hole, (*hole[1:], *hole[:1]), strict=True))
    for (x1, y1), (x2, y2) in zip(hole, (*hole[1:], *hole[:1]), strict=True):
        at_start, at_end = (
            ((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) * (1 if turn > 0 else -1) for x, y in (start, end)
        )  # more than 0: inside this edge
        if at_start < 0 and at_end < 0:
            return 1.0, 0.0
        if at_start < 0:
            first = max(first, at_start / (at_start - at_end))
        elif at_end < 0:
            last = min(last, at_start / (at_start - at_end))
    return first, last


def _between(start: Point, end: Point, part: float) -> Point:
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def _room(hole: list[Point], width: float, taken: list[Point]) -> Point | None:
    """Middle of a place for words that lies outside the hole as far as it can, and hides nothing; None when there is none."""
    found: list[tuple[float, Point]] = []
    for x in range(int(LEFT + width / 2) + 8, int(RIGHT - width / 2) - 8, 12):
        for y in range(int(TOP) + 16, int(FOOT) - 10, 12):
            box = [(x + dx * width / 8, y + dy) for dx in range(-4, 5) for dy in (-12, -4, 6)]
            hides = any(abs(x - a) < width / 2 + CLEAR and abs(y - b) < 1.5 * CLEAR for a, b in taken)
            if not hides and not any(_within(hole, spot) for spot in box):
                edge = min((hypot(x - a, y - b) for a, b in _along([*hole, *hole[:1]], 14)), default=0.0)
                found.append((min(edge, 60.0) + min(x - LEFT, RIGHT - x, y - TOP, FOOT - y) / 10, (x, y)))
    return max(found)[1] if found else None
