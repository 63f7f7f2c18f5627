"""Contours on the Chart map, read off the drawing as a learner does, against the public functions."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from math import log10

import pytest
from drawings import named, points
from wording import spoken, text_of

import glazekit as gk
from glazekit.chemistry.unity import unity_from_moles
from glazekit.folder.glaze import glaze_as_used
from glazekit.glass.composition import counted_formula
from glazekit.glass.field import FluxSet
from glazekit.ground.estimate import Change
from glazekit.lab.page import Page
from glazekit.lab.panels.chart_map import EXPANSION, VISCOSITY, ChartMap
from glazekit.lab.parts.chart_words import _times_as
from glazekit.words.texts import panel_words

Reopen = Callable[[str], Page]
Spot = tuple[float, float]
GLAZES = ("Gangway Clear", "Cracked Lamp", "Bollard Matte", "Late Boat", "Overboard", "Drizzle Rail")
KEYS = "lesson_06.panel.chart_map."
OUTSIDE = text_of(KEYS + "outside")


@pytest.fixture
def chart(reopen: Reopen) -> ChartMap:
    return reopen("06").panel("chart map")  # type: ignore[return-value]


def said(key: str, where: str) -> dict[str, str] | None:
    """What stands in the braces of a text, in the line that says it."""
    found = (spoken(KEYS + key, line) for line in where.splitlines())
    return next((values for values in found if values is not None), None)


def to_moles(svg: str) -> Callable[[Spot], Spot]:
    """From a place on the paper to silica and alumina, by the numbers on the axes of the whole chart."""
    words = [node for node in ET.fromstring(svg).iter() if node.tag.endswith("text")]
    across = {node.text: float(node.get("x", "")) for node in words if node.get("text-anchor") == "middle"}
    up = {node.text: float(node.get("y", "")) - 5 for node in words if node.get("text-anchor") == "end"}
    x0, x7, bottom, top = across["1"], across["7"], up["0.2"], up["0.8"]
    return lambda spot: (1 + 6 * (spot[0] - x0) / (x7 - x0), 0.2 + 0.6 * (spot[1] - bottom) / (top - bottom))


def counted(chart: ChartMap) -> gk.UnityFormula:
    """The glaze as the contours count it: iron laid on top too."""
    asked = chart.now.asked  # type: ignore[union-attr]
    return counted_formula(asked.recipe, asked.include_additions, asked.stock)


def at_spot(chart: ChartMap, silica: float, alumina: float) -> gk.UnityFormula:
    return unity_from_moles({**counted(chart).moles, "SiO2": silica, "Al2O3": alumina})


def asked(kind: str, glaze: gk.UnityFormula) -> gk.Estimate:
    return gk.viscosity(glaze, 1222) if kind == VISCOSITY else gk.expansion(glaze)


def numbers_on_lines(chart: ChartMap) -> list[ET.Element]:
    return [label for label in named(chart.paper.value, "contour-label") if label.text != OUTSIDE]


def drawn(chart: ChartMap) -> list[list[Spot]]:
    return [points(line) for line in named(chart.paper.value, "contour")]


def rings(node: ET.Element) -> list[list[Spot]]:
    found = re.findall(r"M([^MZ]+)Z", node.get("d", ""))
    return [[tuple(map(float, pair.split())) for pair in ring.split("L")] for ring in found]  # type: ignore[misc]


def test_a_chart_without_contours_says_nothing_of_properties(chart: ChartMap) -> None:
    assert not named(chart.paper.value, "contour") and not named(chart.paper.value, "outside")
    assert chart.now.estimate is None and len(chart.said.splitlines()) == 1  # type: ignore[union-attr]
    assert "gk-hide" in chart._more._dom_classes


@pytest.mark.parametrize("name", GLAZES)
@pytest.mark.parametrize("kind", [VISCOSITY, EXPANSION])
def test_along_a_line_the_public_function_gives_the_number_on_it(chart: ChartMap, name: str, kind: str) -> None:
    """Each label lies on its line; what the line says is what gk.viscosity or gk.expansion says there."""
    chart.glaze.choice.value, chart.contours.value = name, kind
    moles, labels = to_moles(chart.paper.value), numbers_on_lines(chart)
    for label in labels:
        number = float(re.match(r"[\d \u202f.]+", label.text or "")[0].replace(" ", "").replace("\u202f", ""))  # type: ignore[index]
        here = moles((float(label.get("x", "")), float(label.get("y", "")) - 4.5))
        want = log10(number) if kind == VISCOSITY else number
        value = asked(kind, at_spot(chart, *here)).value
        assert value == pytest.approx(want, abs=0.03), (label.text, here)  # two figures of Pa·s, one cell of the grid
    assert len(labels) >= 2


@pytest.mark.parametrize(("kind", "step"), [(VISCOSITY, 0.5), (EXPANSION, 1.0)])
def test_every_point_of_every_line_has_a_round_value(chart: ChartMap, kind: str, step: float) -> None:
    chart.contours.value = kind
    moles, seen = to_moles(chart.paper.value), set()
    for line in drawn(chart):
        for spot in line[2:-2:6]:
            value = asked(kind, at_spot(chart, *moles(spot))).value
            if value is not None:
                seen.add(round(value / step))
                assert value == pytest.approx(round(value / step) * step, abs=0.03)
    assert len(seen) >= 4


def test_the_hatched_part_says_in_words_why(chart: ChartMap) -> None:
    chart.contours.value = VISCOSITY
    (outside,) = named(chart.paper.value, "outside")
    part = FluxSet.of(chart.now.formula).known_part((0, 7), (0, 1), 1222)  # type: ignore[union-attr]
    moles, (_, hole) = to_moles(chart.paper.value), rings(outside)
    assert [moles(spot) for spot in hole] == [pytest.approx(corner, abs=0.01) for corner in part.corners]
    assert outside.get("fill-rule") == "evenodd"
    assert all(reason in chart.more.value for reason in part.beyond) and len(part.beyond) >= 4
    assert any(label.text == OUTSIDE for label in named(chart.paper.value, "contour-label"))


def test_no_hatch_runs_through_the_data(chart: ChartMap) -> None:
    chart.contours.value = EXPANSION
    _, hole = rings(named(chart.paper.value, "outside")[0])
    middle = [sum(values) / len(hole) for values in zip(*hole, strict=True)]
    hatch = next(n for n in ET.fromstring(chart.paper.value).iter() if n.get("d", "").count("M") > 20)
    strokes = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", hatch.get("d", ""))
    assert len(strokes) > 20
    for stroke in strokes:
        x1, y1, x2, y2 = map(float, stroke)
        for part in (0.02, 0.25, 0.5, 0.75, 0.98):
            spot = x1 + (x2 - x1) * part, y1 + (y2 - y1) * part
            # drawn away from the middle of the hole a little, so that a stroke that ends on its edge is not inside
            assert not inside(hole, (spot[0] + (spot[0] - middle[0]) * 0.01, spot[1] + (spot[1] - middle[1]) * 0.01))


def inside(ring: list[Spot], spot: Spot) -> bool:
    x, y = spot
    crossed = False
    for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            crossed = not crossed
    return crossed


@pytest.mark.parametrize("kind", [VISCOSITY, EXPANSION])
def test_numbers_on_lines_never_overlap(chart: ChartMap, kind: str) -> None:
    for name in GLAZES[:3]:
        for window in ("whole", "near"):
            chart.glaze.choice.value, chart.contours.value, chart.window.value = name, kind, window
            labels = numbers_on_lines(chart)
            places = [(float(n.get("x", "")), float(n.get("y", "")), 7 * len(n.text or "")) for n in labels]
            assert places, (name, window)
            for i, (x, y, width) in enumerate(places):
                assert all(abs(x - a) >= (width + other) / 2 or abs(y - b) >= 15 for a, b, other in places[:i])


def test_the_status_line_leads_with_the_change_and_never_lacks_interval_unit_and_status(chart: ChartMap) -> None:
    chart.contours.value = VISCOSITY
    assert said("same", chart.said) is not None and said("alone_pa_s", chart.said) is not None
    chart.glaze.sliders["quartz"].value = "32"
    recipe, card = chart.glaze.recipe(), gk.demo_recipe("Gangway Clear")
    mine = gk.viscosity(recipe, 1222, reference=card)
    change = mine.change
    assert change is not None and change.value > 0 and mine.value is not None
    *_, changed, alone = chart.said.splitlines()
    times = [f"{10**power:.2g}" for power in (change.value, change.low, change.high)]
    told = said("times_stiff", changed) or {}
    assert [told[name] for name in ("times", "low", "high", "status")] == [*times, change.status]
    by_itself = said("alone_pa_s", alone) or {}
    assert "(90 %:" in by_itself["estimate"] and mine.unit in by_itself["estimate"] and mine.status in by_itself["estimate"]
    assert float(by_itself["value"]) == pytest.approx(10**mine.value, rel=0.05)
    assert float(by_itself["low"]) < float(by_itself["value"]) < float(by_itself["high"])
    chart.glaze.sliders["quartz"].value = "12"
    assert said("times_runny", chart.said) is not None
    chart.contours.value = EXPANSION
    told = said("change", chart.said) or {}
    assert re.match(r"\+[\d.]+ \(90 %: .*\) ×10⁻⁶ per K", told["change"])
    assert chart.reference.reference().name in told["change"]


def test_outside_the_data_there_is_a_reason_and_no_number(chart: ChartMap) -> None:
    chart.glaze.choice.value, chart.contours.value = "Mooring White", VISCOSITY
    estimate = chart.now.estimate  # type: ignore[union-attr]
    assert estimate is not None and estimate.value is None and estimate.note in chart.said
    assert said("alone_pa_s", chart.said) is None and said("trust_elsewhere", chart.more.value) is not None


def test_clay_and_quartz_leave_the_contours_as_they_are_and_whiting_does_not(chart: ChartMap) -> None:
    chart.contours.value = VISCOSITY
    before = drawn(chart)
    chart.glaze.sliders["quartz"].value = "30"
    assert drawn(chart) == before
    chart.glaze.sliders["whiting"].value = "20"
    assert drawn(chart) != before


def test_while_the_learner_moves_the_old_contours_stay_and_are_dimmed(chart: ChartMap) -> None:
    chart.contours.value = VISCOSITY
    wait, chart.when_paused = chart.when_paused, lambda name, job: None  # type: ignore[method-assign]
    before = chart.paper.value
    chart.glaze.sliders["whiting"].value = "20"
    assert chart.paper.value == before and "gk-old" in chart.paper._dom_classes
    chart.when_paused = wait  # type: ignore[method-assign]
    chart.settle()
    assert chart.paper.value != before and "gk-old" not in chart.paper._dom_classes


def test_a_colder_peak_makes_everything_stiffer_and_a_wrong_one_is_told(chart: ChartMap) -> None:
    def pa_s() -> float:
        return float((said("alone_pa_s", chart.said) or {})["value"])

    chart.contours.value = VISCOSITY
    hot = pa_s()
    assert said("class_peak", chart.more.value) is not None
    chart.peak.value = "1180"
    assert pa_s() > hot and said("class_peak", chart.more.value) is None
    assert "1180 °C" in chart.said and (said("mark_stiff", chart.legend.value) or {})["peak"] == "1180"
    for wrong, named_in_it in (("white heat", "white heat"), ("2200", "1500 °C")):
        chart.peak.value = wrong
        assert named_in_it in chart.said and "gk-stale" in chart.box._dom_classes
    chart.peak.value = "1450"
    assert "1400 °C" in (said("more_outside", chart.more.value) or {})["beyond"] and not drawn(chart)
    assert "gk-stale" not in chart.box._dom_classes


def a_tile(chart: ChartMap, used: dict[str, object], label: str) -> None:
    book = chart.desk.book
    batch = book.add("batch", **used, base_g=100)
    book.add("result", tile=book.add("tile", label=label, body="white", application="pour", batch=batch.id).id, seen="dry")


def test_a_fired_tile_of_the_book_is_the_reference(chart: ChartMap) -> None:
    a_tile(chart, glaze_as_used(gk.demo_recipe("Late Boat")), "L4")
    chart.contours.value = VISCOSITY
    chart.reference.widget.value = chart.reference.widget.options[0][1]
    name = text_of("parts.reference_picker.name").format(name="Late Boat", label="L4")
    assert name in chart.said and chart.note.value == ""


def test_a_fired_tile_keeps_the_analyses_of_its_day(chart: ChartMap) -> None:
    """The same recipe, but of a feldspar bag with much more soda: not the same glaze."""
    used = glaze_as_used(gk.demo_recipe("Gangway Clear"))
    (feldspar,) = (material for material in used["analyses"] if material["name"] == "soda feldspar")
    feldspar.pop("formula", None)
    feldspar["oxides"] = {"SiO2": 55.0, "Al2O3": 19.0, "Na2O": 26.0}
    a_tile(chart, used, "S1")
    chart.contours.value = EXPANSION
    chart.reference.widget.value = chart.reference.widget.options[0][1]
    change = chart.now.estimate.change  # type: ignore[union-attr]
    assert change is not None and change.value < 0 and "S1" in (said("change", chart.said) or {})["change"]


@pytest.mark.parametrize("name", ["Gangway Clear", "Overboard"])
def test_one_line_further_is_that_far_and_has_an_interval(chart: ChartMap, name: str) -> None:
    chart.glaze.choice.value, chart.contours.value = name, VISCOSITY
    told = said("further_stiff", chart.more.value) or {}
    more, times, low, high = (float(told[key]) for key in ("silica", "times", "low", "high"))
    silica, alumina = chart.now.glaze  # type: ignore[union-attr]
    further = gk.viscosity(at_spot(chart, silica + more, alumina), 1222, counted(chart)).change
    assert further is not None and times == 3.2 and low < times < high
    assert 10**further.value == pytest.approx(times, rel=0.1), "one decimal of silica"
    chart.contours.value = EXPANSION
    told = said("further_expands", chart.more.value) or {}
    low, high = (float(told[edge].replace("−", "-")) for edge in ("low", "high"))
    assert told["by"] == "−1.0" and low < -1.0 < high and told["status"] == "fitted"


def test_the_choice_is_there_after_a_night_and_another_lesson_can_ask_for_it(reopen: Reopen) -> None:
    first: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
    first.contours.value, first.peak.value = VISCOSITY, "1200"
    again: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
    assert again.paper.value == first.paper.value and again.said == first.said
    lesson_9: ChartMap = reopen("09").panel("chart map", contours=EXPANSION)  # type: ignore[assignment]
    assert said("alone", lesson_9.said) is not None and drawn(lesson_9)


def test_the_other_property_waits_for_its_contours_and_borrows_none(chart: ChartMap) -> None:
    """Until the pause there are no lines: those of the viscosity would be read as expansion."""
    chart.contours.value = VISCOSITY
    chart.when_paused = lambda name, job: None  # type: ignore[method-assign]
    chart.contours.value = EXPANSION
    assert not drawn(chart) and said("mark_expands", chart.legend.value) is None and said("change", chart.said) is not None
    chart.settle()
    assert drawn(chart) and (said("mark_expands", chart.legend.value) or {})["step"] == "1"


def test_the_guess_of_lesson_10_and_its_honest_answer(reopen: Reopen) -> None:
    """5 g of quartz stiffen Overboard more than 5 g of kaolin, and of neither is even the direction sure."""
    chart: ChartMap = reopen("10").panel("chart map", recipe="Overboard", contours=VISCOSITY)  # type: ignore[assignment]
    told = {}
    for powder, grams in (("quartz", "19"), ("kaolin", "5")):
        chart.glaze.more.value = powder
        chart.glaze.add()
        chart.glaze.sliders[powder].value = grams
        times = said("times_stiff", chart.said) or {}
        told[powder] = [float(times[key]) for key in ("times", "low", "high")]
        chart.glaze.back_to_the_card()
    assert told["quartz"][0] > told["kaolin"][0] > 1
    assert all(low < 1 < high for _, low, high in told.values())


def test_how_many_times_is_written_as_people_write() -> None:
    """A melt far from the reference is 190 or 300 times as runny, never 1.9e+02 or 3e+02 times."""
    for power, said_so in ((2.477, "300"), (2.279, "190"), (0.3, "2"), (0.5, "3.2"), (4.08, "12 000")):
        change = Change(power, power, power + 0.5, "", "it", 1.0, "sciglass_open", "fitted")
        for sign, key in ((1, "times_stiff"), (-1, "times_runny")):
            ends = sorted((sign * change.low, sign * change.high))
            turned = replace(change, value=sign * power, low=ends[0], high=ends[1])
            told = said(key, _times_as(turned, panel_words("06", "chart map")))
            assert told and told["times"] == said_so
