"""One property, appraised: its sample, what fits say of publications they had not seen, its intervals and its figures."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from glazekit.calibration.intervals import (
    Pairs,
    Rule,
    calibrate_change,
    calibrate_interval,
    change_half_width,
    covered,
    half_width,
    pairs_of,
)
from glazekit.calibration.measurements import SUBSETS, WINDOW_K, Measurements, everything, scored
from glazekit.calibration.unseen import cleaned, predict_unseen

FEWEST = 15
"""A subset with fewer rows has no figures."""
DISTANCES = ((0, 1), (1, 2), (2, 4), (4, 7), (7, 12), (12, 20))
"""Classes of mol % swapped."""


@dataclass(frozen=True, slots=True)
class Figures:
    """How large the errors of a subset are, errors being predicted less measured [unit of the property].

    ``coverage_rows`` is the share of rows inside their intervals, ``coverage_publications`` the same in an average group of
    publications; ``width`` is the mean half width of the intervals.
    """

    rows: int
    publications: int
    bias: float
    mae: float
    rmse: float
    p90: float
    coverage_rows: float
    coverage_publications: float
    width: float


@dataclass(frozen=True, slots=True)
class Appraisal:
    """Everything measured about the model of one property.

    ``unseen`` : what a fit says of each measurement that had not seen its group; ``interval``, ``change`` : rules of the
    intervals of a value and of a difference; ``pairs`` : what the second was measured on.
    """

    sample: Measurements
    unseen: np.ndarray
    interval: Rule
    change: Rule
    pairs: Pairs

    @property
    def errors(self) -> np.ndarray:
        """Predicted less measured."""
        return np.asarray(self.unseen - self.sample.values)

    def figures(self, mask: np.ndarray) -> Figures:
        """The figures of the rows for which ``mask`` is true."""
        errors, sample = self.errors[mask], self.sample.where(mask)
        widths = half_width(self.interval, sample)
        return Figures(
            rows=len(errors),
            publications=len(np.unique(sample.publication)),
            bias=float(errors.mean()),
            mae=float(np.abs(errors).mean()),
            rmse=float(np.sqrt((errors**2).mean())),
            p90=float(np.quantile(np.abs(errors), 0.9)),
            coverage_rows=float((np.abs(errors) <= widths).mean()),
            coverage_publications=covered(errors, widths, sample.group),
            width=float(widths.mean()),
        )

    def accuracy(self) -> Iterator[tuple[str, str, Figures]]:
        """(subset, "clean" or "all", figures): without the flagged rows, and with nothing left out.

        For viscosity the subsets are those of the firing range, 850 to 1350 °C; two more lie around it.
        """
        sample = self.sample
        parts = {name: choose(sample) & scored(sample) for name, choose in SUBSETS.items()}
        if sample.is_melt:
            parts |= {"every temperature": everything(sample), "colder than 850 C": sample.temp_k < WINDOW_K[0]}
        for name, part in parts.items():
            for kept, mask in (("clean", part & ~sample.flagged), ("all", part)):
                if mask.sum() >= FEWEST:
                    yield name, kept, self.figures(mask)

    def changes(self) -> Iterator[tuple[str, float, float, Pairs]]:
        """(subset, least, most mol % swapped, pairs) for the classes of distance."""
        for name, chosen in (("box", self.pairs), ("studio-like", self.pairs.where(self.pairs.studio))):
            for low, high in DISTANCES:
                yield name, low, high, chosen.between(low, high)

    def change_covered(self, pairs: Pairs) -> float:
        """Share of differences inside their interval, in an average group."""
        return covered(pairs.errors, change_half_width(self.change, pairs.swapped), pairs.group)


@cache
def appraise(name: str, seed: int = 0) -> Appraisal:
    """Appraise the model of a property; ``seed`` deals the publications into folds.

    Flagged rows are left out of every fit and stay in every test: the intervals must live with them.
    """
    sample = cleaned(name)
    unseen = predict_unseen(sample, seed=seed)
    pairs = pairs_of(sample, unseen)
    interval, change = calibrate_interval(sample, unseen - sample.values), calibrate_change(pairs, sample.about.decimals)
    return Appraisal(sample, unseen, interval, change, pairs)
