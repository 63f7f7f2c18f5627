"""The strict formula reader: what it accepts, what it refuses and where its caret points."""

from __future__ import annotations

import pytest

from glazekit.ground.errors import FormulaError
from glazekit.materials.formula import atom_counts, molar_mass_g_mol, oxide_wt_pct_raw_of


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("SiO2", {"Si": 1, "O": 2}),
        ("CO", {"C": 1, "O": 1}),
        ("Co", {"Co": 1}),
        ("CaMg(CO3)2", {"Ca": 1, "Mg": 1, "C": 2, "O": 6}),
        ("Al2[Si2O5](OH)4", {"Al": 2, "Si": 2, "O": 9, "H": 4}),
        ("Ca5[(PO4)3(OH)]", {"Ca": 5, "P": 3, "O": 13, "H": 1}),
        ("Na0.75K0.25AlSiO4", {"Na": 0.75, "K": 0.25, "Al": 1, "Si": 1, "O": 4}),
        ("Mg1.5Fe0.5SiO4", {"Mg": 1.5, "Fe": 0.5, "Si": 1, "O": 4}),
        ("2H2O", {"H": 4, "O": 2}),
        ("Al₂O₃·2SiO₂", {"Al": 2, "O": 7, "Si": 2}),
        ("  SiO2 ", {"Si": 1, "O": 2}),
    ],
)
def test_counts_atoms(formula: str, atoms: dict[str, float]) -> None:
    assert atom_counts(formula) == pytest.approx(atoms)


@pytest.mark.parametrize(
    ("with_point", "with_middle_dot"),
    [
        ("K2O.Al2O3.6SiO2", "K2O·Al2O3·6SiO2"),
        ("Al2O3.2SiO2.2H2O", "Al2O3·2SiO2·2H2O"),
        ("Al2O3.4.5SiO2", "Al2O3·4.5SiO2"),
        ("0.75Na2O.0.25K2O.1.1Al2O3.4.5SiO2", "0.75Na2O·0.25K2O·1.1Al2O3·4.5SiO2"),
        ("CuSO4.5H2O", "CuSO4·5H2O"),
        ("CaSO4.0.5H2O", "CaSO4·0.5H2O"),
        ("MgCl2.6H2O", "MgCl2·6H2O"),
        ("Na2B4O5(OH)4.8H2O", "Na2B4O5(OH)4·8H2O"),
        ("Al2O3 . 2SiO2", "Al2O3·2SiO2"),
        ("NH4Cl.NH3.2H2O", "NH4Cl·NH3·2H2O"),
        ("LiF.KF.Al2O3.3SiO2", "LiF·KF·Al2O3·3SiO2"),
        ("Al2O3.2(SiO2)", "Al2O3·2(SiO2)"),
    ],
)
def test_a_point_joins_where_the_rule_says_so(with_point: str, with_middle_dot: str) -> None:
    assert atom_counts(with_point) == pytest.approx(atom_counts(with_middle_dot))


@pytest.mark.parametrize(("formula", "oxygen"), [("SiO2.2", 2.2), ("Fe0.5Mg0.5O1.25", 1.25), ("FeO0.5Si", 0.5)])
def test_a_point_is_a_decimal_elsewhere(formula: str, oxygen: float) -> None:
    assert atom_counts(formula)["O"] == pytest.approx(oxygen)


