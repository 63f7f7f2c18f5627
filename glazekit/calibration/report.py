"""The figures handed on: the tables of data/ that are made here, and lines for a person at a terminal."""

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from glazekit.calibration.appraisal import DRAWS, appraise, cleaned, fit_model, standard_errors
from glazekit.calibration.directions import records
from glazekit.calibration.fits import TERMS
from glazekit.calibration.intervals import WidthRule, change_covered, change_half_widths
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.properties import Property, properties
from glazekit.ground.tables import data_dir, sidecar

FITTED = ("sciglass_open", "fitted")
CHOSEN = {("absolute", "floor"), ("absolute", "steps_min"), ("absolute", "steps_max")}
"""Numbers of an interval that are chosen and not fitted; what a change is known to at least is measured."""
DIGITS = 8
"""Significant digits of a coefficient: a fresh fit must find it again. Its standard error says how many of them matter."""
_Row = tuple[Any, ...]
WIDTHS = {
    "alkali and lime": "half width = max(floor, constant + per_alkali x (Li2O + Na2O + K2O) + per_lime x CaO), shares by moles",
    "constant": "half width = constant",
    "heat and iron": "half width = constant + per_100_k_colder x steps, times iron_factor from 1 mol % Fe2O3 on; "
    "steps = hundreds of kelvin below 1200 C, held from steps_min to steps_max",
}
CHANGE = "half width = max(floor, constant + per_mol_pct_swapped x mol % swapped)"
UNITS = {
    "per_alkali": "{} per mole fraction",
    "per_lime": "{} per mole fraction",
    "per_mol_pct_swapped": "{} per mol %",
    "per_100_k_colder": "{} per 100 K",
    "steps_min": "100 K",
    "steps_max": "100 K",
    "iron_factor": "1",
}
"""Units of the numbers of a rule; of any other that of the property."""


def coefficient_rows(about: Property) -> Iterator[_Row]:
    """The rows of a property's table: a factor for each oxide, or a coefficient for each term of the viscosity."""
    sample = cleaned(about.name)
    clean, fitted = sample.where(~sample.flagged), fit_model(sample).coefficients
    errors = standard_errors(sample, DRAWS[about.model])
    numbers = [(_digits(value), _digits(error, 3)) for value, error in zip(fitted, errors, strict=True)]
    if sample.is_melt:
        yield from ((*term, *each, *FITTED) for term, each in zip(TERMS, numbers, strict=True))
        return
    for oxide, each in zip(MODEL_OXIDES, numbers, strict=True):
        holds = clean[oxide] > 0
        yield oxide, *each, int(holds.sum()), len(np.unique(clean.publication[holds])), *FITTED


def interval_rows() -> Iterator[_Row]:
    """property, kind, parameter, value, unit, meaning, source, status."""
    for about in properties():
        done = appraise(about.name)
        for kind, rule, meaning in (("absolute", done.interval, WIDTHS[about.width]), ("change", done.change, CHANGE)):
            for parameter, value in rule.items():
                unit = UNITS.get(parameter, "{}").format(about.fit_unit)
                trust = ("practice", "practice") if (kind, parameter) in CHOSEN else FITTED
                yield about.name, kind, parameter, f"{float(value):g}", unit, meaning, *trust


def accuracy_rows() -> Iterator[_Row]:
    """property, subset, kept, rows, publications, bias, mae, rmse, p90, two coverages, mean half width, unit."""
    for about in properties():
        for subset, kept, found in appraise(about.name).accuracy():
            sizes = (found.bias, found.mae, found.rmse, found.p90)
            shares = (found.coverage_rows, found.coverage_publications)
            yield (
                *(about.name, subset, kept, found.rows, found.publications),
                *(_fixed(each, about.decimals) for each in sizes),
                *(_fixed(100 * each, 1) for each in shares),
                _fixed(found.width, about.decimals),
                about.fit_unit,
            )


