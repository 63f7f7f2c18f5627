"""The tables of data/ that are made here, and how to write them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from glazekit.calibration.additive import fit_additive
from glazekit.calibration.changes import change_half_width
from glazekit.calibration.measurements import ADDITIVE, PROPERTIES
from glazekit.calibration.melt_fit import TERMS, fit_melt
from glazekit.calibration.outliers import cleaned
from glazekit.calibration.standard_errors import DRAWS, standard_errors
from glazekit.calibration.study import study
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.tables import data_dir, sidecar

FITTED = ("sciglass_open", "fitted")
DIGITS = 8
"""Significant digits of a coefficient: a fresh fit must find it again. Its standard error says how many of them matter."""

Row = tuple[Any, ...]

ABSOLUTE = {
    "expansion": "half width = max(floor, constant + per_alkali x (Li2O + Na2O + K2O) + per_lime x CaO), shares by moles",
    "glass_transition": "half width = constant",
    "elastic_modulus": "half width = constant",
    "viscosity": "half width = constant + per_100_k_colder x steps, times iron_factor from 1 mol % Fe2O3 on; steps = hundreds of "
    "kelvin below 1200 C, held from steps_min to steps_max",
}
CHANGE = "half width = max(floor, constant + per_mol_pct_swapped x mol % swapped)"


def factor_rows(name: str, draws: int | None = None) -> Iterator[Row]:
    """oxide, factor, standard_error, rows, publications, source, status of an additive property."""
    sample = cleaned(name)
    clean = sample.where(~sample.flagged)
    factors, errors = fit_additive(sample), standard_errors(sample, DRAWS[name] if draws is None else draws)
    for oxide, factor, error in zip(MODEL_OXIDES, factors, errors, strict=True):
        holds = clean[oxide] > 0
        yield oxide, _digits(factor), _digits(error, 3), int(holds.sum()), len(np.unique(clean.publication[holds])), *FITTED


def viscosity_rows(draws: int | None = None) -> Iterator[Row]:
    """block, term, coefficient, standard_error, source, status."""
    sample = cleaned("viscosity")
    errors = standard_errors(sample, DRAWS["viscosity"] if draws is None else draws)
    for (block, term), coefficient, error in zip(TERMS, fit_melt(sample).coefficients, errors, strict=True):
        yield block, term, _digits(coefficient), _digits(error, 3), *FITTED


def interval_rows() -> Iterator[Row]:
    """property, kind, parameter, value, unit, meaning, source, status."""
    for name, about in PROPERTIES.items():
        done = study(name)
        for kind, rule, meaning in (("absolute", done.interval, ABSOLUTE[name]), ("change", done.change, CHANGE)):
            for parameter, value in rule.items():
                yield name, kind, parameter, f"{float(value):g}", _unit(parameter, about.unit), meaning, *FITTED


def accuracy_rows() -> Iterator[Row]:
    """property, subset, kept, rows, publications, bias, mae, rmse, p90, two coverages, mean half width, unit."""
    for name, about in PROPERTIES.items():
        for subset, kept, found in study(name).accuracy():
            sizes = (found.bias, found.mae, found.rmse, found.p90)
            shares = (found.coverage_rows, found.coverage_publications)
            yield (
                *(name, subset, kept, found.rows, found.publications),
                *(_fixed(each, about.decimals) for each in sizes),
                *(_fixed(100 * each, 1) for each in shares),
                _fixed(found.width, about.decimals),
                about.unit,
            )


def change_rows() -> Iterator[Row]:
    """property, subset, from, to, pairs, publications, four sizes, coverage, clear, direction right, unit."""
    for name, about in PROPERTIES.items():
        done = study(name)
        for subset, low, high, pairs in done.changes():
            widths = change_half_width(done.change, pairs.swapped)
            clear = np.abs(pairs.said) > widths
            alike = name == "viscosity"  # at one temperature, or at one viscosity: then no change was measured
            right = np.sign(pairs.said) == np.sign(pairs.measured)
            errors = np.abs(pairs.errors)
            sizes = (errors.mean(), np.quantile(errors, 0.9), widths.mean())
            yield (
                *(name, subset, low, high, len(widths), len(np.unique(pairs.group))),
                "" if alike else _fixed(np.abs(pairs.measured).mean(), about.decimals + 1),
                *(_fixed(each, about.decimals + 1) for each in sizes),
                _fixed(100 * done.change_covered(pairs), 1),
                int(clear.sum()),
                "" if alike or clear.sum() < 20 else _fixed(100 * right[clear].mean(), 1),
                about.unit,
            )


def write_tables(folder: Path | None = None) -> tuple[Path, ...]:
    """Fit and measure everything again and write the tables into ``folder``, data/ when None; their headers stay as they are."""
    made = {PROPERTIES[name].table: factor_rows(name) for name in ADDITIVE} | {
        "viscosity_coefficients": viscosity_rows(),
        "property_intervals": interval_rows(),
        "property_accuracy": accuracy_rows(),
        "change_accuracy": change_rows(),
    }
    return tuple(_write((folder or data_dir()) / f"{name}.csv", header_of(name), rows) for name, rows in made.items())


def header_of(name: str) -> tuple[str, ...]:
    """Columns of a table, as its sidecar describes them."""
    return tuple(sidecar(name)["columns"])


def _write(path: Path, header: tuple[str, ...], rows: Iterator[Row]) -> Path:
    lines = [header, *rows]
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, lineterminator="\n").writerows(lines)
    return path


def _digits(value: float, digits: int = DIGITS) -> str:
    return f"{float(f'{value:.{digits}g}'):.12g}"


def _fixed(value: float, places: int) -> str:
    return f"{round(value, places) + 0.0:.{places}f}"


def _unit(parameter: str, unit: str) -> str:
    special = {
        "per_alkali": f"{unit} per mole fraction",
        "per_lime": f"{unit} per mole fraction",
        "per_mol_pct_swapped": f"{unit} per mol %",
        "per_100_k_colder": f"{unit} per 100 K",
        "steps_min": "100 K",
        "steps_max": "100 K",
        "iron_factor": "1",
    }
    return special.get(parameter, unit)
