"""Running: how far a molten coat creeps down a slope over a whole firing, as a class, and when: the hold alone is a trap."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import ceil, isfinite, log10, radians, sin

from glazekit.glass.change import limited_half_width
from glazekit.glass.composition import Composition, Glaze, Reason, composition_of
from glazekit.glass.domain import Reasons, Seen
from glazekit.glass.melt import melt_curve, melt_reasons, not_molten, viscosity_half_width
from glazekit.glass.properties import constant, property_named
from glazekit.ground.errors import RangeError
from glazekit.ground.estimate import RUN_CLASSES, RunClass
from glazekit.ground.numbers import within
from glazekit.materials.stock import Stock

FiringCurve = Sequence[tuple[float, float]]
"""(hours from the start, temperature [°C]) in the order of time; straight lines between."""
STEP_C = 5.0
COLD_C = 600.0
"""Below this nothing moves that could be seen."""
SECONDS_PER_HOUR = 3600
TILE_LENGTH_MM = 100.0


def slope_run(
    glaze: Glaze,
    firing_curve: FiringCurve,
    coat_mm: float,
    angle_deg: float = 45.0,
    length_mm: float = TILE_LENGTH_MM,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> RunClass:
    """How far a coat runs down a tilted tile, as a class: "stays", "moves", "runs" or "runs off".

    A film of even thickness creeps with the mean speed density x gravity x thickness squared x sin(angle) / (3 viscosity). The
    speed is summed over the whole firing, heating and cooling included: most of the run happens there, not in the soak.

    Parameters: firing_curve, (hours, °C) points, at least two, in the order of time; coat_mm, thickness of the molten coat [mm],
    0.05 to 5, less than that of the dry one; angle_deg, tilt of the tile [degrees], 0 to 90 (upright); length_mm, glazed length
    down the slope [mm], 10 to 1000; reference, a glaze whose tile you have fired the same way and just as thick; glaze,
    include_additions, stock, seen, as in ``expansion``.

    Returns a RunClass with the classes at both ends of the 90 % interval of the viscosity, the stiff end lower by what stable
    glazes run less than a film of clear melt (``run_less_factor``); no class while nothing has melted. The ratio to the reference
    tile has an interval of its own. Millimetres are not given: thickness and interval together leave no more than a class.

    Raises RangeError for a curve that goes back in time or a number out of range; other GlazekitErrors as ``composition_of``.

    >>> clear = {"SiO2": 64, "Al2O3": 8, "B2O3": 5, "Na2O": 4, "K2O": 3, "CaO": 16}
    >>> firing = [(0, 20), (10, 1222), (10.2, 1222), (18, 20)]
    >>> slope_run(clear, firing, coat_mm=0.1).name, slope_run(clear, firing, coat_mm=3).name
    ('stays', 'runs off')

    Limits: holds while the run is less than half the glazed length; past it there is no ratio. Bubbles, crystals, and clay
    dissolved from the body are left out: for their sake the stiff end reaches lower.
    Source: the thin-film formula of lubrication theory; viscosity as ``viscosity``; class bounds are practice.
    """
    curve = _checked_curve(firing_curve)
    coat_mm = within(coat_mm, 0.05, 5, "the coat", "mm")
    angle_deg = within(angle_deg, 0, 90, "the angle", "degrees")
    length_mm = within(length_mm, 10, 1000, "the glazed length", "mm")
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    fired = None if reference is None else composition_of(reference, include_additions=include_additions, stock=stock)
    peak_c = max(temp_c for _, temp_c in curve)
    reasons, (source, status) = run_reasons(glass, peak_c, seen), property_named("viscosity").trust
    name_of = "" if fired is None else fired.called
    if reasons.outside:
        return RunClass("", "", "", 1.0, None, False, reasons.words, source, status, name_of, why=reasons.keys)
    low_mm, run_mm, high_mm = (film_run_mm(glass, curve, coat_mm, angle_deg, side=side) for side in (+1, 0, -1))
    low_mm /= constant("run_less_factor")
    notes, keys = [reasons.words] if reasons.words else [], list(reasons.keys)
    ratio = None
    if fired is not None:
        its_reasons = run_reasons(fired, peak_c)
        if its_reasons.outside:
            notes.append(f"no comparison with {name_of}: {its_reasons.words}")
            keys.append("reference_outside")
        else:
            its_run_mm = film_run_mm(fired, curve, coat_mm, angle_deg)
            if max(run_mm, its_run_mm) <= length_mm / 2:
                ratio = _ratio(glass, fired, peak_c, run_mm, its_run_mm)
            else:
                notes.append("no ratio to the reference: past half the glazed length a coat thins and slows down")
                keys.append("past_half_no_ratio")
    # Past half the length the coat runs less than the formula says, but not less than half the length.
    class_known = run_mm <= length_mm / 2 or run_class(length_mm / 2) == RUN_CLASSES[-1]
    if not class_known:
        notes.append("it runs past half the glazed length, where the coat thins and slows down; the grade may be too high")
        keys.append("past_half")
    return RunClass(
        name=run_class(run_mm),
        low_name=run_class(low_mm),
        high_name=run_class(high_mm),
        factor_band=(high_mm / low_mm) ** 0.5 if low_mm else 1.0,
        ratio=ratio,
        in_range=class_known and not reasons.weak,
        note="; ".join(notes),
        source=source,
        status=status,
        reference=name_of,
        why=tuple(keys),
    )


def run_reasons(glass: Composition, peak_c: float, seen: Seen = ()) -> Reasons:
    """What speaks against a class: as for the viscosity; and a coat of which nothing has melted does not run at all."""
    reasons = melt_reasons(glass, peak_c, seen)
    raw = not_molten(glass, peak_c)
    if reasons.outside or not raw:
        return reasons
    if melt_curve(glass).log10_pa_s(peak_c) < constant("melt_unmolten_log10_pa_s"):  # a raw glaze, in part molten
        return replace(reasons, weak=(*raw, *reasons.weak))
    return replace(reasons, outside=tuple(Reason(f"outside_{reason.key}", reason.words) for reason in raw))


@dataclass(frozen=True, slots=True)
class FlowShares:
    """Shares of the whole run, sum 1: while the kiln climbs, from the first to the last moment at the peak, while it cools."""

    before: float
    hold: float
    after: float


def flow_shares(
    glaze: Glaze, firing_curve: FiringCurve, *, include_additions: bool | None = None, stock: Stock | None = None
) -> FlowShares | None:
    """How much of its run a coat does before, in and after the hold.

    share = integral of 1 / viscosity over that part of the firing, divided by that over all of it; coat and slope cancel.

    Parameters as ``slope_run``. Returns None where ``viscosity`` has no number, or nothing melts.

    >>> clear = {"SiO2": 64, "Al2O3": 8, "B2O3": 5, "Na2O": 4, "K2O": 3, "CaO": 16}
    >>> shares = flow_shares(clear, [(0, 20), (12, 1222), (12.2, 1222), (20, 20)])
    >>> shares.before > shares.hold and shares.after > shares.hold
    True

    Limits: a clear melt; a coat that thins on its way does less at the end.
    """
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    peak_c = max(temp_c for _, temp_c in firing_curve)
    if run_reasons(glass, peak_c).outside:
        return None
    at_peak = [i for i, (_, temp_c) in enumerate(firing_curve) if temp_c == peak_c]
    parts = firing_curve[: at_peak[0] + 1], firing_curve[at_peak[0] : at_peak[-1] + 1], firing_curve[at_peak[-1] :]
    runs = [film_run_mm(glass, part, 1.0, 90.0) for part in parts]
    total = sum(runs)
    return FlowShares(*(run / total for run in runs)) if total > 0 else None


def film_run_mm(glass: Composition, curve: FiringCurve, coat_mm: float, angle_deg: float, side: int = 0) -> float:
    """Run of a film over a firing [mm]; for the class, not for a screen. ``side`` +1 or -1 takes the stiff or the thin end of the
    viscosity's 90 % interval."""
    return film_speed_mm_s(0.0, coat_mm, angle_deg) * _flow_hours(glass, tuple(curve), side) * SECONDS_PER_HOUR


