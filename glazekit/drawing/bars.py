"""Bars: what is in the base and what lies on top of it."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.drawing.colours import TONES
from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import drawing, hatch, numbered, path, rect, text

WIDTH, BAR_Y, BAR_HEIGHT, LEFT, RIGHT = 360.0, 30.0, 54.0, 6.0, 354.0
_ORDER = ("slate", "mist", "wet clay", "straw", "deep water")


def tone(i: int) -> str:
    """Fill of the i-th part of a bar; neighbours differ in lightness, and every part also has a number."""
    return TONES[_ORDER[i % len(_ORDER)]]


Shares = Sequence[tuple[str, float]]
"""(material, percent of the base) in order [% of base]."""


def stacked_bar(base: Shares, on_top: Shares, title: str, base_word: str, top_word: str) -> Html:
    """One bar: the base fills 100, additions are hatched and stand beyond the 100 mark.

    ``base``: (material, percent of the base); together 100 [% of base]. ``on_top``: (material, percent of the base) [% of base].
    ``title``: heading for the ear. ``base_word``, ``top_word``: words under the two stretches.

    Numbers count the parts in order, in the bar or, where a part is narrow, below it; the table beside it names them.

    >>> svg = stacked_bar([("quartz", 60), ("whiting", 40)], [("tin oxide", 5)], "Half Clear", "base 100", "on top")
    >>> svg.count('class="base"'), svg.count('class="on-top"'), "quartz 60 %" in svg
    (2, 1, True)
    """
    total = sum(share for _, share in base) + sum(share for _, share in on_top)
    scale = (RIGHT - LEFT) / total if total > 0 else 0
    parts, x = [], LEFT
    for i, (_, share) in enumerate([*base, *on_top]):
        width = share * scale
        name = "base" if i < len(base) else "on-top"
        parts.append(rect(x, BAR_Y, width, BAR_HEIGHT, tone(i) if name == "base" else "#ffffff", name=name))
        if name == "on-top":
            parts.append(hatch(x, BAR_Y, width, BAR_HEIGHT, 7))
        if width > 20:
            parts.append(numbered(x + width / 2, BAR_Y + BAR_HEIGHT / 2, i + 1))
        else:
            parts.append(text(x + width / 2, BAR_Y + BAR_HEIGHT + 15, str(i + 1), 12, anchor="middle", weight=650))
        x += width
    mark = LEFT + sum(share for _, share in base) * scale
    parts += [path([(mark, BAR_Y - 8), (mark, BAR_Y + BAR_HEIGHT + 8)], line=3, name="mark")]
    parts.append(text(LEFT, BAR_Y - 12, base_word, 14))
    if on_top:
        parts.append(text(RIGHT, BAR_Y + BAR_HEIGHT + 34, top_word, 14, anchor="end"))
    spoken = f"{base_word}: {_spoken(base)}" + (f"; {top_word}: {_spoken(on_top)}" if on_top else "")
    return drawing(title, spoken, WIDTH, BAR_Y + BAR_HEIGHT + 42, parts, max_px=500)


def _spoken(shares: Shares) -> str:
    return ", ".join(f"{material} {round(share, 1):g} %" for material, share in shares)
