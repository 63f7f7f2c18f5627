"""What the appendix shows: each function fits and measures, and draws what came out. Choices are words a learner reads."""

from collections.abc import Callable, Mapping
from functools import partial, wraps

import numpy as np

from glazekit.calibration.appraisal import appraise, cleaned, flag_far, predict_unseen, without_flags
from glazekit.calibration.fits import SYSTEMS, Neighbours, fit_sum, predict_classic
from glazekit.calibration.intervals import covered
from glazekit.calibration.measurements import LIQUIDUS, SUBSETS, deal_groups, deal_rows, measured, scored, studio_like
from glazekit.calibration.pictures import bars, cloud, curves, table
from glazekit.drawing.markup import Html, el
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.properties import Property, properties
from glazekit.glass.sums import factors_of
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import OXIDES

NOTICE = el(
    "p", el("small", "Contains information from SciGlass, which is made available under the Open Database License (ODbL).")
)
WHATS = {each.quantity: each for each in properties()}
SUMS = {quantity: each for quantity, each in WHATS.items() if each.model == "sum"}
"""Those to which every oxide adds its share."""
GLASSES = {"like a pottery glaze": "studio-like", "all of the box": "box"} | {
    name: name for name in ("zinc from 5 %", "lithia from 4 %", "lime from 15 %", "iron from 1 %", "boron over 15 %")
}
"""Which glasses to look at, and the subset's name in the tables."""
OMISSIONS = {"nothing": None, "gross errors (the course)": 6.0, "all that looks doubtful": 2.5}
"""Choices of cleaning: how many robust standard deviations a measurement may be off."""
WEIGHTS = {"like any other": 1.0, "three times (the course)": 3.0, "ten times": 10.0}
"""How much a glaze-like glass counts."""
_FIRST = next(iter(WHATS))
_KINDS = {"box": "all of the box", "studio-like": "glaze-like", "colder than 850 C": "colder than 850 °C"}
"""Names of subsets that are not words of the page."""


def view(draw: Callable[..., Html]) -> Callable[..., Html]:
    """What a function draws, with its source named below."""

    @wraps(draw)
    def show(*chosen: str, **named: str) -> Html:
        return draw(*chosen, **named) + NOTICE

    return show


@view
def measurements() -> Html:
    """How many measurements there are."""
    head = ("measured", "measurements", "publications", "of glaze-like glasses", "flagged as wrong")
    rows = []
    for about, said in (*((each, each.quantity) for each in properties()), (LIQUIDUS, "liquidus (not offered)")):
        sample = cleaned(about.name)
        counts = len(sample), len(np.unique(sample.publication)), studio_like(sample).sum(), sample.flagged.sum()
        rows.append((said, *(f"{count:,}" for count in counts)))
    return table(head, rows, "What there is")


@view
def predicted_and_measured(what: str = _FIRST, glasses: str = "like a pottery glaze") -> Html:
    """A cloud of predictions for publications the fit had not seen, and its figures in a sentence."""
    about, done = WHATS[what], appraise(WHATS[what].name)
    chosen = scored(done.sample) & SUBSETS[GLASSES[glasses]](done.sample)
    found, unit = done.figures(chosen), _unit(about)
    words = el(
        "p",
        f"{found.rows:,} measurements of {found.publications:,} publications, nothing left out. On average the guess is off by ",
        el("strong", f"{_number(about, found.mae)} {unit}"),
        f". The 90 % interval is ±{_number(about, found.width)} on average, and holds ",
        el("strong", f"{100 * found.coverage_publications:.0f} %"),
        " of an average publication.",
    )
    return words + _cloud(about, done.sample.values[chosen], done.unseen[chosen], found.width)


@view
def factors(what: str = _FIRST) -> Html:
    """What each oxide adds, how sure that is, and that a fresh fit gives the shipped table."""
    about = SUMS[what]
    shipped, fresh = np.array(factors_of(about.name)), fit_sum(cleaned(about.name)).coefficients
    places = max(0, 4 - len(f"{np.abs(shipped).max():.0f}"))
    rows = [
        (
            OXIDES[row["oxide"]].name,
            f"{old:+.{places}f}",
            f"± {row['standard_error']:.{places}f}",
            f"{new:+.{places}f}",
            f"{row['rows']:,}",
            f"{row['publications']:,}",
        )
        for row, old, new in zip(read_table(about.factor_table), shipped, fresh, strict=True)
    ]
    most = np.abs(shipped - fresh).max()
    head = ("oxide", "in the table", "standard error", "fitted just now", "glasses with it", "publications")
    caption = f"What one whole mole fraction would add [{_unit(about)}]; one mol % adds a hundredth of it"
    off = f"{most:.4f}" if most >= 0.0001 else "less than 0.0001"
    said = f"Largest difference between the table and the fit of just now: {off} {_unit(about)}."
    return table(head, rows, caption) + el("p", said)


