"""Syringe check: weigh a known volume of slip; find its dry powder and water, and what the bucket needs."""

from __future__ import annotations

from html import escape

from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import parse_mass_g, parse_number, parse_volume_ml, show_g, show_ml, show_number
from glazekit.lab.controls import choose, html, row, table, text_box, tick
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.slip_in_book import SlipInBook
from glazekit.water.bucket import bucket_correction
from glazekit.water.slip import (
    POWDER_DENSITY_G_ML,
    dry_g_from_weighing,
    powder_density_g_ml_of,
    water_ml_per_100g_from_density,
    water_to_reach_density,
    without_density,
)


class SyringeCheck(Panel):
    """From volume and grams to density, dry powder and water per 100 g; then to a target density, for sample and bucket."""

    name = "syringe check"
    home = "03"

    def build(self) -> Children:
        """Boxes for the weighing, the target and the bucket."""
        self.recipes = self.take_recipes()
        self.volume = self.keep("volume", text_box(self.words("volume"), "100"))
        self.full = self.keep("full", text_box(self.words("full"), "148"))
        self.empty = self.keep("empty", text_box(self.words("empty"), "0"))
        self.target = self.keep("target", text_box(self.words("target"), "1.45"))
        self.bucket = self.keep("bucket", text_box(self.words("bucket"), "5000"))
        names = [(self.words("no_recipe"), ""), *((name, name) for name in self.recipes)]
        self.recipe = self.keep("recipe", choose(self.words("recipe"), names, ""))
        self.own_density = self.keep("own_density", tick(self.words("own_density")))
        self.found, self.advice = html(), html()
        self.note = SlipInBook(self, self.slip_data)
        return (
            html(f"<p>{self.words('weigh')}</p>"),
            row(self.volume, self.full, self.empty),
            row(self.recipe, self.own_density),
            self.found,
            html(f"<p>{self.words('aim')}</p>"),
            row(self.target, self.bucket),
            self.advice,
            self.note.widget,
        )

    def paint(self) -> None:
        """Compute from the sample, then say what to do with the bucket."""
        volume_ml, slip_g = parse_volume_ml(self.volume.value, self.words("volume")), self.slip_g()
        powder = self.powder_density()
        dry_g = dry_g_from_weighing(slip_g, volume_ml, powder)
        density = slip_g / volume_ml
        water = water_ml_per_100g_from_density(density, powder)
        rows = (
            (self.words("density"), f"{show_number(density, 3)} g/mL"),
            (self.words("dry"), show_g(dry_g)),
            (self.words("water"), f"{show_number(water, 1)} mL"),
        )
        self.found.value = table((), rows) + f'<p class="gk-saved">{escape(self._density_words(powder, slip_g, volume_ml))}</p>'
        target = parse_number(self.target.value, self.words("target"))
        more_ml = water_to_reach_density(dry_g, dry_g / 100 * water, target, powder)
        recipe = self.recipes.get(self.recipe.value)
        bucket_ml = parse_volume_ml(self.bucket.value, self.words("bucket"))
        correction = bucket_correction(density, target, bucket_ml, recipe, powder_density_g_ml=powder)
        key = "sample_more" if more_ml >= 0 else "sample_less"
        self.advice.value = f"<p>{escape(self.words(key, ml=show_ml(abs(more_ml)), volume=show_ml(volume_ml)))}</p>"
        self.tell(correction.words, "ok" if correction.action == "leave it" else "look")
        self.note.offer()

    def slip_g(self) -> float:
        """Net mass of the slip [g]."""
        full, empty = (parse_mass_g(box.value, box.description) for box in (self.full, self.empty))
        if empty >= full:
            raise RangeError(self.words("nothing_in", full=show_g(full), empty=show_g(empty)))
        return full - empty

    def powder_density(self) -> float:
        """Density of the grains [g/mL]: 2.6, or that of the chosen recipe when switched on."""
        recipe = self.recipes.get(self.recipe.value)
        return powder_density_g_ml_of(recipe) if recipe and self.own_density.value else POWDER_DENSITY_G_ML

    def _density_words(self, powder: float, slip_g: float, volume_ml: float) -> str:
        recipe = self.recipes.get(self.recipe.value)
        if not self.own_density.value:
            return self.words("named_density", density=show_number(powder, 1))
        if recipe is None:
            return self.words("choose_recipe")
        usual_g = dry_g_from_weighing(slip_g, volume_ml)
        text = self.words(
            "effect",
            density=show_number(powder, 2),
            dry=show_g(dry_g_from_weighing(slip_g, volume_ml, powder)),
            usual=show_g(usual_g),
        )
        guessed = without_density(recipe)
        return text + (" " + self.words("guessed", names=", ".join(guessed)) if guessed else "")

    def slip_data(self) -> dict[str, float]:
        """The weighing as the book keeps it."""
        volume_ml, slip_g = parse_volume_ml(self.volume.value, self.words("volume")), self.slip_g()
        density = slip_g / volume_ml
        return {
            "slip_g": round(slip_g, 3),
            "slip_ml": volume_ml,
            "slip_density_g_ml": round(density, 4),
            "water_ml_per_100g": round(water_ml_per_100g_from_density(density, self.powder_density()), 2),
            "powder_density_g_ml": round(self.powder_density(), 3),
        }
