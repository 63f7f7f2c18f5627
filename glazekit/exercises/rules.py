"""What an exercise with random numbers is made of: numbers to draw from, an answer function, and what several of these share."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from glazekit.chemistry.unity import flux_sum_mol, oxide_moles
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.material import Material
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Line, Recipe

Numbers = Mapping[str, float]
Written = Mapping[str, str | float]
POWDERS = {"feldspar": "potash feldspar", "whiting": "whiting", "kaolin": "kaolin", "quartz": "quartz"}
"""The four powders of the practice glaze: word of the texts -> material."""
CLEAR = demo_recipe("Gangway Clear")
"""The glaze that lessons change a little."""


@dataclass(frozen=True, slots=True)
class Steps:
    """Evenly stepped numbers from ``low`` to ``high``, both included; ``course`` is the one printed in the course book.

    >>> Steps(1, 2, 0.5, course=2).count, Steps(1, 2, 0.5, course=2).value(1)
    (3, 1.5)
    """

    low: float
    high: float
    step: float
    course: float

    @property
    def count(self) -> int:
        """How many numbers there are."""
        return round((self.high - self.low) / self.step) + 1

    def value(self, index: int) -> float:
        """Number ``index`` of the row, free of binary dust."""
        return round(self.low + index * self.step, 6)


@dataclass(frozen=True, slots=True)
class Solution:
    """What the numbers of one question lead to. Parameters: right, box id -> right value [unit of the box]; wrong, mistake id ->
    the values that show it by box id, earlier ones tried first; words, further placeholders of the texts, already written as text
    or as plain numbers."""

    right: Numbers = field(default_factory=dict)
    wrong: Mapping[str, Numbers] = field(default_factory=dict)
    words: Written = field(default_factory=dict)


def one_box(box: str, right: float, wrong: Numbers, words: Written | None = None) -> Solution:
    """The solution of a question with a single box: mistake id -> the value that shows it."""
    return Solution({box: right}, {mistake: {box: value} for mistake, value in wrong.items()}, words or {})


def shown(decimals: int, **values: float) -> dict[str, str | float]:
    """Numbers as the texts print them, all with the same decimals.

    >>> shown(2, lime=1 / 3, soda=2)
    {'lime': '0.33', 'soda': '2.00'}
    """
    return {name: show_number(value, decimals) for name, value in values.items()}


@dataclass(frozen=True, slots=True)
class Rule:
    """How an exercise gets its numbers and its answers. Parameters: solve, the answer function; steps, number name -> what to
    draw it from; keep, is the story true for these numbers? Draws that fail are drawn again; shares, id of the exercise whose
    numbers this one goes on with (same page and slip)."""

    solve: Callable[[Numbers], Solution]
    steps: Mapping[str, Steps] = field(default_factory=dict)
    keep: Callable[[Numbers], bool] = lambda _: True
    shares: str = ""


class Rules(dict[str, Rule]):
    """The rules of one lesson, exercise id -> rule; each stands over its answer function as a decorator.

    >>> rules = Rules()
    >>> @rules.add("55.1", cup_g=Steps(31, 48, 0.1, course=38.2))
    ... def in_the_cup(n):
    ...     return one_box("powder_g", 60 - n["cup_g"], {"cup_forgotten": 60})
    >>> rules["55.1"].solve({"cup_g": 40}).right
    {'powder_g': 20}
    """

    def add(
        self, exercise_id: str, *, keep: Callable[[Numbers], bool] = lambda _: True, shares: str = "", **steps: Steps
    ) -> Callable[[Callable[[Numbers], Solution]], Callable[[Numbers], Solution]]:
        """The decorator that gives an exercise its answer function, its numbers and what must hold for them."""

        def added(solve: Callable[[Numbers], Solution]) -> Callable[[Numbers], Solution]:
            self[exercise_id] = Rule(solve, steps, keep, shares)
            return solve

        return added


def powder(name: str) -> Material:
    """A material of the course."""
    return course_stock().find(name)


def g_mol(name: str) -> float:
    """Molar mass of a material of the course that has a formula [g per mol].

    >>> round(g_mol("whiting"), 2)
    100.09
    """
    return molar_mass_g_mol(powder(name).formula)


def masses(**powders: str) -> dict[str, str | float]:
    """Molar masses as the questions print them: ``whiting="whiting"`` fills {whiting_mass}."""
    return shown(2, **{f"{word}_mass": g_mol(name) for word, name in powders.items()})


def counted(recipe: Recipe) -> dict[str, float]:
    """Moles of each oxide of a recipe, and "flux", the sum of the fluxes."""
    moles = oxide_moles(recipe)
    return {**moles, "flux": flux_sum_mol(moles)}


def on_top(recipe: Recipe, name: str, grams: float) -> Recipe:
    """The base of a recipe with so many grams of one more line."""
    return Recipe("changed", [*recipe.base, Line(name, grams)])
