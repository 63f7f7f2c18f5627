"""The reference glaze of a panel: a fired tile of the learner's book, or a demo glaze that stands in; what tiles have shown."""

from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.folder.book import Book
from glazekit.folder.fired import FiredTile, fired_tiles
from glazekit.glass.composition import counted_formula
from glazekit.glass.domain import SEEN
from glazekit.ground.errors import GlazekitError
from glazekit.lab.controls import choose, tick
from glazekit.lab.panel import Panel
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import part_words

STAND_IN, CARD = "stand-in", "card"


@dataclass(frozen=True, slots=True)
class Reference:
    """What a change is compared with: a glaze, and the analyses it was weighed under. ``name`` can be said after "compared with";
    ``note`` says of a card or a stand-in, which have no ``tile``, why it is none."""

    name: str
    recipe: Recipe
    stock: Stock
    note: str = ""
    tile: FiredTile | None = None

    @property
    def formula(self) -> UnityFormula:
        """Of the base, with the analyses of its day."""
        return unity_formula(self.recipe, stock=self.stock)

    def counted(self, include_additions: bool | None) -> UnityFormula:
        """With what is counted of its additions, as in ``composition_of``."""
        return counted_formula(self.recipe, include_additions, self.stock)


class ClassTiles:
    """Fired tiles of a book whose glaze has a formula: each once, with what was last seen on it."""

    def __init__(self, book: Book) -> None:
        self._book = book

    def all(self) -> dict[str, tuple[FiredTile, UnityFormula]]:
        """Id -> tile and formula, newest first."""
        return self._book.once(_with_formula)

    def seen(self) -> tuple[tuple[FiredTile, UnityFormula], ...]:
        """Those that were looked at, oldest first."""
        return tuple((tile, formula) for tile, formula in reversed(self.all().values()) if tile.result)

    def seen_without_formula(self) -> int:
        """How many tiles were looked at whose glaze has none."""
        return len({entry.data["tile"] for entry in self._book.entries("result")}) - len(self.seen())


def _with_formula(book: Book) -> dict[str, tuple[FiredTile, UnityFormula]]:
    formulas: dict[tuple[int, int], UnityFormula | None] = {}
    found: dict[str, tuple[FiredTile, UnityFormula]] = {}
    for tile in fired_tiles(book)[0]:
        glaze = (id(tile.recipe), id(tile.stock))
        if glaze not in formulas:
            formulas[glaze] = _formula_of(tile)
        if formula := formulas[glaze]:
            found[tile.id] = (tile, formula)
    return found


def _formula_of(tile: FiredTile) -> UnityFormula | None:
    """Of its batch, with the analyses of its day; None without chemistry: an unknown powder, no flux."""
    try:
        return unity_formula(tile.recipe, stock=tile.stock)
    except GlazekitError:
        return None


class ReferencePicker:
    """The part of a panel that holds the reference; the panel asks for it in ``paint`` and shows its note. Fired tiles are
    offered first; then the card of the panel's movable ``glaze``, as it was before the learner moved it; always last a recipe of
    the course as ``stand_in``. The list follows the book each time the panel asks."""

    def __init__(self, panel: Panel, stand_in: str = "Gangway Clear", glaze: MovableGlaze | None = None) -> None:
        self.panel, self.stand_in, self.glaze = panel, stand_in, glaze
        self.words = part_words("reference_picker")
        self.tiles = ClassTiles(panel.desk.book)
        self.widget = panel.keep("reference", choose(self.words("choose"), self._offer()))

    def reference(self) -> Reference:
        """The chosen reference."""
        self.panel.offer_anew(self.widget, self._offer())
        words, tiles, chosen = self.words, self.tiles.all(), self.widget.value
        if chosen in tiles:
            tile, _ = tiles[chosen]
            return Reference(words("name", name=tile.recipe.name, label=tile.label), tile.recipe, tile.stock, tile=tile)
        if self.glaze and chosen == CARD:
            recipe = self.glaze.card
            note = words("card_not_fired" if tiles else "card_none_yet", name=recipe.name)
            return Reference(words("card", name=recipe.name), recipe, self.panel.desk.stock, note)
        note = words("not_fired" if tiles else "none_yet", name=self.stand_in)
        return Reference(words("stand_in", name=self.stand_in), demo_recipe(self.stand_in), course_stock(), note)

    def _offer(self) -> list[tuple[str, Any]]:
        """Fired tiles, newest first, then the card, then the stand-in."""
        words = self.words
        tiles = [
            (words("tile", name=tile.recipe.name, label=tile.label, seen=tile.seen or words("unseen")), tile.id)
            for tile, _ in self.tiles.all().values()
        ]
        card = [(words("card", name=self.glaze.card.name), CARD)] if self.glaze else []
        return [*tiles, *card, (words("stand_in", name=self.stand_in), STAND_IN)]


class CountingTick:
    """The switch of an estimate: are additions counted where their oxides were measured? On at first."""

    def __init__(self, panel: Panel) -> None:
        self.widget = panel.keep("counting", tick(part_words("counting")("tick"), True))

    @property
    def choice(self) -> bool | None:
        """The ``include_additions`` of the glass functions."""
        return None if self.widget.value else False


def seen_choice() -> widgets.Dropdown:
    """What was seen on the fired tile of the glaze that lies on a panel: it says whether a model of clear glass may be believed.
    One of the surfaces of ``SEEN``, or "" for nothing seen yet and for a clear glass."""
    words = part_words("seen_choice")
    return choose(words("seen"), [(words("not_seen"), ""), *((words(one), one) for one in SEEN)])
