"""Scales and egg boxes: what of a powder stays and what leaves, in grams; and the same in counted moles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor

from glazekit.lab.figures.bars import tone
from glazekit.lab.figures.frame import dot, drawing, hatch, path, rect, text
from glazekit.lab.theme import INK, LINE, TONES

WIDTH, LEFT, RIGHT, BAR_HEIGHT = 380.0, 6.0, 374.0, 42.0
DOTS_IN_A_ROW, DOT_GAP, DOT_RADIUS = 20, 17.6, 6.2
DOT_STEPS_MOL = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)
MOST_DOTS = 60

Parts = Sequence[tuple[str, float]]
"""(words, amount) in order."""


def fired_bar(raw_g: float, stays: Parts, gas_g: float, title: str, description: str, words: Mapping[str, str]) -> str:
    """Two bars on one scale of grams: the powder as weighed, and below it what stays (filled) and what leaves (hatched, dashed).

    Parameters
    ----------
    raw_g : mass weighed [g].
    stays : (symbol, grams) of each oxide; the symbol is written where there is room [g].
    gas_g : what leaves [g].
    title, description : for the ear.
    words : "raw", "stays" and "gas", written at the bars.

    >>> words = {"raw": "weighed 20 g", "stays": "stays 11.2 g", "gas": "leaves 8.8 g"}
    >>> svg = fired_bar(20, [("lime", 11.2)], 8.8, "Whiting", "said", words)
    >>> svg.count('class="stays"'), svg.count('class="gas"')
    (1, 1)
    """
    scale = (RIGHT - LEFT) / raw_g if raw_g else 0
    parts = [text(LEFT, 18, words["raw"], 14), rect(LEFT, 25, RIGHT - LEFT, BAR_HEIGHT, TONES["mist"], name="raw")]
    top, x = 112.0, LEFT
    for i, (sign, grams) in enumerate(stays):
        width = grams * scale
        parts.append(rect(x, top, width, BAR_HEIGHT, tone(i), name="stays"))
        plate = 10.0 + 9 * len(sign)
        if width > plate + 6:
            middle = x + width / 2
            parts.append(rect(middle - plate / 2, top + BAR_HEIGHT / 2 - 11, plate, 22, "#ffffff", line=1))
            parts.append(text(middle, top + BAR_HEIGHT / 2 + 5, sign, 14, anchor="middle"))
        x += width
    parts.append(text(LEFT, top - 8, words["stays"], 14))
    if gas_g > 0:
        width = gas_g * scale
        parts.append(hatch(x, top, width, BAR_HEIGHT, 9, LINE))
        outline = f'<rect class="gas" x="{x:.2f}" y="{top}" width="{width:.2f}" height="{BAR_HEIGHT}" fill="none" '
        parts.append(f'{outline}stroke="{INK}" stroke-width="1.5" stroke-dasharray="5 4"/>')
        parts.append(text(RIGHT, top + BAR_HEIGHT + 19, words["gas"], 14, anchor="end"))
    return drawing(title, description, WIDTH, top + BAR_HEIGHT + 28, parts, max_px=620)


def dot_step_mol(counts: Parts) -> float:
    """How many moles one dot stands for, so that the fullest box has at most 60 dots.

    >>> dot_step_mol([("lime", 0.1998)]), dot_step_mol([("silica", 0.0079)])
    (0.005, 0.001)
    """
    most = max((moles for _, moles in counts), default=0.0)
    return next((step for step in DOT_STEPS_MOL if most / step <= MOST_DOTS), DOT_STEPS_MOL[-1])


def egg_boxes(counts: Parts, title: str, description: str) -> str:
    """One box for each oxide with a dot for every so many moles; a last dot that is not full is left open.

    Parameters
    ----------
    counts : (words, moles) of each oxide [mol].
    title, description : for the ear.

    >>> svg = egg_boxes([("lime 0.012 mol", 0.012)], "Whiting", "said")
    >>> svg.count('class="mole"'), svg.count('class="part"')
    (12, 0)
    """
    step, y, parts = dot_step_mol(counts), 18.0, []
    for i, (words, moles) in enumerate(counts):
        parts.append(text(LEFT, y, words, 14))
        full = floor(moles / step + 1e-6)
        more = moles / step - full > 0.05
        y += 16
        for k in range(full + more):
            x = LEFT + DOT_RADIUS + 2 + (k % DOTS_IN_A_ROW) * DOT_GAP
            row_y = y + (k // DOTS_IN_A_ROW) * DOT_GAP
            parts.append(dot(x, row_y, DOT_RADIUS, tone(i)) if k < full else dot(x, row_y, DOT_RADIUS, "#ffffff"))
            parts[-1] = parts[-1].replace("<circle", f'<circle class="{"mole" if k < full else "part"}"', 1)
        rows = (full + more + DOTS_IN_A_ROW - 1) // DOTS_IN_A_ROW
        y += rows * DOT_GAP + 14
    return drawing(title, description, WIDTH, y, parts, max_px=620)


def gas_bars(rows: Sequence[tuple[str, float, float]], title: str, description: str) -> str:
    """One bar for each powder: its grams, and hatched at the right end what leaves.

    Parameters
    ----------
    rows : (words, grams weighed, grams that leave) [g].
    title, description : for the ear.

    >>> gas_bars([("whiting", 14, 6.2), ("quartz", 22, 0)], "Gas", "said").count('class="gas"')
    1
    """
    most = max((raw_g for _, raw_g, _ in rows), default=1.0) or 1.0
    scale, y, parts = (RIGHT - LEFT) / most, 4.0, []
    for words, raw_g, gas_g in rows:
        y += 16
        parts.append(text(LEFT, y, words, 14))
        y += 6
        parts.append(rect(LEFT, y, raw_g * scale, 16, TONES["mist"], line=1, name="raw"))
        if gas_g > 0:
            x, width = LEFT + (raw_g - gas_g) * scale, gas_g * scale
            parts.append(rect(x, y, width, 16, "#ffffff", line=1, name="gas"))
            parts.append(hatch(x, y, width, 16, 6))
        y += 22
    parts.append(path([(LEFT, 4), (LEFT, y)], line=1.5))
    return drawing(title, description, WIDTH, y + 4, parts, max_px=620)
