"""Drawings: numbers in, geometry out. Read back from the SVG, not from the function's own arithmetic."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from math import sqrt

import pytest

from glazekit.drawing.bars import kiln_bars, loss_bars, stacked_bar
from glazekit.drawing.chart import ChartMark, ChartPaper, ChartSheet, draw_paper, draw_sheet
from glazekit.drawing.chart_window import Contours, Window
from glazekit.drawing.glazed_wall import COATS, Job, coat_drawing
from glazekit.drawing.moles import counted_dots, trays
from glazekit.drawing.strokes import drawing, hatch
from glazekit.drawing.water import suction_curve, water_cup

SVG = "{http://www.w3.org/2000/svg}"
LABELS = {"title": "A coat", "description": "said", "wall": "wall", "coat": "glaze", "shelf": "shelf"}


def named(svg: str, name: str) -> list[ET.Element]:
    return [node for node in ET.fromstring(svg).iter() if node.get("class") == name]


def number(node: ET.Element, key: str) -> float:
    return float(node.get(key, "nan"))


def points(node: ET.Element) -> list[tuple[float, float]]:
    return [tuple(float(v) for v in pair.split()) for pair in node.get("d", "").strip("MZ").split("L")]  # type: ignore[misc]


ALL = [
    stacked_bar([("quartz", 60), ("whiting", 40)], [("tin oxide", 5)], "Bar", "base", "on top"),
    coat_drawing([Job("quartz", "is the glass", "cracked")], "quartz", LABELS),
    water_cup(38.5, [60, 70], "Cup", "70 mL", "powder", lambda ml: f"{ml:g} mL"),
    suction_curve([(0, 0), (4, 1), (16, 2)], (4, 1), (4, 1), "Coat", "1 mm", ("s", "mm", "tile", "dip")),
    trays(
        [(f"flux {i}", 0.125) for i in range(8)],
        [("alumina 3.55", 3.55)],
        [("silica 14.6", 14.6)],
        [("boron 0.4", 0.4)],
        "Trays",
        "full",
        {"fluxes": "fluxes", "stabiliser": "stabiliser", "former": "former", "boron": "shelf", "moles": "moles"},
    ),
    counted_dots([("soda Na₂O: 0.0496 mol", 0.0496), ("silica SiO₂: 0.2975 mol", 0.2975)], 0.005, "Dots", "6 to 1"),
    kiln_bars(20, [("CaO", 11.21)], 8.79, "Kiln", "8.79 g leave", ("in", "out", "stays", "leaves")),
    kiln_bars(20, [("Fe2O3", 20.69)], -0.69, "Kiln", "0.69 g more", ("in", "out", "stays", "takes up")),
    loss_bars([("whiting", 20, 8.8), ("black iron oxide", 10, -0.35)], "Losses", "8.8 g"),
    draw_paper(
        ChartPaper(
            Window((2.0, 5.5), (0.1, 0.8)),
            *("Chart", "what lies on it", "silica", "alumina"),
            ratios=((4, False), (5, True), (10, True)),
            marks=tuple(ChartMark((3, 0.4), "there", shape, bold=True) for shape in ("circle", "triangle", "square", "cross")),
            contours=Contours((("3", ((2.1, 0.2), (5.4, 0.7))),), ((2, 0.1), (5, 0.1), (4, 0.8)), "outside", (3, 0.4)),
        )
    ),
    draw_sheet(
        ChartSheet(Window(), "Glaze", "x", (3.5, 0.4), "mine", ((3.4, 0.4), (3.6, 0.4), (3.5, 0.45)), trail=((3, 0.3), (3, 0.4)))
    ),
]


@pytest.mark.parametrize("svg", ALL)
def test_every_drawing_can_be_heard_and_fits_its_frame(svg: str) -> None:
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and title.text and desc is not None and desc.text
    assert title.text in root.get("aria-label", "") and desc.text in root.get("aria-label", "")
    width = float(root.get("viewBox", "").split()[2])
    assert width <= 400, "wider drawings have letters too small for a phone"
    assert all(float(node.get("font-size", "99")) >= 12 for node in root.iter(f"{SVG}text"))
    height = float(root.get("viewBox", "").split()[3])
    for node in root.iter():
        if "x" in node.attrib:
            assert 0 <= number(node, "x") <= width and 0 <= number(node, "y") <= height


def test_learners_text_cannot_become_markup() -> None:
    svg = stacked_bar([("<script>alert(1)</script>", 100)], [], 'a "name" & more', "base", "top")
    assert "<script>" not in svg
    assert ET.fromstring(svg).find(f"{SVG}title").text == 'a "name" & more'  # type: ignore[union-attr]


def test_the_bar_shows_shares_as_widths_and_additions_beyond_the_mark() -> None:
    svg = stacked_bar([("quartz", 60), ("whiting", 40)], [("tin oxide", 5)], "Bar", "base", "on top")
    quartz, whiting = named(svg, "base")
    (tin,) = named(svg, "on-top")
    assert number(quartz, "width") / number(whiting, "width") == pytest.approx(60 / 40, rel=1e-3)
    assert number(tin, "width") / number(whiting, "width") == pytest.approx(5 / 40, rel=1e-2)
    mark_x = points(named(svg, "mark")[0])[0][0]
    assert mark_x == pytest.approx(number(whiting, "x") + number(whiting, "width"), abs=0.02)
    assert number(tin, "x") >= mark_x - 0.02


def test_the_cup_stacks_water_on_powder_in_proportion() -> None:
    svg = water_cup(40, [60, 80], "Cup", "80 mL", "powder", lambda ml: f"{ml:g} mL")
    (powder,) = named(svg, "powder")
    first, second = named(svg, "water")
    assert number(first, "height") / number(powder, "height") == pytest.approx(60 / 40, rel=1e-2)
    assert number(second, "height") / number(first, "height") == pytest.approx(20 / 60, rel=1e-2)
    assert number(second, "y") < number(first, "y") < number(powder, "y")
    assert points(named(svg, "now")[0])[0][1] == pytest.approx(number(second, "y"), abs=0.02)


def test_the_suction_curve_passes_through_its_points() -> None:
    curve = [(float(t), sqrt(t)) for t in range(17)]
    svg = suction_curve(curve, (16, 4), (4, 2), "Coat", "4 mm", ("s", "mm", "tile", "dip"))
    drawn = points(named(svg, "curve")[0])
    (x0, y0), (x4, y4), (x16, y16) = drawn[0], drawn[4], drawn[16]
    assert (x16 - x0) / (x4 - x0) == pytest.approx(4, rel=1e-2), "time runs evenly"
    assert (y0 - y16) / (y0 - y4) == pytest.approx(2, rel=1e-2), "four times the dip, twice the coat"
    assert points(named(svg, "here")[0])[1] == pytest.approx((x16, y16), abs=0.02)


def test_each_coat_looks_different_and_only_the_missing_one_is_struck_out() -> None:
    jobs = [Job(effect, "does something", effect) for effect in COATS if effect != "whole"]
    drawn = {job.material: coat_drawing(jobs, job.material, LABELS) for job in jobs} | {"": coat_drawing(jobs, "", LABELS)}
    shapes = {name: tuple(node.get("d") for node in named(svg, "coat")) for name, svg in drawn.items()}
    assert len(set(shapes.values())) == len(COATS)
    for name, svg in drawn.items():
        struck = [node.text for node in ET.fromstring(svg).iter() if node.get("text-decoration") == "line-through"]
        assert struck == ([name] if name else [])


def test_an_empty_log_draws_an_empty_cup() -> None:
    svg = water_cup(38, [], "Cup", "empty", "powder", str)
    assert not named(svg, "water") and not named(svg, "powder") and named(svg, "cup")


def test_hatch_stays_inside_its_rectangle() -> None:
    svg = drawing("h", "h", 100, 100, [hatch(10, 20, 30, 40)])
    strokes = next(ET.fromstring(svg).iter(f"{SVG}path")).get("d", "").strip("M").split("M")
    assert len(strokes) > 3
    for stroke in strokes:
        for pair in stroke.split("L"):
            x, y = (float(v) for v in pair.split())
            assert 10 <= x <= 40 and 20 <= y <= 60


@pytest.mark.parametrize("pours", range(1, 15))
def test_the_water_now_in_the_bucket_always_has_its_label(pours: int) -> None:
    levels = [60 + 10 * i for i in range(pours)]
    svg = water_cup(38.5, levels, "Cup", "so much", "powder", lambda ml: f"{ml:g} mL")
    assert f">{levels[-1]} mL<" in svg
