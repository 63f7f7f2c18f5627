"""What is typed on the recipe bench: the rows of the card, with percent of base and grams beside them; what the shelf holds."""

import re
from collections.abc import Callable, Sequence

import ipywidgets as widgets

from glazekit.drawing.markup import el, join
from glazekit.ground.errors import GlazekitError, RecipeError, quoted
from glazekit.ground.numbers import parse_mass_g, parse_quantity, plain_text
from glazekit.lab.controls import choose, html, row, stack, text_box
from glazekit.lab.panel import Panel
from glazekit.recipe.amounts import clear_fraction, decimal_sign
from glazekit.recipe.pasted import tidy_line
from glazekit.recipe.recipe import Line, Recipe
from glazekit.words.texts import part_words

PARTS = ("base", "addition")
LONGEST_SHELF_LINE = 120
_SHELF_LINE = re.compile(r"(?P<material>\D.*?)(?: ?[:=|] ?| )(?P<mass>[.,]?\d[^:=|]*)")
_MAYBE_TWO = re.compile(r"\d \d+(?![\d/]| /)")
PART_WIDTH, MATERIAL_WIDTH, AMOUNT_WIDTH = "6.8em", "14em", "4.6em"


class RecipeRow:
    """One line of the card. ``note`` is its part of the bench's memory: part, material, amount."""

    def __init__(self, panel: Panel, note: dict[str, str], remove: "Callable[[RecipeRow], None]") -> None:
        self.note = note
        self.number = html(css_class="gk-count")
        self.part = choose("", [(panel.words(part), part) for part in PARTS], note["part"], name=panel.words("part"))
        self.part.layout.width = PART_WIDTH
        names = tuple(material.name for material in panel.desk.stock)
        self.material = widgets.Combobox(value=note["material"], options=names, continuous_update=False)
        self.material.layout.width = MATERIAL_WIDTH
        self.material.add_class("gk-fill")
        self.material.placeholder = panel.words("material")
        self.material.tooltip = panel.words("material")
        self.amount = text_box("", note["amount"], width=AMOUNT_WIDTH, name=panel.words("amount"))
        self.amount.placeholder = panel.words("amount_short")
        self.share, self.grams = html(css_class="gk-share"), html(css_class="gk-share")
        self.remove = panel.button(panel.words("remove"), lambda: remove(self), name=panel.words("remove_row"))
        self.widget = row(
            self.number, self.part, self.material, self.amount, self.share, self.grams, self.remove, css_class="gk-line"
        )
        for control in (self.part, self.material, self.amount):
            control.observe(lambda _: panel.refresh(), names="value")

    def read(self) -> None:
        """Take what stands in the controls into the note."""
        self.note.update(part=self.part.value, material=self.material.value.strip(), amount=self.amount.value.strip())

    def show(self, number: int, share: str, grams: str) -> None:
        """Write number, percent of base and grams."""
        self.number.value = el("b", str(number)) if number else ""
        self.share.value, self.grams.value = join(share), el("b", grams)


class RecipeRows:
    """All rows; ``notes`` is the list in the bench's memory they stand for."""

    def __init__(self, panel: Panel, remove: Callable[[int], None]) -> None:
        self.panel, self.remove = panel, remove
        self.rows: list[RecipeRow] = []
        self.heads = _heads(panel)
        self.box = stack(self.heads)

    def lay(self, notes: list[dict[str, str]]) -> None:
        """Make rows for these notes, unless they are the ones that stand there."""
        if [id(row_.note) for row_ in self.rows] == [id(note) for note in notes]:
            return
        known = {id(row_.note): row_ for row_ in self.rows}
        self.rows = [known.get(id(note)) or RecipeRow(self.panel, note, self._remove) for note in notes]
        self.box.children = [self.heads, *(row_.widget for row_ in self.rows)]

    def _remove(self, row_: RecipeRow) -> None:
        self.remove(self.rows.index(row_))


def _heads(panel: Panel) -> widgets.HBox:
    """What the columns are; on a narrow page the rows fold and the line of heads goes."""
    heads = [html(css_class="gk-count")]
    for key, width in (("head_part", PART_WIDTH), ("head_material", MATERIAL_WIDTH), ("head_amount", AMOUNT_WIDTH)):
        heads.append(html(panel.words(key)))
        heads[-1].layout.width = width
    heads += [html(panel.words(key), css_class="gk-share") for key in ("head_share", "head_grams")]
    return row(*heads, css_class="gk-heads")


def notes_of(recipe: Recipe) -> list[dict[str, str]]:
    """A recipe as notes of the rows."""
    return [
        {"part": part, "material": line.material, "amount": plain_text(line.amount) + (" ml" if line.unit else "")}
        for part, lines in (("base", recipe.base), ("addition", recipe.additions))
        for line in lines
    ]


def firing_of(recipe: Recipe) -> dict[str, str]:
    """Cone, atmosphere and note of a recipe, which the bench carries along unchanged."""
    return {"cone": str(recipe.cone or ""), "atmosphere": recipe.atmosphere, "note": recipe.note}


def lines_of(notes: Sequence[dict[str, str]], panel: Panel) -> tuple[list[Line], list[Line], list[int]]:
    """Base lines, additions, and for each of them (base first) its row. Empty rows are passed over. Raises RecipeError for half a
    row, NumberError for an amount that is none."""
    comma = decimal_sign([(note["material"], note["amount"]) for note in notes])
    found: dict[str, list[tuple[Line, int]]] = {part: [] for part in PARTS}
    percent = []
    for i, note in enumerate(notes):
        material, amount = note["material"], note["amount"]
        if not material and not amount:
            continue
        if not material or not amount:
            raise RecipeError(
                panel.words("half_row", number=i + 1, missing=panel.words("material" if not material else "amount"))
            )
        number, unit = parse_quantity(clear_fraction(amount, material), material, comma)
        if unit.casefold() not in ("", "g", "%", "ml"):
            raise RecipeError(panel.words("odd_unit", material=material, unit=unit))
        found[note["part"]].append((Line(material, number, "ml" if unit.casefold() == "ml" else ""), i))
        if unit == "%" and note["part"] == "base":
            percent.append(material)
    base, additions = found["base"], found["addition"]
    if 0 < len(percent) < len(base) and abs(sum(line.amount for line, _ in base) - 100) > 0.05:
        raise RecipeError(panel.words("odd_percent", material=percent[-1]))
    return [line for line, _ in base], [line for line, _ in additions], [i for _, i in (*base, *additions)]


def masses_at_hand(text: str) -> tuple[dict[str, float], tuple[str, ...]]:
    """Material -> what is left [g], and one sentence for each line that cannot be read.

    >>> masses_at_hand("soda feldspar 312 g")
    ({'soda feldspar': 312.0}, ())
    >>> masses_at_hand("tin oxide: 0,5 kg; whiting")[1]
    ("'whiting' needs a material and a mass, such as 'soda feldspar 312 g'",)
    """
    found: dict[str, float] = {}
    problems = []
    words = part_words("at_hand")
    for line in filter(None, map(str.strip, re.split(r"[\n;]", text))):
        match = _SHELF_LINE.fullmatch(tidy_line(line)) if len(line) <= LONGEST_SHELF_LINE else None
        if not match or _MAYBE_TWO.search(match["mass"]):
            problems.append(words("two_numbers" if match else "unread", line=quoted(line)))
            continue
        try:
            material = match["material"].strip()
            found[material] = found.get(material, 0.0) + parse_mass_g(match["mass"], material)
        except GlazekitError as error:
            problems.append(str(error))
    return found, tuple(problems)
