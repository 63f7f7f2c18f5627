"""Pictures of the appendix: pure functions from numbers to SVG and tables. Nothing is told by colour alone."""

from collections.abc import Iterable, Sequence

import numpy as np

from glazekit.drawing.markup import Html, el
from glazekit.drawing.strokes import INK, LINE, PAPER, TONES, drawing, path, rect, text

FEW_TO_MANY = ("mist", "straw", "wet clay", "slate", "deep water")
CELLS = 46
WIDTH = 410.0
"""Narrow enough to be read on a phone."""


def cloud(measured: np.ndarray, said: np.ndarray, half_width: float, unit: str) -> Html:
    """Predicted against measured: darker squares hold more measurements; the band is the mean 90 % interval."""
    low, high = (float(edge) for edge in np.quantile(np.concatenate([measured, said]), [0.001, 0.999]))
    low, high = low - 0.03 * (high - low), high + 0.03 * (high - low)
    size, left, top = 330.0, 66.0, 12.0
    right, bottom, cell = left + size, top + size, size / CELLS
    counts, _, _ = np.histogram2d(measured, said, bins=CELLS, range=((low, high), (low, high)))
    steps = np.quantile(counts[counts > 0], [0.25, 0.5, 0.75, 0.9])
    squares = [
        el("rect", x=left + i * cell, y=bottom - (j + 1) * cell, width=cell, height=cell, fill=TONES[FEW_TO_MANY[tone]])
        for i, j in zip(*np.nonzero(counts), strict=True)
        for tone in [int(np.searchsorted(steps, counts[i, j]))]
    ]
    shift = size * half_width / (high - low)
    lines = [path([(left, bottom - off), (right, top - off)], line=1, dash="6 5" if off else "") for off in (0.0, shift, -shift)]
    window = el("clipPath", el("rect", x=left, y=top, width=size, height=size), id="gk-cloud")
    parts = [window, el("g", *squares, *lines, clip_path="url(#gk-cloud)"), rect(left, top, size, size, "none", LINE, 1)]
    for value in _ticks(low, high):
        at = size * (value - low) / (high - low)
        parts += [text(left + at, bottom + 18, f"{value:g}", anchor="middle")]
        parts += [text(left - 6, bottom - at + 5, f"{value:g}", anchor="end")]
    middle, y = top + size / 2, bottom + 72
    upright = el("g", text(14, middle, f"predicted [{unit}]", anchor="middle"), transform=f"rotate(-90 14 {middle:g})")
    parts += [text(left + size / 2, bottom + 42, f"measured [{unit}]", anchor="middle"), upright]
    parts += [text(left, y, "whole line: just right"), text(left, y + 22, "dashed: the 90 % interval, on average")]
    parts += [text(left, y + 48, "few glasses"), text(left + 200, y + 48, "many glasses")]
    parts += [rect(left + 92 + 20 * n, y + 35, 16, 16, TONES[tone], LINE, 1) for n, tone in enumerate(FEW_TO_MANY)]
    off = f"On average they differ by {np.abs(said - measured).mean():.2g} {unit}."
    return _picture(f"Predicted against measured, {len(measured)} measurements", off, y + 60, parts)


def bars(rows: Sequence[tuple[str, float, str]], unit: str, title: str, mark: float | None = None) -> Html:
    """Lying bars under their names and numbers; ``mark`` crosses each with a dash. A row is (name, value, number as text)."""
    left, step, most = 6.0, 44.0, WIDTH - 12
    largest = max([value for _, value, _ in rows] + [mark or 0.0])
    parts = []
    for row, (name, value, number) in enumerate(rows):
        y = 4 + row * step
        parts += [text(left, y + 15, name), text(left + most, y + 15, number, anchor="end")]
        parts.append(rect(left, y + 21, most * value / largest, 15, TONES["slate"], "none", name="bar"))
        if mark is not None:
            x = left + most * mark / largest
            parts += [path([(x, y + 20), (x, y + 39)], stroke=tone, line=thick) for tone, thick in ((PAPER, 5), (INK, 2))]
    bottom = 4 + len(rows) * step
    parts.append(text(left, bottom + 14, unit))
    said = "; ".join(f"{name}: {number}" for name, _, number in rows)
    return _picture(title, f"{said}; {unit}.", bottom + 26, parts)