@lru_cache(maxsize=64)
def _flow_hours(glass: Composition, curve: tuple[tuple[float, float], ...], side: int) -> float:
    """Fluidity, 1 over viscosity, summed over a firing [h/(Pa.s)]; kept, since coat and slope change oftener than the glaze."""
    melt = melt_curve(glass)

    def fluidity(temp_c: float) -> float:
        return 10 ** -(melt.log10_pa_s(temp_c) + side * viscosity_half_width(glass, temp_c)) if temp_c >= COLD_C else 0.0

    flow_hours = 0.0
    for (start_h, start_c), (end_h, end_c) in pairwise(curve):
        if max(start_c, end_c) < COLD_C or end_h == start_h:
            continue
        steps = max(1, ceil(abs(end_c - start_c) / STEP_C))
        width_h, rise_c = (end_h - start_h) / steps, (end_c - start_c) / steps
        for step in range(steps):  # Simpson's rule: fluidity bends strongly within a step of temperature
            left_c = start_c + step * rise_c
            flow_hours += width_h / 6 * (fluidity(left_c) + 4 * fluidity(left_c + rise_c / 2) + fluidity(left_c + rise_c))
    return flow_hours


def film_speed_mm_s(log10_pa_s: float, coat_mm: float, angle_deg: float) -> float:
    """Mean speed of a film on a slope, density x gravity x thickness squared x sin(angle) / (3 viscosity) [mm/s].

    >>> round(film_speed_mm_s(2.0, 1.0, 90), 3)
    0.082
    """
    thickness_m = coat_mm / 1000
    pull = constant("melt_density_kg_m3") * constant("gravity_m_s2") * sin(radians(angle_deg))
    return 1000 * pull * thickness_m**2 / (3 * 10**log10_pa_s)


