"""Where the viscosity model may speak, beyond the box of the measured glasses, and how wide its interval is."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from glazekit.glass.composition import MODEL_OXIDES, Composition
from glazekit.glass.constants import constant
from glazekit.glass.domain import Reasons, reasons_for
from glazekit.glass.factors import interval_numbers

_IRON = MODEL_OXIDES.index("Fe2O3")


def melt_reasons(glass: Composition, temp_c: float, seen: Iterable[str] = ()) -> Reasons:
    """What speaks against believing the viscosity of this melt at a temperature [°C].

    No number: outside the box; fluxes (lithia to baria, zinc) hardly more than alumina; no alkali and little silica; hotter than
    the measurements. Grey: iron from 1 mol %, whose state the data do not tell; colder than the interval was made for.
    """
    reasons = reasons_for(glass, seen)
    alkali, alumina, silica = glass.alkali, glass.fractions[1], glass.fractions[0]
    slack = alkali + glass.earths - alumina
    slack_min, alkali_free, silica_min, iron_from, cold, hot = _limits()
    outside, weak = reasons.outside, reasons.weak
    if slack < slack_min:
        outside = (
            *outside,
            f"fluxes less alumina {100 * slack:.2g} mol % is under {100 * slack_min:g} mol %: such melts are "
            "mostly stiffer than the model says",
        )
    if alkali < alkali_free and silica < silica_min:
        outside = (*outside, f"no alkali and less than {100 * silica_min:g} mol % silica: hardly measured")
    if temp_c > hot:
        outside = (*outside, f"{temp_c:.0f} °C is hotter than the measurements, which end at {hot:g} °C")
    if glass.fractions[_IRON] >= iron_from:
        weak = (
            *weak,
            f"iron oxide {100 * glass.fractions[_IRON]:.2g} mol %: the data do not tell its state, so the interval is wider",
        )
    if temp_c < cold:
        weak = (*weak, f"the interval was made for {cold:g} °C and more; at {temp_c:.0f} °C it holds less often than it says")
    return reasons if outside is reasons.outside and weak is reasons.weak else Reasons(outside, weak, reasons.notes)


def viscosity_half_width(glass: Composition, temp_c: float) -> float:
    """Half of the 90 % interval of log10(viscosity): constant + slope x steps, times a factor for iron.

    Steps are hundreds of kelvin below 1200 °C, held inside the range in which they were measured.
    """
    at_1200, per_step, steps_min, steps_max, iron_factor = _widths()
    half = at_1200 + per_step * min(max((1200 - temp_c) / 100, steps_min), steps_max)
    return half * iron_factor if glass.fractions[_IRON] >= _limits()[3] else half


@cache
def _limits() -> tuple[float, ...]:
    names = ("melt_slack_min", "melt_alkali_free", "melt_silica_min", "melt_iron_from", "melt_cold_c", "melt_hot_c")
    return tuple(constant(name) for name in names)


@cache
def _widths() -> tuple[float, ...]:
    numbers = interval_numbers("viscosity", "absolute")
    return tuple(numbers[name] for name in ("constant", "per_100_k_colder", "steps_min", "steps_max", "iron_factor"))
