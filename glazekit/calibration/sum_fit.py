"""Properties to which every oxide adds its share: weighted least squares in which a gross error cannot pull far."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glazekit.calibration.groups import group_sizes
from glazekit.calibration.measurements import Measurements
from glazekit.calibration.subsets import studio_like
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.properties import Property

STUDIO_WEIGHT = 3.0
_ROUNDS = 60
_HUBER = 1.345  # in robust standard deviations: from here on an error pulls by its sign only
_RIDGE = 1e-7


def weights_of(sample: Measurements, studio_weight: float = STUDIO_WEIGHT) -> np.ndarray:
    """How much a measurement counts: n rows of one group count as their square root, a studio-like glass three times."""
    return np.asarray(np.where(studio_like(sample), studio_weight, 1.0) / np.sqrt(group_sizes(sample.group)))


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


@dataclass(frozen=True, slots=True)
class SumFit:
    """One factor for each of ``MODEL_OXIDES`` [unit of the property per mole fraction]."""

    coefficients: np.ndarray

    def predict(self, sample: Measurements) -> np.ndarray:
        """The property of every glass."""
        return np.asarray(sample.shares @ self.coefficients)


def fit_sum(sample: Measurements, studio_weight: float = STUDIO_WEIGHT) -> SumFit:
    """Fit to the rows without a flag."""
    clean, merge = sample.where(~sample.flagged), _merging(sample.about)
    return SumFit(merge @ huber_fit(clean.shares @ merge, clean.values, weights_of(clean, studio_weight)))


def relatives(about: Property) -> dict[str, str]:
    """An oxide too rarely measured for a factor of its own -> the relative whose factor it takes."""
    return dict(pair.split(" as ") for pair in about.borrows.split("; ") if pair)


def _merging(about: Property) -> np.ndarray:
    """(17, k): adds the shares of the borrowers to those of their relatives."""
    borrows = relatives(about)
    own = [oxide for oxide in MODEL_OXIDES if oxide not in borrows]
    return np.array([[float(borrows.get(oxide, oxide) == mine) for mine in own] for oxide in MODEL_OXIDES])
