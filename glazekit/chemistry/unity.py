"""The one reckoning: grams on the scale to moles, every step kept for those who show it, and moles to the unity formula."""

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from math import fsum, inf
from types import MappingProxyType

from glazekit.ground.errors import RangeError, RecipeError, unknown_name
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.oxides import ALKALIS, COLOUR_FLUXES, FLUXES, OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

SOURCE_FROM = 0.08
"""A material is a source of an oxide that makes more than this part of its moles."""
BY_THE_WAY = 0.02
"""A material is free of an oxide that makes no more than this part of its moles."""
ByName = Mapping[str, float]
"""Oxide, or material, -> a number."""
Amounts = dict[str, float]
"""Material -> how much of it."""


@dataclass(frozen=True, slots=True)
class OxideStep:
    """One oxide of one weighed line, raw and dry.

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
    """A material, and how much of it lies on the scale, raw and dry; below zero it is taken away again."""

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
    """Moles of each oxide that a recipe brings, per its parts taken as grams [mol]. Raises as ``weighed_lines``."""
    return moles_in(weighed_lines(recipe, include_additions=include_additions, stock=stock))


def moles_per_g(material: Material, oxides: Container[str]) -> float:
    """Moles of these oxides together in a gram of a material [mol/g]."""
    return fsum(moles for oxide, moles in material.moles_per_g if oxide in oxides)


def brings(material: Material, oxide: str, at_least: float = BY_THE_WAY) -> bool:
    """Does this oxide, or a sum such as "Na2O+K2O", make more than this part of all the moles the material brings."""
    brought = dict(material.moles_per_g)
    return sum(brought.get(part, 0.0) for part in oxide.split("+")) > at_least * sum(brought.values())


def grams_per_mol(material: Material, oxide: str, use: str) -> float:
    """Grams of a material that bring one mole of an oxide [g/mol]. Raises RecipeError when it brings none; ``use`` tells what it
    cannot do then, such as "be bought for it"."""
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
    """One sentence for each material used whose analysis is borrowed, or leaves out what matters."""
    find = (stock or course_stock()).find
    used = dict.fromkeys(find(line.material) for line in recipe.lines_in_parts(include_additions))
    borrowed = (f"{one.name} is counted with the analysis of {one.stands_in}, a stand-in" for one in used if one.stands_in)
    return (*borrowed, *(f"{one.name}: {one.uncounted}" for one in used if one.uncounted))


@dataclass(frozen=True, slots=True)
class UnityFormula:
    """Moles of each oxide per mole of flux.

    Parameters: pairs, (oxide, moles per mole of flux) in the order fluxes, stabilisers, glass formers, others [mol];
    colour_fluxes_counted, were FeO, MnO, CoO, CuO and NiO counted among the fluxes; notes, sentences about analyses the numbers
    depend on, such as a stand-in.

    >>> u = unity_from_moles({"K2O": 0.5, "CaO": 1.5, "Al2O3": 1.0, "SiO2": 8.0})
    >>> u["SiO2"], u["MgO"], u.silica_to_alumina_mol, u.alkali_share
    (4.0, 0.0, 8.0, 0.25)

    Limits: says nothing of how coarse the powders are or in which order they melt. B2O3 is never a flux here.
    """

    pairs: tuple[tuple[str, float], ...]
    colour_fluxes_counted: bool = False
    notes: tuple[str, ...] = ()

    def __getitem__(self, oxide: str) -> float:
        """Moles of an oxide, 0.0 when the glaze has none; an unknown oxide is a KeyError-free clear error."""
        for symbol, moles in self.pairs:
            if symbol == oxide:
                return moles
        known_oxide(oxide)
        return 0.0

    def __sub__(self, before: "UnityFormula") -> ByName:
        """Oxide -> this formula minus another, for every oxide of either [moles per mole of flux].

        >>> after, before = unity_from_moles({"CaO": 1, "SiO2": 3}), unity_from_moles({"CaO": 1, "SiO2": 2, "Al2O3": 0.5})
        >>> dict(after - before)
        {'CaO': 0.0, 'Al2O3': -0.5, 'SiO2': 1.0}
        """
        oxides = [oxide for oxide in OXIDE_ORDER if self[oxide] or before[oxide]]
        return MappingProxyType({oxide: self[oxide] - before[oxide] for oxide in oxides})

    @property
    def moles(self) -> ByName:
        """Oxide -> moles per mole of flux; read-only."""
        return MappingProxyType(dict(self.pairs))

    @property
    def fluxes(self) -> ByName:
        """The fluxes alone; they sum to 1."""
        counted = flux_symbols(self.colour_fluxes_counted)
        return MappingProxyType({oxide: moles for oxide, moles in self.pairs if oxide in counted})

    @property
    def silica_to_alumina_mol(self) -> float | None:
        """Moles of silica for each mole of alumina; None without alumina."""
        alumina = self["Al2O3"]
        return self["SiO2"] / alumina if alumina else None

    @property
    def alkali_share(self) -> float:
        """Share of the fluxes that is lithia, soda and potash [0 to 1]."""
        return fsum(self[oxide] for oxide in ALKALIS)


def flux_symbols(count_colour_fluxes: bool = False) -> tuple[str, ...]:
    """Oxides counted in the flux sum."""
    return FLUXES + COLOUR_FLUXES if count_colour_fluxes else FLUXES


def flux_sum_mol(moles: ByName, count_colour_fluxes: bool = False) -> float:
    """Moles of all fluxes together, the divisor of a unity formula [mol]."""
    return sum(moles.get(flux, 0.0) for flux in flux_symbols(count_colour_fluxes))


def unity_from_moles(moles: ByName, *, count_colour_fluxes: bool = False, notes: tuple[str, ...] = ()) -> UnityFormula:
    """Divide every oxide by the sum of the fluxes, so that these become 1.

    u(oxide) = n(oxide) / sum of n over the fluxes

    Parameters: ``moles`` oxide -> amount, any scale [mol].
    Raises RangeError for a negative or infinite amount, RecipeError when there is no flux to divide by.
    """
    for oxide, amount in moles.items():
        known_oxide(oxide)
        if not 0 <= amount < inf:
            raise RangeError(f"{oxide} is {amount:g} moles; moles are 0 or more")
    flux_sum = flux_sum_mol(moles, count_colour_fluxes)
    if not flux_sum:
        raise RecipeError(
            "there is no flux in it (no soda, potash, lithia, magnesia, lime, strontia, baria or zinc oxide), "
            "so there is nothing to set to 1: a unity formula needs a flux"
        )
    pairs = tuple((oxide, moles[oxide] / flux_sum) for oxide in OXIDE_ORDER if moles.get(oxide))
    return UnityFormula(pairs, count_colour_fluxes, notes)


def unity_formula(
    recipe: Recipe,
    *,
    include_additions: bool = False,
    count_colour_fluxes: bool = False,
    iron_as: str = "Fe2O3",
    stock: Stock | None = None,
) -> UnityFormula:
    """Unity formula of a recipe; the base only unless ``include_additions``.

    ``iron_as`` : how iron is written, "Fe2O3" as in air or "FeO" as in reduction, n(FeO) = 2 n(Fe2O3); with
    ``count_colour_fluxes`` FeO then is one of the fluxes. No kiln turns all of it, so the truth lies between the two.

    >>> half = Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    >>> round(unity_formula(half)["SiO2"], 2)
    3.55

    >>> tenmoku = Recipe("t", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}, {"red iron oxide": 8})
    >>> in_reduction = unity_formula(tenmoku, include_additions=True, count_colour_fluxes=True, iron_as="FeO")
    >>> in_reduction["Fe2O3"], round(in_reduction.fluxes["FeO"], 2)
    (0.0, 0.27)

    Raises as ``oxide_moles`` and ``unity_from_moles``; RangeError for another way to write iron.
    Source: the reckoning of H. Seger's cone papers, 1886 (per one of RO).
    """
    moles = oxide_moles(recipe, include_additions=include_additions, stock=stock)
    notes = stand_in_notes(recipe, include_additions, stock)
    if iron_as not in ("Fe2O3", "FeO"):
        raise RangeError(f"iron is written as Fe2O3 or FeO, not as {iron_as}")
    if iron_as == "FeO" and (iron_three := moles.pop("Fe2O3", 0.0)):
        moles["FeO"] = moles.get("FeO", 0.0) + 2 * iron_three
    try:
        return unity_from_moles(moles, count_colour_fluxes=count_colour_fluxes, notes=notes)
    except RecipeError as error:
        raise RecipeError(f"{recipe.name}: {error}") from None


def known_oxide(oxide: str) -> str:
    """The oxide itself, or a RangeError with the nearest one when it is none of ours."""
    if oxide not in OXIDES:
        raise unknown_name(RangeError, "oxide", oxide, OXIDES)
    return oxide
