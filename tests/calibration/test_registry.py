"""One row a property: every table that speaks of properties speaks of those of properties.csv."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from shutil import copytree, ignore_patterns
from typing import Any

import pytest

import glazekit
from glazekit.glass.properties import interval_rule, properties, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.tables import data_dir, read_table, table_names

NAMES = {each.name for each in properties()}


@pytest.mark.parametrize("table", ["property_intervals", "property_accuracy", "change_accuracy"])
def test_tables_hold_exactly_the_properties_of_the_registry(table: str) -> None:
    assert {row["property"] for row in read_table(table)} == NAMES


@pytest.mark.parametrize("name", sorted(NAMES))
def test_a_property_has_its_numbers_and_both_its_intervals(name: str) -> None:
    about = property_named(name)
    assert about.factor_table in table_names() and len(read_table(about.factor_table)) > 15
    for kind in ("absolute", "change"):
        assert interval_rule(about.interval, kind)["constant"] > 0


@pytest.mark.parametrize(("asked", "near"), [("expansio", "expansion"), ("elastic modulus", "elastic_modulus")])
def test_an_unknown_property_is_told_with_the_nearest(asked: str, near: str) -> None:
    with pytest.raises(DataError, match=f"'{near}'"):
        property_named(asked)


# -- a property that nobody wrote code for --------------------------------------------------------------------------------------

TOY_ROW = (
    "toy_weight,toy weight,,toys,made up for a test,sum,toy_factors,0.5,"
    "expansion,constant,0,1,E_GPa,toys,SnO2 as ZrO2,yes,weighs more,weighs less"
)
TOY_FACTORS = "oxide,factor,source,status\nSiO2,1.0,sciglass_open,fitted\nCaO,3.0,sciglass_open,fitted\n"
TOY_SIDECAR = """
title = "Toy factors"
description = "made up"
licence = "MIT"
key = ["oxide"]
[columns]
oxide = { type = "text", unit = "", description = "oxide" }
factor = { type = "number", unit = "toys", description = "what it adds" }
source = { type = "text", unit = "", description = "source" }
status = { type = "text", unit = "", description = "status" }
"""
ASKED = """
import json, sys
import glazekit as gk
from glazekit.calibration.appendix import open_appendix
from glazekit.calibration.appraisal import appraise
from glazekit.calibration.report import accuracy_rows, interval_rows, report_lines, write_rows
from glazekit.glass.sums import ask_sum
from glazekit.ground.tables import data_dir
from glazekit.sheets.footnotes import estimates_for

toy = ask_sum("toy_weight", {"SiO2": 70, "Al2O3": 8, "Na2O": 8, "CaO": 14}, {"SiO2": 69, "Al2O3": 8, "Na2O": 8, "CaO": 15})
write_rows(data_dir() / "property_accuracy.csv", accuracy_rows())
sys.path.insert(0, sys.argv[1])
from test_readme import expected_rows

json.dump({
    "names": [each.name for each in gk.properties()],
    "estimate": [toy.quantity, toy.value, toy.low, toy.high, toy.unit, toy.status],
    "change": [toy.change.value, toy.change.low, toy.change.high, toy.change.swapped_mol_pct],
    "sheet": [each.quantity for each in estimates_for(gk.demo_recipe("Gangway Clear"), gk.course_stock(), 1222)],
    "measured": [len(appraise(name).sample) for name in ("toy_weight", "elastic_modulus")],
    "intervals": sorted({row[0] for row in interval_rows()}),
    "report": list(report_lines()),
    "appendix": list(open_appendix().SUMS),
    "readme": expected_rows(),
}, sys.stdout)
"""


@pytest.fixture(scope="module")
def toy(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What a copy of the package says after one table and one row were laid into its data folder."""
    folder = tmp_path_factory.mktemp("toy")
    copytree(Path(glazekit.__file__).parent, folder / "glazekit", ignore=ignore_patterns("__pycache__"))
    data = copytree(data_dir(), folder / "data")
    (data / "toy_factors.csv").write_text(TOY_FACTORS, encoding="utf-8")
    (data / "toy_factors.toml").write_text(TOY_SIDECAR, encoding="utf-8")
    with (data / "properties.csv").open("a", encoding="utf-8", newline="") as stream:
        stream.write(f"{TOY_ROW}\n")
    command = [sys.executable, "-c", ASKED, str(Path(__file__).parents[1] / "packaging")]
    run = subprocess.run(
        command, cwd=folder, env=os.environ | {"PYTHONPATH": str(folder)}, capture_output=True, text=True, timeout=120
    )
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)


def test_it_has_an_estimate_with_its_interval_and_a_change(toy: Any) -> None:
    """By hand: 0.70 x 1 + 0.14 x 3 + 0.5; the interval is borrowed from the expansion, as its row says."""
    rule, change = (interval_rule("expansion", kind) for kind in ("absolute", "change"))
    half = rule["constant"] + rule["per_alkali"] * 0.08 + rule["per_lime"] * 0.14
    quantity, *numbers, unit, status = toy["estimate"]
    assert (quantity, unit, status) == ("toy weight", "toys", "fitted")
    assert numbers == pytest.approx([1.62, 1.62 - half, 1.62 + half])
    swap = change["constant"] + change["per_mol_pct_swapped"]
    assert toy["change"] == pytest.approx([-0.02, -0.02 - swap, -0.02 + swap, 1.0])


def test_it_stands_on_the_sheet_in_the_refit_in_the_appendix_and_in_the_readme(toy: Any) -> None:
    known = [each.name for each in properties()]
    assert toy["names"] == [*known, "toy_weight"]
    assert toy["sheet"][-1] == "toy weight" and len(toy["sheet"]) == 1 + sum(each.on_sheet == "yes" for each in properties())
    assert toy["measured"][0] == toy["measured"][1] > 1000
    assert toy["intervals"] == sorted(toy["names"])
    assert sum(line.startswith("toy weight") for line in toy["report"]) == 1
    assert toy["appendix"][-1] == "toy weight"
    heading, publications, error, width, holds = toy["readme"][-1]
    assert heading == "toy weight" and publications > 100 and 0 < error < width and 85 < holds < 100
