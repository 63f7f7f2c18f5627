"""How well the *difference* of two glazes is known: pairs of glasses inside one publication that the fit had never seen.

Most of an error belongs to the laboratory, and a laboratory's error is in both glasses of its pair. So a change is known better
than a value, and the better the closer the two glazes are.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from glazekit.calibration.groups import group_sizes, mean_over_groups
from glazekit.calibration.intervals import Rule, least, quantile_line
from glazekit.calibration.measurements import Measurements
from glazekit.calibration.subsets import studio_like
from glazekit.ground.estimate import LEVEL

PAIRS_MOST = 60
"""Of one publication; a large one must not drown the rest."""
DISTANCE_MOST = 20.0
"""mol % swapped; further apart, two glazes are not versions of each other."""
SAME_TEMP_K = 25.0
SAME_LOG10 = 0.01
DISTANCES = ((0, 1), (1, 2), (2, 4), (4, 7), (7, 12), (12, 20))
"""Classes of mol % swapped for the tables."""
FLOOR_CLASS = (1, 2)


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs of glasses of one publication; every array has one entry a pair.

    Parameters
    ----------
    swapped : half the sum of the differences of all mole percentages [mol %].
    measured, said : the difference that was measured, and the one a fit predicted that had not seen the publication.
    studio : are both studio-like?
    group : group of the publication.
    """

    swapped: np.ndarray
    measured: np.ndarray
    said: np.ndarray
    studio: np.ndarray
    group: np.ndarray

    @property
    def errors(self) -> np.ndarray:
        """Predicted less measured difference."""
        return np.asarray(self.said - self.measured)

    def where(self, mask: np.ndarray) -> Pairs:
        """The pairs for which ``mask`` is true."""
        return Pairs(*(getattr(self, field.name)[mask] for field in fields(self)))

    def between(self, low: float, high: float) -> Pairs:
        """The pairs with more than ``low`` and at most ``high`` mol % swapped."""
        return self.where((self.swapped > low) & (self.swapped <= high))


def pairs_of(sample: Measurements, said: np.ndarray, seed: int = 0) -> Pairs:
    """All pairs of every publication, at most ``PAIRS_MOST`` drawn at random, up to ``DISTANCE_MOST`` apart.

    Parameters
    ----------
    sample : all measurements; two viscosities make a pair when their temperatures are within 25 K, or when they are equal: many
        laboratories report the temperatures of a few viscosities, and near temperatures alone would pick out small changes.
    said : what a fit that had not seen the publication says of each.
    """
    rng, found = np.random.default_rng(seed), []
    order = np.argsort(sample.publication, kind="stable")
    for rows in np.split(order, np.flatnonzero(np.diff(sample.publication[order])) + 1):
        one, two = (rows[side] for side in np.triu_indices(len(rows), 1))
        fits = sample.glass[one] != sample.glass[two]
        if sample.is_melt:
            warmth, log10_apart = (np.abs(each[one] - each[two]) for each in (sample.temp_k, sample.values))
            fits &= (warmth <= SAME_TEMP_K) | (log10_apart <= SAME_LOG10)
        one, two = one[fits], two[fits]
        if len(one) > PAIRS_MOST:
            some = rng.choice(len(one), PAIRS_MOST, replace=False)
            one, two = one[some], two[some]
        found.append(np.stack([one, two]))
    one, two = np.concatenate(found, axis=1)
    studio = studio_like(sample)
    pairs = Pairs(
        swapped=50 * np.abs(sample.shares[one] - sample.shares[two]).sum(axis=1),
        measured=sample.values[two] - sample.values[one],
        said=said[two] - said[one],
        studio=studio[one] & studio[two],
        group=sample.group[one],
    )
    return pairs.between(0, DISTANCE_MOST)


def change_half_width(rule: Rule, swapped: np.ndarray) -> np.ndarray:
    """Half of the interval of a difference: max(floor, constant + per_mol_pct_swapped x mol % swapped)."""
    return np.asarray(np.maximum(rule["floor"], rule["constant"] + rule["per_mol_pct_swapped"] * swapped))


def calibrate_change(pairs: Pairs, decimals: int = 2) -> Rule:
    """The narrowest rule that covers the pairs of an average group, all of them and the studio-like ones.

    The floor is what covers studio-like pairs with 1 to 2 mol % swapped: even a small change is not known better.
    """
    step = 10.0**-decimals
    line = quantile_line(
        np.column_stack([np.ones(len(pairs.swapped)), pairs.swapped]), np.abs(pairs.errors), 1 / group_sizes(pairs.group)
    )
    near = pairs.where(pairs.studio).between(*FLOOR_CLASS)
    floor = least(lambda width: mean_over_groups(np.abs(near.errors) <= width, near.group) >= LEVEL, step)
    rule = {"floor": floor, "constant": 0.0, "per_mol_pct_swapped": round(line[1], decimals + 1)}

    def enough(constant: float) -> bool:
        inside = np.abs(pairs.errors) <= change_half_width({**rule, "constant": constant}, pairs.swapped)
        studio = pairs.studio
        return mean_over_groups(inside, pairs.group) >= LEVEL and mean_over_groups(inside[studio], pairs.group[studio]) >= LEVEL

    return rule | {"constant": least(enough, step)}
