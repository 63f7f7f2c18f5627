"""What holds for every formula."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazekit.ground.errors import FormulaError
from glazekit.ground.tables import read_table
from glazekit.materials.formula import GASES, atom_counts, molar_mass_g_mol, oxide_wt_pct_raw_of

ELEMENTS = [row["element"] for row in read_table("atomic_weights")]
STAYS = [row["element"] for row in read_table("oxides")]

counts = st.one_of(st.just(1), st.integers(2, 30))
elements = st.sampled_from(ELEMENTS).map(lambda symbol: (symbol, Counter({symbol: 1})))


def together(pieces: list[tuple[tuple[str, Counter], int]]) -> tuple[str, Counter]:
    """Pieces with their counts as one run of text, and the atoms we know it to hold."""
    text, atoms = "", Counter()
    for (piece, held), count in pieces:
        text += piece + ("" if count == 1 else str(count))
        atoms.update({symbol: number * count for symbol, number in held.items()})
    return text, atoms


def runs(pieces):
    return st.lists(st.tuples(pieces, counts), min_size=1, max_size=4).map(together)


def in_brackets(run: tuple[str, Counter]) -> tuple[str, Counter]:
    return f"({run[0]})", run[1]


groups = runs(st.one_of(elements, runs(st.one_of(elements, runs(elements).map(in_brackets))).map(in_brackets)))
factors = st.one_of(st.just(1), st.integers(2, 20), st.sampled_from([0.25, 0.5, 1.5, 2.5]))


@given(st.lists(st.tuples(factors, groups), min_size=1, max_size=4))
def test_a_written_formula_is_read_back(parts) -> None:
    """Text built from known atoms, joined by middle dots, gives those atoms."""
    formula = "·".join(("" if factor == 1 else f"{factor:g}") + text for factor, (text, _) in parts)
    expected: dict[str, float] = {}
    for factor, (_, atoms) in parts:
        for symbol, number in atoms.items():
            expected[symbol] = expected.get(symbol, 0) + factor * number
    assert atom_counts(formula) == pytest.approx(expected)


@given(st.one_of(st.text(max_size=40), st.text(alphabet="SiOAlNaCHKe0123456789.·()[] ,", max_size=40)))
def test_any_text_gives_atoms_or_a_caret(text: str) -> None:
    try:
        atoms = atom_counts(text)
    except FormulaError as problem:
        assert 0 <= problem.position <= len(text) and problem.message
    else:
        assert atoms and all(count > 0 for count in atoms.values()) and set(atoms) <= set(ELEMENTS)


@given(st.dictionaries(st.sampled_from([*STAYS, *GASES, "O"]), st.integers(1, 50), min_size=1))
def test_mass_in_is_oxides_and_loi(atoms: dict[str, int]) -> None:
    formula = "".join(f"{symbol}{count}" for symbol, count in atoms.items())
    oxides, loi_wt_pct = oxide_wt_pct_raw_of(formula)
    assert sum(oxides.values()) + loi_wt_pct == pytest.approx(100, abs=1e-9)
    for oxide, wt_pct in oxides.items():
        (cation,) = set(atom_counts(oxide)) - {"O"}
        moles_of_cation = atom_counts(oxide)[cation] * wt_pct / molar_mass_g_mol(oxide)
        assert moles_of_cation == pytest.approx(100 * atoms[cation] / molar_mass_g_mol(formula)), "no cation is lost"
    assert {cation for oxide in oxides for cation in atom_counts(oxide)} - {"O"} == set(atoms) & set(STAYS)
