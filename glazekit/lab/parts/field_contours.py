"""Contours of the Chart map: how stiff at the learner's peak, or how much it shrinks, for the learner's own flux set."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from html import escape
from math import ceil, floor

from glazekit.chemistry.unity import UnityFormula, unity_formula, unity_from_moles
from glazekit.drawing.contours import contour_lines
from glazekit.drawing.field import Field, Layer
from glazekit.drawing.field_contours import ContourLabels, ContourLines, OutsideData
from glazekit.glass.expansion import expansion
from glazekit.glass.field import FluxSet, Rows, expansion_field, viscosity_field
from glazekit.glass.melt import viscosity
from glazekit.ground.estimate import Change, Estimate, say_change, say_estimate
from glazekit.ground.limits import within
from glazekit.ground.numbers import parse_number, show_number
from glazekit.lab.controls import choose, html, row, show, stack, text_box
from glazekit.lab.panel import Panel
from glazekit.lab.parts.reference_picker import ReferencePicker
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import part_words

STIFF, EXPANDS = "viscosity", "expansion"
"""What can be drawn."""
STEPS = {STIFF: (0.5, 0.25), EXPANDS: (1.0, 0.5, 0.2)}
"""Distance from line to line, the widest that gives enough lines [log10(Pa.s)], [1e-6 per K]."""
ENOUGH_LINES = 4
COLUMNS, ROWS = 36, 32
"""Cells of the grid."""
PEAK_C, COLDEST_C, HOTTEST_C = 1222, 600, 1500
MOST_SILICA = 6.0
"""How far to look for the next line [mol]."""


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What was computed at the last pause: for which question, and the layers it gave."""

    asked: tuple[object, ...]
    layers: tuple[OutsideData | ContourLines, ...]
    labels: ContourLabels
    beyond: tuple[str, ...]
    step: float


