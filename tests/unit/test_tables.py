"""Reading the tables: types, read-only rows, and one clear sentence when a table is damaged."""

from __future__ import annotations

from pathlib import Path

import pytest

from glazekit.ground import tables
from glazekit.ground.errors import DataError

SIDECAR = """
title = "Buckets"
[columns]
bucket = { type = "text", unit = "", description = "name" }
litres = { type = "number", unit = "L", description = "size" }
dents = { type = "integer", unit = "", description = "count" }
"""


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder with one table, buckets, that a test may damage."""
    (tmp_path / "sources.toml").write_text('[own]\nauthors = "A. Potter"\ntitle = "My shelf"\n', encoding="utf-8")
    (tmp_path / "buckets.toml").write_text(SIDECAR, encoding="utf-8")
    (tmp_path / "buckets.csv").write_text("bucket,litres,dents\nred,7.5,2\nblue,,0\n", encoding="utf-8")
    monkeypatch.setattr(tables, "data_dir", lambda: tmp_path)
    for cached in (tables.read_table, tables.sidecar, tables.sources):
        cached.cache_clear()
    yield tmp_path
    for cached in (tables.read_table, tables.sidecar, tables.sources):
        cached.cache_clear()


def test_cells_get_the_types_of_the_sidecar(shelf: Path) -> None:
    red, blue = tables.read_table("buckets")
    assert dict(red) == {"bucket": "red", "litres": 7.5, "dents": 2}
    assert isinstance(red["dents"], int) and isinstance(red["litres"], float)
    assert blue["litres"] is None and blue["dents"] == 0, "not reported is not the same as reported zero"


def test_rows_cannot_be_changed(shelf: Path) -> None:
    with pytest.raises(TypeError):
        tables.read_table("buckets")[0]["litres"] = 8
    with pytest.raises(TypeError):
        tables.sources()["own"]["title"] = "yours"


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("bucket,litres\nred,7\n", "the header is"),
        ("litres,bucket,dents\n7,red,1\n", "the header is"),
        ("", "the header is"),
        ("bucket,litres,dents\nred,7\n", "buckets.csv line 2: 2 cells, 3 wanted"),
        ("bucket,litres,dents\nred,7,1\nblue,7,1,1\n", "buckets.csv line 3: 4 cells, 3 wanted"),
        ("bucket,litres,dents\nred,seven,1\n", "buckets.csv line 2, litres: 'seven' is not a number"),
        ("bucket,litres,dents\nred,nan,1\n", "'nan' is not a finite number"),
        ("bucket,litres,dents\nred,inf,1\n", "'inf' is not a finite number"),
        ("bucket,litres,dents\nred,7,1.5\n", "buckets.csv line 2, dents: '1.5' is not an integer"),
        ('bucket,litres,dents\n"red,7,1\n', "buckets.csv cannot be read"),
    ],
)
def test_a_damaged_table_is_named_with_line_and_column(shelf: Path, text: str, complaint: str) -> None:
    (shelf / "buckets.csv").write_text(text, encoding="utf-8")
    with pytest.raises(DataError) as caught:
        tables.read_table("buckets")
    assert complaint in str(caught.value)


def test_a_table_in_another_encoding_is_refused(shelf: Path) -> None:
    (shelf / "buckets.csv").write_bytes("bucket,litres,dents\nrötlich,7,1\n".encode("latin-1"))
    with pytest.raises(DataError, match=r"buckets\.csv cannot be read"):
        tables.read_table("buckets")


def test_a_damaged_or_missing_sidecar_is_named(shelf: Path) -> None:
    (shelf / "buckets.toml").write_text("columns = ", encoding="utf-8")
    with pytest.raises(DataError, match=r"buckets\.toml cannot be read"):
        tables.read_table("buckets")
    (shelf / "buckets.toml").unlink()
    with pytest.raises(DataError, match=r"buckets\.toml cannot be read"):
        tables.read_table("buckets")


def test_an_unknown_column_type_is_refused(shelf: Path) -> None:
    (shelf / "buckets.toml").write_text(SIDECAR.replace('"number"', '"float"'), encoding="utf-8")
    with pytest.raises(DataError, match="column type 'float'"):
        tables.read_table("buckets")


def test_misspelt_names_get_the_nearest(shelf: Path) -> None:
    with pytest.raises(DataError, match="no table called 'bucket'; did you mean 'buckets'"):
        tables.read_table("bucket")
    with pytest.raises(DataError, match=r"no table called '\.\./secrets'"):
        tables.read_table("../secrets")
    with pytest.raises(DataError, match="no source called 'ovn'"):
        tables.cite("ovn")


def test_a_reference_leaves_out_what_is_not_known(shelf: Path) -> None:
    assert tables.cite("own") == "A. Potter. My shelf."


def test_the_bibliography_cites_in_full() -> None:
    assert tables.cite("ciaaw_2021") == (
        "T. Prohaska, J. Irrgeher, J. Benefield and others (2022). "
        "Standard atomic weights of the elements 2021 (IUPAC Technical Report). "
        "Pure and Applied Chemistry 94, 573-600. doi:10.1515/pac-2019-0603."
    )
