"""Unity bench: powders under sliders, oxides sorted into three trays, and the formula that comes of it."""

from glazekit.chemistry.board import mineral_board, raw_to_fired, two_glazes, who_brings_what
from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.drawing.markup import join
from glazekit.drawing.moles import trays
from glazekit.ground.numbers import show_g
from glazekit.lab.controls import html, row, show, stack, tick
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.formula_words import board_table, groups_of, headline, show_mol, three_columns
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.lab.prose import strong
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.recipe import Recipe

TRAY_LABELS = ("tray_fluxes", "tray_stabiliser", "tray_former", "tray_boron", "tray_moles")


class UnityBench(Panel):
    """The formula of a movable glaze, with its working, and a second glaze beside it."""

    name = "unity bench"
    home = "05"
    first_recipe = "Practice glaze"

    def build(self) -> Children:
        """The powders beside the trays; the formula, the second glaze, the working."""
        words = self.words
        self.glaze = MovableGlaze(self, self.first_recipe)
        views = [(words("base_only"), False), (words("with_additions"), True)]
        self.view = self.keep_pick("view", views, False)
        self.picture, self.formula, self.both, self.working = html(), html(), html(), html()
        self.beside = self.keep_choice("beside", [(words("none"), ""), *self.glaze.recipes])
        self.wants_working = self.keep("working", tick(words("show_working")))
        powders = stack(self.glaze.widget, css_class="gk-sliders")
        counted = stack(self.picture, self.strong("view"), self.view, css_class="gk-grow gk-picture-first")
        top = row(powders, counted, css_class="gk-top")
        return top, self.formula, row(self.beside), self.both, self.wants_working, self.working

    def paint(self) -> None:
        """Sort, count, divide; say the two ratios."""
        recipe = self.glaze.recipe()
        formula = unity_formula(recipe, include_additions=self.view.value, stock=self.desk.stock)
        said = headline(formula, self.words)
        self.tell_bags(recipe.materials())
        self.picture.value = self._trays(recipe, formula, said)
        self.formula.value = three_columns(formula, self.words)
        self._beside(recipe)
        self._working(recipe)
        moved = self.glaze.moved()
        said += "\n" + (self.words("moved", changes=", ".join(moved)) if moved else self.words("as_card", name=recipe.name))
        self.tell(f"{said} {self.words('total', mass=show_g(recipe.base_sum, 0.1))}", "note")

    def _trays(self, recipe: Recipe, formula: UnityFormula, said: str) -> str:
        groups = groups_of(formula)
        full = {key: [(f"{OXIDES[o].name} {show_mol(formula[o])}", formula[o]) for o in groups[key]] for key in groups}
        labels = {key.removeprefix("tray_"): self.words(key) for key in TRAY_LABELS}
        oxides = full["fluxes"], full["stabiliser"], full["former"], full["boron"]
        return trays(*oxides, self.words("picture", name=recipe.name), said, labels)

    def _beside(self, recipe: Recipe) -> None:
        show(self.both, bool(self.beside.value))
        if self.beside.value:
            mine = recipe.renamed(self.words("mine", name=recipe.name)) if self.glaze.moved() else recipe
            other = self.glaze.recipes[self.beside.value]
            self.both.value = board_table(two_glazes(mine, other, include_additions=self.view.value, stock=self.desk.stock))

    def _working(self, recipe: Recipe) -> None:
        show(self.working, self.wants_working.value)
        if self.wants_working.value:
            steps = (("step_1", raw_to_fired), ("step_2", mineral_board), ("step_3", who_brings_what))
            asked = {"include_additions": self.view.value, "stock": self.desk.stock}
            self.working.value = join(*(strong(self.words(key)) + board_table(step(recipe, **asked)) for key, step in steps))
