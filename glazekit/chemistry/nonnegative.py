"""Least squares without negatives: the nearest mixture when nothing can be taken back out of the bucket."""

from collections.abc import Sequence
from math import inf, sqrt
from operator import mul

Vector = list[float]
SLOPE_TOL = 1e-14
"""A column is worth trying when its slope, per its own length, is above this part of the goal's length."""
NEW_DIRECTION_TOL = 1e-12
"""A column is a mixture of those already in use when less than this part of its length points anywhere new."""
TWICE = 0.1
"""A column that keeps less than this part of its length once the others are taken out of it is cleaned once more."""
ROUNDS_PER_COLUMN = 5


def dot(left: Sequence[float], right: Sequence[float]) -> float:
    """Sum of products. The two innermost loops below write it out, which saves a fifth of the time."""
    return sum(map(mul, left, right), 0.0)


class _Used:
    """The columns in use, and the same space spanned by perpendicular unit vectors (Gram-Schmidt).

    column k = sum over i <= k of triangle[k][i] x units[i];  ``along[i]`` is how far the goal goes along units[i], and
    ``rests[i]`` what of the goal lies along none of the first i of them.
    """

    def __init__(self, columns: Sequence[Sequence[float]], goal: Sequence[float]) -> None:
        self.columns = columns
        self.lengths = [sqrt(dot(column, column)) for column in columns]
        self.order: list[int] = []
        self.units: list[Vector] = []
        self.triangle: list[Vector] = []
        self.along: Vector = []
        self.rests: list[Vector] = [list(goal)]

    def add(self, index: int) -> bool:
        """Take a column into use; False when it points nowhere new."""
        rest, length = list(self.columns[index]), self.lengths[index]
        column = [0.0] * len(self.units)
        before, new = inf, length
        while new < TWICE * before:  # what rounding leaves along the others counts as soon as little is left: once more
            for i, unit in enumerate(self.units):
                along = sum(map(mul, unit, rest))
                column[i] += along
                rest = [a - along * b for a, b in zip(rest, unit, strict=True)]
            before, new = new, sqrt(dot(rest, rest))
            if new <= NEW_DIRECTION_TOL * length:
                return False
        unit = [a / new for a in rest]
        self.order.append(index)
        self.units.append(unit)
        self.triangle.append([*column, new])
        rest = self.rests[-1]
        along = dot(unit, rest)
        self.along.append(along)
        self.rests.append([a - along * b for a, b in zip(rest, unit, strict=True)])
        return True

    def keep(self, indices: list[int]) -> None:
        """Start again with these columns alone."""
        for kept in (self.order, self.units, self.triangle, self.along):
            kept.clear()
        del self.rests[1:]
        for index in indices:
            self.add(index)

    def amounts(self) -> Vector:
        """Plain least squares on the columns in use, by substitution from the last to the first; negatives may appear."""
        found = [0.0] * len(self.order)
        left = list(self.along)
        for k in range(len(self.order) - 1, -1, -1):
            column = self.triangle[k]
            found[k] = left[k] / column[k]
            for i in range(k):
                left[i] -= found[k] * column[i]
        return found


def nonnegative_least_squares(columns: Sequence[Sequence[float]], goal: Sequence[float]) -> tuple[Vector, Vector]:
    """Amounts, none negative, whose mixture of the columns comes nearest to the goal.

    minimise |sum over j of amount_j x column_j - goal|  with every amount 0 or more

    How: begin with nothing in use. Take the column with the steepest slope towards the goal into use, solve plain least
    squares on the columns in use; if an amount would turn negative, go only as far as the first one that reaches zero and
    put that one out of use. Stop when no column slopes towards the goal. What is in use is never a mixture of the others,
    so of many equally good answers this gives one with few columns.

    Parameters: columns, as long as the goal; they may repeat, depend on each other, or be all zero.
    Returns (amounts, residual = goal - mixture).

    >>> amounts, residual = nonnegative_least_squares([[1, 0], [1, 1]], [1, -1])
    >>> amounts, residual
    ([1.0, 0.0], [0.0, -1.0])

    Limits: numbers of very different size (beyond 1e9 to 1) lose digits.
    Source: C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, 1974, chapter 23.
    """
    amounts = [0.0] * len(columns)
    used = _Used(columns, goal)
    steep = SLOPE_TOL * sqrt(dot(goal, goal))
    resting: set[int] = set()  # columns that turned out useless since the last step forward
    for _ in range(ROUNDS_PER_COLUMN * len(columns)):
        residual = used.rests[-1]
        best, best_slope = -1, steep
        for index, column in enumerate(columns):
            if used.lengths[index] and index not in used.order and index not in resting:
                slope = sum(map(mul, column, residual)) / used.lengths[index]
                if slope > best_slope:
                    best, best_slope = index, slope
        if best < 0:
            break
        if not used.add(best):
            resting.add(best)
        elif used.along[-1] <= 0:  # only rounding made it look useful
            used.keep(used.order[:-1])
            resting.add(best)
        else:
            resting.clear()
            _step(used, amounts)
    return amounts, used.rests[-1]


def nearest_mixture(
    rows: Sequence[Sequence[float]], goal: Sequence[float], like: Sequence[float], pull: Sequence[float]
) -> tuple[Vector, Vector]:
    """Amounts, none negative, that bring every row to its goal; where the rows leave a choice they stay like given amounts.

    minimise sum over rows of (row . amounts - goal)^2 + sum over j of (pull_j x (amount_j - like_j))^2

    Parameters: rows with one number for each amount; goal of each row; amounts to stay like, and how lightly each is drawn there.
    Returns (amounts, what each row misses).
    """
    drawn = [[light if i == j else 0.0 for j in range(len(like))] for i, light in enumerate(pull)]
    columns = list(zip(*rows, *drawn, strict=True))
    amounts, misses = nonnegative_least_squares(columns, [*goal, *map(mul, pull, like)])
    return amounts, misses[: len(rows)]


def _step(used: _Used, amounts: Vector) -> None:
    """Move the amounts to the least squares of the columns in use, stopping at zero and dropping what gets there."""
    while used.order:
        found = used.amounts()
        wanted = dict(zip(used.order, found, strict=True))
        if min(found) > 0:
            for index, amount in wanted.items():
                amounts[index] = amount
            return
        # For a falling amount: the part of the way at which it reaches zero.
        zero_at = {
            index: amounts[index] / (amounts[index] - amount) if amounts[index] else 0.0
            for index, amount in wanted.items()
            if amount <= 0
        }
        reach = min(zero_at.values())
        for index, amount in wanted.items():
            stops = zero_at.get(index, 2.0) <= reach
            amounts[index] = 0.0 if stops else amounts[index] + reach * (amount - amounts[index])
        used.keep([index for index in used.order if amounts[index] > 0])
