"""The silica-alumina chart: a paper with what lies still on it, and over it a clear sheet with what moves."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from glazekit.drawing.chart_window import FOOT, HEIGHT, LEFT, RIGHT, TOP, WIDTH, Contours, Point, Window, axes, contours_on, pane
from glazekit.drawing.markup import Html, el, join
from glazekit.drawing.strokes import INK, LINE, PAPER, TONES, Spot, diamond, dot, drawing, path, rect, text


@dataclass(frozen=True, slots=True)
class ChartMark:
    """A small mark, quieter than the learner's own glaze, that says its words when the pointer rests on it. Its ``shape`` is
    "circle", "triangle", "square", "plus" or "cross", told apart without colour; ``size`` is half its width [drawing units]; a
    ``bold`` one is filled, or a cross ringed."""

    point: Point
    words: str
    shape: str
    stroke: str = LINE
    size: float = 3.5
    bold: bool = False


@dataclass(frozen=True, slots=True)
class ChartPaper:
    """What lies still: the axes with their words, ``marks`` for the glazes of a study or the tiles of a class, contours, and
    ``ratios``, lines of equal silica to alumina: (moles of silica for each of alumina, is it one that teachers point at)."""

    window: Window
    title: str
    description: str
    silica: str
    alumina: str
    ratios: tuple[tuple[float, bool], ...] = ()
    marks: tuple[ChartMark, ...] = ()
    contours: Contours | None = None


@dataclass(frozen=True, slots=True)
class ChartSheet:
    """What moves: the learner's glaze with what it says when the pointer rests on it, ``cloud``, the edge round where nine of ten
    batches would lie (empty for none), and ``trail``, where the glaze has been, oldest first."""

    window: Window
    title: str
    description: str
    glaze: Point
    words: str
    cloud: tuple[Point, ...] = ()
    trail: tuple[Point, ...] = ()


@lru_cache(maxsize=16)
def draw_paper(paper: ChartPaper) -> Html:
    """Axes and all that lies still, drawn once for equal papers.

    >>> svg = draw_paper(ChartPaper(Window(), "Chart", "Empty.", "silica", "alumina", ratios=((5.0, True),)))
    >>> ">silica</text>" in svg, svg.count("5:1")
    (True, 1)
    """
    window = paper.window
    lines, numbers = contours_on(window, paper.contours) if paper.contours else ([], [])
    marks = [_named(_shape(mark, window.spot(mark.point)), mark.words) for mark in paper.marks if window.shows(mark.point)]
    ground = rect(LEFT, TOP, RIGHT - LEFT, FOOT - TOP, PAPER, line=0)
    laid = pane([*lines, *_ratio_lines(paper), *marks, *numbers])
    parts = [ground, laid, *_ratio_numbers(paper), *axes(window, paper.silica, paper.alumina)]
    return drawing(paper.title, paper.description, WIDTH, HEIGHT, parts, max_px=620)


def draw_sheet(sheet: ChartSheet) -> Html:
    """The trail, the ring and the glaze on clear ground, so that a move repaints little."""
    return drawing(sheet.title, sheet.description, WIDTH, HEIGHT, [pane(_moving(sheet))], max_px=620)


def _moving(sheet: ChartSheet) -> Iterator[Html]:
    spots = sheet.window.spots(sheet.trail)
    if len(spots) > 1:
        yield path(spots, stroke=TONES["slate"], line=1, name="trail")
    for age, (x, y) in enumerate(spots, 1):  # dots from faint to firm
        firm = age / len(spots)
        yield el("circle", cx=x, cy=y, r=2 + 1.6 * firm, fill=TONES["slate"], opacity=0.2 + 0.6 * firm)
    if sheet.cloud:
        edge = sheet.window.spots((*sheet.cloud, sheet.cloud[0]))
        yield path(edge, stroke=TONES["deep water"], line=1.6, name="cloud")
    x, y = sheet.window.spot(sheet.glaze)
    yield _named(diamond(x, y, 9, TONES["deep water"], "#ffffff", 2, name="glaze", up=10), sheet.words)


def _ratio_lines(paper: ChartPaper) -> Iterator[Html]:
    """Lines through the corner where both are 0; those teachers point at are dashed and bold."""
    for ratio, pointed_at in paper.ratios:
        ends = paper.window.spots((alumina * ratio, alumina) for alumina in (0.0, 100.0))
        dash = "9 5" if pointed_at else ""
        yield path(ends, stroke=INK if pointed_at else LINE, line=1.8 if pointed_at else 1, dash=dash, name="ratio")


def _ratio_numbers(paper: ChartPaper) -> Iterator[Html]:
    """Each ratio where its line leaves the window."""
    (leftmost, rightmost), (bottom, top) = paper.window.silica, paper.window.alumina
    for ratio, pointed_at in paper.ratios:
        weight = 650 if pointed_at else 400
        if leftmost <= top * ratio <= rightmost:
            x, _ = paper.window.spot((top * ratio, top))
            yield text(x, TOP - 6, f"{ratio:g}:1", 14, anchor="middle", weight=weight)
        elif bottom <= rightmost / ratio <= top:
            _, y = paper.window.spot((rightmost, rightmost / ratio))
            yield text(RIGHT + 3, min(max(y + 5, TOP + 8), FOOT), f"{ratio:g}:1", 14 if ratio < 10 else 13, weight=weight)


def _shape(mark: ChartMark, spot: Spot) -> Html:
    (x, y), size, stroke = spot, mark.size, mark.stroke
    fill = stroke if mark.bold else "#ffffff"
    if mark.shape == "circle":
        return dot(x, y, size, fill, stroke)
    if mark.shape == "triangle":
        return path([(x, y - size * 1.2), (x + size * 1.1, y + size * 0.8), (x - size * 1.1, y + size * 0.8)], fill, stroke, 1.5)
    if mark.shape == "square":
        return path([(x - size, y - size), (x + size, y - size), (x + size, y + size), (x - size, y + size)], fill, stroke, 1.5)
    arms = ((0, size), (size, 0)) if mark.shape == "plus" else ((size, size), (size, -size))
    ring = [dot(x, y, size * 1.9, "none", INK, 1.6)] if mark.bold else []
    return join(*ring, *(path([(x - dx, y - dy), (x + dx, y + dy)], stroke=stroke, line=1.5) for dx, dy in arms))


def _named(mark: Html, words: str) -> Html:
    return el("g", el("title", words), mark)
