"""Three classic systems of expansion factors, set beside the fitted one. Most of their numbers are recalled from memory."""

from __future__ import annotations

import numpy as np

from glazekit.calibration.measurements import Measurements
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.tables import Row, read_table
from glazekit.materials.oxides import OXIDES

SYSTEMS = ("Winkelmann and Schott, 1894", "English and Turner, 1927", "Appen, 1949")
BY_MOLES = SYSTEMS[2]
CUBIC = SYSTEMS[0]
MOST_UNKNOWN = 0.005
"""A glass with a larger share by moles of oxides without a factor is not covered."""


def predict_classic(system: str, sample: Measurements) -> tuple[np.ndarray, np.ndarray]:
    """Linear expansion [1e-6/K] by a system of ``SYSTEMS``, and for which glasses it has all factors it needs."""
    rows = {row["oxide"]: row for row in read_table("classic_factors") if row["system"] == system}
    known = np.array([oxide in rows for oxide in MODEL_OXIDES])
    covered = sample.shares[:, ~known].sum(axis=1) <= MOST_UNKNOWN
    amounts = sample.shares if system == BY_MOLES else _weight_pct(sample.shares)
    factors = np.column_stack([_factor(rows[oxide], sample) for oxide in MODEL_OXIDES if oxide in rows])
    values = (factors * amounts[:, known]).sum(axis=1)
    return values / 10 / (3 if system == CUBIC else 1), covered


def _factor(row: Row, sample: Measurements) -> np.ndarray:
    """A factor for every glass; where it has a rule, it changes by ``slope`` for each step beyond ``limit``."""
    if row["limit"] is None:
        return np.full(len(sample), row["factor"])
    if row["oxide"] == "B2O3":
        ratio = (sample["R2O+RO"] - sample["Al2O3"]) / np.maximum(sample["B2O3"], 1e-9)
        return np.asarray(np.minimum(row["factor"] + row["slope"] * np.minimum(ratio - row["limit"], 0.0), 0.0))
    return np.asarray(row["factor"] + row["slope"] * np.maximum(100 * sample["SiO2"] - row["limit"], 0.0))


def _weight_pct(shares: np.ndarray) -> np.ndarray:
    masses = shares * [OXIDES[oxide].molar_mass_g_mol for oxide in MODEL_OXIDES]
    return np.asarray(100 * masses / masses.sum(axis=1, keepdims=True))
