"""Viscosity: how stiff the molten glaze is at a temperature, from log10(viscosity) = A + B / (T - C)."""

from dataclasses import dataclass, replace
from functools import cache
from math import prod

from glazekit.glass.change import with_change
from glazekit.glass.composition import MODEL_OXIDES, SUMS, Composition, Glaze, Reason, composition_of
from glazekit.glass.domain import Reasons, Seen, reasons_for, unmeasured
from glazekit.glass.properties import constant, interval_rule, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.estimate import Estimate
from glazekit.ground.numbers import KELVIN, within
from glazekit.ground.tables import read_table
from glazekit.materials.stock import Stock

TEMP_MAX_C = 1500.0
RELATIVES = {"SnO2": ("ZrO2", 1.0), "MnO": ("Fe2O3", 0.5)}
"""Too little of them in the data for coefficients of their own: tin counts as zirconia, manganese as half an iron oxide."""
Term = tuple[float, tuple[str, ...]]
"""A coefficient [log10(Pa.s)] in A, [K] in B and C, and the oxides or ``SUMS`` whose shares it is multiplied with; none in A."""


@dataclass(frozen=True, slots=True)
class MeltCurve:
    """log10(viscosity) of one glaze over temperature: A + B / (T - C).

    ``a`` is in log10(Pa.s), ``b`` and ``c`` in K, inside guards that keep the curve falling with temperature for every glaze.

    Limits: b and c have large errors that cancel; never read one without the other.
    """

    a: float
    b: float
    c: float

    def log10_pa_s(self, temp_c: float) -> float:
        """Viscosity at a temperature [log10(Pa.s)], without the cap; infinite at and below ``c``."""
        above_k = temp_c + KELVIN - self.c
        return self.a + self.b / above_k if above_k > 0 else float("inf")

    def temp_c(self, log10_pa_s: float) -> float:
        """Temperature of a viscosity [°C]; ``log10_pa_s`` must be more than ``a``."""
        return self.c + self.b / (log10_pa_s - self.a) - KELVIN


@cache
def melt_terms() -> tuple[tuple[Term, ...], ...]:
    """The terms of A, of B and of C in data/viscosity_coefficients.csv; raises DataError for one that no composition holds."""
    found: dict[str, list[Term]] = {"A": [], "B": [], "C": []}
    for row in read_table("viscosity_coefficients"):
        parts = () if row["term"] == "1" else tuple(row["term"].split("*"))
        if not set(parts) <= {*MODEL_OXIDES, *SUMS}:
            raise DataError(f"viscosity_coefficients.csv has a term no composition holds: {row['term']}")
        found[row["block"]].append((row["coefficient"], parts))
        kin = ((part * row["coefficient"], (oxide,)) for oxide, (own, part) in RELATIVES.items() if parts == (own,))
        found[row["block"]].extend(kin)
    return tuple(map(tuple, found.values()))


def melt_curve(glass: Composition) -> MeltCurve:
    """The curve of a composition: B and C are sums over oxides and four products of oxides, inside their guards."""
    shares = glass.shares()
    a, b, c = (sum([number * prod([shares[part] for part in parts]) for number, parts in terms]) for terms in melt_terms())
    held_c = min(max(c, constant("vft_c_min")), constant("vft_c_max"))
    return MeltCurve(a, max(b, constant("vft_b_min")), held_c)


