"""Chart map: the learner's glaze as one point of the silica-alumina field, moved by its powders."""

from glazekit.chemistry.silica_alumina import studies
from glazekit.drawing.chart import draw_paper, draw_sheet
from glazekit.drawing.markup import el
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import parse_number, within
from glazekit.lab.controls import choose, html, row, show, stack, text_box
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.chart_reckoning import Asked, Reckoned, reckon, reckon_more
from glazekit.lab.parts.chart_words import PEAK_C, tell_chart
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.lab.parts.reference_picker import CountingTick, ReferencePicker
from glazekit.lab.prose import listed, paragraphs

VISCOSITY, EXPANSION = "viscosity", "expansion"
"""Contours that can be chosen."""
COLDEST_C, HOTTEST_C = 600, 1500


class ChartMap(Panel):
    """The chart with its layers, and a glaze under sliders. What is shown is reckoned in ``chart_reckoning``, drawn in
    ``drawing/chart`` and worded in ``chart_words``. At first there are no contours, or those of ``first_contours``."""

    name = "chart map"
    home = "06"
    first_recipe, first_contours = "Gangway Clear", ""
    now: Reckoned | None = None

    def build(self) -> Children:
        """The powders beside the chart; what is laid on it; does it apply."""
        words = self.words
        self.glaze = MovableGlaze(self, self.first_recipe)
        self.paper, self.sheet, self.legend, self.more, self.badge, self.note = (html() for _ in range(6))
        self.window = self.keep_pick("window", [(words("whole"), "whole"), (words("near"), "near")], "whole")
        self.study = self.keep_choice("study", [(words("no_study"), ""), *(one.name for one in studies() if one.points)], "")
        self.lines, self.tiles = self.keep_tick("lines", True), self.keep_tick("tiles")
        kinds = [(words("none"), ""), (words("stiff"), VISCOSITY), (words("expands"), EXPANSION)]
        self.contours = self.keep("contours", choose(words("choice"), kinds, self.first_contours))
        self.peak = self.keep("peak", text_box(words("peak"), f"{PEAK_C}", name=words("peak")))
        self.reference = ReferencePicker(self, glaze=self.glaze)
        self.counting = CountingTick(self)
        self._more = stack(row(self.peak, self.reference.widget, self.counting.widget), self.note)
        powders = stack(self.glaze.widget, css_class="gk-sliders")
        chart = stack(self.paper, self.sheet, css_class="gk-wide gk-picture-first gk-over")
        return (
            row(powders, chart, css_class="gk-top"),
            row(self.window, stack(self.lines, self.tiles), self.button(self.words("clear"), self.clear_trail)),
            stack(row(self.contours), self._more),
            self.legend,
            self.more,
            row(self.study),
            self.badge,
        )

    def offer(self) -> None:
        """What belongs to the chosen contours."""
        show(self._more, bool(self.contours.value))
        show(self.peak, self.contours.value == VISCOSITY)

    def paint(self) -> None:
        """Move the point at once; its ring and the contours follow when the learner pauses."""
        self._follow()
        self.when_paused("cloud", self.settle)

    def settle(self) -> None:
        """The same with all that takes its time."""
        self._follow(paused=True)

    def clear_trail(self) -> None:
        """Forget where the glaze has been."""
        self.memory["trail"] = []
        self.refresh()

    def _follow(self, paused: bool = False) -> None:
        """What lies under the hand is read, reckoned, worded and drawn."""
        recipe, memory = self.glaze.recipe(), self.memory
        fired = self.reference.reference() if self.contours.value else None
        asked = Asked(
            recipe,
            self.glaze.card,
            self.glaze.moved(),
            tuple((silica, alumina) for silica, alumina in memory["trail"]) if memory.get("trail_of") == recipe.name else (),
            self.desk.stock,
            near=self.window.value == "near",
            ratios=self.lines.value,
            tiles=self.reference.tiles.seen() if self.tiles.value else None,
            without=self.reference.tiles.seen_without_formula() if self.tiles.value else 0,
            study=self.study.value,
            reference=fired.counted(self.counting.choice) if fired else None,
            include_additions=self.counting.choice,
            reference_name=fired.name if fired else "",
            temp_c=self._peak_c() if self.contours.value == VISCOSITY else None,
        )
        now = reckon(asked, self.now)
        if paused and now:
            now = reckon_more(now, self.desk.scale_division_g)
        if not now:
            raise RecipeError(self.words("no_alumina", name=recipe.name))
        self.now = now
        memory.update(trail_of=recipe.name, trail=[list(point) for point in now.trail])
        told = tell_chart(now, self.words)
        # the picture first: it is what the hand waits for
        (self.paper.add_class if now.field_is_old else self.paper.remove_class)("gk-old")
        self.paper.value, self.sheet.value = draw_paper(told.paper), draw_sheet(told.sheet)
        self.tell(told.status)
        self.tell_bags(recipe.materials())
        self.note.value = paragraphs(fired.note if fired else "")
        self.legend.value = listed(told.legend, css_class="gk-plain")
        self.more.value = el("details", el("summary", self.words("more")), listed(told.more))
        self.badge.value = paragraphs(told.about) + (el("b", told.applies) if told.about else "") + listed(told.reasons)

    def _peak_c(self) -> float:
        name = self.words("peak")
        return within(parse_number(self.peak.value, what=name), COLDEST_C, HOTTEST_C, name, "°C")
