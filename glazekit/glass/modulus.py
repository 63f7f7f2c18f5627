"""The elastic modulus: how hard the cold glass is to stretch."""

from __future__ import annotations

from collections.abc import Iterable

from glazekit.glass.additive import AdditiveProperty
from glazekit.glass.composition import Glaze
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock

ELASTIC_MODULUS = AdditiveProperty(
    quantity="elastic modulus",
    unit="GPa",
    basis="Young's modulus at room temperature",
    rule="elastic_modulus",
    table="elastic_modulus_factors",
    column="factor_gpa",
)


def elastic_modulus(
    glaze: Glaze,
    reference: Glaze | None = None,
    *,
    include_additions: bool = False,
    stock: Stock | None = None,
    seen: Iterable[str] = (),
) -> Estimate:
    """Elastic modulus of the cold glass: E = sum of factor(oxide) x share by moles(oxide).

    Parameters, errors and the rule outside the measured glasses as ``expansion``.

    Returns
    -------
    Estimate [GPa] with its 90 % interval.

    >>> 60 < elastic_modulus({"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).value < 90
    True

    Source: factors and intervals fitted to open measurements, data/elastic_modulus_factors.csv.
    """
    return ELASTIC_MODULUS.asked(glaze, reference, include_additions, stock, seen)
