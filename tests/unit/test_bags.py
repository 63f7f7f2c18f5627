"""A learner's own bag analyses: each mistake a person makes has its own clear sentence."""

from __future__ import annotations

from pathlib import Path
from time import perf_counter

import pytest

from glazekit.ground.errors import AnalysisError, FileError, GlazekitError
from glazekit.materials.bags import bag_form, bags_csv_text, bags_from_text, read_bag_analyses, write_bag_form
from glazekit.materials.material import Material

HEADER = "material;lot;date;SiO2;Al2O3;K2O;Na2O;LOI\n"
GOOD = "kaolin;B7;2026-03-01;47,2;37,1;1,4;0,1;13,6\n"


def bags_from(tmp_path: Path, text: str) -> object:
    path = tmp_path / "bags.csv"
    path.write_text(text, encoding="utf-8")
    return read_bag_analyses(path)


def test_decimal_commas_and_semicolons(tmp_path: Path) -> None:
    (bag,) = bags_from(tmp_path, HEADER + GOOD)  # type: ignore[misc]
    assert bag.oxide_wt_pct["SiO2"] == 47.2 and bag.loi_wt_pct_raw == 13.6
    assert (bag.kind, bag.lot, bag.analysed_on) == ("bag", "B7", "2026-03-01") and bag.lot in bag.label


def test_an_empty_cell_is_not_reported_and_a_zero_is(tmp_path: Path) -> None:
    (bag,) = bags_from(tmp_path, "material,SiO2,Al2O3,Fe2O3,LOI\nmy quartz,99.5,,0,0.3\n")  # type: ignore[misc]
    assert "Al2O3" not in bag.oxide_wt_pct and bag.oxide_wt_pct["Fe2O3"] == 0


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (HEADER + "kaolin;B7;;47,2;3,71;1,4;0,1;13,6\n", "line 2: kaolin: oxides and LOI total 66"),
        ("material;SiO2;Al204\nx;60;40\n", "line 1: .*'Al204'.*'Al2O3'"),
        (HEADER + "kaolin;B7;;47,2;-37,1;1,4;0,1;13,6\n", "line 2, Al2O3: -37,1 is negative"),
        (HEADER + GOOD + GOOD, "line 3: kaolin with lot B7 is there twice"),
        ("material;SiO2;SiO2\nx;60;40\n", "column 'SiO2' is there twice"),
        (HEADER + "kaolin;B7;;4720;37,1;1,4;0,1;13,6\n", "line 2, SiO2: 4720 is more than 100 %; is the decimal sign"),
        (HEADER + "kaolin;B7;;47.2.1;37,1;1,4;0,1;13,6\n", "line 2, SiO2: .*47.2.1"),
        (HEADER + ";B7;;47,2;37,1;1,4;0,1;13,6\n", "no material name"),
        (HEADER + "kaolin;B7;;;;;;\n", "kaolin has no numbers"),
        (HEADER, "no rows"),
        ("lot;SiO2\nB7;100\n", "no column 'material'"),
        ("material,SiO2,LOI\nkaolin,47,2,13\n", "line 2: '13'.*decimal comma.*semicolons"),
    ],
)
def test_each_mistake_has_its_own_sentence(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(AnalysisError, match=says) as caught:
        bags_from(tmp_path, text)
    assert "\n" not in str(caught.value)


def test_the_form_is_accepted_once_filled_in_and_never_overwritten(tmp_path: Path) -> None:
    path = write_bag_form(tmp_path / "form.csv")
    columns = bag_form().strip().split(",")
    row = dict.fromkeys(columns, "") | {"material": "my clay", "SiO2": "60.5", "Al2O3": "30", "LOI": "9"}
    with path.open("a", encoding="utf-8") as stream:
        stream.write(",".join(row.values()) + "\n")
    assert read_bag_analyses(path)[0].oxide_wt_pct == {"SiO2": 60.5, "Al2O3": 30}
    with pytest.raises(FileError, match="never overwritten"):
        write_bag_form(path)


def test_written_bags_read_back_the_same(tmp_path: Path) -> None:
    bags = bags_from(tmp_path, HEADER + GOOD + "quartz;1;;99,7;0,1;;;0,1\n")
    again = tmp_path / "again.csv"
    again.write_text(bags_csv_text(bags), encoding="utf-8")  # type: ignore[arg-type]
    assert read_bag_analyses(again) == bags


def test_written_bags_run_nothing_in_a_spreadsheet() -> None:
    bag = Material("=1+1", "bag", (("SiO2", 100.0),), source="bag", status="seen", lot="-7", analysed_on="2026-03-01")
    text = bags_csv_text((bag,))
    assert text.splitlines()[1].startswith("'=1+1,'-7,2026-03-01,")
    assert bags_from_text(text) == (bag,)


def test_files_that_are_no_tables(tmp_path: Path) -> None:
    for name, content in {"empty.csv": b"", "photo.csv": b"\x89PNG\0\0", "wide.csv": "material;SiO2".encode("utf-16")}.items():
        (tmp_path / name).write_bytes(content)
        with pytest.raises(GlazekitError):
            read_bag_analyses(tmp_path / name)
    with pytest.raises(FileError, match="no file"):
        read_bag_analyses(tmp_path / "missing.csv")


@pytest.mark.parametrize("date", ["3.11.2025", "11/03/25", "autumn", "2025-13-01", "2025-02-30", "1e5"])
def test_a_date_that_cannot_be_put_in_order_is_asked(date: str) -> None:
    with pytest.raises(AnalysisError) as caught:
        bags_from_text(f"material;date;SiO2\nquartz;{date};99")
    assert date in str(caught.value) and "line 2" in str(caught.value)
    assert bags_from_text("material;date;SiO2\nquartz;2025-11-03;99")[0].analysed_on == "2025-11-03"


@pytest.mark.parametrize(
    "odd", ["x" * 16_000, "material," + "x," * 8_000, "material" + " " * 16_000 + "!", "," * 16_000, "a;" * 8_000]
)
def test_a_long_line_is_refused_at_once(odd: str) -> None:
    begun = perf_counter()
    with pytest.raises(GlazekitError):
        bags_from_text(f"{odd}\n{odd}")
    assert perf_counter() - begun < 1
