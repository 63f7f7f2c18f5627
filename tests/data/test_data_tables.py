"""The tables in data/ keep their promises: described, sourced, in range, unique, consistent, and unchanged by accident."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from zlib import crc32

import pytest

from glazekit.ground.errors import name_key
from glazekit.ground.tables import STATUSES, cite, data_dir, read_table, sidecar, sources, table_names
from glazekit.materials.formula import atom_counts
from glazekit.materials.material import KINDS, SUM_LIMITS_WT_PCT, analysis_spread
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock

TABLES = table_names()
SIDECAR_KEYS = {"title", "description", "licence", "key", "columns", "source", "status"}
COLUMN_KEYS = {"type", "unit", "description", "min", "max", "allowed"}
RECORDED = Path(__file__).with_name("checksums.csv")


def cells(table: str) -> dict[str, list[str]]:
    """Column -> cells of a table as text."""
    with (data_dir() / f"{table}.csv").open(encoding="utf-8", newline="") as stream:
        header, *lines = csv.reader(stream)
    return {column: [line[at] for line in lines] for at, column in enumerate(header)}


def checksums() -> dict[tuple[str, str], str]:
    """(table, column) -> checksum of the cells in their order: every column of numbers, and the names those numbers hang on."""
    found = {}
    for table in TABLES:
        about = sidecar(table)
        numbers = {column for column, meaning in about["columns"].items() if meaning["type"] == "number"}
        guarded = numbers | {"formula", "element"} | (set(about["key"]) if numbers else set())
        for column, text in cells(table).items():
            if column in guarded:
                found[table, column] = format(crc32("\n".join(text).encode()), "08x")
    return found


def test_every_table_has_a_sidecar_and_every_sidecar_a_table() -> None:
    assert tuple(sorted(path.stem for path in data_dir().glob("*.toml") if path.stem != "sources")) == TABLES


def test_the_readme_explains_every_table() -> None:
    text = (data_dir() / "README.md").read_text(encoding="utf-8")
    assert [table for table in TABLES if f"| `{table}` |" not in text] == []


@pytest.mark.parametrize("table", TABLES)
def test_the_sidecar_describes_every_column(table: str) -> None:
    about = sidecar(table)
    assert set(about) <= SIDECAR_KEYS and about["title"] and about["description"].strip() and about["licence"]
    for column, meaning in about["columns"].items():
        assert {"type", "unit", "description"} <= set(meaning) <= COLUMN_KEYS, column
        assert meaning["description"] and (meaning["type"] == "text" or "unit" in meaning), column
        if meaning["type"] == "number":
            assert meaning["unit"], f"{column}: a measured number has a unit"
    assert len(read_table(table)) > 0


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_source_and_a_status(table: str) -> None:
    """Row by row, or once in the sidecar for a table whose rows all come from one place."""
    about = sidecar(table)
    for row in read_table(table):
        source, status = row.get("source", about.get("source")), row.get("status", about.get("status"))
        assert source in sources(), f"{dict(row)}: source"
        assert status in STATUSES, f"{dict(row)}: status"
        assert (status == "invented") == (source == "ferry_yard"), "the demo scenario is invented, and nothing else is"
        assert (status == "practice") == (source == "practice")


@pytest.mark.parametrize("table", TABLES)
def test_cells_are_in_range(table: str) -> None:
    for column, meaning in sidecar(table)["columns"].items():
        for row in read_table(table):
            value = row[column]
            if "allowed" in meaning:
                assert value in meaning["allowed"], (column, dict(row))
            if value is not None and meaning["type"] != "text":
                assert meaning.get("min", value) <= value <= meaning.get("max", value), (column, dict(row))
            if isinstance(value, str):
                assert value == value.strip(), (column, value)


@pytest.mark.parametrize("table", TABLES)
def test_no_row_stands_twice(table: str) -> None:
    keys = [tuple(name_key(str(row[column])) for column in sidecar(table)["key"]) for row in read_table(table)]
    assert sorted(set(keys)) == sorted(keys)
    assert all(all(key) for key in keys)


def test_no_accidental_edit() -> None:
    """A change on purpose pastes the printed lines into checksums.csv; then the change shows up twice in a review."""
    with RECORDED.open(encoding="utf-8", newline="") as stream:
        recorded = {(row["table"], row["column"]): row["checksum"] for row in csv.DictReader(stream)}
    now = checksums()
    wrong = [
        f"{table},{column},{checksum}" for (table, column), checksum in now.items() if recorded.get((table, column)) != checksum
    ]
    assert not wrong, "these columns changed:\n" + "\n".join(wrong)
    assert recorded.keys() == now.keys()


def test_the_bibliography_is_complete_and_used() -> None:
    with (data_dir() / "sources.toml").open("rb") as stream:
        entries = tomllib.load(stream)
    for key, entry in entries.items():
        assert (
            {"authors", "title", "licence"} <= set(entry) <= {"authors", "year", "title", "publisher", "where", "note", "licence"}
        ), key
        assert cite(key).startswith(entry["authors"]) and entry["title"] in cite(key)


def test_an_analysis_totals_near_100() -> None:
    low, high = SUM_LIMITS_WT_PCT
    totals: dict[str, float] = {}
    for row in read_table("analyses"):
        assert row["oxide"] in OXIDES or row["oxide"] == "LOI"
        totals[row["material"]] = totals.get(row["material"], 0.0) + row["wt_pct_raw"]
    for material, total in totals.items():
        assert low <= total <= high, material


def test_a_material_has_a_formula_or_an_analysis_but_not_both() -> None:
    analysed = {row["material"] for row in read_table("analyses")}
    for row in read_table("materials"):
        assert row["kind"] in KINDS
        assert bool(row["formula"]) != (row["material"] in analysed), row["material"]
        assert (row["kind"] == "theoretical") == (row["source"] == "formula"), row["material"]
    assert analysed <= material_names()


def test_a_liquid_brings_no_oxides() -> None:
    assert {row["kind"] for row in read_table("materials") if row["liquid"] == "yes"} == {"no oxides"}


def test_every_caution_of_a_material_is_written() -> None:
    known = {row["key"] for row in read_table("cautions")}
    for row in read_table("materials"):
        assert set(row["cautions"].split()) <= known, row["material"]


def test_what_harms_carries_its_caution() -> None:
    """Silica dust for what holds free silica or sheds it, and one word at least for every other hazard we know of."""
    cautions = {row["material"]: row["cautions"].split() for row in read_table("materials")}
    assert all("silica" in cautions[name] for name in ("quartz", "kaolin", "ball clay", "bentonite", "potash feldspar", "talc"))
    assert all("poison" in cautions[name] for name in ("barium carbonate", "white lead", "red lead", "litharge"))
    formulas = {row["material"]: row["formula"] for row in read_table("materials")}
    for element in ("Cu", "Co", "Mn", "Cr", "Ni"):
        assert all("toxic" in cautions[name] for name, formula in formulas.items() if element in formula), element
    assert all("gas" in cautions[name] for name, formula in formulas.items() if "CO3" in formula or "CO2" in formula)
    vapours = {"F": "fluorine", "S": "sulphur", "Cl": "salt_vapour", "N": "nitrate", "Mn": "manganese", "Cr": "chromium"}
    for name, formula in formulas.items():
        atoms = atom_counts(formula) if formula else {}
        assert {key for element, key in vapours.items() if element in atoms} <= set(cautions[name]), name
    assert (
        cautions["wollastonite"] == ["fibre"] and "zinc" in cautions["zinc oxide"] and "lithium" in cautions["lithium carbonate"]
    )
    assert "asbestos_certificate" in cautions["talc"]


def test_a_density_has_its_row_in_solid_densities() -> None:
    """The density of a material is a printed number, or the middle of a printed range, of the same source."""
    printed = {
        (row["source"], row["status"], (row["low_g_cm3"] + row["high_g_cm3"]) / 2) for row in read_table("solid_densities")
    }
    for row in read_table("materials"):
        if row["density_g_cm3"] is None:
            assert row["density_source"] == row["density_status"] == "", row["material"]
            continue
        statuses = ("seen",) if row["density_status"] == "computed" else (row["density_status"],)
        assert any((row["density_source"], status, row["density_g_cm3"]) in printed for status in statuses), row["material"]


def test_no_synonym_shadows_a_material() -> None:
    for row in read_table("synonyms"):
        assert row["synonym"] == name_key(row["synonym"])
        assert row["material"] in material_names()
        assert row["synonym"] not in material_names()


def test_recipes_use_materials_of_the_course() -> None:
    rows = read_table("recipes")
    assert {row["material"] for row in rows} <= material_names()
    names = list(dict.fromkeys(row["recipe"] for row in rows))
    assert names == [row["recipe"] for row in read_table("recipe_facts")]
    assert len(names) == 14
    for name in names:
        own = [row for row in rows if row["recipe"] == name]
        assert len({(row["cone"], row["atmosphere"]) for row in own}) == 1
        assert all((row["additions_are"] == "parts") == (row["part"] == "addition") for row in own), name
        assert not any(row["note"] for row in own[1:]), f"{name}: the note stands on the first row"


def test_no_course_recipe_holds_a_poison() -> None:
    poisons = {row["material"] for row in read_table("materials") if "poison" in row["cautions"].split()}
    assert poisons and not poisons & {row["material"] for row in read_table("recipes")}


def material_names() -> set[str]:
    """Names of all materials."""
    return {row["material"] for row in read_table("materials")}


def test_a_spread_names_a_material_of_its_kind_and_an_oxide_it_holds() -> None:
    kinds = {row["material"]: row["kind"] for row in read_table("materials")}
    for row in read_table("analysis_spread"):
        assert row["kind"] in KINDS
        assert row["material"] == "any" or kinds[row["material"]] == row["kind"], dict(row)
        assert row["oxide"] == "any" or row["oxide"] in course_stock().find(row["material"]).oxide_wt_pct, dict(row)


def test_light_magnesium_carbonate_lies_within_the_rule_of_the_pharmacy() -> None:
    """Any bag of 40.0 to 43.5 % magnesia is inside the spread; the mineral magnesite, 47.8 %, is another material."""
    light = course_stock().find("magnesium carbonate light")
    (spread,) = analysis_spread(light)
    assert 40.0 < light.oxide_wt_pct["MgO"] < 43.5
    assert light.oxide_wt_pct["MgO"] - spread.half_width_wt_pct <= 40.0
    assert light.oxide_wt_pct["MgO"] + spread.half_width_wt_pct >= 43.5
    assert course_stock().find("magnesite").oxide_wt_pct["MgO"] == pytest.approx(47.80, abs=0.01)


def test_no_analysis_is_as_wide_as_that_of_an_ash() -> None:
    """The width of the main oxide, as a share of it."""
    widths = {}
    for material in course_stock():
        if material.kind in ("generic", "frit"):
            main = max(analysis_spread(material), key=lambda one: material.oxide_wt_pct[one.oxide])
            widths[material.name] = main.half_width_wt_pct / material.oxide_wt_pct[main.oxide]
    assert widths.pop("wood ash") >= 0.4
    assert max(widths.values()) < 0.2


def test_what_is_not_stocked_is_told_and_not_put_forward() -> None:
    """Old recipes stay readable: their powders have a composition; nothing proposes them, and a role says what is not counted."""
    for name in ("barytes", "fluorspar", "rock salt", "silicon carbide"):
        known = course_stock().find(name)
        assert known.oxides and not known.stocked and known.uncounted
    assert all(
        course_stock().find(name).stocked for name in ("wood ash", "red earthenware clay", "Cornish stone", "alkaline frit")
    )
    assert {"white lead", "red lead", "litharge", "barium carbonate", "anorthite", "gum solution"} == {
        name
        for name in ("white lead", "red lead", "litharge", "barium carbonate", "anorthite", "gum solution", "kaolin", "borax")
        if not course_stock().find(name).stocked
    }


def test_saltpetre_of_an_old_text_may_be_either() -> None:
    assert set(course_stock().find("chile saltpetre").oxide_wt_pct) == {"Na2O"}
    assert set(course_stock().find("nitre").oxide_wt_pct) == {"K2O"} and "sodium nitrate" in course_stock().find("saltpetre").role


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("strontium carbonate", 3.45, 3.55), ("nepheline syenite", 2.56, 2.64), ("titania", 3.85, 3.95)],
)
def test_densities_that_were_wrong(name: str, low: float, high: float) -> None:
    known = course_stock().find(name).density_g_cm3
    assert known is not None and low <= known <= high


def test_no_source_is_a_letter_a_copied_upload_or_a_wiki() -> None:
    """Nothing seen only there may be called seen."""
    shaky = ("mailing list", "scribd", "potters.org", "wikia", "encyclopaedia")
    with (data_dir() / "sources.toml").open("rb") as stream:
        entries = tomllib.load(stream)
    assert [key for key, entry in entries.items() if any(word in str(entry).lower() for word in shaky)] == []
