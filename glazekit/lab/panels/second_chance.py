"""Second chance: a powder was forgotten, or nobody wrote the water down, and the bucket is already wet."""

from glazekit.ground.errors import RecipeError
from glazekit.lab.controls import html, row, show, stack
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import paragraphs
from glazekit.recipe.batch import BatchSheet, batch_sheet
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.weighing import forgotten_item
from glazekit.water.bucket import forgotten_water
from glazekit.water.slip import dry_g_from_weighing

POWDER, WATER = "powder", "water"


class SecondChance(Panel):
    """What to add now, or how much water is in it: from the batch's sheet and one weighing of the slip."""

    name = "second chance"
    home = "03"
    first_recipe = "Gangway Clear"

    def build(self) -> Children:
        """The batch, what slipped, what was forgotten, and one weighing of the slip."""
        self.recipe = self.keep_recipe("recipe")
        self.base = self.keep_text("base", "100")
        slips = [(self.words("no_powder"), POWDER), (self.words("no_water"), WATER)]
        self.slip = self.keep_pick("slip", slips, POWDER)
        self.forgotten = self.keep_choice("forgotten", [])
        self.left_ml = self.keep_text("left_ml")
        self.sample_ml = self.keep_text("sample_ml", "100")
        self.sample_g = self.keep_text("sample_g", "148")
        self.left_row = stack(row(self.forgotten, self.left_ml), html(paragraphs(self.words("left_how"))))
        return row(self.recipe, self.base), self.slip, self.left_row, row(self.sample_ml, self.sample_g)

    def offer(self) -> None:
        """What can be forgotten hangs on the recipe."""
        self.offer_anew(self.forgotten, self.recipes[self.recipe.value].materials())

    def paint(self) -> None:
        """Say what to do, in one sentence with its numbers."""
        show(self.left_row, self.slip.value == POWDER)
        sheet = self.sheet()
        self.warn(caution.text for caution in cautions_for(sheet.recipe, self.desk.stock, "mixing"))
        self.tell_bags(sheet.recipe.materials())
        self.tell(self._powder(sheet) if self.slip.value == POWDER else self._water(sheet), "look")

    def sheet(self) -> BatchSheet:
        """The sheet the batch was weighed from."""
        return batch_sheet(self.recipes[self.recipe.value], self.mass_g("base"), self.desk.scale_division_g, self.desk.stock)

    def _powder(self, sheet: BatchSheet) -> str:
        if not self.left_ml.value.strip():
            return forgotten_item(sheet, self.forgotten.value).words
        slip_g, slip_ml = self.mass_g("sample_g"), self.volume_ml("sample_ml")
        if slip_ml <= 0:
            raise RecipeError(self.words("no_sample"))
        dry_left_g = dry_g_from_weighing(slip_g, slip_ml) * self.volume_ml("left_ml") / slip_ml
        return forgotten_item(sheet, self.forgotten.value, dry_left_g).words

    def _water(self, sheet: BatchSheet) -> str:
        return forgotten_water(sheet.total_g, self.mass_g("sample_g"), self.volume_ml("sample_ml")).words
