"""Other fluxes for a glaze: either its silica and alumina are held, or its other materials. The two are not the same."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.formulate import TRACE_MOL, formulate
from glazekit.chemistry.nonnegative import nonnegative_least_squares
from glazekit.chemistry.side_by_side import Amounts, Way, as_much_flux, resolved_base, way
from glazekit.chemistry.unity import unity_formula
from glazekit.chemistry.ways_out import MAIN_SHARE, brings
from glazekit.ground.errors import RangeError, RecipeError
from glazekit.materials.material import Material
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

HOLD_FORMULA, HOLD_MATERIALS = "silica and alumina held", "other materials held"
CLOSE_MOL = 0.002
"""A flux is as wished when it comes this close [moles per mole of flux]."""
LIGHT = 1e-4
"""Weight of staying like the recipe; it only decides what the fluxes leave open."""


@dataclass(frozen=True, slots=True)
class FluxChange:
    """A recipe with other fluxes, beside what it was.

    Parameters
    ----------
    held : "silica and alumina held" or "other materials held".
    fluxes : (oxide, share wished for); together 1.
    way : the new recipe compared with the old; of an impossible wish the nearest.
    feasible : do the fluxes, and the silica and alumina where those are held, come out as wished.
    why_not : sentences, when they do not.
    ways_out : what would help.
    """

    held: str
    fluxes: tuple[tuple[str, float], ...]
    way: Way
    feasible: bool
    why_not: tuple[str, ...] = ()
    ways_out: tuple[str, ...] = ()


def hold_formula(
    recipe: Recipe, fluxes: Mapping[str, float], materials: Sequence[str], *, stock: Stock | None = None
) -> FluxChange:
    """Other fluxes with the same silica, alumina, boron and all else that is no flux, per mole of flux.

    Parameters
    ----------
    recipe : only its base is changed; the new one stays close to it and brings as many moles of flux.
    fluxes : oxide -> share of the fluxes, together 1.
    materials : names that may be used.
    stock : analyses to use; the course's materials if not given.

    >>> clear = Recipe("small clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    >>> half = hold_formula(clear, {"K2O": 0.25, "MgO": 0.2, "CaO": 0.55}, [*clear.materials(), "talc"])
    >>> half.feasible, {name: round(parts, 1) for name, parts in half.way.change_parts.items()}["talc"]
    (True, 6.9)

    Raises RangeError for shares that do not total 1, else as ``formulate``.
    """
    shelf = stock or course_stock()
    wished = _wished(fluxes)
    rest = {o: moles for o, moles in unity_formula(recipe, stock=shelf).pairs if o not in FLUXES and moles >= TRACE_MOL}
    found = formulate(wished | rest, materials, stock=shelf, like=recipe)
    base = as_much_flux(found.recipe, recipe, shelf, shelf)
    return FluxChange(
        HOLD_FORMULA,
        tuple(wished.items()),
        way(HOLD_FORMULA, recipe, base, shelf),
        found.feasible,
        (found.why_not.sentence,) if found.why_not else (),
        found.why_not.ways_out if found.why_not else (),
    )


def hold_materials(
    recipe: Recipe, fluxes: Mapping[str, float], materials: Sequence[str], *, stock: Stock | None = None
) -> FluxChange:
    """Other fluxes with the other materials, such as clay, quartz and a frit with boron, left at their grams.

    Of the materials named, those that mainly bring fluxes and no boron are weighed anew, so that the moles of flux in all stay
    the same. What silica and alumina they bring goes with them: that is the price.

    Parameters: as for ``hold_formula``.

    >>> clear = Recipe("small clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    >>> half = hold_materials(clear, {"K2O": 0.1, "CaO": 0.9}, clear.materials())
    >>> half.feasible, {name: round(parts, 1) for name, parts in half.way.change_parts.items()}
    (True, {'potash feldspar': -24.9, 'whiting': 4.5})

    Raises RangeError for shares that do not total 1, RecipeError when no material named brings a flux.
    """
    shelf = stock or course_stock()
    wished = _wished(fluxes)
    base = resolved_base(recipe, shelf)
    moving = [material for material in map(shelf.find, dict.fromkeys(materials)) if is_flux_source(material)]
    if not moving:
        raise RecipeError(f"none of {', '.join(materials)} mainly brings a flux, so the fluxes cannot be changed with them")
    held = {name: parts for name, parts in base.items() if shelf.find(name) not in moving}
    held_mol, all_mol = (_fluxes_of(amounts, shelf) for amounts in (held, base))
    flux_mol = fsum(all_mol.values())
    goal = {oxide: wished.get(oxide, 0.0) * flux_mol - held_mol.get(oxide, 0.0) for oxide in FLUXES}
    columns = []
    for i, material in enumerate(moving):
        per_g = dict(material.moles_per_g)
        columns.append([*(per_g.get(oxide, 0.0) for oxide in FLUXES), *(_light(per_g) * (i == j) for j in range(len(moving)))])
    like = [_light(dict(material.moles_per_g)) * base.get(material.name, 0.0) for material in moving]
    amounts, _ = nonnegative_least_squares(columns, [*goal.values(), *like])
    new = held | {material.name: parts for material, parts in zip(moving, amounts, strict=True)}
    order = [*base, *(name for name in new if name not in base)]
    changed = way(HOLD_MATERIALS, recipe, {name: new.get(name, 0.0) for name in order}, shelf)
    misses = {oxide: changed.after[oxide] - wished.get(oxide, 0.0) for oxide in FLUXES}
    missed = {oxide: miss for oxide, miss in misses.items() if abs(miss) > CLOSE_MOL}
    return FluxChange(
        HOLD_MATERIALS,
        tuple(wished.items()),
        changed,
        not missed,
        tuple(_why(o, miss, held_mol, flux_mol, wished) for o, miss in missed.items()),
    )


def is_flux_source(material: Material) -> bool:
    """Is it bought for its flux: it mainly brings fluxes, with or without silica and alumina, and no boron.

    >>> [is_flux_source(course_stock().find(name)) for name in ("talc", "soda feldspar", "kaolin", "calcium borosilicate frit")]
    [True, True, False, False]
    """
    return any(brings(material, oxide, MAIN_SHARE) for oxide in FLUXES) and not brings(material, "B2O3")


def _wished(fluxes: Mapping[str, float]) -> dict[str, float]:
    strange = [oxide for oxide in fluxes if oxide not in FLUXES]
    if strange:
        raise RangeError(f"{strange[0]} is not a flux here; the fluxes are {', '.join(FLUXES)}")
    total = fsum(fluxes.values())
    if any(not 0 <= share <= 1 for share in fluxes.values()) or abs(total - 1) > 1e-6:
        raise RangeError(f"the shares of the fluxes total {total:.4g}; they must be 0 or more and total 1")
    return {oxide: fluxes[oxide] for oxide in FLUXES if fluxes.get(oxide)}


def _fluxes_of(amounts: Amounts, stock: Stock) -> dict[str, float]:
    """Moles of each flux in these amounts [mol]."""
    moles: dict[str, float] = {}
    for name, parts in amounts.items():
        for oxide, per_g in stock.find(name).need_analysis().moles_per_g:
            if oxide in FLUXES:
                moles[oxide] = moles.get(oxide, 0.0) + parts * per_g
    return moles


def _light(per_g: Mapping[str, float]) -> float:
    return LIGHT * fsum(moles for oxide, moles in per_g.items() if oxide in FLUXES)


def _why(oxide: str, miss: float, held_mol: Mapping[str, float], flux_mol: float, wished: Mapping[str, float]) -> str:
    name = f"{OXIDES[oxide].name} ({oxide})"
    least = held_mol.get(oxide, 0.0) / flux_mol
    if least > wished.get(oxide, 0.0) + CLOSE_MOL:
        return f"the materials that are held alone bring {name} {least:.2f} of the fluxes, more than {wished.get(oxide, 0.0):.2f}"
    word = "too much" if miss > 0 else "too little"
    return f"{name} comes to {abs(miss):.{2 if abs(miss) >= 0.01 else 3}f} {word}"
