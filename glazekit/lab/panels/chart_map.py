"""Chart map: the learner's glaze as one point of the silica-alumina field, moved by its powders."""

from __future__ import annotations

from functools import cache
from html import escape
from typing import Any

from glazekit.chemistry.silica_alumina import applies_to_yours, ratio_lines, studies, study
from glazekit.chemistry.uncertainty import Ellipse, Weighing, sample_unity
from glazekit.chemistry.unity import unity_formula
from glazekit.drawing.colours import INK, LINE, SIGNS
from glazekit.drawing.field import Field, Layer, Point, field_paper, field_sheet, near_field, whole_field
from glazekit.drawing.field_layers import Glaze, MarkedPoint, MarkedPoints, RatioLines, Trail
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import plain_text, show_number
from glazekit.lab.controls import choose, html, pick, row, stack, tick
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.class_tiles import tiles_of
from glazekit.lab.parts.field_contours import FieldContours
from glazekit.lab.parts.formula_words import show_change, show_mol
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.recipe.recipe import Recipe

LONGEST_TRAIL = 24
STEP_MOL = (0.02, 0.004)
"""A shorter step, in silica and in alumina, moves the end of the trail along and leaves no dot [mol]."""
SAME_RATIO = 0.005
"""Two ratios nearer to each other than this share are called the same."""
CLOUD_DRAWS = 1000
BATCH_G = 100.0
VERDICTS = {"yes": ("ok", "word_yes"), "partly": ("under", "word_partly"), "no": ("stop", "word_no")}
"""Does a study apply: its sign and its text."""
STATUSES = {"seen": "status_seen", "memory": "status_memory"}


