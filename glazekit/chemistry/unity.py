"""The unity formula: every oxide counted in moles, per one mole of fluxes together."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum, inf
from types import MappingProxyType

from glazekit.chemistry.reckoning import ByName, oxide_moles, stand_in_notes
from glazekit.ground.errors import RangeError, RecipeError, unknown_name
from glazekit.materials.oxides import COLOUR_FLUXES, FLUXES, OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock
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
        known_oxide(oxide)
        return 0.0

    def __sub__(self, before: UnityFormula) -> ByName:
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
    notes = stand_in_notes(recipe, include_additions, stock)
    try:
        return unity_from_moles(moles, count_colour_fluxes=count_colour_fluxes, notes=notes)
    except RecipeError as error:
        raise RecipeError(f"{recipe.name}: {error}") from None


def known_oxide(oxide: str) -> str:
    """The oxide itself, or a RangeError with the nearest one when it is none of ours."""
    if oxide not in OXIDES:
        raise unknown_name(RangeError, "oxide", oxide, OXIDES)
    return oxide
