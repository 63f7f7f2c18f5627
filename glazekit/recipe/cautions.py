"""Cautions: which safety lines a recipe calls for, at the moment of the action they belong to."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from glazekit.ground.errors import DataError
from glazekit.ground.tables import read_table
from glazekit.materials.material import Material
from glazekit.materials.stock import Stock, course_stock, poison_named
from glazekit.recipe.recipe import PARTS, PERCENT_OF_BASE, Recipe

MOMENTS = ("weighing", "mixing", "firing", "using")
LEVELS = ("stop", "care", "note")
BIG_BATCH_G = 1000.0
"""Above this dry mass a batch needs extraction and two hands (course practice)."""
MUCH_COLOUR_PCT = 5.0
"""Toxic metals above this share of the base make a glaze decorative only (course practice)."""
_AIR = {
    "reduction": r"\b(?:r\b|red|raku|smok|pit|sagg[ae]r|sawdust|charcoal|coal)",
    "flame": r"\b(?:gas|propane|butane|lpg|wood|oil|flame|burner|salt|soda|anagama|bonfire|neutral)",
    "oxidation": r"\b(?<!no[nt][ -])(?:o\b|ox(?:id|yd|\b)|(?:in|clean) air\b|neutral)",
    "electric": r"\belectric",
}
"""How the words for a kiln's air begin, by what they tell (course practice). A neutral air is one a flame is set to."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One safety line. ``key`` is what calls for it; ``moment`` one of ``MOMENTS``, ``level`` one of ``LEVELS``; ``text`` the
    line as printed; ``materials`` those that call for it, none when the situation does."""

    key: str
    moment: str
    level: str
    text: str
    materials: tuple[str, ...]
    source: str
    status: str


def cautions_for(
    recipe: Recipe, stock: Stock | None = None, moment: str | None = None, batch_g: float | None = None
) -> tuple[Caution, ...]:
    """The safety lines a recipe calls for, the loudest first within each moment.

    A line is called by a material (its cautions on record, or an oxide of its analysis), by the firing (zinc with
    reduction or a flame, carbon monoxide, an atmosphere that is not understood), by the size of the batch, or always.

    Parameters: recipe, whose atmosphere counts; stock, where the names are looked up; moment, one of ``MOMENTS``, None for all,
    in the order of the work; batch_g, total dry of the batch, when it is known [g].

    Raises UnknownMaterialError for a name not in the stock, DataError for an unknown moment.

    >>> lines = cautions_for(Recipe("Demo", {"quartz": 60, "zinc oxide": 40}, atmosphere="reduction"), moment="firing")
    >>> [(line.level, line.key) for line in lines]
    [('stop', 'zinc_in_reduction'), ('stop', 'carbon_monoxide'), ('care', 'always')]

    Limits: a list of common practice, not of every danger. The material's safety data sheet, local codes and licensed
    people decide.
    """
    if moment is not None and moment not in MOMENTS:
        raise DataError(f"no moment called '{moment}'; the moments are {', '.join(MOMENTS)}")
    called = _called(recipe, stock or course_stock(), batch_g)
    found = []
    for row in read_table("cautions"):
        if row["key"] in called and moment in (None, row["moment"]):
            names = called[row["key"]]
            text = row["text"].format(materials=", ".join(names), atmosphere=recipe.atmosphere)
            found.append(Caution(row["key"], row["moment"], row["level"], text, names, row["source"], row["status"]))
    return tuple(sorted(found, key=lambda one: (MOMENTS.index(one.moment), LEVELS.index(one.level))))


def not_to_weigh(found: Iterable[Caution]) -> dict[str, str]:
    """The materials that stop a batch at the scale, each with the line that says so.

    >>> list(not_to_weigh(cautions_for(Recipe("Demo", {"quartz": 60, "barium carbonate": 40}))))
    ['barium carbonate']
    """
    return {name: one.text for one in found if (one.moment, one.level) == ("weighing", "stop") for name in one.materials}


def _called(recipe: Recipe, stock: Stock, batch_g: float | None) -> dict[str, tuple[str, ...]]:
    """Key -> materials that call for it."""
    by_key: dict[str, dict[str, None]] = {"always": {}}
    for name in recipe.materials():
        for key in _keys_of(stock.find(name)):
            by_key.setdefault(key, {})[name] = None
    called = {key: tuple(names) for key, names in by_key.items()}
    if batch_g is not None and batch_g > BIG_BATCH_G:
        called["big_batch"] = ()
    if air := air_of(recipe.atmosphere):
        called["carbon_monoxide"] = ()
        if air == "unread":
            called["air_unread"] = ()
        if "zinc" in called:
            called["zinc_in_reduction" if air == "reduction" else "zinc_in_flame"] = called.pop("zinc")
    decorative = _decorative(recipe, called)
    if decorative:
        called["decorative"] = decorative
    return called


def air_of(atmosphere: str) -> str | None:
    """ "reduction", also where ware is smothered; "flame" for a kiln with a flame that is told to oxidise (one that is told
    nothing may reduce); "unread" for words that are not understood, which are taken as a flame; else None.

    >>> [air_of(said) for said in ("raku", "gas", "gas, oxidation", "as last time", "electric", "")]
    ['reduction', 'reduction', 'flame', 'unread', None, None]
    """
    said = {kind for kind, pattern in _AIR.items() if re.search(pattern, atmosphere, re.IGNORECASE)}
    if "reduction" in said or said & {"flame", "oxidation"} == {"flame"}:
        return "reduction"
    if "flame" in said:
        return "flame"
    return None if said or not atmosphere.strip() else "unread"


def _keys_of(material: Material) -> Iterator[str]:
    yield from material.cautions
    if material.kind == "unknown":
        yield "unknown"
    if material.soluble:
        yield "soluble"
    if poison := poison_named(material.name):
        yield from poison["cautions"].split()
    for row in read_table("caution_oxides"):
        if material.oxide_wt_pct.get(row["oxide"], 0.0) >= row["from_wt_pct_raw"] and row["unless"] not in material.cautions:
            yield row["key"]


def _decorative(recipe: Recipe, called: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Materials that together, or by their amount, make a glaze decorative only."""
    toxic, lithium = called.get("toxic", ()), called.get("lithium", ())
    # a recipe that does not say how its additions are meant is read the more careful way
    whole = {PARTS: recipe.base_sum, PERCENT_OF_BASE: 100.0}.get(recipe.additions_are or "", min(100.0, recipe.base_sum))
    share = sum(line.amount for line in recipe.base if line.material in toxic) / recipe.base_sum
    share += sum(line.amount for line in recipe.additions if line.material in toxic) / whole
    if (toxic and lithium) or share > MUCH_COLOUR_PCT / 100:
        return tuple(dict.fromkeys(toxic + lithium))
    return ()
