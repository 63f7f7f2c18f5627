"""The reference glaze of a panel: a fired tile of the learner's book; with none yet, a demo glaze stands in and says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.folder.fired import FiredTile
from glazekit.lab.controls import choose, offer_anew
from glazekit.lab.panel import Panel
from glazekit.lab.parts.class_tiles import ClassTiles
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import part_words

STAND_IN, CARD = "stand-in", "card"


@dataclass(frozen=True, slots=True)
class Reference:
    """What a change is compared with.

    Parameters
    ----------
    name : to be said after "compared with", such as "Gangway Clear, tile A3".
    recipe, stock : the glaze and the analyses it was weighed under.
    note : what the learner must know about it: nothing for a fired tile, the reason for a card or a stand-in.
    tile : the fired tile of the book; None for a card and for the stand-in.
    """

    name: str
    recipe: Recipe
    stock: Stock
    note: str = ""
    tile: FiredTile | None = None

    @property
    def formula(self) -> UnityFormula:
        """With the analyses of its day."""
        return unity_formula(self.recipe, stock=self.stock)


class ReferencePicker:
    """The part of a panel that holds the reference; the panel asks for it in ``paint`` and shows its note.

    Parameters
    ----------
    panel : the panel it belongs to.
    stand_in : name of the course's recipe that is offered as a stand-in, always last.
    glaze : the panel's movable glaze; its card, the glaze before the learner moved it, is then offered before the stand-in.

    ``widget`` is the drop-down. The list follows the book each time the panel asks.
    """

    def __init__(self, panel: Panel, stand_in: str = "Gangway Clear", glaze: MovableGlaze | None = None) -> None:
        self.panel, self.stand_in, self.glaze = panel, stand_in, glaze
        self.words = part_words("reference_picker")
        self.tiles = ClassTiles(panel.desk.book)
        self.widget = panel.keep("reference", choose(self.words("choose"), self._offer()))

    def reference(self) -> Reference:
        """The chosen reference."""
        with self.panel.hold():
            offer_anew(self.widget, self._offer())
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
