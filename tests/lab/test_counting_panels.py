"""The switch for additions on the panels of estimates, the squeeze beside the pull, and a direction beyond the data."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from wording import spoken, text_of

import glazekit as gk
from glazekit.glass.composition import counted_formula
from glazekit.lab.page import Page
from glazekit.lab.panels.chart_map import VISCOSITY, ChartMap
from glazekit.lab.panels.fit_gauge import FitGauge
from glazekit.lab.panels.slope_tray import SlopeTray

Reopen = Callable[[str], Page]
IRON = "Anchor Chain"
"""Nine parts of red iron oxide on top, fired in reduction."""


@pytest.fixture
def gauge(reopen: Reopen) -> FitGauge:
    return reopen("09").panel("fit gauge")  # type: ignore[return-value]


@pytest.fixture
def tray(reopen: Reopen) -> SlopeTray:
    return reopen("10").panel("slope tray", recipe=IRON)  # type: ignore[return-value]


@pytest.fixture
def chart(reopen: Reopen) -> ChartMap:
    return reopen("06").panel("chart map")  # type: ignore[return-value]


def test_the_gauge_counts_iron_until_it_is_switched_off(gauge: FitGauge) -> None:
    gauge.glaze.choice.value = IRON
    assert gauge.counting.widget.value and gauge.counting.widget.description == text_of("parts.counting.tick")
    on = gauge.alpha
    gauge.counting.widget.value = False
    off = gauge.alpha
    assert on.value == pytest.approx(gk.expansion(gk.demo_recipe(IRON)).value, abs=0.005) and off.value != pytest.approx(on.value)
    assert not on.in_range and "iron_in_reduction" in on.why
    assert not off.in_range and {"additions_matter", "additions_left_out"} <= set(off.why)


def test_too_much_squeeze_stands_beside_the_pull(gauge: FitGauge) -> None:
    for body, pulled, squeezed in (("4", "at least 95", "at most 5"), ("10", "at most 5", "about")):
        gauge.clay.value = body
        pull = spoken("lesson_09.panel.fit_gauge.tension", gauge.meaning.value)
        squeeze = spoken("lesson_09.panel.fit_gauge.squeezed", gauge.meaning.value)
        assert pull and squeeze and float(squeeze["limit"]) == 2
        assert pulled in pull["chance"] and squeezed in squeeze["chance"]


def test_beyond_the_data_the_gauge_tells_the_direction_where_one_is_known(gauge: FitGauge) -> None:
    """A shino has more alumina than was measured and thrice the alkali; a white of clay passes a border without record."""
    name = "lesson_09.panel.fit_gauge"
    shino = {"Na2O": 8.5, "K2O": 3.0, "Li2O": 3.0, "Al2O3": 17.5, "SiO2": 68.0}
    alpha = gauge.alpha = gk.expansion(shino, reference=gk.demo_recipe("Gangway Clear"))
    said = spoken(f"{name}.said_way", gauge.change_words())
    assert said and alpha.direction and alpha.direction.words in said["way"] and gauge.against.name in said["way"]
    gauge.glaze.choice.value = "Mooring White"
    assert spoken(f"{name}.said_none", gauge.said) and not spoken(f"{name}.said_way", gauge.said)


def test_the_tray_counts_iron_or_greys_and_both_are_told(tray: SlopeTray) -> None:
    assert spoken("lesson_10.panel.slope_tray.weak", tray.said)
    counted = tray.meaning.value
    tray.counting.widget.value = False
    assert spoken("lesson_10.panel.slope_tray.weak", tray.said) and tray.meaning.value != counted


def test_contours_are_of_what_is_counted(chart: ChartMap) -> None:
    chart.glaze.choice.value, chart.contours.value = IRON, VISCOSITY
    chart.settle()
    iron = dict(chart.now.field.fluxes.pairs)["Fe2O3"]
    assert iron == pytest.approx(counted_formula(gk.demo_recipe(IRON))["Fe2O3"], abs=1e-3)
    counted = chart.now.estimate.value
    chart.counting.widget.value = False
    chart.settle()
    assert dict(chart.now.field.fluxes.pairs).get("Fe2O3", 0.0) < iron / 5
    assert chart.now.estimate.value != counted and "additions_matter" in chart.now.estimate.why
