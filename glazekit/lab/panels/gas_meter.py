"""Gas meter: what of a recipe leaves in the kiln, powder by powder."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.board import raw_to_fired
from glazekit.ground.errors import RecipeError, nearest_name
from glazekit.ground.numbers import show_g, show_percent
from glazekit.lab.controls import choose, html, row
from glazekit.lab.figures.scales import gas_bars
from glazekit.lab.panel import Panel
from glazekit.lab.panels.formula_words import board_table
from glazekit.recipe.cautions import cautions_for


class GasMeter(Panel):
    """Loss on ignition of one recipe, its base brought to 100 g.

    Parameters
    ----------
    recipe : name of the recipe shown first.
    """

    name = "gas meter"
    home = "04"

    def __init__(self, page: Any, recipe: str = "Gangway Clear", **more: Any) -> None:
        self.first = recipe
        super().__init__(page, **more)

    def build(self) -> Iterable:
        """The recipe, the bars, the table."""
        self.recipes = self.take_recipes()
        if self.first not in self.recipes:
            raise RecipeError(self.words("no_recipe", name=self.first, hint=nearest_name(self.first, self.recipes) or "-"))
        self.recipe = self.keep("recipe", choose(self.words("recipe"), self.recipes, self.first))
        self.picture, self.table = html(), html()
        return row(self.recipe), self.picture, self.table

    def paint(self) -> None:
        """Fire 100 g of the base on paper."""
        card = self.recipes[self.recipe.value].to_100()
        found = analyse(card)
        leaves = []
        for line in card.merged().base:
            material = found.stock.find(line.material)
            leaves.append((material.name, line.amount, line.amount * material.loi_wt_pct_raw / 100))
        most = max(leaves, key=lambda one: one[2])
        said = self.words(
            "leaves",
            name=card.name,
            loi=show_percent(found.loi_wt_pct_raw, 2),
            fired=show_g(found.fired_g, 0.01),
            most=most[0],
            most_g=show_g(most[2], 0.01),
        )
        rows = [
            (self.words("bar" if gas else "bar_none", material=name, raw=show_g(raw, 0.1), gas=show_g(gas, 0.01)), raw, gas)
            for name, raw, gas in leaves
        ]
        self.picture.value = gas_bars(rows, self.words("picture", name=card.name), said)
        self.table.value = board_table(raw_to_fired(card))
        self.warn(caution.text for caution in cautions_for(card, moment="firing"))
        self.tell(said)
