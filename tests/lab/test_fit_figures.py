"""Drawings of lesson 9, read back from the SVG: strips that bend the right way, scales that carry numbers, bars from zero."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from drawings import SVG, check_heard_and_framed, named, points

from glazekit.drawing.fit_pictures import Cooling, Range, SeenTile, Share, fit_scales, share_bars, two_strips

STRIP_WORDS = ("loose", "joined", "glaze", "clay", "pulled", "too large")
SCALE_WORDS = {
    **dict.fromkeys(("as_reference", "less", "more", "axis", "clay", "glaze"), "word"),
    **dict.fromkeys(("no_change", "no_number", "mark_tiles", "crazed", "flaked", "whole"), "word"),
    "change_head": "Compared with",
    "reference": "A glaze with a name of many words, tile A3",
    "absolute_head": "By itself, beside the clay",
}


def middle_x(node: ET.Element) -> float:
    return sum(x for x, _ in points(node)) / len(points(node))


def strips(mismatch_pct: float, shrunk: float = 1.0, soft: bool = False) -> str:
    return two_strips(Cooling(mismatch_pct, shrunk, soft), "t", "said", STRIP_WORDS)


def scales(
    change: Range | None, glaze: Range | None, tiles: tuple[SeenTile, ...] = (), clay: tuple[float, float] = (6.6, 0.5)
) -> str:
    return fit_scales(change, glaze, clay, tiles, "Gauge", "said", SCALE_WORDS)


BARS = share_bars(
    [Share("soda", "4 mol %", 1.64, 1.2), Share("lime", "15 mol %", 2.28, 2.28), Share("zirconia", "1 mol %", -0.05, 0.0)],
    "Bars",
    "said",
    ["Together: thermal expansion: 6.5 (90 %: 5.4 to 7.7) ×10⁻⁶ per K, fitted", "The thin mark: the same oxide in it."],
)
ALL = [
    strips(0.116),
    strips(-0.116),
    strips(0.0, 0.0, soft=True),
    scales(Range(-1.7, -1.0, -0.3), Range(5.4, 6.5, 7.7), (SeenTile(7.6, "crazed"), SeenTile(5.5, "whole"))),
    scales(Range(-7.9, -6, -4.1, False), Range(1.2, 2, 3, False), (SeenTile(12.3, "flaked"),), (9.9, 2.0)),
    scales(None, None),
    BARS,
]


@pytest.mark.parametrize("svg", ALL)
def test_every_drawing_can_be_heard_and_fits_its_frame(svg: str) -> None:
    check_heard_and_framed(svg)


def test_the_loose_glaze_is_shorter_than_the_clay_when_it_shrinks_more() -> None:
    def lengths(svg: str) -> tuple[float, float]:
        glaze, clay = (next(node for node in named(svg, name) if node.tag == f"{SVG}rect") for name in ("glaze", "clay"))
        return float(glaze.get("width", "")), float(clay.get("width", ""))

    for mismatch in (0.03, 0.1):
        glaze, clay = lengths(strips(mismatch))
        assert glaze < clay
        glaze, clay = lengths(strips(-mismatch))
        assert glaze > clay
    glaze, clay = lengths(strips(0.0))
    assert glaze == clay


def test_the_glaze_lies_on_the_hollow_side_when_it_is_pulled() -> None:
    """Glaze on top: shorter than the clay, it lifts the ends; longer, it presses them down."""

    def rise_of_the_ends(svg: str) -> float:
        band = points(next(node for node in named(svg, "glaze") if node.tag == f"{SVG}path"))
        top = band[: len(band) // 2]
        return top[len(top) // 2][1] - top[0][1]

    assert rise_of_the_ends(strips(0.1)) > rise_of_the_ends(strips(0.03)) > 1
    assert rise_of_the_ends(strips(-0.1)) < -1 and rise_of_the_ends(strips(0.0)) == pytest.approx(0, abs=0.1)


def test_arrows_point_out_when_pulled_in_when_squeezed_and_are_not_there_while_soft() -> None:
    def outwards(svg: str) -> list[bool]:
        return [abs(points(node)[-1][0] - 180) > abs(points(node)[0][0] - 180) for node in named(svg, "arrow")]

    assert outwards(strips(0.05)) == [True, True] and outwards(strips(-0.05)) == [False, False]
    assert outwards(strips(0.05, 0.0, soft=True)) == [] == outwards(strips(0.0))


def test_on_the_upper_scale_less_lies_left_of_nothing_and_more_lies_right() -> None:
    def place(value: float) -> float:
        return middle_x(named(scales(Range(value - 0.2, value, value + 0.2), None), "change")[0])

    zero = points(named(scales(None, None), "zero")[0])[0][0]
    assert place(-1) < zero < place(1) and zero - place(-1) == pytest.approx(place(1) - zero)


def test_on_the_lower_scale_the_glaze_stands_to_its_clay_as_the_numbers_do() -> None:
    def places(glaze: float) -> tuple[float, float]:
        svg = scales(None, Range(glaze - 1, glaze, glaze + 1))
        clay = named(svg, "clay")[0]
        return middle_x(named(svg, "glaze")[0]), float(clay.get("x", "")) + float(clay.get("width", "")) / 2

    lower, clay = places(5.6)
    assert lower < clay and places(7.6)[0] - clay == pytest.approx(clay - lower, abs=0.05)


def test_tiles_have_a_shape_each_and_stand_at_their_number() -> None:
    seen = (SeenTile(5.0, "whole"), SeenTile(7.5, "crazed"), SeenTile(4.0, "flaked"))
    svg = scales(None, Range(6, 7, 8), seen)
    whole, flaked = named(svg, "tile whole")[0], named(svg, "tile flaked")[0]
    assert whole.tag == f"{SVG}circle" and len(points(flaked)) == 3 and len(named(svg, "tile crazed")) == 1
    assert middle_x(flaked) < float(whole.get("cx", "")) < middle_x(named(svg, "tile crazed")[0])


def test_no_number_is_a_word_and_a_weak_one_is_dashed() -> None:
    none = scales(None, None)
    assert not named(none, "change") and not named(none, "glaze")
    weak = scales(Range(0, 1, 2, False), Range(5, 6, 7, False))
    firm = scales(Range(0, 1, 2), Range(5, 6, 7))
    for name in ("change", "glaze"):
        assert named(weak, name)[0].get("stroke-dasharray") and not named(firm, name)[0].get("stroke-dasharray")


def test_bars_grow_from_zero_with_their_numbers_and_below_zero_to_the_left() -> None:
    soda, lime, zirconia = named(BARS, "share")
    zero = points(named(BARS, "zero")[0])[0][0]
    assert float(soda.get("x", "")) == pytest.approx(zero, abs=0.02) == float(lime.get("x", ""))
    assert float(lime.get("width", "")) / float(soda.get("width", "")) == pytest.approx(2.28 / 1.64, rel=1e-3)
    assert float(zirconia.get("x", "")) + float(zirconia.get("width", "")) == pytest.approx(zero, abs=0.02)
    assert float(zirconia.get("x", "")) < zero


def test_the_thin_mark_stands_where_the_reference_was() -> None:
    soda_mark, lime_mark, _ = named(BARS, "was")
    _, lime, _ = named(BARS, "share")
    assert points(soda_mark)[0][0] < points(lime_mark)[0][0]
    assert points(lime_mark)[0][0] == pytest.approx(float(lime.get("x", "")) + float(lime.get("width", "")), abs=0.05)
