"""The few controls panels are built of; each has a visible label that is also its accessible name."""

from collections.abc import Callable, Iterable
from contextlib import suppress
from math import log10
from typing import Any

import ipywidgets as widgets

from glazekit.drawing.markup import join
from glazekit.ground.errors import GlazekitError, RangeError
from glazekit.ground.numbers import parse_number
from glazekit.words.texts import part_words

WHOLE_LABEL = {"description_width": "initial"}
Reader = Callable[[str], float]
"""Reads what is typed into a box."""


def html(text: str = "", css_class: str = "") -> widgets.HTML:
    """A piece of text or a drawing; plain text is escaped."""
    return _classed(widgets.HTML(join(text)), css_class)


def _classed(widget: Any, css_class: str) -> Any:
    for name in css_class.split():
        widget.add_class(name)
    return widget


def _labelled(box: Any, width: str, name: str) -> Any:
    """A box beside its label, as wide as both need; one without takes ``name`` as its accessible name."""
    box.layout.width, box.layout.max_width = "auto", "100%"
    if not box.description:
        box.layout.width, box.tooltip = width, name
        box.add_class("gk-fill")
    return box


def _pairs(options: Iterable[Any]) -> tuple[tuple[str, Any], ...]:
    """Options as (word, value); a word alone is its own value."""
    return tuple((option, option) if isinstance(option, str) else option for option in options)


def text_box(label: str, value: str = "", width: str = "8em", name: str = "", wide: bool = False) -> widgets.Text:
    """One line of text, taken over on Enter or on leaving the box; ``wide`` for words rather than a number. ``name`` is the
    accessible name of a box without a visible label (in a table row, where the row and column say it)."""
    box = widgets.Text(value, description=label, continuous_update=False, style=WHOLE_LABEL)
    return _labelled(_classed(box, "gk-wide" if wide else ""), width, name)


def long_box(label: str, placeholder: str = "", rows: int = 4) -> widgets.Textarea:
    """Several lines of text."""
    kept = {"continuous_update": False, "style": WHOLE_LABEL, "layout": {"width": "100%"}}
    return widgets.Textarea(description=label, placeholder=placeholder, rows=rows, **kept)


def choose(label: str, options: Iterable[Any], value: Any = None, name: str = "") -> widgets.Dropdown:
    """One of several, folded up; options are words or (words, value) pairs."""
    box = widgets.Dropdown(options=_pairs(options), description=label, style=WHOLE_LABEL)
    if value is not None:
        box.value = value
    return _labelled(box, "auto", name)


def offer_anew(box: Any, options: Iterable[Any]) -> None:
    """Other options for a drop-down or a pick; what was chosen stays chosen where it is still on offer, else the first is."""
    offer = _pairs(options)
    if offer == tuple(box.options):
        return
    chosen, values = box.value, [value for _, value in offer]
    box.options = offer
    box.value = chosen if chosen in values else next(iter(values), None)


def pick(label: str, options: Iterable[Any], value: Any = None) -> widgets.RadioButtons:
    """One of several, all in sight; nothing is chosen until the learner chooses, unless ``value`` is given. The label is the
    accessible name of the group; the question itself is usually written above."""
    return widgets.RadioButtons(options=_pairs(options), value=value, tooltip=label, layout={"width": "auto"})


def tick(label: str, value: bool = False) -> widgets.Checkbox:
    """A tick box with its words beside it."""
    return widgets.Checkbox(value, description=label, indent=False, layout={"width": "auto", "max_width": "100%"})


def button(label: str, action: Callable[[], None], main: bool = False, name: str = "") -> widgets.Button:
    """A button whose one job is ``action``; ``name`` is a longer accessible name, shown when the pointer rests on it."""
    widget = widgets.Button(description=label, tooltip=name, layout={"width": "auto", "height": "auto"})
    widget.on_click(lambda _: action())
    return _classed(widget, "gk-main" if main else "")


