"""Contours on the Chart map, read off the drawing as a learner does, against the public functions."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from math import log10

import pytest

import glazekit as gk
from glazekit.chemistry.unity import unity_from_moles
from glazekit.folder.glaze import glaze_as_used
from glazekit.glass.field import FluxSet
from glazekit.lab.page import Page
from glazekit.lab.panels.chart_map import ChartMap
from glazekit.lab.parts.field_contours import EXPANDS, STIFF

Reopen = Callable[[str], Page]
Spot = tuple[float, float]
GLAZES = ("Gangway Clear", "Cracked Lamp", "Bollard Matte", "Late Boat", "Overboard")


@pytest.fixture
def chart(reopen: Reopen) -> ChartMap:
    return reopen("06").panel("chart map")  # type: ignore[return-value]


def nodes(svg: str, name: str) -> list[ET.Element]:
    return [node for node in ET.fromstring(svg).iter() if node.get("class") == name]


def spots(node: ET.Element) -> list[Spot]:
    return [tuple(map(float, pair.split())) for pair in node.get("d", "").strip("MZ").split("L")]  # type: ignore[misc]


def to_moles(svg: str) -> Callable[[Spot], Spot]:
    """From a place on the paper to silica and alumina, by the numbers on the axes of the whole chart."""
    words = [node for node in ET.fromstring(svg).iter() if node.tag.endswith("text")]
    across = {node.text: float(node.get("x", "")) for node in words if node.get("text-anchor") == "middle"}
    up = {node.text: float(node.get("y", "")) - 5 for node in words if node.get("text-anchor") == "end"}
    x0, x7, bottom, top = across["1"], across["7"], up["0.2"], up["0.8"]
    return lambda spot: (1 + 6 * (spot[0] - x0) / (x7 - x0), 0.2 + 0.6 * (spot[1] - bottom) / (top - bottom))


def at_spot(chart: ChartMap, silica: float, alumina: float) -> gk.UnityFormula:
    return unity_from_moles({**chart.formula.moles, "SiO2": silica, "Al2O3": alumina})


def test_a_chart_without_contours_says_nothing_of_properties(chart: ChartMap) -> None:
    assert not nodes(chart.paper.value, "contour") and not nodes(chart.paper.value, "outside")
    assert "stiff" not in chart.said and "xpansion" not in chart.said and "Pa·s" not in chart.legend.value


@pytest.mark.parametrize("name", GLAZES)
@pytest.mark.parametrize("kind", [STIFF, EXPANDS])
def test_along_a_line_the_public_function_gives_the_number_on_it(chart: ChartMap, name: str, kind: str) -> None:
    """Each label lies on its line; what the line says is what gk.viscosity or gk.expansion says there."""
    chart.glaze.choice.value, chart.contours.choice.value = name, kind
    svg, compared = chart.paper.value, 0
    moles = to_moles(svg)
    for label in nodes(svg, "contour-label"):
        if label.text == "outside the data":
            continue
        number = float(re.match(r"[\d \u202f.]+", label.text or "")[0].replace(" ", "").replace("\u202f", ""))  # type: ignore[index]
        want = log10(number) if kind == STIFF else number
        here = moles((float(label.get("x", "")), float(label.get("y", "")) - 4.5))
        glaze = at_spot(chart, *here)
        estimate = gk.viscosity(glaze, 1222) if kind == STIFF else gk.expansion(glaze)
        assert estimate.value == pytest.approx(want, abs=0.03), (label.text, here)  # two figures of Pa·s, one cell of the grid
        compared += 1
    assert compared >= 2


@pytest.mark.parametrize("kind", [STIFF, EXPANDS])
def test_every_point_of_every_line_has_a_round_value(chart: ChartMap, kind: str) -> None:
    chart.contours.choice.value = kind
    moles, step, seen = to_moles(chart.paper.value), {STIFF: 0.5, EXPANDS: 1.0}[kind], set()
    for line in nodes(chart.paper.value, "contour"):
        for spot in spots(line)[2:-2:6]:
            glaze = at_spot(chart, *moles(spot))
            estimate = gk.viscosity(glaze, 1222) if kind == STIFF else gk.expansion(glaze)
            if estimate.value is not None:
                seen.add(round(estimate.value / step))
                assert estimate.value == pytest.approx(round(estimate.value / step) * step, abs=0.03)
    assert len(seen) >= 4


def test_the_hatched_part_says_in_words_why(chart: ChartMap) -> None:
    chart.contours.choice.value = STIFF
    (outside,) = nodes(chart.paper.value, "outside")
    part = FluxSet.of(chart.formula).known_part((0, 7), (0, 1), 1222)
    hole = spots_of_ring(outside, 1)
    moles = to_moles(chart.paper.value)
    assert [moles(spot) for spot in hole] == [pytest.approx(corner, abs=0.01) for corner in part.corners]
    assert outside.get("fill-rule") == "evenodd"
    for reason in part.beyond:
        assert reason in chart.legend.value
    assert any(label.text == "outside the data" for label in nodes(chart.paper.value, "contour-label"))


def spots_of_ring(node: ET.Element, index: int) -> list[Spot]:
    ring = re.findall(r"M([^MZ]+)Z", node.get("d", ""))[index]
    return [tuple(map(float, pair.split())) for pair in ring.split("L")]  # type: ignore[misc]


def test_no_hatch_runs_through_the_data(chart: ChartMap) -> None:
    chart.contours.choice.value = EXPANDS
    (outside,) = nodes(chart.paper.value, "outside")
    hole = spots_of_ring(outside, 1)
    middle = [sum(values) / len(hole) for values in zip(*hole, strict=True)]
    hatch = next(n for n in ET.fromstring(chart.paper.value).iter() if n.get("d", "").count("M") > 20)
    strokes = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", hatch.get("d", ""))
    assert len(strokes) > 20
    for stroke in strokes:
        x1, y1, x2, y2 = map(float, stroke)
        for part in (0.02, 0.25, 0.5, 0.75, 0.98):
            spot = x1 + (x2 - x1) * part, y1 + (y2 - y1) * part
            # drawn towards the middle of the hole a little: still not inside it
            assert not inside(hole, (spot[0] + (spot[0] - middle[0]) * 0.01, spot[1] + (spot[1] - middle[1]) * 0.01))


def inside(ring: list[Spot], spot: Spot) -> bool:
    x, y = spot
    crossed = False
    for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            crossed = not crossed
    return crossed


@pytest.mark.parametrize("kind", [STIFF, EXPANDS])
def test_numbers_on_lines_never_overlap(chart: ChartMap, kind: str) -> None:
    for name in GLAZES[:3]:
        for window in ("whole", "near"):
            chart.glaze.choice.value, chart.contours.choice.value, chart.window.value = name, kind, window
            labels = [n for n in nodes(chart.paper.value, "contour-label") if n.text != "outside the data"]
            places = [(float(n.get("x", "")), float(n.get("y", "")), 7 * len(n.text or "")) for n in labels]
            assert places, (name, window)
            for i, (x, y, width) in enumerate(places):
                assert all(abs(x - a) >= (width + other) / 2 or abs(y - b) >= 15 for a, b, other in places[:i])


def test_the_status_line_leads_with_the_change_and_never_lacks_interval_unit_and_status(chart: ChartMap) -> None:
    chart.contours.choice.value = STIFF
    assert "it is the same glaze" in chart.said and "log10(Pa.s), fitted" in chart.said
    chart.glaze.sliders["quartz"].value = "32"
    change = gk.viscosity(chart.now, 1222, reference=gk.demo_recipe("Gangway Clear")).change
    assert change is not None and change.value > 0
    said = chart.said.splitlines()
    assert re.match(
        rf"{10**change.value:.2g} times as stiff \(90 %: [\d.]+ to [\d.]+\) as Gangway Clear as on its card, fitted", said[2]
    )
    assert re.search(r"By itself: viscosity at 1222 °C:? [\d.]+ \(90 %: [\d.]+ to [\d.]+\) log10\(Pa.s\), fitted", said[3])
    assert re.search(r"That is \d+ Pa·s \(90 %: \d+ to \d+\)", said[3])
    chart.glaze.sliders["quartz"].value = "12"
    assert "times as runny" in chart.said
    chart.contours.choice.value = EXPANDS
    assert re.search(r"Expansion \+[\d.]+ \(90 %: .*\) ×10⁻⁶ per K, compared with Gangway Clear as on its card", chart.said)


def test_outside_the_data_there_is_a_reason_and_no_number(chart: ChartMap) -> None:
    chart.glaze.choice.value, chart.contours.choice.value = "Fender White", STIFF
    assert "no number" in chart.said and "alumina" in chart.said and "Pa·s (" not in chart.said
    assert "Move your glaze out of the hatched part" in chart.legend.value


def test_clay_and_quartz_leave_the_contours_as_they_are_and_whiting_does_not(chart: ChartMap) -> None:
    chart.contours.choice.value = STIFF
    drawn = [spots(line) for line in nodes(chart.paper.value, "contour")]
    chart.glaze.sliders["quartz"].value = "30"
    assert [spots(line) for line in nodes(chart.paper.value, "contour")] == drawn
    chart.glaze.sliders["whiting"].value = "20"
    assert [spots(line) for line in nodes(chart.paper.value, "contour")] != drawn


def test_while_the_learner_moves_the_old_contours_stay_and_are_dimmed(chart: ChartMap) -> None:
    chart.contours.choice.value = STIFF
    wait, chart.when_paused = chart.when_paused, lambda name, job: None  # type: ignore[method-assign]
    before = chart.paper.value
    chart.glaze.sliders["whiting"].value = "20"
    assert chart.paper.value == before and "gk-old" in chart.paper._dom_classes
    chart.when_paused = wait  # type: ignore[method-assign]
    chart.settle()
    assert chart.paper.value != before and "gk-old" not in chart.paper._dom_classes


def test_a_colder_peak_makes_everything_stiffer_and_a_wrong_one_is_told(chart: ChartMap) -> None:
    chart.contours.choice.value = STIFF
    hot = float(re.search(r"That is (\d+) Pa·s", chart.said)[1])  # type: ignore[index]
    assert "invented" in chart.legend.value
    chart.contours.peak.value = "1180"
    assert float(re.search(r"That is (\d+) Pa·s", chart.said)[1]) > hot and "invented" not in chart.legend.value  # type: ignore[index]
    assert "1180 °C" in chart.said and "1180 °C" in chart.legend.value
    for wrong, said in (("white heat", "not a number"), ("2200", "allowed is 600 to 1500 °C")):
        chart.contours.peak.value = wrong
        assert said in chart.said and "gk-stale" in chart.box._dom_classes
    chart.contours.peak.value = "1450"
    assert "hotter than" in chart.said and "hotter than 1400 °C" in chart.legend.value
    assert "gk-stale" not in chart.box._dom_classes


def test_a_fired_tile_of_the_book_is_the_reference(chart: ChartMap) -> None:
    book = chart.desk.book
    batch = book.add("batch", **glaze_as_used(gk.demo_recipe("Late Boat")), base_g=100)
    book.add("result", tile=book.add("tile", label="L4", body="white", application="pour", batch=batch.id).id, seen="dry")
    chart.contours.choice.value = STIFF
    chart.contours.reference.widget.value = chart.contours.reference.widget.options[0][1]
    assert "as Late Boat, tile L4, fitted" in chart.said and chart.contours.note.value == ""


def test_a_fired_tile_keeps_the_analyses_of_its_day(chart: ChartMap) -> None:
    """The same recipe, but of a feldspar bag with much more soda: not the same glaze."""
    used = glaze_as_used(gk.demo_recipe("Gangway Clear"))
    (feldspar,) = (material for material in used["analyses"] if material["name"] == "soda feldspar")
    feldspar.pop("formula", None)
    feldspar["oxides"] = {"SiO2": 55.0, "Al2O3": 19.0, "Na2O": 26.0}
    book = chart.desk.book
    batch = book.add("batch", **used, base_g=100)
    book.add("result", tile=book.add("tile", label="S1", body="white", application="pour", batch=batch.id).id, seen="shiny")
    chart.contours.choice.value = EXPANDS
    chart.contours.reference.widget.value = chart.contours.reference.widget.options[0][1]
    assert re.search(r"Expansion -[\d.]+ .* compared with Gangway Clear, tile S1", chart.said)


@pytest.mark.parametrize("name", ["Gangway Clear", "Overboard"])
def test_one_line_further_is_that_far_and_has_an_interval(chart: ChartMap, name: str) -> None:
    chart.glaze.choice.value, chart.contours.choice.value = name, STIFF
    more, times, low, high = map(
        float,
        re.search(
            r"([\d.]+) moles more silica make it ([\d.]+) times as stiff \(90 %: ([\d.]+) to ([\d.]+)", chart.legend.value
        ).groups(),
    )  # type: ignore[union-attr]
    further = gk.viscosity(at_spot(chart, chart.point[0] + more, chart.point[1]), 1222, chart.formula).change
    assert further is not None and times == 3.2 and low < times < high
    assert 10**further.value == pytest.approx(times, rel=0.1), "one decimal of silica"
    chart.contours.choice.value = EXPANDS
    assert re.search(
        r"moles more silica change it by -1.0 \(90 %: -[\d.]+ to [-+][\d.]+\) ×10⁻⁶ per K, fitted", chart.legend.value
    )


def test_the_choice_is_there_after_a_night_and_another_lesson_can_ask_for_it(reopen: Reopen) -> None:
    first: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
    first.contours.choice.value, first.contours.peak.value = STIFF, "1200"
    again: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
    assert again.paper.value == first.paper.value and again.said == first.said
    lesson_9 = reopen("09").panel("chart map", contours=EXPANDS)
    assert "Expansion" in lesson_9.said and nodes(lesson_9.paper.value, "contour")  # type: ignore[attr-defined]


def test_the_guess_of_lesson_10_and_its_honest_answer(reopen: Reopen) -> None:
    """5 g of quartz stiffen Overboard more than 5 g of kaolin, and of neither is even the direction sure."""
    chart: ChartMap = reopen("10").panel("chart map", recipe="Overboard", contours=STIFF)  # type: ignore[assignment]
    told = {}
    for powder, grams in (("quartz", "19"), ("kaolin", "5")):
        chart.glaze.more.value = powder
        chart.glaze.add()
        chart.glaze.sliders[powder].value = grams
        times = re.search(r"([\d.]+) times as stiff \(90 %: ([\d.]+) to ([\d.]+)\) as Overboard as on its card", chart.said)
        told[powder] = [float(number) for number in times.groups()]  # type: ignore[union-attr]
        chart.glaze.back_to_the_card()
    assert told["quartz"][0] > told["kaolin"][0] > 1
    assert all(low < 1 < high for _, low, high in told.values())
