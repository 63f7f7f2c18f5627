"""The one reckoning from grams to moles: what every weighed line brings, oxide by oxide, each step kept for those who show it."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from glazekit.ground.errors import RecipeError
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

ByName = Mapping[str, float]
"""Oxide, or material, -> a number."""


@dataclass(frozen=True, slots=True)
class OxideStep:
    """One oxide of one weighed line.

    Parameters
    ----------
    material, mass_g : what was weighed, raw and dry [g].
    oxide, oxide_wt_pct_raw : what it brings, and how much of it is that oxide [wt % raw].

    >>> silica = Weighed(course_stock().find("soda feldspar"), 26).oxides[2]
    >>> silica.oxide, round(silica.oxide_g, 2), round(silica.moles, 4)
    ('SiO2', 17.87, 0.2975)
    """

    material: Material
    mass_g: float
    oxide: str
    oxide_wt_pct_raw: float

    @property
    def oxide_g(self) -> float:
        """Mass of the oxide: mass_g x wt % / 100 [g]."""
        return self.mass_g * self.oxide_wt_pct_raw / 100

    @property
    def molar_mass_g_mol(self) -> float:
        """Mass of one mole of the oxide [g/mol]."""
        return OXIDES[self.oxide].molar_mass_g_mol

    @property
    def moles(self) -> float:
        """oxide_g / molar mass [mol]."""
        return self.oxide_g / self.molar_mass_g_mol


@dataclass(frozen=True, slots=True)
class Weighed:
    """A material, and how much of it lies on the scale.

    Parameters
    ----------
    material, mass_g : raw and dry; below zero it is taken away again [g].
    """

    material: Material
    mass_g: float

    @property
    def loi_g(self) -> float:
        """What leaves in the kiln: mass_g x LOI % / 100 [g]."""
        return self.mass_g * self.material.loi_wt_pct_raw / 100

    @property
    def fired_g(self) -> float:
        """What stays as oxides [g]."""
        return fsum(step.oxide_g for step in self.oxides)

    @property
    def oxides(self) -> tuple[OxideStep, ...]:
        """Every oxide it brings."""
        return tuple(OxideStep(self.material, self.mass_g, oxide, wt_pct) for oxide, wt_pct in self.material.oxides)


def weighed_lines(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> tuple[Weighed, ...]:
    """The lines of a recipe on the scale, its parts taken as grams; the base only unless ``include_additions``.

    Liquids, such as gum, bring no oxides and are no part of the dry mass: they are left out.

    Raises UnknownMaterialError for a name not in the stock, NoAnalysisError for one declared unknown, RecipeError for a powder
    given in millilitres.
    """
    find = (stock or course_stock()).find
    weighed = []
    for line in recipe.lines_in_parts(include_additions):
        material = find(line.material).need_analysis()
        if material.liquid:
            continue
        if line.unit:
            raise RecipeError(
                f"{recipe.name}: {material.name} is given in {line.unit}; a powder is weighed, give it in grams or parts"
            )
        weighed.append(Weighed(material, line.amount))
    return tuple(weighed)


def moles_in(weighed: Iterable[Weighed]) -> dict[str, float]:
    """Moles of each oxide that these bring together [mol].

    n(oxide) = sum over lines of mass_g x wt % / 100 / molar mass
    """
    moles: dict[str, float] = {}
    for line in weighed:
        mass_g = line.mass_g
        for oxide, moles_per_g in line.material.moles_per_g:
            moles[oxide] = moles.get(oxide, 0.0) + mass_g * moles_per_g
    return moles


def oxide_moles(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> dict[str, float]:
    """Moles of each oxide that a recipe brings, per its parts taken as grams [mol].

    Raises as ``weighed_lines``.
    """
    return moles_in(weighed_lines(recipe, include_additions=include_additions, stock=stock))


def moles_per_g(material: Material, oxides: Container[str]) -> float:
    """Moles of these oxides together in a gram of a material [mol/g]."""
    return fsum(moles for oxide, moles in material.moles_per_g if oxide in oxides)


def grams_per_mol(material: Material, oxide: str, use: str) -> float:
    """Grams of a material that bring one mole of an oxide [g/mol].

    Raises RecipeError when it brings none; ``use`` tells what it cannot do then, such as "be bought for it".
    """
    moles = moles_per_g(material, (oxide,))
    if not moles:
        raise RecipeError(f"{material.name} brings no {OXIDES[oxide].name} ({oxide}), so it cannot {use}")
    return 1 / moles


def mol_per_mol(material: Material) -> ByName:
    """Moles of each oxide that one mole of a material with a formula brings [mol per mol].

    n(oxide) = moles of it in a gram x molar mass of the material

    >>> {oxide: round(moles, 6) for oxide, moles in mol_per_mol(course_stock().find("soda feldspar")).items()}
    {'Na2O': 1.0, 'Al2O3': 1.0, 'SiO2': 6.0}
    """
    mass_g_mol = molar_mass_g_mol(material.formula)
    return {oxide: moles_per_g * mass_g_mol for oxide, moles_per_g in material.moles_per_g}


def stand_in_notes(recipe: Recipe, include_additions: bool, stock: Stock | None) -> tuple[str, ...]:
    """One sentence for each borrowed analysis among the materials used."""
    find = (stock or course_stock()).find
    used = dict.fromkeys(find(line.material) for line in recipe.lines_in_parts(include_additions))
    return tuple(
        f"{material.name} is reckoned with the analysis of {material.stands_in}, a stand-in"
        for material in used
        if material.kind == "stand-in"
    )
