"""Chart map, driven by its values. Expected numbers are the course's own, worked out by hand there."""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import product
from pathlib import Path
from types import FrameType

import pytest
from drawings import named, points
from wording import spoken, text_of

import glazekit
from glazekit.chemistry.silica_alumina import studies
from glazekit.chemistry.uncertainty import Weighing, sample_unity
from glazekit.drawing.chart_window import Window, near_window
from glazekit.folder.glaze import glaze_as_used
from glazekit.folder.shelf import save_recipe
from glazekit.lab.page import Page
from glazekit.lab.panels.chart_map import ChartMap
from glazekit.lab.parts.chart_reckoning import _way, longer_trail
from glazekit.lab.parts.chart_words import tell_chart
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Recipe

Reopen = Callable[[str], Page]


@pytest.fixture
def chart(reopen: Reopen) -> ChartMap:
    return reopen("06").panel("chart map")  # type: ignore[return-value]


def said(key: str, where: str) -> dict[str, str] | None:
    return spoken(f"lesson_06.panel.chart_map.{key}", where)


def tile_of(chart: ChartMap, name: str, *looks: str) -> None:
    """A tile of a demo glaze in the book, looked at once for each word."""
    book = chart.desk.book
    batch = book.add("batch", **glaze_as_used(demo_recipe(name)), base_g=100)
    tile = book.add("tile", label=name[:3], body="white", application="pour", batch=batch.id)
    for seen in looks:
        book.add("result", tile=tile.id, seen=seen)


@pytest.mark.parametrize(
    ("grown", "way"),
    [(0.985, "less_silica"), (0.996, "to_corner"), (1.0, "still"), (1.004, "from_corner"), (1.006, "more_silica")],
)
def test_ratios_within_half_a_hundredth_of_each_other_are_the_same(grown: float, way: str) -> None:
    assert _way((3.5, 0.4), (3.5 * grown, 0.4)) == way


def test_a_trail_keeps_its_newest_points() -> None:
    trail: tuple[tuple[float, float], ...] = ()
    for step in range(60):
        trail = longer_trail(trail, (3 + 0.1 * step, 0.4))
    assert len(trail) == 24 and [trail[0][0], trail[-1][0]] == pytest.approx([3 + 0.1 * 36, 3 + 0.1 * 59])


def test_kaolin_takes_the_point_up_and_right(chart: ChartMap) -> None:
    """COURSE 6.2 and 6.3: 10 g of kaolin, alumina 0.565, silica 3.82, ratio 8.34 to 6.76, towards satin."""
    chart.glaze.sliders["kaolin"].value = "23"
    assert chart.now is not None
    assert chart.now.glaze == (pytest.approx(3.82, abs=0.005), pytest.approx(0.565, abs=0.001))
    since = said("since", chart.said) or {}
    assert (since["changes"], since["old"], since["new"]) == ("kaolin +10.0 g", "8.3", "6.8")
    assert said("more_alumina", chart.said) == {"heat": "at cone 6"}


@pytest.mark.parametrize(
    ("moves", "way"),
    [
        ({"quartz": "40"}, "more_silica"),
        ({"quartz": "90"}, "more_silica"),
        ({"kaolin": "0"}, "less_alumina"),
        ({"kaolin": "60"}, "more_alumina"),
        ({"quartz": "5"}, "less_silica"),
        ({"whiting": "40"}, "to_corner"),
        ({"whiting": "2"}, "from_corner"),
        ({"quartz": "44", "kaolin": "20"}, "more_silica"),
        (dict.fromkeys(("quartz", "kaolin"), "30"), "more_alumina"),
    ],
)
def test_what_is_said_follows_the_fire(chart: ChartMap, moves: dict[str, str], way: str) -> None:
    """More silica, less flux or much alumina at one heat end unmelted; more flux is easier only down to the eutectic."""
    for name, grams in moves.items():
        chart.glaze.sliders[name].value = grams
    assert chart.now is not None and chart.now.way == way and said(way, chart.said) is not None
    wants_heat = text_of("lesson_06.panel.chart_map.at_cone").format(cone="6") in chart.said
    assert wants_heat == (way in ("more_silica", "more_alumina", "from_corner"))
    assert ("eutectic" in chart.said) == (way == "to_corner")
    assert ("gloss" in chart.said) is False, "no move is a way to gloss by itself"


