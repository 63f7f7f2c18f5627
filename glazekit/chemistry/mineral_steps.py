"""The formula by hand: grams over formula mass, times how many of each oxide the mineral's formula holds."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.board import Board
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe


@dataclass(frozen=True, slots=True)
class MineralStep:
    """One oxide of one material, as reckoned on paper.

    Parameters
    ----------
    material, mass_g : what was weighed [g].
    oxide, moles : what it brings [mol].
    formula_mass_g_mol : mass of one mole of the mineral; None for a material known by its analysis [g/mol].
    mineral_mol : moles of the mineral, mass over formula mass [mol].
    multiplier : moles of the oxide in one mole of the mineral.
    oxide_wt_pct, oxide_mass_g_mol : the other way, for a material known by its analysis [wt %, g/mol].
    """

    material: str
    mass_g: float
    oxide: str
    moles: float
    formula_mass_g_mol: float | None = None
    mineral_mol: float | None = None
    multiplier: float | None = None
    oxide_wt_pct: float | None = None
    oxide_mass_g_mol: float | None = None

    @property
    def words(self) -> str:
        """The step on one line.

        >>> print(mineral_steps(Recipe("clear", {"soda feldspar": 26, "whiting": 14}))[2].words)
        26 g / 524.44 g per mol = 0.0496 mol of soda feldspar, times 6 = 0.2975 mol SiO2
        >>> print(mineral_steps(Recipe("frit", {"calcium borosilicate frit": 25}))[2].words)
        22 % of 25 g of calcium borosilicate frit = 5.50 g, / 69.62 g per mol = 0.0790 mol B2O3
        """
        moles = show_number(self.moles, 4)
        if self.formula_mass_g_mol and self.mineral_mol is not None and self.multiplier is not None:
            mineral = (
                f"{show_number(self.formula_mass_g_mol)} g per mol = {show_number(self.mineral_mol, 4)} mol of {self.material}"
            )
            return f"{self.mass_g:g} g / {mineral}, times {self.multiplier:.4g} = {moles} mol {self.oxide}"
        oxide_g = self.mass_g * (self.oxide_wt_pct or 0.0) / 100
        share = f"{self.oxide_wt_pct:g} % of {self.mass_g:g} g of {self.material} = {show_number(oxide_g)} g"
        return f"{share}, / {show_number(self.oxide_mass_g_mol or 0.0)} g per mol = {moles} mol {self.oxide}"


def mineral_steps(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> tuple[MineralStep, ...]:
    """Every oxide of every line, by the mineral's formula where there is one, by its analysis where there is none.

    moles = mass / formula mass x multiplier,  or  moles = mass x wt % / 100 / molar mass of the oxide

    Raises NoAnalysisError for a material declared unknown.
    """
    shelf = stock or course_stock()
    steps = []
    for line in recipe.lines_in_parts(include_additions):
        material = shelf.find(line.material).need_analysis()
        formula_mass = molar_mass_g_mol(material.formula) if material.kind == "theoretical" else None
        for (oxide, per_g), (_, wt_pct) in zip(material.moles_per_g, material.oxides, strict=True):
            moles = line.amount * per_g
            if formula_mass:
                step = MineralStep(
                    material.name, line.amount, oxide, moles, formula_mass, line.amount / formula_mass, per_g * formula_mass
                )
            else:
                molar_mass = OXIDES[oxide].molar_mass_g_mol
                step = MineralStep(material.name, line.amount, oxide, moles, oxide_wt_pct=wt_pct, oxide_mass_g_mol=molar_mass)
            steps.append(step)
    return tuple(steps)


def mineral_board(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> Board:
    """The steps as a table, with the sum of all fluxes in the last row.

    >>> print(mineral_board(Recipe("lime and clay", {"whiting": 20, "kaolin": 20})))
    lime and clay: grams to moles
    material         grams  g per mol  mol of it  times  oxide     mol
    ------------------------------------------------------------------
    whiting          20.00     100.09     0.1998      1    CaO  0.1998
    kaolin           20.00     258.16     0.0775      1  Al2O3  0.0775
    kaolin           20.00     258.16     0.0775      2   SiO2  0.1549
    ------------------------------------------------------------------
    fluxes together                                             0.1998
    """
    steps = mineral_steps(recipe, include_additions=include_additions, stock=stock)
    rows = []
    for step in steps:
        if step.formula_mass_g_mol and step.mineral_mol is not None and step.multiplier is not None:
            how = (show_number(step.formula_mass_g_mol), show_number(step.mineral_mol, 4), f"{step.multiplier:.4g}")
        else:
            how = (show_number(step.oxide_mass_g_mol or 0.0), "", f"{step.oxide_wt_pct:g} %")
        rows.append((step.material, show_number(step.mass_g), *how, step.oxide, show_number(step.moles, 4)))
    fluxes = fsum(step.moles for step in steps if OXIDES[step.oxide].role == "flux")
    rows.append(("fluxes together", "", "", "", "", "", show_number(fluxes, 4)))
    headings = ("material", "grams", "g per mol", "mol of it", "times", "oxide", "mol")
    by_analysis = any(step.oxide_wt_pct is not None for step in steps)
    notes = ("Rows with a % go by the analysis: grams times that %, over the molar mass of the oxide.",) if by_analysis else ()
    return Board(f"{recipe.name}: grams to moles", headings, tuple(rows), sums=1, notes=notes)
