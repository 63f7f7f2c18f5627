"""Two parts of the shopping bench: conditions on a recipe that is reckoned, and shopping by hand, one purchase at a time."""

from collections.abc import Mapping, Sequence
from typing import Any

from glazekit.chemistry.base_limits import AT_LEAST, AT_MOST, FIXED
from glazekit.chemistry.by_hand import HandWork, Purchase, by_hand
from glazekit.chemistry.flux_change import is_flux_source
from glazekit.chemistry.unity import brings
from glazekit.drawing.markup import Html
from glazekit.ground.errors import GlazekitError, NumberError
from glazekit.ground.numbers import parse_mass_g, parse_number, show_g, show_number, show_percent, within
from glazekit.lab.controls import choose, html, row, show, stack, text_box
from glazekit.lab.panel import Panel
from glazekit.lab.parts.formula_words import name_of, show_change, show_mol
from glazekit.lab.prose import paragraphs, table

LEFT = "left on the shelf"
KINDS = {AT_LEAST: "min_share", AT_MOST: "max_share", FIXED: "fixed", LEFT: "available_g"}
"""Kind of condition -> what the reckoning calls it."""
SAID = {AT_LEAST: "at_least", AT_MOST: "at_most", FIXED: "exactly", LEFT: "is_left"}
"""Kind of condition -> the text that says it is set; with "kind_" before it the text that offers it."""


class ShareConditions:
    """The part of the shopping bench that holds conditions; ``panel.memory["conditions"]`` lists [powder, kind, number]."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, panel.words
        panel.memory.setdefault("conditions", [])
        self.powder = choose(self.words("condition_powder"), [])
        self.kind = choose(self.words("condition_kind"), [(self.words(f"kind_{key}"), kind) for kind, key in SAID.items()])
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


class HandShopping:
    """The part of the shopping bench that buys by hand. How far the learner got is ``panel.memory["bought"]``."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, panel.words
        panel.memory.setdefault("bought", 0)
        self.first = panel.keep_choice("buy_first", [self.words("nothing_to_buy")])
        self.order, self.bought, self.left = html(), html(), html()
        buttons = panel.buttons(("buy", self.buy), ("put_back", self.put_back), ("empty", self.empty))
        self.widget = stack(panel.strong("by_hand"), row(self.first), self.order, buttons, self.bought, self.left)
        self.work: HandWork | None = None

    def paint(self, target: Mapping[str, float], powders: Sequence[str]) -> None:
        """Show as many purchases as have been made; a shop that lacks something says so here."""
        stock = self.panel.desk.stock
        materials = [stock.find(name) for name in powders]
        sources = [material.name for material in materials if is_flux_source(material) or material.kind == "frit"]
        self.panel.offer_anew(self.first, sources or [self.words("nothing_to_buy")])
        clay = next((m.name for m in materials if brings(m, "Al2O3") and m.name not in sources), None)
        silica = next((m.name for m in materials if [oxide for oxide, _ in m.moles_per_g if brings(m, oxide)] == ["SiO2"]), None)
        self.work, said = None, ""
        if not sources or not clay or not silica:
            said = self.words("shop_lacks")
        else:
            first = self.first.value
            try:
                self.work = by_hand(target, first, [name for name in sources if name != first], clay, silica, stock=stock)
                if self.panel.memory["bought"] >= len(self.work.purchases):  # before that the learner finds the next one
                    said = self.words("order", order=", ".join(purchase.material for purchase in self.work.purchases))
            except GlazekitError as error:  # the reckoned recipe below may be there all the same
                said = str(error)
        self.order.value = paragraphs(said)
        made = self.work.purchases[: self.panel.memory["bought"]] if self.work else ()
        self.bought.value = paragraphs(*(self._purchase(i, p) for i, p in enumerate(made, 1)))
        self.left.value = self._table(made) + self._end()

    def _purchase(self, number: int, purchase: Purchase) -> str:
        more = {"number": number, "material": purchase.material, "oxide": name_of(purchase.for_oxide)}
        if purchase.need_mol <= 0 or not purchase.bought_mol:
            return self.words("bought_none", need=show_number(purchase.need_mol, 3), **more)
        return self.words(
            "bought_some",
            moles=show_number(purchase.bought_mol, 3),
            per_mol=show_g(purchase.grams_per_mol, 0.01),
            mass=show_g(purchase.grams, 0.01),
            **more,
        )

    def _table(self, made: Sequence[Purchase]) -> Html:
        if not self.work:
            return Html()
        rows = made[-1].rows if made else tuple((oxide, moles, 0.0, moles) for oxide, moles in self.work.target.pairs)
        shown = [(name_of(o), show_mol(want), show_mol(got), show_change(left, 3)) for o, want, got, left in rows]
        cells = [(*most, left.removeprefix("+")) for *most, left in shown]
        return table(self.panel.texts("oxide", "wanted_mol", "so_far", "left"), cells)

    def _end(self) -> Html:
        if not (work := self.finished()):
            return Html()
        if work.recipe is None:
            return paragraphs(*(f"✕ {problem}" for problem in work.problems))
        shares = ", ".join(f"{line.material} {show_number(line.amount, 1)} %" for line in work.recipe.base)
        return paragraphs(f"✓ {self.words('hand_recipe', shares=shares)}")

    def finished(self) -> HandWork | None:
        """The whole shopping, once everything is bought."""
        return self.work if self.work and self.panel.memory["bought"] >= len(self.work.purchases) else None

    def buy(self) -> None:
        """The next purchase."""
        if self.work:
            self.panel.memory["bought"] = min(self.panel.memory["bought"] + 1, len(self.work.purchases))
        self.panel.refresh()

    def put_back(self) -> None:
        """Take the last purchase back."""
        self.panel.memory["bought"] = max(self.panel.memory["bought"] - 1, 0)
        self.panel.refresh()

    def empty(self) -> None:
        """Begin again with an empty basket."""
        self.panel.memory["bought"] = 0
        self.panel.refresh()
