"""Atomic weights, molar masses and mineral compositions against two independent libraries of physics data."""

from __future__ import annotations

import molmass
import periodictable
import pytest
from case_files import rows_of

from glazekit.ground.tables import read_table
from glazekit.materials.formula import atom_counts, molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock

MINERALS = [(row["material"], row["structural_formula"]) for row in rows_of("minerals")]


@pytest.mark.parametrize("row", read_table("atomic_weights"), ids=lambda row: row["element"])
def test_atomic_weights(row) -> None:
    reference = getattr(periodictable, row["element"])
    assert abs(row["atomic_weight"] - reference.mass) <= row["uncertainty"] / 2 + 1e-9, (
        "rounding alone explains half a last digit"
    )
    other = molmass.ELEMENTS[row["element"]].mass  # an average over isotopes; sulphur and a few more vary in nature
    assert row["atomic_weight"] == pytest.approx(other, rel=1e-4, abs=row["uncertainty"])


@pytest.mark.parametrize("symbol", [*OXIDES, "H2O", "CO2", "SO3"])
def test_molar_masses(symbol: str) -> None:
    ours = molar_mass_g_mol(symbol)
    assert ours == pytest.approx(periodictable.formula(symbol).mass, rel=1e-4)
    assert ours == pytest.approx(molmass.Formula(symbol).mass, rel=1e-4)
    if symbol in OXIDES:
        assert OXIDES[symbol].molar_mass_g_mol == ours


@pytest.mark.parametrize(("material", "formula"), MINERALS)
def test_our_oxide_notation_means_the_structural_formula(material: str, formula: str) -> None:
    """The atoms of our formula, up to a common factor, are those a mineralogist writes, counted by another parser."""
    ours = atom_counts(course_stock().find(material).formula)
    theirs = {element.symbol: count for element, count in periodictable.formula(formula).atoms.items()}
    assert ours.keys() == theirs.keys()
    factor = next(ours[element] / theirs[element] for element in ours)
    assert ours == pytest.approx({element: factor * count for element, count in theirs.items()})


@pytest.mark.parametrize(("material", "formula"), MINERALS)
@pytest.mark.parametrize("library", ["periodictable", "molmass"])
def test_mineral_compositions(material: str, formula: str, library: str) -> None:
    known = course_stock().find(material)
    assert known.oxides
    for oxide, wt_pct in known.oxides:
        assert wt_pct == pytest.approx(wt_pct_by(library, formula, oxide), rel=1e-4)
    expected_loi = 100 - sum(wt_pct_by(library, formula, oxide) for oxide, _ in known.oxides)
    assert known.loi_wt_pct_raw == pytest.approx(expected_loi, abs=0.01)


def wt_pct_by(library: str, formula: str, oxide: str) -> float:
    """Weight percent of an oxide in a mineral, from the library's own parser and weights."""
    if library == "periodictable":
        mineral, part = periodictable.formula(formula), periodictable.formula(oxide)
        cation = next(element for element in part.atoms if element.symbol != "O")
        return 100 * mineral.atoms[cation] / part.atoms[cation] * part.mass / mineral.mass
    mineral, part = molmass.Formula(formula), molmass.Formula(oxide)
    of_mineral, of_part = mineral.composition(), part.composition()
    cation = next(symbol for symbol in of_part if symbol != "O")
    return 100 * of_mineral[cation].count / of_part[cation].count * part.mass / mineral.mass


def test_every_theoretical_material_is_among_the_cases() -> None:
    assert {material.name for material in course_stock() if material.kind == "theoretical"} == {name for name, _ in MINERALS}


@pytest.mark.parametrize("row", rows_of("mineral_compositions"), ids=lambda row: f"{row['material']} {row['oxide']}")
def test_recorded_mineral_compositions(row) -> None:
    known = course_stock().find(row["material"])
    ours = known.loi_wt_pct_raw if row["oxide"] == "LOI" else known.oxide_wt_pct[row["oxide"]]
    assert ours == pytest.approx(float(row["wt_pct_raw"]), abs=0.0015), "printed to 0.001; the weights differ by a few ppm"
