"""Bars: what is in the base and what lies on top; what stays of a powder in the kiln, and what leaves, for one and for many."""

from collections.abc import Sequence

from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import TONES, drawing, hatch, number_plate, path, rect, text

WIDTH, LEFT, RIGHT = 300.0, 4.0, 296.0
WIDE, WIDE_RIGHT = 372.0, 366.0
"""Narrow enough for a phone; the drawing of a whole recipe has longer words and is wide."""
RAW_Y, FIRED_Y, HEIGHT = 28.0, 132.0, 42.0
SMALLEST_PX = 0.5
LABEL_PX = 44.0
"""Room for the word over the lower bar; no stroke of gas is drawn through it."""
Parts = Sequence[tuple[str, float]]
"""(material, percent of the base) [% of base], or (oxide, grams) [g], in the order of the table beside the drawing."""
_ORDER = ("slate", "mist", "wet clay", "straw", "deep water")


def tone(i: int) -> str:
    """Fill of the i-th part of a bar; neighbours differ in lightness, and every part also has a number."""
    return TONES[_ORDER[i % len(_ORDER)]]


def stacked_bar(base: Parts, on_top: Parts, title: str, base_word: str, top_word: str) -> Html:
    """One bar: the base fills 100, additions are hatched and stand beyond the 100 mark. ``base``, together 100, and ``on_top``
    in percent of the base; ``base_word``, ``top_word``: words of the two stretches. Numbers count the parts in order, in the bar
    or, where a part is narrow, below it; the table beside it names them.

    >>> svg = stacked_bar([("quartz", 60), ("whiting", 40)], [("tin oxide", 5)], "Half Clear", "base 100", "on top")
    >>> svg.count('class="base"'), svg.count('class="on-top"'), "quartz 60 %" in svg
    (2, 1, True)
    """
    total = sum(share for _, share in base) + sum(share for _, share in on_top)
    left, right, top, height = 6.0, 354.0, 30.0, 54.0
    scale = (right - left) / total if total > 0 else 0
    parts, x = [], left
    for i, (_, share) in enumerate([*base, *on_top]):
        width = share * scale
        name = "base" if i < len(base) else "on-top"
        parts.append(rect(x, top, width, height, tone(i) if name == "base" else "#ffffff", name=name))
        if name == "on-top":
            parts.append(hatch(x, top, width, height, 7))
        if width > 20:
            parts.append(number_plate(x + width / 2, top + height / 2, i + 1))
        else:
            parts.append(text(x + width / 2, top + height + 15, str(i + 1), 12, anchor="middle", weight=650))
        x += width
    mark = left + sum(share for _, share in base) * scale
    parts += [path([(mark, top - 8), (mark, top + height + 8)], line=3, name="mark")]
    parts.append(text(left, top - 12, base_word, 14))
    if on_top:
        parts.append(text(right, top + height + 34, top_word, 14, anchor="end"))
    spoken = f"{base_word}: {_spoken(base)}" + (f"; {top_word}: {_spoken(on_top)}" if on_top else "")
    return drawing(title, spoken, 360, top + height + 42, parts, max_px=500)


def _spoken(shares: Parts) -> str:
    return ", ".join(f"{material} {round(share, 1):g} %" for material, share in shares)


