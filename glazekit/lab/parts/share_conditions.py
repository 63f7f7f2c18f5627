"""Conditions on a recipe that is reckoned: at least, at most or exactly so much of a powder, or no more than is left of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from glazekit.chemistry.base_limits import AT_LEAST, AT_MOST, FIXED
from glazekit.ground.errors import NumberError
from glazekit.ground.numbers import parse_mass_g, parse_number, show_g, show_percent, within
from glazekit.lab.controls import choose, html, row, show, stack, text_box
from glazekit.lab.panel import Panel
from glazekit.lab.prose import paragraphs

LEFT = "left on the shelf"
KINDS = {AT_LEAST: "min_share", AT_MOST: "max_share", FIXED: "fixed", LEFT: "available_g"}
"""Kind of condition -> what the reckoning calls it."""
CALLED = {AT_LEAST: "kind_at_least", AT_MOST: "kind_at_most", FIXED: "kind_exactly", LEFT: "kind_is_left"}
SAID = {AT_LEAST: "at_least", AT_MOST: "at_most", FIXED: "exactly", LEFT: "is_left"}
"""Kind of condition -> the text that offers it, and the one that says it is set."""


class ShareConditions:
    """The part of the shopping bench that holds conditions; ``panel.memory["conditions"]`` lists [powder, kind, number]."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, panel.words
        panel.memory.setdefault("conditions", [])
        self.powder = choose(self.words("condition_powder"), [])
        self.kind = choose(self.words("condition_kind"), [(self.words(key), kind) for kind, key in CALLED.items()])
        self.number = text_box(self.words("condition_number"))
        self.base = panel.keep("base", text_box(self.words("condition_base"), "100"))
        self.base_row = row(self.base)
        self.listed = stack()
        self._shown: list[list[Any]] | None = None
        self.widget = stack(
            panel.strong("conditions"),
            row(self.powder, self.kind, self.number, panel.button(self.words("set_condition"), self.set)),
            self.listed,
            self.base_row,
        )

    @property
    def _all(self) -> list[list[Any]]:
        found: list[list[Any]] = self.panel.memory["conditions"]
        return found

    def paint(self, powders: Sequence[str]) -> None:
        """Offer the ticked powders; list the conditions, and those that wait because their powder is not ticked."""
        self.panel.offer_anew(self.powder, powders)
        show(self.base_row, any(kind == LEFT for _, kind, _ in self._all))
        now = [[*condition, condition[0] in powders] for condition in self._all]
        if now != self._shown:
            self._shown = now
            self.listed.children = [self._line(*condition) for condition in now]

    def asked(self, powders: Sequence[str]) -> dict[str, Any]:
        """The conditions on these powders, as the reckoning takes them."""
        asked: dict[str, Any] = {name: {} for name in KINDS.values()}
        for powder, kind, number in self._all:
            if powder in powders:
                asked[KINDS[kind]][powder] = number
        if asked["available_g"]:
            asked["base_g"] = parse_mass_g(self.base.value, self.words("condition_base"))
        return asked

    def set(self) -> None:
        """Set the condition that stands in the boxes; one of the same kind for the same powder gives way to it."""
        powder, kind = self.powder.value, self.kind.value
        if not self.number.value.strip():
            raise NumberError(self.words("no_number"))
        if kind == LEFT:
            number = parse_mass_g(self.number.value, powder)
        else:
            number = within(parse_number(self.number.value, powder), 0, 100, self.words("share_of", powder=powder), "%")
        kept = [condition for condition in self._all if condition[:2] != [powder, kind]]
        self.panel.memory["conditions"] = [*kept, [powder, kind, number]]
        self.number.value = ""
        self.panel.refresh()

    def lift(self, powder: str, kind: str) -> None:
        """Take a condition away."""
        self.panel.memory["conditions"] = [condition for condition in self._all if condition[:2] != [powder, kind]]
        self.panel.refresh()

    def _line(self, powder: str, kind: str, number: float, ticked: bool) -> Any:
        amount = show_g(number) if kind == LEFT else show_percent(number, 1)
        said = self.words(SAID[kind], powder=powder, amount=amount)
        away = self.panel.button(
            self.words("lift"), lambda: self.lift(powder, kind), name=self.words("lift_name", condition=said)
        )
        waits = "" if ticked else " " + self.words("waits")
        return row(html(paragraphs(said + waits)), away)
