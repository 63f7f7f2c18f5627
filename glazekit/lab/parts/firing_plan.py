"""A plan for the kiln that can be moved: three climbs, a peak, a hold and the cooling; or the same in the learner's own words."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from glazekit.drawing.markup import el
from glazekit.ground.errors import GlazekitError
from glazekit.kiln.schedule import Hold, Ramp, Schedule, Step
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
    """The part of a panel that holds the plan; the panel asks it for its ``schedule()`` in ``paint``.

    Parameters
    ----------
    panel : the panel it belongs to.
    """

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
        steps: list[Step] = [Ramp(FIRST_C, at["first"]), Ramp(last_c, at["second"]), Ramp(at["peak"], at["last"])]
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
