"""Firing sketch: a plan for the kiln as hours and a line, the cones near its peak, what the ware passes on the way."""

from glazekit.drawing.firing_line import Event, cone_row, firing_line
from glazekit.drawing.markup import Html, el, join
from glazekit.ground.cone import Cone
from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import parse_number, show_number
from glazekit.kiln.cones import cone_temperatures
from glazekit.kiln.heat_work import CONES, cone_band, heat_work
from glazekit.kiln.notes import FiringEvent, firing_energy, passings
from glazekit.kiln.schedule import Schedule
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.firing_plan import FiringPlan
from glazekit.lab.prose import listed, paragraphs, strong
from glazekit.words.texts import part_words

NEAR_C = 15.0
"""Cones whose temperature lies so near to the peak are listed [C]."""
MOST_CONES = 4


class FiringSketch(Panel):
    """A plan, moved or typed, and what can be said of it. The heat work is a sketch: nothing here commands a kiln."""

    name = "firing sketch"
    home = "10"

    def build(self) -> Children:
        """The plan; hours, line and cones; the cone table near the peak; what happens on the way; electricity."""
        self.plan = FiringPlan(self)
        self.picture, self.cones = html(css_class="gk-grow"), html(css_class="gk-grow")
        self.near, self.passed, self.energy = html(), html(), html()
        kinds = [(self.words("glaze"), "glaze"), (self.words("bisque"), "bisque")]
        self.kind = self.keep_pick("kind", kinds, "glaze")
        self.power = self.keep_text("power")
        return (
            self.plan.widget,
            row(self.picture, self.cones, css_class="gk-top"),
            self.near,
            self.strong("kind"),
            self.kind,
            self.passed,
            row(self.power, self.energy),
        )

    def paint(self) -> None:
        """Hours, line, cones, and what the ware passes."""
        plan = self.plan.schedule()
        events = self._events(plan)
        self._draw(plan, events)
        self.cones.value = paragraphs(self._hours(plan), css_class="gk-big") + self._cone_picture(plan)
        self.near.value = self._cones_near(plan)
        self.passed.value = self._passed(events)
        self.energy.value = join(self._energy(plan))
        self.warn([self.words("kiln_care")])
        self.tell("\n".join([self._peak(plan), self._heat_work(plan)]))
        self.when_paused("plan", lambda: self.plan.hand_over(plan))

    def _hours(self, plan: Schedule) -> str:
        return self.words("hours", hours=show_number(_to_peak_h(plan), 2))

    def _peak(self, plan: Schedule) -> str:
        said = f"{self._hours(plan)} {self.words('peak', peak=f'{plan.peak_c:g}')}"
        if (cooling_h := plan.hours - _to_peak_h(plan)) > 1e-6:
            said += " " + self.words("cooling", hours=show_number(cooling_h, 2), to=f"{plan.curve()[-1][1]:g}")
        return said

    def _heat_work(self, plan: Schedule) -> str:
        try:
            return heat_work(plan).text()
        except GlazekitError as error:
            return self.words("no_heat_work", why=str(error))

    def _cones_near(self, plan: Schedule) -> Html:
        """Table rows near the peak; a cone temperature never stands without its rate and its status."""
        rows = [one for one in cone_temperatures() if abs(one.temp_c - plan.peak_c) <= NEAR_C]
        rate = plan.last_heating_rate_c_per_h
        head = self.words("near", peak=f"{plan.peak_c:g}", rate=f"{rate:g}") if rate else self.words("near_no_rate")
        if not rows:
            return paragraphs(f"{head} {self.words('none_near')}")
        rows.sort(key=lambda one: (-(one.rate_c_per_h or 0.0), Cone.parse(one.cone)))  # the fastest first, then the coolest
        return el("details", el("summary", head), listed(one.text() for one in rows))

    def _cone_picture(self, plan: Schedule) -> Html:
        band = cone_band(plan)
        surely = CONES.index(band.down) if band.down else -1
        perhaps = CONES.index(band.perhaps) if band.perhaps else -1
        first = min(max(surely, 0), len(CONES) - 3)
        shown = range(first, min(max(perhaps + 2, first + 3), first + MOST_CONES, len(CONES)))
        states = ["down" if i <= surely else "perhaps" if i <= perhaps else "standing" for i in shown]
        cones = [(self.words("cone", number=CONES[i]), state) for i, state in zip(shown, states, strict=True)]
        words = [self.words(state) for state in states]
        said = ", ".join(f"{cone}: {word}" for (cone, _), word in zip(cones, words, strict=True))
        return cone_row(cones, words, self.words("cones"), said) + paragraphs(band.text())

    def _events(self, plan: Schedule) -> list[tuple[FiringEvent, bool]]:
        """What the ware passes, each once, coolest first; and whether the plan passes it faster than advised."""
        found: dict[tuple[str, float], tuple[FiringEvent, bool]] = {}
        for passing in passings(plan, bisque=self.kind.value == "bisque"):
            key = passing.event.event, passing.event.low_c
            if passing.too_fast or key not in found:
                found[key] = passing.event, passing.too_fast
        return sorted(found.values(), key=lambda one: one[0].low_c)

    def _passed(self, events: list[tuple[FiringEvent, bool]]) -> Html:
        lines = []
        for event, too_fast in events:
            what = f"{event.event}, {event.range_text()}. {event.what} {event.care} ({part_words('statuses')(event.status)})"
            fast = el("b", f"▲ {self.words('too_fast', rate=f'{event.rate_c_per_h:g}')}") if too_fast else Html()
            lines.append(join(what, " " if too_fast else "", fast))
        return strong(self.words("passed")) + listed(lines, "ol")

    def _draw(self, plan: Schedule, events: list[tuple[FiringEvent, bool]]) -> None:
        bands = [Event(i, one.low_c, one.high_c or one.low_c) for i, (one, _) in enumerate(events, 1)]
        axes = (self.words("axis_temp"), self.words("axis_hours"), self.words("planned"), "")
        said = self.words("line", steps="; ".join(plan.text().splitlines()))
        self.picture.value = firing_line(plan.curve(), (), bands, self.words("picture"), said, axes)

    def _energy(self, plan: Schedule) -> str:
        if not self.power.value.strip():
            return self.words("no_power")
        power_kw = parse_number(self.power.value.casefold().removesuffix("kw"), self.words("power"))
        return self.words("energy", energy=firing_energy(plan, power_kw).text())


def _to_peak_h(plan: Schedule) -> float:
    """Hours until the kiln leaves its peak [h]."""
    return max(leg.from_hours + leg.hours for leg in plan.legs() if leg.to_c == plan.peak_c)