def test_without_a_cone_the_heat_is_the_same(reopen: Reopen, tmp_path: Path) -> None:
    save_recipe(tmp_path, Recipe("no cone", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}))
    chart: ChartMap = reopen("06").panel("chart map", recipe="no cone")  # type: ignore[assignment]
    chart.glaze.sliders["quartz"].value = "50"
    assert said("more_silica", chart.said) == {"heat": text_of("lesson_06.panel.chart_map.at_the_same_heat")}


def test_what_is_drawn_is_told_in_six_short_lines_at_most(chart: ChartMap) -> None:
    """With contours, tiles and all; what more there is to know lies folded."""
    tile_of(chart, "Gangway Clear", "glossy")
    chart.tiles.value = True
    for contours, window in product(("", "viscosity", "expansion"), ("whole", "near")):
        chart.contours.value, chart.window.value = contours, window
        told = tell_chart(chart.now, chart.words)  # type: ignore[arg-type]
        assert 4 <= len(told.legend) <= 6 and max(len(line.split()) for line in told.legend) <= 17, told.legend
        assert chart.legend.value.count("<li>") == len(told.legend)
        assert chart.more.value.startswith("<details><summary>") and chart.more.value.count("<li>") == len(told.more) > 3


def test_whiting_takes_it_straight_to_the_corner(chart: ChartMap) -> None:
    """COURSE 6.4: the ratio stays 8.34, the point goes to alumina 0.31, silica 2.60."""
    chart.glaze.sliders["whiting"].value = "24"
    assert chart.now is not None
    assert chart.now.glaze == (pytest.approx(2.60, abs=0.005), pytest.approx(0.31, abs=0.005))
    since = said("since", chart.said) or {}
    assert (since["old"], since["new"]) == ("8.3", "8.3") and said("to_corner", chart.said) is not None


def test_a_card_without_alumina_has_no_ratio_to_start_from(reopen: Reopen, tmp_path: Path) -> None:
    save_recipe(tmp_path, Recipe("ash and sand", {"whiting": 50, "quartz": 50}))
    chart: ChartMap = reopen("06").panel("chart map", recipe="ash and sand")  # type: ignore[assignment]
    chart.glaze.more.value = "kaolin"
    chart.glaze.add()
    chart.glaze.sliders["kaolin"].value = "10"
    since = said("since", chart.said) or {}
    assert since["old"] == "∞" and float(since["new"]) > 8 and said("more_alumina", chart.said) is not None


def test_the_mark_is_where_the_numbers_are(chart: ChartMap) -> None:
    (diamond,) = named(chart.sheet.value, "glaze")
    x, y = (sum(value) / 4 for value in zip(*points(diamond), strict=True))
    corner, *_, far = points(named(chart.paper.value, "ratio")[2])  # the line 6:1, from the corner
    per_mol = (far[0] - corner[0]) / 600, (far[1] - corner[1]) / 100  # 100 moles of alumina, 600 of silica
    assert (x - corner[0]) / per_mol[0] == pytest.approx(3.54, abs=0.01)
    assert (y - corner[1]) / per_mol[1] == pytest.approx(0.424, abs=0.002)


def test_the_ring_is_where_nine_of_ten_batches_lie(chart: ChartMap) -> None:
    chart.desk.settings().division.value = "2"  # type: ignore[attr-defined]
    ring = chart.now.cloud  # type: ignore[union-attr]
    sample = sample_unity(demo_recipe("Gangway Clear"), seed=7, draws=3000, weighing=Weighing(100, 2))
    inside = sum(_in_polygon(ring, point) for point in zip(sample.column("SiO2"), sample.column("Al2O3"), strict=True))
    assert 0.87 < inside / 3000 < 0.93
    assert (said("more_cloud", chart.more.value) or {})["step"] == "2"


def test_the_ring_goes_with_the_point(chart: ChartMap) -> None:
    chart.when_paused = lambda name, job: None  # type: ignore[method-assign]  # the learner has not paused yet
    chart.glaze.sliders["kaolin"].value = "23"
    assert chart.now is not None
    middle = [sum(value) / 40 for value in zip(*chart.now.cloud, strict=True)]
    assert middle == [pytest.approx(chart.now.glaze[0], abs=0.01), pytest.approx(chart.now.glaze[1], abs=0.002)]


