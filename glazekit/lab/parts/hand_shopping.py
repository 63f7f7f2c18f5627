"""Shopping by hand: one purchase after the other, with the table "wanted, so far, left"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from glazekit.chemistry.by_hand import HandWork, Purchase, by_hand
from glazekit.chemistry.flux_change import is_flux_source
from glazekit.chemistry.unity import brings
from glazekit.drawing.markup import Html
from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import show_g, show_number
from glazekit.lab.controls import html, row, stack
from glazekit.lab.panel import Panel
from glazekit.lab.parts.formula_words import name_of, show_change, show_mol
from glazekit.lab.prose import paragraphs, table
from glazekit.materials.material import Material


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
        silica = next((m.name for m in materials if _mainly_silica(m)), None)
        self.work, said = None, ""
        if not sources or not clay or not silica:
            said = self.words("shop_lacks")
        else:
            first = self.first.value
            try:
                self.work = by_hand(target, first, [name for name in sources if name != first], clay, silica, stock=stock)
                said = self.words("order", order=", ".join(purchase.material for purchase in self.work.purchases))
            except GlazekitError as error:  # the reckoned recipe below may be there all the same
                said = str(error)
        self.order.value = paragraphs(said)
        made = self.work.purchases[: self.panel.memory["bought"]] if self.work else ()
        self.bought.value = paragraphs(*(self._purchase(i, p) for i, p in enumerate(made, 1)))
        self.left.value = self._table(made) + self._end(made)

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

    def _end(self, made: Sequence[Purchase]) -> Html:
        if not self.work or len(made) < len(self.work.purchases):
            return Html()
        if self.work.recipe is None:
            return paragraphs(*(f"✕ {problem}" for problem in self.work.problems))
        shares = ", ".join(f"{line.material} {show_number(line.amount, 1)} %" for line in self.work.recipe.base)
        return paragraphs(f"✓ {self.words('hand_recipe', shares=shares)}")

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


def _mainly_silica(material: Material) -> bool:
    return [oxide for oxide, _ in material.moles_per_g if brings(material, oxide)] == ["SiO2"]
