"""Swap bench: a powder has run out; the exact, the nearest and the gram-for-gram way round it, side by side."""

from collections.abc import Sequence
from datetime import date

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.board import Board
from glazekit.chemistry.changed_recipe import ChangedRecipe, changed_recipe, plastic_clay_pct, resolved_base
from glazekit.chemistry.substitute import substitute
from glazekit.drawing.markup import Html, el
from glazekit.drawing.strokes import SIGNS
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import show_number, show_percent
from glazekit.lab.controls import html, row, show, stack
from glazekit.lab.panel import Children, Panel
from glazekit.lab.paper import PaperTray
from glazekit.lab.parts.formula_words import board_table, name_of, show_change, show_mol
from glazekit.lab.parts.kiln_words import cautions_of
from glazekit.lab.parts.tick_lists import OxidesHeld, powder_ticks
from glazekit.lab.prose import paragraphs, strong
from glazekit.materials.oxides import OXIDE_ORDER
from glazekit.sheets.swap_sheet import swap_sheet_html

EXACT, BY_FAMILY, NEAREST, WEIGHT = "exact", "by_family", "nearest", "weight for weight: "
SAME = {0: 0.5, 1: 0.05, 2: 0.005}
"""Decimals -> a smaller difference does not show."""


class SwapBench(Panel):
    """A recipe, what is out, what may take its place, and which oxides are to be held."""

    name = "swap bench"
    home = "08"
    first_recipe, first_out = "Gangway Clear", "soda feldspar"
    first_candidates = ("nepheline syenite",)

    def build(self) -> Children:
        """The recipe and what is out; candidates; oxides; the ways; what to do with one of them."""
        words = self.words
        self.recipe = self.keep_recipe("recipe")
        if self.first_out not in self._powders(self.first_recipe):
            raise RecipeError(words("not_in_it", name=self.first_recipe, material=self.first_out))
        self.out = self.keep_choice("out", self._powders(self.first_recipe), self.first_out)
        self.candidates = self.keep("candidates", powder_ticks(self.desk.stock, self.first_candidates))
        self.held = self.keep("held", OxidesHeld())
        self.in_place, self.others, self.ways = html(), self.keep_tick("others"), html()
        self.way = self.keep_pick("way", [(words(EXACT), EXACT)], EXACT)
        self.tray = PaperTray(self)
        return (
            row(self.recipe, self.out),
            row(self.in_place, self.others),
            self.candidates.box,
            stack(self.strong("held"), self.held.box),
            self.ways,
            stack(self.strong("way"), self.way),
            self.buttons(("print", self.print_sheet), ("save", self.save), main=True),
            self.tray.link,
        )

    def offer(self) -> None:
        """What can be out hangs on the recipe, and the ways round it on all the rest: they are found here."""
        self.offer_anew(self.out, self._powders(self.recipe.value))
        candidates = self._in_place()
        self.in_place.value = strong(self.words("in_place", powders=", ".join(candidates) or "–"))
        show(self.candidates.box, self.others.value)
        if not candidates:
            raise RecipeError(self.words("no_candidates", material=self.out.value))
        recipe, stock = self.recipes[self.recipe.value], self.desk.stock
        swap = substitute(recipe, self.out.value, candidates, stock=stock)
        self.held.offer_sums(swap.keep)
        kept = self.held.kept
        if not kept:
            raise RecipeError(self.words("nothing_held"))
        if kept != swap.keep:
            swap = substitute(recipe, self.out.value, candidates, keep=kept, adjust=swap.adjusted, stock=stock)
        self.swap = swap
        self.offer_anew(self.way, [(called, key) for key, (called, _) in self._found().items()])

    def paint(self) -> None:
        """Lay the ways side by side."""
        self.ways.value = self._tables(self._found())
        self._say()

    def _powders(self, recipe: str) -> list[str]:
        """The powders in the base of a recipe, as the stock calls them; those it does not know cannot be swapped."""
        stock = self.desk.stock
        return list(dict.fromkeys(stock.find(line.material).name for line in self.recipes[recipe].base if line.material in stock))

    def _in_place(self) -> list[str]:
        """The ticked powders; the one that is out cannot take its own place."""
        return [name for name in self.candidates.value if name != self.out.value]

    def _found(self) -> dict[str, tuple[str, ChangedRecipe]]:
        """Key -> (what the learner calls it, the way) for every way there is."""
        ways = {EXACT: self.swap.exact, BY_FAMILY: self.swap.by_family, NEAREST: self.swap.nearest}
        found = {key: (self.words(key), way) for key, way in ways.items() if way}
        for name, one in zip(self._in_place(), self.swap.weight_for_weight, strict=True):
            found[WEIGHT + name] = (self.words("same_weight", material=name), one)
        return found

    @property
    def chosen(self) -> tuple[str, ChangedRecipe]:
        """What the learner calls the chosen way, and the way."""
        return self._found()[self.way.value]

    def _tables(self, found: dict[str, tuple[str, ChangedRecipe]]) -> Html:
        words, stock = self.words, self.desk.stock
        recipe = self.swap.recipe
        as_it_is = changed_recipe("as it was", recipe, resolved_base(recipe, stock), stock)
        columns = [as_it_is, *(one for _, one in found.values())]
        names = [words("as_it_was"), *(called for called, _ in found.values())]
        bases = [resolved_base(one.recipe, stock) for one in columns]
        materials = dict.fromkeys(name for base in bases for name in base)
        parts = [(name, *_cells([base.get(name, 0.0) for base in bases], 2)) for name in materials]
        parts.append((words("together"), *_cells([sum(base.values()) for base in bases], 2)))
        oxides = [oxide for oxide in OXIDE_ORDER if any(one.after[oxide] >= SAME[2] for one in columns)]
        formula = [(name_of(oxide), *_cells([one.after[oxide] for one in columns], 2)) for oxide in oxides]
        formula.append((words("ratio"), *_cells([one.after.silica_to_alumina_mol or 0.0 for one in columns], 1)))
        formula.append((words("alkali"), *_cells([100 * one.after.alkali_share for one in columns], 0, " %")))
        formula.append((words("loi"), *_cells([analyse(one.recipe, stock=stock).loi_wt_pct_raw for one in columns], 1, " %")))
        formula.append((words("clay"), *_cells([plastic_clay_pct(one.recipe, stock) for one in columns], 1, " %")))
        legend = paragraphs(words("legend", more=SIGNS["look"], less=SIGNS["under"]))
        tables = (
            Board(recipe.name, (words("powder"), *names), tuple(parts), sums=1),
            Board(recipe.name, (words("oxide"), *names), tuple(formula), sums=4),
        )
        return el("div", *map(board_table, tables), legend, class_="gk-ways", style=f"--ways:{len(names)}")

    def _say(self) -> None:
        words, swap = self.words, self.swap
        held = ", ".join(name_of(text) for text in swap.keep)
        said = words("exact_found", held=held) if swap.exact else words("no_exact", why=swap.why_not)
        if swap.by_family:
            said += "\n" + words("family_found", merged=", ".join(map(name_of, swap.merged)))
        called, one = self.chosen
        moved = ", ".join(f"{name} {show_change(by)}" for name, by in one.change_parts.items() if abs(by) >= SAME[2])
        said += "\n" + words("chosen", way=called, moves=moved)
        if one == swap.nearest and swap.reason_words:
            said += "\n" + words("reasons", reasons="; ".join(swap.reason_words))
        clay = plastic_clay_pct(one.recipe, self.desk.stock)
        if round(clay, 1) < PLASTIC_CLAY_PCT:
            said += "\n" + words("little_clay", clay=show_percent(clay, 1), least=show_percent(PLASTIC_CLAY_PCT, 0))
        self.tell(f"{said}\n{words('test_first')}", "ok" if swap.exact else "look")
        self.warn(cautions_of(one.recipe, self.desk.stock))
        self.tell_bags((*swap.recipe.materials(), *one.recipe.materials()))

    def save(self) -> None:
        """Save the chosen way as a new CSV file in my-recipes/, with a name of its own."""
        (called, one), swap = self.chosen, self.swap
        into = " + ".join(name for name, by in one.change_parts.items() if by > 0 and name in self.candidates.value)
        name = self.words("saved_name", name=swap.recipe.name, into=into, out=swap.out, way=called)
        self.save_recipe(one.recipe.renamed(name))

    def print_sheet(self) -> None:
        """Write the swap sheet into prints/ and link to it."""
        swap, into, today = self.swap, self.chosen[1].recipe, date.today().isoformat()
        stock, who = self.desk.stock, self.desk.me["nickname"]
        page = swap_sheet_html(swap.recipe, into, substitution=swap, stock=stock, who=who, date=today)
        self.tray.put(self.words("file", name=swap.recipe.name), page)


def _cells(values: Sequence[float], decimals: int, unit: str = "") -> list[str]:
    """The first as it is, the others with a sign before them where they differ from it."""
    shown = []
    for value in values:
        same = not value or abs(value - values[0]) < SAME[decimals]
        sign = "" if same else SIGNS["look" if value > values[0] else "under"] + " "
        number = "–" if not value else show_mol(value) if decimals == 2 and value < SAME[2] else show_number(value, decimals)
        shown.append(f"{sign}{number}{unit if value else ''}")
    return shown
