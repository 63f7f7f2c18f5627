"""Swap bench: a powder is sold out; the exact way round it, the nearest, and gram for gram, side by side."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Any

from glazekit.chemistry.side_by_side import Way
from glazekit.chemistry.substitute import Substitution, substitute
from glazekit.chemistry.unity import unity_formula
from glazekit.ground.errors import RecipeError, nearest_name
from glazekit.ground.numbers import show_g
from glazekit.lab.controls import choose, html, row, stack, table
from glazekit.lab.panel import Panel
from glazekit.lab.panels.formula_words import name_of, show_change, show_mol
from glazekit.lab.panels.movable_glaze import may_be_in_a_base
from glazekit.lab.shelf import save_recipe
from glazekit.lab.tick_list import TickList
from glazekit.materials.oxides import OXIDE_ORDER
from glazekit.materials.stock import course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe

NONE = ""
SMALLEST_G = 0.005


class SwapBench(Panel):
    """A recipe, what is missing, what may take its place, what is to be kept.

    Parameters
    ----------
    recipe, out, into : what lies there at first.
    """

    name = "swap bench"
    home = "08"

    def __init__(
        self, page: Any, recipe: str = "Gangway Clear", out: str = "soda feldspar", into: str = "nepheline syenite", **more: Any
    ) -> None:
        self.first = (recipe, out, into)
        super().__init__(page, **more)

    def build(self) -> Iterable:
        """The choices, the ways beside each other, the formula of each, saving one."""
        words = self.words
        recipe, out, into = self.first
        self.recipes = self.take_recipes()
        if recipe not in self.recipes:
            raise RecipeError(words("no_recipe", name=recipe, hint=nearest_name(recipe, self.recipes) or "-"))
        self.recipe = self.keep("recipe", choose(words("recipe"), self.recipes, recipe))
        names = sorted(material.name for material in course_stock() if may_be_in_a_base(material))
        self.out = self.keep("out", choose(words("out"), names, out))
        self.into = self.keep("into", choose(words("into"), names, into))
        self.second = self.keep(
            "second", choose(words("second"), [(words("none"), NONE), *((name, name) for name in names)], NONE)
        )
        self.memory.setdefault("keep_of", [])
        self.keeping = TickList()
        self.keeping.observe(self._changed)
        self.ways, self.formulas = html(), html()
        self.chosen = self.keep("chosen", choose(words("chosen"), [(words("nearest"), 0)], 0))
        return (
            row(self.recipe, self.out),
            row(self.into, self.second),
            stack(html(f"<p><b>{escape(words('keep'))}</b></p>"), self.keeping.box),
            self.ways,
            self.formulas,
            row(self.chosen, self.button(words("save"), self.save, main=True)),
        )

    def paint(self) -> None:
        """Find the three ways and say what each moves."""
        card = self.recipes[self.recipe.value].to_100().merged()
        self._offer_out(card)
        candidates = [name for name in dict.fromkeys((self.into.value, self.second.value)) if name]
        self.swap = substitute(card, self.out.value, candidates, keep=self._to_keep(card, candidates))
        self._offer_ways()
        self.ways.value = self._grams(card)
        self.formulas.value = self._formulas()
        self.warn(caution.text for caution in cautions_for(self._way().recipe, moment="weighing"))
        self._say(self.swap)

    def _to_keep(self, card: Recipe, candidates: list[str]) -> list[str]:
        """The oxides that are ticked; for another swap those that its powders mainly bring."""
        usual = substitute(card, self.out.value, candidates).keep
        here = [self.recipe.value, self.out.value, *candidates]
        if self.memory["keep_of"] != here:
            self.memory.update(keep_of=here, keep=list(usual))
        elif self.keeping.ticks:
            self.memory["keep"] = self.keeping.value
        formula = unity_formula(card)
        offer = list(dict.fromkeys([*usual, *(oxide for oxide in formula.moles if not any(oxide in kept for kept in usual))]))
        self.keeping.offer({key: " + ".join(map(name_of, key.split("+"))) for key in offer}, self.memory["keep"])
        if not self.keeping.value:
            raise RecipeError(self.words("keep_nothing"))
        return self.keeping.value

    # -- choices that follow from others ------------------------------------------------------------------------------------

    def _offer_out(self, card: Recipe) -> None:
        offer = tuple(course_stock().find(line.material).name for line in card.base)
        if self.out.options != offer:
            kept = self.out.value
            with self.hold():
                self.out.options = offer
                self.out.value = kept if kept in offer else offer[0]

    def _names(self) -> list[str]:
        """Head of each way; the gram for gram ways say which powder."""
        words, swap = self.words, self.swap
        heads = [words("exact")] if swap.exact else []
        heads.append(words("nearest"))
        for way in swap.weight_for_weight:
            new = [name for name, before, after in way.changes if after > before]
            heads.append(words("gram_for_gram", material=", ".join(new)))
        return heads

    def _offer_ways(self) -> None:
        offer = tuple((head, i) for i, head in enumerate(self._names()))
        if self.chosen.options != offer:
            with self.hold():
                self.chosen.options = offer
                self.chosen.value = 0

    def _way(self) -> Way:
        return self.swap.ways[self.chosen.value]

    # -- what it shows ------------------------------------------------------------------------------------------------------

    def _grams(self, card: Recipe) -> str:
        before = {line.material: line.amount for line in card.base}
        after = [{line.material: line.amount for line in way.recipe.base} for way in self.swap.ways]
        names = list(dict.fromkeys([*before, *(name for own in after for name in own)]))
        rows = [(name, *(_cell(own.get(name, 0.0)) for own in (before, *after))) for name in names]
        rows.append((self.words("together"), *(_cell(sum(own.values())) for own in (before, *after))))
        return _wide(table((self.words("powder"), self.words("card"), *self._names()), rows))

    def _formulas(self) -> str:
        words, ways = self.words, self.swap.ways
        start = ways[0].before
        oxides = [oxide for oxide in OXIDE_ORDER if start[oxide] or any(way.after[oxide] for way in ways)]
        rows = [(name_of(o), show_mol(start[o]), *(self._shift(start[o], way.after[o]) for way in ways)) for o in oxides]
        rows.append(
            (words("ratio"), _ratio(start.silica_to_alumina_mol), *(_ratio(way.after.silica_to_alumina_mol) for way in ways))
        )
        rows.append((words("loi"), "", *(f"{show_change(way.loi_change_pct, 1)} %" for way in ways)))
        rows.append((words("clay"), "", *(f"{show_change(way.plastic_clay_change_pct, 1)} %" for way in ways)))
        return _wide(table((words("oxide"), words("card"), *self._names()), rows))

    @staticmethod
    def _shift(before: float, after: float) -> str:
        change = show_change(after - before)
        return show_mol(after) if change == "0.00" else f"{show_mol(after)} ({change})"

    def _say(self, swap: Substitution) -> None:
        words = self.words
        kept = ", ".join(" + ".join(map(name_of, group.split("+"))) for group in swap.keep)
        if swap.exact:
            moves = ", ".join(f"{name} {show_change(after - before)} g" for name, before, after in swap.exact.changes)
            self.tell(words("can", kept=kept, moves=moves), "ok")
        else:
            self.tell(words("cannot", kept=kept, why=swap.why_not), "look")

    def save(self) -> None:
        """Save the chosen way, base brought to 100, as a new CSV file in my-recipes/."""
        recipe = self._way().recipe.to_100()
        name = self.words("saved_name", name=recipe.name, out=self.swap.out)
        path = save_recipe(self.page.folder, recipe.renamed(name))
        self.tell(self.words("saved", file=f"my-recipes/{path.name}"), "ok")


def _cell(mass_g: float) -> str:
    return show_g(mass_g, 0.01) if mass_g >= SMALLEST_G else "–"


def _ratio(ratio: float | None) -> str:
    return "–" if ratio is None else f"{ratio:.1f}"


def _wide(html_table: str) -> str:
    return f'<div class="gk-scroll">{html_table}</div>'
