"""The opening drawing: a pot wall cut through, its coat of glaze, and what each material does there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import TONES, dot, drawing, path, rect, text, wrap

WIDTH, HEIGHT = 396, 372
WALL = (14.0, 62.0)
SURFACE_X = 92.0
TOP_Y, FOOT_Y, SHELF_Y = 44.0, 324.0, 336.0
LABEL_X = 142.0


@dataclass(frozen=True, slots=True)
class Job:
    """One material and its job in the coat, in the learner's words; ``effect`` is what the coat looks like without it."""

    material: str
    job: str
    effect: str


def coat_drawing(jobs: Sequence[Job], missing: str, words: Mapping[str, str]) -> Html:
    """The coat with one material left out, or with all of them. ``jobs``: the materials, top to bottom. ``missing``: name of the
    one left out. ``words``: "title", "description", "wall", "coat" and "shelf".

    >>> jobs = [Job("quartz", "is the glass", "cracked"), Job("kaolin", "holds it still", "runs")]
    >>> words = dict(title="A coat", description="All are in.", wall="pot", coat="glaze", shelf="shelf")
    >>> svg = coat_drawing(jobs, "quartz", words)
    >>> "line-through" in svg, "line-through" in coat_drawing(jobs, "", words)
    (True, False)
    """
    effect = next((job.effect for job in jobs if job.material == missing), "whole")
    parts = [*_wall(words), *COATS[effect](), *_labels(jobs, missing)]
    return drawing(words["title"], words["description"], WIDTH, HEIGHT, parts, max_px=560)


def _wall(words: Mapping[str, str]) -> list[Html]:
    left, right = WALL
    return [
        rect(left, TOP_Y, right - left, FOOT_Y - TOP_Y, TONES["straw"], name="wall"),
        *(dot(left + 9 + (i * 17) % 31, TOP_Y + 14 + i * 12.3, 1.3) for i in range(22)),
        path([(4, SHELF_Y), (LABEL_X - 10, SHELF_Y)], line=4),
        text(left - 10, TOP_Y - 10, words["wall"], 14),
        text(SURFACE_X - 14, TOP_Y - 10, words["coat"], 14),
        text(6, SHELF_Y + 20, words["shelf"], 14),
    ]


def _labels(jobs: Sequence[Job], missing: str) -> list[Html]:
    parts = []
    step = (FOOT_Y - TOP_Y + 26) / max(len(jobs), 1)
    for i, job in enumerate(jobs):
        y = TOP_Y + 4 + i * step
        gone = job.material == missing
        target = (WALL[1] + 10, TOP_Y + 20 + i * (FOOT_Y - TOP_Y - 40) / max(len(jobs) - 1, 1))
        parts.append(path([(LABEL_X - 4, y - 4), target], line=1, dash="2 5" if gone else ""))
        if not gone:
            parts.append(dot(*target, 3.2, fill="#ffffff"))
        parts.append(text(LABEL_X, y, job.material, weight=650, text_decoration="line-through" if gone else ""))
        parts += [text(LABEL_X, y + 17 + 16 * k, line, 14) for k, line in enumerate(wrap(job.job, 34)[:2])]
    return parts


def _coat(edge: Sequence[tuple[float, float]], tone: str = "slate") -> Html:
    """The coat between the wall and the given outer edge."""
    return path([(WALL[1], TOP_Y), *edge, (WALL[1], FOOT_Y)], TONES[tone], name="coat")


def _edge(offset: Sequence[float]) -> list[tuple[float, float]]:
    """Outer edge from top to foot at even steps, ``offset`` from the usual surface."""
    gap = (FOOT_Y - TOP_Y - 20) / max(len(offset) - 1, 1)
    return [(SURFACE_X + off, TOP_Y + 8 + i * gap) for i, off in enumerate(offset)]


def _shine(x: float) -> Html:
    return path([(x, TOP_Y + 34), (x, FOOT_Y - 60)], stroke="#ffffff", line=3.5, name="shine")


def _whole() -> list[Html]:
    return [_coat(_edge([-5, 0, 0, 0, 0, 0, -5])), _shine(SURFACE_X - 8)]


def _patchy() -> list[Html]:
    """Islands of glass with bare, dry gaps between."""
    left, right = WALL[1], SURFACE_X - 14
    islands = [
        path([(left, top), (right, top + 8), (right, foot - 8), (left, foot)], TONES["slate"], name="coat")
        for top, foot in ((50, 96), (116, 170), (196, 236), (262, 312))
    ]
    dust = [dot(left + 5 + (i % 3) * 5, y, 1.4) for i, y in enumerate((100, 106, 112, 174, 180, 186, 192, 240, 246, 252, 258))]
    return [*islands, *dust]


def _grainy() -> list[Html]:
    """A dry, sandy layer: the powder lies there as it was put on."""
    grains = [dot(WALL[1] + 6 + (i * 13) % 22, TOP_Y + 16 + i * 6.3, 1.7, fill="#ffffff") for i in range(41)]
    return [_coat(_edge([(-6 if i % 2 else 5) for i in range(29)]), "mist"), *grains]


def _stiff() -> list[Html]:
    """A dull, milky layer with pits where bubbles could not close."""
    edge = _edge([-5, 0, 0, -13, 0, 0, -12, 0, 0, -14, 0, 0, -12, 0, -5])
    bubbles = [dot(WALL[1] + 8 + (i * 11) % 15, TOP_Y + 26 + i * 22, 3.4, fill="#ffffff") for i in range(11)]
    return [_coat(edge, "mist"), *bubbles]


def _runs() -> list[Html]:
    """Thin above, a thick roll below and a drop on the shelf."""
    from_surface = ((-22, TOP_Y + 6), (-20, 150), (-12, 230), (6, 282), (16, 312), (24, SHELF_Y - 2))
    edge = [(SURFACE_X + off, y) for off, y in from_surface]
    return [_coat([*edge, (WALL[1] - 4, SHELF_Y - 2)]), _shine(SURFACE_X - 26)]


def _cracked() -> list[Html]:
    """Too fluid, and crossed by a net of fine cracks."""
    coat = _coat(_edge([-12, -9, -8, -8, -6, -4, -2]))
    left, right = WALL[1], SURFACE_X
    cracks = [
        path([(left + 1, y), (left + 9, y + 5), (left + 14, y + 2), (right - 8, y + 9)], stroke="#ffffff", line=1.8, name="crack")
        for y in range(int(TOP_Y) + 18, int(FOOT_Y) - 20, 24)
    ]
    return [coat, *cracks]


COATS = {"whole": _whole, "patchy": _patchy, "dry": _grainy, "dull": _stiff, "runs": _runs, "cracked": _cracked}
"""What the coat can look like; the course text names one for each material."""