class FieldContours:
    """The part of the Chart map that asks for contours and draws them; the panel calls ``compute`` when the learner has paused.

    Parameters
    ----------
    panel : the panel it belongs to.
    card : gives the glaze before the learner moved it; the reference while the book has no fired tile.
    first : "", "viscosity" or "expansion": what is shown at first.
    """

    def __init__(self, panel: Panel, card: Callable[[], Recipe], first: str = "") -> None:
        self.panel, self.words = panel, part_words("field_contours")
        names = [(self.words("none"), ""), (self.words("stiff"), STIFF), (self.words("expands"), EXPANDS)]
        self.choice = panel.keep("contours", choose(self.words("choice"), names, first))
        self.peak = panel.keep("peak", text_box(self.words("peak"), f"{PEAK_C}", name=self.words("peak")))
        self.reference = ReferencePicker(panel, card=card)
        self.note = html()
        self._more = stack(row(self.peak, self.reference.widget), self.note)
        self.widget = stack(row(self.choice), self._more)
        self._drawn: _Drawn | None = None

    @property
    def shown(self) -> str:
        """Which contours: "", "viscosity" or "expansion"."""
        return str(self.choice.value)

    @property
    def peak_c(self) -> float:
        """The peak temperature in its box [°C]; NumberError or RangeError with one sentence."""
        return within(parse_number(self.peak.value, what=self.words("peak")), COLDEST_C, HOTTEST_C, self.words("peak"), "°C")

    # -- drawing ------------------------------------------------------------------------------------------------------------

    def asked(self, formula: UnityFormula, field: Field) -> tuple[object, ...]:
        """All that the contours depend on; silica and alumina of the glaze are not among it."""
        stays = tuple((oxide, round(moles, 4)) for oxide, moles in formula.pairs if oxide not in ("SiO2", "Al2O3"))
        return self.shown, self.peak_c if self.shown == STIFF else None, stays, field

    def is_old(self, formula: UnityFormula, field: Field) -> bool:
        """Do the drawn contours belong to another flux set, another peak or another window?"""
        return self._drawn is not None and self._drawn.asked != self.asked(formula, field)

    def compute(self, formula: UnityFormula, field: Field) -> None:
        """The heavy part: values on a grid, lines through it, the part that the data cover."""
        asked = self.asked(formula, field)
        if not self.shown:
            self._drawn = None
        if not self.shown or (self._drawn and self._drawn.asked == asked):
            return
        fluxes = FluxSet.of(formula)
        part = fluxes.known_part(field.silica, field.alumina, self.peak_c if self.shown == STIFF else None)
        across = [field.silica[0] + (field.silica[1] - field.silica[0]) * k / COLUMNS for k in range(COLUMNS + 1)]
        up = [field.alumina[0] + (field.alumina[1] - field.alumina[0]) * k / ROWS for k in range(ROWS + 1)]
        ends = [self._values(fluxes, [x], [y])[0][0] for x, y in part.corners]
        step, levels = _levels(ends, STEPS[self.shown])
        lines = contour_lines(across, up, self._values(fluxes, across, up), levels)
        named = tuple((self._label(level), line) for level, found in zip(levels, lines, strict=True) for line in found)
        below = (ContourLines(tuple(line for _, line in named)), OutsideData(part.corners))
        labels = ContourLabels(named, part.corners, self.words("outside"), ((formula["SiO2"], formula["Al2O3"]),))
        self._drawn = _Drawn(asked, below, labels, part.beyond, step)

    def below(self) -> tuple[Layer, ...]:
        """Layers under everything else: the lines, and the part outside the data."""
        return self._drawn.layers if self._drawn and self.shown else ()

    def above(self) -> tuple[Layer, ...]:
        """Layers over the other resting ones: the numbers of the lines."""
        return (self._drawn.labels,) if self._drawn and self.shown else ()

    def _values(self, fluxes: FluxSet, silica: list[float], alumina: list[float]) -> Rows:
        if self.shown == STIFF:
            return viscosity_field(fluxes, self.peak_c, silica, alumina)
        return expansion_field(fluxes, silica, alumina)

    def _label(self, level: float) -> str:
        return (
            self.words("line_stiff", pa_s=show_pa_s(level))
            if self.shown == STIFF
            else self.words("line_expands", value=f"{level:g}")
        )

    # -- words --------------------------------------------------------------------------------------------------------------

    def say(self, recipe: Recipe) -> str:
        """The glaze itself, for the status line: first the change against the reference, then the number with its interval."""
        show(self._more, bool(self.shown))
        show(self.peak, self.shown == STIFF)
        if not self.shown:
            return ""
        reference = self.reference.reference()
        self.note.value = f"<p>{escape(self.reference.note)}</p>" if self.reference.note else ""
        fired = unity_formula(reference.recipe, stock=reference.stock)  # with the analyses of its day
        return "\n".join(self._sentences(self._estimate(recipe, fired), reference.name))

    def _estimate(self, glaze: Recipe | UnityFormula, reference: UnityFormula | None = None) -> Estimate:
        if self.shown == STIFF:
            return viscosity(glaze, self.peak_c, reference, stock=self.panel.desk.stock)
        return expansion(glaze, reference, stock=self.panel.desk.stock)

    def _sentences(self, estimate: Estimate, reference: str) -> list[str]:
        words, said = self.words, []
        if estimate.change:
            change = replace(estimate.change, reference=reference)
            if self.shown == STIFF:
                said.append(self._times(change))
            else:
                said.append(words("change", change=say_change(change)))
        if self.shown == STIFF and estimate.value is not None:
            value, low, high = (show_pa_s(power) for power in (estimate.value, estimate.low, estimate.high) if power is not None)
            said.append(words("alone_pa_s", estimate=say_estimate(estimate), value=value, low=low, high=high))
        else:
            said.append(words("alone", estimate=say_estimate(estimate)))
        return said

    def _times(self, change: Change) -> str:
        """How many times as stiff, or as runny, as the reference."""
        if change.low == change.high:
            return self.words("same", reference=change.reference)
        powers = (change.value, change.low, change.high) if change.value >= 0 else (-change.value, -change.high, -change.low)
        times, low, high = (f"{10**power:.2g}" for power in powers)
        key = "times_stiff" if change.value >= 0 else "times_runny"
        return self.words(key, times=times, low=low, high=high, reference=change.reference, status=change.status)

    def legend(self, formula: UnityFormula) -> list[str]:
        """What the lines mean, how far they can be trusted, and what is grey."""
        if not (self.shown and self._drawn):
            return []
        words, beyond = self.words, "; ".join(self._drawn.beyond)
        said = []
        if self._drawn.labels.lines:
            if self.shown == STIFF:
                said.append(words("mark_stiff", peak=f"{self.peak_c:g}", times=f"{10**self._drawn.step:.2g}"))
            else:
                said.append(words("mark_expands", step=f"{self._drawn.step:g}"))
            said += [self._trust(formula), *self._one_line_further(formula)]
        if self.shown == STIFF and self.peak_c == PEAK_C:
            said.append(words("invented_peak", peak=PEAK_C))
        said.append(words("mark_outside", beyond=beyond) if beyond else words("all_inside"))
        return said

    def _trust(self, formula: UnityFormula) -> str:
        estimate = self._estimate(formula)
        if estimate.half_width is None:
            return self.words("trust_elsewhere", status=estimate.status)
        if self.shown == STIFF:
            return self.words("trust_stiff", factor=f"{10**estimate.half_width:.2g}", status=estimate.status)
        return self.words("trust_expands", half=f"{estimate.half_width:.1f}", status=estimate.status)

    def _one_line_further(self, formula: UnityFormula) -> list[str]:
        """How much silica takes the glaze from line to line, and what that change is good for; nothing outside the data."""
        wanted = self._estimate(formula).value
        if wanted is None or self._drawn is None:
            return []
        wanted += self._drawn.step if self.shown == STIFF else -self._drawn.step
        fluxes, least, most = FluxSet.of(formula), formula["SiO2"], formula["SiO2"] + MOST_SILICA
        while most - least > 0.005:
            middle = (least + most) / 2
            beyond = (self._values(fluxes, [middle], [formula["Al2O3"]])[0][0] > wanted) == (self.shown == STIFF)
            least, most = (least, middle) if beyond else (middle, most)
        change = self._estimate(unity_from_moles({**formula.moles, "SiO2": most}), formula).change
        if change is None:
            return []
        silica = show_number(most - formula["SiO2"], 1)
        if self.shown == STIFF:
            times, low, high = (f"{10**power:.2g}" for power in (change.value, change.low, change.high))
            return [self.words("further_stiff", silica=silica, times=times, low=low, high=high, status=change.status)]
        by, low, high = (f"{power:+.1f}" for power in (change.value, change.low, change.high))
        return [self.words("further_expands", silica=silica, by=by, low=low, high=high, status=change.status)]


def show_pa_s(log10_pa_s: float) -> str:
    """A viscosity in Pa·s, two figures.

    >>> show_pa_s(2.5), show_pa_s(3.5), show_pa_s(4), show_pa_s(0.5)
    ('320', '3200', '10 000', '3.2')
    """
    value = float(f"{10**log10_pa_s:.2g}")
    return f"{value:,.0f}".replace(",", " " if value >= 10_000 else "") if value >= 10 else f"{value:g}"


def _levels(ends: list[float], steps: tuple[float, ...]) -> tuple[float, list[float]]:
    """Round values between the least and the most, and how far apart: as far as still gives enough of them.

    >>> _levels([1.2, 4.1], (0.5, 0.25))
    (0.5, [1.5, 2.0, 2.5, 3.0, 3.5, 4.0])
    """
    if not ends:
        return steps[0], []
    for step in steps:
        levels = [round(k * step, 6) for k in range(ceil(min(ends) / step), floor(max(ends) / step) + 1)]
        if len(levels) >= ENOUGH_LINES:
            break
    return step, levels
