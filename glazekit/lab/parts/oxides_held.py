"""Which oxides a swap is to hold: a tick for each."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from glazekit.lab.parts.tick_list import TickList
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES


class OxidesHeld(TickList):
    """A tick box for each oxide or sum of oxides on offer; all are held until the learner lets one go.

    ``value`` is what was let go, so that it outlives a change of the offer; ``kept`` is what is held.
    """

    def __init__(self) -> None:
        super().__init__()
        self.let_go: list[str] = []

    def offer_sums(self, sums: Iterable[str]) -> None:
        """Lay out a tick for each of these, such as "Al2O3" or "Na2O+K2O"; nobody is told."""
        labels = {text: sum_name(text) for text in sums}
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


def sum_name(text: str) -> str:
    """An oxide or a sum of oxides in words.

    >>> sum_name("Na2O+K2O"), sum_name("Al2O3")
    ('soda + potash', 'alumina Al₂O₃')
    """
    oxides = text.split("+")
    names = " + ".join(OXIDES[oxide].name for oxide in oxides)
    return names if len(oxides) > 1 else f"{names} {printed_formula(oxides[0])}"
