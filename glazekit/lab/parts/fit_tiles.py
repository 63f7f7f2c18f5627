"""Tiles of the book that crazed, flaked or stayed whole: marks on the Fit gauge, and the edge between them when there is one."""

from collections.abc import Sequence
from dataclasses import dataclass

from glazekit.folder.fired import FiredTile, fired_tiles
from glazekit.glass.sums import expansion
from glazekit.ground.errors import GlazekitError
from glazekit.lab.controls import choose
from glazekit.lab.panel import Panel

ANY = ""


@dataclass(frozen=True, slots=True)
class FatedTile:
    """A tile on the gauge: its name, what became of it, its calculated expansion [1e-6 per K]."""

    name: str
    fate: str
    value: float


class FitTiles:
    """The part of the Fit gauge that knows the tiles of the book; ``widget`` chooses the clay they are on.

    An edge is told only from tiles that were seen, on one clay at a time when the learner says so; none is ever assumed.
    """

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, panel.words
        self.unread = 0
        self.widget = panel.keep("tiles of", choose(panel.words("tiles_of"), self._offer(fired_tiles(panel.desk.book)[0])))

    def tiles(self) -> tuple[FatedTile, ...]:
        """The tiles on the chosen clay whose fate and number are known; counts the others in ``unread``."""
        fired = fired_tiles(self.panel.desk.book)[0]
        self.panel.offer_anew(self.widget, self._offer(fired))
        found: list[FatedTile] = []
        self.unread = 0
        for tile in fired:
            if self.widget.value not in (ANY, _clay(tile)):
                continue
            fate, value = tile.looks.get("fate"), _number(tile)
            if fate and value is not None:
                found.append(FatedTile(self.words("tile", name=tile.recipe.name, label=tile.label), fate, value))
            else:
                self.unread += 1
        return tuple(found)

    def said(self, tiles: Sequence[FatedTile]) -> str:
        """Between which two tiles the edge lies, or why no edge can be told; tiles are named, numbers stay with the drawing."""
        flaked = max((tile for tile in tiles if tile.fate == "flaked"), key=lambda tile: tile.value, default=None)
        whole = max((tile for tile in tiles if tile.fate == "whole"), key=lambda tile: tile.value, default=None)
        crazed = min((tile for tile in tiles if tile.fate == "crazed"), key=lambda tile: tile.value, default=None)
        if whole and crazed:
            text = self.words("edges_gap" if whole.value < crazed.value else "edges_mixed", whole=whole.name, crazed=crazed.name)
        elif whole:
            text = self.words("edges_whole", whole=whole.name)
        elif crazed:
            text = self.words("edges_crazed", crazed=crazed.name)
        else:
            text = self.words("edges_none")
        if flaked:
            text += f" {self.words('edges_flaked', flaked=flaked.name)}"
        return f"{text} {self.words('edges_unread', count=self.unread)}" if self.unread else text

    def _offer(self, fired: Sequence[FiredTile]) -> list[tuple[str, str]]:
        clays = {_clay(tile): str(tile.tile["body"]) for tile in fired}
        return [(self.words("any_body" if clays else "no_tiles"), ANY), *((said, clay) for clay, said in clays.items())]


def _clay(tile: FiredTile) -> str:
    return str(tile.tile["body"]).casefold()


def _number(tile: FiredTile) -> float | None:
    """Calculated expansion with the analyses of its day; None where the model may not speak."""
    try:
        return expansion(tile.recipe, stock=tile.stock).value
    except GlazekitError:  # no chemistry, such as an unknown powder: it is counted as unread and told
        return None
