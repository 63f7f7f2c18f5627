"""Firing log: what the kiln did beside what was planned, how each cone looks, and the firing's place in the book."""

from contextlib import suppress
from dataclasses import replace
from typing import Any

from glazekit.drawing.firing_line import firing_line
from glazekit.folder.glaze import glaze_from_book
from glazekit.ground.errors import BookError
from glazekit.kiln.firing import ATMOSPHERES, CONE_STATES, FUELS, Firing, WitnessCone, blocked_in, compare_with_plan
from glazekit.kiln.readings import Reading, good_readings, readings_from_text
from glazekit.kiln.schedule import Schedule
from glazekit.lab.controls import choose, html, long_box, row, stack, text_box, tick
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.firing_plan import kept_plan
from glazekit.lab.prose import paragraphs, strong
from glazekit.recipe.cautions import air_of, cautions_for

SHELVES = ("top", "middle", "bottom")
UNSAID = ""


class FiringLog(Panel):
    """A firing as it went, beside the plan last seen on the Firing sketch; in the book tiles and the Slope tray point to it."""

    name = "firing log"
    home = "10"

    def build(self) -> Children:
        """Readings and their line; kiln, air and cones; tiles; the way into the book."""
        words = self.words
        self.log = self.keep("readings", long_box(words("readings"), words("readings_like"), rows=5))
        self.clock = self.keep_tick("clock")
        self.picture = html()
        self.kiln = self.keep_text("kiln", wide=True)
        self.fired_on = self.keep_text("fired_on")
        self.fuel = self.keep_choice("fuel", self._offer(FUELS))
        self.atmosphere = self.keep_choice("atmosphere", self._offer(ATMOSPHERES))
        self.glaze = self.keep_recipe("glaze", none="no_glaze")
        self.cones = {shelf: self.keep(f"cone {shelf}", text_box(words("cone", shelf=words(shelf)))) for shelf in SHELVES}
        self.states = {
            shelf: self.keep(f"state {shelf}", choose(words("state", shelf=words(shelf)), self._offer(CONE_STATES)))
            for shelf in SHELVES
        }
        self.remark = self.keep_text("remark", wide=True)
        self.tiles, self.tile_help, self.air = stack(), html(), html()
        self._tile_ticks: dict[str, Any] = {}
        return (
            self.log,
            row(self.clock),
            self.picture,
            row(self.kiln, self.fired_on),
            row(self.fuel, self.atmosphere),
            self.air,
            row(self.glaze),
            self.strong("cones"),
            *(row(self.cones[shelf], self.states[shelf], css_class="gk-line") for shelf in SHELVES),
            row(self.remark),
            self.tile_help,
            self.tiles,
            row(self.button(words("write"), self.write, main=True)),
        )

    def paint(self) -> None:
        """Lay the readings over the plan, and say how the two differ; offer the tiles that wait for a firing."""
        plan = kept_plan(self.desk)
        self._draw(plan)
        chosen = self.atmosphere.value
        self.air.value = paragraphs(self.words(f"about_{chosen}") if chosen else "")
        self._offer_tiles()
        self.warn([self.words("kiln_care"), *self.stops(), *self.unchecked(), *self.fumes()])
        self.tell("\n".join(self.compared(plan)), "note" if self.log.value.strip() else "open")

    def _offer(self, values: tuple[str, ...]) -> list[tuple[str, str]]:
        return [(self.words("unsaid"), UNSAID), *((self.words(value), value) for value in values)]

    def _offer_tiles(self) -> None:
        waiting = {entry.id: entry.data["label"] for entry in self.desk.book.entries("tile") if "firing" not in entry.data}
        if list(waiting) != list(self._tile_ticks):
            self._tile_ticks = {tile: tick(label) for tile, label in waiting.items()}
            for box in self._tile_ticks.values():
                box.observe(self._changed, names="value")
            self.tiles.children = tuple(self._tile_ticks.values())
        self.tile_help.value = strong(self.words("tiles")) if waiting else ""

    def all_readings(self) -> tuple[Reading, ...]:
        """Everything that was noted, doubtful readings too."""
        return readings_from_text(self.log.value, clock=self.clock.value) if self.log.value.strip() else ()

    def compared(self, plan: Schedule) -> tuple[str, ...]:
        """Planned against read, in words; and every reading that is not believed."""
        if not self.log.value.strip():
            return (self.words("no_readings"),)
        if len(good_readings(self.all_readings())) < 2:
            return (self.words("one_reading"),)
        return compare_with_plan(Firing(self.words("a_kiln"), "oxidation", plan, self.all_readings())).lines()

    def _draw(self, plan: Schedule) -> None:
        readings = good_readings(self.all_readings())
        said = self.words("line", steps="; ".join(plan.text().splitlines()))
        if readings:
            said += " " + self.words("line_did", count=len(readings), top=f"{max(c for _, c in readings):g}")
        axes = (self.words("axis_temp"), self.words("axis_hours"), self.words("planned"), self.words("did"))
        self.picture.value = firing_line(plan.curve(), readings, (), self.words("picture"), said, axes)

    def stops(self) -> list[str]:
        """Why the glaze named must not go into this kiln."""
        if not self.glaze.value or not (self.atmosphere.value or self.fuel.value):
            return []
        recipe = self.recipes[self.glaze.value]
        blocked = blocked_in([recipe], self.atmosphere.value or "neutral", self.fuel.value, self.desk.stock)
        return [self.words("blocked", recipe=one.recipe, why=one.why) for one in blocked]

    def unchecked(self) -> list[str]:
        """That the glaze named was made for the other air."""
        made = self.recipes[self.glaze.value].atmosphere.strip() if self.glaze.value else ""
        if not made or self.atmosphere.value not in ("oxidation", "reduction"):
            return []
        as_made = (air_of(made) == "reduction") == (self.atmosphere.value == "reduction")
        return (
            []
            if as_made
            else [self.words("other_air", recipe=self.glaze.value, made=made, air=self.words(self.atmosphere.value))]
        )

    def fumes(self) -> tuple[str, ...]:
        """What the powders in the kiln call for at the fire: those of the glaze named and of every tile that is ticked."""
        glazes = [(self.recipes[self.glaze.value], self.desk.stock)] if self.glaze.value else []
        of = {entry.id: entry.data for kind in ("batch", "tile") for entry in self.desk.book.entries(kind)}
        for tile in self._ticked():
            with suppress(KeyError, BookError):  # of a bucket whose recipe nobody wrote down
                glazes.append(glaze_from_book(of[of[tile]["batch"]]))
        air = ", ".join(filter(None, (self.atmosphere.value, self.fuel.value)))
        lines = (line for recipe, stock in glazes for line in cautions_for(replace(recipe, atmosphere=air), stock, "firing"))
        return tuple(dict.fromkeys(line.text for line in lines if line.materials))

    def _ticked(self) -> list[str]:
        return [tile for tile, box in self._tile_ticks.items() if box.value]

    def firing(self) -> Firing:
        """The firing as the boxes say; refused where the glaze named must not go into such a kiln."""
        if stops := self.stops():
            raise BookError(" ".join(stops))
        missing = [self.words(what) for what in ("kiln", "atmosphere") if not self.controls[what].value.strip()]
        halves = [shelf for shelf in SHELVES if bool(self.cones[shelf].value.strip()) != bool(self.states[shelf].value)]
        problems = [self.desk.frame("say_first", what=", ".join(missing))] if missing else []
        if problems := problems + [self.words("half_a_cone", shelf=self.words(shelf)) for shelf in halves]:
            raise BookError(" ".join(problems))
        seen = {shelf: self.states[shelf].value for shelf in SHELVES if self.states[shelf].value}
        cones = tuple(WitnessCone(shelf, self.cones[shelf].value.strip(), state) for shelf, state in seen.items())
        return Firing(
            kiln=self.kiln.value.strip(),
            atmosphere=self.atmosphere.value,
            planned=kept_plan(self.desk),
            readings=self.all_readings(),
            cones=cones,
            fuel=self.fuel.value,
            fired_on=self.fired_on.value.strip(),
            note=self.remark.value.strip(),
        )

    def write(self) -> None:
        """A firing entry in the book; the ticked tiles point to it."""
        entry = self.record("firing", **self.firing().to_entry())
        for tile in (ticked := self._ticked()):
            self.desk.book.correct(tile, firing=entry.id)
        self.written(self.words("written", cone=entry.data["cone_seen"], count=len(ticked)))
