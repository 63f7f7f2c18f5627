"""Fit: two strips that cool, loose and joined; the change against a fired glaze, the glaze beside its clay, a bar an oxide."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from glazekit.drawing.markup import Html, join
from glazekit.drawing.strokes import INK, TONES, Spot, diamond, dot, drawing, hatch, path, rect, text, wrap

WIDTH, LEFT, RIGHT = 360.0, 14.0, 346.0
CHANGE_Y, OWN_Y, OWN_FOOT_Y, TILES_Y = 80.0, 214.0, 248.0, 290.0
ROW_H, BAR_H = 40.0, 14.0
At = Callable[[float], float]
"""Number -> place on the scale [px]."""
MIDDLE, LENGTH = 180.0, 250.0
GLAZE_H, CLAY_H = 20.0, 40.0
LOOSE_Y, JOINED_Y, FOOT_Y = 44.0, 224.0, 318.0
LENGTH_TIMES, BEND_PX_PER_PCT = 180.0, 330.0
"""How far too large the loose lengths are drawn; how far the ends of the pair rise for each percent [px]."""
_STEPS = 24
FATES = {"crazed": "✕", "flaked": "▽", "whole": "○"}


@dataclass(frozen=True, slots=True)
class Range:
    """A number with its interval; ``firm`` False draws it pale and dashed."""

    low: float
    value: float
    high: float
    firm: bool = True


@dataclass(frozen=True, slots=True)
class SeenTile:
    """A tile of the book: its calculated expansion, and what became of it ("crazed", "flaked" or "whole")."""

    value: float
    fate: str


@dataclass(frozen=True, slots=True)
class Share:
    """What an oxide adds, what it added in the reference, and the words of its row."""

    name: str
    detail: str
    adds: float
    was: float


def fit_scales(
    change: Range | None,
    glaze: Range | None,
    body: tuple[float, float],
    tiles: Sequence[SeenTile],
    title: str,
    description: str,
    words: dict[str, str],
) -> Html:
    """Two scales: above the change against the reference, below the glaze by itself beside its clay, and the tiles of the book.
    ``change`` and ``glaze``, the absolute estimate, are None where nothing can be said; ``body``: expansion of the clay and how
    far it may be off; ``words``: by the keys below.

    >>> keys = "change_head reference as_reference less more absolute_head axis clay glaze no_change no_number mark_tiles".split()
    >>> words = dict.fromkeys([*keys, *FATES], "w")
    >>> svg = fit_scales(Range(1, 2, 3), Range(6, 7, 8), (6.6, 0.5), [SeenTile(7.5, "crazed")], "t", "d", words)
    >>> svg.count('class="change"'), svg.count('class="glaze"'), svg.count('class="tile crazed"'), svg.count('class="clay"')
    (1, 1, 1, 1)
    """
    parts = [*_change_scale(change, words), *_own_scale(glaze, body, tiles, words)]
    return drawing(title, description, WIDTH, TILES_Y + 56 if tiles else OWN_FOOT_Y + 44, parts, max_px=560)


def _change_scale(change: Range | None, words: dict[str, str]) -> Iterator[Html]:
    for i, line in enumerate(wrap(f"{words['change_head']} {words['reference']}", 44)[:2]):
        yield text(LEFT, 18 + 18 * i, line, 14, weight=650)
    reach = max(2.0, ceil(max(abs(change.low), abs(change.high)))) if change else 2.0
    at = _scale(-reach, reach)
    yield from _axis(at, -reach, reach, CHANGE_Y + 22, signed=True)
    yield path([(at(0), CHANGE_Y - 30), (at(0), CHANGE_Y + 22)], line=2.5, name="zero")
    yield text(LEFT, CHANGE_Y + 58, f"◂ {words['less']}", 14)
    yield text(RIGHT, CHANGE_Y + 58, f"{words['more']} ▸", 14, anchor="end")
    yield text(at(0), CHANGE_Y + 58, words["as_reference"], 14, anchor="middle")
    if change:
        yield from _interval(at, change, CHANGE_Y, TONES["deep water"], "change")
    else:
        yield text((LEFT + RIGHT) / 2, CHANGE_Y - 6, words["no_change"], 14, anchor="middle", weight=650)


def _own_scale(
    glaze: Range | None, body: tuple[float, float], tiles: Sequence[SeenTile], words: dict[str, str]
) -> Iterator[Html]:
    middle, half = body
    numbers = [middle - half, middle + half, *(tile.value for tile in tiles)]
    numbers += [glaze.low, glaze.high] if glaze else []
    low, high = min(3.0, floor(min(numbers))), max(10.0, ceil(max(numbers)))
    at, top = _scale(low, high), OWN_Y - 22
    left, right = at(middle - half), at(middle + half)
    yield text(LEFT, OWN_Y - 46, words["absolute_head"], 14, weight=650)
    if half:
        yield hatch(left, top, right - left, OWN_FOOT_Y - top, 7)
    yield rect(left, top, right - left, OWN_FOOT_Y - top, "none", line=1.5, name="clay")
    yield text(at(middle), OWN_Y - 27, words["clay"], 14, anchor="middle")
    yield from _axis(at, low, high, OWN_FOOT_Y)
    yield text(RIGHT, OWN_FOOT_Y + 38, words["axis"], 13, anchor="end")
    if glaze:
        yield from _interval(at, glaze, OWN_Y + 8, TONES["slate"], "glaze")
    else:
        yield text(LEFT, OWN_Y + 14, words["no_number"], 14, weight=650)
    yield from (tile_mark(at(tile.value), TILES_Y + 10, tile.fate) for tile in tiles)
    # only the shapes that are there, so that no mark is counted twice by ear or eye
    said = [f"{sign} {words[fate]}" for fate, sign in FATES.items() if any(tile.fate == fate for tile in tiles)]
    if said:
        yield text(LEFT, TILES_Y + 44, f"{words['mark_tiles']} {', '.join(said)}", 14)


def tile_mark(x: float, y: float, fate: str) -> Html:
    """The shape of a tile: a cross for crazed, a triangle for flaked, a ring for whole."""
    name = f"tile {fate}"
    if fate == "crazed":
        return join(*(path([(x - 6, y - 6 * s), (x + 6, y + 6 * s)], line=3, name=name if s > 0 else "") for s in (1, -1)))
    if fate == "flaked":
        return path([(x - 7, y - 6), (x + 7, y - 6), (x, y + 7)], TONES["straw"], name=name)
    return dot(x, y, 6, "#ffffff", line=2.5, name=name)


def share_bars(shares: Sequence[Share], title: str, description: str, under: Sequence[str]) -> Html:
    """A bar for each oxide, from 0 to the right (to the left below 0); a thin mark where the reference stood. ``under``: lines
    under the bars: the sum with its interval, and what the thin mark is.

    >>> svg = share_bars([Share("soda", "4 mol % x 41", 1.64, 1.2), Share("zirconia", "1", -0.05, 0)], "t", "d", ["sum"])
    >>> svg.count('class="share"'), svg.count('class="was"')
    (2, 2)
    """
    numbers = [0.0, *(share.adds for share in shares), *(share.was for share in shares)]
    low, high = min(numbers), max(*numbers, 0.5)
    px = (RIGHT - LEFT) / (high - low)
    zero = LEFT - low * px
    parts, y = [], 4.0
    for share in shares:
        parts.append(text(LEFT + 6, y + 14, share.name, 14, weight=650))
        parts.append(text(RIGHT, y + 14, share.detail, 14, anchor="end"))
        x = zero + min(share.adds, 0) * px
        parts.append(rect(x, y + 20, abs(share.adds) * px, BAR_H, TONES["slate"], line=1, name="share"))
        mark = zero + share.was * px
        parts.append(path([(mark, y + 17), (mark, y + 20 + BAR_H + 3)], stroke="#ffffff", line=3.5))
        parts.append(path([(mark, y + 17), (mark, y + 20 + BAR_H + 3)], line=2, name="was"))
        y += ROW_H
    parts.append(path([(zero, 20), (zero, y)], line=1.5, name="zero"))
    lines = [line for given in under for line in wrap(given, 50)]
    parts += [text(LEFT, y + 18 + 18 * i, line, 14) for i, line in enumerate(lines)]
    return drawing(title, description, WIDTH, y + 8 + 18 * len(lines), parts, max_px=560)


def _scale(low: float, high: float) -> At:
    return lambda number: LEFT + (number - low) / (high - low) * (RIGHT - LEFT)


def _axis(at: At, low: float, high: float, y: float, signed: bool = False) -> list[Html]:
    step = 1 if high - low <= 8 else 2
    parts = [path([(at(low), y), (at(high), y)], line=2)]
    for number in range(ceil(low), floor(high) + 1):
        if (number - ceil(low)) % step == 0 or (signed and number == 0):
            said = f"{number:+d}" if signed and number else str(number)
            anchor = "start" if number == low else "end" if number == high else "middle"
            parts += [path([(at(number), y), (at(number), y + 5)], line=2), text(at(number), y + 19, said, 14, anchor=anchor)]
    return parts


def _interval(at: At, span: Range, y: float, fill: str, name: str) -> list[Html]:
    """The interval as a band, the number as a mark; pale, dashed and hollow where the model is weak."""
    left, right, here = at(span.low), at(span.high), at(span.value)
    top, foot = y - 9, y + 9
    box = [(left, top), (right, top), (right, foot), (left, foot)]
    band = path(box, TONES["mist"] if span.firm else "#ffffff", line=2, dash="" if span.firm else "5 4", name=name)
    return [band, diamond(here, y, 8, fill if span.firm else "#ffffff", line=2, up=13)]


@dataclass(frozen=True, slots=True)
class Cooling:
    """How far the pair has come: how much shorter than the clay the loose glaze is now, below 0 when it is longer [%]; the share
    of the way from the set point to the room [0 to 1]; is the glaze still soft, so that it follows the clay."""

    mismatch_pct: float
    shrunk: float
    soft: bool = False


def two_strips(cooling: Cooling, title: str, description: str, words: tuple[str, str, str, str, str, str]) -> Html:
    """The strips loose, one over the other, and below them the joined pair with the force in it. ``words``: over the loose
    strips; over the joined pair; on glaze; on clay; what the joined glaze is; under the drawing.

    >>> svg = two_strips(Cooling(0.06, 1.0), "t", "d", ("loose", "joined", "glaze", "clay", "pulled", "too large"))
    >>> svg.count('class="arrow"'), svg.count('class="glaze"'), svg.count('class="clay"')
    (2, 2, 2)
    """
    loose, joined, glaze, clay, force, foot = words
    fill, ink = _look(cooling)
    clay_px = LENGTH * (1 - 0.03 * cooling.shrunk)
    glaze_px = clay_px * (1 - LENGTH_TIMES * cooling.mismatch_pct / 100)
    parts = [text(4, 20, loose, 15, weight=650)]
    parts.append(rect(MIDDLE - glaze_px / 2, LOOSE_Y, glaze_px, GLAZE_H, fill, name="glaze"))
    parts.append(text(MIDDLE, LOOSE_Y + 15, glaze, 14, anchor="middle", fill=ink))
    parts.append(rect(MIDDLE - clay_px / 2, LOOSE_Y + GLAZE_H + 12, clay_px, CLAY_H, TONES["straw"], name="clay"))
    parts.append(text(MIDDLE, LOOSE_Y + GLAZE_H + 37, clay, 14, anchor="middle"))
    for end in (-1, 1):
        x = MIDDLE + end * clay_px / 2
        parts.append(path([(x, LOOSE_Y - 8), (x, LOOSE_Y + GLAZE_H + CLAY_H + 20)], line=1, dash="3 4", name="clay-end"))
    parts.append(text(4, JOINED_Y - 66, joined, 15, weight=650))
    parts += _joined(cooling, clay_px, glaze, clay, force)
    parts.append(text(4, FOOT_Y + 16, foot, 13))
    return drawing(title, description, WIDTH, FOOT_Y + 26, parts, max_px=560)


def _joined(cooling: Cooling, length: float, glaze: str, clay: str, force: str) -> list[Html]:
    bend = BEND_PX_PER_PCT * cooling.mismatch_pct

    def line(y: float) -> list[Spot]:
        """The pair seen from the side: ends up when the glaze on top is pulled."""
        steps = [2 * i / _STEPS - 1 for i in range(_STEPS + 1)]
        return [(MIDDLE + s * length / 2, y - bend * (s * s - 0.35)) for s in steps]

    top, seam, foot = line(JOINED_Y), line(JOINED_Y + GLAZE_H), line(JOINED_Y + GLAZE_H + CLAY_H)
    sink, (fill, ink) = 0.35 * bend, _look(cooling)
    parts = [
        path([*top, *reversed(seam)], fill, name="glaze"),
        path([*seam, *reversed(foot)], TONES["straw"], name="clay"),
        text(MIDDLE, JOINED_Y + GLAZE_H + 26 + sink, clay, 14, anchor="middle"),
        text(MIDDLE, JOINED_Y + 15 + sink, f"{glaze}: {force}", 14, anchor="middle", fill=ink, weight=650),
    ]
    if cooling.mismatch_pct and not cooling.soft:
        parts += [_arrow(top, side, cooling.mismatch_pct > 0) for side in (-1, 1)]
    return parts


def _arrow(top: Sequence[Spot], side: int, outward: bool) -> Html:
    """Above one half of the glaze: pointing out when it is pulled, in when it is squeezed."""
    inner, outer = (_STEPS // 2 + side * steps for steps in (5, 9))
    tail, head = (top[inner], top[outer]) if outward else (top[outer], top[inner])
    (x0, y0), (x1, y1) = (tail[0], tail[1] - 12), (head[0], head[1] - 12)
    along = 1 if x1 > x0 else -1
    slope = (y1 - y0) / (x1 - x0)
    wings = [(x1 - along * 9, y1 - along * 9 * slope + up) for up in (-6, 6)]
    shaft = path([(x0, y0), (x1, y1)], stroke=INK, line=3, name="arrow")
    return shaft + path([wings[0], (x1, y1), wings[1]], stroke=INK, line=3)


def _look(cooling: Cooling) -> tuple[str, str]:
    """Colour of the glaze, and of the words on it."""
    return (TONES["mist"], INK) if cooling.soft else (TONES["slate"], "#ffffff")