def row(*children: Any, css_class: str = "") -> widgets.HBox:
    """Controls side by side, wrapping where the page is narrow."""
    return _classed(widgets.HBox(children), f"gk-row {css_class}")


def stack(*children: Any, css_class: str = "") -> widgets.VBox:
    """Controls one under the other."""
    return _classed(widgets.VBox(children), css_class)


def show(widget: widgets.Widget, visible: bool) -> None:
    """Show or hide a control."""
    (widget.remove_class if visible else widget.add_class)("gk-hide")


class SliderWithBox:
    """A slider and a number box that hold one number: the box is exact, the slider follows to its nearest step.

    The label holds the unit of all its numbers, for instance "Batch size [g]". The steps of a ``log`` slider multiply rather than
    add, for a range such as 50 g to 20 kg; ``step`` is then the number of steps per power of ten. ``read`` reads the box.
    ``number`` raises a GlazekitError while the box holds no allowed number; ``value`` is the text of the box.
    """

    def __init__(
        self, label: str, value: float, low: float, high: float, step: float, log: bool = False, read: Reader | None = None
    ) -> None:
        self.label, self.low, self.high, self._log = label, low, high, log
        unit = label.rpartition("[")[2].removesuffix("]") if "[" in label else ""
        self._read = read or (lambda text: parse_number(text, what=label, unit=unit))
        common = {"description": label, "readout": False, "continuous_update": True, "style": WHOLE_LABEL}
        if log:
            self.slider = widgets.FloatLogSlider(value, base=10, min=log10(low), max=log10(high), step=1 / step, **common)
        else:
            self.slider = widgets.FloatSlider(value, min=low, max=high, step=step, **common)
        self.slider.layout.width = "auto"
        self.box = text_box("", f"{value:g}", width="6.5em", name=part_words("frame")("exact", label=label))
        self.widget = row(self.slider, self.box)
        self._listeners: list[Callable[[Any], None]] = []
        self._leading = False
        self.slider.observe(self._slider_moved, names="value")
        self.box.observe(self._box_typed, names="value")

    @property
    def value(self) -> str:
        """Text of the number box."""
        return str(self.box.value)

    @value.setter
    def value(self, text: str) -> None:
        self.box.value = str(text)

    @property
    def number(self) -> float:
        """The number in the box [unit of the label]; raises NumberError or RangeError with one sentence."""
        number = self._read(self.box.value)
        if not self.low <= number <= self.high:
            given = {"what": self.label, "number": f"{number:g}", "low": f"{self.low:g}", "high": f"{self.high:g}"}
            raise RangeError(part_words("frame")("outside", **given))
        return number

    def observe(self, listener: Callable[[Any], None], names: str = "value") -> None:
        """Call ``listener`` once per change, whichever of the two was moved."""
        self._listeners.append(listener)

    def _slider_moved(self, change: Any) -> None:
        """Write where the slider was moved to; not the browser's echo of a typed number, snapped to the nearest step."""
        if not self._leading and not self._nearest(change.new):
            self._lead(lambda: setattr(self.box, "value", f"{float(f'{change.new:.3g}'):g}"), change)

    def _nearest(self, position: float) -> bool:
        """Is this the step nearest to the number in the box?"""
        try:
            number = self.number
        except GlazekitError:
            return False
        gap = log10(position / number) if self._log else position - number
        return bool(abs(gap) <= self.slider.step / 2 + 1e-9)

    def _box_typed(self, change: Any) -> None:
        if self._leading:
            return

        def follow() -> None:
            # a number that cannot be read is told by the panel, whose refresh reads ``number`` too; the slider stays put
            with suppress(GlazekitError):
                self.slider.value = self.number

        self._lead(follow, change)

    def _lead(self, follow: Callable[[], None], change: Any) -> None:
        self._leading = True
        try:
            follow()
        finally:
            self._leading = False
        for listener in self._listeners:
            listener(change)
