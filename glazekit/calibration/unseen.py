"""Predictions for publications a fit has never seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from glazekit.calibration.groups import deal_groups
from glazekit.calibration.measurements import Sample

Fit = Callable[[Sample], Any]
Predict = Callable[[Any, Sample], np.ndarray]


def predict_unseen(
    sample: Sample, fit: Fit, predict: Predict, deal: Callable[..., np.ndarray] = deal_groups, seed: int = 0
) -> np.ndarray:
    """For every measurement, what a model fitted without its fold says.

    Parameters
    ----------
    sample : all measurements; flagged ones are predicted too.
    fit, predict : such as ``fit_additive`` and ``predict_additive``.
    deal : ``deal_groups``, or ``deal_rows`` to see the trap.
    seed : of the dealing.
    """
    fold, said = deal(sample.group, seed=seed), np.empty(len(sample))
    for each in np.unique(fold):
        said[fold == each] = predict(fit(sample.where(fold != each)), sample.where(fold == each))
    return said
