"""Moles as dots: each oxide a heap that can be counted, all heaps with dots of one size."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, cos, floor, log10, pi, sin

from glazekit.drawing.colours import INK, TONES
from glazekit.drawing.markup import Html, el, n
from glazekit.drawing.strokes import dot, drawing, text

WIDTH, LEFT = 300.0, 4.0
RADIUS, PITCH, PER_LINE = 5.5, 14.6, 20
MOST_DOTS = 60
"""The largest heap has at most so many dots."""

Heaps = Sequence[tuple[str, float]]
"""(words for an oxide, moles of it) [mol]."""


def moles_per_dot(most_mol: float) -> float:
    """What one dot stands for: 1, 2 or 5 times a power of ten, so that the largest heap can still be counted [mol].

    >>> moles_per_dot(0.2975), moles_per_dot(0.1998), moles_per_dot(0.0135)
    (0.005, 0.005, 0.0005)
    """
    if most_mol <= 0:
        return 1.0
    wanted = most_mol / MOST_DOTS
    power = 10.0 ** floor(log10(wanted))
    return float(f"{next(step * power for step in (1, 2, 5, 10) if step * power >= wanted * (1 - 1e-9)):.3g}")


def counted_dots(heaps: Heaps, dot_mol: float, title: str, description: str) -> Html:
    """One heap of dots for each oxide; the last dot is filled as far as it counts.

    ``heaps``: what to count. ``dot_mol``: what one dot stands for [mol].

    >>> svg = counted_dots([("soda", 0.05), ("silica", 0.3)], 0.05, "t", "d")
    >>> svg.count('class="whole"'), svg.count('class="part"')
    (7, 0)
    """
    parts, y = [], 18.0
    for words, moles in heaps:
        parts.append(text(LEFT, y, words, 14, weight=650))
        count = moles / dot_mol
        whole = floor(count + 1e-6)
        rest = max(0.0, count - whole)
        for k in range(whole):
            parts.append(dot(*_place(k, y), RADIUS, TONES["slate"], line=1, name="whole"))
        if rest > 1e-3:
            parts.append(_part(*_place(whole, y), rest))
        y += 20 + PITCH * max(1, ceil((whole + (rest > 1e-3)) / PER_LINE)) + 8
    return drawing(title, description, WIDTH, y - 12, parts, max_px=420)


def _place(k: int, y: float) -> tuple[float, float]:
    line, column = divmod(k, PER_LINE)
    return LEFT + RADIUS + 1 + column * PITCH, y + 17 + line * PITCH


def _part(x: float, y: float, share: float) -> Html:
    """A ring with a filled slice."""
    turn = 2 * pi * min(share, 0.999)
    end = f"{n(x + RADIUS * sin(turn))} {n(y - RADIUS * cos(turn))}"
    arc = f"M{n(x)} {n(y)}L{n(x)} {n(y - RADIUS)}A{n(RADIUS)} {n(RADIUS)} 0 {int(share > 0.5)} 1 {end}Z"
    return el("path", d=arc, fill=TONES["slate"], stroke="none") + dot(x, y, RADIUS, "none", INK, 1, name="part")
