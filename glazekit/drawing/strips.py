"""Two strips that cool: a glaze and a clay, loose and joined. Where the loose lengths differ, the joined pair bends."""

from collections.abc import Sequence
from dataclasses import dataclass

from glazekit.drawing.colours import INK, TONES
from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import drawing, path, rect, text

WIDTH, MIDDLE, LENGTH = 360.0, 180.0, 250.0
GLAZE_H, CLAY_H = 20.0, 40.0
LOOSE_Y, JOINED_Y, FOOT_Y = 44.0, 224.0, 318.0
LENGTH_TIMES, BEND_PX_PER_PCT = 180.0, 330.0
"""How far too large the loose lengths are drawn; how far the ends of the pair rise for each percent [px]."""
_STEPS = 24


@dataclass(frozen=True, slots=True)
class Cooling:
    """How far the pair has come: how much shorter than the clay the loose glaze is now, below 0 when it is longer [%]; the share
    of the way from the set point to the room [0 to 1]; is the glaze still soft, so that it follows the clay."""

    mismatch_pct: float
    shrunk: float
    soft: bool = False


def two_strips(cooling: Cooling, title: str, description: str, words: tuple[str, str, str, str, str, str]) -> Html:
    """The strips loose, one over the other, and below them the joined pair with the force in it.

    ``words``: over the loose strips; over the joined pair; on glaze; on clay; what the joined glaze is; under the drawing.

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

    def line(y: float) -> list[tuple[float, float]]:
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


def _arrow(top: Sequence[tuple[float, float]], side: int, outward: bool) -> Html:
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
