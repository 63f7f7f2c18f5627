"""Beyond the box of the measured glasses: no number, but sometimes a direction, with its own record on unseen publications.

The box was drawn smaller, the models were fitted again inside it without a fifth of the publications, and asked about glasses
of those publications that lie between the smaller box and the real one. How often their direction was right tells what a
direction beyond the real box is worth, as far beyond it as was tried.
"""

from functools import cache

from glazekit.glass.composition import Composition
from glazekit.glass.domain import box
from glazekit.glass.properties import constant
from glazekit.ground.tables import Row, read_table

SLACK = "slack"
"""Fluxes in excess of alumina, the border of the viscosity that is no oxide's."""
RIGHT_PCT, PUBLICATIONS = 90.0, 10
"""A direction is told when it was right so often in an average publication, of so many at least."""


def record_beyond(name: str, glass: Composition, why: tuple[str, ...]) -> Row | None:
    """The row of data/beyond_box.csv that speaks for a direction of a property, the poorest where several borders are passed.

    ``why`` : keys of the reasons against a number. None where a reason is no border, a border was passed further than was tried,
    or directions beyond it were not right often enough.
    """
    worst: Row | None = None
    for key in (each for each in why if each.startswith("outside_")):
        what, _, side = key.removeprefix("outside_").rpartition("_")
        row = _records().get((name, what, side))
        if row is None or _passed_by(glass, what, side) > row["reach_mol_pct"] / 100:
            return None
        if row["right_pct"] is None or row["right_pct"] < RIGHT_PCT or row["publications"] < PUBLICATIONS:
            return None
        worst = row if worst is None or row["right_pct"] < worst["right_pct"] else worst
    return worst


def _passed_by(glass: Composition, what: str, side: str) -> float:
    """How far a border is passed [mole fraction]."""
    if what == SLACK:
        return constant("melt_slack_min") - (glass["R2O+RO"] - glass["Al2O3"])
    edge = next(edge for edge in box() if edge.what == what)
    return edge.low - glass[what] if side == "less" else glass[what] - edge.high


@cache
def _records() -> dict[tuple[str, str, str], Row]:
    return {(row["property"], row["what"], row["side"]): row for row in read_table("beyond_box")}
