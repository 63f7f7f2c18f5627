"""Predictions for publications a fit has never seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

import numpy as np

from glazekit.calibration.groups import deal_groups
from glazekit.calibration.measurements import Measurements
from glazekit.calibration.melt_fit import MeltFit, fit_melt
from glazekit.calibration.sum_fit import SumFit, fit_sum


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
