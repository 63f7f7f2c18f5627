"""A glaze that can be moved: a recipe chosen from those at hand, with a slider and a number box for each powder of its base."""

from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import parse_mass_g, plain_text
from glazekit.lab.controls import SliderWithBox, choose, row, stack
from glazekit.lab.panel import Panel
from glazekit.lab.parts.formula_words import show_change
from glazekit.materials.material import Material
from glazekit.recipe.pasted import recipe_from_text
from glazekit.recipe.recipe import PERCENT_OF_BASE, Recipe
from glazekit.words.texts import part_words

MOST_G = 100.0
SLIDER_STEP_G = 0.5
LEAST_TOLD_G = 0.049


class MovableGlaze:
    """The part of a panel that holds a glaze; the panel asks it for its ``recipe()`` in ``paint``. The base starts as 100 g. What
    was moved is kept in the panel's memory, apart for each recipe, so another glaze can be looked at and left again.
    ``memory["grams"]``: recipe -> material -> text of its box."""

    def __init__(self, panel: Panel, first: str) -> None:
        self.words = part_words("movable_glaze")
        self.panel = panel
        practice = recipe_from_text(self.words("practice"), name=self.words("practice_name"))
        self.recipes = {practice.name: practice} | panel.take_recipes()
        panel.need_recipe(first, self.recipes)
        self.choice = panel.keep("recipe", choose(self.words("recipe"), self.recipes, first))
        self.sliders: dict[str, SliderWithBox] = {}
        self._laid: dict[str, str] | None = None
        self._box = stack()
        powders = sorted(material.name for material in panel.desk.stock if may_be_in_a_base(material))
        self.more = choose(self.words("more"), powders)
        buttons = (
            panel.button(self.words("add"), self.add, name=self.words("add_name")),
            panel.button(self.words("back"), self.back_to_the_card),
        )
        self.widget = stack(row(self.choice), self._box, row(self.more, *buttons))

    @property
    def card(self) -> Recipe:
        """The chosen recipe as its card says, brought to a base of 100."""
        return self.recipes[self.choice.value].to_100()

    def recipe(self) -> Recipe:
        """The glaze as the sliders stand [g]; its additions stay the same share of the base."""
        notes = self._notes()
        self._follow(notes)
        base, card = {name: slider.number for name, slider in self.sliders.items()}, self.card
        if not any(base.values()):
            raise RecipeError(self.words("all_empty"))
        meant = PERCENT_OF_BASE if card.additions else None
        return Recipe(card.name, base, card.additions, meant, card.cone, card.atmosphere, card.note)

    def moved(self) -> list[str]:
        """Every powder that stands elsewhere than on the card, in words such as "kaolin +10.0 g"."""
        card = _merged_base(self.card)
        changes = {name: slider.number - card.get(name, 0.0) for name, slider in self.sliders.items()}
        return [f"{name} {show_change(by, 1)} g" for name, by in changes.items() if abs(by) > LEAST_TOLD_G]

    def add(self) -> None:
        """A slider for one more powder, at 0 g."""
        self._notes().setdefault(self.more.value, "0")
        self.panel.refresh()

    def back_to_the_card(self) -> None:
        """All sliders as the card says."""
        self.panel.memory["grams"].pop(self.choice.value, None)
        self.panel.refresh()

    def _notes(self) -> dict[str, str]:
        grams: dict[str, dict[str, str]] = self.panel.memory.setdefault("grams", {})
        if self.choice.value not in grams:
            grams[self.choice.value] = {name: show_g_box(amount) for name, amount in _merged_base(self.card).items()}
        return grams[self.choice.value]

    def _follow(self, notes: dict[str, str]) -> None:
        """Take what the sliders say into the notes; lay the sliders out anew when the notes are of another glaze."""
        if notes is self._laid and list(notes) == list(self.sliders):
            notes.update({name: slider.value for name, slider in self.sliders.items()})
            return
        kept = self.sliders if notes is self._laid else {}
        self.sliders = {name: kept.get(name) or self._slider(name, text) for name, text in notes.items()}
        self._laid = notes
        self._box.children = [slider.widget for slider in self.sliders.values()]

    def _slider(self, name: str, text: str) -> SliderWithBox:
        label = self.words("grams", material=name)
        slider = SliderWithBox(label, 0, 0, MOST_G, SLIDER_STEP_G, read=lambda typed: parse_mass_g(typed, name))
        slider.value = text
        slider.observe(lambda _: self.panel.refresh())
        return slider


def show_g_box(mass_g: float) -> str:
    """Grams as they stand in a box: at most two decimals, no unit.

    >>> show_g_box(26.0), show_g_box(18.957345)
    ('26', '18.96')
    """
    return plain_text(round(mass_g, 2))


def may_be_in_a_base(material: Material) -> bool:
    """Is it a powder with oxides that a class would have on its shelf."""
    return bool(material.oxides) and material.stocked


def _merged_base(recipe: Recipe) -> dict[str, float]:
    return {line.material: line.amount for line in recipe.merged().base}
