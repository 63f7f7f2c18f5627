"""Many of several, a tick box for each, as one control with one value: powders that may be used, oxides that are held."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from glazekit.lab.controls import row, tick
from glazekit.lab.parts.formula_words import name_of
from glazekit.lab.parts.movable_glaze import may_be_in_a_base
from glazekit.materials.stock import Stock, course_stock
from glazekit.words.texts import part_words

SHELF: tuple[str, ...] = tuple(part_words("powder_ticks").texts["shelf"])
"""What a class has on its shelf for bases, offered in this order; a few more powders are offered after them."""


class TickList:
    """Tick boxes in a row that wraps. ``value`` is the list of ticked keys, in the order of the offer. What is set and not on
    offer is left out."""

    def __init__(self) -> None:
        self.box = row(css_class="gk-ticks")
        self.ticks: dict[str, Any] = {}
        self._listeners: list[Callable[[Any], None]] = []
        self._quiet = False

    def offer(self, labels: Mapping[str, str], ticked: Iterable[str]) -> None:
        """Offer these, key -> label, with these ticked; nobody is told."""
        wanted = set(ticked)
        self._quiet = True
        try:
            for key, label in labels.items():
                if key not in self.ticks:
                    self.ticks[key] = tick(label)
                    self.ticks[key].observe(self._ticked, names="value")
                self.ticks[key].value = key in wanted
            self.ticks = {key: self.ticks[key] for key in labels}
            self.box.children = list(self.ticks.values())
        finally:
            self._quiet = False

    @property
    def value(self) -> list[str]:
        """Keys of what is ticked."""
        return [key for key, box in self.ticks.items() if box.value]

    @value.setter
    def value(self, keys: Iterable[str]) -> None:
        before, labels = self.value, {key: box.description for key, box in self.ticks.items()}
        self.offer(labels, keys)
        if self.value != before:
            self._ticked(None)

    def observe(self, listener: Callable[[Any], None], names: str = "value") -> None:
        """Call ``listener`` once per change."""
        self._listeners.append(listener)

    def _ticked(self, change: Any) -> None:
        if not self._quiet:
            for listener in self._listeners:
                listener(change)


def powder_ticks(stock: Stock, ticked: Iterable[str]) -> TickList:
    """A tick box for each powder of the shelf, with these ticked at first; what only the learner has comes last."""
    own = [material.name for material in stock if material.kind == "bag" and material.name not in course_stock()]
    ticks = TickList()
    names = (*SHELF, *part_words("powder_ticks").texts["more"], *own)
    ticks.offer({name: name for name in names if may_be_in_a_base(stock.find(name))}, ticked)
    return ticks


class OxidesHeld(TickList):
    """A tick box for each oxide or sum of oxides on offer; all are held until the learner lets one go. ``value`` is what was let
    go, so that it outlives a change of the offer; ``kept`` is what is held."""

    def __init__(self) -> None:
        super().__init__()
        self.let_go: list[str] = []

    def offer_sums(self, sums: Iterable[str]) -> None:
        """Lay out a tick for each of these, such as "Al2O3" or "Na2O+K2O"; nobody is told."""
        labels = {text: name_of(text) for text in sums}
        if list(labels) != list(self.ticks):
            self.offer(labels, [text for text in labels if text not in self.let_go])

    @property
    def kept(self) -> tuple[str, ...]:
        """What is on offer and held."""
        return tuple(text for text, box in self.ticks.items() if box.value)

    @property
    def value(self) -> list[str]:
        """What was let go."""
        return list(self.let_go)

    @value.setter
    def value(self, sums: Iterable[str]) -> None:
        self.let_go = list(sums)
        for text, box in self.ticks.items():
            box.value = text not in self.let_go

    def _ticked(self, change: Any) -> None:
        self.let_go = [text for text in self.let_go if text not in self.ticks]
        self.let_go += [text for text, box in self.ticks.items() if not box.value]
        super()._ticked(change)
