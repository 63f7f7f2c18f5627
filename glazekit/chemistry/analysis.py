"""From grams on the scale to oxides in the fired glass: weights, moles, loss on ignition, the unity formula."""

from dataclasses import dataclass
from math import fsum
from types import MappingProxyType

from glazekit.chemistry.unity import (
    ByName,
    OxideStep,
    UnityFormula,
    Weighed,
    flux_sum_mol,
    moles_in,
    stand_in_notes,
    unity_formula,
    weighed_lines,
)
from glazekit.ground.errors import RecipeError
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

GONE_IN_THE_MELT = "gas soluble caustic silica fibre asbestos_certificate lithium boron_salt nitrate fluorine sulphur salt_vapour"
"""Cautions of raw materials that a frit made of them no longer needs; as ground glass it is sharp dust instead."""


@dataclass(frozen=True, slots=True)
class Analysis:
    """What a recipe becomes: everything is per its dry lines taken as grams.

    Parameters: recipe, stock, what was analysed, with which analyses; include_additions, were the additions counted, a base-only
    view otherwise; weighed, step 1, the dry lines: what of each stays and what leaves [g]; oxide_mol, step 3, (oxide, moles in
    the fired glass), all lines together [mol].

    >>> lime = analyse(Recipe("lime only", {"whiting": 20}))
    >>> round(lime.fired_g, 2), round(lime.loi_wt_pct_raw, 1), round(lime.fired_yield, 3)
    (11.21, 44.0, 0.56)
    """

    recipe: Recipe
    stock: Stock
    include_additions: bool
    weighed: tuple[Weighed, ...]
    oxide_mol: tuple[tuple[str, float], ...]

    @property
    def working(self) -> tuple[OxideStep, ...]:
        """Step 2, for "show my working": every oxide of every line, as grams and as moles."""
        return tuple(step for line in self.weighed for step in line.oxides)

    @property
    def flux_sum_mol(self) -> float:
        """Step 4, the divisor of the unity formula: moles of all fluxes together [mol]."""
        return flux_sum_mol(dict(self.oxide_mol))

    @property
    def unity(self) -> UnityFormula:
        """Step 5, the unity formula, on the same view (base only or with additions)."""
        return unity_formula(self.recipe, include_additions=self.include_additions, stock=self.stock)

    @property
    def raw_g(self) -> float:
        """Dry mass weighed [g]."""
        return fsum(line.mass_g for line in self.weighed)

    @property
    def loi_g(self) -> float:
        """What leaves in the kiln [g]."""
        return fsum(line.loi_g for line in self.weighed)

    @property
    def oxide_g(self) -> tuple[tuple[str, float], ...]:
        """(oxide, grams in the fired glass) [g]."""
        return tuple((oxide, moles * OXIDES[oxide].molar_mass_g_mol) for oxide, moles in self.oxide_mol)

    @property
    def fired_g(self) -> float:
        """Oxides left after firing [g]."""
        return fsum(grams for _, grams in self.oxide_g)

    @property
    def unreported_g(self) -> float:
        """Raw mass that the analyses leave unexplained, because a bag's figures rarely total exactly 100 [g]."""
        return self.raw_g - self.fired_g - self.loi_g

    @property
    def fired_yield(self) -> float:
        """Fired mass over raw dry mass [0 to 1]."""
        return self.fired_g / self.raw_g

    @property
    def loi_wt_pct_raw(self) -> float:
        """Loss on ignition [% of the raw dry mass]."""
        return 100 * self.loi_g / self.raw_g

    @property
    def oxide_wt_pct_fired(self) -> ByName:
        """Oxide -> share of the fired glass by weight [wt %, fired]; sums to 100."""
        return self._percent(self.oxide_g)

    @property
    def oxide_mol_pct(self) -> ByName:
        """Oxide -> share of the fired glass by count [mol %]; sums to 100."""
        return self._percent(self.oxide_mol)

    def _percent(self, amounts: tuple[tuple[str, float], ...]) -> ByName:
        total = fsum(amount for _, amount in amounts)
        if not total:
            raise RecipeError(f"{self.recipe.name}: nothing is left after firing, so there is no glass to analyse")
        return MappingProxyType({oxide: 100 * amount / total for oxide, amount in amounts})

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences about borrowed analyses the numbers depend on."""
        return stand_in_notes(self.recipe, self.include_additions, self.stock)


def analyse(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> Analysis:
    """Analyse a recipe: grams to oxides to moles, LOI and fired yield; the base only unless ``include_additions``.

    oxide_g = sum of mass_g x wt % / 100;  loi_g = sum of mass_g x LOI % / 100

    Parameters: recipe, its amounts taken as grams of raw dry material; stock, analyses to use, the course's if not given.

    Raises as ``weighed_lines``.
    """
    shelf = stock or course_stock()
    weighed = weighed_lines(recipe, include_additions=include_additions, stock=shelf)
    moles = moles_in(weighed)
    present = tuple((oxide, moles[oxide]) for oxide in OXIDE_ORDER if moles.get(oxide))
    return Analysis(recipe, shelf, include_additions, weighed, present)


def frit_of(name: str, recipe: Recipe, *, stock: Stock | None = None, lot: str = "") -> Material:
    """A frit made of materials: the fired glass of ``recipe``, ground, as a new material with no LOI.

    The first stage of a two-stage recipe; everything in ``recipe``, additions included, goes into the frit.

    >>> frit = frit_of("my frit", Recipe("melt", {"boric acid": 40, "whiting": 30, "quartz": 30}))
    >>> frit.loi_wt_pct_raw, round(sum(frit.oxide_wt_pct.values()), 6)
    (0.0, 100.0)
    """
    melted = analyse(recipe, include_additions=True, stock=stock)
    used = [melted.stock.find(line.material) for line in recipe.lines_in_parts()]
    kept = (key for material in used for key in material.cautions if key not in GONE_IN_THE_MELT.split())
    return Material(
        name,
        "frit",
        oxides=tuple(melted.oxide_wt_pct_fired.items()),
        source="computed",
        status="computed",
        lot=lot,
        role=f"frit melted from {recipe.name}",
        cautions=tuple(dict.fromkeys(("sharp_dust", *kept))),
    )
