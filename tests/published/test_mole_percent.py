"""The analysis of a glass, by weight and by moles, against pyrolite, a library of geochemistry, on 500 random compositions."""

from __future__ import annotations

import random

import pandas as pd
import periodictable
import pyrolite.geochem  # registers the pandas accessor
import pytest

import glazekit as gk
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import OXIDE_ORDER

assert pyrolite.geochem
pytestmark = pytest.mark.filterwarnings("ignore:Non-positive entries")  # oxides that are absent, at 0


@pytest.fixture
def compositions() -> pd.DataFrame:
    """500 compositions of 2 to 12 oxides, in percent that total 100; seeded."""
    dice = random.Random(1886)
    rows = []
    for _ in range(500):
        shares = {oxide: dice.expovariate(1) for oxide in dice.sample(OXIDE_ORDER, dice.randint(2, 12))}
        rows.append({oxide: 100 * share / sum(shares.values()) for oxide, share in shares.items()})
    return pd.DataFrame(rows, columns=OXIDE_ORDER).fillna(0.0)


@pytest.fixture
def same_weights(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pyrolite weighs with periodictable; lend it our atomic weights so that only the arithmetic is compared."""
    for row in read_table("atomic_weights"):
        monkeypatch.setattr(getattr(periodictable, row["element"]), "_mass", row["atomic_weight"])


def analysed(composition: dict[str, float]) -> gk.Analysis:
    """A glass of this composition [wt %], analysed as any material is."""
    glass = gk.Material("glass", "frit", composition)
    return gk.analyse(gk.Recipe("glass", {"glass": 100}), stock=gk.Stock((glass,)))


def ours(compositions: pd.DataFrame, shares) -> pd.DataFrame:
    rows = [dict(shares(analysed(row))) for row in compositions.to_dict("records")]
    return pd.DataFrame(rows, columns=OXIDE_ORDER).fillna(0.0)


def worst(first: pd.DataFrame, second: pd.DataFrame) -> float:
    return float((first - second).abs().to_numpy().max())


def test_weight_to_mole(compositions: pd.DataFrame, same_weights: None) -> None:
    theirs = compositions.pyrochem.to_molecular(renorm=True)
    assert worst(ours(compositions, lambda glass: glass.oxide_mol_pct), theirs) < 1e-9


def test_mole_to_weight(compositions: pd.DataFrame, same_weights: None) -> None:
    """Our moles, weighed by pyrolite, are the weights that we say remain after firing."""
    moles = ours(compositions, lambda glass: dict(glass.oxide_mol))
    theirs = moles.pyrochem.to_weight(renorm=True)
    assert worst(ours(compositions, lambda glass: glass.oxide_wt_pct_fired), theirs) < 1e-9


def test_with_its_own_weights_pyrolite_agrees_to_the_weights(compositions: pd.DataFrame) -> None:
    theirs = compositions.pyrochem.to_molecular(renorm=True)
    difference = worst(ours(compositions, lambda glass: glass.oxide_mol_pct), theirs)
    assert 1e-9 < difference < 0.002, "abridged weights differ from full ones in the fifth digit: visible, and harmless"
