"""The part of the silica-alumina plane that the measured glasses cover, for one set of fluxes with its boron and all the rest.

Every limit of the measured glasses is a straight line in this plane: "no more than 82 mol % silica" says that
82 % of all moles, 0.82 (silica + alumina + rest), is not less than silica. So what is covered is a convex part with corners.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

Spot = tuple[float, float]
"""(silica, alumina) [moles per mole of flux]."""
_ON_THE_LINE = 1e-9


@dataclass(frozen=True, slots=True)
class Limit:
    """A straight limit: where ``silica`` x silica + ``alumina`` x alumina + ``rest`` is less than 0, the model may not speak.

    Parameters
    ----------
    silica, alumina, rest : of the line.
    words : what lies beyond it, such as "silica more than 82 mol %".
    """

    silica: float
    alumina: float
    rest: float
    words: str

    def at(self, spot: Spot) -> float:
        """More than 0 on the good side."""
        return self.silica * spot[0] + self.alumina * spot[1] + self.rest


@dataclass(frozen=True, slots=True)
class KnownPart:
    """What is left of a window when everything beyond the limits is cut away.

    Parameters
    ----------
    corners : of the convex part, in order; none when nothing is left.
    beyond : in words, what lies past each edge that is not an edge of the window; none when the whole window is covered.
    """

    corners: tuple[Spot, ...]
    beyond: tuple[str, ...]


def known_part(limits: Iterable[Limit], silica: tuple[float, float], alumina: tuple[float, float]) -> KnownPart:
    """Cut a window at every limit in turn.

    Parameters
    ----------
    limits : straight limits.
    silica, alumina : lowest and highest of the window [moles per mole of flux].

    >>> too_much = Limit(-1, 0, 3.0, "silica more than 3")
    >>> known_part([too_much, Limit(0, -1, 9, "alumina more than 9")], (0, 4), (0, 1))
    KnownPart(corners=((0, 0), (3.0, 0.0), (3.0, 1.0), (0, 1)), beyond=('silica more than 3',))

    Limits: where nothing is left, the words name the limits that rule out the whole window, or, when none does so alone, those
    that do it together.
    Source: the cutting of a convex shape edge by edge is common knowledge; written from scratch.
    """
    window = [(silica[0], alumina[0]), (silica[1], alumina[0]), (silica[1], alumina[1]), (silica[0], alumina[1])]
    corners, cutting = window, []
    for limit in limits:
        if any(limit.at(corner) < 0 for corner in corners):
            cutting.append(limit)
            corners = list(_cut(corners, limit))
    if len(corners) > 2:  # a limit that lies wholly in what another has cut away need not be told
        told = [limit for limit in cutting if sum(abs(limit.at(corner)) < _ON_THE_LINE for corner in corners) > 1]
        return KnownPart(tuple(corners), tuple(limit.words for limit in told))
    everywhere = [limit for limit in cutting if all(limit.at(corner) < 0 for corner in window)]
    return KnownPart((), tuple(limit.words for limit in everywhere or cutting))


def _cut(corners: list[Spot], limit: Limit) -> Iterator[Spot]:
    """Corners of what lies on the good side."""
    for here, there in zip(corners, (*corners[1:], corners[0]), strict=True):
        mine, its = limit.at(here), limit.at(there)
        if mine >= 0:
            yield here
        if (mine < 0) != (its < 0):
            part = mine / (mine - its)
            spot = here[0] + part * (there[0] - here[0]), here[1] + part * (there[1] - here[1])
            if spot not in (here, there):
                yield spot
