"""The oxides a glaze is counted in, and their roles."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from glazekit.ground.errors import DataError
from glazekit.ground.tables import read_table
from glazekit.materials.formula import molar_mass_g_mol

FLUXES = ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")
"""Oxides whose moles add up to 1 in a unity formula. B2O3 never belongs here."""
COLOUR_FLUXES = ("FeO", "MnO", "CoO", "CuO", "NiO")
"""Colouring oxides that melt too; they join the flux sum only when asked."""
OXIDE_ORDER = (*FLUXES, "Al2O3", "B2O3", "SiO2", "P2O5", "TiO2", "ZrO2", "SnO2", "Fe2O3", *COLOUR_FLUXES, "Cr2O3", "V2O5")
"""Order in which oxides are shown everywhere: fluxes, stabiliser, glass formers, opacifiers, colours."""
ALKALIS = ("Li2O", "Na2O", "K2O")


@dataclass(frozen=True, slots=True)
class Oxide:
    """An oxide of the fired glaze. ``symbol`` is its formula, ``name`` what a potter says ("silica"), ``role`` what it mainly
    does (flux, stabiliser, glass former, opacifier, colour); the molar mass [g/mol] comes from the abridged atomic
    weights."""

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
