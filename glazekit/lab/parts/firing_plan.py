"""A plan for the kiln that can be moved or written in the learner's own words; and the firings that the Slope tray offers."""

from collections.abc import Callable
from contextlib import suppress
from typing import Any

from glazekit.drawing.markup import el
from glazekit.ground.errors import GlazekitError
from glazekit.kiln.firing import Firing
from glazekit.kiln.schedule import Hold, Ramp, RampOrHold, Schedule
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.lab.controls import SliderWithBox, html, long_box, pick, show, stack
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Panel
from glazekit.lab.prose import paragraphs
from glazekit.words.texts import part_words

LESSON, KEPT = "10", "firing plan"
"""Where the plan is kept for the other benches: page and key of the state."""
FIRST_C, LAST_STRETCH_C, COOLED_C = 600.0, 100.0, 900.0
"""The first climb ends here [C]; the last one has about so many degrees; slow cooling ends here [C] (rules of this course)."""
SLIDERS = {
    "first": (20, 300, 5),
    "second": (20, 300, 5),
    "last": (20, 300, 5),
    "peak": (900, 1300, 1),
    "hold": (0, 90, 1),
    "cooling": (0, 200, 5),
}
"""Slider -> lowest, highest, step; names of the texts are the same."""
COOLS_C_PER_H, STILL_C = 150.0, 600.0
"""Cooling that nobody holds back, and where nothing flows any more (a rule of this course) [C/h], [C]."""
LONG_HOLD_MIN, STEP_C = 60.0, 20.0
TrayCurve = tuple[tuple[float, float], ...]
"""(hours [h], temperature [C])."""


def class_firing() -> Schedule:
    """The evening class's own glaze firing, an invented one; it stands among the words of this part."""
    return schedule_from_text(part_words("firing_plan")("class_firing"))


def own_plan(desk: Desk) -> Schedule | None:
    """The learner's plan as last seen on the Firing sketch; None while it stands as the class left it."""
    with suppress(GlazekitError):  # kept by another version of the course, or never
        return schedule_from_text(str(desk.state.get(LESSON, KEPT, "")))
    return None


def kept_plan(desk: Desk) -> Schedule:
    """The plan last seen on the Firing sketch; the class's own before there is one."""
    return own_plan(desk) or class_firing()


class FiringPlan:
    """The part of a panel that holds the plan: three climbs, a peak, a hold and the cooling, or the same in words. The panel asks
    it for its ``schedule()`` in ``paint``."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, part_words("firing_plan")
        ways = [(self.words("by_sliders"), "sliders"), (self.words("in_words"), "words")]
        self.way = panel.keep("way", pick(self.words("way"), ways, "sliders"))
        starts = self._starts()
        self.sliders: dict[str, SliderWithBox] = {
            name: panel.keep(name, SliderWithBox(self.words(name), starts[name], *limits)) for name, limits in SLIDERS.items()
        }
        own = long_box(self.words("own"), rows=6)
        own.value = class_firing().text()
        self.own = panel.keep("own", own)
        self._moving = stack(html(paragraphs(self.words("sliders_help"))), *(slider.widget for slider in self.sliders.values()))
        self._writing = stack(html(paragraphs(self.words("own_help"))), self.own)
        self.widget = stack(html(el("b", self.words("way"))), self.way, self._moving, self._writing)

    def schedule(self) -> Schedule:
        """The plan as it stands."""
        by_sliders = self.way.value == "sliders"
        show(self._moving, by_sliders)
        show(self._writing, not by_sliders)
        return self._of_sliders() if by_sliders else schedule_from_text(self.own.value)

    def hand_over(self, plan: Schedule) -> None:
        """Once the learner pauses, leave a copy of the plan for the other benches."""
        if plan.text() != kept_plan(self.panel.desk).text():
            self.panel.desk.state.put(LESSON, KEPT, plan.text())
            self.panel.desk.refresh_others(self.panel)

    def _of_sliders(self) -> Schedule:
        at: dict[str, float] = {name: slider.number for name, slider in self.sliders.items()}
        last_c = 10 * ((at["peak"] - LAST_STRETCH_C) // 10)
        steps: list[RampOrHold] = [Ramp(FIRST_C, at["first"]), Ramp(last_c, at["second"]), Ramp(at["peak"], at["last"])]
        if at["hold"]:
            steps.append(Hold(at["hold"]))
        if at["cooling"] and at["peak"] > COOLED_C:
            steps.append(Ramp(COOLED_C, at["cooling"]))
        return Schedule(steps)

    def _starts(self) -> dict[str, Any]:
        """Where the sliders stand at first: the class's own firing, read from its words."""
        first, second, last, hold = class_firing().steps
        assert isinstance(first, Ramp) and isinstance(second, Ramp) and isinstance(last, Ramp) and isinstance(hold, Hold)
        rates = {"first": first.rate_c_per_h, "second": second.rate_c_per_h, "last": last.rate_c_per_h}
        return rates | {"peak": last.to_c, "hold": hold.minutes, "cooling": 0}


