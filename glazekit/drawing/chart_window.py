"""The window of the silica-alumina chart: what it shows, where that lies on paper, its axes, and lines of equal value in it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, hypot
from typing import Any

from glazekit.drawing.markup import Html, el, n
from glazekit.drawing.strokes import LINE, PAPER, TONES, Spot, path, round_step, route, slants, text

WIDTH, HEIGHT = 392.0, 372.0
LEFT, RIGHT, TOP, FOOT = 44.0, 350.0, 46.0, 318.0
WHOLE_SILICA, WHOLE_ALUMINA = 7.0, 1.0

Point = tuple[float, float]
"""(silica, alumina) [moles per mole of flux]."""
HATCH_GAP, SHORTEST = 11.0, 0.01
"""Distance of the strokes, and the least length that is drawn [drawing units]."""
LETTER, TYPE, CLEAR, ENOUGH = 7.6, 14.0, 19.0, 95.0
"""Of a label: width of a letter, size of the type, height it needs for itself, and when another is far enough [drawing units]."""


@dataclass(frozen=True, slots=True)
class Window:
    """The part of the chart that is shown: lowest and highest silica, lowest and highest alumina [moles per mole of flux].

    >>> window = Window((0, 6), (0, 1))
    >>> window.spot((0, 0)) == (LEFT, FOOT), window.spot((6, 1)) == (RIGHT, TOP), window.shows((7, 0.5))
    (True, True, False)
    """

    silica: tuple[float, float] = (0.0, WHOLE_SILICA)
    alumina: tuple[float, float] = (0.0, WHOLE_ALUMINA)

    def spot(self, point: Point) -> Spot:
        """Place of a point on paper."""
        silica, alumina = point
        across = (silica - self.silica[0]) / (self.silica[1] - self.silica[0])
        up = (alumina - self.alumina[0]) / (self.alumina[1] - self.alumina[0])
        return LEFT + across * (RIGHT - LEFT), FOOT - up * (FOOT - TOP)

    def spots(self, points: Iterable[Point]) -> list[Spot]:
        """Places of several points."""
        return [self.spot(point) for point in points]

    def shows(self, point: Point) -> bool:
        """Does the point lie in the window."""
        return self.silica[0] <= point[0] <= self.silica[1] and self.alumina[0] <= point[1] <= self.alumina[1]


def whole_window(points: Iterable[Point]) -> Window:
    """The window from nothing at all to everyday glazes, or further where a point lies further out.

    >>> whole_window([(3.5, 0.4)]) == Window(), whole_window([(14.63, 3.55)])
    (True, Window(silica=(0.0, 16.0), alumina=(0.0, 4.0)))
    """
    silica, alumina = zip(*points, strict=True)
    return Window(_from_0(max(silica) * 1.04, WHOLE_SILICA), _from_0(max(alumina) * 1.04, WHOLE_ALUMINA))


def near_window(points: Iterable[Point]) -> Window:
    """A window close round some points, on round numbers, so that it stays put while a point moves inside it.

    >>> near_window([(3.54, 0.42), (3.8, 0.56)])
    Window(silica=(2.5, 5.0), alumina=(0.2, 0.8))
    """
    silica, alumina = zip(*points, strict=True)
    return Window(_round_about(silica, 0.9, 0.5), _round_about(alumina, 0.18, 0.1))


def _from_0(value: float, usual: float) -> tuple[float, float]:
    return 0.0, usual if value <= usual else float(ceil(value / _step(value)) * _step(value))


def _round_about(values: Sequence[float], room: float, step: float) -> tuple[float, float]:
    low, high = floor((min(values) - room) / step) * step, ceil((max(values) + room) / step) * step
    return round(max(0.0, low), 6), round(high, 6)


def pane(marks: Iterable[Html]) -> Html:
    """What lies in the window, cut off at its edges."""
    width, height = RIGHT - LEFT, FOOT - TOP
    return el(
        "svg",
        *marks,
        class_="window",
        x=LEFT,
        y=TOP,
        width=width,
        height=height,
        viewBox=f"{n(LEFT)} {n(TOP)} {n(width)} {n(height)}",
        # the size again because the panels' style sheet stretches every drawing to the full width
        style=f"width:{n(width)}px;height:{n(height)}px;min-width:0;overflow:hidden",
    )


def axes(window: Window, silica: str, alumina: str) -> Iterator[Html]:
    """The two axes with their numbers and words."""
    yield path([(LEFT, TOP), (LEFT, FOOT), (RIGHT, FOOT)], line=2)
    for value in _ticks(window.silica):
        x, _ = window.spot((value, window.alumina[0]))
        yield path([(x, FOOT), (x, FOOT + 5)], line=1.5) + text(x, FOOT + 20, f"{value:g}", 14, anchor="middle")
    for value in _ticks(window.alumina):
        _, y = window.spot((window.silica[0], value))
        yield path([(LEFT, y), (LEFT - 5, y)], line=1.5) + text(LEFT - 8, y + 5, f"{value:g}", 14, anchor="end")
    yield text(LEFT - 40, 14, alumina, 14)
    yield text(RIGHT, FOOT + 42, silica, 14, anchor="end")


def _ticks(span: tuple[float, float]) -> list[float]:
    step = _step(span[1] - span[0])
    first = ceil(span[0] / step - 1e-9)
    return [round(k * step, 6) for k in range(first, floor(span[1] / step + 1e-9) + 1)]


def _step(length: float) -> float:
    """A round step that cuts a length into four to nine pieces."""
    return round_step(length / 8.4999)


@dataclass(frozen=True, slots=True)
class Contours:
    """Lines of equal value, (number with its unit, points), one or more for each number, and where they mean nothing: ``inside``
    has the corners of the convex part that the data cover, in order, fewer than three for none; ``outside`` the words for the
    other part. No label may hide the point ``keep_clear``."""

    lines: tuple[tuple[str, tuple[Point, ...]], ...]
    inside: tuple[Point, ...]
    outside: str
    keep_clear: Point


def contours_on(window: Window, contours: Contours) -> tuple[list[Html], list[Html]]:
    """What lies under everything else (lines, and over them, grey and hatched, where nobody measured), and above it: numbers,
    words."""
    hole = window.spots(contours.inside) if len(contours.inside) > 2 else []
    curves = [(label, window.spots(line)) for label, line in contours.lines]
    edge = [(LEFT, TOP), (RIGHT, TOP), (RIGHT, FOOT), (LEFT, FOOT)]
    grey = "".join(f"{route(ring)}Z" for ring in (edge, hole) if ring)
    below = [
        *(path(spots, stroke=TONES["wet clay"], line=2.4, name="contour") for _, spots in curves),
        el("path", class_="outside", d=grey, fill=TONES["mist"], fill_rule="evenodd", stroke=LINE, stroke_width=1.2),
        el("path", d="".join(map(route, _hatch(hole))), stroke=LINE, stroke_width=1.0, fill="none"),
    ]
    return below, list(_labels(curves, hole, contours.outside, window.spot(contours.keep_clear)))


def _labels(curves: list[tuple[str, list[Spot]]], hole: list[Spot], outside: str, keep_clear: Spot) -> Iterator[Html]:
    """The number of each line, once, inside the data, away from other numbers and on no other line; those with the least choice
    come first, and a line that has no such place goes without. The part outside the data gets its words where there is room."""
    taken = [keep_clear]
    if spot := _room(hole, len(outside) * LETTER, taken):
        yield _label(spot, outside, TONES["mist"], 400)
    drawn: dict[str, list[Spot]] = {}
    for label, spots in curves:
        drawn.setdefault(label, []).extend(_along(spots))
    choices = {label: _places(label, drawn, hole) for label in drawn}
    if drawn and not any(choices.values()):  # a window so wide that all lines lie close: the longest gets its number
        longest = max(drawn, key=lambda label: len(drawn[label]))
        choices[longest] = [spot for spot in drawn[longest] if _within(hole, spot)]
    for label in sorted(choices, key=lambda label: len(choices[label])):
        across = len(label) * LETTER + 6
        free = [(x, y) for x, y in choices[label] if all(abs(x - a) > across or abs(y - b) > CLEAR for a, b in taken)]
        if free:
            x, y = max(free, key=lambda spot: min(ENOUGH, _distance(spot, taken)))
            taken.append((x, y))
            yield _label((x, y + 4.5), label, PAPER, 600)


def _label(spot: Spot, words: str, ground: str, weight: int) -> Html:
    """Words in the middle of a spot, with a rim in the colour of the ground so that lines do not run through them."""
    halo: dict[str, Any] = {"stroke": ground, "stroke_width": "5", "stroke_linejoin": "round", "paint_order": "stroke"}
    return text(*spot, words, TYPE, "middle", weight, class_="contour-label", **halo)


def _places(label: str, drawn: dict[str, list[Spot]], hole: list[Spot]) -> list[Spot]:
    """Where a label can stand: on its line, wholly inside the data, and hiding no other line."""
    half = len(label) * LETTER / 2
    corners = [(across, up) for across in (-half - 6, half + 6) for up in (-10, 10)]
    inside = [(x, y) for x, y in drawn[label] if all(_within(hole, (x + dx, y + dy)) for dx, dy in corners)]
    others = [spot for name, spots in drawn.items() if name != label for spot in spots]
    return [(x, y) for x, y in inside if not any(abs(x - a) < half and abs(y - b) < CLEAR / 2 for a, b in others)]


def _room(hole: list[Spot], width: float, taken: list[Spot]) -> Spot | None:
    """Middle of a place for words that lies outside the hole as far as it can, and hides nothing; None when there is none."""
    found: list[tuple[float, Spot]] = []
    rim = list(_along([*hole, *hole[:1]], 14))
    for x in range(int(LEFT + width / 2) + 8, int(RIGHT - width / 2) - 8, 12):
        for y in range(int(TOP) + 16, int(FOOT) - 10, 12):
            box = [(x + dx * width / 8, y + dy) for dx in range(-4, 5) for dy in (-12, -4, 6)]
            hides = any(abs(x - a) < width / 2 + CLEAR and abs(y - b) < 1.5 * CLEAR for a, b in taken)
            if not hides and not any(_within(hole, spot) for spot in box):
                edge = min(60.0, _distance((x, y), rim)) if rim else 0.0
                found.append((edge + min(x - LEFT, RIGHT - x, y - TOP, FOOT - y) / 10, (x, y)))
    return max(found)[1] if found else None


def _along(spots: Iterable[Spot], gap: float = 8.0) -> Iterator[Spot]:
    """Spots on a line, at most so far apart."""
    for (x1, y1), (x2, y2) in pairwise(spots):
        pieces = int(hypot(x2 - x1, y2 - y1) / gap) + 1
        yield from ((x1 + (x2 - x1) * k / pieces, y1 + (y2 - y1) * k / pieces) for k in range(pieces))


def _distance(spot: Spot, others: Iterable[Spot]) -> float:
    """To the nearest of the others."""
    x, y = spot
    return min(hypot(x - a, y - b) for a, b in others)


def _sides(polygon: list[Spot]) -> Iterator[tuple[Spot, Spot]]:
    return zip(polygon, (*polygon[1:], *polygon[:1]), strict=True)


def _within(polygon: list[Spot], spot: Spot) -> bool:
    """Does a spot lie in a convex polygon: always on the same side of every edge."""
    x, y = spot
    turns = [(x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) for (x1, y1), (x2, y2) in _sides(polygon)]
    return bool(turns) and (min(turns) >= 0 or max(turns) <= 0)


def _hatch(hole: list[Spot]) -> Iterator[tuple[Spot, Spot]]:
    """Slanting strokes over the window, broken where they run through the hole: x + y is the same all along a stroke."""
    for start, end in slants(LEFT, TOP, RIGHT - LEFT, FOOT - TOP, HATCH_GAP):
        total = sum(start)
        cuts = [start[0], end[0]]
        for (x1, y1), (x2, y2) in _sides(hole):
            if (x1 + y1 < total) != (x2 + y2 < total):
                cuts.append(x1 + (x2 - x1) * (total - x1 - y1) / (x2 + y2 - x1 - y1))
        cuts.sort()
        for left, right in zip(cuts[::2], cuts[1::2], strict=True):
            if right - left > SHORTEST:
                yield (left, total - left), (right, total - right)
