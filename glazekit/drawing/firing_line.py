"""The line of a firing: what was planned, what the kiln did, and at which heat something happens in the ware; and cones."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, radians, sin

from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import INK, LINE, TONES, diamond, dot, drawing, path, rect, text

WIDTH, LEFT, RIGHT, TOP, FOOT = 372.0, 52.0, 336.0, 34.0, 262.0
TEMP_STEP_C, LABEL_GAP = 200.0, 19.0
Timed = Sequence[tuple[float, float]]
"""(hours since the start [h], temperature [C]), in the order of time."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens in the ware between two temperatures [C]; ``number`` is its place in the list beside the drawing."""

    number: int
    low_c: float
    high_c: float


def firing_line(
    planned: Timed, readings: Timed, events: Sequence[Event], title: str, description: str, words: tuple[str, str, str, str]
) -> Html:
    """Temperature over hours. ``readings``, what the kiln did, may be empty; the bands of ``events`` have their number at the
    right edge. ``words`` of the temperature axis, the hours axis, the plan, the readings.

    >>> svg = firing_line([(0, 20), (6, 600)], [(0, 18), (5, 480)], [Event(1, 573, 573)], "t", "d", ("T", "h", "plan", "read"))
    >>> svg.count('class="plan"'), svg.count('class="reading"'), svg.count('class="event"')
    (1, 2, 1)
    """
    both = [*planned, *readings]
    hours = max(max(h for h, _ in both), 1.0)
    top_c = TEMP_STEP_C * ceil((max(c for _, c in both) + 30) / TEMP_STEP_C)

    def spot(h: float, c: float) -> tuple[float, float]:
        return LEFT + h / hours * (RIGHT - LEFT), FOOT - max(c, 0.0) / top_c * (FOOT - TOP)

    parts = _events(events, top_c, spot(0, 0)[1])
    parts.append(path([(LEFT, TOP - 6), (LEFT, FOOT), (RIGHT, FOOT)], line=2))
    for k in range(round(top_c / TEMP_STEP_C) + 1):
        parts.append(text(LEFT - 6, spot(0, k * TEMP_STEP_C)[1] + 5, f"{k * TEMP_STEP_C:g}", 14, anchor="end"))
    step_h = next(step for step in (1, 2, 3, 4, 6, 12, 24, 48, 168) if hours / step <= 7 or step == 168)
    for k in range(int(hours / step_h) + 1):
        parts.append(text(spot(k * step_h, 0)[0], FOOT + 18, f"{k * step_h:g}", 14, anchor="middle"))
    parts.append(path([spot(*point) for point in planned], stroke=TONES["slate"], line=3.5, name="plan"))
    if readings:
        places = [spot(*point) for point in readings]
        parts.append(path(places, stroke=TONES["wet clay"], line=2, dash="6 4", name="did"))
        parts += [diamond(*place, 6, TONES["straw"], name="reading") for place in places]
    parts += [text(LEFT - 46, 16, words[0], 14), text(RIGHT, FOOT + 38, words[1], 14, anchor="end")]
    legend = FOOT + 62
    parts += [path([(LEFT - 40, legend - 5), (LEFT - 14, legend - 5)], stroke=TONES["slate"], line=3.5)]
    parts.append(text(LEFT - 8, legend, words[2], 14))
    if readings:
        parts += [diamond(196, legend - 5, 6, TONES["straw"]), text(208, legend, words[3], 14)]
    return drawing(title, description, WIDTH, legend + 12, parts, max_px=440)


def _events(events: Sequence[Event], top_c: float, foot: float) -> list[Html]:
    """Bands over the whole width; their numbers in a column at the right, moved apart where bands lie close."""
    parts: list[Html] = []
    last_y = foot + LABEL_GAP
    for event in sorted(events, key=lambda one: one.low_c + one.high_c):
        low_y, high_y = (FOOT - c / top_c * (FOOT - TOP) for c in (event.low_c, event.high_c))
        y = (low_y + high_y) / 2
        if low_y - high_y > 2:
            parts.append(rect(LEFT, high_y, RIGHT - LEFT, low_y - high_y, TONES["mist"], LINE, 1, name="event"))
        else:
            parts.append(path([(LEFT, y), (RIGHT, y)], line=1, dash="3 4", name="event"))
        label_y = last_y = min(y, last_y - LABEL_GAP)
        parts.append(path([(RIGHT, y), (RIGHT + 14, label_y)], line=1))
        parts += [dot(RIGHT + 22, label_y, 9, "#ffffff"), text(RIGHT + 22, label_y + 5, str(event.number), 13, anchor="middle")]
    return parts


LEANS = {"down": 125.0, "perhaps": 55.0, "standing": 8.0}
"""How far each cone leans over [degrees]; the word stands under it."""


def cone_row(cones: Sequence[tuple[str, str]], words: Sequence[str], title: str, description: str) -> Html:
    """A few cones in a row. ``cones``: (number, state), a state of ``LEANS``, low cone first. ``words``: under each, its state.

    >>> cone_row([("5", "down"), ("6", "perhaps")], ["down", "perhaps"], "t", "d").count('class="cone"')
    2
    """
    step, foot = 92.0, 84.0
    width = step * len(cones) + 8
    parts = [rect(4, foot, width - 8, 14, TONES["straw"], INK, 1.5)]
    for i, ((number, state), word) in enumerate(zip(cones, words, strict=True)):
        x = i * step + 34
        parts.append(path(_leaning(x, foot, LEANS[state]), TONES["slate"], line=1.5, name="cone"))
        parts.append(text(x + 8, foot + 32, number, 14, anchor="middle", weight=650))
        parts.append(text(x + 8, foot + 50, word, 14, anchor="middle"))
    return drawing(title, description, width, foot + 58, parts, max_px=int(1.3 * width))


def _leaning(x: float, foot: float, lean_deg: float) -> list[tuple[float, float]]:
    """A cone of eight slices, each leaning a little more than the one below it."""
    slices, height, half = 8, 70.0, 8.0
    left, right = [(x, foot)], [(x + 2 * half, foot)]
    at = (x + half, foot)
    for i in range(1, slices + 1):
        lean = radians(lean_deg * i / slices * 1.25)
        at = (at[0] + sin(lean) * height / slices, min(at[1] - cos(lean) * height / slices, foot - 2))
        thin = half * (1 - i / (slices + 0.6))
        left.append((at[0] - cos(lean) * thin, at[1] - sin(lean) * thin))
        right.append((at[0] + cos(lean) * thin, at[1] + sin(lean) * thin))
    return [*left, *reversed(right)]
