"""Pictures of the appendix: pure functions from numbers to SVG text. Nothing is told by colour alone."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

PAPER, INK, LINE = "#fbfaf6", "#1d2a2b", "#8b9694"
TONES = ("#dfe7e4", "#d9b36a", "#b27848", "#3f6369", "#17434a")
"""Few to many, light to dark, as on the panels of the lessons."""
CELLS = 46
_WIDTH = 410
"""Narrow enough to be read on a phone."""


def cloud(measured: np.ndarray, said: np.ndarray, half_width: float, unit: str) -> str:
    """Predicted against measured: darker squares hold more measurements; the band is the mean 90 % interval."""
    low, high = np.quantile(np.concatenate([measured, said]), [0.001, 0.999])
    low, high = low - 0.03 * (high - low), high + 0.03 * (high - low)
    size, left, top = 330.0, 66.0, 12.0
    counts, _, _ = np.histogram2d(measured, said, bins=CELLS, range=((low, high), (low, high)))
    steps = np.quantile(counts[counts > 0], [0.25, 0.5, 0.75, 0.9])
    cell = size / CELLS
    squares = "".join(
        f'<rect x="{left + i * cell:.1f}" y="{top + size - (j + 1) * cell:.1f}" width="{cell:.1f}" height="{cell:.1f}" '
        f'fill="{TONES[int(np.searchsorted(steps, counts[i, j]))]}"/>'
        for i, j in zip(*np.nonzero(counts), strict=True)
    )
    shift = size * half_width / (high - low)
    ends = f'x1="{left}" x2="{left + size}"'
    lines = "".join(
        f'<line {ends} y1="{top + size - off:.1f}" y2="{top - off:.1f}" stroke="{INK}" stroke-dasharray="{dashes}"/>'
        for off, dashes in ((0.0, "none"), (shift, "6 5"), (-shift, "6 5"))
    )
    clip = f'<clipPath id="gk-cloud"><rect x="{left}" y="{top}" width="{size}" height="{size}"/></clipPath>'
    body = f'{clip}<g clip-path="url(#gk-cloud)">{squares}{lines}</g>{_square_axes(low, high, left, top, size, unit)}'
    y = top + size + 72
    legend = _text(left, y, "whole line: just right") + _text(left, y + 22, "dashed: the 90 % interval, on average")
    legend += _text(left, y + 48, "few glasses") + _text(left + 200, y + 48, "many glasses")
    for n, tone in enumerate(TONES):
        legend += f'<rect x="{left + 92 + 20 * n}" y="{y + 35}" width="16" height="16" fill="{tone}" stroke="{LINE}"/>'
    return _svg(_WIDTH, y + 60, f"Predicted against measured, {len(measured)} measurements", body + legend)


def bars(rows: Sequence[tuple[str, float, str]], unit: str, title: str, mark: float | None = None) -> str:
    """Lying bars under their names and numbers; ``mark`` crosses each with a dash. A row is (name, value, number as text)."""
    left, step, most = 6.0, 44.0, _WIDTH - 12.0
    largest = max([value for _, value, _ in rows] + [mark or 0.0])
    parts = []
    for n, (name, value, number) in enumerate(rows):
        y = 4 + n * step
        parts.append(_text(left, y + 15, name))
        parts.append(_text(left + most, y + 15, number, anchor="end"))
        parts.append(f'<rect x="{left}" y="{y + 21:.0f}" width="{most * value / largest:.1f}" height="15" fill="{TONES[3]}"/>')
        if mark is not None:
            x = left + most * mark / largest
            parts += [_dash(x, y, PAPER, 5), _dash(x, y, INK, 2)]
    bottom = 4 + len(rows) * step
    parts.append(_text(left, bottom + 14, unit))
    return _svg(_WIDTH, bottom + 26, title, "".join(parts))


def curves(widths: np.ndarray, lines: Sequence[tuple[str, str, np.ndarray]], unit: str, title: str) -> str:
    """Shares in per cent over half width; a line is (name, dashes, shares). The level of 90 % is drawn thin."""
    left, top, wide, high = 60.0, 14.0, 336.0, 270.0
    least = 50.0

    def place(width: float, share: float) -> tuple[float, float]:
        return left + wide * width / widths[-1], top + high * (100 - share) / (100 - least)

    parts = [f'<rect x="{left}" y="{top}" width="{wide}" height="{high}" fill="none" stroke="{LINE}"/>']
    for share in (50, 60, 70, 80, 90, 100):
        _, y = place(0, share)
        parts.append(_text(left - 8, y + 5, f"{share} %", anchor="end"))
        ends = f'x1="{left}" x2="{left + wide}" y1="{y:.1f}" y2="{y:.1f}"'
        parts.append(f'<line {ends} stroke="{LINE}" stroke-width="{2 if share == 90 else 0.5}"/>')
    for width in _ticks(0, widths[-1]):
        x, _ = place(width, 50)
        parts.append(_text(x, top + high + 20, f"{width:g}", anchor="middle"))
    for n, (name, dashes, shares) in enumerate(lines):
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (place(w, s) for w, s in zip(widths, shares, strict=True) if s >= least))
        style = f'fill="none" stroke="{INK}" stroke-width="2.5" stroke-dasharray="{dashes}"'
        x, y = left + wide / 2, top + high - 46 + 26 * n
        parts.append(f'<polyline points="{points}" {style}/><line x1="{x}" x2="{x + 34}" y1="{y - 5}" y2="{y - 5}" {style}/>')
        parts.append(_text(x + 42, y, name))
    parts.append(_text(left + wide / 2, top + high + 42, f"half width of the interval [{unit}]", anchor="middle"))
    return _svg(_WIDTH, top + high + 54, title, "".join(parts))


def table(head: Sequence[str], rows: Sequence[Sequence[object]], caption: str) -> str:
    """A table as HTML; numbers stand to the right."""
    cell = 'style="text-align:{};padding:3px 12px;border-bottom:1px solid #8b9694"'
    tops = "".join(
        f'<th scope="col" {cell.format("right" if n else "left")}>{escape(str(name))}</th>' for n, name in enumerate(head)
    )
    body = "".join(
        "<tr>"
        + "".join(
            f"<{tag} {cell.format('right' if n else 'left')}>{escape(str(value))}</{tag.split()[0]}>"
            for n, value in enumerate(row)
            for tag in ("td" if n else 'th scope="row"',)
        )
        + "</tr>"
        for row in rows
    )
    style = f"border-collapse:collapse;background:{PAPER};color:{INK};font:16px/1.4 system-ui,sans-serif"
    above = f'<p style="margin:8px 0 2px;padding:0 12px">{escape(caption)}</p>'  # outside what scrolls, so that a phone shows it
    inside = f"<thead><tr>{tops}</tr></thead><tbody>{body}</tbody>"
    return f'{above}<div style="overflow-x:auto"><table aria-label="{escape(caption)}" style="{style}">{inside}</table></div>'


def _square_axes(low: float, high: float, left: float, top: float, size: float, unit: str) -> str:
    parts = [f'<rect x="{left}" y="{top}" width="{size}" height="{size}" fill="none" stroke="{LINE}"/>']
    for value in _ticks(low, high):
        at = size * (value - low) / (high - low)
        parts.append(_text(left + at, top + size + 18, f"{value:g}", anchor="middle"))
        parts.append(_text(left - 6, top + size - at + 5, f"{value:g}", anchor="end"))
    parts.append(_text(left + size / 2, top + size + 42, f"measured [{unit}]", anchor="middle"))
    middle = top + size / 2
    parts.append(f'<g transform="rotate(-90 14 {middle})">{_text(14, middle, f"predicted [{unit}]", anchor="middle")}</g>')
    return "".join(parts)


def _ticks(low: float, high: float) -> list[float]:
    """Round numbers between, five to ten of them."""
    step = 10.0 ** np.floor(np.log10(high - low))
    for part in (1.0, 0.5, 0.2):
        if (high - low) / (step * part) >= 4:
            break
    first = np.ceil(low / (step * part) - 1e-9)
    return [round(float(each * step * part), 6) + 0.0 for each in np.arange(first, high / (step * part) + 1e-9)]


def _dash(x: float, y: float, tone: str, thick: int) -> str:
    """Where the mark crosses a bar."""
    return f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{y + 20:.0f}" y2="{y + 39:.0f}" stroke="{tone}" stroke-width="{thick}"/>'


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{INK}" font-size="15">{escape(words)}</text>'


def _svg(width: float, height: float, title: str, body: str) -> str:
    return (
        f'<svg role="img" aria-label="{escape(title)}" viewBox="0 0 {width} {height:.0f}" width="{width}" '
        f'style="max-width:100%;background:{PAPER};font-family:system-ui,sans-serif"><title>{escape(title)}</title>{body}</svg>'
    )
