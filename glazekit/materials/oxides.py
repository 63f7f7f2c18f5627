"""The oxides a glaze is counted in, their roles, and the way between weight percent and mole percent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from math import isfinite

from glazekit.ground.errors import AnalysisError, DataError, RangeError, unknown_name
from glazekit.ground.tables import read_table
from glazekit.materials.formula import molar_mass_g_mol

FLUXES = ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")
"""Oxides whose moles add up to 1 in a unity formula. B2O3 never belongs here."""

COLOUR_FLUXES = ("FeO", "MnO", "CoO", "CuO", "NiO")
"""Colouring oxides that melt too; they join the flux sum only when asked."""

OXIDE_ORDER = (*FLUXES, "Al2O3", "B2O3", "SiO2", "P2O5", "TiO2", "ZrO2", "SnO2", "Fe2O3", *COLOUR_FLUXES, "Cr2O3", "V2O5")
"""Order in which oxides are shown everywhere: fluxes, stabiliser, glass formers, opacifiers, colours."""

ROLES = ("flux", "stabiliser", "glass former", "opacifier", "colour", "other")


@dataclass(frozen=True, slots=True)
class Oxide:
    """An oxide of the fired glaze.

    Parameters
    ----------
    symbol : formula, such as "SiO2".
    name : as a potter says it, such as "silica".
    role : what it mainly does in a glaze, one of ``ROLES``.
    molar_mass_g_mol : from the abridged atomic weights [g/mol].
    """

    symbol: str
    name: str
    role: str
    molar_mass_g_mol: float


class _Oxides(Mapping[str, Oxide]):
    """Symbol -> Oxide in display order; the table is read when first asked, not at import."""

    def __getitem__(self, symbol: str) -> Oxide:
        return _table()[symbol]

    def __iter__(self) -> Iterator[str]:
        return iter(OXIDE_ORDER)

    def __len__(self) -> int:
        return len(OXIDE_ORDER)

    def __repr__(self) -> str:
        return f"OXIDES({', '.join(self)})"


OXIDES: Mapping[str, Oxide] = _Oxides()
"""Every oxide an analysis may name.

>>> OXIDES["Na2O"].name, OXIDES["Na2O"].role, "CO2" in OXIDES
('soda', 'flux', False)
"""


@cache
def _table() -> dict[str, Oxide]:
    rows = read_table("oxides")
    if tuple(row["symbol"] for row in rows) != OXIDE_ORDER:
        raise DataError("oxides.csv does not list the oxides of OXIDE_ORDER in that order")
    return {row["symbol"]: Oxide(row["symbol"], row["name"], row["role"], molar_mass_g_mol(row["symbol"])) for row in rows}


def wt_pct_to_mol_pct(oxide_wt_pct: Mapping[str, float]) -> dict[str, float]:
    """Weight percent to mole percent: n_i = w_i / M_i, then x_i = 100 n_i / sum(n).

    Parameters
    ----------
    oxide_wt_pct : oxide -> share by weight; any total, only the proportions count [wt %].

    Returns
    -------
    Oxide -> share by moles, total 100 [mol %].

    Raises AnalysisError for an unknown oxide, RangeError for a negative or infinite amount or a total of zero.

    >>> mol = wt_pct_to_mol_pct({"CaO": 48.28, "SiO2": 51.72})
    >>> round(mol["CaO"], 1), round(mol["SiO2"], 1)
    (50.0, 50.0)
    """
    return _shares({oxide: wt_pct / _molar_mass(oxide) for oxide, wt_pct in oxide_wt_pct.items()})


def mol_pct_to_wt_pct(oxide_mol_pct: Mapping[str, float]) -> dict[str, float]:
    """Mole percent to weight percent: m_i = x_i M_i, then w_i = 100 m_i / sum(m).

    Parameters
    ----------
    oxide_mol_pct : oxide -> share by moles; any total, only the proportions count [mol %].

    Returns
    -------
    Oxide -> share by weight, total 100 [wt %].

    Raises AnalysisError for an unknown oxide, RangeError for a negative or infinite amount or a total of zero.

    >>> round(mol_pct_to_wt_pct({"CaO": 1, "SiO2": 1})["CaO"], 2)
    48.28
    """
    return _shares({oxide: mol_pct * _molar_mass(oxide) for oxide, mol_pct in oxide_mol_pct.items()})


def _molar_mass(symbol: str) -> float:
    oxide = _table().get(symbol)
    if oxide is None:
        raise unknown_name(AnalysisError, "oxide", symbol, OXIDES)
    return oxide.molar_mass_g_mol


def _shares(amounts: Mapping[str, float]) -> dict[str, float]:
    for oxide, amount in amounts.items():
        if not isfinite(amount) or amount < 0:
            raise RangeError(f"{oxide}: the share is {amount:g}; shares are 0 or more")
    total = sum(amounts.values())
    if not 0 < total < float("inf"):
        raise RangeError("the shares of all oxides add up to nothing" if total == 0 else "the shares are too large to add up")
    return {oxide: 100 * amount / total for oxide, amount in amounts.items()}
