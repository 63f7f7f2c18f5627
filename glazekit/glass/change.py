"""A change against a reference glaze: better known than either glaze alone, because laboratories' errors are shared."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from glazekit.glass.composition import Composition
from glazekit.glass.properties import interval_rule
from glazekit.ground.estimate import Change, Estimate

SAME_MOL_PCT = 0.005
"""Glazes closer than this are one glaze."""


def limited_half_width(rule: str, glass: Composition, reference: Composition, mine: float, its: float) -> float:
    """Half of the 90 % interval of a difference between two glazes: max(floor, constant + slope x mol % swapped).

    Measured on pairs of glasses inside publications the fit had never seen; ``rule`` is a property of property_intervals.csv.
    Never wider than two separate half widths give, hypot(mine, its); 0 for one and the same glaze.
    """
    numbers, swapped = interval_rule(rule, "change"), glass.swapped_mol_pct(reference)
    half = max(numbers["floor"], numbers["constant"] + numbers["per_mol_pct_swapped"] * swapped)
    return min(half, hypot(mine, its)) if swapped >= SAME_MOL_PCT else 0.0


def with_change(mine: Estimate, glass: Composition, its: Estimate, reference: Composition, rule: str) -> Estimate:
    """An estimate that also carries the change from a reference glaze; without one where either has no number.

    ``mine``, ``its`` : the estimates of the glaze and of the reference. ``rule`` : as in ``limited_half_width``.
    """
    name, trust = reference.called, (mine.source, mine.status)
    if its.value is None:
        return replace(mine, note="; ".join(filter(None, (mine.note, f"no comparison with {name}: {its.note}"))))
    if mine.value is None or mine.half_width is None or its.half_width is None:
        return mine
    half = limited_half_width(rule, glass, reference, mine.half_width, its.half_width)
    value = mine.value - its.value if half else 0.0  # one glaze, counted by two ways, may differ in its last binary digit
    swapped, firm = glass.swapped_mol_pct(reference), mine.in_range and its.in_range
    return replace(mine, change=Change(value, value - half, value + half, mine.unit, name, swapped, *trust, in_range=firm))
