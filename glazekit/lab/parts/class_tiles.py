"""Fired tiles of the book whose glaze has a formula: each once, with what was last seen on it."""

from __future__ import annotations

from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.folder.book import Book
from glazekit.folder.entry import Entry
from glazekit.folder.fired import FiredTile, fired_tiles
from glazekit.ground.errors import GlazekitError


class ClassTiles:
    """The tiles of a book, read anew only when the book has more to say.

    Parameters
    ----------
    book : the learner's.
    """

    def __init__(self, book: Book) -> None:
        self._book = book
        self._read: tuple[Entry, ...] = ()
        self._tiles: dict[str, tuple[FiredTile, UnityFormula]] = {}

    def all(self) -> dict[str, tuple[FiredTile, UnityFormula]]:
        """Id -> tile and formula, newest first."""
        entries = self._book.entries()
        if entries != self._read:
            self._read = entries
            found = ((tile, _formula_of(tile)) for tile in fired_tiles(self._book)[0])
            self._tiles = {tile.id: (tile, formula) for tile, formula in found if formula}
        return self._tiles

    def seen(self) -> tuple[tuple[FiredTile, UnityFormula], ...]:
        """Those that were looked at, oldest first."""
        return tuple((tile, formula) for tile, formula in reversed(self.all().values()) if tile.result)

    def seen_without_formula(self) -> int:
        """How many tiles were looked at whose glaze has none."""
        return len({entry.data["tile"] for entry in self._book.entries("result")}) - len(self.seen())


def _formula_of(tile: FiredTile) -> UnityFormula | None:
    """Of its batch, with the analyses of its day; None without chemistry: an unknown powder, no flux."""
    try:
        return unity_formula(tile.recipe, stock=tile.stock)
    except GlazekitError:
        return None
