"""Three trays and a shelf: the oxides of a unity formula sorted and counted, all on one scale of moles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from glazekit.drawing.bars import tone
from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import drawing, path, rect, text

WIDTH, TOP_Y, FOOT_Y = 400.0, 34.0, 250.0
TRAY_WIDTH = 46.0
LINE_HEIGHT = 17.0
LEAST_FULL_MOL = 4.5
"""The trays hold at least this, so that everyday glazes are drawn on one scale and can be compared by eye."""

Content = Sequence[tuple[str, float]]
"""(words for one oxide with its number, moles per mole of flux)."""


def trays(
    fluxes: Content,
    stabilisers: Content,
    formers: Content,
    boron: Content,
    title: str,
    description: str,
    words: Mapping[str, str],
) -> Html:
    """The formula as full trays; equal heights are equal numbers of moles.

    ``fluxes``, ``stabilisers``, ``formers``: what lies in the three trays. ``boron``: what lies on the shelf of its own.
    ``words``: "fluxes", "stabiliser", "former", "boron" (names under the trays) and "moles" (at the scale).

    >>> words = dict(fluxes="fluxes", stabiliser="stabiliser", former="glass former", boron="boron", moles="moles")
    >>> svg = trays([("soda 0.3", 0.3), ("lime 0.7", 0.7)], [("alumina 0.4", 0.4)], [("silica 3", 3)], [], "t", "d", words)
    >>> svg.count('class="oxide"'), "lime 0.7" in svg
    (4, True)
    """
    highest = max(LEAST_FULL_MOL, *(sum(moles for _, moles in tray) for tray in (fluxes, stabilisers, formers)))
    px_per_mol = (FOOT_Y - TOP_Y) / highest
    parts = _scale(highest, px_per_mol, words["moles"])
    parts += _tray(58, FOOT_Y, fluxes, px_per_mol, FOOT_Y - TOP_Y, words["fluxes"])
    parts += _labels(58, FOOT_Y, fluxes, px_per_mol)
    parts += _tray(252, FOOT_Y, stabilisers, px_per_mol, FOOT_Y - TOP_Y - 108, words["stabiliser"], _caption(stabilisers), 1)
    parts += _tray(350, FOOT_Y, formers, px_per_mol, FOOT_Y - TOP_Y, words["former"], _caption(formers), 4)
    if boron:
        shelf_y = TOP_Y + 54
        parts.append(path([(202, shelf_y + 3), (302, shelf_y + 3)], line=4, name="shelf"))
        parts += _tray(252, shelf_y, boron, px_per_mol, 44, words["boron"], _caption(boron), 3)
    return drawing(title, description, WIDTH, FOOT_Y + 44, parts, max_px=600)


def _scale(highest: float, px_per_mol: float, word: str) -> list[Html]:
    step = ceil(highest / 5)
    parts = [path([(26, TOP_Y), (26, FOOT_Y)], line=1.5), text(2, TOP_Y - 12, word, 14)]
    for k in range(0, int(highest) + 1, step):
        y = FOOT_Y - k * px_per_mol
        parts += [path([(22, y), (30, y)], line=1.5), text(18, y + 5, str(k), 14, anchor="end")]
    return parts


def _tray(
    middle_x: float,
    foot_y: float,
    content: Content,
    px_per_mol: float,
    height: float,
    name: str,
    caption: str = "",
    first_tone: int = 0,
) -> list[Html]:
    """One open tray with its oxides from the foot up; below it its name and what lies in it."""
    parts, y, left, right = [], foot_y, middle_x - TRAY_WIDTH / 2, middle_x + TRAY_WIDTH / 2
    for i, (_, moles) in enumerate(content):
        y -= moles * px_per_mol
        parts.append(rect(left, y, TRAY_WIDTH, moles * px_per_mol, tone(first_tone + i), line=1, name="oxide"))
    edge = foot_y - height
    parts.append(path([(left - 3, edge), (left, foot_y), (right, foot_y), (right + 3, edge)], line=2.5, name="tray"))
    parts.append(text(middle_x, foot_y + 20, name, 14, anchor="middle", weight=650))
    return [*parts, text(middle_x, foot_y + 38, caption, 14, anchor="middle")]


def _caption(content: Content) -> str:
    """Words for the most plentiful oxide of a tray; the table names the rest."""
    return max(content, key=lambda pair: pair[1])[0] if content else ""


def _labels(middle_x: float, foot_y: float, content: Content, px_per_mol: float) -> list[Html]:
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