def run_class(run_mm: float) -> str:
    """Name of the class a run belongs to.

    >>> [run_class(mm) for mm in (1, 5, 20, 80)]
    ['stays', 'moves', 'runs', 'runs off']
    """
    bounds = (constant("run_moves_mm"), constant("run_runs_mm"), constant("run_off_mm"))
    return RUN_CLASSES[sum(run_mm >= bound for bound in bounds)]


def _ratio(
    glass: Composition, fired: Composition, peak_c: float, run_mm: float, its_run_mm: float
) -> tuple[float, float, float] | None:
    """(low, value, high): the runs' ratio, as wide as the interval of the change of log10(viscosity)."""
    if not its_run_mm or not run_mm:
        return None
    mine, its = viscosity_half_width(glass, peak_c), viscosity_half_width(fired, peak_c)
    half = limited_half_width("viscosity", glass, fired, mine, its)
    value = log10(run_mm / its_run_mm)
    return (10 ** (value - half), 10**value, 10 ** (value + half))


def _checked_curve(curve: FiringCurve) -> tuple[tuple[float, float], ...]:
    points = tuple((float(hours), float(temp_c)) for hours, temp_c in curve)
    if len(points) < 2:
        raise RangeError("a firing curve needs at least two points (hours, °C)")
    for hours, temp_c in points:
        if not isfinite(hours):
            raise RangeError("a time in the firing curve is not a finite number")
        within(temp_c, -50, 1500, "a temperature in the firing curve", "°C")
    for (before_h, _), (after_h, _) in pairwise(points):
        if after_h < before_h:
            raise RangeError(f"the firing curve goes back in time, from {before_h:g} h to {after_h:g} h")
    return points
