"""The rows of the batch bench: a tick box, what the scale shows, and the verdict in words."""

from collections.abc import Iterable, Sequence
from typing import Any

from glazekit.drawing.markup import el
from glazekit.drawing.strokes import SIGNS
from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import decimals_of, parse_mass_g, parse_volume_ml, show_g, show_ml, show_number
from glazekit.lab.controls import html, row, stack, text_box, tick
from glazekit.lab.panel import Panel
from glazekit.recipe.batch import LIQUID_STEP_ML, BatchLine, band_on_scale
from glazekit.recipe.weighing import WeighedLine

WORD_SIGNS = {"in band": "ok", "under": "under", "over": "look", "not yet": "open"}


def amount(line: BatchLine, value: float, division_g: float) -> str:
    """A mass in steps of the scale, or a volume: ``line`` says which of the two it is."""
    return show_ml(value) if line.unit == "ml" else show_g(value, division_g)


def by_material(pairs: Iterable[tuple[BatchLine, float]]) -> dict[str, float]:
    """Material -> mass, lines of one material added up, as the book keeps it [g; mL for liquids]."""
    found: dict[str, float] = {}
    for line, mass in pairs:
        found[line.material] = round(found.get(line.material, 0.0) + mass, 6)
    return found


class WeighRow:
    """One material. ``note`` is its part of the bench's memory: text, zero_g and tick."""

    def __init__(self, panel: Panel, note: dict[str, Any]) -> None:
        self.words, self.note = panel.words, note
        self.ticked = tick("", note.get("tick", False))
        self.reading = text_box("", note.get("text", ""), width="7.5em", name=" ")
        self.reading.placeholder = self.words("scale_shows")
        self.verdict = html(css_class="gk-grow")
        self.widget = row(self.ticked, self.reading, self.verdict, css_class="gk-line")
        self.problem = ""
        for control in (self.ticked, self.reading):
            control.observe(lambda _: panel.refresh(), names="value")

    def net(self, line: BatchLine, zero_g: float) -> float | None:
        """What went into the cup [g; mL for a liquid]: the reading less what the scale showed before; None when not read. The
        zero that counts is the one that held when the reading was typed."""
        text = self.reading.value.strip()
        if text != self.note.get("text", ""):
            self.note.update(text=text, zero_g=zero_g)
        self.note["tick"] = self.ticked.value
        self.problem = ""
        if not text:
            return None
        try:
            if line.unit == "ml":
                return parse_volume_ml(text, line.label)
            net_g: float = round(parse_mass_g(text, line.label) - self.note.get("zero_g", 0.0), 9)
        except GlazekitError as error:
            self.problem = str(error)
            return None
        if net_g < 0:
            self.problem = self.words("below_zero", material=line.label, zero=show_g(self.note["zero_g"]))
            return None
        return net_g

    def show(self, weighed: WeighedLine, division_g: float, barred: bool = False) -> None:
        """Write name, target and verdict; neither of a line that is ``barred``, which may have been weighed all the same."""
        line = weighed.line
        target = amount(line, line.target_g, division_g)
        self.ticked.description = self.words("tick", material=line.label, target=target)
        self.reading.tooltip = self.words("reading_of", material=line.label, unit="mL" if line.unit == "ml" else "g")
        if barred:
            self.ticked.description = self.words("barred", material=line.label)
        if self.problem or barred:
            self.verdict.value = el("b", SIGNS["stop"]) + f" {self.problem}"
            return
        word, why = self._verdict(weighed, division_g)
        sign = "ok" if weighed.word == "not yet" and self.ticked.value else WORD_SIGNS[weighed.word]
        self.verdict.value = el("b", f"{SIGNS[sign]} {word}") + f" {why}"

    def _verdict(self, weighed: WeighedLine, division_g: float) -> tuple[str, str]:
        line, step = weighed.line, min(division_g, 0.01)
        fine = self._fine(line, division_g)
        if weighed.reading_g is None:
            if self.ticked.value:
                return self.words("ticked"), self.words("no_reading")
            return self.words("not_yet"), fine
        sum_ = ""
        if self.note.get("zero_g"):
            sum_ = self.words("less_zero", zero=show_g(self.note["zero_g"]), net=show_g(weighed.reading_g))
        by = amount(line, abs(weighed.difference_g or 0.0), step)
        key = weighed.word.replace(" ", "_")
        return self.words(key, by=by), " ".join((sum_, fine)).strip()

    def _fine(self, line: BatchLine, division_g: float) -> str:
        """What counts as close enough, in steps of this scale as on the printed sheet."""
        low, high = band_on_scale(line, division_g)
        if low == high:
            return self.words("band_of_one", target=amount(line, low, division_g))
        decimals = decimals_of(LIQUID_STEP_ML if line.unit == "ml" else division_g)
        return self.words("band", low=show_number(low, decimals), high=amount(line, high, division_g))


class WeighRows:
    """The rows of one sheet, rebuilt when the sheet has other lines."""

    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self.rows: list[WeighRow] = []
        self.box = stack()
        self._of: tuple[Any, ...] = ()

    def lay(self, key: str, lines: Sequence[BatchLine], notes: list[dict[str, Any]]) -> None:
        """Make the rows for these lines, unless they stand there already; each gets its note back."""
        wanted = (key, *((line.material, line.part) for line in lines), id(notes))
        if wanted == self._of:
            return
        while len(notes) < len(lines):
            notes.append({})
        self.rows = [WeighRow(self.panel, note) for note in notes[: len(lines)]]
        children = []
        for row_, line, before in zip(self.rows, lines, (None, *lines), strict=False):
            if line.part == "addition" and (before is None or before.part == "base"):
                children.append(self.panel.strong("on_top"))
            children.append(row_.widget)
        self.box.children = children
        self._of = wanted
