"""Recipe bench: a recipe as written becomes percent of base and grams, whatever the card adds up to."""

from collections.abc import Sequence
from functools import partial
from typing import Any

from glazekit.drawing.bars import stacked_bar
from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import SIGNS
from glazekit.folder.glaze import glaze_as_used
from glazekit.ground.errors import BookError, RecipeError, UnknownMaterialError
from glazekit.ground.numbers import show_g, show_number
from glazekit.lab.controls import html, long_box, row, show, stack
from glazekit.lab.panel import Children, Panel
from glazekit.lab.paper import PaperTray, batch_paper
from glazekit.lab.parts.recipe_rows import RecipeRows, firing_of, lines_of, masses_at_hand, notes_of
from glazekit.lab.parts.weigh_rows import amount, by_material
from glazekit.lab.prose import paragraphs
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchSheet, batch_sheet, largest_batch
from glazekit.recipe.cautions import Caution, cautions_for, not_to_weigh
from glazekit.recipe.pasted import recipe_from_text
from glazekit.recipe.recipe import PARTS, PERCENT_OF_BASE, Recipe


class RecipeBench(Panel):
    """A card to edit and a batch size to choose."""

    name = "recipe bench"
    home = "02"
    one_thing = ("name", "additions_are", "lines", "firing", "unknown")
    first_recipe = "Timetable Satin"

    def build(self) -> Children:
        """The card, the batch size, the bar, the shelf, and what to do with the recipe."""
        words = self.words
        self.start = self.keep_recipe("start")
        first = self.recipes[self.first_recipe]
        self.memory.setdefault("lines", notes_of(first))
        self.memory.setdefault("firing", firing_of(first))
        self.memory.setdefault("unknown", [])
        self.title_box = self.keep_text("name", first.name, wide=True)
        meant = [(words("are_parts"), PARTS), (words("are_percent"), PERCENT_OF_BASE)]
        self.additions_are = self.keep_pick("additions_are", meant, first.additions_are)
        self.rows = RecipeRows(self, self.remove_row)
        self.batch = self.keep_slider("batch", 500, 50, 20_000, 60, log=True, mass=True)
        self.sums, self.picture, self.limit = html(), html(), html()
        self.fixes = stack()
        self.pasted = self.keep("pasted", long_box(words("pasted"), words("pasted_example")))
        self.shelf = self.keep("shelf", long_box(words("shelf"), words("shelf_example"), rows=2))
        self.tray = PaperTray(self)
        self.back_button = self.button(words("back"), self.bring_back)
        self.merge_button = self.button(words("merge"), self.merge)
        return (
            row(self.start, self.button(words("lay"), self.lay_recipe), self.back_button),
            row(self.title_box),
            self.rows.box,
            row(self.button(words("add"), self.add_row), self.merge_button),
            self.fixes,
            stack(self.strong("additions_are"), self.additions_are),
            self.batch.widget,
            self.sums,
            self.picture,
            stack(self.shelf, self.limit),
            stack(self.pasted, row(self.button(words("lay_pasted"), self.lay_pasted))),
            self.buttons(("write", self.write), ("save", self.save), ("print", self.print_sheet), main=True),
            self.tray.link,
        )

    def paint(self) -> None:
        """Percent of base, grams, sums, bar and limit for what stands on the card."""
        self.rows.lay(self.memory["lines"])
        for row_ in self.rows.rows:
            row_.read()
        show(self.back_button, "before" in self.memory)
        recipe, at = self.recipe()
        stock, strange = self.stock(recipe)
        self._offer_fixes(strange)
        show(self.merge_button, bool(recipe.doubles))
        sheet = batch_sheet(recipe, self.batch.number, self.desk.scale_division_g, stock)
        care = cautions_for(recipe, stock, "weighing", sheet.total_g)
        shares = [line.amount / recipe.base_sum * 100 for line in recipe.lines_in_parts()]
        for row_ in self.rows.rows:
            row_.show(0, "", "")
        for k, (i, line, share) in enumerate(zip(at, sheet.lines, shares, strict=True), 1):
            liquid = line.unit == "ml"
            percent = self.words("ml_share", ml=show_number(share, 2)) if liquid else f"{show_number(share, 2)} %"
            barred = line.material in not_to_weigh(care)
            grams = SIGNS["stop"] if barred else amount(line, line.target_g, sheet.scale_division_g)
            self.rows.rows[i].show(k, percent, grams)
        self.sums.value = self._sums(recipe, sheet)
        base = [(line.material, share) for line, share in zip(recipe.base, shares, strict=False)]
        top = [(line.material, share) for line, share in zip(recipe.additions, shares[len(base) :], strict=True) if not line.unit]
        base_word = self.words("bar_base", mass=show_g(sheet.base_total_g, sheet.scale_division_g))
        top_word = self.words("bar_top", mass=show_g(sheet.total_g - sheet.base_total_g, sheet.scale_division_g))
        self.picture.value = stacked_bar(base, top, self.words("picture", name=recipe.name), base_word, top_word)
        self._largest(recipe, stock)
        self._say(recipe, care, sheet, strange)

    def recipe(self) -> tuple[Recipe, list[int]]:
        """The recipe on the card, and the row of each of its lines."""
        base, additions, at = lines_of(self.memory["lines"], self)
        name = self.title_box.value.strip() or self.words("nameless")
        said = self.additions_are.value if additions else None
        firing = self.memory["firing"]
        return Recipe(name, base, additions, said, firing["cone"] or None, firing["atmosphere"], firing["note"]), at

    def stock(self, recipe: Recipe) -> tuple[Stock, list[UnknownMaterialError]]:
        """A stock in which every name of the card can be weighed, and the names that need a decision. A name nobody knows is
        weighed and printed; only the chemistry has to wait."""
        known = self.desk.stock.with_unknown(*self.memory["unknown"])
        strange = []
        for name in recipe.materials():
            try:
                known.find(name)
            except UnknownMaterialError as error:
                strange.append(error)
        return known.with_unknown(*(error.given for error in strange)), strange

    def _offer_fixes(self, strange: list[UnknownMaterialError]) -> None:
        buttons = []
        for error in strange:
            name, hint = error.given, error.hint
            if hint:
                buttons.append(self.button(self.words("use", hint=hint, name=name), partial(self.rename, name, hint)))
            buttons.append(self.button(self.words("keep", name=name), partial(self.declare_unknown, name)))
        self.fixes.children = [row(*buttons)] if buttons else []

    def _sums(self, recipe: Recipe, sheet: BatchSheet) -> Html:
        masses = {"base": sheet.base_total_g, "top": sheet.total_g - sheet.base_total_g, "total": sheet.total_g}
        shown = {name: show_g(mass_g, sheet.scale_division_g) for name, mass_g in masses.items()}
        left = show_g(abs(sheet.leftover_g), sheet.scale_division_g)
        return paragraphs(
            self.words("base_sum", sum=f"{recipe.base_sum:.6g}", factor=f"{100 / recipe.base_sum:.4g}"),
            self.words("batch_sum", **shown),
            self.words("leftover", mass=left) if sheet.leftover_g else "",
        )

    def _largest(self, recipe: Recipe, stock: Stock) -> None:
        at_hand, problems = masses_at_hand(self.shelf.value)
        said = list(problems)
        if at_hand:
            try:
                found = largest_batch(recipe, at_hand, stock)
                said.append(found.words)
                if found.not_in_recipe:
                    said.append(self.words("not_needed", names=", ".join(found.not_in_recipe)))
            except (RecipeError, UnknownMaterialError) as error:  # a slip in the shelf box must not dim the whole bench
                said.append(str(error))
        self.limit.value = paragraphs(*said)

    def _say(self, recipe: Recipe, care: Sequence[Caution], sheet: BatchSheet, strange: list[UnknownMaterialError]) -> None:
        self.warn([*sheet.warnings, *(c.text for c in care)])
        if stops := not_to_weigh(care):
            self.tell(" ".join(dict.fromkeys(stops.values())), "stop")
        elif strange:
            self.tell(" ".join(str(error) for error in strange), "look")
        elif recipe.doubles:
            self.tell(self.words("doubles", names=", ".join(recipe.doubles)), "look")
        else:
            self.tell(self.words("ready", total=show_g(sheet.total_g, sheet.scale_division_g), base=show_g(sheet.base_g)), "ok")

    def lay(self, recipe: Recipe) -> None:
        """Lay a recipe on the bench; what lay there can be brought back."""
        self._swap([notes_of(recipe), firing_of(recipe), recipe.name, recipe.additions_are])

    def bring_back(self) -> None:
        """Swap the card with the one that lay here before."""
        self._swap(self.memory["before"])

    def _swap(self, card: list[Any]) -> None:
        before = [self.memory["lines"], self.memory["firing"], self.title_box.value, self.additions_are.value]
        with self.one_refresh():
            self.memory["before"] = before
            self.memory["lines"], self.memory["firing"], self.title_box.value, self.additions_are.value = card

    def lay_recipe(self) -> None:
        """Lay out the recipe chosen in the list."""
        self.lay(self.recipes[self.start.value])

    def lay_pasted(self) -> None:
        """Lay out the recipe pasted as text."""
        self.lay(recipe_from_text(self.pasted.value, name=self.words("pasted_name")))

    def add_row(self) -> None:
        """An empty row below."""
        self.memory["lines"].append({"part": "base", "material": "", "amount": ""})
        self.refresh()

    def remove_row(self, i: int) -> None:
        """Take row ``i`` (from 0) off the card."""
        del self.memory["lines"][i]
        self.refresh()

    def merge(self) -> None:
        """Join lines of one material."""
        self.lay(self.recipe()[0].merged())

    def rename(self, name: str, hint: str) -> None:
        """Write ``hint`` wherever the card says ``name``."""
        with self.one_refresh():
            for row_ in self.rows.rows:
                if row_.material.value.strip().casefold() == name.casefold():
                    row_.material.value = hint

    def declare_unknown(self, name: str) -> None:
        """This name is a material nobody has an analysis for: it can be weighed and printed."""
        self.memory["unknown"].append(name)
        self.refresh()

    def save(self) -> None:
        """Save the recipe as a new CSV file in my-recipes/."""
        file = self.save_recipe(self.recipe()[0])
        self.tell(self.words("saved", file=file), "ok")

    def print_sheet(self) -> None:
        """Write the batch sheet into prints/ and link to it."""
        sheet, stock = self._settled()
        self.tray.put(self.words("file", name=sheet.recipe.name), batch_paper(self.desk, sheet, stock=stock))

    def write(self) -> None:
        """Add the batch, weighed as on the sheet, to the book."""
        sheet, stock = self._settled()
        self.record(
            "batch",
            **glaze_as_used(sheet.recipe, stock),
            base_g=sheet.base_g,
            scale_division_g=sheet.scale_division_g,
            target_g=by_material((line, line.target_g) for line in sheet.lines),
            total_dry_g=sheet.total_g,
        )
        self.written(self.words("written"), not_to_weigh(cautions_for(sheet.recipe, stock)).values())

    def _settled(self) -> tuple[BatchSheet, Stock]:
        """The sheet and its stock, once every name on the card is decided."""
        recipe, _ = self.recipe()
        stock, strange = self.stock(recipe)
        if strange:
            raise BookError(self.words("decide", names=", ".join(error.given for error in strange)))
        return batch_sheet(recipe, self.batch.number, self.desk.scale_division_g, stock), stock
