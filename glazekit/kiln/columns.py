"""The first line of a pasted table: its column names, or one sentence about the one we do not know."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.ground.errors import GlazekitError, nearest_name, quoted


def column_names(cells: Sequence[str], known: Sequence[str], what: str, otherwise: str, error: type[GlazekitError]) -> list[str]:
    """Names of the columns in small letters.

    Parameters
    ----------
    cells : the first line.
    known : names there can be.
    what : subject and verb, such as "the schedule has".
    otherwise : what to say when nothing known is near.

    Raises ``error`` for a name that is not known, with the nearest.

    >>> column_names(["To_C"], ["to_c"], "the schedule has", "", GlazekitError)
    ['to_c']
    """
    names = [cell.casefold() for cell in cells]
    for name in names:
        if name not in known:
            near = nearest_name(name, known)
            raise error(f"{what} a column {quoted(name)}; " + (f"did you mean {near}?" if near else otherwise))
    return names
