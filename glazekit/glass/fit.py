"""Fit: does the body pull its glaze once both are cold? A chance, because the numbers are not sharp enough for a verdict."""

from functools import partial
from math import erf, hypot, sqrt

from glazekit.glass.composition import Glaze, composition_of
from glazekit.glass.domain import Seen
from glazekit.glass.properties import constant, constant_half_width, constant_status, most_sure, property_named
from glazekit.glass.sums import ask_sum
from glazekit.ground.estimate import LEVEL, Estimate, FitChance
from glazekit.ground.numbers import ROOM_C, within
from glazekit.materials.stock import Stock

SIGMAS_90 = 1.6448536269514722
"""A 90 % interval of the normal distribution reaches this many standard deviations to each side."""


def fit_chance(
    glaze: Glaze,
    body_expansion_1e6_per_k: float,
    body_half_width_1e6_per_k: float,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> FitChance:
    """Chance that the cold glaze is pulled by its body, and how hard.

    stress = E (a_glaze - a_body) (T_set - 20 °C) / (1 - nu), pull positive. E, T_set and 1 - nu are always positive, so
    the sign is that of the difference in expansion alone, and with normal errors the chance of a pull is exactly
    Phi((a_glaze - a_body) / sqrt(s_glaze^2 + s_body^2)), s = half width / 1.645: no sampling is needed. The interval of the
    stress takes the exact variance of a product of independent numbers.

    Parameters: body_expansion_1e6_per_k, of your fired body over the same range of temperature [1e-6 per K], 0 to 20;
    body_half_width_1e6_per_k, half of its 90 % interval [1e-6 per K], 0 to 10, where 0.25 is a measured body; reference, a glaze
    you have fired on this body; glaze, include_additions, stock, seen, as in ``expansion``.

    Returns a FitChance: chance of a pull and of too much squeeze, stress [MPa] with its interval, and, with a reference, the
    chance to be pulled less than it. No chance is surer than the held-out publications allow, ``most_sure``.

    Raises RangeError for a number out of range; other GlazekitErrors as ``composition_of``.

    >>> clear = {"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}
    >>> fit_chance(clear, 5.0, 0.25).tension_chance > fit_chance(clear, 8.0, 0.25).tension_chance
    True

    Limits: a thin glaze on a thick body that does not give. Moisture that makes the body grow, the layer between glaze and body,
    and the relaxing of the stress above the set point are left out.
    Source: expansion, elastic modulus and glass transition as their own functions; Poisson's ratio from memory.
    """
    unit = property_named("expansion").unit
    body_expansion_1e6_per_k = within(body_expansion_1e6_per_k, 0, 20, "the body's expansion", unit)
    body_half_width_1e6_per_k = within(body_half_width_1e6_per_k, 0, 10, "the half width of the body's expansion", unit)
    ask = partial(ask_sum, include_additions=include_additions, stock=stock)
    alpha = ask("expansion", glaze, reference, seen=seen)
    modulus, setting = ask("elastic_modulus", glaze), ask("glass_transition", glaze)
    chance = closer = squeeze = None
    most = most_sure("expansion")
    if alpha.value is not None and alpha.half_width is not None:
        spread = hypot(alpha.half_width, body_half_width_1e6_per_k)
        chance = _held(1 - chance_below(body_expansion_1e6_per_k, alpha.value, spread), most)
        flakes_below = body_expansion_1e6_per_k - constant("squeeze_much_1e6_per_k")
        squeeze = _held(chance_below(flakes_below, alpha.value, spread), most)
    if alpha.change is not None:
        closer = _held(chance_below(0.0, alpha.change.value, alpha.change.high - alpha.change.value), most)
    name = "" if reference is None else composition_of(reference, stock=stock).called
    stress = _stress(alpha, modulus, setting, body_expansion_1e6_per_k, body_half_width_1e6_per_k)
    told = alpha.in_range, alpha.note, alpha.source, alpha.status
    return FitChance(chance, stress, closer, *told, name, squeeze, most, alpha.why)


def _held(chance: float, most: float) -> float:
    """A chance, no surer than ``most`` either way."""
    return min(max(chance, 1 - most), most)


def chance_below(limit: float, value: float, half_width: float) -> float:
    """Chance that a number known as ``value`` with a 90 % half width lies below a limit, by the normal distribution [0 to 1].

    >>> chance_below(5.0, 5.0, 1.0), round(chance_below(6.0, 5.0, 1.0), 2)
    (0.5, 0.95)
    """
    if not half_width:
        return 0.5 if value == limit else float(value < limit)
    return 0.5 * (1 + erf((limit - value) / half_width * SIGMAS_90 / sqrt(2)))


def _stress(alpha: Estimate, modulus: Estimate, setting: Estimate, body: float, body_half_width: float) -> Estimate:
    """E (a_glaze - a_body) (T_set - 20) / (1 - nu) [MPa] and its 90 % interval."""
    value = low = high = None
    if alpha.value is not None and modulus.value is not None and setting.value is not None:
        poisson, poisson_half = constant("poisson_ratio"), constant_half_width("poisson_ratio")
        value, half = _product(
            (alpha.value - body, hypot(alpha.half_width or 0.0, body_half_width)),
            (modulus.value, modulus.half_width or 0.0),
            (setting.value - ROOM_C, setting.half_width or 0.0),
            (1 / (1 - poisson), poisson_half / (1 - poisson) ** 2),
        )
        low, high = value - half, value + half
    note = "; ".join(filter(None, (alpha.note, f"Poisson's ratio is from {constant_status('poisson_ratio')}")))
    quantity, basis = "stress in the cold glaze", "pull more than 0, squeeze less than 0"
    return Estimate(quantity, value, low, high, "MPa", basis, alpha.source, alpha.status, LEVEL, alpha.in_range, note)


def _product(*parts: tuple[float, float]) -> tuple[float, float]:
    """Product of independent numbers (value, half width) and its half width, with 1e-6 per K x GPa x K = 1e-3 MPa.

    variance = product of (value^2 + s^2) - product of value^2
    """
    value = square = 1.0
    for number, half in parts:
        value *= number
        square *= number**2 + (half / SIGMAS_90) ** 2
    return value / 1000, SIGMAS_90 * sqrt(max(square - value**2, 0.0)) / 1000
