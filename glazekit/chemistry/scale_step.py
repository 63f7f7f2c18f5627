"""What one step of the scale too much does to each line of a batch: next to nothing to a feldspar, a lot to a pinch of colour."""

from __future__ import annotations

from dataclasses import dataclass

from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.ground.limits import within
from glazekit.ground.numbers import show_g, show_number
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.batch import BASE_LIMITS_G, COARSE_SHARE, DIVISION_LIMITS_G
from glazekit.recipe.recipe import Line, Recipe

STILL_PCT = 0.05
"""An oxide that moves by less than this is said not to move [%]."""


@dataclass(frozen=True, slots=True)
class OneStepMore:
    """One line of a batch, weighed one step of the scale too heavy.

    Parameters
    ----------
    material, part : the line.
    mass_g, step_g : what was to be weighed, and what came on top [g].
    oxide : of the oxides the material brings, the one that moves most in proportion; "" when none moves.
    before, after : its moles per mole of flux, additions counted.
    """

    material: str
    part: str
    mass_g: float
    step_g: float
    oxide: str
    before: float
    after: float

    @property
    def step_pct(self) -> float:
        """The step as a share of the line [%]."""
        return 100 * self.step_g / self.mass_g

    @property
    def oxide_pct(self) -> float:
        """How far the oxide moves [% of what it was]."""
        return 100 * (self.after / self.before - 1) if self.oxide else 0.0

    @property
    def matters(self) -> bool:
        """Is the step more than 2 % of the line, where the batch sheet says that the scale is too coarse."""
        return self.step_g > COARSE_SHARE * self.mass_g

    @property
    def words(self) -> str:
        """The finding in two short sentences."""
        line = f"{show_g(self.step_g, self.step_g)} more is {show_number(self.step_pct, 1)} % of the {self.material}"
        if not self.oxide:
            return f"{line}. No oxide moves."
        return f"{line}. {OXIDES[self.oxide].name.capitalize()} ({self.oxide}) moves most, by {show_number(self.oxide_pct, 1)} %."


def one_step_more(
    recipe: Recipe, *, step_g: float = 0.1, base_g: float = 100, stock: Stock | None = None
) -> tuple[OneStepMore, ...]:
    """Weigh each line in turn one step too heavy, and see which oxide moves most.

    Parameters
    ----------
    step_g : step of the scale [g].
    base_g : mass of the base; the additions come on top [g].
    stock : analyses to use; the course's materials if not given.

    >>> rows = one_step_more(Recipe("blue", {"soda feldspar": 40, "whiting": 20, "quartz": 40}, {"cobalt carbonate": 1}))
    >>> print(rows[0].words)
    0.1 g more is 0.3 % of the soda feldspar. Alumina (Al2O3) moves most, by 0.2 %.
    >>> print(rows[3].words)
    0.1 g more is 10.0 % of the cobalt carbonate. Cobalt oxide (CoO) moves most, by 10.0 %.

    Raises as ``unity_formula``.
    """
    within(step_g, *DIVISION_LIMITS_G, "the scale's division", "g")
    shelf = stock or course_stock()
    scale = within(base_g, *BASE_LIMITS_G, "the base mass", "g") / recipe.base_sum
    weighed = [line for line in recipe.lines_in_parts() if not shelf.find(line.material).liquid]
    lines = [Line(line.material, line.amount * scale) for line in weighed]
    before = _formula(recipe.name, lines, shelf)
    rows = []
    for number, line in enumerate(lines):
        if not line.amount:
            continue
        heavier = [Line(line.material, line.amount + step_g * (i == number)) for i, line in enumerate(lines)]
        material = shelf.find(line.material)
        oxide, was, now = _moves_most(material, before, _formula(recipe.name, heavier, shelf))
        part = "base" if number < len(recipe.base) else "addition"
        rows.append(OneStepMore(material.name, part, line.amount, step_g, oxide, was, now))
    return tuple(rows)


def _formula(name: str, lines: list[Line], stock: Stock) -> UnityFormula:
    return unity_formula(Recipe(name, lines), stock=stock)


def _moves_most(material: Material, before: UnityFormula, after: UnityFormula) -> tuple[str, float, float]:
    moved = [(100 * abs(after[oxide] / before[oxide] - 1), oxide) for oxide, wt_pct in material.oxides if wt_pct]
    most_pct, oxide = max(moved, default=(0.0, ""))
    return (oxide, before[oxide], after[oxide]) if most_pct >= STILL_PCT else ("", 0.0, 0.0)
