"""Slope tray: does a coat stay, move, run or run off? A class with its range, and how it compares with a tile you fired."""

from dataclasses import replace
from typing import Any

from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.markup import Html, el, join
from glazekit.drawing.slope import Leaning, leaning_tiles
from glazekit.glass.melt import viscosity
from glazekit.glass.properties import constant
from glazekit.glass.run import flow_shares, slope_run
from glazekit.ground.estimate import RunClass, say_against, say_estimate, say_run, say_run_ratio
from glazekit.ground.numbers import show_number
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.chart_words import show_pa_s
from glazekit.lab.parts.firing_plan import COOLS_C_PER_H, TrayCurve, TrayFirings
from glazekit.lab.parts.kiln_words import cautions_of
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.lab.parts.reference_picker import CountingTick, Reference, ReferencePicker, seen_choice
from glazekit.lab.prose import paragraphs, small
from glazekit.recipe.recipe import Recipe

COAT_MM, ANGLE_DEG = (0.1, 2.0, 0.05), (10, 90, 5)
"""Lowest, highest, step of the sliders."""
THIN_MM = 0.2
"""A thin coat to begin with: Overboard stays within half its tile, so that the ratio to the reference is seen at once."""
CURE = "kaolin"
"""The powder that stands ready to be added."""


class SlopeTray(Panel):
    """A movable glaze, its reference, and a third one beside them, on one slope in one firing. No millimetres of run anywhere."""

    name = "slope tray"
    home = "10"
    first_recipe, first_beside = "Overboard", ""

    def build(self) -> Children:
        """Coat, slope, firing; the tray; what it means; the powders."""
        words = self.words
        self.glaze = MovableGlaze(self, self.first_recipe)
        self.glaze.more.value = CURE
        self.coat = self.keep_slider("coat", THIN_MM, *COAT_MM)
        self.angle = self.keep_slider("angle", 45, *ANGLE_DEG)
        self.firings = TrayFirings(self)
        self.reference = ReferencePicker(self)
        self.need_recipe(self.first_beside or self.first_recipe, self.glaze.recipes)
        self.beside = self.keep_choice("beside", [(words("nothing"), ""), *self.glaze.recipes], self.first_beside)
        self.seen, self.counting = self.keep("seen", seen_choice()), CountingTick(self)
        self.picture, self.meaning = html(css_class="gk-grow"), html(css_class="gk-grow")
        self.about_reference = html(css_class="gk-saved")
        return (
            self.coat.widget,
            self.angle.widget,
            row(self.firings.widget),
            row(self.reference.widget, self.beside),
            self.about_reference,
            row(self.picture, self.meaning, css_class="gk-top"),
            row(self.seen, self.counting.widget),
            html(el("h4", words("powders"))),
            self.glaze.widget,
        )

    def paint(self) -> None:
        """Put the tiles on the tray and say the class, the ratio, the viscosity and when it flows."""
        recipe, reference, curve = self.glaze.recipe(), self.reference.reference(), self.firings.curve()
        coat_mm, angle_deg = self.coat.number, self.angle.number
        seen = (self.seen.value,) if self.seen.value else ()
        counted, fired = self._counted(), reference.counted(self.counting.choice)
        run = slope_run(recipe, curve, coat_mm, angle_deg, reference=fired, seen=seen, **counted)
        others = [self.glaze.recipes[name] for name in (self.beside.value,) if name]
        tiles = [
            ("reference" if reference.tile else "stand_in", reference.recipe.name, slope_run(fired, curve, coat_mm, angle_deg)),
            ("on_tray", recipe.name, run),
            *(("for_contrast", other.name, slope_run(other, curve, coat_mm, angle_deg, **counted)) for other in others),
        ]
        self.tell_bags(name for glaze in (recipe, *others) for name in glaze.materials())
        self._draw(tiles, coat_mm, angle_deg)
        self.about_reference.value = join(reference.note)
        self.meaning.value = self._meaning(recipe, reference, fired, curve, run, seen)
        self.tell(self._said(recipe, reference, run), "note" if run.name and run.in_range else "look")
        self.warn([self.words("slab"), *cautions_of(recipe, self.desk.stock)])

    def _counted(self) -> Any:
        """Which additions are counted, with whose analyses."""
        return {"include_additions": self.counting.choice, "stock": self.desk.stock}

    def _said(self, recipe: Recipe, reference: Reference, run: RunClass) -> str:
        if not run.name:
            return f"{self.words('no_class', name=recipe.name)} {self._why(run)}"
        coat, angle = show_number(self.coat.number, 2), f"{self.angle.number:g}"
        said = [self.words("said", name=recipe.name, coat=coat, angle=angle, run=_class_of(run))]
        said.append(self._ratio(reference, run))
        if run.note:
            said.append(self._why(run))
        return "\n".join(said)

    def _why(self, run: RunClass) -> str:
        """What there is to mind, or why the class is pale, or why there is none."""
        return self.words("mind" if run.in_range else "weak" if run.name else "why_none", why=run.note)

    def _ratio(self, reference: Reference, run: RunClass) -> str:
        return self.words("ratio", ratio=say_run_ratio(replace(run, reference=reference.name)))

    def _meaning(
        self, recipe: Recipe, reference: Reference, fired: UnityFormula, curve: TrayCurve, run: RunClass, seen: tuple[str, ...]
    ) -> Html:
        """The class large, then in a potter's words how sure that is, how stiff it is and when it flows; the figures folded."""
        melt = viscosity(recipe, max(temp_c for _, temp_c in curve), fired, seen=seen, **self._counted())
        sure = self.words("sure" if run.low_name == run.high_name else "may_be", low=run.low_name, high=run.high_name)
        lines = [sure, self._ratio(reference, run)] if run.name else []
        if run.note:
            lines.append(self._why(run))
        if melt.value is not None and melt.low is not None and melt.high is not None:
            honey = constant("kitchen_honey_log10_pa_s")
            times, low, high = (show_pa_s(power - honey) for power in (melt.value, melt.low, melt.high))
            lines.append(self.words("honey", times=times, low=low, high=high))
        aside = [self.words("viscosity_help"), self.words("fitted")]
        shares = flow_shares(recipe, curve, **self._counted())
        if shares is not None:
            percents = {name: f"{100 * getattr(shares, name):.0f}" for name in ("before", "hold", "after")}
            lines.append(self.words("shares" if shares.hold else "no_hold_shares", **percents))
            aside += [self.words("shares_known"), self.words("cooling_guess", rate=f"{COOLS_C_PER_H:g}")]
        figures = [f"{self.words('viscosity')}: {say_estimate(melt)}"]
        if against := say_against(melt, reference.name):
            figures.append(self.words("against", change=against))
        head = paragraphs(f"{recipe.name}: {_class_of(run).partition(' (')[0]}", css_class="gk-big")
        folded = el("details", el("summary", self.words("figures")), paragraphs(*figures), small(*aside))
        return head + paragraphs(*lines) + folded

    def _draw(self, tiles: list[tuple[str, str, RunClass]], coat_mm: float, angle_deg: float) -> None:
        leaning = [
            Leaning(self.words(role), name, run.name, run.low_name, run.high_name, run.in_range) for role, name, run in tiles
        ]
        heard = "; ".join(f"{self.words(role)}, {name}: {_class_of(run)}" for role, name, run in tiles)
        words = (self.words("marks"), self.words("unknown"), f"{self.words('not_distances')} {self.words('same_three')}")
        self.picture.value = leaning_tiles(leaning, coat_mm, angle_deg, self.words("picture"), heard, words)


def _class_of(run: RunClass) -> str:
    """The class with its range; what to mind stands in a line of its own."""
    return say_run(replace(run, note=""))
