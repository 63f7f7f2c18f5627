"""Print box: one button that makes a sheet for the glaze room, keeps it in prints/ and opens it in a new tab."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import Any

from glazekit import sheets
from glazekit.ground.errors import GlazekitError, RecipeError, nearest_name, unknown_name
from glazekit.ground.numbers import parse_mass_g
from glazekit.lab.controls import choose, html, row, text_box
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Children, Panel
from glazekit.lab.paper import PaperTray, batch_paper
from glazekit.lab.parts.firing_plan import own_plan
from glazekit.recipe.batch import BatchSheet, batch_sheet
from glazekit.sheets.course_materials import PRACTICE, worksheet_recipe

OF_A_BATCH = ("batch sheet", "label strip", "tile card", "water log")
OF_A_RECIPE = (*OF_A_BATCH, "unity worksheet", "swap sheet", "fit test card")
OF_A_MASS = ("batch sheet", "water log")
OF_A_LESSON = {"studio card": sheets.studio_card_html, "home page": sheets.home_page_html}
OF_NOTHING = {
    "step card": sheets.step_card_html,
    "what happened": sheets.what_happened_html,
    "oxide card": sheets.oxide_card_html,
    "flux card": sheets.flux_card_html,
    "shelf plan": sheets.shelf_plan_html,
}
OFFERED_FIRST = {"unity worksheet": PRACTICE, "fit test card": "Cracked Lamp"}
SHEETS = (*OF_A_RECIPE, *OF_A_LESSON, *OF_NOTHING, "firing sheet", "blank chart")


class PrintBox(Panel):
    """One kind of sheet.

    Parameters
    ----------
    sheet : one of ``SHEETS``.
    recipe : the recipe offered first, for the sheets that belong to one; a unity worksheet begins with the practice glaze.
    new : the recipe that a swap sheet sets beside it.
    reference : the fired glaze that a fit test card sets beside it.
    """

    name = "print box"
    home = "00"

    def __init__(
        self, desk: Desk, sheet: str, recipe: str = "", new: str = "Handrail Clear", reference: str = "Gangway Clear"
    ) -> None:
        if sheet not in SHEETS:
            raise unknown_name(GlazekitError, "sheet", sheet, SHEETS)
        super().__init__(desk, key=f"print {sheet}", recipe=recipe or OFFERED_FIRST.get(sheet, "Gangway Clear"))
        self.sheet, self.new, self.reference = sheet, new, reference

    def build(self) -> Children:
        """Recipe, batch size and label where the sheet has them; the button; the link."""
        fields = []
        if self.sheet in OF_A_RECIPE:
            self.recipes = self.take_recipes()
            if self.sheet == "unity worksheet":
                self.recipes = {PRACTICE: worksheet_recipe(PRACTICE), **self.recipes}
            self.recipe = self.recipe_box("old" if self.sheet == "swap sheet" else "recipe", self.first_recipe)
            fields.append(self.recipe)
        if self.sheet == "swap sheet":
            self.second = self.recipe_box("new", self.new)
            fields.append(self.second)
        if self.sheet == "fit test card":
            self.second = self.recipe_box("reference", self.reference)
            fields.append(self.second)
        if self.sheet in OF_A_BATCH:
            self.label = self.keep("label", text_box(self.words("label"), wide=True))
            fields.append(self.label)
        if self.sheet in OF_A_MASS:
            self.base = self.keep("base", text_box(self.words("base"), "100"))
            fields.append(self.base)
        self.tray = PaperTray(self.desk)
        text = html(f"<p>{escape(self.words.texts['what'][self.sheet.replace(' ', '_')])}</p>")
        make = self.button(self.words("make", sheet=self.called), self.make, main=True)
        return text, row(*fields), row(make, self.tray.link)

    def recipe_box(self, key: str, first: str) -> Any:
        """A box to choose a recipe; ``key`` is the name of its label and of its place in the saved state."""
        if first not in self.recipes:
            raise RecipeError(self.words("no_recipe", name=first, hint=nearest_name(first, self.recipes) or "-"))
        return self.keep(key, choose(self.words(key), self.recipes, first))

    def paint(self) -> None:
        """Say what the button does, or what is wrong with the batch size."""
        if self.sheet in OF_A_MASS:
            self.batch()
        self.tell(self.words("ready"), "note")

    def _heading(self, stamp: str = "") -> str:
        return f"<h3>{escape(self.words('title', sheet=self.called))}</h3>"

    @property
    def called(self) -> str:
        """What learners call the sheet."""
        return str(self.words.texts["called"].get(self.sheet.replace(" ", "_"), self.sheet))

    def batch(self) -> BatchSheet:
        """The batch of the recipe and size chosen."""
        return batch_sheet(
            self.recipes[self.recipe.value], parse_mass_g(self.base.value, self.words("base")), self.desk.scale_division_g
        )

    def html(self) -> str:
        """The sheet as one HTML document."""
        if self.sheet == "firing sheet":
            return sheets.firing_sheet_html(own_plan(self.desk))
        if self.sheet in OF_NOTHING:
            return OF_NOTHING[self.sheet]()
        if self.sheet in OF_A_LESSON:
            return OF_A_LESSON[self.sheet](self.desk.lesson)
        who, today = self.desk.me["nickname"], date.today().isoformat()
        if self.sheet == "blank chart":
            return sheets.blank_chart_html(who=who)
        recipe = self.recipes[self.recipe.value]
        if self.sheet == "unity worksheet":
            return sheets.unity_worksheet_html(recipe)
        if self.sheet == "swap sheet":
            return sheets.swap_sheet_html(recipe, self.recipes[self.second.value], made_by=who, date=today)
        if self.sheet == "fit test card":
            return sheets.fit_card_html(recipe, reference=self.second.value, date=today)
        label = self.label.value.strip()
        if self.sheet == "batch sheet":
            return batch_paper(self.desk, self.batch(), label)
        if self.sheet == "water log":
            return sheets.water_log_html(recipe, dry_g=self.batch().total_g, batch=label, initials=who)
        make = sheets.label_strip_html if self.sheet == "label strip" else sheets.tile_card_html
        return make(recipe, batch=label, date=today, initials=who)

    def make(self) -> None:
        """Write the sheet into prints/ and link to it."""
        name = f"{self.recipe.value} {self.sheet}" if self.sheet in OF_A_RECIPE else f"{self.sheet} lesson {self.desk.lesson}"
        path = self.tray.put(name, self.html())
        self.tell(self.desk.frame("print_saved", file=f"prints/{path.name}"), "ok")

    def __repr__(self) -> str:
        return f"<print {self.sheet}>"