@view
def cleaning(omit: str = "gross errors (the course)", weight: str = "three times (the course)") -> Html:
    """Fit the expansion with other measurements left out and another weight; judged by its own choice, and by all rows."""
    sample, far = without_flags(measured("expansion")), OMISSIONS[omit]
    sample = sample if far is None else flag_far(sample, far)
    fit = partial(fit_sum, studio_weight=WEIGHTS[weight])
    errors = np.abs(predict_unseen(sample, fit) - sample.values)
    studio, kept = studio_like(sample), ~sample.flagged
    figures = {
        f"glaze-like, the {(kept & studio).sum():,} kept": errors[kept & studio],
        f"glaze-like, all {studio.sum():,}": errors[studio],
        f"box, the {kept.sum():,} kept": errors[kept],
        f"box, all {len(errors):,}": errors,
    }
    told = ("SiO2", "Al2O3", "B2O3", "Na2O", "K2O", "MgO", "CaO", "ZnO")
    old, new = (dict(zip(MODEL_OXIDES, each, strict=True)) for each in (factors_of("expansion"), fit(sample).coefficients))
    rows = [(OXIDES[oxide].name, f"{old[oxide]:+.2f}", f"{new[oxide]:+.2f}") for oxide in told]
    return (
        el("p", f"Left out: {sample.flagged.sum():,} of {len(errors):,} measurements.")
        + _mean_bars(figures, 3, "mean error on publications never seen [×10⁻⁶ per K]", "Mean errors with this cleaning")
        + table(("oxide", "in the table", "with your choice"), rows, "Factors [×10⁻⁶ per K for a whole mole fraction]")
    )


@view
def trap() -> Html:
    """Looking up similar glasses against adding up oxides, under random rows and under whole publications."""
    sample = cleaned("expansion")
    errors = {
        f"{dealt}: {way}": np.abs(predict_unseen(sample, fit, deal) - sample.values)[~sample.flagged]
        for dealt, deal in (("random rows", deal_rows), ("whole publications", deal_groups))
        for way, fit in (("look up", Neighbours), ("add up", fit_sum))
    }
    return _mean_bars(errors, 2, "mean error of the expansion [×10⁻⁶ per K]", "Random rows against whole publications")


@view
def coverage(what: str = _FIRST) -> Html:
    """Shares of rows and of publications inside an interval, as it grows wider."""
    about, done = WHATS[what], appraise(WHATS[what].name)
    chosen = scored(done.sample)
    errors, group = np.abs(done.errors[chosen]), done.sample.group[chosen]
    widths = np.linspace(0, 2 * np.quantile(errors, 0.95), 41)
    by_rows = np.array([100 * (errors <= width).mean() for width in widths])
    by_group = np.array([100 * covered(errors, width, group) for width in widths])
    tight, honest = (float(np.interp(90, shares, widths)) for shares in (by_rows, by_group))
    words = el(
        "p",
        f"±{_number(about, tight)} {_unit(about)} holds 90 % of the rows, but only ",
        el("strong", f"{np.interp(tight, widths, by_group):.0f} %"),
        " of an average publication. For 90 % of that it takes ",
        el("strong", f"±{_number(about, honest)}"),
        ".",
    )
    lines = (("of the rows", "", by_rows), ("of a publication", "7 5", by_group))
    return words + curves(widths, lines, _unit(about), "Share inside the interval over its half width")


@view
def changes(what: str = _FIRST) -> Html:
    """Mean errors of differences, by how far two glazes are apart, beside the mean error of a value."""
    about, done = WHATS[what], appraise(WHATS[what].name)
    value = done.figures(scored(done.sample)).mae
    rows = [("the value itself", value, _number(about, value, 1))]
    for subset, low, high, pairs in done.changes():
        if subset == "box":
            error = _mean(np.abs(pairs.errors))
            rows.append((f"change, {low} to {high} mol % swapped", error, _number(about, error, 1)))
    return bars(rows, f"mean error [{_unit(about)}]", "Errors of a value and of changes")


