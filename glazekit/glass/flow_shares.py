"""When a coat creeps: the share of its run before, in and after the hold at the peak. The hold alone is a trap."""

from __future__ import annotations

from dataclasses import dataclass

from glazekit.glass.composition import Glaze, composition_of
from glazekit.glass.melt_range import melt_reasons
from glazekit.glass.run import FiringCurve, film_run_mm
from glazekit.materials.stock import Stock


@dataclass(frozen=True, slots=True)
class FlowShares:
    """Shares of the whole run, 0 to 1, sum 1.

    Parameters
    ----------
    before : while the kiln climbs.
    hold : from the first to the last moment at the peak.
    after : while it cools.
    """

    before: float
    hold: float
    after: float


def flow_shares(glaze: Glaze, firing_curve: FiringCurve, *, stock: Stock | None = None) -> FlowShares | None:
    """How much of its run a coat does before, in and after the hold.

    share = integral of 1 / viscosity over that part of the firing, divided by that over all of it; coat and slope cancel.

    Parameters
    ----------
    glaze : as in ``slope_run``.
    firing_curve : (hours, °C) points, in the order of time.
    stock : where a recipe's materials are looked up; the course's when None.

    Returns None where ``viscosity`` has no number, or nothing melts.

    >>> clear = {"SiO2": 64, "Al2O3": 8, "B2O3": 5, "Na2O": 4, "K2O": 3, "CaO": 16}
    >>> shares = flow_shares(clear, [(0, 20), (12, 1222), (12.2, 1222), (20, 20)])
    >>> shares.before > shares.hold and shares.after > shares.hold
    True

    Limits: a clear melt; a coat that thins on its way does less at the end.
    """
    glass = composition_of(glaze, stock=stock)
    peak_c = max(temp_c for _, temp_c in firing_curve)
    if melt_reasons(glass, peak_c).outside:
        return None
    at_peak = [i for i, (_, temp_c) in enumerate(firing_curve) if temp_c == peak_c]
    parts = firing_curve[: at_peak[0] + 1], firing_curve[at_peak[0] : at_peak[-1] + 1], firing_curve[at_peak[-1] :]
    runs = [film_run_mm(glass, part, 1.0, 90.0) for part in parts]
    total = sum(runs)
    return FlowShares(*(run / total for run in runs)) if total > 0 else None
