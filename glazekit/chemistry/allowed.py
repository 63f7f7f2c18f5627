"""Every recipe that a choice of materials and limits allows, and the one of them that comes nearest to a formula."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import sqrt
from operator import mul

from glazekit.chemistry.nonnegative import Vector, dot, nonnegative_least_squares
from glazekit.chemistry.shares import AT_LEAST, AT_MOST, FIXED, ShareLimit
from glazekit.chemistry.unity import flux_symbols
from glazekit.ground.errors import RecipeError
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER

SCALE = 200.0
"""Common weight of the rows, so that a miss of 0.005 moles counts as 1 and the flux row stands on an equal footing."""
HEAVY = 1e8
"""Weight of a limit: so much heavier than a miss in an oxide that limits hold to far better than a scale can show."""
LIGHT = 0.05
"""Weight of staying like a given recipe: decides only between recipes that are equally near to the formula."""
ROUNDS = 4
"""After so many tries by least squares, which nearly always decide, the slower exact way is taken."""
BAND_TOL = 1e-5


@dataclass(frozen=True, slots=True)
class Allowed:
    """The recipes made of these materials within these limits, as amounts per mole of flux.

    An amount is in hundreds of grams, and the fluxes of all amounts together make one mole, so that the moles of an oxide
    are its number in the unity formula.

    Parameters
    ----------
    materials : each may be used, none below zero.
    limits : on shares of the base.
    colour_fluxes_counted : do FeO, MnO, CoO, CuO and NiO count among the fluxes.

    Raises RecipeError when no recipe is left, or none with a flux in it.
    """

    materials: tuple[Material, ...]
    limits: tuple[ShareLimit, ...] = ()
    colour_fluxes_counted: bool = False
    oxides: tuple[str, ...] = field(init=False)
    _moles: dict[str, Vector] = field(init=False, repr=False, compare=False)
    _flux: Vector = field(init=False, repr=False, compare=False)
    _limit_rows: list[Vector] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        brought = [{oxide: 100 * moles for oxide, moles in material.moles_per_g} for material in self.materials]
        oxides = tuple(oxide for oxide in OXIDE_ORDER if any(oxide in moles for moles in brought))
        moles = {oxide: [column.get(oxide, 0.0) for column in brought] for oxide in oxides}
        fluxes = [moles[oxide] for oxide in flux_symbols(self.colour_fluxes_counted) if oxide in moles]
        object.__setattr__(self, "oxides", oxides)
        object.__setattr__(self, "_moles", moles)
        object.__setattr__(self, "_flux", [sum(column) for column in zip(*fluxes, strict=True)] or [0.0] * len(brought))
        rows = [
            [HEAVY * ((material.name in limit.materials) - limit.pct / 100) for material in self.materials]
            for limit in self.limits
        ]
        object.__setattr__(self, "_limit_rows", rows)

    def check(self) -> None:
        """Stop with one sentence when there is no recipe at all, or none with a flux."""
        names = ", ".join(material.name for material in self.materials)
        if not any(self._flux):
            raise RecipeError(f"none of {names} brings a flux, so there is nothing to set to 1: allow a material with a flux")
        for row, lost in (([1.0] * len(self.materials), "no recipe is left"), (self._flux, "no recipe with a flux is left")):
            _, (miss,) = self._solve([[value / max(row) for value in row]], [1.0])
            if abs(miss) > 0.5:
                raise RecipeError(f"with these limits {lost}: {'; '.join(map(str, self.limits))}")

    def without(self, material: str) -> Allowed | None:
        """The same choice with one material less; None when a limit asks for it or nothing would be left."""
        for limit in self.limits:
            if limit.kind != AT_MOST and limit.pct and limit.materials == (material,):
                return None
        rest = tuple(one for one in self.materials if one.name != material)
        limits = []
        for limit in self.limits:
            names = tuple(name for name in limit.materials if name != material)
            if names:
                limits.append(replace(limit, materials=names))
            elif limit.kind == AT_LEAST and limit.pct:
                return None
        return replace(self, materials=rest, limits=tuple(limits)) if rest else None

    def formula(self, amounts: Sequence[float]) -> dict[str, float]:
        """Moles of every oxide that these amounts bring [mol]."""
        return {oxide: dot(row, amounts) for oxide, row in self._moles.items()}

    def brings(self, oxide: str) -> bool:
        """Does any of the materials bring this oxide."""
        return oxide in self._moles

    def nearest(
        self,
        target: Mapping[str, float],
        weights: Mapping[str, float],
        *,
        fluxes_total_1: bool = True,
        like: Mapping[str, float] | None = None,
    ) -> Vector:
        """Amounts that come nearest to the target.

        minimise  sum over oxides of (weight x (moles reached - moles wanted))^2

        Parameters
        ----------
        target : oxide -> moles per mole of flux.
        weights : oxide -> weight; an oxide not named is left out of account.
        fluxes_total_1 : must the fluxes of the recipe total 1, as those of a unity formula do.
        like : material -> share of a recipe to resemble where the formula leaves a choice [any scale].
        """
        rows, goal = self._rows(target, weights, fluxes_total_1)
        if like:
            shares = [like.get(material.name, 0.0) for material in self.materials]
            size = LIGHT / max(dot(self._flux, shares), 1e-9)
            rows += [[LIGHT * (i == j) for j in range(len(shares))] for i in range(len(shares))]
            goal += [share * size for share in shares]
        amounts, _ = self._solve(rows, goal)
        return self._scaled(amounts) if fluxes_total_1 else amounts

    def within(
        self, target: Mapping[str, float], tolerance: Mapping[str, float], oxides: Collection[str], *, fluxes_total_1: bool
    ) -> Vector | None:
        """Amounts that bring each of these oxides within its tolerance of the target, or None when there are none.

        Parameters
        ----------
        target, tolerance : oxide -> moles [mol].
        oxides : those asked about; all others may be anything.
        fluxes_total_1 : must the fluxes of the recipe total 1, as those of a unity formula do.
        """
        if any(target.get(oxide, 0.0) > tolerance[oxide] and not self.brings(oxide) for oxide in oxides):
            return None
        wanted = [oxide for oxide in oxides if self.brings(oxide)]
        if not wanted:
            return [0.0] * len(self.materials)
        rows, goal = self._rows(target, {oxide: 1 / tolerance[oxide] for oxide in wanted}, fluxes_total_1)
        first = len(rows) - len(wanted)  # the row of the fluxes, if there is one, is no oxide
        stress = [1.0] * len(rows)
        for _ in range(ROUNDS):
            stressed = [[s * share for share in row] for s, row in zip(stress, rows, strict=True)]
            amounts, own = self._solve(stressed, list(map(mul, stress, goal)))
            if fluxes_total_1:
                if dot(self._flux, amounts) <= 0:
                    return None
                amounts = self._scaled(amounts)
            misses = [abs(dot(row, amounts) - value) for row, value in zip(rows[first:], goal[first:], strict=True)]
            if max(misses) <= 1:
                return amounts
            # What least squares misses stands square on every mixture, so sum(own x the misses of any allowed recipe) is at
            # least sum(own x own). A recipe inside every tolerance misses at most 1 in each row:
            if dot(own, own) > dot(stress[first:], list(map(abs, own[first:]))):
                return None
            # Neither proved yet: stress what was missed most and try again (C. L. Lawson's way to the smallest greatest miss).
            mean = dot(list(map(mul, stress[first:], stress[first:])), misses) / len(misses)
            stress[first:] = [s * sqrt(miss / mean) for s, miss in zip(stress[first:], misses, strict=True)]
        return self._between(rows, goal, first)

    def _between(self, rows: list[Vector], goal: Vector, first: int) -> Vector | None:
        """Amounts at which no row from ``first`` on misses its goal by more than 1: two rows for each, one for either edge,
        with a column of its own for the room between. When the fluxes must total 1 the edges are in proportion to them.
        """
        edges, values, free = rows[:first], goal[:first], []
        for row, value in zip(rows[first:], goal[first:], strict=True):
            for side in (1.0, -1.0):
                free.append((len(edges), side))
                edges.append([share - first * side * flux for share, flux in zip(row, self._flux, strict=True)])
                values.append(value + (1 - first) * side)
        amounts, residual = self._solve(edges, values, free)
        if sqrt(dot(residual, residual)) > BAND_TOL:
            return None
        return self._scaled(amounts) if first else amounts

    def _rows(
        self, target: Mapping[str, float], weights: Mapping[str, float], fluxes_total_1: bool
    ) -> tuple[list[Vector], Vector]:
        """Rows and goal of the least squares.

        Plainly, a row "weight x reached" is to be "weight x wanted". When the fluxes must total 1, a first row "fluxes" is
        to be 1 and each other row "weight x (reached - wanted x fluxes)" is to be 0: all rows but the first ask for
        proportions alone, so the proportions of the answer are right whatever its fluxes total, and it is scaled afterwards.
        """
        if not fluxes_total_1:
            rows = [[weight * moles for moles in self._brought(oxide)] for oxide, weight in weights.items()]
            return rows, [weight * target.get(oxide, 0.0) for oxide, weight in weights.items()]
        rows = [[SCALE * flux for flux in self._flux]]
        for oxide, weight in weights.items():
            wanted = target.get(oxide, 0.0)
            pairs = zip(self._brought(oxide), self._flux, strict=True)
            rows.append([weight * (moles - wanted * flux) for moles, flux in pairs])
        return rows, [SCALE] + [0.0] * len(weights)

    def _brought(self, oxide: str) -> Vector:
        return self._moles.get(oxide) or [0.0] * len(self.materials)

    def _scaled(self, amounts: Vector) -> Vector:
        fluxes = dot(self._flux, amounts)
        return [amount / fluxes for amount in amounts]

    def _solve(self, rows: Sequence[Vector], goal: Vector, free: Sequence[tuple[int, float]] = ()) -> tuple[Vector, Vector]:
        """Nonnegative least squares of the rows, with a heavy row for each limit below them.

        ``free`` lists (row, sign) of columns that take up what a row may leave open; every limit but a fixed share has one.

        Returns the amounts and the residual of the rows.
        """
        sides = {AT_LEAST: -HEAVY, AT_MOST: HEAVY}
        open_rows = [(len(rows) + i, sides[limit.kind]) for i, limit in enumerate(self.limits) if limit.kind != FIXED]
        columns = [list(column) for column in zip(*rows, *self._limit_rows, strict=True)]
        for at, sign in (*free, *open_rows):
            column = [0.0] * (len(rows) + len(self.limits))
            column[at] = sign
            columns.append(column)
        amounts, residual = nonnegative_least_squares(columns, [*goal, *[0.0] * len(self.limits)])
        return amounts[: len(self.materials)], residual[: len(rows)]
