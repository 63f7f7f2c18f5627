"""Tiles of the book that crazed, flaked or stayed whole: marks on the Fit gauge, and the edge between them when there is one."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from glazekit.folder.book import Book
from glazekit.folder.fired import FiredTile, fired_tiles
from glazekit.glass.sums import expansion
from glazekit.ground.errors import GlazekitError
from glazekit.lab.controls import choose
from glazekit.lab.panel import Panel

ANY = ""
SIGN_OF_SURFACE = {"matte": "matte", "dry": "underfired"}
"""Surface seen on a tile -> what it tells the estimates."""


@dataclass(frozen=True, slots=True)
class FatedTile:
    """A tile on the gauge: its name, what became of it, its calculated expansion [1e-6 per K], its clay, its firing's id."""

    name: str
    fate: str
    value: float
    clay: str
    firing: str

    @property
    def alike(self) -> tuple[str, str]:
        """What tiles must have in common to be compared."""
        return self.clay.casefold(), self.firing


class FitTiles:
    """The part of the Fit gauge that knows the tiles of the book; ``widget`` chooses the clay they are on. An edge is told only
    from tiles that were seen, on one clay and in one firing, by numbers that are not grey; none is assumed."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.words = panel, panel.words
        self.unread = 0
        self.widget = panel.keep("tiles of", choose(panel.words("tiles_of"), self._offer(fired_tiles(panel.desk.book)[0])))

    def tiles(self) -> tuple[FatedTile, ...]:
        """The tiles on the chosen clay whose fate and number are known; counts the others in ``unread``."""
        fired = fired_tiles(self.panel.desk.book)[0]
        self.panel.offer_anew(self.widget, self._offer(fired))
        numbers = self.panel.desk.book.once(_numbers)
        found: list[FatedTile] = []
        self.unread = 0
        for tile in fired:
            if self.widget.value not in (ANY, _clay(tile)):
                continue
            fate, value = tile.looks.get("fate"), numbers[tile.id]
            if fate and value is not None:
                name = self.words("tile", name=tile.recipe.name, label=tile.label)
                found.append(FatedTile(name, fate, value, str(tile.tile["body"]), str(tile.tile.get("firing", ""))))
            else:
                self.unread += 1
        return tuple(found)

    def said(self, tiles: Sequence[FatedTile]) -> str:
        """Between which two tiles the edge lies, or why no edge can be told; tiles are named, numbers stay with the drawing."""
        together: dict[tuple[str, str], list[FatedTile]] = {}
        for tile in tiles:
            together.setdefault(tile.alike, []).append(tile)
        compared = next((some for some in together.values() if {"whole", "crazed"} <= {tile.fate for tile in some}), None)
        lowest_first = sorted(compared or tiles, key=lambda tile: tile.value)
        crazed = next((tile for tile in lowest_first if tile.fate == "crazed"), None)
        whole, flaked = (next((tile for tile in lowest_first[::-1] if tile.fate == fate), None) for fate in ("whole", "flaked"))
        if whole and crazed and compared:
            key = "edges_mixed" if whole.value >= crazed.value else "edges_gap" if whole.firing else "edges_gap_maybe"
            text = self.words(key, whole=whole.name, crazed=crazed.name, clay=whole.clay)
        elif whole and crazed:
            text = self.words("edges_apart")
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


def _numbers(book: Book) -> dict[str, float | None]:
    """Tile -> calculated expansion with the analyses of its day; None where the model may not speak or its number is grey."""
    numbers: dict[tuple[object, ...], float | None] = {}
    found: dict[str, float | None] = {}
    for tile in fired_tiles(book)[0]:
        seen = [SIGN_OF_SURFACE[surface] for surface in tile.looks.values() if surface in SIGN_OF_SURFACE]
        one = (id(tile.recipe), id(tile.stock), *seen)
        if one not in numbers:
            numbers[one] = None
            with suppress(GlazekitError):  # no chemistry, such as an unknown powder: it is counted as unread and told
                estimate = expansion(tile.recipe, stock=tile.stock, seen=seen)
                numbers[one] = estimate.value if estimate.in_range else None
        found[tile.id] = numbers[one]
    return found
