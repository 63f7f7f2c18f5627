"""Drawings of lesson 10, read back from the SVG: the line of a firing, leaning cones, tongues that reach a class mark."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from drawings import SVG, check_heard_and_framed, named, points

from glazekit.drawing.firing_line import LEANS, Event, cone_row, firing_line
from glazekit.drawing.slope import Leaning, leaning_tiles
from glazekit.ground.estimate import RUN_CLASSES

PLAN = [(0.0, 20.0), (5.8, 600.0), (9.3, 1120.0), (11.0, 1222.0), (11.2, 1222.0)]
AXES = ("temperature", "hours", "planned", "did")
WORDS = ("class", "?", "classes, not distances")


def tip(svg: str) -> float:
    return max(y for _, y in points(named(svg, "tongue")[0]))


def one(reached: str, coat_mm: float = 0.5, angle_deg: float = 45) -> str:
    return leaning_tiles([Leaning("mine", "mine", reached, reached, reached)], coat_mm, angle_deg, "Tray", "said", WORDS)


ALL = [
    firing_line(PLAN, [(0, 18), (12, 1230)], [Event(1, 573, 573), Event(2, 400, 700)], "Firing", "said", AXES),
    firing_line([(0, 20), (160, 1400)], [], [Event(i, 20 * i, 20 * i) for i in range(1, 7)], "Firing", "said", AXES),
    cone_row([("5", "down"), ("6", "perhaps"), ("7", "standing")], ["down", "perhaps", "standing"], "Cones", "said"),
    leaning_tiles(
        [Leaning("mine", "A name of many words", name, "stays", name) for name in RUN_CLASSES[1:]], 2, 90, "Tray", "said", WORDS
    ),
    leaning_tiles([Leaning("mine", "mine", "", "", "")], 0.1, 5, "Tray", "said", WORDS),
]


@pytest.mark.parametrize("svg", ALL)
def test_every_drawing_can_be_heard_and_fits_its_frame(svg: str) -> None:
    check_heard_and_framed(svg)


def test_equal_degrees_are_equal_heights_and_equal_hours_equal_widths() -> None:
    (line,) = named(firing_line([(0, 0), (2, 300), (6, 600)], [], [], "t", "d", AXES), "plan")
    (x0, y0), (x1, y1), (x2, y2) = points(line)
    assert (x2 - x0) / (x1 - x0) == pytest.approx(3, rel=1e-3) and (y0 - y2) / (y0 - y1) == pytest.approx(2, rel=1e-3)


def test_what_the_kiln_did_lies_on_the_axes_of_the_plan() -> None:
    svg = firing_line(PLAN, PLAN[:3], [], "t", "d", AXES)
    assert points(named(svg, "did")[0]) == points(named(svg, "plan")[0])[:3] and len(named(svg, "reading")) == 3
    assert not named(firing_line(PLAN, [], [], "t", "d", AXES), "did")


def test_an_event_lies_at_its_temperature_and_numbers_never_cover_each_other() -> None:
    svg = firing_line(PLAN, [], [Event(1, 600, 600), Event(2, 598, 602), Event(3, 605, 605)], "t", "d", AXES)
    assert points(named(svg, "event")[0])[0][1] == pytest.approx(points(named(svg, "plan")[0])[1][1], abs=0.6)
    circles = sorted(float(node.get("cy", "")) for node in ET.fromstring(svg).iter(f"{SVG}circle"))
    assert all(lower - upper >= 18 for upper, lower in pairwise(circles))


def test_a_cone_that_is_down_lies_lower_than_one_that_stands() -> None:
    svg = cone_row([(str(i), state) for i, state in enumerate(LEANS)], list(LEANS), "t", "d")
    tops = [min(y for _, y in points(node)) for node in named(svg, "cone")]
    assert tops == sorted(tops, reverse=True) and len(set(tops)) == 3


def test_the_tongue_reaches_farther_in_each_class_and_lies_on_the_slab_in_the_last() -> None:
    tips = [tip(one(name)) for name in RUN_CLASSES]
    assert tips == sorted(tips) and len(set(tips)) == 4
    assert [len(named(one(name), "pool")) for name in RUN_CLASSES] == [0, 0, 0, 1]


def test_the_picture_is_of_classes_so_the_coat_moves_only_the_view_from_the_side() -> None:
    thin, thick = one("runs", coat_mm=0.3), one("runs", coat_mm=1.2)
    assert tip(thin) == tip(thick) and named(thin, "coat")[0].get("d") != named(thick, "coat")[0].get("d")
    assert named(one("runs", angle_deg=30), "lean")[0].get("d") != named(one("runs", angle_deg=60), "lean")[0].get("d")


def test_the_bar_spans_the_classes_of_the_interval() -> None:
    def height(low: str, high: str) -> float:
        svg = leaning_tiles([Leaning("mine", "m", "moves", low, high)], 0.5, 45, "t", "d", WORDS)
        return float(named(svg, "range")[0].get("height", ""))

    assert height("moves", "moves") < height("moves", "runs") < height("stays", "runs")


def test_a_weak_model_is_dashed_and_pale_and_no_model_is_a_question_mark() -> None:
    weak = leaning_tiles([Leaning("mine", "m", "moves", "moves", "moves", firm=False)], 0.5, 45, "t", "d", WORDS)
    assert named(weak, "tongue")[0].get("stroke-dasharray") and not named(one("moves"), "tongue")[0].get("stroke-dasharray")
    assert not named(ALL[-1], "tongue") and "?" in ALL[-1]