@pytest.mark.parametrize(
    ("formula", "message", "caret_at"),
    [
        ("", "the formula is empty", 0),
        ("   ", "the formula is empty", 0),
        ("Xx2O3", "unknown element 'Xx'", 0),
        ("Al2Qq3", "unknown element 'Qq'", 3),
        ("sio2", "'s' cannot stand here; the symbol of an element begins with a capital letter", 0),
        ("CaSO4+2H2O", "'+' cannot stand here", 5),
        ("K2O,Al2O3", "write decimals with a point", 3),
        ("Ca CO3", "without blanks", 2),
        ("Si\nO2", "without blanks", 2),
        ("Ca(CO3", "'(' is not closed", 2),
        ("Ca[CO3)", "')' closes no bracket", 6),
        ("CaCO3)", "')' closes no bracket", 5),
        ("(MgO.SiO2)2", "'(' is not closed before the end of its part", 0),
        ("Si()O2", "nothing stands inside the brackets", 2),
        ("Si(())O2", "nothing stands inside the brackets", 3),
        ("42", "the number 42 belongs to nothing", 0),
        ("SiO2·2", "the number 2 belongs to nothing", 5),
        ("Si(2O)", "the number 2 belongs to nothing", 3),
        ("SiO2.", "nothing stands beside the dot", 4),
        (".SiO2", "nothing stands beside the dot", 0),
        ("SiO2..H2O", "nothing stands beside the dot", 4),
        ("SiO2 . ", "nothing stands beside the dot", 5),
        ("Na0O", "a count of 0 makes no sense", 2),
        ("0SiO2", "a count of 0 makes no sense", 0),
        ("Si100000", "a count of 100000 makes no sense", 2),
        ("Si٢", "cannot stand here", 2),
        ("(" * 9 + "Si9999" + ")9999" * 9, "makes no sense", 0),
    ],
)
def test_refuses_with_a_caret_under_the_spot(formula: str, message: str, caret_at: int) -> None:
    with pytest.raises(FormulaError) as caught:
        atom_counts(formula)
    assert message in caught.value.message
    assert caught.value.position == caret_at
    assert str(caught.value).splitlines()[-1] == "  " + " " * caret_at + "^"


def test_the_caret_stands_right_in_a_long_formula_and_behind_a_tab() -> None:
    for formula in ("Na" * 400 + "?" + "K" * 400, "Si\tO2", "K2O\nSiO2"):
        with pytest.raises(FormulaError) as caught:
            atom_counts(formula)
        _, shown, caret = str(caught.value).split("\n")
        sign = formula[caught.value.position]
        assert len(shown) <= 82 and shown[caret.index("^")] == (" " if sign.isspace() else sign)


def test_the_caller_may_change_the_answer_without_harm() -> None:
    atom_counts("SiO2")["Si"] = 99
    assert atom_counts("SiO2")["Si"] == 1


def test_a_carbonate_keeps_its_oxide_and_loses_its_gas() -> None:
    oxides, loi_wt_pct = oxide_wt_pct_raw_of("CaCO3")
    assert oxides["CaO"] == pytest.approx(100 * molar_mass_g_mol("CaO") / molar_mass_g_mol("CaCO3"))
    assert loi_wt_pct == pytest.approx(100 * molar_mass_g_mol("CO2") / molar_mass_g_mol("CaCO3"))


@pytest.mark.parametrize(
    ("formula", "oxide"),
    [("FeO", "Fe2O3"), ("Fe3O4", "Fe2O3"), ("Fe2O3", "Fe2O3"), ("MnO2", "MnO"), ("Co3O4", "CoO"), ("Cu2O", "CuO")],
)
def test_an_element_with_several_oxides_is_counted_as_one(formula: str, oxide: str) -> None:
    oxides, loi_wt_pct = oxide_wt_pct_raw_of(formula)
    assert list(oxides) == [oxide]
    assert oxides[oxide] + loi_wt_pct == pytest.approx(100)


def test_black_iron_oxide_gains_oxygen() -> None:
    oxides, loi_wt_pct = oxide_wt_pct_raw_of("Fe3O4")
    assert loi_wt_pct < 0
    assert oxides["Fe2O3"] == pytest.approx(100 * 1.5 * molar_mass_g_mol("Fe2O3") / molar_mass_g_mol("Fe3O4"))


def test_nothing_but_gas_leaves_nothing() -> None:
    assert oxide_wt_pct_raw_of("H2O") == ({}, 100)


def test_an_element_without_a_glaze_oxide_is_refused() -> None:
    with pytest.raises(FormulaError, match="no glaze oxide is listed for the element 'Cd'"):
        oxide_wt_pct_raw_of("CdS")
