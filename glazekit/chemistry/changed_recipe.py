"""A recipe on a changed base, side by side with what it was."""

from dataclasses import dataclass
from math import fsum
from types import MappingProxyType

from glazekit.chemistry.unity import Amounts, ByName, UnityFormula, unity_formula
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import PARTS, Recipe

NOTHING = 1e-9
"""An amount below this part of the whole is none at all."""
STILL_PCT = 0.001
"""A line that moves by less than this has not moved; no scale shows it [% of the base]."""


@dataclass(frozen=True, slots=True)
class ChangedRecipe:
    """A recipe on another base, in the same parts, compared with what it was. Parameters: kind, which way it was changed, such as
    "exact" or "weight for weight"; recipe, the new one; changes, (material, before, after) for every line that moves [parts];
    before, after, unity formula of the base."""

    kind: str
    recipe: Recipe
    changes: tuple[tuple[str, float, float], ...]
    before: UnityFormula
    after: UnityFormula

    @property
    def unity_change(self) -> ByName:
        """Oxide -> after minus before [moles per mole of flux]."""
        return self.after - self.before

    @property
    def change_parts(self) -> ByName:
        """Material -> parts more or less."""
        return MappingProxyType({material: after - before for material, before, after in self.changes})


def resolved_base(recipe: Recipe, stock: Stock) -> Amounts:
    """Material as the stock calls it -> parts in the base."""
    base: Amounts = {}
    for line in recipe.base:
        name = stock.find(line.material).name
        base[name] = base.get(name, 0.0) + line.amount
    return base


def changed_recipe(
    kind: str, recipe: Recipe, base: ByName, stock: Stock, *, old_stock: Stock | None = None, count_colour_fluxes: bool = False
) -> ChangedRecipe:
    """A recipe on a new base, compared with what it was (there with the analyses of ``old_stock``). Its additions stay as they
    are, in the same parts."""
    earlier = old_stock or stock
    lines = {name: parts for name, parts in base.items() if parts > NOTHING}
    meant = recipe.additions_are or (PARTS if recipe.additions else None)
    changed = Recipe(recipe.name, lines, recipe.additions, meant, recipe.cone, recipe.atmosphere, recipe.note)
    was = resolved_base(recipe, earlier)
    moves = [(name, was.get(name, 0.0), base.get(name, 0.0)) for name in dict.fromkeys([*was, *base])]
    still = STILL_PCT / 100 * recipe.base_sum
    return ChangedRecipe(
        kind=kind,
        recipe=changed,
        changes=tuple((name, before, after) for name, before, after in moves if abs(after - before) > still),
        before=unity_formula(recipe, count_colour_fluxes=count_colour_fluxes, stock=earlier),
        after=unity_formula(changed, count_colour_fluxes=count_colour_fluxes, stock=stock),
    )


def plastic_clay_pct(recipe: Recipe, stock: Stock) -> float:
    """Plastic clay in the base [% of the raw base]."""
    clay = fsum(line.amount for line in recipe.base if stock.find(line.material).plastic_clay)
    return 100 * clay / recipe.base_sum
