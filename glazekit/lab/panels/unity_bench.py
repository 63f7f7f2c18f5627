"""Unity bench: powders under sliders, oxides sorted into three trays, and the formula that comes of it."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Any

from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.chemistry.working import Working, work_out
from glazekit.ground.numbers import show_g, show_number, show_percent
from glazekit.lab.controls import choose, html, pick, row, show, stack, table, tick
from glazekit.lab.figures.trays import trays
from glazekit.lab.panel import Panel
from glazekit.lab.panels.formula_words import difference_rows, groups_of, headline, name_of, show_mol, three_columns
from glazekit.lab.panels.movable_glaze import MovableGlaze
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.recipe import Recipe


class UnityBench(Panel):
    """The formula of a movable glaze, with its working, and a second glaze beside it.

    Parameters
    ----------
    recipe : name of the recipe that lies on the bench at first.
    """

    name = "unity bench"
    home = "05"

    def __init__(self, page: Any, recipe: str = "Practice glaze", **more: Any) -> None:
        self.first = recipe
        super().__init__(page, **more)

    def build(self) -> Iterable:
        """The powders beside the trays; the formula, the second glaze, the working."""
        words = self.words
        self.glaze = MovableGlaze(self, self.first)
        views = [(words("base_only"), False), (words("with_additions"), True)]
        self.view = self.keep("view", pick(words("view"), views, False))
        self.picture = html()
        self.formula = html()
        names = [(words("none"), ""), *((name, name) for name in self.glaze.recipes)]
        self.beside = self.keep("beside", choose(words("beside"), names, ""))
        self.both = html()
        self.wants_working = self.keep("working", tick(words("show_working")))
        self.working = html()
        powders = stack(self.glaze.widget, css_class="gk-grow")
        counted = stack(
            self.picture, html(f"<p><b>{escape(words('view'))}</b></p>"), self.view, css_class="gk-grow gk-picture-first"
        )
        return (
            row(powders, counted, css_class="gk-top"),
            self.formula,
            row(self.beside),
            self.both,
            self.wants_working,
            self.working,
        )

    def paint(self) -> None:
        """Sort, count, divide; say the two ratios."""
        recipe = self.glaze.recipe()
        formula = unity_formula(recipe, include_additions=self.view.value)
        said = headline(formula, self.words)
        self.picture.value = self._trays(recipe, formula, said)
        self.formula.value = three_columns(formula, self.words)
        self._both(recipe, formula)
        show(self.working, self.wants_working.value)
        if self.wants_working.value:
            self.working.value = self._working(work_out(recipe, include_additions=self.view.value))
        moved = self.glaze.moved()
        said += "\n" + (self.words("moved", changes=", ".join(moved)) if moved else self.words("as_card", name=recipe.name))
        self.tell(f"{said} {self.words('total', mass=show_g(recipe.base_sum, 0.1))}", "note")

    def _trays(self, recipe: Recipe, formula: UnityFormula, said: str) -> str:
        groups = groups_of(formula)
        full = {
            name: [(f"{OXIDES[o].name} {show_mol(formula[o])}", formula[o]) for o in oxides] for name, oxides in groups.items()
        }
        labels = {key: self.words(f"tray_{key}") for key in ("fluxes", "stabiliser", "former", "boron", "moles")}
        return trays(
            full["fluxes"],
            full["stabiliser"],
            full["former"],
            full["boron"],
            self.words("picture", name=recipe.name),
            said,
            labels,
        )

    def _both(self, recipe: Recipe, formula: UnityFormula) -> None:
        show(self.both, bool(self.beside.value))
        if not self.beside.value:
            return
        other = self.glaze.recipes[self.beside.value]
        theirs = unity_formula(other, include_additions=self.view.value)
        mine = self.words("mine", name=recipe.name) if self.glaze.moved() or other.name == recipe.name else recipe.name
        heads = (self.words("oxide"), mine, other.name, self.words("difference"))
        rows = difference_rows(formula, theirs)
        ratios = [u.silica_to_alumina_mol for u in (formula, theirs)]
        shares = [100 * u.alkali_share for u in (formula, theirs)]
        rows.append((self.words("ratio_row"), *("–" if ratio is None else show_number(ratio, 1) for ratio in ratios), ""))
        rows.append((self.words("alkali_row"), *(show_percent(share, 0) for share in shares), ""))
        self.both.value = table(heads, rows)

    def _working(self, working: Working) -> str:
        words = self.words
        stays = table(
            [words(key) for key in ("powder", "raw", "leaves", "stays")],
            [(m.material, show_g(m.raw_g, 0.01), show_g(m.loi_g, 0.01), show_g(m.fired_g, 0.01)) for m in working.materials],
        )
        counted = table(
            [words(key) for key in ("powder_oxide", "share", "grams", "per_mol", "moles")],
            [
                (
                    f"{o.material}: {name_of(o.oxide)}",
                    show_percent(o.oxide_wt_pct_raw, 2),
                    show_g(o.oxide_g, 0.01),
                    f"{show_number(o.molar_mass_g_mol, 2)} g",
                    show_number(o.moles, 4),
                )
                for o in working.oxides
            ],
        )
        fluxes = " + ".join(f"{name_of(u.oxide)} {show_number(u.moles, 4)}" for u in working.unity if u.is_flux)
        divisor = show_number(working.flux_sum_mol, 4)
        divided = table(
            [words(key) for key in ("oxide", "moles", "divided")],
            [(name_of(u.oxide), show_number(u.moles, 4), f"÷ {divisor} = {show_number(u.unity, 3)}") for u in working.unity],
        )
        steps = (
            (words("step_1"), stays),
            (words("step_2"), counted),
            (words("step_3"), f"<p>{escape(words('flux_sum', fluxes=fluxes, sum=divisor))}</p>"),
            (words("step_4"), divided),
        )
        return "".join(f"<p><b>{escape(head)}</b></p>{body}" for head, body in steps)
