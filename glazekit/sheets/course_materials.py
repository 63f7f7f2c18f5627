"""What the cards of lessons 4 to 8 are about: the materials of the course, the oxides they bring, the gas they give off."""

from collections.abc import Mapping
from types import MappingProxyType

from glazekit.ground.tables import read_table
from glazekit.materials.formula import atom_counts, molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER
from glazekit.materials.stock import course_stock
from glazekit.recipe.recipe import Recipe

GASES = MappingProxyType({"H2O": "H", "CO2": "C"})
"""Gas -> the element that leaves with it, all of it."""
PRACTICE, EXAMPLE = "Practice glaze", "Small example"
"""The two recipes of data/worksheet_recipes.csv."""
SHOWN_G = 0.005
"""Less than this does not show with two decimals [g of 100 g]."""


def flux_materials(row: Mapping[str, str]) -> tuple[str, ...]:
    """The materials of a row of data/flux_notes.csv, the first choice first."""
    return tuple(name.strip() for name in row["materials"].split(";"))


def course_materials() -> tuple[Material, ...]:
    """Every material of a Ferry Yard recipe or of the flux notes that brings an oxide, in the order of materials.csv."""
    named = {row["material"] for row in read_table("recipes")}
    for row in read_table("flux_notes"):
        named.update(flux_materials(row))
    return tuple(material for material in course_stock() if material.name in named and material.oxides)


def course_oxides() -> tuple[str, ...]:
    """Every oxide the course's materials bring, in the usual order.

    >>> "SrO" in course_oxides(), "PbO" in course_oxides()
    (True, False)
    """
    brought = {oxide for material in course_materials() for oxide, _ in material.oxides}
    return tuple(oxide for oxide in OXIDE_ORDER if oxide in brought)


def gas_g_per_100g(material: Material) -> Mapping[str, float]:
    """Steam and carbon dioxide from 100 g of a material with a formula: all its hydrogen, all its carbon [g per 100 g].

    >>> {gas: round(grams, 2) for gas, grams in gas_g_per_100g(course_stock().find("whiting")).items()}
    {'CO2': 43.97}
    """
    atoms, mass_g_mol = atom_counts(material.formula), molar_mass_g_mol(material.formula)
    found = {}
    for gas, element in GASES.items():
        moles = atoms.get(element, 0.0) / atom_counts(gas)[element]
        grams = 100 * moles * molar_mass_g_mol(gas) / mass_g_mol
        if grams >= SHOWN_G:
            found[gas] = grams
    return found


def worksheet_recipe(name: str) -> Recipe:
    """A recipe of data/worksheet_recipes.csv.

    >>> worksheet_recipe("Practice glaze").base_sum
    100.0
    """
    return Recipe(name, {row["material"]: row["amount"] for row in read_table("worksheet_recipes") if row["recipe"] == name})
