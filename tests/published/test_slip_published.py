"""Slip and batch numbers against what others have printed, and against the course's own answer sheet."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from glazekit.ground.tables import sources
from glazekit.recipe.batch import batch_sheet, largest_batch
from glazekit.recipe.recipe import Recipe
from glazekit.water.slip import (
    batch_volume_ml,
    coat_factor_mm_per_root_s,
    coat_mm,
    dry_g_for_volume,
    dry_g_from_weighing,
    slip_density_g_ml,
    water_ml_per_100g_from_density,
)

CASES = Path(__file__).parent / "cases"


def rows_of(name: str) -> list[dict[str, str]]:
    with (CASES / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize(
    "row", rows_of("brongniart.csv"), ids=lambda row: f"{row['quantity']} {row['litre_weight_g']} {row['source']}"
)
def test_brongniart_as_printed(row: dict[str, str]) -> None:
    litre_g, powder = float(row["litre_weight_g"]), float(row["powder_density_g_ml"])
    dry_g = dry_g_from_weighing(litre_g, 1000, powder)
    found = {"dry in 1 L": dry_g, "volume with 100 g dry": 100 / dry_g * 1000}[row["quantity"]]
    assert found == pytest.approx(float(row["value"]), abs=float(row["tolerance"]) + 1e-9)
    assert row["source"] in sources()


@pytest.mark.parametrize(
    "row", [row for row in rows_of("brongniart.csv") if row["quantity"] != "dry in 1 L"], ids=lambda row: row["litre_weight_g"]
)
def test_the_printed_volume_holds_100_g(row: dict[str, str]) -> None:
    """The table's other column, reached through water and volume instead of through the weighing."""
    powder = float(row["powder_density_g_ml"])
    water = water_ml_per_100g_from_density(float(row["litre_weight_g"]) / 1000, powder)
    assert batch_volume_ml(100, water, powder) == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


def test_pint_weights_of_older_books() -> None:
    """W = (P - 20) S / (S - 1) with ounces in an imperial pint, as older British books write it; a pint weighs 20.04 oz."""
    ounce_g, pint_ml = 28.349523125, 568.26125
    dry_oz = dry_g_from_weighing(32 * ounce_g, pint_ml) / ounce_g
    assert dry_oz == pytest.approx((32 - 20) * 2.6 / 1.6, rel=0.005)


SATIN = {
    "soda feldspar": 30,
    "calcium borosilicate frit": 18,
    "whiting": 8,
    "talc": 13,
    "kaolin": 21,
    "quartz": 11.5,
    "zinc oxide": 4,
}
TIMETABLE = Recipe("Timetable Satin", SATIN, {"tin oxide": 5, "rutile": 2}, "parts")
CLEAR = {"soda feldspar": 26, "calcium borosilicate frit": 25, "whiting": 14, "kaolin": 13, "quartz": 22}
GANGWAY = Recipe("Gangway Clear", CLEAR, {"cobalt carbonate": 1}, "parts")
CHAIN = {"potash feldspar": 36, "whiting": 15, "talc": 4, "kaolin": 10, "ball clay": 6, "quartz": 23, "bone ash": 4}
ANCHOR = Recipe("Anchor Chain", CHAIN, {"red iron oxide": 9}, "parts")


def target(recipe: Recipe, material: str, base_g: float) -> float:
    return next(line.target_g for line in batch_sheet(recipe, base_g, 0.01).lines if line.material == material)


EXERCISES: dict[str, Callable[[], float]] = {
    "1.1": lambda: batch_sheet(GANGWAY, 100).total_g,
    "2.1": lambda: target(TIMETABLE, "soda feldspar", 100),
    "2.2": lambda: target(TIMETABLE, "tin oxide", 100),
    "2.3": lambda: target(TIMETABLE, "tin oxide", 2500),
    "2.4": lambda: largest_batch(TIMETABLE, {"soda feldspar": 312}).base_g,
    "2.5": lambda: target(ANCHOR, "red iron oxide", 400),
    "3.2": lambda: slip_density_g_ml(90),
    "3.3": lambda: dry_g_from_weighing(148, 100),
    "3.4": lambda: water_ml_per_100g_from_density(1.48),
    "3.5": lambda: dry_g_for_volume(5000, 90),
    "3.6": lambda: coat_mm(12, coat_factor_mm_per_root_s(0.5, 3)),
}


@pytest.mark.parametrize("row", rows_of("course_exercises.csv"), ids=lambda row: row["exercise"])
def test_the_answers_of_the_course(row: dict[str, str]) -> None:
    assert EXERCISES[row["exercise"]]() == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


def test_common_practice_spans_the_usual_densities() -> None:
    """Common practice, no printed source: 60 to 160 mL per 100 g is a slip of about 1.6 down to about 1.3."""
    assert slip_density_g_ml(60) == pytest.approx(1.6, abs=0.03)
    assert slip_density_g_ml(160) == pytest.approx(1.3, abs=0.03)
