"""Where the viscosity model may speak, beyond the box of the measured glasses, and how wide its interval is."""

from __future__ import annotations

from glazekit.glass.composition import Composition
from glazekit.glass.constants import constant
from glazekit.glass.domain import Reasons, Seen, reasons_for
from glazekit.glass.properties import interval_rule


def melt_reasons(glass: Composition, temp_c: float, seen: Seen = ()) -> Reasons:
    """What speaks against believing the viscosity of this melt at a temperature [°C].

    No number: outside the box; fluxes (lithia to baria, zinc) hardly more than alumina; no alkali and little silica; hotter than
    the measurements. Grey: iron from 1 mol %, whose state the data do not tell; colder than the interval was made for.
    """
    reasons = reasons_for(glass, seen)
    outside, weak, shares = list(reasons.outside), list(reasons.weak), glass.shares()
    spare, least_spare = shares["R2O+RO"] - shares["Al2O3"], constant("melt_slack_min")
    if spare < least_spare:
        said = f"fluxes less alumina {100 * spare:.2g} mol % is under {100 * least_spare:g} mol %"
        outside.append(f"{said}: such melts are mostly stiffer than the model says")
    least_silica, hot, cold = constant("melt_silica_min"), constant("melt_hot_c"), constant("melt_cold_c")
    if shares["R2O"] < constant("melt_alkali_free") and shares["SiO2"] < least_silica:
        outside.append(f"no alkali and less than {100 * least_silica:g} mol % silica: hardly measured")
    if temp_c > hot:
        outside.append(f"{temp_c:.0f} °C is hotter than the measurements, which end at {hot:g} °C")
    if holds_iron(glass):
        said = f"iron oxide {100 * shares['Fe2O3']:.2g} mol %"
        weak.append(f"{said}: the data do not tell its state, so the interval is wider")
    if temp_c < cold:
        weak.append(f"the interval was made for {cold:g} °C and more; at {temp_c:.0f} °C it holds less often than it says")
    return Reasons(tuple(outside), tuple(weak), reasons.notes)


def viscosity_half_width(glass: Composition, temp_c: float) -> float:
    """Half of the 90 % interval of log10(viscosity): constant + slope x steps, times a factor for iron.

    Steps are hundreds of kelvin below 1200 °C, held inside the range in which they were measured.
    """
    rule = interval_rule("viscosity", "absolute")
    steps = min(max((1200 - temp_c) / 100, rule["steps_min"]), rule["steps_max"])
    half = rule["constant"] + rule["per_100_k_colder"] * steps
    return half * rule["iron_factor"] if holds_iron(glass) else half


def holds_iron(glass: Composition) -> bool:
    """So much iron that its state matters, which the data do not tell?"""
    return glass["Fe2O3"] >= constant("melt_iron_from")
