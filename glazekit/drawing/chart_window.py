"""The window of the silica-alumina chart: what it shows, where that lies on paper, and its axes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from glazekit.drawing.markup import Html, el, n
from glazekit.drawing.strokes import Spot, path, round_step, text

WIDTH, HEIGHT = 392.0, 372.0
LEFT, RIGHT, TOP, FOOT = 44.0, 350.0, 46.0, 318.0
WHOLE_SILICA, WHOLE_ALUMINA = 7.0, 1.0

Point = tuple[float, float]
"""(silica, alumina) [moles per mole of flux]."""


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
