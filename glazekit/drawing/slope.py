"""Running as classes: leaning tiles with a tongue of glaze that reaches a class mark; marks are steps, not millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import TONES, dot, drawing, hatch, path, rect, text, wrap
from glazekit.ground.estimate import RUN_CLASSES

LEFT, TILE_W, STEP_X = 86.0, 60.0, 92.0
HEAD_Y, TOP_Y, EDGE_Y, FOOT_Y, SLAB_Y = 62.0, 128.0, 184.0, 282.0, 296.0
MARKS_Y = (EDGE_Y + 14, EDGE_Y + 44, EDGE_Y + 76, SLAB_Y + 6)
TOUCH_PX, MM_PX = 3.0, 7.0


@dataclass(frozen=True, slots=True)
class Leaning:
    """One glaze on one tile: what it is there for, its name, its class, and the classes at both ends of its interval, "" where
    nothing can be said. ``firm`` False draws it pale and dashed: the model is weak here."""

    role: str
    name: str
    reached: str
    low: str
    high: str
    firm: bool = True


def leaning_tiles(
    tiles: Sequence[Leaning], coat_mm: float, angle_deg: float, title: str, description: str, words: tuple[str, str, str]
) -> Html:
    """Up to three tiles side by side, above each the same slope and coat from the side. ``coat_mm``, ``angle_deg``: the coat [mm]
    and the lean [degrees], not to scale. ``words``: over the class marks; where nothing can be said; under the drawing.

    >>> tiles = [Leaning("mine", "a", "moves", "stays", "runs"), Leaning("beside", "b", "", "", "")]
    >>> svg = leaning_tiles(tiles, 0.5, 45, "t", "d", ("class", "?", "classes"))
    >>> svg.count('class="tongue"'), svg.count('class="range"'), svg.count('class="unknown"')
    (1, 1, 1)
    """
    width = LEFT + STEP_X * len(tiles) + 14
    parts = [text(2, TOP_Y + 18, words[0], 14, weight=650)]
    for name, y in zip(RUN_CLASSES, MARKS_Y, strict=True):
        parts += [text(2, y + 5, name, 14), path([(LEFT - 16, y), (width - 4, y)], line=1, dash="2 5", name="mark")]
    for i, tile in enumerate(tiles):
        parts += _tile(LEFT + i * STEP_X, tile, coat_mm, angle_deg, words[1])
    parts.append(path([(LEFT - 16, SLAB_Y + 18), (width - 4, SLAB_Y + 18)], line=4, name="slab"))
    foot = wrap(words[2], int(width / 8))
    parts += [text(2, SLAB_Y + 42 + 18 * k, line, 14) for k, line in enumerate(foot)]
    return drawing(title, description, width, SLAB_Y + 34 + 18 * len(foot), parts, max_px=int(width * 1.45))


def _tile(x: float, tile: Leaning, coat_mm: float, angle_deg: float, unknown: str) -> list[Html]:
    parts = [text(x, 14, tile.role, 13)]
    parts += [text(x, 31 + 16 * k, line, 14, weight=650) for k, line in enumerate(wrap(tile.name, 11)[:2])]
    parts += _from_the_side(x, coat_mm, angle_deg)
    parts.append(rect(x, TOP_Y, TILE_W, FOOT_Y - TOP_Y, TONES["straw"], name="tile"))
    if not tile.reached:
        parts.append(rect(x, TOP_Y, TILE_W, EDGE_Y - TOP_Y, "#ffffff", line=1, name="unknown"))
        return [*parts, text(x + TILE_W / 2, (TOP_Y + EDGE_Y) / 2 + 6, unknown, 20, anchor="middle", weight=650)]
    tip = MARKS_Y[RUN_CLASSES.index(tile.reached)]
    edge = [(x, EDGE_Y), (x + 10, EDGE_Y), (x + 16, tip - 8), (x + 21, tip), (x + 26, tip - 8), (x + 34, EDGE_Y + 6)]
    glaze = [(x, TOP_Y), *edge, (x + TILE_W, EDGE_Y + 2), (x + TILE_W, TOP_Y)]
    parts.append(path(glaze, TONES["slate"] if tile.firm else TONES["mist"], dash="" if tile.firm else "5 4", name="tongue"))
    if tile.reached == RUN_CLASSES[-1]:
        parts.append(rect(x + 6, SLAB_Y + 4, 34, 13, TONES["slate"] if tile.firm else TONES["mist"], name="pool"))
    top, foot = (MARKS_Y[RUN_CLASSES.index(name)] for name in (tile.low, tile.high))
    bar_x = x + TILE_W + 9
    parts.append(hatch(bar_x - 5, top - 5, 10, foot - top + 10, 5))
    parts.append(rect(bar_x - 5, top - 5, 10, foot - top + 10, "none", line=1.5, name="range"))
    return [*parts, dot(bar_x, tip, 4.5, TONES["deep water"] if tile.firm else "#ffffff", name="here")]


def _from_the_side(x: float, coat_mm: float, angle_deg: float) -> list[Html]:
    """The tile's edge on the slab, and its coat as a band on the upper side."""
    run, rise = cos(radians(angle_deg)), sin(radians(angle_deg))
    foot, length = (x + 6.0, HEAD_Y + 54.0), 48.0
    head = (foot[0] + run * length, foot[1] - rise * length)
    lift = TOUCH_PX + min(coat_mm, 2.0) * MM_PX

    def off(point: tuple[float, float], by: float) -> tuple[float, float]:
        return point[0] - rise * by, point[1] - run * by

    middle = ((foot[0] + head[0]) / 2, (foot[1] + head[1]) / 2)
    band = [off(middle, TOUCH_PX), off(head, TOUCH_PX), off(head, lift), off(middle, lift)]
    return [
        path([(x - 2, foot[1] + 2), (x + TILE_W, foot[1] + 2)], line=2),
        path([foot, head], line=6, stroke=TONES["wet clay"], name="lean"),
        path(band, TONES["slate"], line=1, name="coat"),
    ]
