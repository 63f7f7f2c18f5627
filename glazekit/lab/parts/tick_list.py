"""Many of several: a tick box for each, as one control with one value."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from glazekit.lab.controls import row, tick


class TickList:
    """Tick boxes in a row that wraps.

    ``value`` is the list of ticked keys, in the order of the offer. What is set and not on offer is left out.
    """

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
