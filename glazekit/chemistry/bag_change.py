"""A new bag with another analysis: what moves in each recipe that uses it, and the correction."""

from collections.abc import Sequence
from dataclasses import dataclass

from glazekit.chemistry.changed_recipe import ChangedRecipe, changed_recipe, resolved_base
from glazekit.chemistry.conflict import Conflict
from glazekit.chemistry.families import keep_families
from glazekit.chemistry.formulate import formulate_again
from glazekit.ground.errors import AnalysisError, NoAnalysisError, RecipeError, UnknownMaterialError
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

WORTH_SAYING_MOL = 0.005
"""A change smaller than the last printed place of a formula is not spoken of [moles per mole of flux]."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One recipe under the new bag. Parameters: recipe, as it is written; unchanged, the same amounts, whose ``unity_change``
    moves; corrected, amounts that bring the old formula back or come nearest to it; feasible, do they bring it back; why_not, the
    conflict when they do not."""

    recipe: Recipe
    unchanged: ChangedRecipe
    corrected: ChangedRecipe
    feasible: bool
    why_not: Conflict | None

    @property
    def words(self) -> str:
        """What moves, in a sentence.

        >>> clay = Material("kaolin", "bag", {"SiO2": 50, "Al2O3": 36, "K2O": 2}, loi_wt_pct_raw=12)
        >>> new_bag(clay, [Recipe("small", {"whiting": 40, "kaolin": 60})]).moved[0].words
        'potash rises by 0.031, lime falls by 0.031, alumina falls by 0.068, silica rises by 0.048'
        """
        moves = [
            f"{OXIDES[oxide].name} {'rises' if moles > 0 else 'falls'} by {abs(moles):.3f}"
            for oxide, moles in self.unchanged.unity_change.items()
            if abs(moles) >= WORTH_SAYING_MOL
        ]
        return ", ".join(moves) or "nothing moves that a formula with two decimals would show"


@dataclass(frozen=True, slots=True)
class NewBag:
    """What a new bag does to a set of recipes.

    Parameters: old, new, the analyses before and after; stock, with the new bag on it; analysis, (oxide, before, after) for every
    oxide that differs [wt % raw]; moved, recipes with the material in their base; in_additions, names of recipes that hold it
    only among the additions: their base formula stays; untouched, names of recipes without it; not_computed, (name, sentence) of
    recipes whose chemistry stops for another reason.
    """

    old: Material
    new: Material
    stock: Stock
    analysis: tuple[tuple[str, float, float], ...]
    moved: tuple[Moved, ...]
    in_additions: tuple[str, ...]
    untouched: tuple[str, ...]
    not_computed: tuple[tuple[str, str], ...]

    @property
    def loi_change_pct(self) -> float:
        """Loss on ignition of the material, after minus before [% of the raw dry mass]."""
        return self.new.loi_wt_pct_raw - self.old.loi_wt_pct_raw


def new_bag(bag: Material, recipes: Sequence[Recipe], *, stock: Stock | None = None) -> NewBag:
    """Compare every recipe under the old and the new analysis and correct it.

    The correction is a recipe of the same materials. If they can bring the old formula back, it does, and stays close to the
    recipe as written; else it keeps families of fluxes as sums first, single oxides last (``keep_families``).

    Parameters: bag, the new analysis, under the name the stock knows the material by; recipes, those to look through, of which
    only the bases are corrected; stock, the one before, the course's if not given.

    Raises UnknownMaterialError when the stock has no such material, AnalysisError when either bag has no analysis.
    """
    shelf = stock or course_stock()
    old = shelf.find(bag.name)
    for material in (old, bag):
        if material.kind == "unknown":
            raise AnalysisError(f"{material.name} has no analysis, so there is nothing to compare")
    after = shelf.with_materials([bag])
    new = after.find(bag.name)
    moved: list[Moved] = []
    in_additions, untouched, not_computed = list[str](), list[str](), list[tuple[str, str]]()
    for recipe in recipes:
        in_base, on_top = (
            any(line.material in shelf and shelf.find(line.material) == old for line in lines)
            for lines in (recipe.base, recipe.additions)
        )
        if not in_base:
            (in_additions if on_top else untouched).append(recipe.name)
            continue
        try:
            moved.append(_moved(recipe, new, shelf, after))
        except (NoAnalysisError, UnknownMaterialError, RecipeError) as error:
            not_computed.append((recipe.name, str(error)))
    figures = [(oxide, old.oxide_wt_pct.get(oxide, 0.0), new.oxide_wt_pct.get(oxide, 0.0)) for oxide in OXIDE_ORDER]
    return NewBag(
        old=old,
        new=new,
        stock=after,
        analysis=tuple((oxide, was, now) for oxide, was, now in figures if was != now),
        moved=tuple(moved),
        in_additions=tuple(in_additions),
        untouched=tuple(untouched),
        not_computed=tuple(not_computed),
    )


def _moved(recipe: Recipe, bag: Material, before: Stock, after: Stock) -> Moved:
    base = resolved_base(recipe, after)
    names = [name for name, parts in base.items() if parts]
    unchanged = changed_recipe("new bag, same amounts", recipe, base, after, old_stock=before)
    found, corrected = formulate_again("corrected", recipe, unchanged.before, names, after, before)
    if not found.feasible:
        corrected, _ = keep_families(corrected.kind, recipe, [after.find(name) for name in names], [bag], after, before)
    return Moved(recipe, unchanged, corrected, found.feasible, found.why_not)