def change_rows() -> Iterator[_Row]:
    """property, subset, from, to, pairs, publications, four sizes, coverage, clear, direction right, unit."""
    for about in properties():
        done = appraise(about.name)
        for subset, low, high, pairs in done.changes():
            widths = change_half_widths(done.change, pairs.swapped)
            clear = np.abs(pairs.said) > widths
            alike = done.sample.is_melt  # at one temperature, or at one viscosity: then no change was measured
            right = np.sign(pairs.said) == np.sign(pairs.measured)
            errors = np.abs(pairs.errors)
            sizes = (errors.mean(), np.quantile(errors, 0.9), widths.mean())
            yield (
                *(about.name, subset, low, high, len(widths), len(np.unique(pairs.group))),
                "" if alike else _fixed(np.abs(pairs.measured).mean(), about.decimals + 1),
                *(_fixed(each, about.decimals + 1) for each in sizes),
                _fixed(100 * change_covered(done.change, pairs), 1),
                int(clear.sum()),
                "" if alike or clear.sum() < 20 else _fixed(100 * right[clear].mean(), 1),
                about.fit_unit,
            )


def beyond_rows(names: tuple[str, ...] = ()) -> Iterator[_Row]:
    """property, border, side, where it was drawn, reach, pairs, publications, direction right; all properties, or those named."""
    for found in records(names):
        right = "" if found.right_pct is None else _fixed(found.right_pct, 1)
        drawn = (found.inner_mol_pct, found.reach_mol_pct)
        counts = (len(found.pairs.said), found.publications)
        yield found.name, found.what, found.side, *(f"{each:g}" for each in drawn), *counts, right, *FITTED


def write_tables(folder: Path | None = None) -> tuple[Path, ...]:
    """Fit and measure everything again and write the tables into ``folder``, data/ when None; their headers stay as they are."""
    made = {about.factor_table: coefficient_rows(about) for about in properties()} | {
        "property_intervals": interval_rows(),
        "property_accuracy": accuracy_rows(),
        "change_accuracy": change_rows(),
        "beyond_box": beyond_rows(),
    }
    return tuple(write_rows((folder or data_dir()) / f"{name}.csv", rows) for name, rows in made.items())


def write_rows(path: Path, rows: Iterator[_Row]) -> Path:
    """Write a table of data/ with the columns its sidecar describes; it may be a new one."""
    lines = list(rows)
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, lineterminator="\n").writerows([tuple(sidecar(path.stem)["columns"]), *lines])
    return path


def _digits(value: float, digits: int = DIGITS) -> str:
    return f"{float(f'{value:.{digits}g}'):.12g}"


def _fixed(value: float, places: int) -> str:
    return f"{round(value, places) + 0.0:.{places}f}"


def report_lines(seed: int = 0) -> Iterator[str]:
    """All figures, property by property."""
    yield "Errors on publications the fit had never seen (predicted less measured). Coverage: what the 90 % intervals hold."
    for about in properties():
        done, places = appraise(about.name, seed), about.decimals
        yield ""
        yield f"{about.heading.replace('°', '')} [{about.fit_unit}]"  # a terminal may know no degree sign
        heads = f"{'rows':>8}{'public.':>9}{'bias':>8}{'MAE':>8}{'RMSE':>8}{'width':>8}{'rows in':>9}{'public. in':>11}"
        yield f"  {'glasses':34}{heads}"
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
            width = change_half_widths(done.change, pairs.swapped).mean()
            change = f"{'':8}" if done.sample.is_melt else f"{np.abs(pairs.measured).mean():8.{places}f}"
            numbers = change + "".join(f"{each:8.{places}f}" for each in (errors.mean(), np.quantile(errors, 0.9), width))
            groups = len(np.unique(pairs.group))
            what = f"{subset}, {low} to {high} mol % swapped"
            yield f"  {what:34}{len(errors):8d}{groups:9d}{numbers}{'':9}{100 * change_covered(done.change, pairs):9.1f} %"


def _said(rule: WidthRule) -> str:
    return ", ".join(f"{parameter} {value:g}" for parameter, value in rule.items())
