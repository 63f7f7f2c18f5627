"""Contours are redrawn on release: grid, lines, known part, numbers and the whole paper, under 150 ms."""

from __future__ import annotations

from pathlib import Path

import pytest
from stopwatch import calm_s

import glazekit as gk
from glazekit.drawing.chart import draw_paper
from glazekit.folder.glaze import glaze_as_used
from glazekit.lab import open_page
from glazekit.lab.panels.chart_map import EXPANSION, VISCOSITY, ChartMap


@pytest.fixture
def chart(tmp_path: Path) -> ChartMap:
    panel = open_page("06", tmp_path).panel("chart map")
    assert isinstance(panel, ChartMap)
    return panel


@pytest.mark.parametrize("kind", [VISCOSITY, EXPANSION])
def test_contours_are_redrawn_in_less_than_150_ms(chart: ChartMap, kind: str) -> None:
    """With the ring and all that a pause brings."""
    chart.contours.value = kind

    def redraw() -> None:
        chart.now = None
        draw_paper.cache_clear()
        chart.settle()

    took = 1000 * calm_s(redraw, rounds=5)
    print(f"contours of {kind} with ring and paper: {took:.0f} ms, {len(chart.paper.value) / 1000:.0f} kB")
    assert took < 150


def test_a_move_of_clay_costs_no_new_contours(chart: ChartMap) -> None:
    """What a key press costs the kernel while contours are shown, with 60 fired tiles in the book: less than 10 ms."""
    for i in range(60):
        batch = chart.desk.book.add("batch", **glaze_as_used(gk.demo_recipe("Late Boat")), base_g=100)
        tile = chart.desk.book.add("tile", label=f"L{i}", body="white", application="pour", batch=batch.id)
        chart.desk.book.add("result", tile=tile.id, seen="dry")
    chart.contours.value = VISCOSITY
    chart.when_paused = lambda name, job: None  # type: ignore[method-assign]  # the learner keeps moving
    grams = iter(range(14, 60))
    paper = chart.paper.value
    assert len(chart.reference.widget.options) == 62
    took = 1000 * calm_s(lambda: setattr(chart.glaze.sliders["kaolin"], "value", str(next(grams))), rounds=20)
    print(f"a key press with contours shown: {took:.1f} ms of kernel")
    assert chart.paper.value == paper and took < 10
