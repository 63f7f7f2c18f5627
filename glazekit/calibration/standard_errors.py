"""How sure a coefficient is: the spread of refits to publications drawn with replacement (the bootstrap)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from glazekit.calibration.additive import fit_additive
from glazekit.calibration.measurements import Sample
from glazekit.calibration.melt_fit import fit_melt

DRAWS = {"expansion": 200, "glass_transition": 200, "elastic_modulus": 200, "viscosity": 60}


def standard_errors(sample: Sample, draws: int, seed: int = 0) -> np.ndarray:
    """Standard error of every coefficient of the property's model.

    Whole groups of publications are drawn, since rows of one laboratory err together.
    """
    rng = np.random.default_rng(seed)
    order = np.argsort(sample.group, kind="stable")
    rows_of = np.split(order, np.flatnonzero(np.diff(sample.group[order])) + 1)
    refits = []
    for _ in range(draws):
        drawn = redraw(sample, rows_of, rng)
        refits.append(fit_melt(drawn).coefficients if sample.property == "viscosity" else fit_additive(drawn))
    return np.std(refits, axis=0, ddof=1)


def redraw(sample: Sample, rows_of: list[np.ndarray], rng: np.random.Generator) -> Sample:
    """As many groups as there are, drawn with replacement; a group drawn twice counts as two."""
    chosen = rng.integers(len(rows_of), size=len(rows_of))
    rows = np.concatenate([rows_of[each] for each in chosen])
    group = np.repeat(np.arange(len(chosen)), [len(rows_of[each]) for each in chosen])
    drawn = sample.where(rows)
    return replace(drawn, group=group, glass=drawn.glass + group * (sample.glass.max() + 1))
