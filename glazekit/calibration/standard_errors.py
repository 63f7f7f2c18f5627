"""How sure a coefficient is: the spread of refits to publications drawn with replacement (the bootstrap)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from glazekit.calibration.measurements import Measurements
from glazekit.calibration.unseen import fit_model

DRAWS = {"sum": 200, "melt": 60}


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
