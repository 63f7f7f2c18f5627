"""The figures as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from glazekit.calibration.appraisal import appraise
from glazekit.calibration.changes import change_half_width
from glazekit.calibration.intervals import Rule
from glazekit.glass.properties import Property, properties


def report_lines(seed: int = 0) -> Iterator[str]:
    """All figures, property by property."""
    yield "Errors on publications the fit had never seen (predicted less measured). Coverage: what the 90 % intervals hold."
    for about in properties():
        yield ""
        yield from property_lines(about, seed)


def property_lines(about: Property, seed: int = 0) -> Iterator[str]:
    """The figures of one property; a terminal may know no degree sign."""
    done, places = appraise(about.name, seed), about.decimals
    yield f"{about.heading.replace('°', '')} [{about.fit_unit}]"
    yield f"  {'glasses':34}{'rows':>8}{'public.':>9}{'bias':>8}{'MAE':>8}{'RMSE':>8}{'width':>8}{'rows in':>9}{'public. in':>11}"
    for subset, kept, found in done.accuracy():
        if kept == "clean" or subset in ("box", "studio-like"):
            what = subset if kept == "clean" else f"{subset}, nothing left out"
            sizes = "".join(f"{each:8.{places}f}" for each in (found.bias, found.mae, found.rmse, found.width))
            shares = f"{100 * found.coverage_rows:7.1f} %{100 * found.coverage_publications:9.1f} %"
            yield f"  {what:34}{found.rows:8d}{found.publications:9d}{sizes}{shares}"
    yield f"  interval of a value:  {_said(done.interval)}"
    yield f"  interval of a change: {_said(done.change)}"
    heads = f"{'pairs':>8}{'groups':>9}{'change':>8}{'MAE':>8}{'90 %':>8}{'width':>8}{'':9}{'public. in':>11}"
    yield f"  {'changes inside one publication':34}{heads}"
    for subset, low, high, pairs in done.changes():
        errors = np.abs(pairs.errors)
        width = change_half_width(done.change, pairs.swapped).mean()
        change = f"{'':8}" if done.sample.is_melt else f"{np.abs(pairs.measured).mean():8.{places}f}"
        numbers = change + "".join(f"{each:8.{places}f}" for each in (errors.mean(), np.quantile(errors, 0.9), width))
        groups = len(np.unique(pairs.group))
        what = f"{subset}, {low} to {high} mol % swapped"
        yield f"  {what:34}{len(errors):8d}{groups:9d}{numbers}{'':9}{100 * done.change_covered(pairs):9.1f} %"


def _said(rule: Rule) -> str:
    return ", ".join(f"{parameter} {value:g}" for parameter, value in rule.items())
