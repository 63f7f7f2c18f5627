"""Lines of equal value through a grid of numbers, found by marching squares."""

from collections.abc import Iterator, Sequence

LevelLine = tuple[tuple[float, float], ...]
"""Points of one line; a ring ends where it begins."""
Side = tuple[int, int, int]
"""A side shared by two cells: column, row, and 0 for a side along the row, 1 for one across it."""
_SIDES: tuple[Side, ...] = ((0, 0, 0), (1, 0, 1), (0, 1, 0), (0, 0, 1))
"""Sides of a cell, counter-clockwise from its first corner: side k runs from corner k to the next."""


def level_lines(
    across: Sequence[float], up: Sequence[float], values: Sequence[Sequence[float]], levels: Sequence[float]
) -> tuple[tuple[LevelLine, ...], ...]:
    """Lines of equal value, for each level those that are there.

    Parameters: across, up, where the columns and the rows of the grid stand, rising; values, row by row, taken to change evenly
    between neighbours; levels, the values to draw.

    A corner that has the very value counts as above it. Where a cell is a saddle (two opposite corners above), the mean of its
    corners decides which two are joined. Walking along a line, what is above lies to the left. The open ends of a line lie on the
    edge of the grid; every other line is a ring.

    >>> hill = [[0, 0, 0], [0, 2, 0], [0, 0, 0]]
    >>> level_lines((0, 1, 2), (0, 1, 2), hill, [1])
    ((((0.5, 1), (1, 0.5), (1.5, 1), (1, 1.5), (0.5, 1)),),)

    Source: the rule is common knowledge in computer graphics; written from scratch.
    """
    steps: list[dict[Side, Side]] = [{} for _ in levels]
    for j in range(len(up) - 1):
        below, above = values[j], values[j + 1]
        for i in range(len(across) - 1):
            cell = (below[i], below[i + 1], above[i + 1], above[i])
            least, most = min(cell), max(cell)
            for level, step in zip(levels, steps, strict=True):
                if least < level <= most:
                    for start, end in _cross(cell, level):
                        step[_side(i, j, start)] = _side(i, j, end)
    return tuple(
        tuple(_points(across, up, values, level, edges) for edges in _chains(step))
        for level, step in zip(levels, steps, strict=True)
    )


def _cross(cell: tuple[float, float, float, float], level: float) -> Iterator[tuple[int, int]]:
    """Sides where a line enters and leaves a cell: it enters where the walk round the cell comes down through the level."""
    high = [value >= level for value in cell]
    starts = [k for k in range(4) if high[k] and not high[(k + 1) % 4]]
    if len(starts) == 1:
        (end,) = (k for k in range(4) if not high[k] and high[(k + 1) % 4])
        yield starts[0], end
    else:
        turn = 1 if sum(cell) / 4 >= level else -1
        yield from ((start, (start + turn) % 4) for start in starts)


def _side(i: int, j: int, k: int) -> Side:
    right, over, direction = _SIDES[k]
    return i + right, j + over, direction


def _chains(step: dict[Side, Side]) -> Iterator[list[Side]]:
    """Steps from side to side joined to walks: first those that begin at the edge of the grid, then the rings."""
    left, arrivals = dict(step), set(step.values())
    for start in [*(side for side in step if side not in arrivals), *step]:
        if start in left:
            walk = [start]
            while walk[-1] in left:
                walk.append(left.pop(walk[-1]))
            yield walk


def _points(
    across: Sequence[float], up: Sequence[float], values: Sequence[Sequence[float]], level: float, edges: list[Side]
) -> LevelLine:
    points: list[tuple[float, float]] = []
    for i, j, direction in edges:
        here, there = values[j][i], values[j + direction][i + 1 - direction]
        part = (level - here) / (there - here)
        if direction:
            point = across[i], up[j] + part * (up[j + 1] - up[j])
        else:
            point = across[i] + part * (across[i + 1] - across[i]), up[j]
        if not points or point != points[-1]:
            points.append(point)
    return tuple(points)
