"""Which oxides a swap is to hold: a tick for each, as one control with one value."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from glazekit.lab.controls import row, tick
from glazekit.lab.panels.formula_words import symbol
from glazekit.materials.oxides import OXIDES


class OxidesHeld:
    """A tick box for each oxide or sum of oxides on offer; all are held until the learner lets one go.

    Parameters
    ----------
    label : words of a tick box, with {oxides}.

    ``value`` is what was let go, so that it outlives a change of the offer; ``kept`` is what is held.
    """

    def __init__(self, label: str) -> None:
        self.label = label
        self.box = row(css_class="gk-ticks")
        self.ticks: dict[str, Any] = {}
        self.let_go: list[str] = []
        self._listeners: list[Callable[[Any], None]] = []

    def offer(self, sums: Iterable[str]) -> None:
        """Lay out a tick for each of these, such as "Al2O3" or "Na2O+K2O"."""
        wanted = list(sums)
        if wanted == list(self.ticks):
            return
        for box in self.ticks.values():
            box.unobserve_all()
        self.ticks = {}
        for text in wanted:
            self.ticks[text] = tick(self.label.format(oxides=sum_name(text)), text not in self.let_go)
            self.ticks[text].observe(self._ticked, names="value")
        self.box.children = list(self.ticks.values())

    @property
    def kept(self) -> tuple[str, ...]:
        """What is on offer and held."""
        return tuple(text for text in self.ticks if text not in self.let_go)

    @property
    def value(self) -> list[str]:
        """What was let go."""
        return list(self.let_go)

    @value.setter
    def value(self, sums: Iterable[str]) -> None:
        self.let_go = list(sums)
        for text, box in self.ticks.items():
            box.value = text not in self.let_go

    def observe(self, listener: Callable[[Any], None], names: str = "value") -> None:
        """Call ``listener`` once per change."""
        self._listeners.append(listener)

    def _ticked(self, change: Any) -> None:
        self.let_go = [text for text in self.let_go if text not in self.ticks]
        self.let_go += [text for text, box in self.ticks.items() if not box.value]
        for listener in self._listeners:
            listener(change)


def sum_name(text: str) -> str:
    """An oxide or a sum of oxides in words.

    >>> sum_name("Na2O+K2O"), sum_name("Al2O3")
    ('soda + potash', 'alumina Al₂O₃')
    """
    oxides = text.split("+")
    names = " + ".join(OXIDES[oxide].name for oxide in oxides)
    return names if len(oxides) > 1 else f"{names} {symbol(oxides[0])}"