def test_the_trail_remembers_and_can_be_wiped(chart: ChartMap) -> None:
    for grams in range(14, 20):
        chart.glaze.sliders["kaolin"].value = str(grams)
    assert chart.sheet.value.count("<circle") == len(chart.memory["trail"]) == 7
    chart.clear_trail()
    assert len(chart.memory["trail"]) == 1


def test_small_steps_leave_no_thicket(chart: ChartMap) -> None:
    for k in range(60):
        chart.glaze.sliders["kaolin"].value = f"{13 + k / 40:.3f}"
    assert len(chart.memory["trail"]) < 12


@pytest.mark.parametrize(("study", "glazes", "first"), [("Stull & Howat 1914", 100, 0), ("Seger 1886", 25, 7)])
def test_old_studies_lie_under_it(chart: ChartMap, study: str, glazes: int, first: int) -> None:
    chart.study.value = study
    assert chart.paper.value.count(f"<title>{study.replace('&', '&amp;')}, ") == glazes
    assert chart.paper.value.count("<circle") == first


def test_a_study_does_not_apply_to_a_glaze_with_boron(chart: ChartMap) -> None:
    """COURSE 6.6: Handrail Clear, cone 6 with boron, may not be read off an old field."""
    chart.study.value, chart.glaze.choice.value = "Stull & Howat 1914", "Handrail Clear"
    applies = chart.now.applies  # type: ignore[union-attr]
    assert applies is not None and applies.word == "no" and any("boron" in reason for reason in applies.reasons)
    assert said("applies", chart.badge.value) is not None and said("about", chart.badge.value) is not None


def test_a_study_whose_field_is_not_at_hand_is_not_offered(chart: ChartMap) -> None:
    offered = {name for _, name in chart.study.options} - {""}
    assert offered == {found.name for found in studies() if found.points} != {found.name for found in studies()}


def test_a_window_near_the_glaze_and_one_for_an_engobe(chart: ChartMap) -> None:
    chart.window.value = "near"
    assert chart.now is not None and chart.now.window == near_window([chart.now.glaze])
    chart.window.value = "whole"
    chart.glaze.choice.value = "Mooring White"  # silica 14.6, alumina 3.55
    assert chart.now.window.shows(chart.now.glaze) and chart.now.window != Window()


def test_no_alumina_no_place(chart: ChartMap) -> None:
    for name, slider in chart.glaze.sliders.items():
        slider.value = "50" if name in ("quartz", "whiting") else "0"
    assert said("no_alumina", chart.said) == {"name": "Gangway Clear"} and "gk-stale" in chart.box._dom_classes


def test_tiles_of_the_book_by_the_surface_seen(chart: ChartMap) -> None:
    for name, seen in (("Gangway Clear", "glossy, no cracks"), ("Turnstile Matte", "matte"), ("Timetable Satin", "satin")):
        tile_of(chart, name, seen)
    book = chart.desk.book
    lost = book.add("tile", label="lost", body="white", application="pour", bucket="old bucket")
    book.add("result", tile=lost.id, seen="glossy")
    tile_of(chart, "Late Boat")  # not looked at yet
    chart.tiles.value = True
    assert said("mark_tiles", chart.legend.value) == {"count": "3"} and said("without", chart.legend.value) == {"count": "1"}
    shapes = {mark.words: mark.shape for mark in tell_chart(chart.now, chart.words).paper.marks}  # type: ignore[arg-type]
    assert shapes == {"Gan: glossy, no cracks": "circle", "Tur: matte": "square", "Tim: satin": "triangle"}
    assert all(f"<title>{words}</title>" in chart.paper.value for words in shapes)


def test_a_tile_with_two_looks_is_one_mark_with_the_latest(chart: ChartMap) -> None:
    tile_of(chart, "Gangway Clear", "glossy", "crazed after a month")
    chart.tiles.value = True
    assert chart.paper.value.count("<title>Gan: ") == chart.paper.value.count("crazed after a month") == 1
    assert said("mark_tiles", chart.legend.value) == {"count": "1"} and said("without", chart.legend.value) is None


