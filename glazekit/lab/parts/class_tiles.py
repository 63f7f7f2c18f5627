"""Tiles of the book as points of the silica-alumina field, each with a shape for the surface that was seen."""

from __future__ import annotations

from glazekit.chemistry.unity import unity_formula
from glazekit.drawing.field_layers import MarkedPoint
from glazekit.folder.book import Book
from glazekit.folder.glaze import glaze_from_book
from glazekit.ground.errors import GlazekitError

SURFACES = (("gloss", "circle"), ("shin", "circle"), ("satin", "triangle"), ("matt", "square"))
"""Part of the word for a surface -> its shape."""
ANOTHER = "plus"


def shape_of(seen: str) -> str:
    """Shape for what was seen on a tile; a plus sign for anything that is no surface word.

    >>> shape_of("Satin, two pinholes"), shape_of("crawled")
    ('triangle', 'plus')
    """
    return next((shape for word, shape in SURFACES if word in seen.casefold()), ANOTHER)


def tiles_of(book: Book) -> tuple[tuple[MarkedPoint, ...], int]:
    """Every tile with a result whose glaze has a formula, and how many results have none.

    The formula is that of the batch, with the analyses of its day.
    """
    batches = {entry.id: entry.data for entry in book.entries("batch")}
    tiles = {entry.id: entry.data for entry in book.entries("tile")}
    points, without = [], 0
    for result in book.entries("result"):
        tile = tiles.get(result.data["tile"], {})
        batch = batches.get(tile.get("batch", ""))
        if batch is None:
            without += 1
            continue
        try:
            recipe, stock = glaze_from_book(batch)
            formula = unity_formula(recipe, stock=stock)
        except GlazekitError:  # a batch without chemistry has no place on the chart; it is counted and told
            without += 1
            continue
        seen = result.data["seen"]
        points.append(MarkedPoint((formula["SiO2"], formula["Al2O3"]), f"{tile['label']}: {seen}", shape_of(seen)))
    return tuple(points), without
