"""A material: what 100 g of it brings to a glaze, what leaves in the kiln, what to beware of; how far a real bag may differ."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import MappingProxyType
from typing import Any, Self

from glazekit.ground.errors import AnalysisError, DataError, NoAnalysisError, unknown_name
from glazekit.ground.tables import read_table
from glazekit.materials.formula import oxide_wt_pct_raw_of
from glazekit.materials.oxides import OXIDES

KINDS = ("theoretical", "generic", "bag", "frit", "stand-in", "no oxides", "unknown")
"""Where the analysis comes from. ``unknown`` weighs and prints but has no chemistry; ``no oxides`` burns away (gum)."""
SUM_LIMITS_WT_PCT = (97.0, 103.0)
"""An analysis with its LOI must total within this; bags rarely total exactly 100 (course practice)."""
NOT_STOCKED = ("reference mineral", "not stocked")
"""Begins the role of a material that has an analysis but is put forward nowhere."""
ANY = "any"
"""Any material of its kind, or any oxide, in data/analysis_spread.csv."""


@dataclass(frozen=True, slots=True)
class Material:
    """A material of the glaze room.

    Parameters
    ----------
    name : as learners read it.
    kind : one of ``KINDS``.
    oxides : oxide -> weight percent of the raw dry material [wt % raw].
    loi_wt_pct_raw : loss on ignition, what leaves in the kiln [% of the raw dry mass].
    source, status : key in sources.toml and status word of the analysis.
    formula : ideal formula, when there is one.
    lot, analysed_on : bag lot and date as written, when there are any.
    stands_in : name of the generic material whose analysis is borrowed (kind ``stand-in``).
    role : one phrase for the learner.
    uncounted : what the chemistry leaves out or cannot know, in a phrase.
    cautions : keys of data/cautions.csv.
    plastic_clay, soluble, liquid : is it a plastic clay; does it dissolve in the slip; is it measured in mL.
    density_g_cm3 : density of the solid [g/cm3], None if not known.

    >>> whiting = Material.from_formula("whiting", "CaCO3")
    >>> round(whiting.oxide_wt_pct["CaO"], 2), round(whiting.loi_wt_pct_raw, 2)
    (56.03, 43.97)

    Raises AnalysisError for an unknown oxide, a negative or infinite number or a total far from 100.
    """

    name: str
    kind: str
    oxides: tuple[tuple[str, float], ...] = ()
    loi_wt_pct_raw: float = 0.0
    source: str = ""
    status: str = ""
    formula: str = ""
    lot: str = ""
    analysed_on: str = ""
    stands_in: str = ""
    role: str = ""
    uncounted: str = ""
    cautions: tuple[str, ...] = ()
    plastic_clay: bool = False
    soluble: bool = False
    liquid: bool = False
    density_g_cm3: float | None = None
    moles_per_g: tuple[tuple[str, float], ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        pairs = tuple(self.oxides.items()) if isinstance(self.oxides, Mapping) else tuple(self.oxides)
        object.__setattr__(self, "oxides", pairs)
        if not self.name.strip():
            raise AnalysisError("a material needs a name")
        if self.kind not in KINDS:
            raise AnalysisError(f"{self.name}: kind '{self.kind}' is not one of {', '.join(KINDS)}")
        if self.kind == "no oxides":
            object.__setattr__(self, "loi_wt_pct_raw", 100.0)  # all of it burns away or was water
        self._check_analysis()
        molar = [(oxide, wt_pct / 100 / OXIDES[oxide].molar_mass_g_mol) for oxide, wt_pct in pairs]
        object.__setattr__(self, "moles_per_g", tuple(molar))

    def _check_analysis(self) -> None:
        seen: set[str] = set()
        for oxide, wt_pct in self.oxides:
            if oxide not in OXIDES:
                raise unknown_name(AnalysisError, "oxide", oxide, OXIDES, where=f"{self.name}: ")
            if oxide in seen:
                raise AnalysisError(f"{self.name}: {oxide} appears twice")
            seen.add(oxide)
            if not isfinite(wt_pct) or wt_pct < 0:
                raise AnalysisError(f"{self.name}: {oxide} is {wt_pct:g}; weight percents are 0 or more")
        if not isfinite(self.loi_wt_pct_raw):
            raise AnalysisError(f"{self.name}: the LOI is not a number")
        if self.kind in ("unknown", "no oxides"):
            if self.oxides:
                raise AnalysisError(f"{self.name}: a material of kind '{self.kind}' has no oxides")
            return
        total = sum(wt_pct for _, wt_pct in self.oxides) + self.loi_wt_pct_raw
        low, high = SUM_LIMITS_WT_PCT
        if not low <= total <= high:
            raise AnalysisError(
                f"{self.name}: oxides and LOI total {total:.4g} %, allowed is {low:g} to {high:g} %; "
                "is an oxide or the LOI missing, or a decimal sign misplaced?"
            )

    @classmethod
    def from_formula(cls, name: str, formula: str, **more: object) -> Self:
        """Theoretical material computed from its ideal formula; ``more`` are fields such as role or cautions.

        >>> Material.from_formula("quartz", "SiO2").oxides
        (('SiO2', 100.0),)
        """
        oxides, loi_wt_pct = oxide_wt_pct_raw_of(formula)
        fields: dict[str, object] = {"kind": "theoretical", "source": "formula", "status": "computed"} | more
        return cls(name=name, formula=formula, oxides=tuple(oxides.items()), loi_wt_pct_raw=loi_wt_pct, **fields)  # type: ignore[arg-type]

    @property
    def oxide_wt_pct(self) -> Mapping[str, float]:
        """Oxide -> weight percent of the raw dry material [wt % raw]; read-only."""
        return MappingProxyType(dict(self.oxides))

    @property
    def label(self) -> str:
        """Name as printed beside a number that depends on this analysis.

        >>> Material("clay", "unknown").label
        'clay (no analysis)'
        """
        if self.kind == "unknown":
            return f"{self.name} (no analysis)"
        if self.kind == "stand-in":
            return f"{self.name} (stand-in: {self.stands_in})"
        return f"{self.name}, lot {self.lot}" if self.lot else self.name

    @property
    def stocked(self) -> bool:
        """Is it what a class keeps as powder: no poison, no liquid, no mineral for comparison, nothing of old recipes only."""
        return not (self.liquid or "poison" in self.cautions or self.role.startswith(NOT_STOCKED))

    def need_analysis(self) -> Self:
        """Return this material, or stop with one sentence when it has been declared unknown."""
        if self.kind == "unknown":
            raise NoAnalysisError(
                f"'{self.name}' was declared unknown: it can be weighed and printed, but the chemistry stops here "
                "until you enter the bag's analysis or choose a stand-in"
            )
        return self


@dataclass(frozen=True, slots=True)
class OxideSpread:
    """The width of one figure of an analysis. The true figure lies within ``half_width_wt_pct`` of the figure used, 90 times in
    100 [wt % raw], for the ``reason`` given in a phrase. Today all of them are judgement, none is measured."""

    oxide: str
    half_width_wt_pct: float
    reason: str
    source: str
    status: str


def analysis_spread(material: Material) -> tuple[OxideSpread, ...]:
    """The width of every figure of a material's analysis.

    half_width = the larger of share_pct / 100 x figure and at_least_wt_pct

    >>> from glazekit.materials.stock import course_stock
    >>> [(one.oxide, round(one.half_width_wt_pct, 2), one.status) for one in analysis_spread(course_stock().find("kaolin"))]
    [('Al2O3', 1.97, 'practice'), ('SiO2', 1.86, 'practice')]

    Limits: an oxide that the analysis leaves out has no width, though a real bag of feldspar holds both alkalis.
    Raises DataError for a kind of material the table does not know.
    """
    found = []
    for oxide, wt_pct in material.oxides:
        row = _row(material, oxide)
        half_width = max(row["share_pct"] / 100 * wt_pct, row["at_least_wt_pct"])
        found.append(OxideSpread(oxide, half_width, row["reason"], row["source"], row["status"]))
    return tuple(found)


def _row(material: Material, oxide: str) -> Mapping[str, Any]:
    """The row that says most about this figure: material before kind, oxide before any oxide."""
    rows = {(row["material"], row["oxide"]): row for row in read_table("analysis_spread") if row["kind"] == material.kind}
    for key in ((material.name, oxide), (material.name, ANY), (ANY, oxide), (ANY, ANY)):
        if key in rows:
            return rows[key]
    raise DataError(f"analysis_spread.csv has no row for the kind '{material.kind}' of {material.name}")
