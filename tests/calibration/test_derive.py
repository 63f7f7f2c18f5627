"""Choosing rows from the database, on a made-up one of a few glasses."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from glazekit.calibration.derive import FILES, ISOKOMS, TEMPS_K, derive, main, write
from glazekit.ground.errors import FileError

PLAIN = {"SiO2": 70.0, "Al2O3": 5.0, "Na2O": 10.0, "CaO": 15.0}


def database(folder: Path, glasses: list[dict[str, object]]) -> Path:
    """A folder like the unpacked wheel. A glass: its ID, oxides as shares, properties."""
    from glazekit.glass.composition import MODEL_OXIDES

    columns = ["CTE", "Tg", "ElasticModulus", "Tliquidus", *(f"T{n}" for n in ISOKOMS), *(f"ViscosityAt{t}K" for t in TEMPS_K)]
    oxides = [*MODEL_OXIDES, "FeO", "MnO2", "Mn2O3", "PbO", "F"]
    rows = pd.DataFrame(glasses).reindex(columns=["ID", "Author", "Year", *columns, *oxides])
    target = folder / FILES
    target.mkdir(parents=True)
    rows[["ID", *columns, "Author", "Year"]].to_csv(target / "sciglass.csv.xz", index=False)
    shares = rows[oxides].fillna(0.0)
    pd.concat([rows["ID"], shares.div(shares.sum(axis=1), axis=0)], axis=1).to_csv(target / "sciglass_comp.csv.xz", index=False)
    return folder


def glass(identity: str, year: int = 1990, author: str = "A", **more: object) -> dict[str, object]:
    return {"ID": identity, "Author": author, "Year": year, **PLAIN, **more}


def test_one_row_for_a_glass_and_the_earliest_print(tmp_path: Path) -> None:
    made = derive(
        database(
            tmp_path,
            [
                glass("1_10", CTE=8.0e-6),
                glass("2_10", CTE=8.4e-6, CaO=15.01),  # the same glass again in one publication
                glass("3_20", CTE=8.2e-6, year=1980),  # printed earlier, with the value in the middle
                glass("4_30", CTE=9.9e-6),  # the same composition, another value: another laboratory
            ],
        )
    )
    assert list(zip(made["glasses"]["sciglass_ref"], made["glasses"]["alpha"], strict=True)) == [(20, 8.2), (30, 9.9)]


def test_what_is_outside_stays_outside(tmp_path: Path) -> None:
    made = derive(
        database(
            tmp_path,
            [
                glass("1_1", Tg=800.0),
                glass("2_2", Tg=810.0, PbO=0.5),  # lead
                glass("3_3", Tg=820.0, F=2.0),  # more than 1 % of something else
                glass("4_4", Tg=830.0, SiO2=400.0),  # too much silica
                glass("5_5", Tg=300.0),  # no glass transition of a silicate
                glass("6_6", CTE=87e-6),  # a slip of the pen
            ],
        )
    )
    assert list(made["glasses"]["sciglass_ref"]) == [1] and list(made["glasses"]["Tg_C"]) == [527.0]


def test_all_iron_is_one_oxide_and_all_manganese_another(tmp_path: Path) -> None:
    made = derive(database(tmp_path, [glass("1_1", Tg=800.0, FeO=2.0, Fe2O3=1.0, Mn2O3=1.0, MnO2=0.5)]))
    row = made["glasses"].iloc[0]
    total = 100 + 1 + 1 + 2.5
    assert row["Fe2O3"] == pytest.approx(100 * 2 / total, abs=0.006)
    assert row["MnO"] == pytest.approx(100 * 2.5 / total, abs=0.006)


def test_at_most_five_points_a_glass_those_of_the_firing_range_first(tmp_path: Path) -> None:
    cold = {"ViscosityAt1073K": 8.0, "T8": 1075.0}
    warm = {"T3": 1500.0, "T4": 1350.0, "T5": 1250.0, "ViscosityAt1373K": 3.8, "ViscosityAt1473K": 3.2, "ViscosityAt1573K": 2.6}
    points = derive(database(tmp_path, [glass("1_1", **cold, **warm)]))["viscosity"]
    assert len(points) == 5 and (points["T_C"] >= 850).all() and (points["log10_eta_Pas"] <= 7).all()


def test_the_same_table_gives_the_same_bytes(tmp_path: Path) -> None:
    table = derive(database(tmp_path, [glass("1_1", Tliquidus=1400.0)]))["liquidus"]
    write(table, tmp_path / "one.gz")
    write(table, tmp_path / "two.gz")
    assert (tmp_path / "one.gz").read_bytes() == (tmp_path / "two.gz").read_bytes()
    assert list(pd.read_csv(tmp_path / "one.gz", compression="gzip")["T_liquidus_C"]) == [1127]


def test_a_folder_without_the_wheel_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(FileError, match="wheel"):
        derive(tmp_path)
    assert main([str(tmp_path), str(tmp_path / "out")]) == 1 and "wheel" in capsys.readouterr().err
