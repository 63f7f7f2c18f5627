"""Fired tiles of a book: each with its glaze, what it was fired in and what was seen. Any of them can be a reference glaze."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from glazekit.folder.book import Book
from glazekit.folder.glaze import glaze_from_book
from glazekit.folder.looks import looks_of, say_look
from glazekit.ground.errors import GlazekitError
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe


@dataclass(frozen=True, slots=True)
class FiredTile:
    """A tile that has been through the kiln.

    Parameters
    ----------
    id, label : of the tile, in the book and on the tile.
    recipe, stock : its glaze, and the analyses of the day it was weighed.
    tile : all that the book says of the tile (body, application, coat_mm, shelf_spot ...).
    firing : all that the book says of its firing; empty when the tile points to none.
    result : the last result seen on it (fate, run_mm ...); empty when it has not been looked at.
    looks : what was seen on it, as keys (surface, fate); a later look at one of them leaves the others as they were.
    """

    id: str
    label: str
    recipe: Recipe
    stock: Stock
    tile: Mapping[str, Any]
    firing: Mapping[str, Any]
    result: Mapping[str, Any]
    looks: Mapping[str, str]

    @property
    def seen(self) -> str:
        """What was last seen on it, in words; "" when nothing was written."""
        return say_look(self.result)


def fired_tiles(book: Book) -> tuple[tuple[FiredTile, ...], int]:
    """Every tile with a firing or a result whose glaze is known, newest first; and how many fired tiles have no known glaze.

    Parameters
    ----------
    book : the learner's.
    """
    batches = {entry.id: entry.data for entry in book.entries("batch")}
    firings = {entry.id: entry.data for entry in book.entries("firing")}
    results: dict[str, Mapping[str, Any]] = {}
    looks: dict[str, dict[str, str]] = {}
    for entry in book.entries("result"):
        tile_id = entry.data["tile"]
        results[tile_id] = entry.data
        looks[tile_id] = looks.get(tile_id, {}) | looks_of(entry.data)
    found: list[FiredTile] = []
    without = 0
    for entry in reversed(book.entries("tile")):
        tile = entry.data
        firing, result = firings.get(tile.get("firing", ""), {}), results.get(entry.id, {})
        if not firing and not result:
            continue
        try:
            recipe, stock = glaze_from_book(batches[tile["batch"]])
        except (
            KeyError,
            GlazekitError,
        ):  # dipped from a bucket without a recipe, or a batch that cannot be read: told by the count
            without += 1
            continue
        found.append(FiredTile(entry.id, tile["label"], recipe, stock, tile, firing, result, looks.get(entry.id, {})))
    return tuple(found), without
