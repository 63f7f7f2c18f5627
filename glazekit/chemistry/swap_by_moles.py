"""Swap one material for another mole by mole, with the alumina and silica put right afterwards."""

from dataclasses import dataclass
from types import MappingProxyType

from glazekit.chemistry.unity import Amounts, ByName, Weighed, flux_symbols, grams_per_mol, known_oxide, moles_in, moles_per_g
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import within
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock

FLUXES_TOGETHER = "fluxes"
DUST_MOL = 1e-9
NOTHING_G = 1e-6


@dataclass(frozen=True, slots=True)
class MoleSwap:
    """One material out, another in, equal in moles of the oxides that count.

    Parameters: out, out_g, what leaves, and how much [g]; into, into_g, what comes instead [g]; counted, the oxides whose moles
    together are the same before and after; moles, that number [mol]; correction_g, material -> grams to add, below zero to take
    out, that put alumina and silica right [g]; swap_mol, oxide -> moles more or less by the swap alone [mol]; change_mol, with
    the corrections, once all is done [mol].
    """

    out: str
    out_g: float
    into: str
    into_g: float
    counted: tuple[str, ...]
    moles: float
    correction_g: ByName
    swap_mol: ByName
    change_mol: ByName


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

    Parameters: out, into, names in the stock; out_g, mass that leaves [g]; same, what is counted: "fluxes" for all of them
    together, an oxide such as "CaO", or a sum such as "Na2O+K2O"; clay, silica, what puts alumina and silica right; stock,
    analyses to use, the course's if not given.

    >>> swap = mole_swap("whiting", "talc", 7)
    >>> round(swap.into_g, 2), {name: round(grams, 2) for name, grams in swap.correction_g.items()}
    (8.84, {'quartz': -5.6})

    Raises RecipeError when one of the two brings none of what is counted.
    """
    shelf = stock or course_stock()
    mass_g = within(out_g, 0, 1e9, f"the mass of {out}", "g")
    old, new = shelf.find(out).need_analysis(), shelf.find(into).need_analysis()
    counted = flux_symbols() if same == FLUXES_TOGETHER else oxide_sum(same)
    for material in (old, new):
        if not moles_per_g(material, counted):
            what = "flux" if same == FLUXES_TOGETHER else " or ".join(counted)
            raise RecipeError(f"{material.name} brings no {what}, so there is nothing to swap mole by mole")
    moles = mass_g * moles_per_g(old, counted)
    into_g = moles / moles_per_g(new, counted)
    swapped = [Weighed(old, -mass_g), Weighed(new, into_g)]
    done, correction_g = [*swapped], Amounts()
    for name, oxide in ((clay, "Al2O3"), (silica, "SiO2")):
        material = shelf.find(name).need_analysis()
        grams = -moles_in(done).get(oxide, 0.0) * grams_per_mol(material, oxide, "put it right")
        if abs(grams) > NOTHING_G:
            done.append(Weighed(material, grams))
            correction_g[material.name] = correction_g.get(material.name, 0.0) + grams
    return MoleSwap(
        out=old.name,
        out_g=mass_g,
        into=new.name,
        into_g=into_g,
        counted=tuple(oxide for oxide in counted if any(oxide in material.oxide_wt_pct for material in (old, new))),
        moles=moles,
        correction_g=MappingProxyType(correction_g),
        swap_mol=_moved(moles_in(swapped)),
        change_mol=_moved(moles_in(done)),
    )


def oxide_sum(text: str) -> tuple[str, ...]:
    """The oxides of a sum as typed.

    >>> oxide_sum("Na2O + K2O")
    ('Na2O', 'K2O')

    Raises RangeError for an oxide that is not known.
    """
    return tuple(known_oxide(part.strip()) for part in text.split("+"))


def sum_words(text: str) -> str:
    """An oxide, or a sum of several, by name.

    >>> sum_words("Na2O+K2O"), sum_words("CaO")
    ('soda + potash', 'lime')
    """
    return " + ".join(OXIDES[oxide].name for oxide in oxide_sum(text))


def _moved(moles: ByName) -> ByName:
    return MappingProxyType({oxide: moles[oxide] for oxide in OXIDE_ORDER if abs(moles.get(oxide, 0.0)) > DUST_MOL})
