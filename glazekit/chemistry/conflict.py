"""Why a formula cannot be made: a smallest set of oxides that these materials cannot bring together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from glazekit.chemistry.allowed import Allowed
from glazekit.chemistry.unity import flux_symbols
from glazekit.chemistry.ways_out import accept_words, brings, join, listed, source_words, sources, two_digits
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock

PINNED = 1e4
"""Weight of the oxides that are held while another one is let go."""
HIT = 1e-6
"""An oxide missed by less than this part of its tolerance is met exactly."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why a formula cannot be made.

    Parameters
    ----------
    oxides : a smallest set of oxides whose wanted amounts cannot be met together; any smaller set can.
    sentence : the same in words.
    ways_out : what would help, in words.
    instead : (oxide, moles): let this one oxide go to this amount and the others of the set can be met [mol].
    helpers : materials of the stock which, allowed as well, end this conflict.
    absent : wanted oxides that none of the materials brings.
    """

    oxides: tuple[str, ...]
    sentence: str
    ways_out: tuple[str, ...]
    instead: tuple[tuple[str, float], ...] = ()
    helpers: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()


def find_conflict(
    allowed: Allowed,
    target: Mapping[str, float],
    tolerance: Mapping[str, float],
    misses: Mapping[str, float],
    stock: Stock,
) -> Conflict:
    """The conflict in a formula that is known to be impossible.

    Parameters
    ----------
    target : oxide -> moles wanted [mol].
    tolerance : oxide -> how far from it is close enough, for every oxide there is [mol].
    misses : oxide -> wanted minus reached in the nearest recipe [mol]; of several smallest sets the one with the larger
        misses is named.
    stock : where to look for materials that would help.
    """
    asked = [oxide for oxide in OXIDE_ORDER if target.get(oxide) or allowed.brings(oxide)]
    asked.sort(key=lambda oxide: -round(abs(misses.get(oxide, 0.0)), 3))

    # When every oxide for itself is close enough and only the fluxes' total is not, that total belongs to the conflict.
    total_1 = allowed.within(target, tolerance, asked, fluxes_total_1=False) is not None

    def possible(oxides: Iterable[str], choice: Allowed) -> bool:
        return choice.within(target, tolerance, tuple(oxides), fluxes_total_1=total_1) is not None

    def inside(amounts: list[float], choice: Allowed) -> set[str]:
        formula = choice.formula(amounts)
        wanted = [oxide for oxide in OXIDE_ORDER if target.get(oxide) or oxide in formula]
        return {oxide for oxide in wanted if abs(formula.get(oxide, 0.0) - target.get(oxide, 0.0)) <= tolerance[oxide]}

    def met(oxides: Iterable[str]) -> set[str] | None:
        """The oxides that a recipe for these oxides meets, as many others as it can; None if there is no such recipe."""
        some = tuple(oxides)
        if not possible(some, allowed):
            return None
        weights = {oxide: (PINNED if oxide in some else 1.0) / tolerance[oxide] for oxide in asked}
        return inside(allowed.nearest(target, weights, fluxes_total_1=total_1), allowed).union(some)

    plain = allowed.nearest(target, {oxide: 1 / tolerance[oxide] for oxide in asked}, fluxes_total_1=total_1)
    reached = allowed.formula(plain)
    missed = {oxide for oxide in asked if abs(reached.get(oxide, 0.0) - target.get(oxide, 0.0)) > HIT * tolerance[oxide]}
    chosen = tuple(sorted(smallest_impossible(asked, missed, met), key=OXIDE_ORDER.index))
    absent = tuple(oxide for oxide in OXIDE_ORDER if target.get(oxide, 0.0) > tolerance[oxide] and not allowed.brings(oxide))
    instead = () if absent else tuple(_instead(allowed, target, chosen, total_1))
    missing = tuple(oxide for oxide, moles in instead if moles < target.get(oxide, 0.0))
    over = tuple(oxide for oxide, moles in instead if moles > target.get(oxide, 0.0))

    def ends_it(choice: Allowed) -> bool:
        return possible(chosen, choice)

    def makes_all(choice: Allowed) -> bool:
        """Is the nearest recipe close enough in every oxide; a quick look, which may miss a narrow yes."""
        oxides = [oxide for oxide in OXIDE_ORDER if target.get(oxide) or choice.brings(oxide)]
        amounts = choice.nearest(target, {oxide: 1 / tolerance[oxide] for oxide in oxides})
        return inside(amounts, choice).issuperset(oxides)

    ways: list[str] = []
    helpers: list[Material] = []
    in_want: list[tuple[str, ...]] = [(oxide,) for oxide in absent] or ([missing] if missing else [])
    for wanted in in_want:
        found, enough = sources(wanted, over, allowed, stock, None if absent else ends_it, makes_all)
        ways.append(source_words(wanted, over, found, enough))
        helpers += found
    for limit in allowed.limits:
        if not absent and ends_it(replace(allowed, limits=tuple(other for other in allowed.limits if other is not limit))):
            ways.append(f"loosen a limit: {limit}")
    ways += accept_words(instead, target, flux_symbols(allowed.colour_fluxes_counted))
    return Conflict(
        oxides=chosen,
        sentence=_sentence(chosen, target, instead, absent, allowed),
        ways_out=tuple(ways),
        instead=instead,
        helpers=tuple(dict.fromkeys(material.name for material in helpers)),
        absent=absent,
    )


def smallest_impossible(oxides: Sequence[str], suspects: set[str], met: Callable[[Iterable[str]], set[str] | None]) -> set[str]:
    """A smallest set that cannot be met; the whole list is known to be impossible.

    First, a set from which nothing can be spared is found by trying to spare each oxide. Then every smaller set is tried,
    small ones first; sets inside one that was met before need no trying, and that is nearly all of them.

    Parameters
    ----------
    oxides : the most telling first.
    suspects : oxides that probably cannot be met together already, which saves time; the search stands without.
    met : for a set, everything that a recipe for it meets, the set itself included; None when there is no recipe for it.

    >>> sorted(smallest_impossible(["a", "b", "c"], set(), lambda s: None if {"a", "c"} <= set(s) else set(s)))
    ['a', 'c']
    """
    known: list[set[str]] = []

    def impossible(some: Iterable[str]) -> bool:
        some = set(some)
        if any(some <= good for good in known):
            return False
        good = met(some)
        if good is None:
            return True
        known.append(good)
        return False

    smallest = set(suspects) if suspects and impossible(suspects) else set(oxides)
    for oxide in reversed(oxides):
        if oxide in smallest and impossible(smallest - {oxide}):
            smallest.discard(oxide)
    for size in range(1, len(smallest)):
        for some in combinations(oxides, size):
            if impossible(some):
                return set(some)
    return smallest


def _instead(
    allowed: Allowed, target: Mapping[str, float], chosen: tuple[str, ...], total_1: bool
) -> Iterable[tuple[str, float]]:
    """For each oxide of the set the nearest amount at which the others of the set can be met."""
    for oxide in chosen:
        if allowed.brings(oxide):
            weights = {other: 1.0 if other == oxide else PINNED for other in chosen}
            amounts = allowed.nearest(target, weights, fluxes_total_1=total_1)
            yield oxide, allowed.formula(amounts)[oxide]


def _sentence(
    chosen: tuple[str, ...],
    target: Mapping[str, float],
    instead: tuple[tuple[str, float], ...],
    absent: tuple[str, ...],
    allowed: Allowed,
) -> str:
    if absent:
        return f"None of these materials brings {listed(absent, 'or')}."
    limits = " and limits" if allowed.limits else ""
    wanted = [_amount(oxide, target.get(oxide, 0.0)) for oxide in chosen]
    together = " together" if len(chosen) > 1 else ""
    text = f"{join(wanted, 'and')} cannot be met{together} with these materials{limits}"
    missing = [oxide for oxide, moles in instead if moles < target.get(oxide, 0.0)]
    over = [oxide for oxide, moles in instead if moles > target.get(oxide, 0.0)]
    shown = over[-1:] or missing[-1:]
    if shown:
        (oxide,) = shown
        moles = dict(instead)[oxide]
        others = [_amount(other, target.get(other, 0.0)) for other in chosen if other != oxide]
        given = f"with {join(others, 'and')}, " if others else ""
        reach = f"at {'least' if over else 'most'} {two_digits(moles, target.get(oxide, 0.0))[0]}"
        text += f": {given}{OXIDES[oxide].name} comes to {reach}"
    text = text[0].upper() + text[1:] + "."
    for oxide in missing:
        sources = [material for material in allowed.materials if brings(material, oxide)]
        also = [other for other in over if sources and all(brings(material, other) for material in sources)]
        if also:
            names = join([material.name for material in sources], "and")
            text += f" Here {OXIDES[oxide].name} comes only with {listed(also, 'and')}, from {names}."
    return text


def _amount(oxide: str, moles: float) -> str:
    return f"{OXIDES[oxide].name} {moles:.2f}" if moles >= 0.005 else f"no {OXIDES[oxide].name}"
