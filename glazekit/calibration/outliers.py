"""Which measurements look wrong: far from what fits say that have never seen their publication."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from glazekit.calibration.measurements import Measurements, measured
from glazekit.calibration.unseen import predict_unseen

FAR = 6.0
"""In robust standard deviations. An honest error of a normal law would be as far once in 500 million."""


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
