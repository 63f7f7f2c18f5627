"""Rivals of the fitted models: three classic systems of expansion factors, mostly from memory, and a model without chemistry."""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from glazekit.calibration.measurements import Measurements
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.tables import Row, read_table
from glazekit.materials.oxides import OXIDES

COUNT = 3
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
    amounts = sample.shares
    if system != BY_MOLES:
        masses = amounts * [OXIDES[oxide].molar_mass_g_mol for oxide in MODEL_OXIDES]
        amounts = 100 * masses / masses.sum(axis=1, keepdims=True)
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


@dataclass(frozen=True, slots=True)
class Neighbours:
    """A model without chemistry, the middle of the three most similar glasses without a flag: how random folds deceive."""

    remembered: Measurements

    def predict(self, sample: Measurements) -> np.ndarray:
        """The median of the ``COUNT`` nearest glasses."""
        known = self.remembered.where(~self.remembered.flagged)
        _, at = cKDTree(known.shares).query(sample.shares, k=COUNT)
        return np.asarray(np.median(known.values[at], axis=1))
