"""Water drawings: the cup that fills step by step, and the coat that grows with the dip."""

from collections.abc import Callable, Sequence
from math import ceil

from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import TONES, diamond, dot, drawing, path, rect, round_step, text

CUP_FOOT_Y, CUP_HEIGHT, CUP_LEFT, CUP_WIDTH = 232.0, 190.0, 24.0, 120.0
LABEL_APART = 16.0
"""Labels of two levels need this much room from one to the next."""
Dip = tuple[float, float]
"""(dip [s], coat [mm])."""


def water_cup(
    powder_ml: float, levels_ml: Sequence[float], title: str, description: str, words: str, unit_words: Callable[[float], str]
) -> Html:
    """A cup with the powder's own volume below and each addition of water as a layer above. ``powder_ml``: volume of the grains
    [mL], ``words`` its label. ``levels_ml``: total water after each line of the log [mL], in order; ``unit_words`` tells one.

    >>> svg = water_cup(38.5, [60, 70], "Cup", "70 mL of water", "powder", lambda ml: f"{ml:.0f} mL")
    >>> svg.count('class="water"'), "70 mL" in svg
    (2, True)
    """
    full_ml = max(levels_ml, default=0) + powder_ml
    scale = CUP_HEIGHT * 0.92 / max(full_ml, 1)
    parts, y = [], CUP_FOOT_Y - powder_ml * scale
    if levels_ml:
        parts.append(rect(CUP_LEFT, y, CUP_WIDTH, powder_ml * scale, TONES["straw"], name="powder"))
        parts.append(text(CUP_LEFT + CUP_WIDTH + 17, (y + CUP_FOOT_Y) / 2 + 5, words, 14))
    levels = sorted({level for level in levels_ml if level > 0})
    named = _far_enough_apart(levels, LABEL_APART / scale)
    below = 0.0
    for i, level in enumerate(levels):
        top = y - level * scale
        fill = TONES["mist"] if i % 2 else "#ffffff"
        parts.append(rect(CUP_LEFT, top, CUP_WIDTH, (level - below) * scale, fill, line=1, name="water"))
        if level in named:
            parts += [path([(CUP_LEFT + CUP_WIDTH, top), (CUP_LEFT + CUP_WIDTH + 12, top)], line=1.5)]
            parts.append(text(CUP_LEFT + CUP_WIDTH + 17, top + 5, unit_words(level), 14))
        below = level
    cup = [(CUP_LEFT - 8, CUP_FOOT_Y - CUP_HEIGHT - 12), (CUP_LEFT, CUP_FOOT_Y), (CUP_LEFT + CUP_WIDTH, CUP_FOOT_Y)]
    parts.append(path([*cup, (CUP_LEFT + CUP_WIDTH + 8, CUP_FOOT_Y - CUP_HEIGHT - 12)], line=3, name="cup"))
    if levels_ml:
        now = y - levels_ml[-1] * scale
        parts.append(path([(CUP_LEFT - 18, now), (CUP_LEFT - 4, now)], line=4, name="now"))
    return drawing(title, description, 300, CUP_FOOT_Y + 14, parts, max_px=340)


def _far_enough_apart(levels_ml: Sequence[float], apart_ml: float) -> list[float]:
    """The levels whose labels do not run into one another; the highest, which is what is in the bucket now, always.

    >>> _far_enough_apart([60, 70, 80, 90], 15)
    [90, 70]
    """
    named: list[float] = []
    for level in reversed(levels_ml):
        if not named or named[-1] - level >= apart_ml:
            named.append(level)
    return named


def suction_curve(
    curve: Sequence[Dip], here: Dip, tile: Dip, title: str, description: str, words: tuple[str, str, str, str]
) -> Html:
    """Coat against dip time: a curve that flattens, the class's measured tile on it, and the learner's own dip. ``words``: label
    of the time axis, of the coat axis, of the tile mark, of the learner's mark.

    >>> svg = suction_curve([(0, 0), (4, 1), (16, 2)], (4, 1), (4, 1), "Coat", "1 mm", ("s", "mm", "tile", "you"))
    >>> svg.count("<circle"), 'class="curve"' in svg
    (2, True)
    """
    left, right, top, foot = 46.0, 346.0, 30.0, 214.0
    seconds = max([dip for dip, _ in curve] + [here[0], tile[0]])
    most = max([mm for _, mm in curve] + [here[1], tile[1]])
    step = round_step(most / 4)
    most = step * ceil(most / step - 1e-9)
    second_step = round_step(seconds / 5)

    def spot(dip_s: float, coat_mm: float) -> tuple[float, float]:
        return left + dip_s / seconds * (right - left), foot - coat_mm / most * (foot - top)

    parts = [path([(left, top - 6), (left, foot), (right, foot)], line=2)]
    for k in range(round(most / step) + 1):
        parts.append(text(left - 6, spot(0, k * step)[1] + 5, f"{k * step:g}", 14, anchor="end"))
    for k in range(int(seconds / second_step) + 1):
        parts.append(text(spot(k * second_step, 0)[0], foot + 18, f"{k * second_step:g}", 14, anchor="middle"))
    parts.append(path([spot(*point) for point in curve], stroke=TONES["slate"], line=3, name="curve"))
    x, y = spot(*here)
    parts.append(path([(x, foot), (x, y), (left, y)], line=1.5, dash="5 4", name="here"))
    tx, ty = spot(*tile)
    parts.append(diamond(tx, ty, 8, TONES["straw"], line=2, name="tile"))
    parts.append(dot(x, y, 6, TONES["deep water"]))
    parts += [text(left, 14, words[1], 14), text(right, foot + 38, words[0], 14, anchor="end")]
    legend_y = foot + 64
    parts += [diamond(54, legend_y - 5, 8, TONES["straw"], line=2), text(70, legend_y, words[2], 14)]
    parts += [dot(214, legend_y - 5, 6, TONES["deep water"]), text(226, legend_y, words[3], 14)]
    return drawing(title, description, 360, legend_y + 12, parts, max_px=440)
