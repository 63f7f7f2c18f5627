"""Rounding a formulated recipe to what is weighed, as a step of its own, with what it shifts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from glazekit.chemistry.formulate import Formulation
from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.ground.errors import RangeError, RecipeError
from glazekit.ground.limits import within
from glazekit.materials.oxides import OXIDE_ORDER
from glazekit.recipe.recipe import Recipe


@dataclass(frozen=True, slots=True)
class Rounded:
    """A recipe in whole steps, and what the rounding did to its formula.

    Parameters
    ----------
    recipe : base of 100 in whole steps.
    step_pct : the step [% of the base].
    before, after : unity formula without and with the rounding.
    vanished : materials too scarce for the step; they are no longer in the recipe.
    """

    recipe: Recipe
    step_pct: float
    before: UnityFormula
    after: UnityFormula
    vanished: tuple[str, ...] = ()

    @property
    def shift(self) -> Mapping[str, float]:
        """Oxide -> after minus before [moles per mole of flux]."""
        oxides = [oxide for oxide in OXIDE_ORDER if self.before[oxide] or self.after[oxide]]
        return MappingProxyType({oxide: self.after[oxide] - self.before[oxide] for oxide in oxides})


def round_to(formulation: Formulation, step_pct: float = 0.1) -> Rounded:
    """Round the base to whole steps; what is left over goes onto the largest line, so that it still totals 100.

    Parameters
    ----------
    formulation : what ``formulate`` gave.
    step_pct : smallest step [% of the base], 0.001 to 1.

    >>> from glazekit.chemistry.formulate import formulate
    >>> wanted = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.4, "SiO2": 3.5}
    >>> rounded = round_to(formulate(wanted, ["potash feldspar", "whiting", "kaolin", "quartz"]), 1)
    >>> [line.amount for line in rounded.recipe.base], round(rounded.shift["SiO2"], 2)
    ([39.0, 21.0, 11.0, 29.0], 0.03)

    Raises RangeError for a step outside its limits or one that 100 is no multiple of; RecipeError when so many lines cannot be
    rounded so coarsely.
    """
    step = within(step_pct, 0.001, 1, "the rounding step", "%")
    if abs(100 / step - round(100 / step)) > 1e-6:
        raise RangeError(f"100 is no whole number of steps of {step:g} %; take a step such as 0.1 %")
    exact = {line.material: line.amount for line in formulation.recipe.base}
    steps = {material: round(amount / step) for material, amount in exact.items()}
    largest = max(exact, key=lambda material: exact[material])
    amounts = {material: round(count * step, 6) for material, count in steps.items()}
    amounts[largest] = round(100 - sum(amount for material, amount in amounts.items() if material != largest), 6)
    if amounts[largest] < 0:
        raise RecipeError(f"a step of {step:g} % is too coarse for {len(amounts)} materials; take a smaller one")
    recipe = Recipe(formulation.recipe.name, {material: amount for material, amount in amounts.items() if amount})
    after = unity_formula(recipe, count_colour_fluxes=formulation.target.colour_fluxes_counted, stock=formulation.stock)
    vanished = tuple(material for material, amount in amounts.items() if not amount)
    return Rounded(recipe, step, formulation.reached, after, vanished)