class ChartMap(Panel):
    """The field with its layers, and a glaze under sliders.

    Parameters
    ----------
    recipe : name of the recipe that lies there at first.
    contours : "", "viscosity" or "expansion": which contours are shown at first.
    """

    name = "chart map"
    home = "06"
    first_recipe = "Gangway Clear"

    def __init__(self, desk: Desk, contours: str = "", **more: Any) -> None:
        super().__init__(desk, **more)
        self.first_contours = contours
        self._cloud: tuple[Recipe, Ellipse] | None = None
        self._tiles: tuple[tuple[MarkedPoint, ...], int] = ((), 0)

    def build(self) -> Children:
        """The powders beside the chart; what is laid on it; does it apply."""
        words = self.words
        self.glaze = MovableGlaze(self, self.first_recipe)
        self.paper, self.sheet, self.legend, self.badge = html(), html(), html(), html()
        self.window = self.keep("window", pick(words("window"), [(words("whole"), "whole"), (words("near"), "near")], "whole"))
        names = [(words("no_study"), ""), *((found.name, found.name) for found in studies())]
        self.study = self.keep("study", choose(words("study"), names, ""))
        self.lines = self.keep("lines", tick(words("lines"), True))
        self.tiles = self.keep("tiles", tick(words("tiles")))
        self.contours = FieldContours(self, lambda: self.glaze.card, self.first_contours)
        clear = self.button(words("clear"), self.clear_trail)
        powders = stack(self.glaze.widget, css_class="gk-sliders")
        chart = stack(self.paper, self.sheet, css_class="gk-wide gk-picture-first gk-over")
        return (
            row(powders, chart, css_class="gk-top"),
            row(self.window, stack(self.lines, self.tiles), clear),
            self.contours.widget,
            self.legend,
            row(self.study),
            self.badge,
        )

    def paint(self) -> None:
        """Move the point at once; its ellipse follows when the learner pauses."""
        self.now = self.glaze.recipe()
        self.formula = unity_formula(self.now, stock=self.desk.stock)
        if not self.formula["Al2O3"]:
            raise RecipeError(self.words("no_alumina", name=self.now.name))
        self.point = (self.formula["SiO2"], self.formula["Al2O3"])
        before = unity_formula(self.glaze.card, stock=self.desk.stock)
        self.start = (before["SiO2"], before["Al2O3"])
        self._remember()
        self._say()
        self.tell_bags(self.now.materials())
        self._applies()
        self._draw()
        self.when_paused("cloud", self.settle)

    def settle(self) -> None:
        """The heavy part: where nine of ten batches would lie, the tiles of the book, the contours."""
        weighing = Weighing(BATCH_G, self.desk.scale_division_g)
        sample = sample_unity(self.now, draws=CLOUD_DRAWS, weighing=weighing, stock=self.desk.stock)
        self._cloud = (self.now, sample.ellipse)
        self._tiles = tiles_of(self.desk.book) if self.tiles.value else ((), 0)
        self.contours.compute(self.formula, self._field())
        self._draw()

    # -- what it draws ------------------------------------------------------------------------------------------------------

    def layers(self) -> tuple[Layer, ...]:
        """What lies still, bottom to top; the trail and the glaze lie above."""
        found: list[Layer] = [*self.contours.below()]
        if self.lines.value:
            found.append(RatioLines(tuple((line.silica_to_alumina, bool(line.habit)) for line in ratio_lines())))
        if self.study.value:
            found.append(MarkedPoints(study_points(self.study.value, self.words("melted_first")), LINE, 3.5))
        if self.tiles.value:
            found.append(MarkedPoints(self._tiles[0], INK, 5.5))
        return (*found, *self.contours.above())

    def _edge(self) -> tuple[Point, ...]:
        """Edge of the ellipse, carried along to where the glaze is now."""
        if self._cloud is None:
            return ()
        _, ellipse = self._cloud
        silica, alumina = self.point[0] - ellipse.centre_x, self.point[1] - ellipse.centre_y
        return tuple((x + silica, y + alumina) for x, y in ellipse.points(40))

    def _field(self) -> Field:
        points = [self.start, self.point]
        return whole_field(points) if self.window.value == "whole" else near_field(points)

    def _draw(self) -> None:
        field, words = self._field(), self.words
        (self.paper.add_class if self.contours.is_old(self.formula, field) else self.paper.remove_class)("gk-old")
        self.paper.value = field_paper(
            field, self.layers(), words("paper"), words("paper_words"), words("axis_silica"), words("axis_alumina")
        )
        trail = tuple((silica, alumina) for silica, alumina in self.memory["trail"])
        moving = (Trail(trail), Glaze(self.point, self._edge(), self._where()))
        self.sheet.value = field_sheet(field, moving, words("picture"), self.said)
        self.legend.value = self._legend()

    def _legend(self) -> str:
        words = self.words
        lines = [words("mark_glaze")]
        if self._cloud:
            across, up = (show_mol(span) for span in self._cloud[1].half_spans)
            step = plain_text(self.desk.scale_division_g)
            lines.append(words("mark_cloud", mass=f"{BATCH_G:g}", step=step, across=across, up=up))
        if self.lines.value:
            lines += [words("mark_lines"), words("mark_habit")]
        if self.tiles.value:
            points, without = self._tiles
            lines.append(words("mark_tiles", count=len(points)) + (" " + words("without", count=without) if without else ""))
        lines += self.contours.legend(self.formula)
        return f'<ul class="gk-plain">{"".join(f"<li>{escape(line)}</li>" for line in lines)}</ul>'

    # -- what it says -------------------------------------------------------------------------------------------------------

    def _where(self) -> str:
        ratio = show_number(self.formula.silica_to_alumina_mol or 0, 1)
        return self.words(
            "where", name=self.now.name, silica=show_mol(self.point[0]), alumina=show_mol(self.point[1]), ratio=ratio
        )

    def _say(self) -> None:
        property_too = self.contours.say(self.now)
        self.tell(self._moves() + (f"\n{property_too}" if property_too else ""))

    def _moves(self) -> str:
        moved = self.glaze.moved()
        if not moved:
            return f"{self._where()} {self.words('as_card')}"
        silica, alumina = (now - then for now, then in zip(self.point, self.start, strict=True))
        old, new = self.start[0] / self.start[1], self.point[0] / self.point[1]
        since = self.words(
            "since",
            changes=", ".join(moved),
            silica=show_change(silica),
            alumina=show_change(alumina),
            old=show_number(old, 1),
            new=show_number(new, 1),
        )
        if abs(new / old - 1) < SAME_RATIO:
            way = "still" if abs(silica) < 0.005 and abs(alumina) < 0.005 else "to_corner" if silica < 0 else "from_corner"
        else:
            way = "ratio_up" if new > old else "ratio_down"
        return f"{self._where()}\n{since} {self.words(way)}"

    def _applies(self) -> None:
        if not self.study.value:
            self.badge.value = ""
            return
        found = study(self.study.value)
        judged = applies_to_yours(self.formula, self.now.cone, found.name)
        sign, word = VERDICTS[judged.word]
        head = f"<b>{SIGNS[sign]} {escape(self.words('applies', study=found.name, word=self.words(word)))}</b>"
        reasons = "".join(f"<li>{escape(reason)}</li>" for reason in judged.reasons)
        about = self.words(
            "about", potash=f"{found.potash_mol:g}", lime=f"{found.lime_mol:g}", fired=found.fired, shows=found.shows
        )
        status = self.words(STATUSES[found.status])
        first = self.words("grid_first") if any(point.melted for point in found.points) else ""
        count = self.words("grid", count=len(found.points), first=first) if found.points else self.words("no_grid")
        self.badge.value = f"<p>{escape(about)} {escape(count)} {escape(status)}</p>{head}<ul>{reasons}</ul>"

    # -- the trail ----------------------------------------------------------------------------------------------------------

    def _remember(self) -> None:
        """Add the point to the trail of this glaze; small steps move its end along."""
        if self.memory.get("trail_of") != self.now.name:
            self.memory.update(trail_of=self.now.name, trail=[])
        trail = self.memory["trail"]
        here = [round(value, 5) for value in self.point]
        if len(trail) > 1 and all(abs(a - b) < least for a, b, least in zip(here, trail[-2], STEP_MOL, strict=True)):
            trail[-1] = here
        elif not trail or trail[-1] != here:
            trail.append(here)
        del trail[:-LONGEST_TRAIL]

    def clear_trail(self) -> None:
        """Forget where the glaze has been."""
        self.memory["trail"] = []
        self.refresh()


@cache
def study_points(name: str, melted_first: str) -> tuple[MarkedPoint, ...]:
    """The glazes of a study as marks: crosses, bold where the source says that they melted first."""
    return tuple(
        MarkedPoint(
            (point.silica_mol, point.alumina_mol),
            f"{name}, {point.name}: silica {point.silica_mol:g}, alumina {point.alumina_mol:g}"
            + (f", {melted_first}" if point.melted else ""),
            "cross",
            bold=bool(point.melted),
        )
        for point in study(name).points
    )
