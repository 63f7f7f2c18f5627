"""Mole swap: one powder out, another in, the same moles; and clay and quartz put right for the company it brings."""

from glazekit.chemistry.families import FAMILIES
from glazekit.chemistry.swap_by_moles import FLUXES_TOGETHER, MoleSwap, mole_swap
from glazekit.chemistry.unity import flux_symbols, moles_per_g
from glazekit.drawing.markup import Html
from glazekit.ground.errors import RangeError, RecipeError
from glazekit.ground.numbers import show_g, show_number
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.formula_words import name_of, show_change
from glazekit.lab.parts.kiln_words import DIVISION_G, cautions_of
from glazekit.lab.parts.movable_glaze import may_be_in_a_base
from glazekit.lab.prose import listed, strong, table
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.recipe import Recipe

SHOWS_MOL = 0.00005
"""A smaller change does not show in four decimals [mol]."""


class MoleSwapPanel(Panel):
    """Two powders, grams out, and every step to grams in."""

    name = "mole swap"
    home = "07"
    first_out, first_into = "whiting", "talc"
    first_mass_g: float = 7

    def build(self) -> Children:
        """What goes out, what comes in, what stays the same; the steps."""
        fluxing = [material for material in self.desk.stock if moles_per_g(material, flux_symbols())]
        out = sorted(material.name for material in fluxing)
        into = sorted(material.name for material in fluxing if may_be_in_a_base(material))
        self.out = self.keep_choice("out", out, self.first_out)
        self.into = self.keep_choice("into", into, self.first_into)
        self.grams = self.keep_slider("grams", self.first_mass_g, 0, 100, 0.5, mass=True)
        self.same = self.keep_choice("same", [(self.words("fluxes"), FLUXES_TOGETHER)])
        self.steps, self.moved = html(css_class="gk-grow"), html(css_class="gk-grow")
        found = row(self.steps, self.moved, css_class="gk-top")
        return row(self.out, self.into), self.grams.widget, row(self.same), found

    def paint(self) -> None:
        """Swap, step by step."""
        if self.out.value == self.into.value:
            raise RecipeError(self.words("same_powder", material=self.out.value))
        if not self.grams.number:
            raise RangeError(self.words("nothing_out"))
        swap = mole_swap(self.out.value, self.into.value, self.grams.number, same=self.same.value, stock=self.desk.stock)
        self.steps.value = strong(self.words("steps")) + listed(self.explain(swap), "ol")
        self.moved.value = self._table(swap)
        self.tell(self.verdict(swap), "ok")
        grams = {name: by for name, by in (*swap.correction_g.items(), (swap.into, swap.into_g)) if by > 0}
        self.warn(cautions_of(Recipe(swap.into, grams), self.desk.stock))
        self.tell_bags((swap.out, swap.into, *swap.correction_g))

    def offer(self) -> None:
        """What can stay the same hangs on the two powders: all fluxes, a family of them, or one oxide that both bring."""
        out, into = (self.desk.stock.find(control.value) for control in (self.out, self.into))
        both = [oxide for oxide, _ in out.oxides if oxide in into.oxide_wt_pct and (oxide in flux_symbols() or oxide == "B2O3")]
        brought = {*out.oxide_wt_pct, *into.oxide_wt_pct}
        families = [
            "+".join(oxide for oxide in family if oxide in brought)
            for family in FAMILIES
            if all(moles_per_g(material, family) for material in (out, into))
        ]
        one = [(self.words("one", oxide=name_of(text)), text) for text in dict.fromkeys([*families, *both])]
        self.offer_anew(self.same, [(self.words("fluxes"), FLUXES_TOGETHER), *one])

    def explain(self, swap: MoleSwap) -> list[str]:
        """The steps in words, each with its numbers."""
        words = self.words
        steps = [self._count("out", swap.out, swap.out_g, swap), self._count("in", swap.into, swap.into_g, swap)]
        company = [
            f"{name_of(oxide)} {show_change(moles, 4)} mol"
            for oxide, moles in swap.swap_mol.items()
            if oxide not in swap.counted and abs(moles) >= SHOWS_MOL
        ]
        steps.append(words("company", oxides=", ".join(company)) if company else words("no_company"))
        for name, by_g in swap.correction_g.items():
            if abs(by_g) >= DIVISION_G / 2:
                oxide = "SiO2" if name == "quartz" else "Al2O3"
                key = "put_in" if by_g > 0 else "take_out"
                steps.append(words(key, mass=show_g(abs(by_g), DIVISION_G), material=name, oxide=OXIDES[oxide].name))
        return steps

    def _count(self, way: str, name: str, mass_g: float, swap: MoleSwap) -> str:
        """From grams to moles, or back: by the formula of the powder, or by its analysis where it has none."""
        material = self.desk.stock.find(name)
        per_g = moles_per_g(material, swap.counted)
        numbers = {
            "mass": show_g(mass_g, DIVISION_G),
            "material": name,
            "oxides": " + ".join(name_of(oxide) for oxide in swap.counted if material.oxide_wt_pct.get(oxide)),
            "moles": show_number(swap.moles, 4),
        }
        if not material.formula:
            return self.words(f"count_{way}_analysis", per_100g=show_number(100 * per_g, 4), **numbers)
        molar_g = molar_mass_g_mol(material.formula)
        each = f"{round(per_g * molar_g, 4):g}"
        return self.words(
            f"count_{way}", molar=show_number(molar_g, 2), each=each, powder_mol=show_number(mass_g / molar_g, 4), **numbers
        )

    def verdict(self, swap: MoleSwap) -> str:
        """All that goes out, all that comes in, and what has changed for good."""
        moves = [(swap.out, -swap.out_g), (swap.into, swap.into_g), *swap.correction_g.items()]
        shown = [(name, by_g) for name, by_g in moves if abs(by_g) >= DIVISION_G / 2]
        out = ", ".join(f"{show_g(-by_g, DIVISION_G)} {name}" for name, by_g in shown if by_g < 0)
        into = ", ".join(f"{show_g(by_g, DIVISION_G)} {name}" for name, by_g in shown if by_g > 0)
        left = [(oxide, moles) for oxide, moles in swap.change_mol.items() if abs(moles) >= SHOWS_MOL]
        changed = ", ".join(f"{name_of(oxide)} {show_change(moles, 4)} mol" for oxide, moles in left)
        said = self.words("verdict", out=out, into=into)
        said += "\n" + (self.words("for_good", oxides=changed) if changed else self.words("all_the_same"))
        fluxes = sum(moles for oxide, moles in left if oxide in flux_symbols())
        if abs(fluxes) >= SHOWS_MOL:
            said += " " + self.words("more_flux" if fluxes > 0 else "less_flux", moles=show_number(abs(fluxes), 4))
        if any(by_g < 0 for by_g in swap.correction_g.values()):
            said += "\n" + self.words("have_it")
        return said

    def _table(self, swap: MoleSwap) -> Html:
        by_swap, end = swap.swap_mol, swap.change_mol
        shifts = {oxide: (by_swap.get(oxide, 0.0), end.get(oxide, 0.0)) for oxide in (*by_swap, *end)}
        rows = [(name_of(oxide), *(show_change(moles, 4) for moles in both)) for oxide, both in shifts.items()]
        return table(self.texts("oxide", "by_swap", "in_the_end"), rows)