def curves(widths: np.ndarray, lines: Sequence[tuple[str, str, np.ndarray]], unit: str, title: str) -> Html:
    """Shares in per cent over half width; a line is (name, dashes, shares). The level of 90 % is drawn thick."""
    left, top, wide, high, least = 60.0, 14.0, 336.0, 270.0, 50.0

    def place(width: float, share: float) -> tuple[float, float]:
        return left + wide * width / widths[-1], top + high * (100 - share) / (100 - least)

    parts = [rect(left, top, wide, high, "none", LINE, 1)]
    for share in (50, 60, 70, 80, 90, 100):
        _, y = place(0, share)
        parts.append(text(left - 8, y + 5, f"{share} %", anchor="end"))
        parts.append(path([(left, y), (left + wide, y)], stroke=LINE, line=2 if share == 90 else 0.5))
    for width in _ticks(0, widths[-1]):
        x, _ = place(width, least)
        parts.append(text(x, top + high + 20, f"{width:g}", anchor="middle"))
    for row, (name, dashes, shares) in enumerate(lines):
        x, y = left + wide / 2, top + high - 46 + 26 * row
        points = [place(width, share) for width, share in zip(widths, shares, strict=True) if share >= least]
        parts += [path(points, line=2.5, dash=dashes), path([(x, y - 5), (x + 34, y - 5)], line=2.5, dash=dashes)]
        parts.append(text(x + 42, y, name))
    under = f"half width of the interval [{unit}]"
    parts.append(text(left + wide / 2, top + high + 42, under, anchor="middle"))
    said = "; ".join(f"{name}: 90 % at {np.interp(90, shares, widths):.3g} {unit}" for name, _, shares in lines)
    return _picture(title, f"{said}.", top + high + 54, parts)


def table(head: Sequence[str], rows: Iterable[Sequence[str]], caption: str) -> Html:
    """A table; numbers stand to the right."""

    def cell(tag: str, place: int, words: str, scope: str = "") -> Html:
        side = "right" if place else "left"
        return el(tag, words, scope=scope, style=f"text-align:{side};padding:3px 12px;border-bottom:1px solid {LINE}")

    heads = el("tr", *(cell("th", place, name, "col") for place, name in enumerate(head)))
    body = (el("tr", cell("th", 0, name, "row"), *(cell("td", 1, each) for each in numbers)) for name, *numbers in rows)
    style = f"border-collapse:collapse;background:{PAPER};color:{INK};font:16px/1.4 system-ui,sans-serif"
    inside = el("table", el("thead", heads), el("tbody", *body), aria_label=caption, style=style)
    above = el("p", caption, style="margin:8px 0 2px;padding:0 12px")  # outside what scrolls, so that a phone shows it
    return above + el("div", inside, style="overflow-x:auto")


def _picture(title: str, said: str, height: float, parts: Iterable[Html]) -> Html:
    """On paper of its own, since the page around it may be dark."""
    svg = drawing(title, said, WIDTH, height, parts, max_px=int(WIDTH))
    return el("div", svg, style=f"max-width:{WIDTH:g}px;background:{PAPER};font-family:system-ui,sans-serif")


def _ticks(low: float, high: float) -> list[float]:
    """Round numbers between, five to ten of them."""
    step = 10.0 ** np.floor(np.log10(high - low))
    step *= next((part for part in (1.0, 0.5) if (high - low) / (step * part) >= 4), 0.2)
    first = np.ceil(low / step - 1e-9)
    return [round(float(each * step), 6) + 0.0 for each in np.arange(first, high / step + 1e-9)]
