"""What the appendix shows: every view draws, says the numbers of the tables, and opens without numpy."""

from __future__ import annotations

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest

from glazekit.calibration import views as page_views
from glazekit.calibration.appendix import open_appendix
from glazekit.calibration.fits import SYSTEMS, predict_classic
from glazekit.calibration.measurements import Measurements
from glazekit.calibration.pictures import bars, cloud, curves, table
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.properties import properties, property_named
from glazekit.ground.tables import read_table

PAGE = open_appendix()
SVG = "{http://www.w3.org/2000/svg}"
SAME, ADD_UP, ZINC = "always say the same number", "add up the oxides", "the same, zinc from 5 %"
VIEWS = {
    "measurements": PAGE.measurements,
    "cloud": PAGE.predicted_and_measured,
    "factors": PAGE.factors,
    "coverage": PAGE.coverage,
    "changes": PAGE.changes,
    "weak spots": PAGE.weak_spots,
    "liquidus": PAGE.liquidus,
    "old tables": PAGE.old_tables,
    "trap": PAGE.trap,
}


def words(shown: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", shown))


def rows_of(shown: str) -> dict[str, list[str]]:
    """First cell -> the other cells, of every row of every table."""
    cells = (re.findall(r"<t[hd][^>]*>([^<]*)</t[hd]>", row) for row in re.findall(r"<tr>(.*?)</tr>", shown))
    return {name: numbers for name, *numbers in cells}


def test_with_numpy_the_page_is_open_and_offers_every_property() -> None:
    assert PAGE is page_views
    assert list(PAGE.WHATS) == [each.quantity for each in properties()]
    assert [each.model for each in PAGE.SUMS.values()] == ["sum"] * len(PAGE.SUMS)


@pytest.mark.parametrize("name", VIEWS)
def test_every_view_draws_and_names_its_source(name: str) -> None:
    shown = VIEWS[name]()
    assert shown.endswith(PAGE.NOTICE) and "nan" not in words(shown).split()
    for drawing in re.findall(r"<svg.*?</svg>", shown, re.DOTALL):
        root = ET.fromstring(drawing)
        assert root.get("role") == "img" and root.get("aria-label")
    assert shown._repr_html_() == shown


@pytest.mark.slow
def test_all_choices_can_be_chosen() -> None:
    for what in PAGE.WHATS:
        for show in (PAGE.coverage, PAGE.changes, PAGE.weak_spots):
            assert "<svg" in show(what)
        for glasses in PAGE.GLASSES:
            assert "<svg" in PAGE.predicted_and_measured(what, glasses)
    for what in PAGE.SUMS:
        assert len(rows_of(PAGE.factors(what))) == 1 + len(MODEL_OXIDES)


def bar_numbers(shown: str) -> dict[str, float]:
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", shown)
    return {name: float(number) for name, number in pairwise(texts) if re.fullmatch(r"[\d.]+", number)}


def test_the_trap_is_shown() -> None:
    found = bar_numbers(PAGE.trap())
    assert found["random rows: look up"] < found["random rows: add up"]
    assert found["whole publications: add up"] < found["whole publications: look up"]


def test_cleaning_makes_the_rest_prettier_and_the_whole_no_better() -> None:
    nothing, much = (bar_numbers(PAGE.cleaning(omit)) for omit in ("nothing", "all that looks doubtful"))
    kept = {name: value for name, value in much.items() if "kept" in name}
    whole = {name: value for name, value in much.items() if "all" in name}
    assert len(kept) == len(whole) == 2
    assert all(value < 0.9 * nothing[name_all] for (name, value), name_all in zip(kept.items(), whole, strict=True))
    assert all(value > 0.98 * nothing[name] for name, value in whole.items())


def test_the_liquidus_is_hardly_better_than_always_the_same_number() -> None:
    found = bar_numbers(PAGE.liquidus())
    assert 0.65 * found[SAME] < found[ADD_UP] < found[SAME] < found[ZINC]


def test_old_tables_say_how_far_their_numbers_can_be_trusted() -> None:
    statuses = {name: set(status.split(" and ")) for name, (status, *_) in rows_of(PAGE.old_tables()).items()}
    assert [statuses[system] for system in SYSTEMS] == [{"memory", "seen"}, {"memory"}, {"memory"}]
    assert statuses["fitted here"] == {"fitted"}


def glass(**shares: float) -> Measurements:
    row = np.array([[shares.get(oxide, 0.0) for oxide in MODEL_OXIDES]])
    one = np.zeros(1)
    return Measurements(property_named("expansion"), row, one, one.astype(bool), one, one, one, one)


def test_classic_systems_by_hand() -> None:
    """Soda, lime and silica, 15 : 10 : 75 by moles; weights 9.30, 5.61 and 45.06 g, in all 59.97."""
    sample = glass(SiO2=0.75, Na2O=0.15, CaO=0.10)
    by_hand = {
        "Appen, 1949": 0.15 * 395 + 0.10 * 130 + 0.75 * (38 - (75 - 67)),
        "English and Turner, 1927": (9.30 * 4.32 + 5.61 * 1.63 + 45.06 * 0.05) / 0.5997,
        "Winkelmann and Schott, 1894": (9.30 * 10 + 5.61 * 5 + 45.06 * 0.8) / 0.5997 / 3,
    }
    for system in SYSTEMS:
        value, covered = predict_classic(system, sample)
        assert value[0] == pytest.approx(by_hand[system] / 10, rel=1e-3) and covered[0]
    lithia = glass(SiO2=0.8, Li2O=0.2)
    assert not predict_classic(SYSTEMS[1], lithia)[1][0], "no factor"


def test_appens_boron_lies_between_its_limits() -> None:
    much = predict_classic(SYSTEMS[2], glass(SiO2=0.60, Na2O=0.10, B2O3=0.30))[0][0]
    little = predict_classic(SYSTEMS[2], glass(SiO2=0.85, Na2O=0.14, B2O3=0.01))[0][0]
    ratio = 0.10 / 0.30
    assert much == pytest.approx((0.60 * 38 + 0.10 * 395 + 0.30 * min(0, -50 + 12.5 * (4 - ratio))) / 10)
    assert little == pytest.approx((0.85 * (38 - 18) + 0.14 * 395 - 0.01 * 50) / 10)


def test_pictures_say_everything_in_words_too() -> None:
    drawn = ET.fromstring(bars([("a & b", 1.0, "1.0"), ("half", 0.5, "0.5")], "mm", "two bars", mark=0.7))
    assert {"a & b", "half", "0.5", "mm"} <= {text.text for text in drawn.iter(f"{SVG}text")}
    lengths = [float(bar.get("width", 0)) for bar in drawn.iter(f"{SVG}rect") if bar.get("class") == "bar"]
    assert lengths[0] == pytest.approx(2 * lengths[1]) and len(list(drawn.iter(f"{SVG}path"))) == 4, "each bar is crossed"
    x, steps = np.linspace(0, 1, 200), np.linspace(0, 2, 5)
    heard = [picture.get("aria-label", "") for picture in ET.fromstring(cloud(x, x, 0.1, "K")).iter(f"{SVG}svg")]
    assert re.findall(r"\d+", heard[0])[0] == "200"
    two = curves(steps, [("rows", "", np.linspace(40, 100, 5)), ("other", "4 3", np.linspace(50, 90, 5))], "K", "t")
    assert {text.text for text in ET.fromstring(two).iter(f"{SVG}text")} > {"rows", "other", "90 %"}
    assert "&lt;" in table(("a",), [("<",)], "c")


def test_without_numpy_it_says_what_to_do_and_does_not_fail() -> None:
    script = """
import sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("numpy", "scipy", "pandas"):
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
sys.meta_path.insert(0, Refuse())
from glazekit.calibration.appendix import open_appendix
page = open_appendix()
for show in (page.measurements, page.trap, page.cleaning, page.accuracy, page.predicted_and_measured):
    assert "numpy" in show() and "[appendix]" in show() and show()._repr_html_() == show()
assert list(page.WHATS) == list(page.SUMS) == ["-"]
from glazekit.calibration.__main__ import main
sys.exit(main([]))
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60)
    assert run.returncode == 1 and "Traceback" not in run.stderr
    assert run.stderr.split()[0] == "numpy" and '".[appendix]"' in run.stderr


@pytest.mark.slow
def test_the_figures_shown_are_those_of_the_table() -> None:
    text = words(PAGE.accuracy())
    for row in read_table("property_accuracy"):
        if row["subset"] in ("box", "studio-like"):
            places = property_named(row["property"]).decimals
            assert f" {row['mae']:.{places}f} " in text, dict(row)


@pytest.mark.slow
def test_the_command_prints_the_figures_of_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    from glazekit.calibration.__main__ import main

    assert main([]) == 0
    lines = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines()]
    for row in read_table("property_accuracy"):
        if row["kept"] == "clean":
            start = f"{row['subset']} {row['rows']} {row['publications']} "
            (line,) = [line for line in lines if line.startswith(start)]
            places = property_named(row["property"]).decimals
            assert f" {row['mae']:.{places}f} {row['rmse']:.{places}f} " in line