def kiln_bars(
    raw_g: float,
    stays: Parts,
    leaves_g: float,
    title: str,
    description: str,
    words: tuple[str, str, str, str],
    full_g: float = 0.0,
) -> Html:
    """Two bars on one scale of grams: the powder as weighed, and below it what the kiln leaves of it.

    ``leaves_g`` is below zero when the powder takes something up [g]. ``words``: over the first bar; over the second; under what
    stays; under what leaves. ``full_g`` grams fill the width, so that two drawings can be compared, or the larger bar does.
    What leaves is an empty frame with strokes rising from it; what is taken up is hatched, beyond a mark at the raw weight.

    >>> svg = kiln_bars(20, [("CaO", 11.21)], 8.79, "t", "d", ("raw", "fired", "stays", "leaves"))
    >>> svg.count('class="stays"'), svg.count('class="leaves"'), svg.count('class="taken-up"')
    (1, 1, 0)
    """
    fired_g = sum(grams for _, grams in stays)
    px_per_g = (RIGHT - LEFT) / max(full_g, raw_g, fired_g)
    over_raw, over_fired, under_stays, under_leaves = words
    parts = [
        text(LEFT, RAW_Y - 10, over_raw, 14, weight=650),
        rect(LEFT, RAW_Y, raw_g * px_per_g, HEIGHT, TONES["mist"], name="raw"),
        text(LEFT, FIRED_Y - 10, over_fired, 14, weight=650),
    ]
    x = LEFT
    for i, (_, grams) in enumerate(stays):
        width = grams * px_per_g
        parts.append(rect(x, FIRED_Y, width, HEIGHT, tone(i), name="stays"))
        if width > 22:
            parts.append(number_plate(x + width / 2, FIRED_Y + HEIGHT / 2, i + 1))
        x += width
    if leaves_g * px_per_g > SMALLEST_PX:
        parts += _gone(x, leaves_g * px_per_g)
    elif leaves_g * px_per_g < -SMALLEST_PX:
        mark_x = LEFT + raw_g * px_per_g
        parts += [
            hatch(mark_x, FIRED_Y, x - mark_x, HEIGHT, 6),
            rect(mark_x, FIRED_Y, x - mark_x, HEIGHT, "none", line=2, name="taken-up"),
            path([(mark_x, RAW_Y - 4), (mark_x, FIRED_Y + HEIGHT + 6)], line=2, dash="5 4", name="mark"),
        ]
    foot = FIRED_Y + HEIGHT
    parts += [text(LEFT, foot + 20, under_stays, 14), text(LEFT, foot + 38, under_leaves, 14)]
    return drawing(title, description, WIDTH, foot + 46, parts, max_px=420)


def _gone(x: float, width: float) -> list[Html]:
    """An empty frame with strokes rising from it like heat."""
    corners = [(x, FIRED_Y), (x + width, FIRED_Y), (x + width, FIRED_Y + HEIGHT), (x, FIRED_Y + HEIGHT), (x, FIRED_Y)]
    parts = [path(corners, line=1.5, dash="5 4", name="leaves")]
    for k in range(strokes := max(1, min(6, int(width // 24)))):
        at = x + width * (k + 0.5) / strokes
        if at < LEFT + LABEL_PX:
            continue
        rising = [(at, FIRED_Y + 10), (at + 4, FIRED_Y), (at - 4, FIRED_Y - 12), (at + 3, FIRED_Y - 24), (at, FIRED_Y - 34)]
        parts.append(path(rising, line=1.5, name="rising"))
    return parts


def loss_bars(lines: Sequence[tuple[str, float, float]], title: str, description: str) -> Html:
    """One bar for each powder of a recipe, all on one scale: filled for what stays, an open hatched end for what leaves.
    ``lines``: (words over the bar, grams weighed, grams that leave; below zero when it takes something up) [g].

    >>> svg = loss_bars([("whiting", 14, 6.2), ("quartz", 22, 0)], "t", "d")
    >>> svg.count('class="stays"'), svg.count('class="leaves"')
    (2, 1)
    """
    px_per_g = (WIDE_RIGHT - LEFT) / max(max(raw_g, raw_g - leaves_g) for _, raw_g, leaves_g in lines)
    parts, y = [], 20.0
    for words, raw_g, leaves_g in lines:
        stays = (raw_g - max(leaves_g, 0.0)) * px_per_g
        parts.append(text(LEFT, y, words, 14))
        parts.append(rect(LEFT, y + 7, stays, 17, TONES["slate"], name="stays"))
        change = abs(leaves_g) * px_per_g
        if change > SMALLEST_PX:
            kind = "leaves" if leaves_g > 0 else "taken-up"
            parts += [hatch(LEFT + stays, y + 7, change, 17, 6), rect(LEFT + stays, y + 7, change, 17, "none", name=kind)]
        y += 46
    return drawing(title, description, WIDE, y - 14, parts, max_px=520)
