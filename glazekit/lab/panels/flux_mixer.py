"""Flux mixer: the fluxes of a glaze as shares of 1, and what has to be weighed for them."""

from glazekit.chemistry.flux_change import HOLD_FORMULA, HOLD_MATERIALS, FluxChange, hold_formula, hold_materials
from glazekit.chemistry.unity import unity_formula
from glazekit.drawing.markup import Html
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import show_g, show_percent
from glazekit.lab.browser import FluxMix
from glazekit.lab.controls import html, row, stack
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.formula_words import name_of, show_change, show_mol
from glazekit.lab.parts.kiln_words import cautions_of
from glazekit.lab.parts.tick_lists import SHELF, powder_ticks
from glazekit.lab.prose import columns, listed, paragraphs, table
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.recipe.recipe import Recipe

OFFERED = ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "ZnO")
"""Baria and lead oxide are not mixed in this course."""
SPEAKS = ("open", "locked", "padlock", "box", "this_locked", "no_other", "all_locked", "stopped", "unread")
SMALLEST_G = 0.05
"""Less than this of a powder in 100 g is not shown: a scale would not see it."""


class FluxMixer(Panel):
    """Sliders that share 1, and the recipe that follows from them."""

    name = "flux mixer"
    home = "07"
    first_recipe = "Gangway Clear"

    def build(self) -> Children:
        """The glaze, the sliders, what is held, the powders, the recipe beside the card."""
        words = self.words
        self.recipe = self.keep_recipe("recipe")
        names = [(oxide, name_of(oxide)) for oxide in OFFERED]
        card = self._fluxes(self.recipes[self.first_recipe].to_100())
        self.mix = self.keep("mix", FluxMix(names, card, {key: words(key) for key in SPEAKS}))
        held = [(words("hold_formula"), HOLD_FORMULA), (words("hold_materials"), HOLD_MATERIALS)]
        self.held = self.keep_pick("held", held, HOLD_FORMULA)
        self.powders = self.keep("powders", powder_ticks(self.desk.stock, SHELF))
        self.memory.setdefault("mix_of", self.recipe.value)
        self.meaning, self.found, self.ways = html(), html(), html()
        return (
            row(self.recipe, self.button(words("back"), self.back_to_the_card)),
            self.mix,
            self.strong("held"),
            self.held,
            self.meaning,
            self.found,
            self.ways,
            stack(self.strong("powders"), self.powders.box),
            row(self.button(words("save"), self.save, main=True)),
        )

    def paint(self) -> None:
        """Find the recipe for these fluxes and say whether it can be made."""
        card = self.card()
        if self.memory["mix_of"] != self.recipe.value:
            self.memory["mix_of"] = self.recipe.value
            with self.hold():
                self.back_to_the_card()
        self.holds_formula = self.held.value == HOLD_FORMULA
        self.meaning.value = paragraphs(self.words("means_formula" if self.holds_formula else "means_materials"))
        self.change = self._change(card)
        self.found.value = self._tables(card)
        self.ways.value = listed([*self.change.why_not, *(f"{self.words('way_out')} {way}" for way in self.change.reliefs)])
        made = self.change.changed.recipe
        self.warn(cautions_of(made, self.desk.stock))
        self.tell_bags((*card.materials(), *made.materials()))
        self._say()

    def card(self) -> Recipe:
        """The chosen recipe with a base of 100 g."""
        return self.recipes[self.recipe.value].to_100()

    def _fluxes(self, recipe: Recipe) -> dict[str, float]:
        """Shares of the fluxes of a recipe, for every one that is offered."""
        formula = unity_formula(recipe, stock=self.desk.stock)
        strange = [OXIDES[oxide].name for oxide in formula.fluxes if oxide not in OFFERED]
        if strange:
            raise RecipeError(self.words("not_offered", name=recipe.name, fluxes=", ".join(strange)))
        return {oxide: formula[oxide] for oxide in OFFERED}

    def _change(self, card: Recipe) -> FluxChange:
        shares = {oxide: share for oxide, share in self.mix.shares.items() if share > 0}
        total = sum(shares.values())
        exact = {oxide: share / total for oxide, share in shares.items()}
        powders = self.powders.value
        if not powders:
            raise RecipeError(self.words("no_powders"))
        return (hold_formula if self.holds_formula else hold_materials)(card, exact, powders, stock=self.desk.stock)

    def _tables(self, card: Recipe) -> Html:
        words, way = self.words, self.change.changed
        before = {line.material: line.amount for line in card.merged().base}
        after = {line.material: line.amount for line in way.recipe.base}
        rows = [
            (name, _grams(before.get(name, 0.0)), _grams(after.get(name, 0.0)))
            for name in dict.fromkeys([*before, *after])
            if max(before.get(name, 0.0), after.get(name, 0.0)) >= SMALLEST_G
        ]
        rows.append((words("together"), _grams(sum(before.values())), _grams(sum(after.values()))))
        formula = [
            (name_of(oxide), show_mol(way.before[oxide]), show_mol(way.after[oxide]), show_change(change))
            for oxide, change in sorted(way.unity_change.items(), key=lambda one: one[0] not in FLUXES)
        ]
        powders = table(self.texts("powder", "on_card", "now"), rows)
        return columns(powders, table(self.texts("oxide", "on_card", "now", "shift"), formula))

    def _say(self) -> None:
        words, way = self.words, self.change.changed
        fluxes = ", ".join(f"{name_of(oxide)} {show_mol(share)}" for oxide, share in self.change.fluxes)
        alkalis = sum(share for oxide, share in self.change.fluxes if oxide in ("Li2O", "Na2O", "K2O"))
        said = words("fluxes", fluxes=fluxes, share=show_percent(100 * alkalis, 0))
        silica, alumina = (show_change(way.unity_change.get(oxide, 0.0)) for oxide in ("SiO2", "Al2O3"))
        can = self.change.feasible
        price = "" if can and self.holds_formula else f" {words('price', silica=silica, alumina=alumina)}"
        self.tell(f"{said}\n{words('can' if can else 'cannot')}{price}", "ok" if can else "stop")

    def back_to_the_card(self) -> None:
        """The fluxes as the card has them."""
        self.mix.value = {"shares": self._fluxes(self.card()), "locked": self.mix.value["locked"]}

    def save(self) -> None:
        """Save the recipe with the new fluxes as a new CSV file in my-recipes/."""
        if not self.change.feasible:
            raise RecipeError(self.desk.frame("nothing_to_save"))
        self.save_recipe(self.change.changed.recipe.to_100().renamed(self.words("saved_name", name=self.card().name)))


def _grams(mass_g: float) -> str:
    return show_g(mass_g, 0.1) if mass_g >= SMALLEST_G else "–"
