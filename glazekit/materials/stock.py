"""The stock: which materials are on the shelf, under which names, from which bag."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache

from glazekit.ground.errors import UnknownMaterialError, name_key, unknown_name
from glazekit.ground.tables import Row, read_table
from glazekit.materials.material import Material

NO_SUCH_MATERIAL = "enter its analysis, choose a stand-in, or declare it unknown"
KEPT_OF_A_BAG = ("role", "uncounted", "plastic_clay", "soluble", "density_g_cm3")
"""What a new lot that does not say it has from the material it renews."""
_DENIED = "".join(f"(?<!{word})" for word in ("no ", "non ", "non-", "without ", "free of ", "free from "))


@dataclass(frozen=True, slots=True)
class Stock:
    """An immutable shelf of materials; adding returns a new shelf.

    ``materials`` are in shelf order; of two with one name the later one is used (a new bag), the earlier stays on record.
    ``synonyms`` are (trade name, material name) pairs.

    >>> shelf = course_stock()
    >>> shelf.find("China clay").name, "flint" in shelf
    ('kaolin', True)

    Raises UnknownMaterialError, with the nearest name, when a name is not on the shelf.
    """

    materials: tuple[Material, ...]
    synonyms: tuple[tuple[str, str], ...] = ()
    _index: dict[str, Material] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        index = {name_key(material.name): material for material in self.materials}
        for synonym, name in self.synonyms:
            if name_key(name) in index:
                index.setdefault(name_key(synonym), index[name_key(name)])
        object.__setattr__(self, "_index", index)

    def find(self, name: str) -> Material:
        """The material of this name or synonym; the newest bag when there are several."""
        material = self._index.get(name) or self._index.get(name_key(name))
        if material is None:
            poison = poison_named(name)
            known = () if poison else self._index  # a slip of the pen never makes a harmless powder of a poison
            told = f"its name says {poison['holds']}, a poison; choose another recipe, or " if poison else ""
            raise unknown_name(UnknownMaterialError, "material", name, known, otherwise=told + NO_SUCH_MATERIAL)
        return material

    def __contains__(self, name: str) -> bool:
        return name_key(name) in self._index

    def __iter__(self) -> Iterator[Material]:
        """Each material in use, once, in shelf order."""
        return (material for material in self.materials if self._index[name_key(material.name)] is material)

    def with_materials(self, new: Iterable[Material]) -> "Stock":
        """A shelf with these materials added; a known name gets a newer lot. The new lot of a material whose cautions are on
        record keeps them: a bag's analysis never removes a warning."""
        added = []
        for material in new:
            if material.name in self:
                known = self.find(material.name)
                cautions = tuple(dict.fromkeys((*known.cautions, *material.cautions)))
                kept = {name: getattr(material, name) or getattr(known, name) for name in KEPT_OF_A_BAG}
                material = replace(material, name=known.name, cautions=cautions, **kept)
            added.append(material)
        return replace(self, materials=(*self.materials, *added))

    def with_unknown(self, *names: str) -> "Stock":
        """A shelf on which these names are declared unknown: they weigh and print, chemistry stops at them."""
        return self.with_materials(Material(name.strip(), "unknown") for name in names)

    def with_stand_in(self, name: str, generic_name: str) -> "Stock":
        """A shelf on which ``name`` borrows the analysis of ``generic_name``; every number that uses it says so. Numbers are
        lent, harmlessness is not: a powder nobody knows keeps the cautions of the unknown."""
        model = self.find(generic_name).need_analysis()
        strange = name not in self or self.find(name).kind == "unknown"
        cautions = (*model.cautions, *(("unknown",) if strange else ()))
        stand_in = replace(model, name=name.strip(), kind="stand-in", stands_in=model.name, lot="", analysed_on="")
        return self.with_materials([replace(stand_in, cautions=cautions)])


@cache
def poison_named(name: str) -> Row | None:
    """The row of data/poison_names.csv whose sign stands in a name; None for other names and for "lead-free" and the like.

    >>> [row and row["holds"] for row in map(poison_named, ("Lead_bisilicate", "2PbO.SiO2", "lead-free frit", "leadless glaze"))]
    ['lead', 'lead', None, None]
    """
    for row in read_table("poison_names"):
        sign, begins, _ = row["sign"].partition("-")
        if re.search(f"{_DENIED}(?<![a-z]){sign}{'' if begins else '(?![a-z])'}(?![- ]?free)", name_key(name)):
            return row
    return None


@cache
def course_stock() -> Stock:
    """The generic materials of the course, from data/materials.csv, analyses.csv and synonyms.csv."""
    analyses: dict[str, dict[str, float]] = {}
    for row in read_table("analyses"):
        analyses.setdefault(row["material"], {})[row["oxide"]] = row["wt_pct_raw"]
    materials = []
    for row in read_table("materials"):
        more = {name: row[name] for name in ("role", "uncounted", "density_g_cm3", "kind", "source", "status")}
        more |= {name: row[name] == "yes" for name in ("plastic_clay", "soluble", "liquid")}
        more["cautions"] = tuple(row["cautions"].split())
        if row["formula"]:
            materials.append(Material.from_formula(row["material"], row["formula"], **more))
        else:
            oxides = dict(analyses.get(row["material"], {}))
            loi = oxides.pop("LOI", 0.0)
            materials.append(Material(row["material"], oxides=tuple(oxides.items()), loi_wt_pct_raw=loi, **more))
    synonyms = tuple((row["synonym"], row["material"]) for row in read_table("synonyms"))
    return Stock(tuple(materials), synonyms)
