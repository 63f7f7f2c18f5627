"""What the appendix shows: every view draws, says the numbers of the tables, and opens without numpy."""

from __future__ import annotations

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest

from glazekit.calibration.appendix import AppendixPage, Shown, open_appendix
from glazekit.calibration.classic import SYSTEMS, predict_classic
from glazekit.calibration.measurements import Sample
from glazekit.calibration.pictures import bars, cloud, curves, table
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.tables import read_table

PAGE = open_appendix()
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


def words(shown: Shown) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", shown.html))


@pytest.mark.parametrize("name", VIEWS)
def test_every_view_draws_and_names_its_source(name: str) -> None:
    shown = VIEWS[name]()
    assert "SciGlass" in words(shown) and "nan" not in words(shown).split()
    for drawing in re.findall(r"<svg.*?</svg>", shown.html, re.DOTALL):
        root = ET.fromstring(drawing)
        assert root.get("role") == "img" and root.get("aria-label")
    assert shown._repr_html_() == shown.html


@pytest.mark.slow
def test_all_choices_can_be_chosen() -> None:
    for what in AppendixPage.whats:
        for show in (PAGE.coverage, PAGE.changes, PAGE.weak_spots):
            assert "<svg" in show(what).html
        for glasses in AppendixPage.glasses:
            assert "measurements of" in words(PAGE.predicted_and_measured(what, glasses))
    for what in AppendixPage.additive_whats:
        assert "fitted just now" in words(PAGE.factors(what))


def bar_numbers(shown: Shown) -> dict[str, float]:
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", shown.html)
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
    assert 0.65 * found["always say the same number"] < found["add up the oxides"] < found["always say the same number"]
    assert found["the same, zinc from 5 %"] > found["always say the same number"]


def test_old_tables_say_how_far_their_numbers_can_be_trusted() -> None:
    text = words(PAGE.old_tables())
    assert "Appen, 1949 memory" in text and "memory and seen" in text and "fitted here fitted" in text


def glass(**shares: float) -> Sample:
    row = np.array([[shares.get(oxide, 0.0) for oxide in MODEL_OXIDES]])
    one = np.zeros(1)
    return Sample("expansion", row, one, one.astype(bool), one, one, one, one)


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
    assert not predict_classic("English and Turner, 1927", glass(SiO2=0.8, Li2O=0.2))[1][0], "it has no factor for lithia"


def test_appens_boron_lies_between_its_limits() -> None:
    much = predict_classic("Appen, 1949", glass(SiO2=0.60, Na2O=0.10, B2O3=0.30))[0][0]
    little = predict_classic("Appen, 1949", glass(SiO2=0.85, Na2O=0.14, B2O3=0.01))[0][0]
    ratio = 0.10 / 0.30
    assert much == pytest.approx((0.60 * 38 + 0.10 * 395 + 0.30 * min(0, -50 + 12.5 * (4 - ratio))) / 10)
    assert little == pytest.approx((0.85 * (38 - 18) + 0.14 * 395 - 0.01 * 50) / 10)


def test_pictures_say_everything_in_words_too() -> None:
    drawn = bars([("a & b", 1.0, "1.0"), ("half", 0.5, "0.5")], "mm", "two bars", mark=0.7)
    assert "a &amp; b" in drawn and "0.5" in drawn and drawn.count("<line") == 4
    lengths = [float(x) for x in re.findall(r'<rect x="6.0"[^>]*width="([\d.]+)"', drawn)]
    assert lengths[0] == pytest.approx(2 * lengths[1])
    x = np.linspace(0, 1, 200)
    assert 'aria-label="Predicted against measured, 200 measurements"' in cloud(x, x, 0.1, "K")
    steps = np.linspace(0, 2, 5)
    ET.fromstring(curves(steps, [("rows", "none", np.linspace(40, 100, 5)), ("other", "4 3", np.linspace(50, 90, 5))], "K", "t"))
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
    assert "not installed" in show().html and "[appendix]" in show().html
from glazekit.calibration.__main__ import main
sys.exit(main([]))
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60)
    assert run.returncode == 1 and "Traceback" not in run.stderr
    assert run.stderr.startswith("numpy is missing") and '-m pip install ".[appendix]"' in run.stderr


@pytest.mark.slow
def test_the_figures_shown_are_those_of_the_table() -> None:
    text = words(PAGE.accuracy())
    for row in read_table("property_accuracy"):
        if row["subset"] in ("box", "studio-like"):
            places = 1 if row["property"] == "glass_transition" else 2
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
            places = 1 if row["property"] == "glass_transition" else 2
            assert f" {row['mae']:.{places}f} {row['rmse']:.{places}f} " in line
