"""Mole swap: one powder out, another in, mole for mole, with alumina and silica put right."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Any

from glazekit.chemistry.flux_change import is_flux_source
from glazekit.chemistry.mole_swap import FLUXES_TOGETHER, MoleSwap, mole_swap
from glazekit.ground.numbers import parse_mass_g, show_g, show_number
from glazekit.lab.controls import choose, html, row, table, text_box
from glazekit.lab.panel import Panel
from glazekit.lab.panels.formula_words import name_of, show_change
from glazekit.lab.panels.movable_glaze import may_be_in_a_base
from glazekit.materials.oxides import OXIDE_ORDER
from glazekit.materials.stock import course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe

SODA_AND_POTASH = ("Na2O", "K2O")


class MoleSwapPanel(Panel):
    """Two powders and a mass.

    Parameters
    ----------
    out, into, grams : what leaves, what comes, how much leaves at first.
    """

    name = "mole swap"
    home = "07"

    def __init__(self, page: Any, out: str = "whiting", into: str = "talc", grams: str = "7", **more: Any) -> None:
        self.first = (out, into, grams)
        super().__init__(page, **more)

    def build(self) -> Iterable:
        """What leaves, what comes, what is counted; grams and corrections; the oxides that move."""
        words = self.words
        out, into, grams = self.first
        names = sorted(material.name for material in course_stock() if may_be_in_a_base(material))
        self.out = self.keep("out", choose(words("out"), names, out))
        self.grams = self.keep("grams", text_box(words("grams"), grams))
        self.into = self.keep("into", choose(words("into"), names, into))
        self.same = self.keep("same", choose(words("same"), [(words("all_fluxes"), FLUXES_TOGETHER)], FLUXES_TOGETHER))
        self.found, self.moves = html(), html()
        return row(self.out, self.grams), row(self.into, self.same), self.found, self.moves

    def paint(self) -> None:
        """Count, weigh, correct."""
        self._offer_counts()
        swap = mole_swap(
            self.out.value, self.into.value, parse_mass_g(self.grams.value, self.words("grams")), same=self.same.value
        )
        rows = [(self.words("out_row", material=swap.out), f"−{show_g(swap.out_g, 0.01)}")]
        rows.append((self.words("in_row", material=swap.into), f"+{show_g(swap.into_g, 0.01)}"))
        rows += [(self.words("then_row", material=name), f"{show_change(grams)} g") for name, grams in swap.corrections]
        self.found.value = table((self.words("powder"), self.words("change")), rows)
        self.moves.value = self._moves(swap)
        self.warn(caution.text for caution in cautions_for(Recipe(swap.into, {swap.into: 1}), moment="weighing"))
        self._say(swap)

    def _offer_counts(self) -> None:
        """All fluxes together, or an oxide that both powders bring, or soda and potash as one."""
        brought = [dict(course_stock().find(box.value).moles_per_g) for box in (self.out, self.into)]
        shared = [oxide for oxide in OXIDE_ORDER if all(oxide in own for own in brought)]
        offer = [(self.words("all_fluxes"), FLUXES_TOGETHER)] if all(map(_flux_of, (self.out.value, self.into.value))) else []
        if all(any(oxide in own for oxide in SODA_AND_POTASH) for own in brought):
            offer.append((" + ".join(map(name_of, SODA_AND_POTASH)), "+".join(SODA_AND_POTASH)))
        offer += [(name_of(oxide), oxide) for oxide in shared]
        offer = offer or [(self.words("all_fluxes"), FLUXES_TOGETHER)]
        if self.same.options != tuple(offer):
            kept = self.same.value
            with self.hold():
                self.same.options = tuple(offer)
                self.same.value = kept if kept in [value for _, value in offer] else offer[0][1]

    def _moves(self, swap: MoleSwap) -> str:
        alone, all_done = dict(swap.swap), swap.change_mol
        rows = [
            (name_of(oxide), show_change(alone.get(oxide, 0.0), 4), show_change(all_done.get(oxide, 0.0), 4))
            for oxide in OXIDE_ORDER
            if oxide in alone or oxide in all_done
        ]
        head = f"<p><b>{escape(self.words('moves'))}</b></p>"
        return head + table([self.words(key) for key in ("oxide", "swap_alone", "corrected")], rows)

    def _say(self, swap: MoleSwap) -> None:
        said = self.words(
            "said",
            out=swap.out,
            out_g=show_g(swap.out_g, 0.01),
            into=swap.into,
            into_g=show_g(swap.into_g, 0.01),
            moles=show_number(swap.moles, 4),
            what=" + ".join(map(name_of, swap.counted)),
        )
        if not swap.corrections:
            said += " " + self.words("nothing_else")
        for name, grams in swap.corrections:
            said += " " + self.words("take_out" if grams < 0 else "add", material=name, mass=show_g(abs(grams), 0.01))
        self.tell(f"{said} {self.words('test')}")


def _flux_of(name: str) -> bool:
    return is_flux_source(course_stock().find(name)) or course_stock().find(name).kind == "frit"
