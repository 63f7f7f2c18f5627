"""Marching squares against shapes whose lines are known: circles, planes, saddles, plateaus."""

from __future__ import annotations

from itertools import pairwise
from math import hypot, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glazekit.glass.level_lines import LevelLine, level_lines

WALK = tuple(i / 20 - 1 for i in range(41))


def lines(formula, levels, across=WALK, up=WALK):  # type: ignore[no-untyped-def]
    values = [[formula(x, y) for x in across] for y in up]
    return level_lines(across, up, values, levels)


def area(ring: LevelLine) -> float:
    """Signed: positive when walked counter-clockwise."""
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise(ring)) / 2


def test_a_hill_gives_closed_rings_of_the_right_size_walked_with_the_hill_on_the_left() -> None:
    for level, found in zip((0.5, 0.9), lines(lambda x, y: 1 - x * x - y * y, (0.5, 0.9)), strict=True):
        (ring,) = found
        assert ring[0] == ring[-1] and len(set(ring)) == len(ring) - 1
        assert area(ring) == pytest.approx(pi * (1 - level), rel=0.02)
        assert all(hypot(*point) == pytest.approx((1 - level) ** 0.5, abs=0.003) for point in ring)


def test_a_hole_is_walked_the_other_way_round() -> None:
    ((ring,),) = lines(lambda x, y: x * x + y * y, (0.3,))
    assert ring[0] == ring[-1] and area(ring) < 0


def test_a_plane_is_cut_exactly_and_from_edge_to_edge() -> None:
    ((line,),) = lines(lambda x, y: 3 * x + y, (0.37,))
    assert all(3 * x + y == pytest.approx(0.37, abs=1e-12) for x, y in line)
    assert all(-1 in point or 1 in point or max(map(abs, point)) == 1 for point in (line[0], line[-1]))
    assert line[0] != line[-1]


def test_a_level_that_stands_on_the_corners_breaks_nothing() -> None:
    """The diagonal of a plane passes through 41 corners: one line through each of them, no point twice."""
    ((line,),) = lines(lambda x, y: round(20 * x) - round(20 * y), (0,))
    assert len(line) >= 41 and len(set(line)) == len(line)
    assert all(abs(x - y) < 1e-12 for x, y in line)


@pytest.mark.parametrize("middle_high", [True, False])
def test_a_saddle_is_decided_by_the_mean_of_its_corners(middle_high: bool) -> None:
    """High corners lower left and upper right. A high middle joins them: the lines cut off the low corners, else the high."""
    high = 5.0 if middle_high else 1.5
    (found,) = level_lines((0, 1), (0, 1), [[high, 0], [0, high]], (1,))
    assert len(found) == 2
    cut_off = {tuple(round(sum(c) / 2 + 1e-9) for c in zip(line[0], line[-1], strict=True)) for line in found}
    assert cut_off == ({(1, 0), (0, 1)} if middle_high else {(0, 0), (1, 1)})


def test_a_plateau_at_the_very_level_counts_as_above_it() -> None:
    (found,) = level_lines((0, 1, 2, 3), (0, 1, 2, 3), [[0] * 4, [0, 1, 1, 0], [0, 1, 1, 0], [0] * 4], (1,))
    (ring,) = found
    assert ring[0] == ring[-1] and {(1, 1), (2, 1), (2, 2), (1, 2)} == set(ring)


def test_nothing_to_draw() -> None:
    assert lines(lambda x, y: 1.0, (0.5, 1.0, 1.5)) == ((), (), ())


@settings(max_examples=150, deadline=None)
@given(
    st.integers(2, 7).flatmap(lambda n: st.lists(st.lists(st.integers(0, 4), min_size=n, max_size=n), min_size=2, max_size=7)),
    st.sampled_from([0.5, 1, 2, 2.5, 4]),
)
def test_on_any_grid_lines_end_at_the_edge_only_and_part_high_from_low(rows: list[list[int]], level: float) -> None:
    across, up = tuple(range(len(rows[0]))), tuple(range(len(rows)))
    (found,) = level_lines(across, up, rows, (level,))
    ends = [point for line in found if line[0] != line[-1] for point in (line[0], line[-1])]
    assert all(x in (0, across[-1]) or y in (0, up[-1]) for x, y in ends)
    # each side between a high and a low corner is crossed: strictly between them, or at the high corner when that has the value
    points = {point for line in found for point in line}
    for j, row in enumerate(rows):
        for i, value in enumerate(row):
            for k, m in ((i + 1, j), (i, j + 1)):
                if k < len(row) and m < len(rows) and (value >= level) != (rows[m][k] >= level):
                    part = (level - value) / (rows[m][k] - value)
                    x, y = i + part * (k - i), j + part * (m - j)
                    assert any(hypot(x - a, y - b) < 1e-9 for a, b in points)
