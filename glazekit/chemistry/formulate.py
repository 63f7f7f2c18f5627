"""From a formula to a recipe: which amounts of these materials bring the oxides that are wanted, and if none do, why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum
from types import MappingProxyType

from glazekit.chemistry.allowed import SCALE, Allowed, Goal, mean, used, variety
from glazekit.chemistry.base_limits import AT_LEAST, AT_MOST, FIXED, PLASTIC_CLAY_PCT, base_limits
from glazekit.chemistry.changed_recipe import ChangedRecipe, changed_recipe, plastic_clay_pct, resolved_base
from glazekit.chemistry.conflict import Conflict, find_conflict
from glazekit.chemistry.families import NOTHING_MOL
from glazekit.chemistry.swap_by_moles import oxide_sum, sum_words
from glazekit.chemistry.unity import (
    Amounts,
    ByName,
    UnityFormula,
    flux_sum_mol,
    flux_symbols,
    oxide_moles,
    unity_formula,
    unity_from_moles,
)
from glazekit.ground.errors import RangeError, RecipeError
from glazekit.ground.numbers import within
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe

CLOSE_MOL = 0.005
"""An oxide the target names is met when it comes this close: a formula printed with two decimals says no more
[moles per mole of flux]."""
ALIKE_MOL = 0.001
"""Other recipes for a formula may miss it by this, or by as much as the nearest one does [moles per mole of flux]."""
TRACE_MOL = 0.02
"""An oxide the target does not name may come along up to this, as the traces in clays do [moles per mole of flux] (practice)."""
STEP_PCT = 0.1
"""A recipe that was found is rounded to this step [% of the base]."""
FLUX_ROUNDING_MOL = 0.03
"""How far the typed fluxes may be from a total of 1 because of rounding; they are then scaled and a note says so."""
DUST_PCT = 0.5
"""A line smaller than this is hard to weigh and adds next to nothing [% of the base] (a rule of this course)."""
MOST_MOL = 1000.0
Target = UnityFormula | ByName
"""A formula asked for: a unity formula, or oxide, or a sum such as "Na2O+K2O", -> moles per mole of flux."""


@dataclass(frozen=True, slots=True)
class Formulation:
    """A recipe for a formula, and how well it meets it.

    Parameters: target, the formula asked for, fluxes totalling 1; recipe, base of 100, not rounded, of an impossible formula the
    nearest one; reached, its unity formula; feasible, does every oxide come close enough (0.005 moles, 0.02 for a trace the
    target does not name); why_not, the conflict, when it does not; alternatives, recipes of other materials for the same formula;
    notes, sentences worth reading before weighing, poisons first; stock, the analyses used.

    Limits: the same formula is not the same glaze: grain size, LOI and the order of melting differ. Test first.
    """

    target: UnityFormula
    recipe: Recipe
    reached: UnityFormula
    feasible: bool
    why_not: Conflict | None
    alternatives: tuple[Recipe, ...]
    notes: tuple[str, ...]
    stock: Stock

    @property
    def difference(self) -> ByName:
        """Oxide -> reached minus wanted, for every oxide of either [moles per mole of flux]."""
        return self.reached - self.target

    @property
    def missing(self) -> ByName:
        """Oxide -> moles wanted and not reached [moles per mole of flux]."""
        return MappingProxyType({oxide: -moles for oxide, moles in self.difference.items() if moles < -NOTHING_MOL})

    @property
    def left_over(self) -> ByName:
        """Oxide -> moles reached and not wanted [moles per mole of flux]."""
        return MappingProxyType({oxide: moles for oxide, moles in self.difference.items() if moles > NOTHING_MOL})


def formulate(
    target: Target,
    materials: Sequence[str],
    *,
    fixed: ByName | None = None,
    min_share: ByName | None = None,
    max_share: ByName | None = None,
    min_plastic_clay_pct: float | None = None,
    stock: Stock | None = None,
    available_g: ByName | None = None,
    base_g: float = 100.0,
    prefer_fewer: bool = True,
    like: Recipe | None = None,
    explain: bool = True,
    name: str = "formulated glaze",
) -> Formulation:
    """Find a recipe for a formula.

    The amounts, none negative, are those whose unity formula comes nearest to the target: least squares in moles per mole
    of flux, with the fluxes totalling 1. While the formula can be met, an oxide the target does not name counts a quarter,
    because a trace may come along; when it cannot be met, every oxide counts the same.

    Parameters
    ----------
    target : unity formula, or oxide -> moles per mole of flux; the fluxes must total 1 within rounding. An oxide given as 0
        is to stay out; one that is not named may come along as a trace. A sum such as "Na2O+K2O" is shared out as it suits the
        materials best, and a note says how.
    materials : names in the stock that may be used.
    fixed, min_share, max_share : material -> exactly, at least, at most so much [% of the raw base by weight].
    min_plastic_clay_pct : plastic clays together at least; ``PLASTIC_CLAY_PCT`` is the usual one [%].
    stock : analyses to use; the course's materials if not given.
    available_g, base_g : material -> what is left of it, and the base mass that is to be weighed from it [g].
    prefer_fewer : of several recipes take the one that is most easily used (``trouble``), the others after it in that order;
        otherwise the mean of those found.
    like : a recipe to stay close to where the formula leaves a choice; there is then no looking for alternatives.
    explain : find out what cannot be met together, when the formula cannot; else ``why_not`` stays None and time is saved.
    name : name of the recipe.

    >>> wanted = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.4, "SiO2": 3.5}
    >>> found = formulate(wanted, ["potash feldspar", "whiting", "kaolin", "quartz"])
    >>> [(line.material, round(line.amount, 1)) for line in found.recipe.base], found.feasible
    ([('potash feldspar', 39.2), ('whiting', 21.1), ('kaolin', 10.9), ('quartz', 28.8)], True)

    Raises RangeError for fluxes that do not total 1 or a percentage outside 0 to 100, UnknownMaterialError and NoAnalysisError
    for a material, RecipeError for limits that contradict each other or materials without any flux.
    """
    shelf = stock or course_stock()
    choice = _find(materials, shelf)
    shares = {FIXED: fixed or {}, AT_LEAST: min_share or {}, AT_MOST: max_share or {}}
    limits = base_limits(choice, shelf, shares, min_plastic_clay_pct, available_g or {}, base_g)
    target, shared, sums = share_out(target, Allowed(choice, limits))
    wanted, notes = read_target(target)
    allowed = Allowed(choice, limits, wanted.colour_fluxes_counted)
    allowed.check()
    named = {*wanted.moles, *(() if isinstance(target, UnityFormula) else target)}
    goal = Goal(wanted.moles, {oxide: CLOSE_MOL if oxide in named else TRACE_MOL for oxide in OXIDE_ORDER})
    oxides = allowed.asked(goal)

    model = resolved_base(like, shelf) if like else None
    amounts = allowed.within(goal, oxides)
    feasible, why_not, others = amounts is not None, None, []
    if amounts is None:
        amounts = allowed.nearest(goal.moles, dict.fromkeys(oxides, SCALE), like=model)
        if explain:
            why_not = find_conflict(replace(allowed, sums=tuple(sums)), _together(goal, sums), amounts, shelf)
        best = used(allowed, amounts)
    elif model:
        alike = allowed.nearest(goal.moles, goal.weights(oxides), like=model)
        best = used(allowed, alike if allowed.meets(goal, alike) else amounts)
    else:
        misses = goal.misses(allowed.formula(amounts))
        as_near = Goal(goal.moles, {oxide: max(ALIKE_MOL, abs(misses[oxide])) for oxide in oxides})
        order = [material.name for material in choice]
        found = variety(allowed, used(allowed, amounts), as_near)
        found.sort(key=lambda way: (trouble(_recipe(name, way, choice), shelf), sorted(map(order.index, way))))
        best = found[0] if prefer_fewer else mean(found)
        others = [other for other in found if other is not best]
    recipe = _recipe(name, best, choice)
    reached = unity_formula(recipe, count_colour_fluxes=wanted.colour_fluxes_counted, stock=shelf)
    return Formulation(
        target=wanted,
        recipe=recipe,
        reached=reached,
        feasible=feasible,
        why_not=why_not,
        alternatives=tuple(_recipe(f"{name}, way {i}", other, choice) for i, other in enumerate(others, 2)),
        notes=(*shared, *notes, *reached.notes, *_notes(recipe, wanted, reached, shelf)),
        stock=shelf,
    )


def trouble(recipe: Recipe, stock: Stock) -> tuple[bool, bool, int]:
    """What puts a recipe behind another one for the same formula: too little plastic clay, then a line of dust, then more lines.

    >>> quick, slow = Recipe("quick", {"kaolin": 9, "whiting": 91}), Recipe("slow", {"quartz": 99.8, "whiting": 0.2})
    >>> trouble(quick, course_stock()), trouble(slow, course_stock())
    ((False, False, 2), (True, True, 2))
    """
    little_clay = plastic_clay_pct(recipe, stock) < PLASTIC_CLAY_PCT - NOTHING_MOL
    dust = min(line.amount for line in recipe.base) < DUST_PCT / 100 * recipe.base_sum
    return little_clay, dust, len(recipe.base)


def formulate_again(
    kind: str, recipe: Recipe, target: Target, materials: Sequence[str], stock: Stock, old_stock: Stock, explain: bool = True
) -> tuple[Formulation, ChangedRecipe]:
    """Change a recipe so that it comes nearest to a formula: it stays like it was, and brings as many moles of flux. Parameters:
    as for ``formulate`` and ``changed_recipe``."""
    found = formulate(target, materials, stock=stock, like=recipe, explain=explain)
    was, now = oxide_moles(recipe, stock=old_stock), oxide_moles(found.recipe, stock=stock)
    factor = flux_sum_mol(was) / flux_sum_mol(now)
    base = {line.material: line.amount * factor for line in found.recipe.base}
    return found, changed_recipe(kind, recipe, base, stock, old_stock=old_stock)


def round_to(formulation: Formulation, step_pct: float = STEP_PCT) -> ChangedRecipe:
    """Round the base to whole steps; what is left over goes onto the largest line, so that it still totals 100.

    What the rounding did stands in the result: its ``changes``, and ``unity_change``. Materials too scarce for the step vanish.

    Parameters: formulation, what ``formulate`` gave; step_pct, smallest step [% of the base], 0.001 to 1.

    >>> wanted = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.4, "SiO2": 3.5}
    >>> rounded = round_to(formulate(wanted, ["potash feldspar", "whiting", "kaolin", "quartz"]), 1)
    >>> [line.amount for line in rounded.recipe.base], round(rounded.unity_change["SiO2"], 2)
    ([39.0, 21.0, 11.0, 29.0], 0.03)

    Raises RangeError for a step outside its limits or one that 100 is no multiple of; RecipeError when so many lines cannot be
    rounded so coarsely.
    """
    step = within(step_pct, 0.001, 1, "the rounding step", "%")
    if abs(100 / step - round(100 / step)) > 1e-6:
        raise RangeError(f"100 is no whole number of steps of {step:g} %; take a step such as 0.1 %")
    exact = {line.material: line.amount for line in formulation.recipe.base}
    largest = max(exact, key=lambda material: exact[material])
    amounts = {material: round(round(amount / step) * step, 6) for material, amount in exact.items()}
    amounts[largest] = round(100 - sum(amount for material, amount in amounts.items() if material != largest), 6)
    if amounts[largest] < 0:
        raise RecipeError(f"a step of {step:g} % is too coarse for {len(amounts)} materials; take a smaller one")
    counted = formulation.target.colour_fluxes_counted
    return changed_recipe("rounded", formulation.recipe, amounts, formulation.stock, count_colour_fluxes=counted)


def share_out(target: Target, allowed: Allowed) -> tuple[Target, list[str], Mapping[str, Sequence[str]]]:
    """A target with each sum, such as "Na2O+K2O", shared among its oxides as in the recipe that comes nearest to it; notes; sums.

    >>> share_out({"Na2O+K2O": 0.3, "CaO": 0.7}, Allowed((course_stock().find("soda feldspar"), course_stock().find("whiting"))))
    ({'CaO': 0.7, 'Na2O': 0.3}, ['soda + potash 0.300 is shared out as soda 0.300'], {'Na2O+K2O': ('Na2O', 'K2O')})

    Raises RangeError for an oxide that is not known, or is asked for twice; RecipeError when no recipe with a flux is allowed.
    """
    if isinstance(target, UnityFormula):
        return target, [], {}
    _check_numbers(target)
    target = {"+".join(oxide_sum(text)): moles for text, moles in target.items()}
    sums = {text: oxide_sum(text) for text in target if "+" in text}
    if not sums:
        return target, [], {}
    asked = [oxide for text in target for oxide in oxide_sum(text)]
    for oxide in asked:
        if asked.count(oxide) > 1:
            raise RangeError(f"{OXIDES[oxide].name} ({oxide}) is asked for twice: for itself, or in a sum, not both")
    allowed.check()
    together = replace(allowed, sums=tuple(sums))
    goal = Goal(target, {oxide: CLOSE_MOL if oxide in target else TRACE_MOL for oxide in (*OXIDE_ORDER, *sums)})
    all_asked = together.asked(goal)
    reached = allowed.formula(together.within(goal, all_asked) or together.nearest(target, dict.fromkeys(all_asked, SCALE)))
    plain, notes = {oxide: moles for oxide, moles in target.items() if oxide not in sums}, []
    for text, oxides in sums.items():
        brought = {oxide: reached.get(oxide, 0.0) for oxide in oxides}
        total = fsum(brought.values())
        parts = {o: target[text] * moles / total for o, moles in brought.items() if moles > NOTHING_MOL} if total else {}
        parts = parts or {oxides[0]: target[text]}
        plain |= parts
        names = ", ".join(f"{OXIDES[oxide].name} {moles:.3f}" for oxide, moles in parts.items())
        notes.append(f"{sum_words(text)} {target[text]:.3f} is shared out as {names}")
    return plain, notes, sums


def _together(goal: Goal, sums: Mapping[str, Sequence[str]]) -> Goal:
    """The goal with each sum in the place of its oxides."""
    apart = {oxide for oxides in sums.values() for oxide in oxides}
    moles = {oxide: wanted for oxide, wanted in goal.moles.items() if oxide not in apart}
    moles |= {text: fsum(goal.moles.get(oxide, 0.0) for oxide in oxides) for text, oxides in sums.items()}
    return Goal(moles, {**goal.tolerance, **dict.fromkeys(sums, CLOSE_MOL)})


def _check_numbers(target: ByName) -> None:
    for oxide, moles in target.items():
        if isinstance(moles, bool) or not isinstance(moles, int | float) or not abs(moles) <= MOST_MOL:
            raise RangeError(f"{oxide} is {moles!r}; the formula needs a plain number of moles, 0 to {MOST_MOL:g}")


def read_target(target: Target) -> tuple[UnityFormula, list[str]]:
    """The formula asked for, checked; typed fluxes that total 0.99 are scaled, with a note."""
    if isinstance(target, UnityFormula):
        return target, []
    _check_numbers(target)
    formula = unity_from_moles(target)
    fluxes = flux_sum_mol(target)
    if abs(fluxes - 1) > FLUX_ROUNDING_MOL:
        typed = ", ".join(f"{oxide} {target[oxide]:g}" for oxide in flux_symbols() if target.get(oxide))
        raise RangeError(
            f"the fluxes ({typed}) total {fluxes:.3g}, not 1; a unity formula counts moles per one mole of fluxes together "
            "(boron is not a flux here)"
        )
    if abs(fluxes - 1) > NOTHING_MOL:
        return formula, [f"the fluxes as typed total {fluxes:.3f}; every oxide was divided by that"]
    return formula, []


def _find(materials: Sequence[str], stock: Stock) -> tuple[Material, ...]:
    if isinstance(materials, str) or not materials:
        raise RecipeError("name the materials that may be used, as a list of names")
    found: dict[str, str] = {}
    for name in materials:
        material = stock.find(name).need_analysis()
        if material.liquid:
            raise RecipeError(f"{material.name} is a liquid; a base is weighed dry, so it cannot be one of its materials")
        if material.name in found:
            raise RecipeError(f"'{name}' and '{found[material.name]}' are the same material here; name it once")
        found[material.name] = name
    return tuple(stock.find(name) for name in found)


def _recipe(name: str, amounts: Amounts, choice: Sequence[Material]) -> Recipe:
    """Amounts as a base of 100, in the order the materials were named in."""
    total = fsum(amounts.values())
    return Recipe(name, {material.name: 100 * amounts[material.name] / total for material in choice if material.name in amounts})


def _notes(recipe: Recipe, target: UnityFormula, reached: UnityFormula, stock: Stock) -> list[str]:
    """What a formula does not show: poison, settling, what dissolves, what came along."""
    notes = [caution.text for caution in cautions_for(recipe, stock, "weighing") if caution.level == "stop"]
    clay_pct = plastic_clay_pct(recipe, stock)
    if round(clay_pct, 1) < PLASTIC_CLAY_PCT:
        amount = f"{clay_pct:.1f} % plastic clay, less than {PLASTIC_CLAY_PCT:g} %" if clay_pct else "no plastic clay"
        notes.append(f"{amount}: the slip will settle hard")
    notes += [
        f"{material.name} dissolves in water; the slip changes as it stands"
        for material in map(stock.find, recipe.materials())
        if material.soluble
    ]
    traces = [f"{OXIDES[oxide].name} {moles:.3f}" for oxide, moles in reached.pairs if not target[oxide] and moles >= 0.0005]
    if traces:
        notes.append(f"not asked for, but comes along: {', '.join(traces)}")
    return notes