def melt_reasons(glass: Composition, temp_c: float, seen: Seen = ()) -> Reasons:
    """What speaks against believing the viscosity of this melt at a temperature [°C]. No number: outside the box; fluxes (lithia
    to baria, zinc) hardly more than alumina; no alkali and little silica; hotter than the measurements. Grey: iron from 1 mol %,
    whose state the data do not tell; colder than the interval was made for."""
    reasons = reasons_for(glass, seen)
    if unmeasured(glass):
        return reasons
    outside, weak, shares = list(reasons.outside), list(reasons.weak), glass.shares()
    spare, least_spare = round(shares["R2O+RO"] - shares["Al2O3"], 6) + 0.0, constant("melt_slack_min")
    if spare < least_spare:
        said = f"fluxes less alumina {100 * spare:.3g} mol % is under {100 * least_spare:g} mol %"
        outside.append(Reason("outside_slack_less", f"{said}: such melts are mostly stiffer than the model says"))
    least_silica, hot, cold = constant("melt_silica_min"), constant("melt_hot_c"), constant("melt_cold_c")
    if shares["R2O"] < constant("melt_alkali_free") and shares["SiO2"] < least_silica:
        said = f"no alkali and less than {100 * least_silica:g} mol % silica: hardly measured"
        outside.append(Reason("outside_no_alkali", said))
    if temp_c > hot:
        said = f"{temp_c:.0f} °C is hotter than the measurements, which end at {hot:g} °C"
        outside.append(Reason("outside_hot", said))
    if holds_iron(glass):
        said = f"iron oxide {100 * shares['Fe2O3']:.2g} mol %"
        weak.append(Reason("iron_state", f"{said}: the data do not tell its state, so the interval is wider"))
    if temp_c < cold:
        said = f"the interval was made for {cold:g} °C and more; at {temp_c:.0f} °C it holds less often than it says"
        weak.append(Reason("cold", said))
    return Reasons(tuple(outside), tuple(weak), reasons.notes)


def not_molten(glass: Composition, temp_c: float) -> tuple[Reason, ...]:
    """Why a glaze of raw powders has not melted yet at a temperature [°C]; nothing where it may have, or lies beyond the box.

    With boron: at the temperature below which crystals can last, 95 % of an average publication's glazes are thinner than
    ``melt_unmolten_log10_pa_s``; one that would be stiffer still holds crystals, or its powders. Without boron the border is
    ``melt_raw_log10_pa_s``: a cone of such powders that bends is no clear glass, and is as stiff as that within the interval.

    Limits: a frit is glass before it is fired, and a glaze of frit alone softens earlier than this says.
    Source: measured liquidus temperatures of data/open_glass, and cone formulas of 1886, beside the fitted viscosity.
    """
    if reasons_for(glass).outside:
        return ()
    raw, stiff = glass["B2O3"] < constant("melt_raw_boron"), melt_curve(glass).log10_pa_s(temp_c)
    most = constant("melt_raw_log10_pa_s" if raw else "melt_unmolten_log10_pa_s")
    if stiff < most:
        return ()
    how = f": as a melt it would have 10^{stiff:.1f} Pa.s" if stiff < constant("rigid_log10_pa_s") else ": it is rigid"
    how = "" if melt_reasons(glass, temp_c).outside else how  # no number where the viscosity has none
    what = "a glaze without boron may be no more molten than a cone that bends" if raw else "measured glazes still hold crystals"
    said = f"at {temp_c:.0f} °C it has not melted through{how}, and from 10^{most:g} Pa.s on {what}"
    return (Reason("not_molten", said),)


def viscosity_half_width(glass: Composition, temp_c: float) -> float:
    """Half of the 90 % interval of log10(viscosity): constant + slope x steps, times a factor for iron. Steps are hundreds of
    kelvin below 1200 °C, held inside the range in which they were measured."""
    rule = interval_rule("viscosity", "absolute")
    steps = min(max((1200 - temp_c) / 100, rule["steps_min"]), rule["steps_max"])
    half = rule["constant"] + rule["per_100_k_colder"] * steps
    return half * rule["iron_factor"] if holds_iron(glass) else half


def holds_iron(glass: Composition) -> bool:
    """So much iron that its state matters, which the data do not tell?"""
    return glass["Fe2O3"] >= constant("melt_iron_from")


