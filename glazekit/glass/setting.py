"""When the cooling glass sets and begins to pull on the body, and how hard it is then to stretch: what the fit needs besides."""

from __future__ import annotations

from glazekit.glass.composition import Glaze
from glazekit.glass.domain import Seen
from glazekit.glass.sums import ask_sum
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock


def glass_transition(
    glaze: Glaze, reference: Glaze | None = None, *, include_additions: bool = False, stock: Stock | None = None, seen: Seen = ()
) -> Estimate:
    """Glass transition temperature: T = sum of factor(oxide) x share by moles(oxide), in kelvin, less 273.15.

    Parameters, errors and the rule outside the measured glasses as ``expansion``.

    Returns
    -------
    Estimate [°C] with its 90 % interval.

    >>> 450 < glass_transition({"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).value < 800
    True

    Limits: the viscosity model's own temperature of setting may differ from it by 30 °C.
    Source: factors and intervals fitted to open measurements, data/glass_transition_factors.csv.
    """
    return ask_sum("glass_transition", glaze, reference, include_additions=include_additions, stock=stock, seen=seen)


def elastic_modulus(
    glaze: Glaze, reference: Glaze | None = None, *, include_additions: bool = False, stock: Stock | None = None, seen: Seen = ()
) -> Estimate:
    """Elastic modulus (the stiffness of the fired glass): E = sum of factor(oxide) x share by moles(oxide).

    Parameters, errors and the rule outside the measured glasses as ``expansion``.

    Returns
    -------
    Estimate [GPa] with its 90 % interval.

    >>> 60 < elastic_modulus({"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).value < 90
    True

    Source: factors and intervals fitted to open measurements, data/elastic_modulus_factors.csv.
    """
    return ask_sum("elastic_modulus", glaze, reference, include_additions=include_additions, stock=stock, seen=seen)
