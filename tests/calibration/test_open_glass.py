"""The shipped measurements: unchanged, inside the box they claim, and with their licence."""

from __future__ import annotations

import gzip
from zlib import crc32

import numpy as np
import pandas as pd
import pytest

from glazekit.calibration.measurements import SUBSETS, in_box, measured, studio_like
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.properties import properties
from glazekit.ground.errors import DataError
from glazekit.ground.tables import data_dir

FOLDER = data_dir() / "open_glass"
ATTRIBUTION = (
    "This file is a derived database made from SciGlass, Copyright (c) 2019 EPAM Systems, https://github.com/epam/SciGlass"
)
NOTICE = "Contains information from SciGlass, which is made available under the Open Database License (ODbL)"
LICENSED, LICENCE = "licensed under ODbL 1.0", "ODC Open Database License (ODbL)"
CHECKSUMS = {"glasses": "16cba9f0", "viscosity": "d4be5596", "publications": "af853d3a", "liquidus": "d3c2119a"}


def words(path: str) -> str:
    return " ".join((data_dir() / path).read_text(encoding="utf-8").replace("\n> ", "\n").split())


@pytest.mark.parametrize("name", CHECKSUMS)
def test_no_accidental_edit(name: str) -> None:
    text = gzip.decompress((FOLDER / f"{name}.csv.gz").read_bytes())
    assert format(crc32(text), "08x") == CHECKSUMS[name]


def test_it_stays_small() -> None:
    assert sum(path.stat().st_size for path in FOLDER.iterdir()) < 1_500_000


def test_every_number_points_to_a_row_that_exists() -> None:
    glasses, points, publications = (pd.read_csv(FOLDER / f"{name}.csv.gz") for name in ("glasses", "viscosity", "publications"))
    assert glasses["gid"].is_unique and publications["pub"].is_unique
    assert set(points["gid"]) <= set(glasses["gid"]) and set(glasses["pub"]) == set(publications["pub"])
    assert points.groupby("gid").size().max() <= 5
    assert glasses[list(MODEL_OXIDES)].sum(axis=1).between(99.9, 100.1).all()


@pytest.mark.parametrize("name", [each.name for each in properties()])
def test_all_glasses_are_in_the_box(name: str) -> None:
    sample = measured(name)
    assert in_box(sample.shares).all() and np.isfinite(sample.values).all()
    assert sample.shares.sum(axis=1) == pytest.approx(1.0)
    assert 0.15 < studio_like(sample).mean() < 0.4, "most of the box is not like a glaze"
    assert not in_box(np.roll(sample.shares, 1, axis=1)).any(), "silica in the place of alumina is outside"


def test_subsets_that_exclude_each_other_do() -> None:
    sample = measured("expansion")
    boron = [SUBSETS[name](sample) for name in ("no boron", "boron 0.2 to 2 %", "boron 2 to 15 %", "boron over 15 %")]
    assert (np.sum(boron, axis=0) == 1).all()
    assert not (SUBSETS["no alkali"](sample) & SUBSETS["alkali from 15 %"](sample)).any()


def test_an_unknown_property_is_told() -> None:
    with pytest.raises(DataError) as told:
        measured("expansio")
    assert (told.value.given, told.value.hint) == ("expansio", "expansion")


def test_licence_and_attribution_stand_where_they_must() -> None:
    assert ATTRIBUTION in words("open_glass/README.md") and LICENSED in words("open_glass/README.md")
    assert (FOLDER / "LICENSE_sciglass").read_text(encoding="utf-8").startswith(LICENCE)
    fitted = [f"{about.factor_table}.toml" for about in properties()]
    others = ("property_intervals.toml", "property_accuracy.toml", "change_accuracy.toml")
    for place in (*fitted, *others, "open_glass/README.md", "README.md"):
        assert NOTICE in words(place), place
