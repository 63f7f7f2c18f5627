"""The part of the silica-alumina plane that the measured glasses cover, for one set of fluxes with its boron and all the rest.

Every limit of the measured glasses is a straight border in this plane: "no more than 82 mol % silica" says that
82 % of all moles, 0.82 (silica + alumina + rest), is not less than silica. So what is covered is a convex part with corners.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

Corner = tuple[float, float]
"""(silica, alumina) [moles per mole of flux]."""
Span = tuple[float, float]
"""Lowest and highest of a window [moles per mole of flux]."""
_ON_THE_LINE = 1e-9


@dataclass(frozen=True, slots=True)
class Border:
    """A straight border: where ``silica`` x silica + ``alumina`` x alumina + ``rest`` is less than 0, the model may not speak.
    ``words`` say what lies beyond it, such as "silica more than 82 mol %"."""

    silica: float
    alumina: float
    rest: float
    words: str

    def room(self, spot: Corner) -> float:
        """More than 0 on the good side."""
        silica, alumina = spot
        return self.silica * silica + self.alumina * alumina + self.rest


@dataclass(frozen=True, slots=True)
class KnownPart:
    """What is left of a window when everything beyond the borders is cut away. Parameters: corners, of the convex part, in order,
    none when nothing is left; beyond, in words, what lies past each edge that is not an edge of the window, none when the whole
    window is covered."""

    corners: tuple[Corner, ...]
    beyond: tuple[str, ...]


def known_part(borders: Iterable[Border], silica: Span, alumina: Span) -> KnownPart:
    """Cut a window at every border in turn.

    >>> too_much = Border(-1, 0, 3.0, "silica more than 3")
    >>> known_part([too_much, Border(0, -1, 9, "alumina more than 9")], (0, 4), (0, 1))
    KnownPart(corners=((0, 0), (3.0, 0.0), (3.0, 1.0), (0, 1)), beyond=('silica more than 3',))

    Limits: where nothing is left, the words name the borders that rule out the whole window, or, when none does so alone, those
    that do it together. Source: the cutting of a convex shape edge by edge is common knowledge; written from scratch.
    """
    (left, right), (bottom, top) = silica, alumina
    window = [(left, bottom), (right, bottom), (right, top), (left, top)]
    corners, cutting = window, []
    for border in borders:
        if any(border.room(corner) < 0 for corner in corners):
            cutting.append(border)
            corners = list(_cut(corners, border))
    if len(corners) > 2:  # a border that lies wholly in what another has cut away need not be told
        told = [border for border in cutting if sum(abs(border.room(corner)) < _ON_THE_LINE for corner in corners) > 1]
        return KnownPart(tuple(corners), tuple(border.words for border in told))
    everywhere = [border for border in cutting if all(border.room(corner) < 0 for corner in window)]
    return KnownPart((), tuple(border.words for border in everywhere or cutting))


def _cut(corners: list[Corner], border: Border) -> Iterator[Corner]:
    """Corners of what lies on the good side."""
    for here, there in zip(corners, (*corners[1:], *corners[:1]), strict=True):
        mine, its = border.room(here), border.room(there)
        if mine >= 0:
            yield here
        if (mine < 0) != (its < 0):
            part = mine / (mine - its)
            (silica, alumina), (further, higher) = here, there
            spot = silica + part * (further - silica), alumina + part * (higher - alumina)
            if spot not in (here, there):
                yield spot
