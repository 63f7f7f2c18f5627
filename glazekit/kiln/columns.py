"""The first line of a pasted table: its column names, or one sentence about the one we do not know."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.ground.errors import GlazekitError, unknown_name


def column_names(cells: Sequence[str], known: Sequence[str], what: str, otherwise: str, error: type[GlazekitError]) -> list[str]:
    """Names of the columns in small letters.

    Parameters
    ----------
    cells : the first line.
    known : names there can be.
    what : begins the error, such as "the schedule".
    otherwise : what to say when nothing known is near.

    Raises ``error`` for a name that is not known, with the nearest.

    >>> column_names(["To_C"], ["to_c"], "the schedule", "", GlazekitError)
    ['to_c']
    """
    names = [cell.casefold() for cell in cells]
    for name in names:
        if name not in known:
            raise unknown_name(error, "column", name, known, where=f"{what}: ", otherwise=otherwise)
    return names
