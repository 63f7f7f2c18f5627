"""Print box: one button that makes a sheet for the glaze room, keeps it in prints/ and opens it in a new tab."""

from datetime import date
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.lab.controls import html, row
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Children, Panel
from glazekit.lab.paper import PaperTray
from glazekit.lab.parts.firing_plan import own_plan
from glazekit.recipe.batch import BatchSheet, batch_sheet
from glazekit.sheets.catalogue import sheet_named
from glazekit.sheets.unity_worksheet import worksheet_recipe


class PrintBox(Panel):
    """One kind of sheet, which says what the box asks for; ``recipe`` is offered first, in place of the sheet's own."""

    name = "print box"
    home = "00"

    def __init__(self, desk: Desk, sheet: str, recipe: str = "") -> None:
        super().__init__(desk, key=f"print {sheet}", recipe=recipe)
        self.sheet = sheet_named(sheet)

    def build(self) -> Children:
        """Recipes, label and batch size where the sheet asks for them; the button; the link."""
        fields: list[Any] = []
        self.chosen: dict[str, Any] = {}
        if self.sheet.recipes:
            self.recipes = {name: worksheet_recipe(name) for name in self.sheet.own_recipes} | self.take_recipes()
            for key, first in self.sheet.recipes:
                name = first if self.chosen else self.first_recipe or first
                self.need_recipe(name, self.recipes)
                self.chosen[key] = self.keep_choice(key, self.recipes, name)
            fields += self.chosen.values()
        if "label" in self.sheet.needs:
            self.label = self.keep_text("label", wide=True)
            fields.append(self.label)
        if self.sheet.needs_batch:
            self.base = self.keep_text("base", "100")
            fields.append(self.base)
        self.tray = PaperTray(self)
        make = self.button(self.words("make", sheet=self.called), self.make, main=True)
        return html(el("p", self.words.texts["what"][self.sheet.key])), row(*fields), row(make, self.tray.link)

    def paint(self) -> None:
        """Say what the button does, or what is wrong with the batch size."""
        if self.sheet.needs_batch:
            self.batch()
        self.tell(self.words("ready"), "note")

    def _heading(self, stamp: str = "") -> Html:
        return el("h3", self.words("title", sheet=self.called))

    @property
    def called(self) -> str:
        """What learners call the sheet."""
        return str(self.words.texts["called"].get(self.sheet.key, self.sheet.name))

    def batch(self) -> BatchSheet:
        """The batch of the recipe and size chosen."""
        recipe = self.recipes[self.chosen["recipe"].value]
        return batch_sheet(recipe, self.mass_g("base"), self.desk.scale_division_g, self.desk.stock)

    def html(self) -> str:
        """The sheet as one HTML document, made from all that the learner has at hand."""
        at_hand: dict[str, Any] = {key: self.recipes[box.value] for key, box in self.chosen.items()} | {
            "who": self.desk.me["nickname"],
            "date": date.today().isoformat(),
            "lesson": self.desk.lesson,
            "schedule": own_plan(self.desk),
            "stock": self.desk.stock,
        }
        if "label" in self.sheet.needs:
            at_hand["label"] = self.label.value.strip()
        if self.sheet.needs_batch:
            batch = self.batch()
            at_hand |= {"batch": batch, "dry_g": batch.total_g}
        return self.sheet.html(at_hand)

    def make(self) -> None:
        """Write the sheet into prints/ and link to it."""
        recipe = next((box.value for box in self.chosen.values()), "")
        name = f"{recipe} {self.sheet.name}" if recipe else f"{self.sheet.name} lesson {self.desk.lesson}"
        self.tray.put(name, self.html())

    def __repr__(self) -> str:
        return f"<print {self.sheet.name}>"
