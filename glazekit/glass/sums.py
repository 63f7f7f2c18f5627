"""Properties to which every oxide adds its share by moles: p = offset + sum of factor(oxide) x share(oxide)."""

from __future__ import annotations

from functools import cache

from glazekit.glass.change import with_change
from glazekit.glass.composition import MODEL_OXIDES, Composition, Glaze, composition_of
from glazekit.glass.domain import Seen, reasons_for
from glazekit.glass.properties import interval_rule, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.estimate import Estimate
from glazekit.ground.tables import read_table, sidecar
from glazekit.materials.stock import Stock


@cache
def factors_of(name: str) -> tuple[float, ...]:
    """The fitted factors of a property in the order of ``MODEL_OXIDES``; an oxide without a row in its table adds nothing.

    Raises DataError for a property that is no sum, and for an oxide that no composition holds.
    """
    about = property_named(name)
    if about.model != "sum":
        raise DataError(f"{about.quantity} is not a sum over oxides")
    _, column, *_ = sidecar(about.factor_table)["columns"]  # the oxide, then its factor
    by_oxide = {row["oxide"]: row[column] for row in read_table(about.factor_table)}
    if strange := set(by_oxide) - set(MODEL_OXIDES):
        raise DataError(f"{about.factor_table}.csv has a factor for {', '.join(sorted(strange))}, which no composition holds")
    return tuple(by_oxide.get(oxide, 0.0) for oxide in MODEL_OXIDES)


def sum_value(name: str, glass: Composition) -> float:
    """The property of a composition, without its interval and also outside the data [unit of the property]."""
    shares = zip(factors_of(name), glass.fractions, strict=True)
    return sum([factor * share for factor, share in shares]) + property_named(name).offset


def sum_half_width(name: str, glass: Composition) -> float:
    """Half of the 90 % interval of a sum: max(floor, constant + per_alkali x alkali + per_lime x lime), shares by moles."""
    rule = interval_rule(property_named(name).interval, "absolute")
    grows = rule.get("per_alkali", 0.0) * glass["R2O"] + rule.get("per_lime", 0.0) * glass["CaO"]
    return max(rule.get("floor", 0.0), rule["constant"] + grows)


def sum_of(name: str, glass: Composition, seen: Seen = ()) -> Estimate:
    """The estimate of a property for a composition, without a reference."""
    value, half = sum_value(name, glass), sum_half_width(name, glass)
    return reasons_for(glass, seen).estimate(property_named(name), value, value - half, value + half)


def ask_sum(
    name: str,
    glaze: Glaze,
    reference: Glaze | None = None,
    *,
    include_additions: bool = False,
    stock: Stock | None = None,
    seen: Seen = (),
) -> Estimate:
    """Any property of properties.csv that is a sum, by its name; parameters, errors and limits as ``expansion``.

    >>> ask_sum("elastic_modulus", {"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).unit
    'GPa'
    """
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    mine = sum_of(name, glass, seen)
    if reference is None:
        return mine
    fired = composition_of(reference, include_additions=include_additions, stock=stock)
    return with_change(mine, glass, sum_of(name, fired), fired, property_named(name).interval)
