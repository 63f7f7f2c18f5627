"""Oxide scales: a powder goes into the kiln; what stays, what leaves, and how many moles that is."""

from glazekit.chemistry.analysis import Analysis, analyse
from glazekit.chemistry.board import Board
from glazekit.drawing.bars import kiln_bars
from glazekit.drawing.moles import counted_dots, moles_per_dot
from glazekit.folder.shelf import bags_at_hand
from glazekit.ground.errors import RangeError, UnknownMaterialError, unknown_name
from glazekit.ground.numbers import plain_text, show_g, show_number
from glazekit.lab.controls import html, row, show
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.formula_words import board_table, name_of
from glazekit.lab.parts.kiln_words import DIVISION_G, NO_LOSS_PCT, cautions_of, leaves_as, loss_words, show_loss
from glazekit.lab.prose import paragraphs
from glazekit.materials.formula import molar_mass_g_mol, printed_formula
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import Words


class OxideScales(Panel):
    """One powder on the scales, and a second one of the same weight beside it to compare; two are counted at first."""

    name = "oxide scales"
    home = "04"
    first_material, first_beside = "whiting", ""
    first_mass_g: float = 20
    first_count = False

    def build(self) -> Children:
        """The powder (the course's, one that nobody has analysed, the learner's bags) and its weight; bars; count; table."""
        words = self.words
        stock = course_stock().with_unknown(words("unknown"))
        bags, self.unread = bags_at_hand(self.desk.folder)
        powders = [material for material in stock if not material.liquid]
        powders += [stock.with_materials([bag]).find(bag.name) for bag in bags]
        self.shelf = {material.label: material for material in sorted(powders, key=lambda material: material.label)}
        for name in (self.first_material, self.first_beside):
            if name and name not in self.shelf:
                raise unknown_name(UnknownMaterialError, "material", name, self.shelf)
        self.material = self.keep_choice("material", self.shelf, self.first_material)
        self.grams = self.keep_slider("grams", self.first_mass_g, 0, 100, 1, mass=True)
        self.beside = self.keep_choice("beside", [(words("none"), ""), *self.shelf], self.first_beside)
        self.count = self.keep_tick("count", self.first_count or bool(self.first_beside))
        self.bars, self.dots = ([html(css_class="gk-grow gk-narrow") for _ in range(2)] for _ in range(2))
        self.tables = [html(), html()]
        bars, dots = row(*self.bars, css_class="gk-top"), row(*self.dots, css_class="gk-top")
        return row(self.material, self.beside), self.grams.widget, bars, self.count, dots, *self.tables

    def paint(self) -> None:
        """Fire the powders and count what stays."""
        mass_g = self.grams.number
        if mass_g < 0.001:  # less than any scale shows
            raise RangeError(self.words("empty_pan"))
        names = [name for name in (self.material.value, self.beside.value) if name]
        powders = [self.shelf[name].need_analysis() for name in names]
        fired = [fire(powder, mass_g) for powder in powders]
        full_g = max(mass_g, *(found.fired_g for found in fired))
        dot_mol = moles_per_dot(max((moles for found in fired for _, moles in found.oxide_mol), default=0.0))
        for i in (0, 1):
            there = i < len(fired)
            show(self.bars[i], there)
            show(self.tables[i], there)
            show(self.dots[i], there and self.count.value)
            if there:
                self.bars[i].value = self._bars(powders[i], fired[i], full_g)
                self.tables[i].value = self._table(powders[i], fired[i])
                self.dots[i].value = self._dots(powders[i], fired[i], dot_mol)
        said = "\n".join(self.sentence(powder, found) for powder, found in zip(powders, fired, strict=True))
        if self.count.value:
            said += "\n" + self.words("one_dot", moles=plain_text(dot_mol), thousandths=plain_text(round(1000 * dot_mol, 6)))
        self.tell(said, "note")
        together = {powder.name: powder for powder in powders}  # in one recipe, so that a line they share is said once
        self.warn(cautions_of(Recipe("on the scales", dict.fromkeys(together, 1.0)), Stock(tuple(together.values()))))

    def sentence(self, powder: Material, fired: Analysis) -> str:
        """What becomes of it, and its loss on ignition."""
        masses = {"mass": show_g(fired.raw_g, DIVISION_G), "stays": show_g(fired.fired_g, DIVISION_G)}
        lost, loi = loss_words(powder, fired.loi_g, DIVISION_G), show_loss(powder.loi_wt_pct_raw)
        said = self.words("of", material=powder.label, lost=lost, loi=loi, **masses)
        open_g = fired.unreported_g
        return said + (" " + self.words("open", mass=show_g(open_g, DIVISION_G)) if abs(open_g) >= DIVISION_G / 2 else "")

    def _bars(self, powder: Material, fired: Analysis, full_g: float) -> str:
        words, loss = self.words, fired.loi_g
        gas = "" if abs(powder.loi_wt_pct_raw) < NO_LOSS_PCT or loss < 0 else leaves_as(powder)
        under = words("bar_leaves", mass=show_g(loss, DIVISION_G), gas=gas) if gas else words("bar_nothing")
        if loss < 0:
            under = words("bar_takes_up", mass=show_g(-loss, DIVISION_G))
        raw = words("bar_raw", mass=show_g(fired.raw_g, DIVISION_G), material=powder.label)
        labels = raw, words("bar_fired"), words("bar_stays", mass=show_g(fired.fired_g, DIVISION_G)), under
        title, said = words("picture", material=powder.label), self.sentence(powder, fired)
        return kiln_bars(fired.raw_g, list(fired.oxide_g), loss, title, said, labels, full_g)

    def _dots(self, powder: Material, fired: Analysis, dot_mol: float) -> str:
        if not fired.oxide_mol:
            return paragraphs(self.words("nothing_to_count", material=powder.label))
        heaps = [(f"{name_of(oxide)}: {show_number(moles, 4)} mol", moles) for oxide, moles in fired.oxide_mol]
        return counted_dots(heaps, dot_mol, self.words("dots", material=powder.label), "; ".join(words for words, _ in heaps))

    def _table(self, powder: Material, fired: Analysis) -> str:
        words, heads = self.words, self.texts("oxide", "share", "in_grams", "per_mol", "moles")
        grams, percent = dict(fired.oxide_g), dict(powder.oxides)
        rows = [
            (
                f"{i}. {name_of(oxide)}",
                show_number(percent[oxide], 2),
                show_g(grams[oxide], DIVISION_G).removesuffix(" g"),
                show_number(OXIDES[oxide].molar_mass_g_mol, 2),
                thousandths(moles, words),
            )
            for i, (oxide, moles) in enumerate(fired.oxide_mol, 1)
        ]
        loss = show_loss(powder.loi_wt_pct_raw).removesuffix(" %"), show_g(fired.loi_g, DIVISION_G).removesuffix(" g")
        rows.append((words("loss"), *loss, "", ""))
        return paragraphs(self._whole(powder, fired.raw_g)) + board_table(Board(powder.label, heads, tuple(rows), sums=1))

    def _whole(self, powder: Material, mass_g: float) -> str:
        """The powder as a whole: its formula, its molar mass, its moles; or that it is known by its analysis only."""
        if not powder.formula:
            return self.words("by_analysis" if powder.oxides else "no_oxides", material=powder.label)
        molar_g = molar_mass_g_mol(powder.formula)
        known = {"material": powder.label, "formula": printed_formula(powder.formula), "molar": show_number(molar_g, 2)}
        moles = thousandths(mass_g / molar_g, self.words)
        return self.words("by_formula", mass=show_number(mass_g, 2), moles=moles, **known)


def fire(powder: Material, mass_g: float) -> Analysis:
    """What the kiln leaves of one powder."""
    return analyse(Recipe(powder.name, {powder.name: mass_g}), stock=Stock((powder,)))


def thousandths(moles: float, words: Words) -> str:
    """Moles as a number and aloud: "0.0790 mol, 79 thousandths"."""
    return words("aloud", moles=show_number(moles, 4), thousandths=f"{round(1000 * moles, 0 if moles >= 0.01 else 1):g}")
