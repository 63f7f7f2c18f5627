"""The blank chart of lesson 6: squared paper for silica and alumina, with the lines of equal ratio and nothing else."""

from collections.abc import Iterator

from glazekit.drawing.markup import Html, el
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import form, scroll, warning, write_in

SILICA_TO, ALUMINA_TO = 7.0, 0.9
"""Ends of the axes, which start at 0 [moles per mole of flux]: every published grid of data/ fits in."""
SILICA_SQUARE, ALUMINA_SQUARE = 0.1, 0.02
"""One small square [moles per mole of flux]."""
SILICA_LABEL, ALUMINA_LABEL = 5, 5
"""Small squares from one stronger line to the next: 0.5 of silica, 0.1 of alumina."""
RATIOS = (4, 5, 6, 8, 10)
"""Silica to alumina, by count."""

_SAY = Say("chart")
_MM = 96 / 25.4
"""Pixels in a millimetre, so that text in the picture is as large as text on the page."""
_WIDE, _HIGH = 3.0 * _MM, 2.5 * _MM
"""Sides of a small square: with these the whole chart fits on a sheet turned sideways."""
_LEFT, _TOP, _RIGHT, _BOTTOM = 19 * _MM, 8 * _MM, 18 * _MM, 14 * _MM
_ACROSS, _UP = round(SILICA_TO / SILICA_SQUARE), round(ALUMINA_TO / ALUMINA_SQUARE)
_WIDTH, _HEIGHT = _LEFT + _ACROSS * _WIDE + _RIGHT, _TOP + _UP * _HIGH + _BOTTOM


@printed_as("blank chart")
def blank_chart_html(*, fluxes: str = "", cone: str = "", who: str = "", begun_on: str = "") -> str:
    """A chart to draw tiles on, for A4 or US Letter turned sideways. ``fluxes``: the flux set of its glazes, such as "0.2
    potash, 0.8 lime"; it and the others are printed, or lines to write on."""
    others = (write_in(_SAY(name), value) for name, value in (("cone", cone), ("who", who), ("date", begun_on)))
    notes = form(write_in(_SAY("fluxes"), fluxes, class_="write-in stretch"), *others)
    chart = scroll(_SAY("title"), _chart())
    return sheet_page(_SAY, notes, chart, el("p", _SAY("marks")), warning(_SAY), turned=True)


def place(silica: float, alumina: float) -> tuple[float, float]:
    """Where a point of the chart stands in the picture [px from its left, px from its top].

    >>> place(0, 0)[1] > place(0, 0.9)[1], place(7, 0)[0] > place(0, 0)[0]
    (True, True)
    """
    return _LEFT + silica / SILICA_SQUARE * _WIDE, _TOP + (ALUMINA_TO - alumina) / ALUMINA_SQUARE * _HIGH


def _chart() -> Html:
    numbers = {"silica": f"{SILICA_TO:g}", "alumina": f"{ALUMINA_TO:g}", "ratios": ", ".join(map(str, RATIOS))}
    width, height = f"{_WIDTH:.1f}", f"{_HEIGHT:.1f}"
    size = {"viewBox": f"0 0 {width} {height}", "width": width, "height": height}
    marks = (*_squares(), *_ratio_lines(), *_axis_words())
    return el("svg", *marks, **size, class_="chart", role="img", aria_label=_SAY("picture", **numbers))


def _squares() -> Iterator[Html]:
    """Thin lines for each small square, stronger ones with a number, a frame."""
    thin: list[str] = []
    strong: list[str] = []
    for i in range(_ACROSS + 1):
        silica = i * SILICA_SQUARE
        (strong if i % SILICA_LABEL == 0 else thin).append(_line(silica, 0, silica, ALUMINA_TO))
    for i in range(_UP + 1):
        alumina = i * ALUMINA_SQUARE
        (strong if i % ALUMINA_LABEL == 0 else thin).append(_line(0, alumina, SILICA_TO, alumina))
    yield from (el("path", class_=name, d="".join(lines)) for name, lines in (("thin", thin), ("strong", strong)))


def _ratio_lines() -> Iterator[Html]:
    """From the corner where both are nothing, up to the edge of the paper; the ratio stands at the end."""
    corner = place(min(RATIOS) * ALUMINA_TO, ALUMINA_TO)
    for ratio in RATIOS:
        silica = min(SILICA_TO, ratio * ALUMINA_TO)
        yield el("path", class_="ratio", d=_line(0, 0, silica, silica / ratio))
        right, down, anchor = (0.0, -2.0, "middle") if silica < SILICA_TO else (1.5, 1.5, "start")
        yield _text(*_shifted(place(silica, silica / ratio), right, down), _SAY("ratio", ratio=ratio), anchor, "bold")
    yield _text(*_shifted(corner, -12, -2), _SAY("ratio_title"), "end")


def _axis_words() -> Iterator[Html]:
    left, bottom = place(0, 0)
    for i in range(0, _ACROSS + 1, SILICA_LABEL):
        yield _text(place(i * SILICA_SQUARE, 0)[0], bottom + 5 * _MM, f"{i * SILICA_SQUARE:g}")
    for i in range(0, _UP + 1, ALUMINA_LABEL):
        yield _text(left - 2 * _MM, place(0, i * ALUMINA_SQUARE)[1] + 1.5 * _MM, f"{i * ALUMINA_SQUARE:g}", "end")
    yield _text(*_shifted(place(SILICA_TO / 2, 0), 0, 11.5), _SAY("silica"), "middle", "bold")
    x, y = _shifted(place(0, ALUMINA_TO / 2), -14, 0)
    words = _text(0, 0, _SAY("alumina"), "middle", "bold")
    yield el("g", words, transform=f"translate({x:.1f} {y:.1f}) rotate(-90)")


def _shifted(point: tuple[float, float], right_mm: float, down_mm: float) -> tuple[float, float]:
    return point[0] + right_mm * _MM, point[1] + down_mm * _MM


def _line(silica: float, alumina: float, silica_to: float, alumina_to: float) -> str:
    (x1, y1), (x2, y2) = place(silica, alumina), place(silica_to, alumina_to)
    return f"M{x1:.2f} {y1:.2f}L{x2:.2f} {y2:.2f}"


def _text(x: float, y: float, words: str, anchor: str = "middle", class_: str = "plain") -> Html:
    return el("text", words, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor, class_=class_)
