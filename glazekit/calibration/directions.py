"""What a direction is worth beyond the box, and from which viscosity on a glaze still holds crystals.

No measured glass of data/open_glass lies outside the box. So it is drawn smaller at one border, the models are fitted again to
what is left without a fifth of the publications, and asked about pairs of those publications of which one glass lies beyond the
smaller box. A direction counts when it is larger than the interval of a change, as it must be to be shown.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from glazekit.calibration.appraisal import appraise, cleaned, predict_unseen
from glazekit.calibration.intervals import Pairs, change_half_widths, pairs_of
from glazekit.calibration.measurements import LIQUIDUS, Measurements, group_sizes, mean_over_groups, measured, studio_like
from glazekit.glass.change import SLACK
from glazekit.glass.composition import Composition
from glazekit.glass.domain import box
from glazekit.glass.melt import melt_curve
from glazekit.glass.properties import constant, properties
from glazekit.ground.numbers import KELVIN

BORDERS = (
    *(("Al2O3", "more", 12.0), ("ZnO", "more", 12.0), ("Li2O", "more", 8.0), ("CaO", "more", 20.0), ("B2O3", "more", 14.0)),
    *(("MgO", "more", 14.0), ("K2O", "more", 10.0), ("SiO2", "less", 52.0), (SLACK, "less", 5.0)),
)
"""What is drawn smaller, on which side, and to where [mol %]."""
SAME_LOG10 = 0.02
"""Viscosities nearer to each other were looked up at one viscosity: between them no change was measured."""
MOLTEN_LEVEL = 0.95


@dataclass(frozen=True, slots=True)
class Beyond:
    """One property beyond one border, drawn at ``inner_mol_pct`` and tried as far as ``reach_mol_pct`` beyond; ``pairs`` with a
    direction larger than its interval."""

    name: str
    what: str
    side: str
    inner_mol_pct: float
    reach_mol_pct: float
    pairs: Pairs

    @property
    def publications(self) -> int:
        """Groups of publications that had a clear direction."""
        return len(np.unique(self.pairs.group))

    @property
    def right_pct(self) -> float | None:
        """How often the direction was right in an average group [%]; None when there was none."""
        right = np.sign(self.pairs.said) == np.sign(self.pairs.measured)
        return 100 * mean_over_groups(right.astype(float), self.pairs.group) if len(right) else None


def share_of(sample: Measurements, what: str) -> np.ndarray:
    """Share of an oxide, or fluxes in excess of alumina."""
    return np.asarray(sample["R2O"] + sample["RO"] - sample["Al2O3"] if what == SLACK else sample[what])


@cache
def beyond(name: str, what: str, side: str, inner_mol_pct: float) -> Beyond:
    """Directions of a property beyond a smaller box, of publications that the fit had never seen."""
    sample, wall = cleaned(name), inner_mol_pct / 100
    share = share_of(sample, what)
    out = share < wall if side == "less" else share > wall
    said = predict_unseen(sample, hidden=out)
    found, passed = pairs_of(sample, said), pairs_of(sample, out.astype(float)).said != 0  # both draw the same pairs
    measurable = np.abs(found.measured) > (SAME_LOG10 if sample.is_melt else 0.0)
    clear = np.abs(found.said) > change_half_widths(appraise(name).change, found.swapped)
    return Beyond(name, what, side, inner_mol_pct, _reach(what, side, inner_mol_pct), found.where(passed & measurable & clear))


def _reach(what: str, side: str, inner_mol_pct: float) -> float:
    if what == SLACK:
        return inner_mol_pct
    edge = next(edge for edge in box() if edge.what == what)
    return round(abs(100 * (edge.low if side == "less" else edge.high) - inner_mol_pct), 3)


def records(names: tuple[str, ...] = ()) -> Iterator[Beyond]:
    """Every border for every property, or for those named; that of the slack is the viscosity's alone."""
    for about in properties():
        for what, side, inner in BORDERS:
            if (not names or about.name in names) and (what != SLACK or about.model == "melt"):
                yield beyond(about.name, what, side, inner)


def molten_limit() -> float:
    """log10(viscosity / Pa.s) below which 95 % of an average publication's studio-like glasses are at their measured liquidus."""
    sample = measured(LIQUIDUS.name)
    sample = sample.where(studio_like(sample))
    stiff = [
        melt_curve(Composition("", tuple(shares))).log10_pa_s(at_k - KELVIN)
        for shares, at_k in zip(sample.shares.tolist(), sample.values.tolist(), strict=True)
    ]
    order = np.argsort(stiff)
    weights = (1 / group_sizes(sample.group))[order]
    at = np.searchsorted(np.cumsum(weights) / weights.sum(), MOLTEN_LEVEL)
    return float(np.asarray(stiff)[order][at])


def direction_lines() -> Iterator[str]:
    """The records for a person at a terminal."""
    yield ""
    yield "Directions beyond the box, drawn smaller for the test: how often right in an average unseen publication"
    yield f"  {'property':20}{'border':26}{'pairs':>7}{'public.':>9}{'right':>8}"
    for found in records():
        right = "" if found.right_pct is None else f"{found.right_pct:.1f} %"
        border = f"{found.what} {found.side} than {found.inner_mol_pct:g} mol %"
        yield f"  {found.name:20}{border:26}{len(found.pairs.said):7d}{found.publications:9d}{right:>8}"
    shown = constant("melt_unmolten_log10_pa_s")
    yield f"At the measured liquidus {100 * MOLTEN_LEVEL:g} % of studio-like glasses are thinner than 10^{molten_limit():.2f}"
    yield f"  used: 10^{shown:g} Pa.s"
