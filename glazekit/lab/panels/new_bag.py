"""New bag: another analysis comes into the room; what moves in each recipe, and the correction."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Any

from glazekit.chemistry.new_bag import Moved, NewBag, new_bag
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import plain_text, show_percent
from glazekit.lab.controls import choose, html, long_box, row, table, text_box
from glazekit.lab.panel import Panel
from glazekit.lab.panels.formula_words import name_of, show_change
from glazekit.lab.panels.movable_glaze import may_be_in_a_base
from glazekit.lab.shelf import save_recipe
from glazekit.materials.bags import bag_from_text
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock


class NewBagPanel(Panel):
    """A powder, the analysis on its new bag, and every recipe that holds it.

    Parameters
    ----------
    material : the powder whose bag is new at first.
    """

    name = "new bag"
    home = "08"

    def __init__(self, page: Any, material: str = "soda feldspar", **more: Any) -> None:
        self.first = material
        super().__init__(page, **more)

    def build(self) -> Iterable:
        """The powder, the bag's numbers, what moves, saving a corrected recipe."""
        words = self.words
        self.recipes = self.take_recipes()
        names = sorted(material.name for material in course_stock() if may_be_in_a_base(material))
        self.material = self.keep("material", choose(words("material"), names, self.first))
        self.lot = self.keep("lot", text_box(words("lot")))
        paper = long_box(words("figures"), words("example"), rows=8)
        paper.value = as_text(course_stock().find(self.material.value))
        self.figures = self.keep("figures", paper)
        self.memory.setdefault("bag_of", self.material.value)
        self.analysis, self.moved, self.rest = html(), html(), html()
        self.corrected = self.keep("corrected", choose(words("corrected"), [words("nothing_moves")]))
        return (
            row(self.material, self.lot),
            self.figures,
            self.analysis,
            self.moved,
            self.rest,
            row(self.corrected, self.button(words("save"), self.save, main=True)),
        )

    def paint(self) -> None:
        """Compare old and new bag in every recipe."""
        if self.memory["bag_of"] != self.material.value:
            self.memory["bag_of"] = self.material.value
            with self.hold():
                self.figures.value = as_text(course_stock().find(self.material.value))
        bag = bag_from_text(self.material.value, self.figures.value, self.lot.value.strip())
        self.result = new_bag(bag, list(self.recipes.values()))
        self._offer()
        self.analysis.value = self._analysis()
        self.moved.value = "".join(map(self._one, self.result.moved))
        self.rest.value = self._rest()
        self._say(self.result)

    def _offer(self) -> None:
        offer = tuple(moved.recipe.name for moved in self.result.moved if moved.unchanged.unity_change) or (
            self.words("nothing_moves"),
        )
        if self.corrected.options != offer:
            with self.hold():
                self.corrected.options, self.corrected.value = offer, offer[0]

    def _analysis(self) -> str:
        if not self.result.analysis:
            return ""
        rows = [
            (name_of(oxide), show_percent(before, 2), show_percent(after, 2), f"{show_change(after - before)} %")
            for oxide, before, after in self.result.analysis
        ]
        loi = (self.result.old.loi_wt_pct_raw, self.result.new.loi_wt_pct_raw)
        rows.append((self.words("loi"), *(show_percent(share, 2) for share in loi), f"{show_change(loi[1] - loi[0])} %"))
        return table([self.words(key) for key in ("oxide", "old", "new", "change")], rows)

    def _one(self, moved: Moved) -> str:
        """One recipe: what moves, and what to weigh in its place."""
        lines = [
            self.words("weigh", material=name, before=f"{before:.1f}", after=f"{after:.1f}")
            for name, before, after in moved.corrected.changes
            if round(before, 1) != round(after, 1)
        ]
        fix = ", ".join(lines) if lines else self.words("leave")
        said = self.words("correct" if moved.feasible else "nearest", fix=fix)
        why = f" {moved.why_not.sentence}" if moved.why_not else ""
        return f"<p><b>{escape(moved.words)}</b><br>{escape(said + why)}</p>"

    def _rest(self) -> str:
        result, lines = self.result, []
        for key, names in (("in_additions", result.in_additions), ("untouched", result.untouched)):
            if names:
                lines.append(self.words(key, names=", ".join(names)))
        lines += [f"{name}: {why}" for name, why in result.not_computed]
        return "".join(f'<p class="gk-saved">{escape(line)}</p>' for line in lines)

    def _say(self, result: NewBag) -> None:
        if not result.analysis:
            self.tell(self.words("same"), "open")
            return
        made = sum(moved.feasible for moved in result.moved)
        label = f"{result.new.name}, {self.words('lot_word')} {result.new.lot}" if result.new.lot else result.new.name
        said = self.words("found", bag=label, count=len(result.moved), made=made)
        self.tell(said, "ok" if made == len(result.moved) else "look")

    def save(self) -> None:
        """Save the corrected recipe, base brought to 100, as a new CSV file in my-recipes/."""
        moved = next((moved for moved in self.result.moved if moved.recipe.name == self.corrected.value), None)
        if moved is None or not self.result.analysis:
            raise RecipeError(self.words("nothing_to_save"))
        name = self.words("saved_name", name=moved.recipe.name, material=self.result.new.name, lot=self.lot.value.strip())
        path = save_recipe(self.page.folder, moved.corrected.recipe.to_100().renamed(" ".join(name.split())))
        self.tell(self.words("saved", file=f"my-recipes/{path.name}"), "ok")


def as_text(material: Material) -> str:
    """An analysis as it is typed: one oxide a line.

    >>> print(as_text(course_stock().find("whiting")))
    CaO 56.03
    LOI 43.97
    """
    lines = [f"{oxide} {plain_text(round(wt_pct, 2))}" for oxide, wt_pct in material.oxides if oxide in OXIDES]
    return "\n".join([*lines, f"LOI {plain_text(round(material.loi_wt_pct_raw, 2))}"])
