"""How wide an honest 90 % interval is: wide enough for nine in ten measurements of an average publication never seen.

Why not of the rows: one laboratory prints 200 glasses, another three, and errors are mostly a matter of the laboratory. A change
has an interval of its own, from pairs of glasses inside one publication: a laboratory's error is in both glasses of its pair. So
a change is known better than a value, and the better the closer the two glazes are.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np

from glazekit.calibration.measurements import Measurements, group_sizes, mean_over_groups, scored, studio_like
from glazekit.ground.estimate import LEVEL
from glazekit.ground.numbers import KELVIN

STEPS = (-2.0, 4.0)
"""Hundreds of kelvin below 1200 °C between which the width of the viscosity's interval changes."""
IRON_FROM = 0.01
PAIRS_MOST = 60
"""Of one publication; a large one must not drown the rest."""
DISTANCE_MOST = 20.0
"""mol % swapped; further apart, two glazes are not versions of each other."""
SAME_TEMP_K = 25.0
SAME_LOG10 = 0.01
FLOOR_CLASS = (1, 2)
_ROUNDS = 100

WidthRule = dict[str, float]


def half_width(rule: WidthRule, sample: Measurements) -> np.ndarray:
    """Half of the absolute interval of every measurement, by the rules of property_intervals.csv."""
    if sample.is_melt:
        width = rule["constant"] + rule["per_100_k_colder"] * _steps(sample)
        return np.asarray(width * np.where(sample["Fe2O3"] >= IRON_FROM, rule["iron_factor"], 1.0))
    width = rule["constant"] + rule.get("per_alkali", 0.0) * sample["R2O"] + rule.get("per_lime", 0.0) * sample["CaO"]
    return np.maximum(width, rule.get("floor", 0.0))


def covered(errors: np.ndarray, widths: np.ndarray, group: np.ndarray) -> float:
    """Share of the errors inside their half widths, in an average group."""
    return mean_over_groups(np.abs(errors) <= widths, group)


def covers(errors: np.ndarray, widths: np.ndarray, group: np.ndarray, *parts: np.ndarray) -> bool:
    """Do the half widths hold 90 % of the errors of an average group, in each of these parts?"""
    return all(covered(errors[part], widths[part], group[part]) >= LEVEL for part in parts)


def calibrate_interval(sample: Measurements, errors: np.ndarray) -> WidthRule:
    """The narrowest rule of the property's form that covers an average group, in the box and among the studio-like glasses.
    ``sample`` holds flagged ones too: an honest interval must live with gross errors. ``errors`` are those of unseen groups."""
    hot, ones, group = scored(sample), np.ones(len(sample)), sample.group

    def line(*features: np.ndarray) -> np.ndarray:
        return quantile_line(np.column_stack([ones, *features])[hot], np.abs(errors[hot]), 1 / group_sizes(group[hot]))

    def enough(rule: WidthRule) -> bool:
        return covers(errors, half_width(rule, sample), group, hot, hot & studio_like(sample))

    if sample.about.width == "constant":
        return raised({"constant": 0.0}, "constant", 0.1, enough)
    if not sample.is_melt:
        _, per_alkali, per_lime = line(sample["R2O"], sample["CaO"])
        slopes = {"per_alkali": round(per_alkali, 1), "per_lime": round(per_lime, 1)}
        return raised({"floor": sample.about.floor, "constant": 0.0, **slopes}, "constant", 0.01, enough)
    steps = {"per_100_k_colder": round(line(_steps(sample))[1], 2), "steps_min": STEPS[0], "steps_max": STEPS[1]}
    rule = raised({"constant": 0.0, **steps, "iron_factor": 1.0}, "constant", 0.01, enough)
    iron = hot & (sample["Fe2O3"] >= IRON_FROM)
    return raised(rule, "iron_factor", 0.1, lambda tried: covers(errors, half_width(tried, sample), group, iron), start=1.0)


def raised(rule: WidthRule, name: str, step: float, enough: Callable[[WidthRule], bool], start: float = 0.0) -> WidthRule:
    """The rule with the least value of one number, a multiple of ``step`` from ``start`` on, with which it is enough."""
    return rule | {name: least(lambda value: enough({**rule, name: value}), step, start)}


