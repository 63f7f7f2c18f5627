"""Five reference glazes stepped in expansion, equally stiff in the melt: fired on one clay they show where its edge lies."""

from dataclasses import dataclass

from glazekit.chemistry.formulate import formulate, read_target, round_to
from glazekit.glass.composition import composition_of
from glazekit.glass.melt import melt_curve, viscosity
from glazekit.glass.sums import expansion
from glazekit.ground.errors import RangeError
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

MATERIALS = ("nepheline syenite", "soda feldspar", "calcium borosilicate frit", "whiting", "kaolin", "quartz")
ALKALI_SHARES = (0.51, 0.405, 0.3, 0.195, 0.09)
"""Soda and potash together, of one mole of flux; lime is the rest (a choice of this package)."""
ALUMINA_MOL, BORIC_OXIDE_MOL, SODA_SHARE = 0.53, 0.2, 0.8
"""Per mole of flux; the part of the alkalis that is soda (a choice of this package)."""
SILICA_MOL = (1.5, 7.0)
"""Silica is looked for between these, per mole of flux."""
MELT_LOG10_PA_S, ALIKE = 2.85, 0.15
"""How stiff the melts are to be at the peak, about as Gangway Clear at 1222 C; and how far they may differ [log10(Pa.s)]."""


@dataclass(frozen=True, slots=True)
class Rung:
    """One glaze of the ladder: its recipe, calculated expansion against the rung above, and how stiff its melt is."""

    recipe: Recipe
    expansion: Estimate
    melt: Estimate


def fit_ladder(peak_c: float, log10_pa_s: float = MELT_LOG10_PA_S, stock: Stock | None = None) -> tuple[Rung, ...]:
    """The ladder, from the rung that shrinks most to the one that shrinks least.

    From rung to rung alkali goes out and lime comes in; silica is added until the melt is as stiff as wanted at the peak.

    Parameters: peak_c, of the firing [C]; log10_pa_s, stiffness wanted there [log10(Pa.s)]; stock, analyses to use.

    >>> [round(rung.expansion.value, 1) for rung in fit_ladder(1222)]
    [7.3, 6.9, 6.4, 5.8, 5.2]

    Raises RangeError when the melts cannot be so stiff at that peak, or a rung is no clear glass there.
    Limits: calculated, never fired. Equal stiffness is no equal gloss; only what the tiles show counts, and it holds for one clay
    in one firing. Source: the models of expansion and of the melt.
    """
    shelf, rungs = stock or course_stock(), list[Rung]()
    for number, alkali in enumerate(ALKALI_SHARES, 1):
        wanted = _with_silica(alkali, peak_c, log10_pa_s)
        recipe = round_to(formulate(wanted, MATERIALS, stock=shelf, explain=False, name=f"Rung {number}")).recipe
        above = rungs[-1].recipe if rungs else None
        alpha, melt = expansion(recipe, above, stock=shelf), viscosity(recipe, peak_c, above, stock=shelf)
        if not alpha.in_range or melt.value is None or abs(melt.value - log10_pa_s) > ALIKE:
            raise RangeError(f"five glazes as stiff as this at {peak_c:g} °C: rung {number} cannot be made")
        rungs.append(Rung(recipe, alpha, melt))
    return tuple(rungs)


def _with_silica(alkali: float, peak_c: float, log10_pa_s: float) -> dict[str, float]:
    """The formula of a rung: more silica is a stiffer melt, so the wanted stiffness is found by halving."""
    low, high = SILICA_MOL
    formula: dict[str, float] = {}
    for _ in range(30):
        formula = {
            "Na2O": SODA_SHARE * alkali,
            "K2O": (1 - SODA_SHARE) * alkali,
            "CaO": 1 - alkali,
            "Al2O3": ALUMINA_MOL,
            "B2O3": BORIC_OXIDE_MOL,
            "SiO2": (low + high) / 2,
        }
        glass = composition_of(read_target(formula)[0])
        low, high = (low, formula["SiO2"]) if melt_curve(glass).log10_pa_s(peak_c) > log10_pa_s else (formula["SiO2"], high)
    return formula
