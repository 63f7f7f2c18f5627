"""Moles made visible: heaps of dots that can be counted, and the three trays and the shelf of a unity formula, on one scale."""

from collections.abc import Mapping, Sequence
from math import ceil, cos, floor, pi, sin

from glazekit.drawing.bars import tone
from glazekit.drawing.markup import Html, el, n
from glazekit.drawing.strokes import INK, TONES, dot, drawing, path, rect, round_step, text

LEFT, RADIUS, PITCH, PER_LINE = 4.0, 5.5, 14.6, 20
MOST_DOTS = 60
"""The largest heap has at most so many dots."""
Heaps = Sequence[tuple[str, float]]
"""(words for an oxide with its number, moles of it) [mol, in trays per mole of flux]."""
TOP_Y, FOOT_Y, TRAY_WIDTH, LINE_HEIGHT = 34.0, 250.0, 46.0, 17.0
LEAST_FULL_MOL = 4.5
"""The trays hold at least this, so that everyday glazes are drawn on one scale and can be compared by eye."""


def moles_per_dot(most_mol: float) -> float:
    """What one dot stands for: 1, 2 or 5 times a power of ten, so that the largest heap can still be counted [mol].

    >>> moles_per_dot(0.2975), moles_per_dot(0.1998), moles_per_dot(0.0135)
    (0.005, 0.005, 0.0005)
    """
    return round_step(most_mol / MOST_DOTS) if most_mol > 0 else 1.0


def counted_dots(heaps: Heaps, dot_mol: float, title: str, description: str) -> Html:
    """One heap of dots of ``dot_mol`` [mol] for each oxide; the last dot is filled as far as it counts.

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
    return drawing(title, description, 300, y - 12, parts, max_px=420)


def _place(k: int, y: float) -> tuple[float, float]:
    line, column = divmod(k, PER_LINE)
    return LEFT + RADIUS + 1 + column * PITCH, y + 17 + line * PITCH


def _part(x: float, y: float, share: float) -> Html:
    """A ring with a filled slice."""
    turn = 2 * pi * min(share, 0.999)
    end = f"{n(x + RADIUS * sin(turn))} {n(y - RADIUS * cos(turn))}"
    arc = f"M{n(x)} {n(y)}L{n(x)} {n(y - RADIUS)}A{n(RADIUS)} {n(RADIUS)} 0 {int(share > 0.5)} 1 {end}Z"
    return el("path", d=arc, fill=TONES["slate"], stroke="none") + dot(x, y, RADIUS, "none", INK, 1, name="part")


def trays(
    fluxes: Heaps, stabilisers: Heaps, formers: Heaps, boron: Heaps, title: str, description: str, words: Mapping[str, str]
) -> Html:
    """The formula as full trays, boron on a shelf of its own; equal heights are equal numbers of moles. ``words``: "fluxes",
    "stabiliser", "former", "boron" under the trays, "moles" at the scale.

    >>> words = dict(fluxes="fluxes", stabiliser="stabiliser", former="glass former", boron="boron", moles="moles")
    >>> svg = trays([("soda 0.3", 0.3), ("lime 0.7", 0.7)], [("alumina 0.4", 0.4)], [("silica 3", 3)], [], "t", "d", words)
    >>> svg.count('class="oxide"'), "lime 0.7" in svg
    (4, True)
    """
    highest = max(LEAST_FULL_MOL, *(sum(moles for _, moles in tray) for tray in (fluxes, stabilisers, formers)))
    height = FOOT_Y - TOP_Y
    px_per_mol = height / highest
    parts = _scale(highest, px_per_mol, words["moles"])
    parts += _tray(58, FOOT_Y, height, fluxes, px_per_mol, (words["fluxes"], ""), 0)
    parts += _labels(58, FOOT_Y, fluxes, px_per_mol)
    parts += _tray(252, FOOT_Y, height - 108, stabilisers, px_per_mol, (words["stabiliser"], _most(stabilisers)), 1)
    parts += _tray(350, FOOT_Y, height, formers, px_per_mol, (words["former"], _most(formers)), 4)
    if boron:
        shelf_y = TOP_Y + 54
        parts.append(path([(202, shelf_y + 3), (302, shelf_y + 3)], line=4, name="shelf"))
        parts += _tray(252, shelf_y, 44, boron, px_per_mol, (words["boron"], _most(boron)), 3)
    return drawing(title, description, 400, FOOT_Y + 44, parts, max_px=600)


def _scale(highest: float, px_per_mol: float, word: str) -> list[Html]:
    step = ceil(highest / 5)
    parts = [path([(26, TOP_Y), (26, FOOT_Y)], line=1.5), text(2, TOP_Y - 12, word, 14)]
    for k in range(0, int(highest) + 1, step):
        y = FOOT_Y - k * px_per_mol
        parts += [path([(22, y), (30, y)], line=1.5), text(18, y + 5, str(k), 14, anchor="end")]
    return parts


def _tray(
    middle_x: float, foot_y: float, height: float, content: Heaps, px_per_mol: float, below: tuple[str, str], first_tone: int
) -> list[Html]:
    """One open tray with its oxides from the foot up; below it its name and what lies in it."""
    parts, y, left, right = [], foot_y, middle_x - TRAY_WIDTH / 2, middle_x + TRAY_WIDTH / 2
    for i, (_, moles) in enumerate(content):
        y -= moles * px_per_mol
        parts.append(rect(left, y, TRAY_WIDTH, moles * px_per_mol, tone(first_tone + i), line=1, name="oxide"))
    edge = foot_y - height
    parts.append(path([(left - 3, edge), (left, foot_y), (right, foot_y), (right + 3, edge)], line=2.5, name="tray"))
    parts.append(text(middle_x, foot_y + 20, below[0], 14, anchor="middle", weight=650))
    return [*parts, text(middle_x, foot_y + 38, below[1], 14, anchor="middle")]


def _most(content: Heaps) -> str:
    """Words for the most plentiful oxide of a tray; the table names the rest."""
    return max(content, key=lambda pair: pair[1])[0] if content else ""


def _labels(middle_x: float, foot_y: float, content: Heaps, px_per_mol: float) -> list[Html]:
    """Words for each oxide beside its tray, never on top of one another."""
    middles, y = [], foot_y
    for _, moles in content:
        middles.append(y - moles * px_per_mol / 2)
        y -= moles * px_per_mol
    edge, label_x, parts = middle_x + TRAY_WIDTH / 2, middle_x + TRAY_WIDTH / 2 + 14, []
    for middle, label_y, (words, _) in zip(middles, _spread(middles, foot_y), content, strict=True):
        parts.append(path([(edge - 4, middle), (label_x - 3, label_y)], line=1))
        parts.append(text(label_x, label_y + 5, words, 14))
    return parts


def _spread(middles: Sequence[float], foot_y: float) -> list[float]:
    """Heights of the labels: at their oxide where there is room, otherwise pushed up, from the foot.

    >>> _spread([95.0, 94.0], 100)
    [92, 75.0]
    """
    placed: list[float] = []
    lowest = foot_y - 8
    for middle in middles:
        lowest = min(middle, lowest)
        placed.append(lowest)
        lowest -= LINE_HEIGHT
    return placed
