"""Which powders may be used: a tick for each, as one control with one value."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from glazekit.lab.controls import row, tick
from glazekit.lab.panels.movable_glaze import may_be_in_a_base
from glazekit.materials.stock import course_stock

SHELF = (
    "soda feldspar",
    "potash feldspar",
    "nepheline syenite",
    "spodumene",
    "calcium borosilicate frit",
    "whiting",
    "wollastonite",
    "dolomite",
    "talc",
    "strontium carbonate",
    "zinc oxide",
    "kaolin",
    "ball clay",
    "calcined kaolin",
    "quartz",
)
"""What a class has on its shelf for bases; other powders of the stock join when a recipe holds them."""


class PowderTicks:
    """A tick box for each powder.

    Parameters
    ----------
    ticked : names that are ticked at first.

    ``value`` is the list of ticked names in shelf order; a name that is not on offer is added to the offer.
    """

    def __init__(self, ticked: Iterable[str]) -> None:
        self.box = row(css_class="gk-ticks")
        self.ticks: dict[str, Any] = {}
        self._listeners: list[Callable[[Any], None]] = []
        self._quiet = False
        self.value = list(ticked)

    @property
    def value(self) -> list[str]:
        """Names of the ticked powders."""
        return [name for name, box in self.ticks.items() if box.value]

    @value.setter
    def value(self, names: Iterable[str]) -> None:
        wanted = list(names)
        stock = course_stock()
        strange = [name for name in wanted if name not in SHELF and name in stock and may_be_in_a_base(stock.find(name))]
        offer = dict.fromkeys([*SHELF, *strange])
        changed = self.value != [name for name in offer if name in wanted]
        self._quiet = True
        try:
            for name in offer:
                if name not in self.ticks:
                    self.ticks[name] = tick(name)
                    self.ticks[name].observe(self._ticked, names="value")
                self.ticks[name].value = name in wanted
            self.ticks = {name: self.ticks[name] for name in offer}
            self.box.children = list(self.ticks.values())
        finally:
            self._quiet = False
        if changed:
            self._ticked(None)

    def observe(self, listener: Callable[[Any], None], names: str = "value") -> None:
        """Call ``listener`` once per change."""
        self._listeners.append(listener)

    def _ticked(self, change: Any) -> None:
        if not self._quiet:
            for listener in self._listeners:
                listener(change)
