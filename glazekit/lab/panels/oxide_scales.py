"""Oxide scales: a powder on the scale, what of it stays after the kiln, and how many moles that is."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Any

from glazekit.chemistry.mineral_steps import MineralStep, mineral_steps
from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import parse_mass_g, show_g, show_number, show_percent
from glazekit.lab.controls import SliderWithBox, choose, html, pick, row
from glazekit.lab.figures.scales import dot_step_mol, egg_boxes, fired_bar
from glazekit.lab.panel import Panel
from glazekit.lab.panels.formula_words import name_of, symbol
from glazekit.lab.panels.movable_glaze import may_be_in_a_base
from glazekit.materials.formula import atom_counts, molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.stock import course_stock
from glazekit.recipe.recipe import Recipe

MOST_G = 100.0


class OxideScales(Panel):
    """One powder, in grams or counted.

    Parameters
    ----------
    material : the powder that lies on the scale at first.
    """

    name = "oxide scales"
    home = "04"

    def __init__(self, page: Any, material: str = "whiting", **more: Any) -> None:
        self.first = material
        super().__init__(page, **more)

    def build(self) -> Iterable:
        """Powder, grams, view, picture, the steps in words."""
        words = self.words
        names = sorted(m.name for m in course_stock() if may_be_in_a_base(m) and m.loi_wt_pct_raw >= 0)
        self.material = self.keep("material", choose(words("material"), names, course_stock().find(self.first).name))
        read = lambda text: parse_mass_g(text, words("mass"))  # noqa: E731
        self.mass = self.keep("mass", SliderWithBox(words("mass"), 20, 0, MOST_G, 0.5, read=read))
        self.view = self.keep("view", pick(words("view"), [(words("in_grams"), "grams"), (words("counted"), "count")], "grams"))
        self.picture, self.steps = html(), html()
        question = html(f"<p><b>{escape(words('view'))}</b></p>")
        return row(self.material), self.mass.widget, question, self.view, self.picture, self.steps

    def paint(self) -> None:
        """Weigh, fire, count."""
        material, mass_g = course_stock().find(self.material.value), self.mass.number
        if not mass_g:
            raise RangeError(self.words("nothing"))
        steps = mineral_steps(Recipe(material.name, {material.name: mass_g}))
        gas_g = mass_g * material.loi_wt_pct_raw / 100
        stays = [(symbol(oxide), mass_g * wt_pct / 100) for oxide, wt_pct in material.oxides]
        stays_g = sum(grams for _, grams in stays)
        said = self._said(material, mass_g, stays_g, gas_g)
        if self.view.value == "grams":
            labels = {
                "raw": self.words("bar_raw", material=material.name, mass=show_g(mass_g, 0.01)),
                "stays": self.words("bar_stays", mass=show_g(stays_g, 0.01)),
                "gas": self.words("bar_gas", mass=show_g(gas_g, 0.01)),
            }
            self.picture.value = fired_bar(mass_g, stays, gas_g, self.words("picture", material=material.name), said, labels)
        else:
            counts = [(f"{name_of(step.oxide)}: {self._moles(step.moles)}", step.moles) for step in steps]
            dots = egg_boxes(counts, self.words("egg_box", material=material.name), said)
            key = self.words("one_dot", moles=f"{dot_step_mol(counts):g}", thousandths=f"{1000 * dot_step_mol(counts):g}")
            self.picture.value = f"<p>{escape(key)}</p>{dots}"
        lines = [*self._mineral(material, steps), *(self._oxide(step) for step in steps)]
        self.steps.value = f'<ul class="gk-plain">{"".join(f"<li>{escape(line)}</li>" for line in lines)}</ul>'
        self.warn([self.words("blisters")] if gas_g else [])
        self.tell(said)

    def _moles(self, moles: float) -> str:
        """Moles with their thousandths, as one may say them aloud."""
        return self.words("moles", moles=show_number(moles, 4), thousandths=show_number(1000 * moles, 0 if moles >= 0.02 else 1))

    def _said(self, material: Material, mass_g: float, stays_g: float, gas_g: float) -> str:
        more = {"material": material.name, "mass": show_g(mass_g, 0.01), "stays": show_g(stays_g, 0.01)}
        if not gas_g:
            return self.words("all_stays", **more)
        share = show_percent(material.loi_wt_pct_raw, 1)
        return self.words("leaves", gas=show_g(gas_g, 0.01), share=share, what=self._gas(material), **more)

    def _gas(self, material: Material) -> str:
        """What leaves, as far as the formula tells."""
        atoms = atom_counts(material.formula) if material.formula else {}
        found = [key for key, element in (("carbonic_gas", "C"), ("steam", "H"), ("nitrous_gas", "N")) if atoms.get(element)]
        return f" {self.words('and')} ".join(self.words(key) for key in found) or self.words("some_gas")

    def _mineral(self, material: Material, steps: tuple[MineralStep, ...]) -> list[str]:
        """The count of the mineral itself, where it has a formula."""
        if not steps or steps[0].mineral_mol is None:
            return [self.words("by_analysis", material=material.name)]
        mass = show_number(molar_mass_g_mol(material.formula), 2)
        given = {"material": material.name, "formula": symbol(material.formula), "molar_mass": mass}
        return [self.words("mineral", grams=f"{self.mass.number:g}", moles=self._moles(steps[0].mineral_mol), **given)]

    def _oxide(self, step: MineralStep) -> str:
        moles = self._moles(step.moles)
        if step.multiplier is not None and step.mineral_mol is not None:
            count = f"{step.multiplier:.4g}"
            return self.words("times", oxide=name_of(step.oxide), count=count, moles=moles)
        grams = step.mass_g * (step.oxide_wt_pct or 0.0) / 100
        return self.words(
            "share",
            oxide=name_of(step.oxide),
            share=f"{step.oxide_wt_pct:g}",
            grams=show_g(grams, 0.01),
            molar_mass=show_number(step.oxide_mass_g_mol or 0.0, 2),
            moles=moles,
        )
