"""Ranges of unity formulas that potters aim at, and a glaze held against one: a table and words, never a verdict."""

from dataclasses import dataclass
from functools import cache
from math import fsum

from glazekit.chemistry.unity import UnityFormula
from glazekit.ground.cone import Cone
from glazekit.ground.errors import DataError, looked_up
from glazekit.ground.numbers import show_number
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import OXIDES

SILICA_TO_ALUMINA = "silica_to_alumina"
DECIMALS = 2
"""Values and limits are compared as they are printed, so that a page never says 0.30 is above 0.30."""


@dataclass(frozen=True, slots=True)
class TargetLimit:
    """One limit of a range [moles per mole of flux, of silica to alumina moles per mole of alumina]. Parameters: quantity, an
    oxide, a sum of oxides such as "Na2O+K2O", or "silica_to_alumina"; low, high."""

    quantity: str
    low: float
    high: float

    @property
    def oxides(self) -> tuple[str, ...]:
        """The oxides counted together; none for silica to alumina."""
        return () if self.quantity == SILICA_TO_ALUMINA else tuple(self.quantity.split("+"))

    @property
    def name(self) -> str:
        """The quantity as a learner reads it.

        >>> TargetLimit("Na2O+K2O", 0.2, 0.4).name
        'soda + potash'
        """
        return " + ".join(OXIDES[oxide].name for oxide in self.oxides) or "silica to alumina"


@dataclass(frozen=True, slots=True)
class TargetRange:
    """A range of unity formulas: a row of data/target_ranges.csv, with a limit for each quantity it speaks of."""

    name: str
    kind: str
    cones: Cone | None
    limits: tuple[TargetLimit, ...]
    remark: str
    source: str
    status: str


@cache
def ranges() -> tuple[TargetRange, ...]:
    """Every range of the tables, in their order: today habits of this course alone.

    >>> {found.status for found in ranges()}
    {'practice'}
    """
    limits = [(row["range"], TargetLimit(row["quantity"], row["low"], row["high"])) for row in read_table("target_limits")]
    found = []
    for row in read_table("target_ranges"):
        cones = Cone.parse(f"{row['cone_low']}-{row['cone_high']}") if row["cone_low"] and row["cone_high"] else None
        own = tuple(limit for name, limit in limits if name == row["range"])
        found.append(TargetRange(row["range"], row["kind"], cones, own, row["remark"], row["source"], row["status"]))
    return tuple(found)


def target_range(name: str) -> TargetRange:
    """The range of this name; a DataError, with the nearest name, when there is none."""
    return looked_up({found.name: found for found in ranges()}, name, DataError, "range")


@dataclass(frozen=True, slots=True)
class AgainstLimit:
    """A quantity of the glaze beside its limit, compared as both are printed; None is silica to alumina without alumina.

    >>> AgainstLimit(TargetLimit("MgO", 0.0, 0.3), 0.39).words
    'Magnesia 0.39 is above 0.00 to 0.30, by 0.09.'
    """

    limit: TargetLimit
    value: float | None

    @property
    def by(self) -> float:
        """How far outside; 0 inside [as the limit]."""
        shown = _shown(self.value or 0.0)
        return 0.0 if self.value is None else max(self.limit.low - shown, shown - self.limit.high, 0.0)

    @property
    def word(self) -> str:
        """ "below", "inside" or "above"; "no alumina" when there is nothing to compare."""
        if self.value is None:
            return "no alumina"
        return "inside" if not self.by else "below" if self.value < self.limit.low else "above"

    @property
    def words(self) -> str:
        """The row as a sentence."""
        start = self.limit.name.capitalize()
        if self.value is None:
            return f"{start} cannot be told: there is no alumina."
        span = f"{show_number(self.limit.low, DECIMALS)} to {show_number(self.limit.high, DECIMALS)}"
        out = f", by {show_number(self.by, DECIMALS)}" if self.by else ""
        return f"{start} {show_number(self.value, DECIMALS)} is {self.word} {span}{out}."


@dataclass(frozen=True, slots=True)
class Against:
    """A glaze held against a range, with a row for each limit."""

    range: TargetRange
    unity: UnityFormula
    cone: Cone | None
    rows: tuple[AgainstLimit, ...]

    @property
    def not_spoken_of(self) -> tuple[tuple[str, float], ...]:
        """(oxide, moles) of the glaze for which the range gives no limit, as far as two decimals show them."""
        named = {oxide for limit in self.range.limits for oxide in (limit.oxides or ("SiO2", "Al2O3"))}
        return tuple((oxide, moles) for oxide, moles in self.unity.pairs if oxide not in named and _shown(moles))

    @property
    def words(self) -> tuple[str, ...]:
        """Sentences: what lies outside, what the range leaves open, for which cone it is meant, how far to trust it."""
        said = [row.words for row in self.rows if row.word != "inside"]
        said = said or ["Every quantity this range speaks of is inside it."]
        if self.not_spoken_of:
            named = ", ".join(f"{OXIDES[oxide].name} {show_number(moles, DECIMALS)}" for oxide, moles in self.not_spoken_of)
            said.append(f"It gives no limit for {named}.")
        if self.range.cones and self.cone and self.range.cones.steps_to(self.cone):
            said.append(f"It is meant for cone {str(self.range.cones).replace('-', ' to ')}; yours is cone {self.cone}.")
        if self.range.remark:
            said.append(f"It {self.range.remark}.")
        trust = f"The numbers are {TRUST[self.range.status]}."
        return (*said, f"{trust} They say what potters aim at, not how your glaze will be: fire a tile.")


TRUST = {
    "seen": "read in the source",
    "practice": "a habit of this course",
}
"""Status of a range in words."""


def glaze_against(target: TargetRange | str, unity: UnityFormula, cone: Cone | str | None = None) -> Against:
    """Hold a glaze against a range, quantity by quantity, as printed with two decimals.

    Parameters: target, a range or its name; unity, of the glaze, base only; cone, what it is fired to, if that is compared too.

    >>> from glazekit.chemistry.unity import unity_from_moles
    >>> glaze = unity_from_moles({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.6, "SiO2": 4.0})
    >>> print("\\n".join(glaze_against("Course: gloss, cone 10", glaze).words[:2]))
    Alumina 0.60 is above 0.40 to 0.55, by 0.05.
    It is for a glaze without boron.
    """
    found = target_range(target) if isinstance(target, str) else target
    meant = Cone.parse(cone) if isinstance(cone, str) else cone
    ratio = unity.silica_to_alumina_mol
    values = [fsum(unity[oxide] for oxide in limit.oxides) if limit.oxides else ratio for limit in found.limits]
    return Against(found, unity, meant, tuple(map(AgainstLimit, found.limits, values)))


def _shown(value: float) -> float:
    return float(show_number(value, DECIMALS))
