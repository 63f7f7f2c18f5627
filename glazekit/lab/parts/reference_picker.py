"""The reference glaze of a panel: a fired tile of the learner's book; with none yet, a demo glaze stands in and says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from glazekit.chemistry.unity import unity_formula
from glazekit.folder.entry import Entry
from glazekit.folder.fired import FiredTile, fired_tiles
from glazekit.ground.errors import GlazekitError
from glazekit.lab.controls import choose, offer_anew
from glazekit.lab.panel import Panel
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
    tile : the fired tile of the book; None for a card and for the stand-in.
    """

    name: str
    recipe: Recipe
    stock: Stock
    tile: FiredTile | None = None


class ReferencePicker:
    """The part of a panel that holds the reference; the panel asks for it in ``paint`` and shows ``note``.

    Parameters
    ----------
    panel : the panel it belongs to.
    stand_in : name of the course's recipe that is offered as a stand-in, always last.
    card : gives the glaze as it was before the learner moved it, where the panel has such; it is offered before the stand-in.

    ``widget`` is the drop-down. The list follows the book each time the panel asks.
    """

    def __init__(self, panel: Panel, stand_in: str = "Gangway Clear", card: Callable[[], Recipe] | None = None) -> None:
        self.panel, self.stand_in, self.card = panel, stand_in, card
        self.words = part_words("reference_picker")
        self._read: tuple[Entry, ...] | None = None
        self._tiles: dict[str, FiredTile] = {}
        self.widget = panel.keep("reference", choose(self.words("choose"), self._offer()))

    def reference(self) -> Reference:
        """The chosen reference."""
        with self.panel.hold():
            offer_anew(self.widget, self._offer())
        tile = self._tiles.get(self.widget.value)
        if tile is None and self.card and self.widget.value == CARD:
            return Reference(self.words("card", name=self.card().name), self.card(), self.panel.desk.stock)
        if tile is None:
            return Reference(self.words("stand_in", name=self.stand_in), demo_recipe(self.stand_in), course_stock())
        return Reference(self.words("name", name=tile.recipe.name, label=tile.label), tile.recipe, tile.stock, tile)

    @property
    def note(self) -> str:
        """What the learner must know about the reference: nothing for a fired tile, the reason for a stand-in."""
        if self.widget.value in self._tiles:
            return ""
        if self.card and self.widget.value == CARD:
            return self.words("card_not_fired" if self._tiles else "card_none_yet", name=self.card().name)
        return self.words("not_fired" if self._tiles else "none_yet", name=self.stand_in)

    def _offer(self) -> list[tuple[str, Any]]:
        """Fired tiles, newest first, then the card, then the stand-in; tiles are read anew only when the book has more to say."""
        entries = self.panel.desk.book.entries()
        if entries != self._read:
            self._read = entries
            self._tiles = {tile.id: tile for tile in fired_tiles(self.panel.desk.book)[0] if _has_formula(tile)}
        texts = [
            self.words("tile", name=tile.recipe.name, label=tile.label, seen=tile.seen or self.words("unseen"))
            for tile in self._tiles.values()
        ]
        card = [(self.words("card", name=self.card().name), CARD)] if self.card else []
        return [*zip(texts, self._tiles, strict=True), *card, (self.words("stand_in", name=self.stand_in), STAND_IN)]


def _has_formula(tile: FiredTile) -> bool:
    try:
        unity_formula(tile.recipe, stock=tile.stock)
    except GlazekitError:  # no chemistry (an unknown powder, no flux): it cannot be a reference
        return False
    return True
