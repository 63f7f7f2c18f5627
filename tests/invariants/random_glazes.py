"""Random formulas and choices of materials, and what a general linear-programming library says about them.

Nothing here uses the package's own reckoning of a formula: the rows are built from the analyses with numpy.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from scipy.optimize import linprog

import glazekit as gk
from glazekit.chemistry.base_limits import BaseLimit
from glazekit.materials.oxides import OXIDES

FLUXES = ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")
TEN = (
    "potash feldspar",
    "soda feldspar",
    "whiting",
    "dolomite",
    "talc",
    "zinc oxide",
    "kaolin",
    "quartz",
    "calcium borosilicate frit",
    "spodumene",
)
TWELVE = (*TEN, "wollastonite", "calcined kaolin")
"""Two more that bring nothing new, so that many formulas have several recipes."""
SHELF = (*TWELVE, "ball clay", "nepheline syenite", "bone ash", "lithium carbonate", "colemanite", "bentonite")


def moles_matrix(materials: Sequence[str]) -> tuple[list[str], np.ndarray]:
    """Oxides, and moles of each in 100 g of each material."""
    stock = gk.course_stock()
    brought = [dict(stock.find(name).oxides) for name in materials]
    oxides = sorted({oxide for analysis in brought for oxide in analysis})
    mass = {oxide: OXIDES[oxide].molar_mass_g_mol for oxide in oxides}
    return oxides, np.array([[analysis.get(oxide, 0.0) / mass[oxide] for analysis in brought] for oxide in oxides])


def formula_of(recipe: gk.Recipe) -> dict[str, float]:
    """Unity formula by matrix, independent of the package's own."""
    oxides, moles = moles_matrix([line.material for line in recipe.base])
    brought = moles @ np.array([line.amount for line in recipe.base])
    fluxes = sum(amount for oxide, amount in zip(oxides, brought, strict=True) if oxide in FLUXES)
    return {oxide: amount / fluxes for oxide, amount in zip(oxides, brought, strict=True)}


def any_choice(random: np.random.Generator, least: int, most: int) -> tuple[str, ...]:
    """Some materials of the shelf, whiting always among them."""
    chosen = {str(name) for name in random.choice(SHELF, int(random.integers(least, most)), replace=False)} | {"whiting"}
    return tuple(name for name in SHELF if name in chosen)


def any_recipe(random: np.random.Generator, materials: Sequence[str], least: int = 3) -> gk.Recipe:
    """A recipe of some of these materials, whiting always among them."""
    count = int(random.integers(least, len(materials) + 1))
    chosen = {str(name) for name in random.choice(materials, count, replace=False)} | {"whiting"}
    return gk.Recipe("any", {name: float(random.exponential()) + 0.01 for name in materials if name in chosen})


def any_formula(random: np.random.Generator) -> dict[str, float]:
    """A formula from nowhere; most of them cannot be made of a few materials."""
    fluxes = [
        str(flux)
        for flux in random.choice(["Li2O", "Na2O", "K2O", "MgO", "CaO", "ZnO"], int(random.integers(2, 6)), replace=False)
    ]
    shares = random.exponential(size=len(fluxes))
    shares /= shares.sum()
    formula = dict(zip(fluxes, map(float, shares), strict=True))
    formula["Al2O3"] = float(random.uniform(0.05, 0.8))
    formula["SiO2"] = float(random.uniform(1.0, 5.0))
    if random.random() < 0.5:
        formula["B2O3"] = float(random.uniform(0.02, 0.6))
    return formula


def can_be_met(
    target: Mapping[str, float],
    tolerance: Mapping[str, float],
    oxides: Iterable[str],
    materials: Sequence[str],
    limits: Sequence[BaseLimit] = (),
    *,
    fluxes_total_1: bool = False,
    slack: float = 1.0,
) -> bool:
    """Does scipy's linear programming find amounts, none negative, that bring these oxides within slack x tolerance."""
    rows, moles = moles_matrix(materials)
    upper, bounds = [], []
    for oxide in oxides:
        row = moles[rows.index(oxide)] if oxide in rows else np.zeros(len(materials))
        wanted, band = target.get(oxide, 0.0), slack * tolerance[oxide]
        upper += [row, -row]
        bounds += [wanted + band, band - wanted]
    equal, totals = [], []
    for limit in limits:
        row = np.array([(name in limit.materials) - limit.pct / 100 for name in materials])
        if limit.kind == "exactly":
            equal.append(row)
            totals.append(0.0)
        else:
            upper.append(row if limit.kind == "at most" else -row)
            bounds.append(0.0)
    if fluxes_total_1:
        equal.append(sum(moles[rows.index(oxide)] for oxide in rows if oxide in FLUXES))
        totals.append(1.0)
    found = linprog(
        np.zeros(len(materials)),
        A_ub=np.array(upper) if upper else None,
        b_ub=bounds or None,
        A_eq=np.array(equal) if equal else None,
        b_eq=totals or None,
        method="highs",
        options={"primal_feasibility_tolerance": 1e-9},
    )
    return found.status == 0
