"""Show my working: the way from grams to the unity formula with every intermediate number kept."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.unity import flux_symbols
from glazekit.ground.errors import RecipeError
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe


@dataclass(frozen=True, slots=True)
class MaterialStep:
    """Step 1, one line: what of a material stays and what leaves.

    ``loi_g`` leaves in the kiln, ``fired_g`` stays as oxides [g].
    """

    material: str
    raw_g: float
    loi_g: float
    fired_g: float


@dataclass(frozen=True, slots=True)
class OxideStep:
    """Step 2, one oxide of one material: oxide_g = raw_g x wt % / 100, moles = oxide_g / molar mass."""

    material: str
    oxide: str
    oxide_wt_pct_raw: float
    oxide_g: float
    molar_mass_g_mol: float
    moles: float


@dataclass(frozen=True, slots=True)
class UnityStep:
    """Steps 3 and 4, one oxide: moles of all materials together, then divided by the flux sum."""

    oxide: str
    is_flux: bool
    oxide_g: float
    moles: float
    unity: float


@dataclass(frozen=True, slots=True)
class Working:
    """Every step of a unity formula.

    Parameters
    ----------
    recipe_name : whose working it is.
    materials : step 1, grams that stay and leave.
    oxides : step 2, oxide grams and moles by material.
    flux_sum_mol : step 3, the divisor: moles of all fluxes together [mol].
    unity : step 4, each oxide divided by it.

    >>> from glazekit.recipe.recipe import Recipe
    >>> steps = work_out(Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}))
    >>> round(steps.flux_sum_mol, 4), [step.oxide for step in steps.unity if step.is_flux]
    (0.2717, ['K2O', 'CaO'])
    """

    recipe_name: str
    materials: tuple[MaterialStep, ...]
    oxides: tuple[OxideStep, ...]
    flux_sum_mol: float
    unity: tuple[UnityStep, ...]


def work_out(
    recipe: Recipe, *, include_additions: bool = False, count_colour_fluxes: bool = False, stock: Stock | None = None
) -> Working:
    """The working of a recipe's unity formula; amounts are taken as grams.

    Raises RecipeError without any flux, NoAnalysisError for a material declared unknown.
    """
    shelf = stock or course_stock()
    material_steps: list[MaterialStep] = []
    oxide_steps: list[OxideStep] = []
    for line in recipe.lines_in_parts(include_additions):
        material = shelf.find(line.material).need_analysis()
        if material.liquid:
            continue  # brings no oxides and is no part of the dry mass
        steps = [
            OxideStep(
                material.name,
                oxide,
                wt_pct,
                oxide_g := line.amount * wt_pct / 100,
                OXIDES[oxide].molar_mass_g_mol,
                oxide_g / OXIDES[oxide].molar_mass_g_mol,
            )
            for oxide, wt_pct in material.oxides
        ]
        oxide_steps += steps
        loi_g = line.amount * material.loi_wt_pct_raw / 100
        material_steps.append(MaterialStep(material.name, line.amount, loi_g, fsum(step.oxide_g for step in steps)))

    counted = flux_symbols(count_colour_fluxes)
    flux_sum_mol = fsum(step.moles for step in oxide_steps if step.oxide in counted)
    if not flux_sum_mol:
        raise RecipeError(f"{recipe.name}: there is no flux in it, so there is nothing to set to 1")
    unity_steps = []
    for oxide in OXIDE_ORDER:
        mine = [step for step in oxide_steps if step.oxide == oxide]
        moles = fsum(step.moles for step in mine)
        if moles:
            grams = fsum(step.oxide_g for step in mine)
            unity_steps.append(UnityStep(oxide, oxide in counted, grams, moles, moles / flux_sum_mol))
    return Working(recipe.name, tuple(material_steps), tuple(oxide_steps), flux_sum_mol, tuple(unity_steps))
