"""One property, appraised: what fits say of whole publications they never saw, what looks wrong, intervals and figures."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from glazekit.calibration.fits import MeltFit, Neighbours, SumFit, fit_melt, fit_sum
from glazekit.calibration.intervals import (
    Pairs,
    WidthRule,
    calibrate_change,
    calibrate_interval,
    covered,
    half_width,
    pairs_of,
)
from glazekit.calibration.measurements import SUBSETS, WINDOW_K, Measurements, deal_groups, everything, measured, scored

DRAWS = {"sum": 200, "melt": 60}
FAR = 6.0
"""In robust standard deviations. An honest error of a normal law would be as far once in 500 million."""
FEWEST = 15
"""A subset with fewer rows has no figures."""
DISTANCES = ((0, 1), (1, 2), (2, 4), (4, 7), (7, 12), (12, 20))
"""Classes of mol % swapped."""


def fit_model(sample: Measurements) -> SumFit | MeltFit:
    """Fit the model of the property."""
    return fit_melt(sample) if sample.is_melt else fit_sum(sample)


def predict_unseen(
    sample: Measurements,
    fit: Callable[[Measurements], SumFit | MeltFit | Neighbours] = fit_model,
    deal: Callable[..., np.ndarray] = deal_groups,
    seed: int = 0,
    hidden: np.ndarray | None = None,
) -> np.ndarray:
    """For every measurement, a flagged one too, what a model fitted without its fold says. ``fit`` : the model of the property,
    or a rival; ``deal`` : ``deal_groups``, or ``deal_rows`` to see the trap; ``hidden`` : rows that no fit may see."""
    kept = np.ones(len(sample), bool) if hidden is None else ~hidden
    fold, said = deal(sample.group, seed=seed), np.empty(len(sample))
    for each in np.unique(fold):
        said[fold == each] = fit(sample.where(kept & (fold != each))).predict(sample.where(fold == each))
    return said


def without_flags(sample: Measurements) -> Measurements:
    """The sample with nothing flagged."""
    return replace(sample, flagged=np.zeros(len(sample), bool))


def flag_far(sample: Measurements, far: float = FAR) -> Measurements:
    """The sample with a flag on every row further than ``far`` robust standard deviations from an unseen prediction. The
    deviation is the one that the middle of the errors tells, whatever the far ones do. Limits: rows are judged by the error that
    is scored later, so the figures without them are a little too good."""
    errors = predict_unseen(without_flags(sample)) - sample.values
    sigma = float(1.4826 * np.median(np.abs(errors - np.median(errors))))
    return replace(sample, flagged=np.abs(errors) > far * sigma)


@cache
def cleaned(name: str) -> Measurements:
    """The sample of a property as fitted and scored. Expansion and viscosity have their flags in the file; ``flag_far`` sets
    others."""
    sample = measured(name)
    return sample if sample.flagged.any() else flag_far(sample)


def standard_errors(sample: Measurements, draws: int, seed: int = 0) -> np.ndarray:
    """Standard errors of a model's coefficients. Whole groups of publications are drawn: rows of one laboratory err together."""
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


@dataclass(frozen=True, slots=True)
class Figures:
    """How large the errors of a subset are, predicted less measured [unit of the property]; the share of rows inside their
    intervals, and of an average group of publications; ``width``, the mean half width of the intervals."""

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
    """Everything measured about the model of one property. ``unseen`` : what a fit that had not seen its group says of each;
    ``interval``, ``change`` : rules of the intervals of a value and of a difference; ``pairs`` : what gave the second."""

    sample: Measurements
    unseen: np.ndarray
    interval: WidthRule
    change: WidthRule
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
        """(subset, "clean" or "all", figures): without the flagged rows, and with nothing left out. For viscosity the subsets
        are those of the firing range, 850 to 1350 °C; two more lie around it."""
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


@cache
def appraise(name: str, seed: int = 0) -> Appraisal:
    """Appraise the model of a property; ``seed`` deals the publications into folds. Flagged rows are left out of every fit and
    stay in every test: the intervals must live with them."""
    sample = cleaned(name)
    unseen = predict_unseen(sample, seed=seed)
    pairs = pairs_of(sample, unseen)
    interval, change = calibrate_interval(sample, unseen - sample.values), calibrate_change(pairs, sample.about.decimals)
    return Appraisal(sample, unseen, interval, change, pairs)
