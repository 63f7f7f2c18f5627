"""Other fluxes for a glaze: either its silica and alumina are held, or its other materials. The two are not the same."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.changed_recipe import ChangedRecipe, changed_recipe, resolved_base
from glazekit.chemistry.formulate import TRACE_MOL, formulate_again
from glazekit.chemistry.nonnegative import nearest_mixture
from glazekit.chemistry.unity import SOURCE_FROM, ByName, Weighed, brings, flux_sum_mol, moles_in, moles_per_g, unity_formula
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

    Parameters: fluxes, (oxide, share wished for), together 1; changed, the new recipe compared with the old, its kind telling
    what was held, of an impossible wish the nearest; feasible, do the fluxes, and the silica and alumina where those are held,
    come out as wished; why_not, sentences when they do not; reliefs, what would help.
    """

    fluxes: tuple[tuple[str, float], ...]
    changed: ChangedRecipe
    feasible: bool
    why_not: tuple[str, ...] = ()
    reliefs: tuple[str, ...] = ()


def hold_formula(recipe: Recipe, fluxes: ByName, materials: Sequence[str], *, stock: Stock | None = None) -> FluxChange:
    """Other fluxes with the same silica, alumina, boron and all else that is no flux, per mole of flux.

    Parameters: recipe, of which only the base is changed: the new one stays close to it and brings as many moles of flux; fluxes,
    oxide -> share of the fluxes, together 1; materials, names that may be used; stock, the course's if not given.

    >>> clear = Recipe("small clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    >>> half = hold_formula(clear, {"K2O": 0.25, "MgO": 0.2, "CaO": 0.55}, [*clear.materials(), "talc"])
    >>> half.feasible, {name: round(parts, 1) for name, parts in half.changed.change_parts.items()}["talc"]
    (True, 6.9)

    Raises RangeError for shares that do not total 1, else as ``formulate``.
    """
    shelf = stock or course_stock()
    wished = _wished(fluxes)
    rest = {o: moles for o, moles in unity_formula(recipe, stock=shelf).pairs if o not in FLUXES and moles >= TRACE_MOL}
    found, changed = formulate_again(HOLD_FORMULA, recipe, wished | rest, materials, shelf, shelf)
    why_not, reliefs = ((found.why_not.sentence,), found.why_not.reliefs) if found.why_not else ((), ())
    return FluxChange(tuple(wished.items()), changed, found.feasible, why_not, reliefs)


def hold_materials(recipe: Recipe, fluxes: ByName, materials: Sequence[str], *, stock: Stock | None = None) -> FluxChange:
    """Other fluxes with the other materials, such as clay, quartz and a frit with boron, left at their grams.

    Of the materials named, those that mainly bring fluxes and no boron are weighed anew, so that the moles of flux in all stay
    the same. What silica and alumina they bring goes with them: that is the price.

    Parameters: as for ``hold_formula``.

    >>> clear = Recipe("small clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    >>> half = hold_materials(clear, {"K2O": 0.1, "CaO": 0.9}, clear.materials())
    >>> half.feasible, {name: round(parts, 1) for name, parts in half.changed.change_parts.items()}
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
    held_mol, all_mol = (moles_in(Weighed(shelf.find(n).need_analysis(), g) for n, g in parts.items()) for parts in (held, base))
    flux_mol = flux_sum_mol(all_mol)
    goal = [wished.get(oxide, 0.0) * flux_mol - held_mol.get(oxide, 0.0) for oxide in FLUXES]
    rows = [[moles_per_g(material, (oxide,)) for material in moving] for oxide in FLUXES]
    like = [base.get(material.name, 0.0) for material in moving]
    amounts, _ = nearest_mixture(rows, goal, like, [LIGHT * moles_per_g(material, FLUXES) for material in moving])
    new = held | {material.name: parts for material, parts in zip(moving, amounts, strict=True)}
    order = dict.fromkeys([*base, *new])
    changed = changed_recipe(HOLD_MATERIALS, recipe, {name: new.get(name, 0.0) for name in order}, shelf)
    misses = {oxide: changed.after[oxide] - wished.get(oxide, 0.0) for oxide in FLUXES}
    missed = {oxide: miss for oxide, miss in misses.items() if abs(miss) > CLOSE_MOL}
    why_not = tuple(_why(oxide, miss, held_mol.get(oxide, 0.0) / flux_mol, wished) for oxide, miss in missed.items())
    return FluxChange(tuple(wished.items()), changed, not missed, why_not)


def is_flux_source(material: Material) -> bool:
    """Is it bought for its flux: it mainly brings fluxes, with or without silica and alumina, and no boron.

    >>> [is_flux_source(course_stock().find(name)) for name in ("talc", "soda feldspar", "kaolin", "calcium borosilicate frit")]
    [True, True, False, False]
    """
    return any(brings(material, oxide, SOURCE_FROM) for oxide in FLUXES) and not brings(material, "B2O3")


def _wished(fluxes: ByName) -> dict[str, float]:
    strange = [oxide for oxide in fluxes if oxide not in FLUXES]
    if strange:
        raise RangeError(f"{strange[0]} is not a flux here; the fluxes are {', '.join(FLUXES)}")
    total = fsum(fluxes.values())
    if any(not 0 <= share <= 1 for share in fluxes.values()) or abs(total - 1) > 1e-6:
        raise RangeError(f"the shares of the fluxes total {total:.4g}; they must be 0 or more and total 1")
    return {oxide: fluxes[oxide] for oxide in FLUXES if fluxes.get(oxide)}


def _why(oxide: str, miss: float, held: float, wished: ByName) -> str:
    """Why a flux does not come out as wished; ``held`` is its share that the other materials bring."""
    name, wish = f"{OXIDES[oxide].name} ({oxide})", wished.get(oxide, 0.0)
    if held > wish + CLOSE_MOL:
        return f"the materials that are held alone bring {name} {held:.2f} of the fluxes, more than {wish:.2f}"
    word = "too much" if miss > 0 else "too little"
    return f"{name} comes to {abs(miss):.{2 if abs(miss) >= 0.01 else 3}f} {word}"
