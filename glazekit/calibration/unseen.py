"""Predictions for publications a fit has never seen, and which measurements look wrong beside them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Protocol

import numpy as np

from glazekit.calibration.groups import deal_groups
from glazekit.calibration.measurements import Measurements, measured
from glazekit.calibration.melt_fit import MeltFit, fit_melt
from glazekit.calibration.sum_fit import SumFit, fit_sum

FAR = 6.0
"""In robust standard deviations. An honest error of a normal law would be as far once in 500 million."""


class Fitted(Protocol):
    """A model that was fitted."""

    def predict(self, sample: Measurements) -> np.ndarray:
        """What it says of every measurement."""


def fit_model(sample: Measurements) -> SumFit | MeltFit:
    """Fit the model of the property."""
    return fit_melt(sample) if sample.is_melt else fit_sum(sample)


def predict_unseen(
    sample: Measurements,
    fit: Callable[[Measurements], Fitted] = fit_model,
    deal: Callable[..., np.ndarray] = deal_groups,
    seed: int = 0,
) -> np.ndarray:
    """For every measurement, what a model fitted without its fold says.

    Parameters
    ----------
    sample : all measurements; flagged ones are predicted too.
    fit : the model of the property, or a rival.
    deal : ``deal_groups``, or ``deal_rows`` to see the trap.
    seed : of the dealing.
    """
    fold, said = deal(sample.group, seed=seed), np.empty(len(sample))
    for each in np.unique(fold):
        said[fold == each] = fit(sample.where(fold != each)).predict(sample.where(fold == each))
    return said


def robust_sigma(errors: np.ndarray) -> float:
    """Standard deviation as the middle of the errors tells it, whatever the far ones do."""
    return float(1.4826 * np.median(np.abs(errors - np.median(errors))))


def without_flags(sample: Measurements) -> Measurements:
    """The sample with nothing flagged."""
    return replace(sample, flagged=np.zeros(len(sample), bool))


def flag_far(sample: Measurements, far: float = FAR) -> Measurements:
    """The sample with a flag on every row further than ``far`` robust standard deviations from an unseen prediction.

    Limits: rows are judged by the error that is scored later, so the figures without them are a little too good.
    """
    errors = predict_unseen(without_flags(sample)) - sample.values
    return replace(sample, flagged=np.abs(errors) > far * robust_sigma(errors))


@cache
def cleaned(name: str) -> Measurements:
    """The sample of a property as it is fitted and scored.

    Expansion and viscosity carry their flags in the file; for the others ``flag_far`` sets them.
    """
    sample = measured(name)
    return sample if sample.flagged.any() else flag_far(sample)
