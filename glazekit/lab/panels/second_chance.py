"""Second chance: a powder was forgotten, or nobody wrote the water down, and the bucket is already wet."""

from __future__ import annotations

from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import parse_mass_g, parse_volume_ml
from glazekit.lab.controls import choose, html, offer_anew, pick, row, show, stack, text_box
from glazekit.lab.panel import Children, Panel
from glazekit.recipe.batch import BatchSheet, batch_sheet
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.rescue import forgotten_item
from glazekit.water.bucket import forgotten_water
from glazekit.water.slip import dry_g_from_weighing

POWDER, WATER = "powder", "water"


class SecondChance(Panel):
    """What to add now, or how much water is in it: from the batch's sheet and one weighing of the slip."""

    name = "second chance"
    home = "03"

    def build(self) -> Children:
        """The batch, what slipped, what was forgotten, and one weighing of the slip."""
        self.recipes = self.take_recipes()
        self.recipe = self.keep("recipe", choose(self.words("recipe"), self.recipes, "Gangway Clear"))
        self.base = self.keep("base", text_box(self.words("base"), "100"))
        slips = [(self.words("no_powder"), POWDER), (self.words("no_water"), WATER)]
        self.slip = self.keep("slip", pick(self.words("slip"), slips, POWDER))
        self.forgotten = self.keep("forgotten", choose(self.words("forgotten"), self._materials()))
        self.left_ml = self.keep("left_ml", text_box(self.words("left_ml"), ""))
        self.sample_ml = self.keep("sample_ml", text_box(self.words("sample_ml"), "100"))
        self.sample_g = self.keep("sample_g", text_box(self.words("sample_g"), "148"))
        self.left_row = stack(row(self.forgotten, self.left_ml), html(f"<p>{self.words('left_how')}</p>"))
        return (
            row(self.recipe, self.base),
            self.slip,
            self.left_row,
            row(self.sample_ml, self.sample_g),
        )

    def offer(self) -> None:
        """What can be forgotten hangs on the recipe."""
        offer_anew(self.forgotten, self._materials())

    def paint(self) -> None:
        """Say what to do, in one sentence with its numbers."""
        show(self.left_row, self.slip.value == POWDER)
        sheet = self.sheet()
        self.warn(caution.text for caution in cautions_for(sheet.recipe, moment="mixing"))
        self.tell(self._powder(sheet) if self.slip.value == POWDER else self._water(sheet), "look")

    def sheet(self) -> BatchSheet:
        """The sheet the batch was weighed from."""
        base_g = parse_mass_g(self.base.value, self.words("base"))
        return batch_sheet(self.recipes[self.recipe.value], base_g, self.desk.scale_division_g)

    def _materials(self) -> tuple[str, ...]:
        return self.recipes[self.recipe.value].materials()

    def _sample(self) -> tuple[float, float]:
        return parse_mass_g(self.sample_g.value, self.words("sample_g")), parse_volume_ml(
            self.sample_ml.value, self.words("sample_ml")
        )

    def _powder(self, sheet: BatchSheet) -> str:
        if not self.left_ml.value.strip():
            return forgotten_item(sheet, self.forgotten.value).words
        slip_g, slip_ml = self._sample()
        if slip_ml <= 0:
            raise RecipeError(self.words("no_sample"))
        left_ml = parse_volume_ml(self.left_ml.value, self.words("left_ml"))
        dry_left_g = dry_g_from_weighing(slip_g, slip_ml) * left_ml / slip_ml
        return forgotten_item(sheet, self.forgotten.value, dry_left_g).words

    def _water(self, sheet: BatchSheet) -> str:
        slip_g, slip_ml = self._sample()
        return forgotten_water(sheet.total_g, slip_g, slip_ml).words
