"""Properties to which every oxide adds its share: weighted least squares in which a gross error cannot pull far."""

from __future__ import annotations

from functools import cache

import numpy as np

from glazekit.calibration.groups import group_sizes
from glazekit.calibration.measurements import Sample
from glazekit.calibration.subsets import studio_like
from glazekit.glass.composition import MODEL_OXIDES

STUDIO_WEIGHT = 3.0
BORROWS = {
    "glass_transition": {"SnO2": "ZrO2", "MnO": "MgO"},
    "elastic_modulus": {"SnO2": "ZrO2", "MnO": "MgO"},
}
"""Property -> an oxide too rarely measured for a factor of its own -> the relative whose factor it takes.

Fewer than a dozen groups of publications hold half a per cent of tin or manganese and report one of these two properties.
"""
_ROUNDS = 60
_HUBER = 1.345  # in robust standard deviations: from here on an error pulls by its sign only
_RIDGE = 1e-7


def weights_of(sample: Sample, studio_weight: float = STUDIO_WEIGHT) -> np.ndarray:
    """How much a measurement counts: n rows of one group count as their square root, a studio-like glass three times."""
    return np.where(studio_like(sample), studio_weight, 1.0) / np.sqrt(group_sizes(sample.group))


def huber_fit(features: np.ndarray, values: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Coefficients b of values = features @ b, by Huber's method: least squares again and again, with less weight for far rows.

    Parameters
    ----------
    features : (n, k).
    values, weights : (n,).
    """
    ridge = np.eye(features.shape[1]) * _RIDGE * len(values)
    pull, coefficients = weights, np.zeros(features.shape[1])
    for _ in range(_ROUNDS):
        weighted = features * pull[:, None]
        new = np.linalg.solve(features.T @ weighted + ridge, weighted.T @ values)
        if np.abs(new - coefficients).max() < 1e-7 * max(1.0, np.abs(new).max()):
            break
        errors = np.abs(values - features @ new)
        reach = _HUBER * 1.4826 * np.median(errors)
        coefficients, pull = new, weights * np.minimum(1.0, reach / np.maximum(errors, 1e-12))
    return new


def fit_additive(sample: Sample, studio_weight: float = STUDIO_WEIGHT) -> np.ndarray:
    """One factor for each of ``MODEL_OXIDES`` [unit of the property per mole fraction], from the rows without a flag."""
    clean, merge = sample.where(~sample.flagged), _merging(sample.property)
    return merge @ huber_fit(clean.shares @ merge, clean.values, weights_of(clean, studio_weight))


def predict_additive(factors: np.ndarray, sample: Sample) -> np.ndarray:
    """The property of every glass of a sample."""
    return sample.shares @ factors


@cache
def _merging(name: str) -> np.ndarray:
    """(17, k): adds the shares of the borrowers to those of their relatives."""
    borrows = BORROWS.get(name, {})
    own = [oxide for oxide in MODEL_OXIDES if oxide not in borrows]
    matrix = np.zeros((len(MODEL_OXIDES), len(own)))
    for at, oxide in enumerate(MODEL_OXIDES):
        matrix[at, own.index(borrows.get(oxide, oxide))] = 1.0
    return matrix