def test_the_chart_is_there_after_a_night(reopen: Reopen) -> None:
    first: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
    first.glaze.sliders["kaolin"].value = "23"
    first.study.value = "Seger 1886"
    again: ChartMap = reopen("06").panel("chart map")  # type: ignore[assignment]
    assert again.said == first.said and again.paper.value == first.paper.value
    assert again.memory["trail"] == first.memory["trail"]


def test_a_hand_that_holds_no_glaze_stays_told_when_the_pause_comes(chart: ChartMap) -> None:
    """The pause of the last good move comes after a number that cannot be read: what is wrong stays in sight."""
    chart.glaze.sliders["kaolin"].value = "some"
    told = chart.said
    chart.do(chart.settle)
    assert chart.said == told and "gk-stale" in chart.box._dom_classes


ROOMS = ("lab/panels", "lab/parts", "drawing")
PEN = ("drawing/strokes.py", "drawing/markup.py")
"""What all drawings are drawn with."""


def entered(move: Callable[[], object]) -> list[tuple[str, str]]:
    """Every call of a move from file to file of the rooms that show; "" for the base that all panels stand on."""
    package, calls = Path(glazekit.__file__).parent, []

    def file_of(frame: FrameType) -> Path:
        path = Path(frame.f_code.co_filename)
        return path.relative_to(package) if path.is_relative_to(package) else Path()

    def caller(frame: FrameType | None) -> str:
        while frame and file_of(frame).parent.as_posix() not in (*ROOMS, "lab"):
            frame = frame.f_back  # what is deeper, such as chemistry, is called for the room above it
        return file_of(frame).as_posix() if frame and file_of(frame).parent.as_posix() in ROOMS else ""

    def watch(frame: FrameType, event: str, _: object) -> None:
        if event == "call" and (file := file_of(frame)).parent.as_posix() in ROOMS:
            calls.append((caller(frame.f_back), file.as_posix()))

    sys.setprofile(watch)
    try:
        move()
    finally:
        sys.setprofile(None)
    return [(before, after) for before, after in calls if before != after and after not in PEN]


FREE = ("", "lab/panels/chart_map.py", "lab/parts/reference_picker.py")
BELOW = {
    "lab/parts/chart_reckoning.py": ("drawing/chart_window.py",),
    "lab/parts/chart_words.py": ("lab/parts/formula_words.py",),
    "lab/parts/movable_glaze.py": ("lab/parts/formula_words.py",),
}


def may_call(before: str, after: str) -> bool:
    """The panel calls what it likes, the three places only what lies below them, drawings only drawings."""
    return before in FREE or after.startswith("drawing" if before.startswith("drawing") else BELOW.get(before, ()))


@pytest.mark.parametrize(
    ("contours", "pauses", "most"), [("", False, 8), ("", True, 8), ("viscosity", False, 9), ("viscosity", True, 10)]
)
def test_the_way_from_a_slider_to_the_picture_is_short_and_runs_downhill(
    reopen: Reopen, contours: str, pauses: bool, most: int
) -> None:
    """Hand, reckoning, words, drawing: the panel hands a value to each, and none of them calls the panel or one another."""
    chart: ChartMap = reopen("06").panel("chart map", contours=contours)  # type: ignore[assignment]
    if not pauses:
        chart.when_paused = lambda name, job: None  # type: ignore[method-assign]
    way = entered(lambda: setattr(chart.glaze.sliders["kaolin"], "value", "15"))
    for before, after in way:
        assert may_call(before, after), f"{before} calls {after}"
    files = {after for _, after in way}
    assert {"lab/parts/chart_reckoning.py", "lab/parts/chart_words.py", "drawing/chart.py"} <= files
    assert len(files) <= most, sorted(files)


def _in_polygon(edge: tuple[tuple[float, float], ...], point: tuple[float, float]) -> bool:
    """Does a point lie inside: a ray to the right crosses the edge an odd number of times."""
    x, y = point
    crossed = False
    for (x1, y1), (x2, y2) in zip(edge, (*edge[1:], edge[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            crossed = not crossed
    return crossed
