"""Parts of the box of measured glasses: the studio-like glasses, and places where a learner's glaze may lie."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import numpy as np

from glazekit.calibration.measurements import Measurements, share_of
from glazekit.ground.tables import read_table

WINDOW_K = (1123.0, 1623.0)
WINDOW_LOG10 = (1.0, 7.0)
_EDGE = 1e-4  # shares are stored to 0.01 mol %, so that the sum of a row may differ from 1 by this much


def in_box(shares: np.ndarray, edge: float = _EDGE) -> np.ndarray:
    """Inside data/glass_box.csv, or outside by no more than ``edge``?"""
    inside = np.ones(len(shares), bool)
    for row in read_table("glass_box"):
        share = share_of(shares, row["what"])
        inside &= (share >= row["min_mol_pct"] / 100 - edge) & (share <= row["max_mol_pct"] / 100 + edge)
    return inside


def scored(sample: Measurements) -> np.ndarray:
    """What the figures are about: all of it, but of the viscosity only the firing range, 850 to 1350 °C and 1 to 7."""
    if not sample.is_melt:
        return everything(sample)
    hot = (sample.temp_k >= WINDOW_K[0]) & (sample.temp_k <= WINDOW_K[1])
    return np.asarray(hot & (sample.values >= WINDOW_LOG10[0]) & (sample.values <= WINDOW_LOG10[1]))


def everything(sample: Measurements) -> np.ndarray:
    """Every measurement."""
    return np.ones(len(sample), bool)


def studio_like(sample: Measurements) -> np.ndarray:
    """Ratios to the sum of the fluxes as glazes have them: the box is mostly display and fibre glass, and glazes are harder."""
    flux, like = sample["R2O"] + sample["RO"], everything(sample)
    for part, least, most in (("SiO2", 1.5, 6.5), ("Al2O3", 0.1, 0.8), ("B2O3", 0.0, 0.9), ("R2O", 0.05, 0.6)):
        ratio = sample[part] / flux
        like &= (ratio >= least) & (ratio <= most)
    return like


SUBSETS: MappingProxyType[str, Callable[[Measurements], np.ndarray]] = MappingProxyType(
    {
        "box": everything,
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
        "no alkali": lambda sample: sample["R2O"] <= 0.005,
        "alkali from 15 %": lambda sample: sample["R2O"] >= 0.15,
        "iron from 1 %": lambda sample: sample["Fe2O3"] >= 0.01,
        "titania + zirconia + tin from 2 %": lambda sample: sample["TiO2"] + sample["ZrO2"] + sample["SnO2"] >= 0.02,
    }
)
"""Name -> which measurements belong to it; per cent by moles."""
