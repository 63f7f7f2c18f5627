"""Syringe check: weigh a known volume of slip; find its dry powder and water, and what the bucket needs."""

from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import parse_mass_g, parse_number, show_g, show_ml, show_number
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.in_book import SlipInBook
from glazekit.lab.prose import paragraphs, small, table
from glazekit.water import slip
from glazekit.water.bucket import bucket_correction


class SyringeCheck(Panel):
    """From volume and grams to density, dry powder and water per 100 g; then to a target density, for sample and bucket."""

    name = "syringe check"
    home = "03"

    def build(self) -> Children:
        """Boxes for the weighing, the target and the bucket."""
        self.volume = self.keep_text("volume", "100")
        self.full = self.keep_text("full")
        self.empty = self.keep_text("empty", "0")
        self.target = self.keep_text("target", "1.45")
        self.bucket = self.keep_text("bucket")
        self.recipe = self.keep_recipe("recipe", none="no_recipe")
        self.own_density = self.keep_tick("own_density")
        self.found, self.advice = html(), html()
        self.note = SlipInBook(self, self.slip_data)
        return (
            html(paragraphs(self.words("weigh"))),
            row(self.volume, self.full, self.empty),
            row(self.recipe, self.own_density),
            self.found,
            html(paragraphs(self.words("aim"))),
            row(self.target, self.bucket),
            self.advice,
            self.note.widget,
        )

    def paint(self) -> None:
        """Compute from the sample once it is weighed, then say what to do with it, or with the whole bucket."""
        self.note.offer()
        if not self.full.value.strip():
            self.found.value = self.advice.value = ""
            self.tell(self.words("start"), "open")
            return
        volume_ml, slip_g, powder = self.volume_ml("volume"), self.slip_g(), self.powder_density()
        dry_g, density = slip.dry_g_from_weighing(slip_g, volume_ml, powder), slip_g / volume_ml
        water = slip.water_ml_per_100g_from_density(density, powder)
        rows = (
            (self.words("density"), f"{show_number(density, 3)} g/mL"),
            (self.words("dry"), show_g(dry_g)),
            (self.words("water"), f"{show_number(water, 1)} mL"),
        )
        self.found.value = table((), rows) + small(self._density_words(powder, slip_g, volume_ml))
        target = parse_number(self.target.value, self.words("target"))
        more_ml = slip.water_to_reach_density(dry_g, dry_g / 100 * water, target, powder)
        key = "sample_more" if more_ml >= 0 else "sample_less"
        advice = self.words(key, ml=show_ml(abs(more_ml)), volume=show_ml(volume_ml))
        if not self.bucket.value.strip():
            self.advice.value = ""
            self.tell(advice, "note")
            return
        recipe, bucket_ml = self.recipes.get(self.recipe.value), self.volume_ml("bucket")
        correction = bucket_correction(density, target, bucket_ml, recipe, powder_density_g_ml=powder)
        self.advice.value = paragraphs(advice)
        self.tell(correction.words, "ok" if correction.action == "leave it" else "look")

    def slip_g(self) -> float:
        """Net mass of the slip [g]."""
        full, empty = (parse_mass_g(box.value, box.description) for box in (self.full, self.empty))
        if empty >= full:
            raise RangeError(self.words("nothing_in", full=show_g(full), empty=show_g(empty)))
        return full - empty

    def powder_density(self) -> float:
        """Density of the grains [g/mL]: 2.6, or that of the chosen recipe when switched on."""
        recipe = self.recipes.get(self.recipe.value)
        return slip.powder_density_g_ml_of(recipe) if recipe and self.own_density.value else slip.POWDER_DENSITY_G_ML

    def _density_words(self, powder: float, slip_g: float, volume_ml: float) -> str:
        recipe = self.recipes.get(self.recipe.value)
        if not self.own_density.value:
            return self.words("named_density", density=show_number(powder, 1))
        if recipe is None:
            return self.words("choose_recipe")
        dry, usual = (
            show_g(slip.dry_g_from_weighing(slip_g, volume_ml, grains)) for grains in (powder, slip.POWDER_DENSITY_G_ML)
        )
        text = self.words("effect", density=show_number(powder, 2), dry=dry, usual=usual)
        guessed = slip.without_density(recipe)
        return text + (" " + self.words("guessed", names=", ".join(guessed)) if guessed else "")

    def slip_data(self) -> dict[str, float]:
        """The weighing as the book keeps it."""
        volume_ml, slip_g, powder = self.volume_ml("volume"), self.slip_g(), self.powder_density()
        density = slip_g / volume_ml
        return {
            "slip_g": round(slip_g, 3),
            "slip_ml": volume_ml,
            "slip_density_g_ml": round(density, 4),
            "water_ml_per_100g": round(slip.water_ml_per_100g_from_density(density, powder), 2),
            "powder_density_g_ml": round(powder, 3),
        }
