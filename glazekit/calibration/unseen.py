"""What whole publications do to a fit: predictions for those it never saw, what looks wrong beside them, refits to others."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Protocol

import numpy as np

from glazekit.calibration.fits import MeltFit, SumFit, fit_melt, fit_sum
from glazekit.calibration.groups import deal_groups
from glazekit.calibration.measurements import Measurements, measured

DRAWS = {"sum": 200, "melt": 60}
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
    hidden: np.ndarray | None = None,
) -> np.ndarray:
    """For every measurement, a flagged one too, what a model fitted without its fold says.

    ``fit`` : the model of the property, or a rival; ``deal`` : ``deal_groups``, or ``deal_rows`` to see the trap; ``hidden`` :
    rows that no fit may see.
    """
    kept = np.ones(len(sample), bool) if hidden is None else ~hidden
    fold, said = deal(sample.group, seed=seed), np.empty(len(sample))
    for each in np.unique(fold):
        said[fold == each] = fit(sample.where(kept & (fold != each))).predict(sample.where(fold == each))
    return said


def without_flags(sample: Measurements) -> Measurements:
    """The sample with nothing flagged."""
    return replace(sample, flagged=np.zeros(len(sample), bool))


def flag_far(sample: Measurements, far: float = FAR) -> Measurements:
    """The sample with a flag on every row further than ``far`` robust standard deviations from an unseen prediction.

    The deviation is the one that the middle of the errors tells, whatever the far ones do.
    Limits: rows are judged by the error that is scored later, so the figures without them are a little too good.
    """
    errors = predict_unseen(without_flags(sample)) - sample.values
    sigma = float(1.4826 * np.median(np.abs(errors - np.median(errors))))
    return replace(sample, flagged=np.abs(errors) > far * sigma)


@cache
def cleaned(name: str) -> Measurements:
    """The sample of a property as it is fitted and scored.

    Expansion and viscosity carry their flags in the file; for the others ``flag_far`` sets them.
    """
    sample = measured(name)
    return sample if sample.flagged.any() else flag_far(sample)


def standard_errors(sample: Measurements, draws: int, seed: int = 0) -> np.ndarray:
    """Standard error of every coefficient of the property's model.

    Whole groups of publications are drawn, since rows of one laboratory err together.
    """
    rng = np.random.default_rng(seed)
    order = np.argsort(sample.group, kind="stable")
    rows_of = np.split(order, np.flatnonzero(np.diff(sample.group[order])) + 1)
    return np.asarray(np.std([fit_model(redraw(sample, rows_of, rng)).coefficients for _ in range(draws)], axis=0, ddof=1))


def redraw(sample: Measurements, rows_of: list[np.ndarray], rng: np.random.Generator) -> Measurements:
    """As many groups as there are, drawn with replacement; a group drawn twice counts as two."""
    chosen = rng.integers(len(rows_of), size=len(rows_of))
    group = np.repeat(np.arange(len(chosen)), [len(rows_of[each]) for each in chosen])
    drawn = sample.where(np.concatenate([rows_of[each] for each in chosen]))
    return replace(drawn, group=group, glass=drawn.glass + group * (sample.glass.max() + 1))