class TrayFirings:
    """The part of a panel that holds a firing; the panel asks for its ``curve()`` in ``paint``."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.ours = panel, class_firing()
        self.widget = panel.keep_choice("firing", self._offer(), "class_firing")

    def curve(self) -> TrayCurve:
        """The line of the firing chosen, with the cooling that follows."""
        self.panel.offer_anew(self.widget, self._offer())
        make = self._planned().get(self.widget.value)
        return cooled(make().curve() if make else self._fired[self.widget.value])

    def _offer(self) -> list[tuple[str, str]]:
        self._fired: dict[str, TrayCurve] = {}
        texts = []
        for entry in reversed(self.panel.desk.book.entries("firing")):
            try:
                firing = Firing.from_entry(entry.data)
                self._fired[entry.id] = firing.curve()
            except GlazekitError:  # a firing without a line of readings cannot be laid on the tray
                continue
            texts.append(
                (self.panel.words("my_firing", kiln=firing.kiln, when=firing.fired_on or f"{entry.when:%d %b}"), entry.id)
            )
        return [*((self.panel.words(name), name) for name in self._planned()), *texts]

    def _planned(self) -> dict[str, Callable[[], Schedule]]:
        return {
            "class_firing": lambda: self.ours,
            "no_hold": lambda: changed(self.ours, hold_min=0.0),
            "long_hold": lambda: changed(self.ours, hold_min=LONG_HOLD_MIN),
            "cooler": lambda: changed(self.ours, peak_by_c=-STEP_C),
            "hotter": lambda: changed(self.ours, peak_by_c=STEP_C),
            "my_plan": lambda: kept_plan(self.panel.desk),
        }


def changed(plan: Schedule, hold_min: float | None = None, peak_by_c: float = 0.0) -> Schedule:
    """The plan with another hold [min] (0 for none) or another peak [C].

    >>> ours = Schedule([Ramp(1222, 100), Hold(10)])
    >>> changed(ours, hold_min=0).steps, changed(ours, peak_by_c=-20).peak_c
    ((Ramp(to_c=1222.0, rate_c_per_h=100.0),), 1202.0)
    """
    steps: list[RampOrHold] = []
    for step in plan.steps:
        if isinstance(step, Hold):
            if hold_min != 0:
                steps.append(step if hold_min is None else Hold(hold_min))
        else:
            steps.append(Ramp(step.to_c + peak_by_c, step.rate_c_per_h) if step.to_c == plan.peak_c else step)
    return Schedule(steps, plan.start_c)


def cooled(curve: TrayCurve) -> TrayCurve:
    """The line with the cooling that no plan holds back, down to where nothing flows.

    >>> cooled(((0.0, 20.0), (10.0, 1200.0)))[-1]
    (14.0, 600.0)
    """
    hours, temp_c = curve[-1]
    if temp_c <= STILL_C:
        return curve
    return (*curve, (hours + (temp_c - STILL_C) / COOLS_C_PER_H, STILL_C))