@view
def weak_spots(what: str = _FIRST) -> Html:
    """Mean errors by kind of glass; the mark is the whole box."""
    about = WHATS[what]
    figures = {subset: found for subset, kept, found in appraise(about.name).accuracy() if kept == "all"}
    rows = [
        (_KINDS.get(subset, subset), found.mae, f"{_number(about, found.mae)} ({found.publications:,})")
        for subset, found in figures.items()
    ]
    unit = f"mean error [{_unit(about)}] (in so many publications)"
    return bars(rows, unit, "Errors by kind of glass, nothing left out", mark=figures["box"].mae)


@view
def liquidus() -> Html:
    """The model that fails: adding up does not tell where crystals stop growing."""
    sample = cleaned(LIQUIDUS.name)
    said = predict_unseen(sample)
    errors, studio, zinc = np.abs(said - sample.values), studio_like(sample), sample["ZnO"] >= 0.05
    blind = np.abs(sample.values - np.median(sample.values[studio]))
    width = float(np.quantile(errors, 0.9))
    rows = {
        "always say the same number": blind[studio],
        "add up the oxides": errors[studio],
        "the same, zinc from 5 %": errors[zinc],
    }
    return (
        _mean_bars(rows, 0, "mean error of the liquidus, glaze-like glasses [K]", "Errors of the liquidus")
        + el(
            "p", f"Nine in ten errors are smaller than {width:.0f} K: far too much to say whether crystals will grow in a glaze."
        )
        + _cloud(LIQUIDUS, sample.values[studio], said[studio], width)
    )


@view
def old_tables() -> Html:
    """Classic systems on the glasses they cover; the fitted factors on publications they had not seen."""
    done = appraise("expansion")
    chosen = ~done.sample.flagged & studio_like(done.sample)
    found = []
    for system in SYSTEMS:
        said, known = predict_classic(system, done.sample)
        statuses = {row["status"] for row in read_table("classic_factors") if row["system"] == system}
        found.append((system, " and ".join(sorted(statuses)), (said - done.sample.values)[chosen & known]))
    found.append(("fitted here", "fitted", done.errors[chosen]))
    rows = [
        (system, status, f"{len(errors):,}", f"{errors.mean():+.2f}", f"{_mean(np.abs(errors)):.2f}")
        for system, status, errors in found
    ]
    head = ("factors", "status of the numbers", "glaze-like glasses", "too high or low by", "mean error")
    return table(head, rows, "Thermal expansion [×10⁻⁶ per K]")


@view
def accuracy() -> Html:
    """The figures that stand in the README, measured now."""
    rows = []
    for about in properties():
        found = {(subset, kept): each for subset, kept, each in appraise(about.name).accuracy()}
        for subset in ("box", "studio-like"):
            clean, every = found[subset, "clean"], found[subset, "all"]
            errors = (_number(about, clean.mae), _number(about, every.mae), f"±{_number(about, every.width)}")
            name, holds = f"{about.quantity}, {_KINDS[subset]} [{_unit(about)}]", f"{every.coverage_publications * 100:.0f} %"
            rows.append((name, f"{every.publications:,}", *errors, holds))
    head = ("", "publications", "mean error, clean", "nothing left out", "90 % interval", "it holds")
    return table(head, rows, "On publications the fit had never seen")


def _mean_bars(errors: Mapping[str, np.ndarray], places: int, unit: str, title: str) -> Html:
    return bars([(name, _mean(each), f"{_mean(each):.{places}f}") for name, each in errors.items()], unit, title)


def _cloud(about: Property, values: np.ndarray, said: np.ndarray, half_width: float) -> Html:
    return cloud(values + about.offset, said + about.offset, half_width, about.unit)


def _unit(about: Property) -> str:
    """Unit of an error: one of a temperature in °C is in K."""
    return about.fit_unit if about.offset else about.unit


def _number(about: Property, value: float, more: int = 0) -> str:
    return f"{value:.{about.decimals + more}f}"


def _mean(values: np.ndarray) -> float:
    return float(values.mean())
