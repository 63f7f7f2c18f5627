"""A material: what 100 g of it brings to a glaze, what leaves in the kiln, and what to beware of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import MappingProxyType
from typing import Self

from glazekit.ground.errors import AnalysisError, NoAnalysisError, unknown_name
from glazekit.materials.formula import oxide_wt_pct_raw_of
from glazekit.materials.oxides import OXIDES

KINDS = ("theoretical", "generic", "bag", "frit", "stand-in", "no oxides", "unknown")
"""Where the analysis comes from. ``unknown`` weighs and prints but has no chemistry; ``no oxides`` burns away (gum)."""

SUM_LIMITS_WT_PCT = (97.0, 103.0)
"""An analysis with its LOI must total within this; bags rarely total exactly 100 (course practice)."""


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

    def need_analysis(self) -> Self:
        """Return this material, or stop with one sentence when it has been declared unknown."""
        if self.kind == "unknown":
            raise NoAnalysisError(
                f"'{self.name}' was declared unknown: it can be weighed and printed, but the chemistry stops here "
                "until you enter the bag's analysis or choose a stand-in"
            )
        return self
