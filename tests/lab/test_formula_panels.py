"""Unity bench and Chart map, driven by their values. Expected numbers are the course's own, worked out by hand there."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from html import unescape

import pytest

from glazekit.chemistry.uncertainty import Weighing, sample_unity
from glazekit.drawing.field import Field, near_field
from glazekit.folder.glaze import glaze_as_used
from glazekit.lab.page import Page
from glazekit.lab.panels.chart_map import ChartMap
from glazekit.lab.panels.unity_bench import UnityBench
from glazekit.lab.parts.class_tiles import shape_of
from glazekit.recipe.reading import demo_recipe

Reopen = Callable[[str], Page]


@pytest.fixture
def bench(reopen: Reopen) -> UnityBench:
    return reopen("05").panel("unity bench")  # type: ignore[return-value]


@pytest.fixture
def chart(reopen: Reopen) -> ChartMap:
    return reopen("06").panel("chart map")  # type: ignore[return-value]


def cells(html: str) -> dict[str, list[str]]:
    """Row name -> its numbers, of every table in a text."""
    rows = re.findall(r'<tr[^>]*><th scope="row">(.*?)</th>(.*?)</tr>', html)
    return {unescape(name): re.findall(r"<td[^>]*>(.*?)</td>", rest) for name, rest in rows}


def drawn(svg: str, name: str) -> list[list[tuple[float, float]]]:
    """The corners of every path of a class."""
    nodes = [node for node in ET.fromstring(svg).iter() if node.get("class") == name]
    return [[tuple(map(float, pair.split())) for pair in node.get("d", "").strip("MZ").split("L")] for node in nodes]  # type: ignore[misc]


class TestUnityBench:
    def test_the_practice_glaze_of_lesson_5(self, bench: UnityBench) -> None:
        """COURSE 5.1 to 5.4: 0.2717 moles of flux, silica 3.55, alumina 0.478, 7.4 to 1."""
        assert cells(bench.formula.value)["silica SiO₂"] == ["3.55"] and cells(bench.formula.value)["alumina Al₂O₃"] == ["0.48"]
        assert "fluxes together 1.00" in bench.formula.value and "Silica to alumina 7.4" in bench.said
        bench.wants_working.value = True
        assert "0.2717" in cells(bench.working.value)["fluxes together"]

    def test_a_double_batch_changes_nothing_but_its_weight(self, bench: UnityBench) -> None:
        """COURSE 5.6, by boxes: half of everything."""
        before = bench.formula.value
        for name, half in {"potash feldspar": "20 g", "whiting": "10", "kaolin": "7,5", "quartz": "12.5"}.items():
            bench.glaze.sliders[name].value = half
        assert bench.formula.value == before and "All sliders together: 50.0 g" in bench.said

    def test_boron_lies_on_its_own_shelf(self, bench: UnityBench) -> None:
        """COURSE 5.5: Handrail Clear 0.52, and the fluxes still total 1 without it."""
        bench.glaze.choice.value = "Handrail Clear"
        assert cells(bench.formula.value)["boric oxide B₂O₃"] == ["0.52"] and "fluxes together 1.00" in bench.formula.value
        assert "Boron 0.52, beside the fluxes" in bench.said
        assert len(drawn(bench.picture.value, "shelf")) == 1

    def test_additions_count_only_when_switched_on(self, bench: UnityBench) -> None:
        """COURSE section 1, notes: Bulkhead Liner with its zircon has ZrO2 0.17."""
        bench.glaze.choice.value = "Bulkhead Liner"
        assert "zirconia ZrO₂" not in cells(bench.formula.value)
        bench.view.value = True
        assert cells(bench.formula.value)["zirconia ZrO₂"] == ["0.17"]

    def test_tray_heights_are_moles(self, bench: UnityBench) -> None:
        nodes = [n for n in ET.fromstring(bench.picture.value).iter() if n.get("class") == "oxide"]
        heights = [float(node.get("height", "nan")) for node in nodes]  # potash, lime, alumina, silica
        assert heights[3] / heights[2] == pytest.approx(7.41, abs=0.02) and heights[0] + heights[1] == pytest.approx(
            heights[3] / 3.55, rel=0.01
        )

    def test_two_glazes_side_by_side(self, bench: UnityBench) -> None:
        bench.beside.value = "Turnstile Matte"
        rows = cells(bench.both.value)
        assert rows["silica to alumina"][0] == "7.41" and round(float(rows["silica to alumina"][1]), 1) == 5.1
        assert rows["silica SiO₂"][:2] == ["3.55", "2.04"] and rows["silica SiO₂"][2] in ("−1.50", "−1.51")

    def test_a_powder_can_be_added_and_the_card_brought_back(self, bench: UnityBench) -> None:
        bench.glaze.more.value = "talc"
        bench.glaze.add()
        bench.glaze.sliders["talc"].value = "10"
        assert "magnesia MgO" in cells(bench.formula.value) and "talc +10.0 g" in bench.said
        bench.glaze.back_to_the_card()
        assert "talc" not in bench.glaze.sliders and "As on the card" in bench.said

    def test_a_number_that_is_none_is_told_and_dims(self, bench: UnityBench) -> None:
        bench.glaze.sliders["kaolin"].value = "some"
        assert "'some' is not a number" in bench.said and "gk-stale" in bench.box._dom_classes
        bench.glaze.sliders["kaolin"].value = "15"
        assert "gk-stale" not in bench.box._dom_classes

    def test_nothing_at_all_is_no_glaze(self, bench: UnityBench) -> None:
        for slider in bench.glaze.sliders.values():
            slider.value = "0"
        assert "all sliders stand at 0 g" in bench.said

    def test_each_glaze_keeps_its_sliders_over_night(self, reopen: Reopen) -> None:
        first: UnityBench = reopen("05").panel("unity bench")  # type: ignore[assignment]
        first.glaze.sliders["kaolin"].value = "20"
        first.glaze.choice.value = "Gangway Clear"
        first.glaze.sliders["whiting"].value = "24"
        again: UnityBench = reopen("05").panel("unity bench")  # type: ignore[assignment]
        assert again.glaze.choice.value == "Gangway Clear" and again.glaze.sliders["whiting"].value == "24"
        again.glaze.choice.value = "Practice glaze"
        assert again.glaze.sliders["kaolin"].value == "20"


class TestChartMap:
    def test_kaolin_takes_the_point_up_and_right(self, chart: ChartMap) -> None:
        """COURSE 6.2 and 6.3: 10 g of kaolin, alumina 0.565, silica 3.82, ratio 8.34 to 6.76, towards satin."""
        chart.glaze.sliders["kaolin"].value = "23"
        assert chart.point == (pytest.approx(3.82, abs=0.005), pytest.approx(0.565, abs=0.001))
        assert "kaolin +10.0 g" in chart.said and "8.3 to 6.8" in chart.said and "satin" in chart.said

    def test_whiting_takes_it_straight_to_the_corner(self, chart: ChartMap) -> None:
        """COURSE 6.4: the ratio stays 8.34, the point goes to alumina 0.31, silica 2.60."""
        chart.glaze.sliders["whiting"].value = "24"
        assert chart.point == (pytest.approx(2.60, abs=0.005), pytest.approx(0.31, abs=0.005))
        assert "straight towards the corner" in chart.said and "8.3 to 8.3" in chart.said

    def test_the_mark_is_where_the_numbers_are(self, chart: ChartMap) -> None:
        (diamond,) = drawn(chart.sheet.value, "glaze")
        x, y = (sum(value) / 4 for value in zip(*diamond, strict=True))
        line = drawn(chart.paper.value, "ratio")[2]  # the line 6:1, from the corner
        corner, far = line[0], line[-1]
        per_mol = (far[0] - corner[0]) / 600, (far[1] - corner[1]) / 100  # 100 moles of alumina, 600 of silica
        assert (x - corner[0]) / per_mol[0] == pytest.approx(3.54, abs=0.01)
        assert (y - corner[1]) / per_mol[1] == pytest.approx(0.424, abs=0.002)

    def test_the_ring_is_where_nine_of_ten_batches_lie(self, chart: ChartMap) -> None:
        chart.desk.settings().division.value = "2"
        ring = chart._edge()
        sample = sample_unity(demo_recipe("Gangway Clear"), seed=7, draws=3000, weighing=Weighing(100, 2))
        inside = sum(_in_polygon(ring, point) for point in zip(sample.column("SiO2"), sample.column("Al2O3"), strict=True))
        assert 0.87 < inside / 3000 < 0.93
        assert "steps of 2 g" in chart.legend.value

    def test_the_ring_goes_with_the_point(self, chart: ChartMap) -> None:
        chart.when_paused = lambda name, job: None  # type: ignore[method-assign]  # the learner has not paused yet
        chart.glaze.sliders["kaolin"].value = "23"
        middle = [sum(value) / 40 for value in zip(*chart._edge(), strict=True)]
        assert middle == [pytest.approx(chart.point[0], abs=0.01), pytest.approx(chart.point[1], abs=0.002)]

    def test_the_trail_remembers_and_can_be_wiped(self, chart: ChartMap) -> None:
        for grams in range(14, 20):
            chart.glaze.sliders["kaolin"].value = str(grams)
        assert chart.sheet.value.count("<circle") == len(chart.memory["trail"]) == 7
        chart.clear_trail()
        assert len(chart.memory["trail"]) == 1

    def test_small_steps_leave_no_thicket(self, chart: ChartMap) -> None:
        for k in range(60):
            chart.glaze.sliders["kaolin"].value = f"{13 + k / 40:.3f}"
        assert len(chart.memory["trail"]) < 12

    @pytest.mark.parametrize(("study", "glazes", "first"), [("Stull & Howat 1914", 100, 0), ("Seger 1886", 25, 7)])
    def test_old_studies_lie_under_it(self, chart: ChartMap, study: str, glazes: int, first: int) -> None:
        chart.study.value = study
        assert chart.paper.value.count(f"<title>{study.replace('&', '&amp;')}, ") == glazes
        assert chart.paper.value.count("<circle") == first

    def test_a_study_does_not_apply_to_a_glaze_with_boron(self, chart: ChartMap) -> None:
        """COURSE 6.6: Handrail Clear, cone 6 with boron, may not be read off the old map."""
        chart.study.value = "Stull 1912"
        chart.glaze.choice.value = "Handrail Clear"
        assert "Does Stull 1912 apply to yours? No." in chart.badge.value and "boron" in chart.badge.value
        assert "not drawn" in chart.badge.value, "nothing is drawn from memory"

    def test_a_window_near_the_glaze_and_one_for_an_engobe(self, chart: ChartMap) -> None:
        chart.window.value = "near"
        assert chart._field() == near_field([chart.point]) and chart._field().shows(chart.point)
        chart.window.value = "whole"
        chart.glaze.choice.value = "Fender White"  # silica 14.6, alumina 3.55
        assert chart._field().shows(chart.point) and chart._field() != Field()

    def test_no_alumina_no_place(self, chart: ChartMap) -> None:
        for name, slider in chart.glaze.sliders.items():
            slider.value = "50" if name in ("quartz", "whiting") else "0"
        assert "has no alumina" in chart.said

    def test_tiles_of_the_book_by_the_surface_seen(self, chart: ChartMap) -> None:
        book = chart.desk.book
        for name, seen in (("Gangway Clear", "glossy, no cracks"), ("Turnstile Matte", "matte"), ("Timetable Satin", "satin")):
            batch = book.add("batch", **glaze_as_used(demo_recipe(name)), base_g=100)
            tile = book.add("tile", label=name[:3], body="white", application="pour", batch=batch.id)
            book.add("result", tile=tile.id, seen=seen)
        lost = book.add("tile", label="lost", body="white", application="pour", bucket="old bucket")
        book.add("result", tile=lost.id, seen="glossy")
        chart.tiles.value = True
        assert "Tiles of your book on the chart: 3" in chart.legend.value and "without a formula: 1" in chart.legend.value
        assert "<title>Tur: matte</title>" in chart.paper.value
        assert {shape_of(seen) for seen in ("Matt", "satin", "shiny", "crawled")} == {"square", "triangle", "circle", "plus"}

    def test_the_chart_is_there_after_a_night(self, reopen: Reopen) -> None:
        first: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
        first.glaze.sliders["kaolin"].value = "23"
        first.study.value = "Seger 1886"
        again: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
        assert (
            again.said == first.said and again.paper.value == first.paper.value and again.memory["trail"] == first.memory["trail"]
        )


def _in_polygon(edge: tuple[tuple[float, float], ...], point: tuple[float, float]) -> bool:
    """Does a point lie inside: a ray to the right crosses the edge an odd number of times."""
    x, y = point
    crossed = False
    for (x1, y1), (x2, y2) in zip(edge, (*edge[1:], edge[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            crossed = not crossed
    return crossed


def test_the_flux_mixer_warns_of_what_it_puts_into_the_recipe(reopen: Callable[[str], Page]) -> None:
    mixer = reopen("07").panel("flux mixer", recipe="Gangway Clear")
    assert "zinc" not in mixer.caution.value
    shares = dict.fromkeys(mixer.mix.value["shares"], 0.0) | {"Na2O": 0.2, "CaO": 0.6, "ZnO": 0.2}
    mixer.mix.value = {"shares": shares, "locked": []}
    assert "zinc oxide: oxidation firings only" in mixer.caution.value
