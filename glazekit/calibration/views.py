"""What the appendix shows, as HTML: each function fits and measures, and draws what came out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from glazekit.calibration import additive
from glazekit.calibration.classic import SYSTEMS, predict_classic
from glazekit.calibration.groups import deal_rows, mean_over_groups
from glazekit.calibration.measurements import LIQUIDUS, PROPERTIES, Sample, measured
from glazekit.calibration.melt_fit import in_window
from glazekit.calibration.neighbours import fit_neighbours, predict_neighbours
from glazekit.calibration.outliers import cleaned, flag_far
from glazekit.calibration.pictures import bars, cloud, curves, table
from glazekit.calibration.report import SAID
from glazekit.calibration.study import study
from glazekit.calibration.subsets import SUBSETS, studio_like
from glazekit.calibration.unseen import predict_unseen
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import OXIDES

NOTICE = (
    "<p><small>Contains information from SciGlass, which is made available under the Open Database License (ODbL).</small></p>"
)
_UNITS = {"1e-6/K": "×10⁻⁶ per K"}
_ZERO_C = {"K": 273.15}
"""What is taken off to draw a temperature in °C, as potters read it; a difference in K is one in °C."""
_KINDS = {"box": "all of the box", "studio-like": "glaze-like", "colder than 850 C": "colder than 850 °C"}
"""Names of subsets that are not words of the page."""


def measurements() -> str:
    """A table of how much was measured."""
    rows = []
    for name in (*PROPERTIES, "liquidus"):
        sample = cleaned(name)
        studio = studio_like(sample)
        said = SAID.get(name, "liquidus (not offered)").partition(",")[0]
        rows.append(
            (
                said,
                f"{len(sample):,}",
                f"{len(np.unique(sample.publication)):,}",
                f"{studio.sum():,}",
                f"{sample.flagged.sum():,}",
            )
        )
    return (
        table(("measured", "measurements", "publications", "of glaze-like glasses", "flagged as wrong"), rows, "What there is")
        + NOTICE
    )


def predicted_and_measured(name: str, glasses: str) -> str:
    """A cloud, and its figures in a sentence."""
    done = study(name)
    chosen = _scored(name) & SUBSETS[glasses](done.sample)
    found, unit = done.figures(chosen), _unit(name)
    words = (
        f"<p>{found.rows:,} measurements of {found.publications:,} publications, nothing left out. On average the guess is off "
        f"by <strong>{_number(name, found.mae)} {unit}</strong>. The 90 % interval is ±{_number(name, found.width)} on average, "
        f"and holds <strong>{100 * found.coverage_publications:.0f} %</strong> of an average publication.</p>"
    )
    return words + _cloud(done.sample.values[chosen], done.unseen[chosen], found.width, unit) + NOTICE


def factors(name: str) -> str:
    """The shipped factors, their standard errors, and a fresh fit beside them."""
    about = PROPERTIES[name]
    shipped = read_table(about.table)
    fresh = additive.fit_additive(cleaned(name))
    places = about.decimals - (0 if name == "expansion" else 1)
    rows = [
        (
            OXIDES[row["oxide"]].name,
            f"{row[about.factor]:+.{places}f}",
            f"± {row['standard_error']:.{places}f}",
            f"{value:+.{places}f}",
            f"{row['rows']:,}",
            f"{row['publications']:,}",
        )
        for row, value in zip(shipped, fresh, strict=True)
    ]
    most = max(abs(row[about.factor] - value) for row, value in zip(shipped, fresh, strict=True))
    head = ("oxide", "in the table", "standard error", "fitted just now", "glasses with it", "publications")
    caption = f"What one whole mole fraction would add [{_unit(name)}]; one mol % adds a hundredth of it"
    off = f"{most:.4f}" if most >= 0.0001 else "less than 0.0001"
    said = f"<p>Largest difference between the table and the fit of just now: {off} {_unit(name)}.</p>"
    return table(head, rows, caption) + said + NOTICE


def cleaning(far: float | None, studio_weight: float) -> str:
    """The expansion, fitted with another cleaning and another weight, and judged twice: by its own choice, and by all rows."""
    sample = replace(measured("expansion"), flagged=np.zeros(len(measured("expansion")), bool))
    sample = sample if far is None else flag_far(sample, far)

    def fit(part: Sample) -> np.ndarray:
        return additive.fit_additive(part, studio_weight)

    errors = np.abs(predict_unseen(sample, fit, additive.predict_additive) - sample.values)
    studio, kept = studio_like(sample), ~sample.flagged
    now, table_factors = fit(sample), {row["oxide"]: row["factor_1e6_per_k"] for row in read_table("expansion_factors")}
    figures = [
        (f"glaze-like, the {(kept & studio).sum():,} kept", _mean(errors[kept & studio]), f"{_mean(errors[kept & studio]):.3f}"),
        (f"glaze-like, all {studio.sum():,}", _mean(errors[studio]), f"{_mean(errors[studio]):.3f}"),
        (f"box, the {kept.sum():,} kept", _mean(errors[kept]), f"{_mean(errors[kept]):.3f}"),
        (f"box, all {len(errors):,}", _mean(errors), f"{_mean(errors):.3f}"),
    ]
    told = ("SiO2", "Al2O3", "B2O3", "Na2O", "K2O", "MgO", "CaO", "ZnO")
    rows = [(OXIDES[oxide].name, f"{table_factors[oxide]:+.2f}", f"{now[MODEL_OXIDES.index(oxide)]:+.2f}") for oxide in told]
    return (
        f"<p>Left out: {sample.flagged.sum():,} of {len(errors):,} measurements.</p>"
        + bars(figures, "mean error on publications never seen [×10⁻⁶ per K]", "Mean errors with this cleaning")
        + table(("oxide", "in the table", "with your choice"), rows, "Factors [×10⁻⁶ per K for a whole mole fraction]")
        + NOTICE
    )


def trap() -> str:
    """Looking up similar glasses against adding up oxides, under random rows and under whole publications."""
    sample = cleaned("expansion")
    kept = ~sample.flagged
    ways = (
        ("look up", fit_neighbours, predict_neighbours),
        ("add up", additive.fit_additive, additive.predict_additive),
    )
    rows = []
    for dealt, dealing in (("random rows", {"deal": deal_rows}), ("whole publications", {})):
        for way, fit, predict in ways:
            error = _mean(np.abs(predict_unseen(sample, fit, predict, **dealing) - sample.values)[kept])
            rows.append((f"{dealt}: {way}", error, f"{error:.2f}"))
    return bars(rows, "mean error of the expansion [×10⁻⁶ per K]", "Random rows against whole publications") + NOTICE


def coverage(name: str) -> str:
    """Shares of rows and of publications inside an interval of one width, over that width."""
    done, scored = study(name), _scored(name)
    errors, group = np.abs(done.errors[scored]), done.sample.group[scored]
    widths = np.linspace(0, 2 * np.quantile(errors, 0.95), 41)
    by_rows = np.array([100 * (errors <= width).mean() for width in widths])
    by_group = np.array([100 * mean_over_groups(errors <= width, group) for width in widths])
    tight, honest = (float(np.interp(90, shares, widths)) for shares in (by_rows, by_group))
    unit, really = _unit(name), np.interp(tight, widths, by_group)
    words = (
        f"<p>±{_number(name, tight)} {unit} holds 90 % of the rows, but only <strong>{really:.0f} %</strong> of an average "
        f"publication. For 90 % of that it takes <strong>±{_number(name, honest)}</strong>.</p>"
    )
    lines = (("of the rows", "none", by_rows), ("of a publication", "7 5", by_group))
    return words + curves(widths, lines, unit, "Share inside the interval over its half width") + NOTICE


def changes(name: str) -> str:
    """Mean errors of differences, by distance, beside the mean error of a value."""
    done, unit = study(name), _unit(name)
    value = done.figures(_scored(name)).mae
    rows = [("the value itself", value, _number(name, value, 1))]
    for subset, low, high, pairs in done.changes():
        if subset == "box":
            error = _mean(np.abs(pairs.errors))
            rows.append((f"change, {low} to {high} mol % swapped", error, _number(name, error, 1)))
    return bars(rows, f"mean error [{unit}]", "Errors of a value and of changes") + NOTICE


def weak_spots(name: str) -> str:
    """Mean errors by kind of glass; the mark is the whole box."""
    done = study(name)
    figures = {subset: found for subset, kept, found in done.accuracy() if kept == "all"}
    rows = [
        (_KINDS.get(subset, subset), found.mae, f"{_number(name, found.mae)} ({found.publications:,})")
        for subset, found in figures.items()
    ]
    unit = f"mean error [{_unit(name)}] (in so many publications)"
    return bars(rows, unit, "Errors by kind of glass, nothing left out", mark=figures["box"].mae) + NOTICE


def liquidus() -> str:
    """Adding up does not tell where crystals stop growing."""
    sample = cleaned("liquidus")
    said = predict_unseen(sample, additive.fit_additive, additive.predict_additive)
    errors, studio = np.abs(said - sample.values), studio_like(sample)
    blind = np.abs(sample.values - np.median(sample.values[studio]))
    zinc = sample["ZnO"] >= 0.05
    width = float(np.quantile(errors, 0.9))
    rows = [
        ("always say the same number", _mean(blind[studio]), f"{_mean(blind[studio]):.0f}"),
        ("add up the oxides", _mean(errors[studio]), f"{_mean(errors[studio]):.0f}"),
        ("the same, zinc from 5 %", _mean(errors[zinc]), f"{_mean(errors[zinc]):.0f}"),
    ]
    words = (
        f"<p>Nine in ten errors are smaller than {width:.0f} K: far too much to say whether crystals will grow in a glaze.</p>"
    )
    picture = _cloud(sample.values[studio], said[studio], width, LIQUIDUS.unit)
    return bars(rows, "mean error of the liquidus, glaze-like glasses [K]", "Errors of the liquidus") + words + picture + NOTICE


def old_tables() -> str:
    """Classic systems on the glasses they cover; the fitted factors on publications they had not seen."""
    done = study("expansion")
    kept = ~done.sample.flagged
    statuses = {
        system: " and ".join(sorted({row["status"] for row in read_table("classic_factors") if row["system"] == system}))
        for system in SYSTEMS
    }
    rows = []
    for system in SYSTEMS:
        said, covered = predict_classic(system, done.sample)
        mask = kept & covered & studio_like(done.sample)
        errors = (said - done.sample.values)[mask]
        rows.append((system, statuses[system], f"{mask.sum():,}", f"{errors.mean():+.2f}", f"{_mean(np.abs(errors)):.2f}"))
    mask = kept & studio_like(done.sample)
    errors = done.errors[mask]
    rows.append(("fitted here", "fitted", f"{mask.sum():,}", f"{errors.mean():+.2f}", f"{_mean(np.abs(errors)):.2f}"))
    head = ("factors", "status of the numbers", "glaze-like glasses", "too high or low by", "mean error")
    return table(head, rows, "Thermal expansion [×10⁻⁶ per K]") + NOTICE


def accuracy() -> str:
    """The headline figures, measured now."""
    rows = []
    for name in PROPERTIES:
        found = {(subset, kept): each for subset, kept, each in study(name).accuracy()}
        for subset, said in (("box", "all of the box"), ("studio-like", "glaze-like")):
            clean, every = found[subset, "clean"], found[subset, "all"]
            rows.append(
                (
                    f"{SAID[name].partition(',')[0]}, {said} [{_unit(name)}]",
                    f"{every.publications:,}",
                    _number(name, clean.mae),
                    _number(name, every.mae),
                    f"±{_number(name, every.width)}",
                    f"{every.coverage_publications * 100:.0f} %",
                )
            )
    head = ("", "publications", "mean error, clean", "nothing left out", "90 % interval", "it holds")
    return table(head, rows, "On publications the fit had never seen") + NOTICE


def _scored(name: str) -> np.ndarray:
    """Rows that are scored when nothing is left out."""
    sample = study(name).sample
    return in_window(sample) if name == "viscosity" else np.ones(len(sample), bool)


def _cloud(values: np.ndarray, said: np.ndarray, half_width: float, unit: str) -> str:
    less = _ZERO_C.get(unit, 0.0)
    return cloud(values - less, said - less, half_width, "°C" if less else unit)


def _unit(name: str) -> str:
    return _UNITS.get(PROPERTIES[name].unit, PROPERTIES[name].unit)


def _number(name: str, value: float, more: int = 0) -> str:
    return f"{value:.{PROPERTIES[name].decimals + more}f}"


def _mean(values: np.ndarray) -> float:
    return float(values.mean())
