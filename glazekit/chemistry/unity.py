"""The unity formula: every oxide counted in moles, per one mole of fluxes together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum, isfinite
from types import MappingProxyType

from glazekit.ground.errors import RangeError, RecipeError, unknown_name
from glazekit.materials.oxides import COLOUR_FLUXES, FLUXES, OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

ALKALIS = ("Li2O", "Na2O", "K2O")


@dataclass(frozen=True, slots=True)
class UnityFormula:
    """Moles of each oxide per mole of flux.

    Parameters
    ----------
    pairs : (oxide, moles per mole of flux) in the order fluxes, stabilisers, glass formers, others [mol].
    colour_fluxes_counted : were FeO, MnO, CoO, CuO and NiO counted among the fluxes.
    notes : sentences about analyses the numbers depend on, such as a stand-in.

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
        _known(oxide)
        return 0.0

    @property
    def moles(self) -> Mapping[str, float]:
        """Oxide -> moles per mole of flux; read-only."""
        return MappingProxyType(dict(self.pairs))

    @property
    def fluxes(self) -> Mapping[str, float]:
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


def oxide_moles(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> dict[str, float]:
    """Moles of each oxide that the recipe brings, per its parts taken as grams [mol].

    n(oxide) = sum over lines of mass_g x wt % / 100 / molar mass.
    Raises UnknownMaterialError for a name not in the stock, NoAnalysisError for one declared unknown.
    """
    find = (stock or course_stock()).find
    moles: dict[str, float] = {}
    for line in recipe.lines_in_parts(include_additions):
        material = find(line.material)
        if material.kind == "unknown":
            material.need_analysis()
        if line.unit and not material.liquid:
            raise RecipeError(
                f"{recipe.name}: {material.name} is given in {line.unit}; a powder is weighed, give it in grams or parts"
            )
        amount = line.amount
        for oxide, moles_per_g in material.moles_per_g:
            moles[oxide] = moles.get(oxide, 0.0) + amount * moles_per_g
    return moles


def unity_from_moles(
    moles: Mapping[str, float], *, count_colour_fluxes: bool = False, notes: tuple[str, ...] = ()
) -> UnityFormula:
    """Divide every oxide by the sum of the fluxes, so that these become 1.

    u(oxide) = n(oxide) / sum of n over the fluxes

    Parameters: ``moles`` oxide -> amount, any scale [mol].
    Raises RangeError for a negative or infinite amount, RecipeError when there is no flux to divide by.
    """
    flux_sum = 0.0
    for flux in flux_symbols(count_colour_fluxes):
        flux_sum += moles.get(flux, 0.0)
    pairs = []
    found = 0
    for oxide in OXIDE_ORDER:
        amount = moles.get(oxide)
        if amount is None:
            continue
        found += 1
        if not 0 <= amount < float("inf"):
            raise RangeError(f"{oxide} is {amount:g} moles; moles are 0 or more")
        if amount:
            pairs.append((oxide, amount / flux_sum if flux_sum else 0.0))
    if found < len(moles):
        for oxide in moles:
            _known(oxide)
    if not flux_sum:
        raise RecipeError(
            "there is no flux in it (no soda, potash, lithia, magnesia, lime, strontia, baria or zinc oxide), "
            "so there is nothing to set to 1: a unity formula needs a flux"
        )
    return UnityFormula(tuple(pairs), count_colour_fluxes, notes)


def unity_formula(
    recipe: Recipe, *, include_additions: bool = False, count_colour_fluxes: bool = False, stock: Stock | None = None
) -> UnityFormula:
    """Unity formula of a recipe; the base only unless ``include_additions``.

    >>> from glazekit.recipe.recipe import Recipe
    >>> half = Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    >>> round(unity_formula(half)["SiO2"], 2)
    3.55

    Raises as ``oxide_moles`` and ``unity_from_moles``.
    Source: the reckoning of H. Seger's cone papers, 1886 (per one of RO).
    """
    moles = oxide_moles(recipe, include_additions=include_additions, stock=stock)
    try:
        notes = stand_in_notes(recipe, include_additions, stock) if stock else ()
        return unity_from_moles(moles, count_colour_fluxes=count_colour_fluxes, notes=notes)
    except RecipeError as error:
        raise RecipeError(f"{recipe.name}: {error}") from None


def unity_from_mol_pct(mol_pct: Mapping[str, float], *, count_colour_fluxes: bool = False) -> UnityFormula:
    """Unity formula of a composition given in mol %, which must sum to 100 within rounding (0.5)."""
    total = fsum(mol_pct.values())
    if not isfinite(total) or abs(total - 100) > 0.5:
        raise RangeError(f"the mol % total {total:g}, not 100; complete the composition first")
    return unity_from_moles(mol_pct, count_colour_fluxes=count_colour_fluxes)


def stand_in_notes(recipe: Recipe, include_additions: bool, stock: Stock | None) -> tuple[str, ...]:
    """One sentence for each borrowed analysis among the materials used."""
    find = (stock or course_stock()).find
    used = dict.fromkeys(find(line.material) for line in recipe.lines_in_parts(include_additions))
    return tuple(
        f"{material.name} is reckoned with the analysis of {material.stands_in}, a stand-in"
        for material in used
        if material.kind == "stand-in"
    )


def _known(oxide: str) -> None:
    if oxide not in OXIDES:
        raise unknown_name(RangeError, "oxide", oxide, OXIDES)
