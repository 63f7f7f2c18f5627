"""A change against a reference glaze: better known than either glaze alone, because laboratories' errors are shared.

Beyond the box of the measured glasses there is no number, but sometimes a direction, with its own record on unseen publications.
The box was drawn smaller, the models were fitted again inside it without a fifth of the publications, and asked about glasses
of those publications that lie between the smaller box and the real one. How often their direction was right tells what a
direction beyond the real box is worth, as far beyond it as was tried.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from math import hypot

from glazekit.glass.composition import Composition
from glazekit.glass.domain import box
from glazekit.glass.properties import constant, interval_rule, property_named
from glazekit.ground.estimate import Change, Direction, Estimate
from glazekit.ground.tables import Row, read_table

SAME_MOL_PCT = 0.005
"""Glazes closer than this are one glaze."""
SLACK = "slack"
"""Fluxes in excess of alumina, the border of the viscosity that is no oxide's."""
RIGHT_PCT, PUBLICATIONS = 90.0, 10
"""A direction is told when it was right so often in an average publication, of so many at least."""


def limited_half_width(rule: str, glass: Composition, reference: Composition, mine: float, its: float) -> float:
    """Half of the 90 % interval of a difference between two glazes: max(floor, constant + slope x mol % swapped). Measured on
    pairs of glasses inside publications the fit had never seen; ``rule`` is a property of property_intervals.csv. Never wider
    than two separate half widths give, hypot(mine, its); 0 for one and the same glaze."""
    same = glass.swapped_mol_pct(reference) < SAME_MOL_PCT
    return 0.0 if same else min(change_half_width(rule, glass, reference), hypot(mine, its))


def change_half_width(rule: str, glass: Composition, reference: Composition) -> float:
    """The same by the rule alone."""
    numbers = interval_rule(rule, "change")
    return max(numbers["floor"], numbers["constant"] + numbers["per_mol_pct_swapped"] * glass.swapped_mol_pct(reference))


def with_change(
    mine: Estimate,
    glass: Composition,
    its: Estimate,
    reference: Composition,
    name: str,
    says: Callable[[Composition], float],
) -> Estimate:
    """An estimate that also carries the change from a reference glaze; beyond the measured glasses at most a direction. ``mine``,
    ``its`` : the estimates of the glaze and of the reference. ``name`` : of the property. ``says`` : what its model says of a
    composition, also outside the data."""
    rule = property_named(name).interval
    called, trust = reference.called, (mine.source, mine.status)
    if its.value is None:
        note = "; ".join(filter(None, (mine.note, f"no comparison with {called}: {its.note}")))
        return replace(mine, note=note, why=(*mine.why, "reference_outside"))
    if mine.value is None:
        return replace(mine, direction=_direction(name, glass, mine, reference, says(glass) - says(reference)))
    if mine.half_width is None or its.half_width is None:
        return mine
    half = limited_half_width(rule, glass, reference, mine.half_width, its.half_width)
    value = mine.value - its.value if half else 0.0  # one glaze, counted by two ways, may differ in its last binary digit
    swapped, firm = glass.swapped_mol_pct(reference), mine.in_range and its.in_range
    return replace(mine, change=Change(value, value - half, value + half, mine.unit, called, swapped, *trust, in_range=firm))


def _direction(name: str, glass: Composition, mine: Estimate, reference: Composition, difference: float) -> Direction | None:
    """Which way a glaze beyond the measured ones goes, where the record of such directions allows it."""
    about, record = property_named(name), record_beyond(name, glass, mine.why)
    if record is None or abs(difference) <= change_half_width(about.interval, glass, reference):
        return None
    words = about.more if difference > 0 else about.less
    sign = 1 if difference > 0 else -1
    right = _right_pct(record)
    return Direction(sign, words, reference.called, right, record["publications"], record["source"], record["status"])


def record_beyond(name: str, glass: Composition, why: tuple[str, ...]) -> Row | None:
    """The row of data/beyond_box.csv that speaks for a direction of a property, the poorest where several borders are passed.
    ``why`` : keys of the reasons against a number. None where a reason is no border, a border was passed further than was tried,
    or directions beyond it were not right often enough."""
    worst: Row | None = None
    for key in (each for each in why if each.startswith("outside_")):
        what, _, side = key.removeprefix("outside_").rpartition("_")
        row = _records().get((name, what, side))
        if row is None or _passed_by(glass, what, side) > row["reach_mol_pct"] / 100:
            return None
        if row["publications"] < PUBLICATIONS or _right_pct(row) < RIGHT_PCT:
            return None
        worst = row if worst is None or _right_pct(row) < _right_pct(worst) else worst
    return worst


def _right_pct(record: Row) -> float:
    """How often it was right; no surer than so many publications allow, as ``most_sure``."""
    return float(min(record["right_pct"], 100 - 100 / record["publications"]))


def _passed_by(glass: Composition, what: str, side: str) -> float:
    """How far a border is passed [mole fraction]."""
    if what == SLACK:
        return constant("melt_slack_min") - (glass["R2O+RO"] - glass["Al2O3"])
    edge = next(edge for edge in box() if edge.what == what)
    return edge.low - glass[what] if side == "less" else glass[what] - edge.high


@cache
def _records() -> dict[tuple[str, str, str], Row]:
    return {(row["property"], row["what"], row["side"]): row for row in read_table("beyond_box")}
