"""Thermal expansion: every oxide adds its share by moles, and the bars of the lesson are these shares."""

from __future__ import annotations

from dataclasses import dataclass

from glazekit.glass.composition import MODEL_OXIDES, Glaze, composition_of
from glazekit.glass.domain import Seen
from glazekit.glass.sums import ask_sum, factors_of
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one oxide adds to the expansion.

    Parameters
    ----------
    oxide : symbol.
    mol_pct : its share of the glass [mol %].
    factor_1e6_per_k : what a glass of this oxide alone would have, by the fit [1e-6 per K].
    contribution_1e6_per_k : factor x share [1e-6 per K].
    """

    oxide: str
    mol_pct: float
    factor_1e6_per_k: float
    contribution_1e6_per_k: float


def expansion(
    glaze: Glaze, reference: Glaze | None = None, *, include_additions: bool = False, stock: Stock | None = None, seen: Seen = ()
) -> Estimate:
    """Thermal expansion of the cold glass: a = sum of factor(oxide) x share by moles(oxide).

    Parameters
    ----------
    glaze : a Recipe, a UnityFormula, or oxide -> mol % with a sum of 100.
    reference : a glaze you have fired; the estimate then carries the ``change`` against it.
    include_additions : count a recipe's additions too, as if all of them dissolved.
    stock : where materials are looked up; the course's when None.
    seen : what the fired glaze shows: "matte", "opaque", "crystals", "underfired".

    Returns
    -------
    Estimate [1e-6 per K] with its 90 % interval. Outside the measured glasses it has no value; where these are few, or the
    fired glaze is no clear glass, ``in_range`` is False and ``note`` says why.

    Raises GlazekitError as ``composition_of``.

    >>> clear = {"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}
    >>> 5 < expansion(clear).value < 8, expansion(clear, reference=clear).change.value
    (True, 0.0)

    Limits: for clear glass without crystals. It cannot decide crazing; the tile decides.
    Source: factors and intervals fitted to open measurements, data/expansion_factors.csv and data/property_intervals.csv.
    """
    return ask_sum("expansion", glaze, reference, include_additions=include_additions, stock=stock, seen=seen)


def expansion_contributions(
    glaze: Glaze, *, include_additions: bool = False, stock: Stock | None = None
) -> tuple[Contribution, ...]:
    """What each oxide adds, in the order of the data; the rows sum to the expansion exactly.

    Parameters and errors as ``expansion``. Rows are given for glazes outside the measured ones too; there their sum is no
    estimate, so ask ``expansion`` before showing it.

    >>> [row.oxide for row in expansion_contributions({"SiO2": 80, "Na2O": 20})]
    ['SiO2', 'Na2O']
    """
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    return tuple(
        Contribution(oxide, 100 * share, factor, factor * share)
        for oxide, share, factor in zip(MODEL_OXIDES, glass.fractions, factors_of("expansion"), strict=True)
        if share
    )
