"""Fired tiles of a book: each with its glaze, what it was fired in and what was seen. Any of them can be a reference glaze.

What was seen stands as keys in the book and as words on the page. Books of the first version kept the words of the page
("crazed, day 1"). Their lines stay as they are; here such words are read as keys.
"""

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from glazekit.folder.book import Book
from glazekit.folder.entry import Entry
from glazekit.folder.glaze import glaze_from_book
from glazekit.folder.kinds import LOOKS, MOMENTS
from glazekit.ground.errors import GlazekitError
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import part_words

WHOLE = "whole"
"""The one fate that may change: what crazed or flaked does not heal."""
_CRACK = r"(?:craz|crack|flak|shiver)\w*"
_SEEN = rf"(?:{_CRACK}|(?:gloss|shin|satin)\w*|matte?|dry|whole|sound|fits?)\b"
_NO = r"(?:no|not|never|none|nothing|without|neither|free (?:of|from)|\w+n['’]t)\s+(?:(?:see|signs?|traces?)\s+(?:of\s+)?)?"
_DENIED = re.compile(
    rf"\b(?:{_NO}(?:(?!(?:but|just|only)\b)\w+\s+)?|un){_SEEN}(?:\s*(?:n?or|/)\s*{_SEEN})*"
    rf"|\b{_SEEN}\s*[:=?-]\s*(?:none|no(?!\s+\w))\b",
    re.IGNORECASE,
)
_OLD_WORDS = {
    "surface": {"gloss": "gloss(?:y|ier)?|shin(?:y|ier)", "satin": "satiny?", "matte": "matte?", "dry": "dry"},
    "fate": {
        "crazed": "craz(?:ed?|es|ing)|net of cracks",
        "flaked": "flak(?:ed?|es|ing)|shiver(?:s|ed|ing)?",
        "whole": "whole|sound|fits",
    },
}
"""Look -> key -> the words that meant it; the first that is found counts."""


@dataclass(frozen=True, slots=True)
class FiredTile:
    """A tile that has been through the kiln.

    ``stock`` holds the analyses of the day its glaze was weighed. ``tile``, ``firing`` and ``result`` are all that the book says
    of the tile, of its firing and of the last look at it, empty where it says nothing. ``looks`` is what was seen on it, as keys
    (surface, fate): a later look at one of them leaves the others as they were, and what crazed or flaked stays so. ``broken``
    says when that was first seen.
    """

    id: str
    label: str
    recipe: Recipe
    stock: Stock
    tile: Mapping[str, Any]
    firing: Mapping[str, Any]
    result: Mapping[str, Any]
    looks: Mapping[str, str]
    broken: str = ""

    @property
    def seen(self) -> str:
        """What was last seen on it, in words, and when it crazed or flaked; "" when nothing was written."""
        last = "" if self.broken and "fate" in looks_of(self.result) else say_look(self.result)
        return "; ".join(filter(None, (last, self.broken)))


def fired_tiles(book: Book) -> tuple[tuple[FiredTile, ...], int]:
    """Every tile with a firing or a result whose glaze is known, newest first; and how many fired tiles have no known glaze."""
    return book.once(_fired_tiles)


def _fired_tiles(book: Book) -> tuple[tuple[FiredTile, ...], int]:
    batches = {entry.id: entry.data for entry in book.entries("batch")}
    firings = {entry.id: entry.data for entry in book.entries("firing")}
    seen: dict[str, list[Entry]] = {}
    for entry in book.entries("result"):
        seen.setdefault(entry.data["tile"], []).append(entry)
    found: list[FiredTile] = []
    glazes: dict[str, tuple[Recipe, Stock]] = {}  # a glaze that was mixed a hundred times is read once
    without = 0
    for entry in reversed(book.entries("tile")):
        tile = entry.data
        firing, results = firings.get(tile.get("firing", ""), {}), in_order_seen(seen.get(entry.id, ()))
        if not firing and not results:
            continue
        looks: dict[str, str] = {}
        broken = ""
        for result in results:
            now = looks_of(result.data)
            if looks.get("fate", WHOLE) != WHOLE:
                now.pop("fate", None)
            elif now.get("fate", WHOLE) != WHOLE:
                when = "" if {"looked", "seen"} & result.data.keys() else f", {result.when:%d %b %Y}"
                broken = say_look(result.data) + when
            looks |= now
        try:
            batch = batches[tile["batch"]]
            written = json.dumps([batch["recipe"], batch["analyses"]])
            recipe, stock = glazes.get(written) or glazes.setdefault(written, glaze_from_book(batch))
        except (KeyError, GlazekitError):  # from a bucket without a recipe, or a batch that cannot be read: told by the count
            without += 1
            continue
        last = results[-1].data if results else {}
        found.append(FiredTile(entry.id, tile["label"], recipe, stock, tile, firing, last, looks, broken))
    return tuple(found), without


def in_order_seen(results: Iterable[Entry]) -> list[Entry]:
    """Results of one tile by when it was looked at; one that does not say when stands behind those written before it."""
    latest, ranked = 0, []
    for entry in results:
        looked = entry.data.get("looked")
        rank = MOMENTS.index(looked) if looked in MOMENTS else latest
        latest = max(latest, rank)
        ranked.append((rank, entry))
    return [entry for _, entry in sorted(ranked, key=lambda pair: pair[0])]


def looks_of(result: Mapping[str, Any]) -> dict[str, str]:
    """Look -> key of one result of the book; words are read only where no key stands.

    >>> looks_of({"fate": "whole", "looked": "day_1"}), looks_of({"seen": "Crazed, week 1"}), looks_of({"seen": "no crazing"})
    ({'fate': 'whole'}, {'fate': 'crazed'}, {'fate': 'whole'})
    """
    if any(look in result for look in LOOKS):
        return {look: result[look] for look, keys in LOOKS.items() if result.get(look) in keys}
    seen = str(result.get("seen", ""))
    left, denied = _DENIED.sub("", seen), " ".join(match[0] for match in _DENIED.finditer(seen))
    found = {
        look: next((key for key, words in keys.items() if re.search(rf"\b(?:{words})\b", left, re.IGNORECASE)), "")
        for look, keys in _OLD_WORDS.items()
    }
    if not found["fate"] and re.search(_CRACK, denied, re.IGNORECASE):
        found["fate"] = "whole"
    return {look: key for look, key in found.items() if key}


def say_look(result: Mapping[str, Any]) -> str:
    """One result in words, such as "crazed, day 1": its keys, when it was looked at, and the learner's own words.

    >>> say_look({"fate": "crazed", "looked": "day_1"}), say_look({"seen": "glossy, ran a little"})
    ('crazed, day 1', 'glossy, ran a little')
    """
    words = part_words("looks").texts
    keys = [result[name] for name in (*LOOKS, "looked") if name in result]
    own = [str(result["seen"])] if "seen" in result else []
    return ", ".join([*(words.get(key, str(key)) for key in keys), *own])
