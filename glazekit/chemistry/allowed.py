"""Every recipe that a choice of materials and limits allows, and the one of them that comes nearest to a formula."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import sqrt
from operator import mul, sub

from glazekit.chemistry.base_limits import AT_LEAST, AT_MOST, FIXED, BaseLimit
from glazekit.chemistry.changed_recipe import NOTHING
from glazekit.chemistry.nonnegative import Vector, dot, nonnegative_least_squares
from glazekit.chemistry.unity import Amounts, ByName, flux_symbols
from glazekit.ground.errors import RecipeError
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER

SCALE = 200.0
"""Common weight of the rows, so that a miss of 0.005 moles counts as 1 and the flux row stands on an equal footing."""
HEAVY = 3e7
"""Weight of a limit: so much heavier than a miss in an oxide that limits hold to far better than a scale can show."""
LIGHT = 0.05
"""Weight of staying like a given recipe: decides only between recipes that are equally near to the formula."""
ROUNDS = 4
"""After so many tries by least squares, which nearly always decide, the slower exact way is taken."""
BAND_TOL = 1e-5
MOST_RECIPES = 6
MOST_TRIES = 30


def in_order(quantities: Iterable[str]) -> list[str]:
    """Oxides in their usual order; a sum such as "Na2O+K2O" stands where its first one would."""
    return sorted(quantities, key=lambda quantity: OXIDE_ORDER.index(quantity.partition("+")[0]))


@dataclass(frozen=True, slots=True)
class Goal:
    """A formula asked for, and how near is near enough. Parameters: moles, oxide, or a sum such as "Na2O+K2O", -> moles per mole
    of flux, one that is not named being wanted as nothing; tolerance, how far off is close enough, for every one asked about
    [mol]."""

    moles: ByName
    tolerance: ByName

    def misses(self, reached: ByName) -> dict[str, float]:
        """Oxide -> wanted minus reached, for every oxide that is wanted or brought [mol]."""
        asked = in_order({*(oxide for oxide, moles in self.moles.items() if moles), *reached})
        return {oxide: self.moles.get(oxide, 0.0) - reached.get(oxide, 0.0) for oxide in asked}

    def met_by(self, reached: ByName) -> set[str]:
        """The oxides that come close enough."""
        return {oxide for oxide, miss in self.misses(reached).items() if abs(miss) <= self.tolerance[oxide]}

    def weights(self, oxides: Iterable[str]) -> dict[str, float]:
        """Oxide -> 1 / tolerance: a miss at the edge of the tolerance counts 1."""
        return {oxide: 1 / self.tolerance[oxide] for oxide in oxides}


@dataclass(frozen=True, slots=True)
class Allowed:
    """The recipes made of these materials within these limits, as amounts per mole of flux.

    An amount is in hundreds of grams, and the fluxes of all amounts together make one mole, so that the moles of an oxide
    are its number in the unity formula.

    Parameters: materials, none used below zero; limits, on how much of the base they make; colour_fluxes_counted, do FeO, MnO,
    CoO, CuO and NiO count among the fluxes; sums, such as "Na2O+K2O", of oxides asked for together: each stands for its oxides.
    """

    materials: tuple[Material, ...]
    limits: tuple[BaseLimit, ...] = ()
    colour_fluxes_counted: bool = False
    sums: tuple[str, ...] = ()
    _moles: dict[str, Vector] = field(init=False, repr=False, compare=False)
    _flux: Vector = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        brought = [{oxide: 100 * moles for oxide, moles in material.moles_per_g} for material in self.materials]
        oxides = [oxide for oxide in OXIDE_ORDER if any(oxide in moles for moles in brought)]
        moles = {oxide: [column.get(oxide, 0.0) for column in brought] for oxide in oxides}
        fluxes = [moles[oxide] for oxide in flux_symbols(self.colour_fluxes_counted) if oxide in moles]
        for text in self.sums:
            parts = [moles.pop(oxide) for oxide in text.split("+") if oxide in moles]
            moles |= {text: [sum(column) for column in zip(*parts, strict=True)]} if parts else {}
        object.__setattr__(self, "_moles", moles)
        object.__setattr__(self, "_flux", [sum(column) for column in zip(*fluxes, strict=True)] or [0.0] * len(brought))

    def check(self) -> None:
        """Stop with a RecipeError when there is no recipe at all, or none with a flux."""
        names = ", ".join(material.name for material in self.materials)
        if not any(self._flux):
            raise RecipeError(f"none of {names} brings a flux, so there is nothing to set to 1: allow a material with a flux")
        for row, lost in (([1.0] * len(self.materials), "no recipe is left"), (self._flux, "no recipe with a flux is left")):
            _, (miss,) = self._solve([[value / max(row) for value in row]], [1.0])
            if abs(miss) > 0.5:
                raise RecipeError(f"with these limits {lost}: {'; '.join(map(str, self.limits))}")

    def without(self, material: str) -> "Allowed | None":
        """The same choice with one material less; None when a limit asks for it or nothing would be left."""
        rest = tuple(one for one in self.materials if one.name != material)
        limits = []
        for limit in self.limits:
            names = tuple(name for name in limit.materials if name != material)
            if names:
                limits.append(replace(limit, materials=names))
            elif limit.kind != AT_MOST and limit.pct:
                return None
        return replace(self, materials=rest, limits=tuple(limits)) if rest else None

    def formula(self, amounts: Sequence[float]) -> dict[str, float]:
        """Moles of every oxide that these amounts bring [mol]."""
        return {oxide: dot(row, amounts) for oxide, row in self._moles.items()}

    def brings(self, oxide: str) -> bool:
        """Does any of the materials bring this oxide."""
        return oxide in self._moles

    def is_flux(self, oxide: str) -> bool:
        """Does this oxide, or sum, count among the fluxes."""
        return oxide.partition("+")[0] in flux_symbols(self.colour_fluxes_counted)

    def asked(self, goal: Goal) -> list[str]:
        """Every oxide that is wanted or that a material brings."""
        return in_order({*(oxide for oxide, moles in goal.moles.items() if moles), *self._moles})

    def meets(self, goal: Goal, amounts: Sequence[float]) -> bool:
        """Do these amounts come close enough in every oxide."""
        return goal.met_by(self.formula(amounts)).issuperset(self.asked(goal))

    def nearest(self, target: ByName, weights: ByName, *, like: ByName | None = None, free: str = "") -> Vector:
        """Amounts that come nearest to the target.

        minimise  sum over oxides of (weight x (moles reached - moles wanted))^2

        Parameters: target, oxide, or a sum such as "Na2O+K2O" -> moles per mole of flux; weights, the same -> weight, an oxide
        not named is left out of account; like, material -> amount, of a recipe to resemble where the formula leaves a choice
        [any scale]; free, a flux: the others then only keep their proportions among themselves.
        """
        rows = [self._flux_row(), *self._oxide_rows(target, weights, free)]
        goal = [SCALE, *[0.0] * (len(rows) - 1)]
        if like:
            model = [like.get(material.name, 0.0) for material in self.materials]
            size = LIGHT / max(dot(self._flux, model), 1e-9)
            rows += [[LIGHT * (i == j) for j in range(len(model))] for i in range(len(model))]
            goal += [amount * size for amount in model]
        amounts, _ = self._solve(rows, goal)
        return self._scaled(amounts)

    def within(self, goal: Goal, oxides: Collection[str]) -> Vector | None:
        """Amounts that bring each of these oxides within its tolerance of the goal, or None when there are none. Oxides that are
        not asked about may come to anything."""
        if any(goal.moles.get(oxide, 0.0) > goal.tolerance[oxide] and not self.brings(oxide) for oxide in oxides):
            return None
        brought = [oxide for oxide in oxides if self.brings(oxide)]
        if not brought:
            return [0.0] * len(self.materials)
        rows = self._oxide_rows(goal.moles, goal.weights(brought))
        stress = [1.0] * len(rows)
        for _ in range(ROUNDS):
            stressed = [[s * value for value in row] for s, row in zip(stress, rows, strict=True)]
            amounts, residual = self._solve([self._flux_row(), *stressed], [SCALE, *[0.0] * len(rows)])
            if dot(self._flux, amounts) <= 0:
                return None
            amounts = self._scaled(amounts)
            misses = [abs(dot(row, amounts)) for row in rows]
            if max(misses) <= 1:
                return amounts
            # What least squares misses stands square on every mixture, so sum(residual x the misses of any allowed recipe) is
            # at least sum(residual x residual). A recipe inside every tolerance misses at most 1 in each row:
            if dot(residual, residual) > dot(stress, list(map(abs, residual[1:]))):
                return None
            # Neither proved yet: stress what was missed most and try again (C. L. Lawson's way to the smallest greatest miss).
            mean = dot(list(map(mul, stress, stress)), misses) / len(misses)
            stress = [s * sqrt(miss / mean) for s, miss in zip(stress, misses, strict=True)]
        return self._between(rows)

    def _between(self, rows: list[Vector]) -> Vector | None:
        """Amounts at which no row misses 0 by more than 1: two rows for each, one for either edge, with a column of its own for
        the room between. The edges are in proportion to the fluxes."""
        edges, free = [self._flux_row()], []
        for row in rows:
            for side in (1.0, -1.0):
                free.append((len(edges), side))
                edges.append([moles - side * flux for moles, flux in zip(row, self._flux, strict=True)])
        amounts, residual = self._solve(edges, [SCALE, *[0.0] * len(free)], free)
        return self._scaled(amounts) if sqrt(dot(residual, residual)) <= BAND_TOL else None

    def _flux_row(self) -> Vector:
        """The row "fluxes"; its goal is 1, weighed with ``SCALE``."""
        return [SCALE * flux for flux in self._flux]

    def _oxide_rows(self, target: ByName, weights: ByName, free: str = "") -> list[Vector]:
        """A row "weight x (reached - wanted x fluxes)" for each oxide, whose goal is 0. All rows but that of the fluxes ask for
        proportions alone, so the proportions of the answer are right whatever its fluxes total, and it is scaled afterwards.
        Beside a ``free`` flux every other one is asked for as its part of the fluxes without that one."""
        rows = []
        without_free = list(map(sub, self._flux, self._brought(free))) if free else []
        for oxide, weight in weights.items():
            wanted, fluxes = target.get(oxide, 0.0), self._flux
            if free and oxide != free and self.is_flux(oxide):
                wanted, fluxes = wanted / (1 - target.get(free, 0.0)), without_free
            rows.append([weight * (moles - wanted * flux) for moles, flux in zip(self._brought(oxide), fluxes, strict=True)])
        return rows

    def _brought(self, oxide: str) -> Vector:
        """Moles of an oxide or a sum that each material brings."""
        if self.brings(oxide):
            return self._moles[oxide]
        parts = [self._moles[part] for part in oxide.split("+") if part in self._moles]
        return [sum(column) for column in zip(*parts, strict=True)] or [0.0] * len(self.materials)

    def _scaled(self, amounts: Vector) -> Vector:
        fluxes = dot(self._flux, amounts)
        return [amount / fluxes for amount in amounts]

    def _solve(self, rows: Sequence[Vector], goal: Vector, free: Sequence[tuple[int, float]] = ()) -> tuple[Vector, Vector]:
        """Nonnegative least squares of the rows, with a heavy row for each limit below them. ``free`` lists (row, sign) of
        columns that take up what a row may leave open; every limit but a fixed one has one."""
        sides = {AT_LEAST: -HEAVY, AT_MOST: HEAVY}
        open_rows = [(len(rows) + i, sides[limit.kind]) for i, limit in enumerate(self.limits) if limit.kind != FIXED]
        limit_rows = [
            [HEAVY * ((material.name in limit.materials) - limit.pct / 100) for material in self.materials]
            for limit in self.limits
        ]
        columns = [list(column) for column in zip(*rows, *limit_rows, strict=True)]
        for at, sign in (*free, *open_rows):
            column = [0.0] * (len(rows) + len(self.limits))
            column[at] = sign
            columns.append(column)
        amounts, residual = nonnegative_least_squares(columns, [*goal, *[0.0] * len(self.limits)])
        return amounts[: len(self.materials)], residual[: len(rows)]


def used(allowed: Allowed, amounts: list[float]) -> Amounts:
    """Material -> amount, of the materials in use."""
    least = NOTHING * sum(amounts)
    return {material.name: amount for material, amount in zip(allowed.materials, amounts, strict=True) if amount > least}


def variety(allowed: Allowed, first: Amounts, goal: Goal) -> list[Amounts]:
    """Recipes of different materials that all bring the goal within its tolerance, ``first`` in front.

    How: leave out one of the materials of a recipe and look for another recipe among the rest; do the same with what is
    found, until nothing new turns up or ``MOST_TRIES`` have been made. A material that could not be spared once cannot be
    spared when others are left out as well. Every recipe found uses materials of which none is a mixture of the others.

    Returns material -> amount [hundreds of grams per mole of flux].
    """
    found = [first]
    needed: set[str] = set()
    tried: set[frozenset[str]] = set()
    queue: list[tuple[Allowed, frozenset[str], Amounts]] = [(allowed, frozenset(), first)]
    while queue and len(found) < MOST_RECIPES:
        choice, left_out, recipe = queue.pop(0)
        for material in sorted(recipe, key=lambda name: recipe[name]):
            out = left_out | {material}
            if material in needed or out in tried or len(tried) >= MOST_TRIES:
                continue
            tried.add(out)
            fewer = choice.without(material)
            amounts = fewer and fewer.within(goal, goal.tolerance)
            if not fewer or not amounts:
                if not left_out:
                    needed.add(material)
                continue
            other = used(fewer, amounts)
            if all(set(other) != set(known) for known in found):
                found.append(other)
            queue.append((fewer, out, other))
    return found


def mean(recipes: list[Amounts]) -> Amounts:
    """The middle of several recipes for one formula, itself a recipe for it: a little of every material."""
    names = dict.fromkeys(name for recipe in recipes for name in recipe)
    return {name: sum(recipe.get(name, 0.0) for recipe in recipes) / len(recipes) for name in names}
