"""The flux mixer: sliders that share 1 among them, as one control with one value."""

from collections.abc import Sequence
from importlib.resources import files
from math import fsum, isfinite
from typing import Any

import anywidget
import traitlets

TOTAL_TOL = 1e-6


class FluxMix(anywidget.AnyWidget):
    """Linked sliders with padlocks; the browser does the sharing, so a slider never fights another one.

    Parameters: (name, label) of each share; name -> share at first, together 1, names not given start at 0; what it says:
    "open", "locked", "padlock" and "box" ({name}), "this_locked", "no_other", "all_locked", "stopped" ({name}, {share}) and
    "unread" ({typed}).

    ``value`` is ``{"shares": {name: share}, "locked": [name, ...]}``. A value whose shares do not total 1, or that names anything
    else, is refused with a TraitError and the old one stays.

    >>> mix = FluxMix([("Na2O", "soda"), ("CaO", "lime")], {"Na2O": 0.25, "CaO": 0.75}, {})
    >>> mix.shares["CaO"], mix.value["locked"]
    (0.75, [])
    """

    value = traitlets.Dict().tag(sync=True)
    names: traitlets.List[dict[str, str]] = traitlets.List().tag(sync=True)
    words = traitlets.Dict().tag(sync=True)
    _esm = files(__package__).joinpath("mixer.js").read_text(encoding="utf-8")

    def __init__(self, names: Sequence[tuple[str, str]], shares: dict[str, float], words: dict[str, str]) -> None:
        named = [{"name": name, "label": label} for name, label in names]
        self._known = {name for name, _ in names}
        value = {"shares": {name: float(shares.get(name, 0.0)) for name, _ in names}, "locked": []}
        super().__init__(names=named, words=words, value=value)

    @property
    def shares(self) -> dict[str, float]:
        """Name -> share; together 1."""
        return dict(self.value["shares"])

    @traitlets.validate("value")
    def _sound(self, proposal: Any) -> dict[str, Any]:
        value = proposal["value"]
        try:
            shares, locked = value["shares"], value["locked"]
            sound = set(shares) == self._known and set(locked) <= self._known and set(value) == {"shares", "locked"}
            sound = sound and all(isfinite(share) and share >= 0 for share in shares.values())
            sound = sound and abs(fsum(shares.values()) - 1) <= TOTAL_TOL
        except (KeyError, TypeError, AttributeError):
            sound = False
        if not sound:
            raise traitlets.TraitError(f"these are not shares of 1: {value}")
        return {"shares": {name: float(share) for name, share in shares.items()}, "locked": list(locked)}
