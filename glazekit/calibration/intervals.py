"""How wide an honest 90 % interval is: wide enough for nine in ten measurements of an average publication never seen.

Why publications and not rows: one laboratory prints 200 glasses, another three, and errors are mostly a matter of the laboratory.
An interval that holds 90 % of the rows holds less of an average publication, and a learner's glaze is a new laboratory.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from glazekit.calibration.groups import group_sizes, mean_over_groups
from glazekit.calibration.measurements import KELVIN, Measurements
from glazekit.calibration.subsets import scored, studio_like
from glazekit.ground.estimate import LEVEL

STEPS = (-2.0, 4.0)
"""Hundreds of kelvin below 1200 °C between which the width of the viscosity's interval changes."""
IRON_FROM = 0.01
_ROUNDS = 100

Rule = dict[str, float]


def half_width(rule: Rule, sample: Measurements) -> np.ndarray:
    """Half of the absolute interval of every measurement, by the rules of property_intervals.csv."""
    if sample.is_melt:
        width = rule["constant"] + rule["per_100_k_colder"] * _steps(sample)
        return np.asarray(width * np.where(sample["Fe2O3"] >= IRON_FROM, rule["iron_factor"], 1.0))
    width = rule["constant"] + rule.get("per_alkali", 0.0) * sample["R2O"] + rule.get("per_lime", 0.0) * sample["CaO"]
    return np.maximum(width, rule.get("floor", 0.0))


def covered(errors: np.ndarray, widths: np.ndarray, group: np.ndarray) -> float:
    """Share of the errors inside their half widths, in an average group."""
    return mean_over_groups(np.abs(errors) <= widths, group)


def calibrate_interval(sample: Measurements, errors: np.ndarray) -> Rule:
    """The narrowest rule of the property's form that covers an average group, in the box and among the studio-like glasses.

    Parameters
    ----------
    sample : all measurements, flagged ones too: an honest interval must live with gross errors.
    errors : what a fit that had not seen the group said, less what was measured.
    """
    if sample.is_melt:
        return _viscosity_rule(sample, errors)
    if sample.about.width == "constant":
        return {"constant": raised(sample, errors, {"constant": 0.0}, 0.1)}
    features = np.column_stack([np.ones(len(sample)), sample["R2O"], sample["CaO"]])
    _, per_alkali, per_lime = quantile_line(features, np.abs(errors), 1 / group_sizes(sample.group))
    rule = {
        "floor": sample.about.floor,
        "constant": 0.0,
        "per_alkali": round(per_alkali, 1),
        "per_lime": round(per_lime, 1),
    }
    return rule | {"constant": raised(sample, errors, rule, 0.01)}


def raised(sample: Measurements, errors: np.ndarray, rule: Rule, step: float) -> float:
    """The least ``constant``, a multiple of ``step``, with which a rule covers the box and the studio-like glasses."""
    parts = (scored(sample), scored(sample) & studio_like(sample))

    def enough(constant: float) -> bool:
        inside = np.abs(errors) <= half_width({**rule, "constant": constant}, sample)
        return all(mean_over_groups(inside[part], sample.group[part]) >= LEVEL for part in parts)

    return least(enough, step)


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

    Hunter and Lange's method for a quantile: a value above the line pulls ``level``, one below 1 - ``level``.
    """
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


def _viscosity_rule(sample: Measurements, errors: np.ndarray) -> Rule:
    hot = scored(sample)
    features = np.column_stack([np.ones(len(sample)), _steps(sample)])[hot]
    _, per_step = quantile_line(features, np.abs(errors[hot]), 1 / group_sizes(sample.group[hot]))
    rule = {
        "constant": 0.0,
        "per_100_k_colder": round(per_step, 2),
        "steps_min": STEPS[0],
        "steps_max": STEPS[1],
        "iron_factor": 1.0,
    }
    rule["constant"] = raised(sample, errors, rule, 0.01)
    iron = hot & (sample["Fe2O3"] >= IRON_FROM)
    irons = sample.where(iron)

    def enough(factor: float) -> bool:
        return covered(errors[iron], half_width({**rule, "iron_factor": factor}, irons), irons.group) >= LEVEL

    return rule | {"iron_factor": least(enough, 0.1, start=1.0)}
