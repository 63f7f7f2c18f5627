"""How fast the core is; the limits are what a person can feel: a slider's panel has 10 ms, and reckons many formulas in them."""

from __future__ import annotations

import subprocess
import sys
from statistics import median

import pytest
from stopwatch import calm_s

import glazekit as gk
from glazekit.chemistry.uncertainty import sample_unity

SIX = gk.Recipe(
    "six materials",
    {"potash feldspar": 30, "whiting": 18, "dolomite": 6, "kaolin": 15, "quartz": 26, "zinc oxide": 5},
)


def test_unity_formula_under_50_microseconds() -> None:
    gk.unity_formula(SIX)
    seconds = calm_s(lambda: gk.unity_formula(SIX), times=2000)
    print(f"unity formula of six materials: {seconds * 1e6:.1f} us")
    assert seconds < 50e-6


def test_ten_thousand_recipes_analysed_under_a_second() -> None:
    recipes = [SIX.scaled(1 + i / 10_000) for i in range(10_000)]

    def analyse_all() -> None:
        for recipe in recipes:
            gk.analyse(recipe)

    seconds = calm_s(analyse_all, rounds=3)
    print(f"10,000 recipes analysed: {seconds:.2f} s")
    assert seconds < 1


@pytest.mark.slow
def test_import_under_60_milliseconds() -> None:
    """Median of five fresh interpreters, less the same interpreter importing nothing."""
    code = "import time; start = time.perf_counter(); import glazekit; print(time.perf_counter() - start)"
    runs = [
        float(subprocess.run([sys.executable, "-I", "-c", code], capture_output=True, text=True, check=True).stdout)
        for _ in range(5)
    ]
    print(f"import glazekit: {median(runs) * 1000:.0f} ms")
    assert median(runs) < 0.060


def test_two_thousand_draws_of_six_materials_under_60_milliseconds() -> None:
    def draw() -> None:
        sample = sample_unity(SIX, draws=2000)
        sample.spread("SiO2"), sample.silica_to_alumina, sample.alkali_share, sample.ellipse

    seconds = calm_s(draw)
    print(f"2,000 draws with intervals and ellipse: {seconds * 1000:.1f} ms")
    assert seconds < 0.060
