"""Swap one material for another mole by mole, with the alumina and silica put right afterwards."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from types import MappingProxyType

from glazekit.chemistry.unity import flux_symbols
from glazekit.ground.errors import RangeError, RecipeError, unknown_name
from glazekit.ground.limits import within
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock

FLUXES_TOGETHER = "fluxes"
NOTHING_MOL = 1e-9
NOTHING_G = 1e-6


@dataclass(frozen=True, slots=True)
class MoleSwap:
    """One material out, another in, equal in moles of the oxides that count.

    Parameters
    ----------
    out, out_g : what leaves, and how much [g].
    into, into_g : what comes instead, and how much [g].
    counted : the oxides whose moles together are the same before and after.
    moles : that number of moles [mol].
    corrections : (material, grams to add; below zero to take out) that put alumina and silica right [g].
    swap : (oxide, moles more or less) by the swap alone [mol].
    change : (oxide, moles more or less) with the corrections [mol].
    """

    out: str
    out_g: float
    into: str
    into_g: float
    counted: tuple[str, ...]
    moles: float
    corrections: tuple[tuple[str, float], ...]
    swap: tuple[tuple[str, float], ...]
    change: tuple[tuple[str, float], ...]

    @property
    def correction_g(self) -> Mapping[str, float]:
        """Material -> grams to add, below zero to take out [g]."""
        return MappingProxyType(dict(self.corrections))

    @property
    def change_mol(self) -> Mapping[str, float]:
        """Oxide -> moles more or less once all is done [mol]."""
        return MappingProxyType(dict(self.change))


def mole_swap(
    out: str,
    into: str,
    out_g: float,
    *,
    same: str = FLUXES_TOGETHER,
    clay: str = "kaolin",
    silica: str = "quartz",
    stock: Stock | None = None,
) -> MoleSwap:
    """Swap ``out_g`` of one material for as much of another as brings the same moles.

    into_g = out_g x (counted moles in a gram of out) / (counted moles in a gram of into); then clay makes up for a change
    in alumina, and after that silica for what is left of the change in silica.

    Parameters
    ----------
    out, into : names in the stock.
    out_g : mass that leaves [g].
    same : what is counted: "fluxes" for all of them together, an oxide such as "CaO", or a sum such as "Na2O+K2O".
    clay, silica : what puts alumina and silica right.
    stock : analyses to use; the course's materials if not given.

    >>> swap = mole_swap("whiting", "talc", 7)
    >>> round(swap.into_g, 2), {name: round(grams, 2) for name, grams in swap.corrections}
    (8.84, {'quartz': -5.6})

    Raises RecipeError when one of the two brings none of what is counted.
    """
    shelf = stock or course_stock()
    mass_g = within(out_g, 0, 1e9, f"the mass of {out}", "g")
    old, new = shelf.find(out).need_analysis(), shelf.find(into).need_analysis()
    counted = flux_symbols() if same == FLUXES_TOGETHER else oxide_sum(same)
    per_g_old, per_g_new = counted_moles_per_g(old, counted), counted_moles_per_g(new, counted)
    for material, per_g in ((old, per_g_old), (new, per_g_new)):
        if not per_g:
            what = "flux" if same == FLUXES_TOGETHER else " or ".join(counted)
            raise RecipeError(f"{material.name} brings no {what}, so there is nothing to swap mole by mole")
    into_g = mass_g * per_g_old / per_g_new
    change: dict[str, float] = {}
    _bring(change, old, -mass_g)
    _bring(change, new, into_g)
    swap = _pairs(change)
    corrections = []
    for name, oxide in ((clay, "Al2O3"), (silica, "SiO2")):
        material = shelf.find(name).need_analysis()
        grams = -change.get(oxide, 0.0) / _per_g(material, oxide)
        if abs(grams) > NOTHING_G:
            _bring(change, material, grams)
            corrections.append((material.name, grams))
    used = tuple(oxide for oxide in counted if any(oxide in dict(m.moles_per_g) for m in (old, new)))
    return MoleSwap(
        out=old.name,
        out_g=mass_g,
        into=new.name,
        into_g=into_g,
        counted=used,
        moles=mass_g * per_g_old,
        corrections=tuple(corrections),
        swap=swap,
        change=_pairs(change),
    )


def oxide_sum(text: str) -> tuple[str, ...]:
    """The oxides of a sum as typed.

    >>> oxide_sum("Na2O + K2O")
    ('Na2O', 'K2O')

    Raises RangeError for an oxide that is not known.
    """
    oxides = tuple(part.strip() for part in text.split("+"))
    for oxide in oxides:
        if oxide not in OXIDES:
            raise unknown_name(RangeError, "oxide", oxide, OXIDES)
    return oxides


def counted_moles_per_g(material: Material, counted: Sequence[str]) -> float:
    """Moles of the counted oxides together in a gram of a material [mol/g]."""
    return fsum(moles for oxide, moles in material.moles_per_g if oxide in counted)


def _per_g(material: Material, oxide: str) -> float:
    moles = dict(material.moles_per_g).get(oxide, 0.0)
    if not moles:
        raise RecipeError(f"{material.name} brings no {OXIDES[oxide].name} ({oxide}), so it cannot put it right")
    return moles


def _bring(moles: dict[str, float], material: Material, mass_g: float) -> None:
    for oxide, per_g in material.moles_per_g:
        moles[oxide] = moles.get(oxide, 0.0) + mass_g * per_g


def _pairs(moles: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    return tuple((oxide, moles[oxide]) for oxide in OXIDE_ORDER if abs(moles.get(oxide, 0.0)) > NOTHING_MOL)
