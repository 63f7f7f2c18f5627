"""The part of the Firing sketch that holds a firing as it went: readings, witness cones, and its entry in the book."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from glazekit.ground.errors import BookError
from glazekit.kiln.atmosphere import blocked_in
from glazekit.kiln.compare import compare_with_plan
from glazekit.kiln.firing import ATMOSPHERE_NOTES, ATMOSPHERES, CONE_STATES, FUELS, Firing, WitnessCone
from glazekit.kiln.readings import Reading, good_readings, readings_from_text
from glazekit.kiln.schedule import Schedule
from glazekit.lab.controls import choose, html, long_box, row, stack, text_box, tick

if TYPE_CHECKING:
    from glazekit.lab.panel import Panel

SHELVES = ("top", "middle", "bottom")
UNSAID = ""


class FiringInBook:
    """Boxes for what happened, and "write it down". Tiles of the book that have no firing yet can be ticked to point to it.

    The panel it serves asks for ``readings()`` and ``compared()`` in ``paint``.
    """

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, panel.page.words("10", "firing_in_book")
        keep, words = panel.keep, self.words
        self.log = keep("readings", long_box(words("readings"), words("readings_like"), rows=5))
        self.clock = keep("clock", tick(words("clock")))
        self.kiln = keep("kiln", text_box(words("kiln"), wide=True))
        self.fuel = keep("fuel", choose(words("fuel"), self._offer(FUELS)))
        self.atmosphere = keep("atmosphere", choose(words("atmosphere"), self._offer(ATMOSPHERES)))
        self.recipes = panel.take_recipes()
        glazes = [(words("no_glaze"), UNSAID), *((name, name) for name in self.recipes)]
        self.glaze = keep("glaze", choose(words("glaze"), glazes))
        self.fired_on = keep("fired_on", text_box(words("fired_on")))
        self.remark = keep("remark", text_box(words("remark"), wide=True))
        self.cones = {shelf: keep(f"cone {shelf}", text_box(words("cone", shelf=words(shelf)))) for shelf in SHELVES}
        self.states = {
            shelf: keep(f"state {shelf}", choose(words("state", shelf=words(shelf)), self._offer(CONE_STATES)))
            for shelf in SHELVES
        }
        self.tiles = stack()
        self._tile_ticks: dict[str, object] = {}
        self._tile_help, self.air = html(), html()
        shelves = (row(self.cones[shelf], self.states[shelf], css_class="gk-line") for shelf in SHELVES)
        self.widget = stack(
            self.log,
            row(self.clock),
            row(self.kiln, self.fired_on),
            row(self.fuel, self.atmosphere, self.glaze),
            self.air,
            html(f"<p><b>{escape(words('cones'))}</b></p>"),
            *shelves,
            row(self.remark),
            self._tile_help,
            self.tiles,
            row(panel.button(words("write"), self.write, main=True)),
        )

    def _offer(self, values: tuple[str, ...]) -> list[tuple[str, str]]:
        return [(self.words("unsaid"), UNSAID), *((self.words(value), value) for value in values)]

    # -- the readings -------------------------------------------------------------------------------------------------------

    def all_readings(self) -> tuple[Reading, ...]:
        """Everything that was noted, doubtful readings too."""
        return readings_from_text(self.log.value, clock=self.clock.value) if self.log.value.strip() else ()

    def readings(self) -> list[tuple[float, float]]:
        """The good ones: (hours [h], temperature [C])."""
        return list(good_readings(self.all_readings()))

    def compared(self, plan: Schedule) -> tuple[str, ...]:
        """Planned against read, in words; and every reading that is not believed."""
        if not self.log.value.strip():
            return ()
        if len(self.readings()) < 2:
            return (self.words("one_reading"),)
        return compare_with_plan(Firing(self.words("a_kiln"), "oxidation", plan, self.all_readings())).lines()

    def stops(self) -> list[str]:
        """Why the glaze named must not go into this kiln."""
        if not self.glaze.value or not (self.atmosphere.value or self.fuel.value):
            return []
        recipe = self.recipes[self.glaze.value]
        blocked = blocked_in([recipe], self.atmosphere.value or "neutral", self.fuel.value)
        return [self.words("blocked", recipe=one.recipe, why=one.why) for one in blocked]

    # -- the book -----------------------------------------------------------------------------------------------------------

    def offer(self) -> None:
        """Bring the tiles that wait for a firing up to date; say what the chosen air does."""
        self.air.value = f"<p>{escape(ATMOSPHERE_NOTES.get(self.atmosphere.value, ''))}</p>" if self.atmosphere.value else ""
        waiting = {entry.id: entry.data["label"] for entry in self.panel.page.book.entries("tile") if "firing" not in entry.data}
        if list(waiting) != list(self._tile_ticks):
            self._tile_ticks = {tile: tick(label) for tile, label in waiting.items()}
            self.tiles.children = tuple(self._tile_ticks.values())
        self._tile_help.value = f"<p><b>{escape(self.words('tiles'))}</b></p>" if waiting else ""

    def firing(self) -> Firing:
        """The firing as the boxes say; refused where a glaze must not go into such a kiln."""
        if stops := self.stops():
            raise BookError(" ".join(stops))
        for control, what in ((self.kiln, "kiln"), (self.atmosphere, "atmosphere")):
            if not control.value.strip():
                raise BookError(self.words("say", what=self.words(what)))
        for shelf in SHELVES:
            if bool(self.cones[shelf].value.strip()) != bool(self.states[shelf].value):
                raise BookError(self.words("half_a_cone", shelf=self.words(shelf)))
        cones = [
            WitnessCone(shelf, self.cones[shelf].value.strip(), self.states[shelf].value)
            for shelf in SHELVES
            if self.states[shelf].value
        ]
        return Firing(
            kiln=self.kiln.value.strip(),
            atmosphere=self.atmosphere.value,
            planned=self.panel.plan.schedule(),  # type: ignore[attr-defined]
            readings=self.all_readings(),
            cones=tuple(cones),
            fuel=self.fuel.value,
            fired_on=self.fired_on.value.strip(),
            note=self.remark.value.strip(),
        )

    def write(self) -> None:
        """A firing entry in the book; the ticked tiles point to it."""
        book = self.panel.page.book
        entry = book.add("firing", **self.firing().to_entry())
        ticked = [tile for tile, box in self._tile_ticks.items() if box.value]  # type: ignore[attr-defined]
        for tile in ticked:
            book.correct(tile, firing=entry.id)
        self.panel.refresh()
        self.panel.tell(self.words("written", cone=entry.data["cone_seen"], count=len(ticked)), "ok")
        self.panel.page.refresh_others(self.panel)
