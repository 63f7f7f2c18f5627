"""The firings that can be laid on the Slope tray: the class's own and small changes of it, my plan, and firings of the book."""

from __future__ import annotations

from collections.abc import Callable

from glazekit.ground.errors import GlazekitError
from glazekit.kiln.firing import Firing
from glazekit.kiln.schedule import Hold, Ramp, Schedule, Step
from glazekit.lab.controls import offer_anew
from glazekit.lab.panel import Panel
from glazekit.lab.parts.firing_plan import class_firing, kept_plan

COOLS_C_PER_H, COOLED_C = 150.0, 600.0
"""Cooling that nobody holds back, and where nothing flows any more (a rule of this course) [C/h], [C]."""
LONG_HOLD_MIN, STEP_C = 60.0, 20.0
Curve = tuple[tuple[float, float], ...]
"""(hours [h], temperature [C])."""


class TrayFirings:
    """The part of a panel that holds a firing; the panel asks for its ``curve()`` in ``paint``."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words, self.ours = panel, panel.words, class_firing()
        self.widget = panel.keep_choice("firing", self._offer(), "class_firing")

    def curve(self) -> Curve:
        """The line of the firing chosen, with the cooling that follows."""
        with self.panel.hold():
            offer_anew(self.widget, self._offer())
        make = self._planned().get(self.widget.value)
        return cooled(make().curve() if make else self._fired[self.widget.value])

    def _offer(self) -> list[tuple[str, str]]:
        self._fired: dict[str, Curve] = {}
        texts = []
        for entry in reversed(self.panel.desk.book.entries("firing")):
            try:
                firing = Firing.from_entry(entry.data)
                self._fired[entry.id] = firing.curve()
            except GlazekitError:  # a firing without a line of readings cannot be laid on the tray
                continue
            texts.append((self.words("my_firing", kiln=firing.kiln, when=firing.fired_on or f"{entry.when:%d %b}"), entry.id))
        return [*((self.words(name), name) for name in self._planned()), *texts]

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
    steps: list[Step] = []
    for step in plan.steps:
        if isinstance(step, Hold):
            if hold_min != 0:
                steps.append(step if hold_min is None else Hold(hold_min))
        else:
            steps.append(Ramp(step.to_c + peak_by_c, step.rate_c_per_h) if step.to_c == plan.peak_c else step)
    return Schedule(steps, plan.start_c)


def cooled(curve: Curve) -> Curve:
    """The line with the cooling that no plan holds back, down to where nothing flows.

    >>> cooled(((0.0, 20.0), (10.0, 1200.0)))[-1]
    (14.0, 600.0)
    """
    hours, temp_c = curve[-1]
    if temp_c <= COOLED_C:
        return curve
    return (*curve, (hours + (temp_c - COOLED_C) / COOLS_C_PER_H, COOLED_C))