def least(enough: Callable[[float], bool], step: float, start: float = 0.0) -> float:
    """The least start + n x step that is enough, by halving; ``enough`` must stay true once it is."""
    many = 1
    while not enough(start + many * step):
        many *= 2
    low, high = many // 2, many
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(start + middle * step) else (middle, high)
    return round(start + high * step, 6)


def quantile_line(features: np.ndarray, values: np.ndarray, weights: np.ndarray, level: float = LEVEL) -> np.ndarray:
    """Coefficients of the line under which a share ``level`` of the weighted values lies: least squares with weights 1/distance.
    Hunter and Lange's method for a quantile: a value above the line pulls ``level``, one below 1 - ``level``."""
    line = np.zeros(features.shape[1])
    line[0] = np.quantile(values, level)
    ridge = np.eye(len(line)) * 1e-12 * len(values)
    for _ in range(_ROUNDS):
        off = values - features @ line
        pull = weights * np.where(off > 0, level, 1 - level) / np.maximum(np.abs(off), 1e-3 * line[0])
        weighted = features * pull[:, None]
        new = np.linalg.solve(features.T @ weighted + ridge, weighted.T @ values)
        if np.abs(new - line).max() < 1e-4 * np.abs(new).max():
            return new
        line = new
    return line


def _steps(sample: Measurements) -> np.ndarray:
    return np.asarray(np.clip((1200.0 + KELVIN - sample.temp_k) / 100, *STEPS))


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs of glasses of one publication; every array has one entry a pair. ``swapped`` : half the sum of the differences of
    all mole percentages [mol %]; ``measured``, ``said`` : the difference that was measured, and the one a fit predicted that had
    not seen the publication; ``studio`` : are both studio-like?"""

    swapped: np.ndarray
    measured: np.ndarray
    said: np.ndarray
    studio: np.ndarray
    group: np.ndarray

    @property
    def errors(self) -> np.ndarray:
        """Predicted less measured difference."""
        return np.asarray(self.said - self.measured)

    def where(self, mask: np.ndarray) -> "Pairs":
        """The pairs for which ``mask`` is true."""
        return Pairs(*(getattr(self, field.name)[mask] for field in fields(self)))

    def between(self, low: float, high: float) -> "Pairs":
        """The pairs with more than ``low`` and at most ``high`` mol % swapped."""
        return self.where((self.swapped > low) & (self.swapped <= high))


def pairs_of(sample: Measurements, said: np.ndarray, seed: int = 0) -> Pairs:
    """All pairs of every publication, at most ``PAIRS_MOST`` drawn at random, up to ``DISTANCE_MOST`` apart; ``said`` by a fit
    that had not seen the publication. Two viscosities make a pair when their temperatures are within 25 K, or when they are
    equal: many laboratories report temperatures of a few viscosities, and near temperatures alone would pick out small
    changes."""
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


def change_half_widths(rule: WidthRule, swapped: np.ndarray) -> np.ndarray:
    """Half of the interval of a difference: max(floor, constant + per_mol_pct_swapped x mol % swapped)."""
    return np.asarray(np.maximum(rule["floor"], rule["constant"] + rule["per_mol_pct_swapped"] * swapped))


def change_covered(rule: WidthRule, pairs: Pairs) -> float:
    """Share of differences inside their interval, in an average group."""
    return covered(pairs.errors, change_half_widths(rule, pairs.swapped), pairs.group)


def calibrate_change(pairs: Pairs, decimals: int = 2) -> WidthRule:
    """The narrowest rule that covers the pairs of an average group, all of them and the studio-like ones. The floor is what
    covers studio-like pairs with 1 to 2 mol % swapped: even a small change is not known better."""
    step, all_of_them = 10.0**-decimals, np.ones(len(pairs.swapped), bool)
    features = np.column_stack([all_of_them, pairs.swapped])
    _, per_swapped = quantile_line(features, np.abs(pairs.errors), 1 / group_sizes(pairs.group))
    near = pairs.where(pairs.studio).between(*FLOOR_CLASS)
    floor = least(lambda width: covered(near.errors, np.full(len(near.errors), width), near.group) >= LEVEL, step)

    def enough(rule: WidthRule) -> bool:
        return covers(pairs.errors, change_half_widths(rule, pairs.swapped), pairs.group, all_of_them, pairs.studio)

    rule = {"floor": floor, "constant": 0.0, "per_mol_pct_swapped": round(per_swapped, decimals + 1)}
    return raised(rule, "constant", step, enough)
