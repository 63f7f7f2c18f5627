"""Parts of the box of measured glasses: the studio-like glasses, and places where a learner's glaze may lie."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import numpy as np

from glazekit.calibration.measurements import Sample
from glazekit.glass.composition import ALKALIS, EARTHS, MODEL_OXIDES
from glazekit.ground.tables import read_table

_EDGE = 1e-4  # shares are stored to 0.01 mol %, so that the sum of a row may differ from 1 by this much


def alkali(shares: np.ndarray) -> np.ndarray:
    """Li2O + Na2O + K2O, shares by moles."""
    return shares[:, [MODEL_OXIDES.index(oxide) for oxide in ALKALIS]].sum(axis=1)


def earths(shares: np.ndarray) -> np.ndarray:
    """MgO + CaO + SrO + BaO + ZnO + MnO, shares by moles."""
    return shares[:, [MODEL_OXIDES.index(oxide) for oxide in EARTHS]].sum(axis=1)


def in_box(shares: np.ndarray, edge: float = _EDGE) -> np.ndarray:
    """Inside data/glass_box.csv, or outside by no more than ``edge``?"""
    sums = {"R2O": alkali(shares), "R2O+RO": alkali(shares) + earths(shares)}
    inside = np.ones(len(shares), bool)
    for row in read_table("glass_box"):
        what = row["what"]
        share = sums[what] if what in sums else shares[:, MODEL_OXIDES.index(what)]
        inside &= (share >= row["min_mol_pct"] / 100 - edge) & (share <= row["max_mol_pct"] / 100 + edge)
    return inside


def studio_like(sample: Sample) -> np.ndarray:
    """Ratios to the sum of the fluxes as glazes have them: the box is mostly display and fibre glass, and glazes are harder."""
    flux = alkali(sample.shares) + earths(sample.shares)
    silica, alumina, boron = sample["SiO2"] / flux, sample["Al2O3"] / flux, sample["B2O3"] / flux
    share = alkali(sample.shares) / flux
    return (
        (silica >= 1.5)
        & (silica <= 6.5)
        & (alumina >= 0.1)
        & (alumina <= 0.8)
        & (boron <= 0.9)
        & (share >= 0.05)
        & (share <= 0.6)
    )


SUBSETS: MappingProxyType[str, Callable[[Sample], np.ndarray]] = MappingProxyType(
    {
        "box": lambda sample: np.ones(len(sample), bool),
        "studio-like": studio_like,
        "no boron": lambda sample: sample["B2O3"] <= 0.002,
        "boron 0.2 to 2 %": lambda sample: (sample["B2O3"] > 0.002) & (sample["B2O3"] < 0.02),
        "boron 2 to 15 %": lambda sample: (sample["B2O3"] >= 0.02) & (sample["B2O3"] <= 0.15),
        "boron over 15 %": lambda sample: sample["B2O3"] > 0.15,
        "magnesia from 8 %": lambda sample: sample["MgO"] >= 0.08,
        "zinc from 5 %": lambda sample: sample["ZnO"] >= 0.05,
        "lithia from 4 %": lambda sample: sample["Li2O"] >= 0.04,
        "baria + strontia from 5 %": lambda sample: sample["BaO"] + sample["SrO"] >= 0.05,
        "alumina from 10 %": lambda sample: sample["Al2O3"] >= 0.10,
        "lime from 15 %": lambda sample: sample["CaO"] >= 0.15,
        "no alkali": lambda sample: alkali(sample.shares) <= 0.005,
        "alkali from 15 %": lambda sample: alkali(sample.shares) >= 0.15,
        "iron from 1 %": lambda sample: sample["Fe2O3"] >= 0.01,
        "titania + zirconia + tin from 2 %": lambda sample: sample["TiO2"] + sample["ZrO2"] + sample["SnO2"] >= 0.02,
    }
)
"""Name -> which measurements belong to it; per cent by moles."""