def viscosity(
    glaze: Glaze,
    temp_c: float,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> Estimate:
    """Viscosity of the melt: log10(viscosity / Pa.s) = A + B / (T - C), B and C from the composition.

    Parameters: temp_c, temperature of the melt [°C], 0 to 1500; all others as in ``expansion``.

    Returns an Estimate [log10(Pa.s)]: one step more is ten times as stiff. From 13 on it says 13, "rigid". It has no value
    outside the measured glasses, above 1400 °C, for melts with less than 5 mol % of fluxes in excess of alumina, and for melts
    without alkali and with little silica. With iron from 1 mol % the interval is wider and ``in_range`` is False; so it is where
    the glaze has not melted yet.

    Raises RangeError for a temperature outside 0 to 1500 °C; other GlazekitErrors as ``composition_of``.

    >>> clear = {"SiO2": 64, "Al2O3": 8, "B2O3": 5, "Na2O": 4, "K2O": 3, "CaO": 16}
    >>> viscosity(clear, 1222).value < viscosity(clear, 1100).value
    True

    Limits: a clear melt without bubbles or crystals, iron as found in air.
    Source: coefficients and intervals fitted to open measurements, data/viscosity_coefficients.csv.
    """
    temp_c = within(temp_c, 0, TEMP_MAX_C, "the temperature", "°C")
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    mine = viscosity_of(glass, temp_c, seen)
    if reference is None:
        return mine
    fired = composition_of(reference, include_additions=include_additions, stock=stock)
    its = viscosity_of(fired, temp_c)
    if mine.value is not None and its.value is not None and max(mine.value, its.value) >= constant("rigid_log10_pa_s"):
        return replace(mine, note="; ".join(filter(None, (mine.note, "no comparison: at least one of the two is rigid"))))
    return with_change(mine, glass, its, fired, "viscosity", lambda each: melt_curve(each).log10_pa_s(temp_c))


def viscosity_of(glass: Composition, temp_c: float, seen: Seen = ()) -> Estimate:
    """Viscosity of a composition at a temperature, without a reference."""
    cap, raw, half = constant("rigid_log10_pa_s"), melt_curve(glass).log10_pa_s(temp_c), viscosity_half_width(glass, temp_c)
    value, low, high, note = min(raw, cap), min(raw - half, cap), min(raw + half, cap), ""
    about, reasons = property_named("viscosity"), melt_reasons(glass, temp_c, seen)
    if not reasons.outside:
        reasons = replace(reasons, weak=(*not_molten(glass, temp_c), *reasons.weak))
    if raw >= cap and not reasons.outside:
        low, note = min(low, cap - half), f"{cap:g} or more: rigid"
    return reasons.estimate(about, value, low, high, quantity=f"viscosity at {temp_c:g} °C", note=note)


def temp_of_viscosity(
    glaze: Glaze, log10_pa_s: float, *, include_additions: bool | None = None, stock: Stock | None = None, seen: Seen = ()
) -> Estimate:
    """Temperature at which the melt has a viscosity: T = C + B / (log10(viscosity) - A).

    Parameters: log10_pa_s, viscosity [log10(Pa.s)], 1 to 7: where it was measured; all others as in ``expansion``.

    Returns an Estimate [°C]; its interval ends where that of the viscosity meets ``log10_pa_s``. No value where that has none.

    Raises RangeError for a viscosity outside 1 to 7; other GlazekitErrors as ``composition_of``.

    >>> clear = {"SiO2": 64, "Al2O3": 8, "B2O3": 5, "Na2O": 4, "K2O": 3, "CaO": 16}
    >>> temp_of_viscosity(clear, 4).value < temp_of_viscosity(clear, 3).value
    True

    Limits and source as ``viscosity``.
    """
    about = property_named("viscosity")
    wanted = within(log10_pa_s, 1, 7, "the viscosity", about.unit)
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    curve = melt_curve(glass)
    temp_c = curve.temp_c(wanted)
    low, high = (_temp_of_edge(glass, curve, wanted, side) for side in (-1, +1))
    quantity = f"temperature at a viscosity of {wanted:g} {about.unit}"
    return melt_reasons(glass, temp_c, seen).estimate(about, temp_c, low, high, quantity=quantity, unit="°C")


def _temp_of_edge(glass: Composition, curve: MeltCurve, wanted: float, side: int) -> float:
    """Temperature at which one edge of the viscosity's interval meets a viscosity, by halving [°C]."""
    cold, hot = curve.c - KELVIN, TEMP_MAX_C + 500
    while hot - cold > 0.01:
        middle = (cold + hot) / 2
        if curve.log10_pa_s(middle) + side * viscosity_half_width(glass, middle) > wanted:
            cold = middle
        else:
            hot = middle
    return hot
