"""Why a formula cannot be made: a smallest set of oxides that these materials cannot bring together, and ways out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from glazekit.chemistry.allowed import Allowed
from glazekit.chemistry.unity import ALKALIS, flux_symbols
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock

PINNED = 1e4
"""Weight of the oxides that are held while another one is let go."""
MOST_HELPERS = 5
NOT_OFFERED = ("poison",)
"""A material with one of these cautions is never put forward as a way out."""
NOT_SOLD = "reference mineral"
"""Begins the role of an ideal mineral that is in the stock for comparison only."""
MAIN_SHARE = 0.08
"""A material is a source of an oxide that makes at least this share of its moles."""
BY_THE_WAY = 0.02
"""A material is free of an oxide that makes less than this share of its moles."""


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
    target, tolerance : oxide -> moles, for every oxide of the target or the materials [mol].
    misses : oxide -> wanted minus reached in the nearest recipe [mol]; of several smallest sets the one with the larger
        misses is named.
    stock : where to look for materials that would help.
    """
    order = sorted(tolerance, key=lambda oxide: (-round(abs(misses.get(oxide, 0.0)), 3), OXIDE_ORDER.index(oxide)))

    def recipe_for(oxides: Iterable[str], choice: Allowed = allowed, total_1: bool = False) -> dict[str, float] | None:
        amounts = choice.within(target, tolerance, tuple(oxides), fluxes_total_1=total_1)
        return None if amounts is None else choice.formula(amounts)

    total_1 = recipe_for(order) is not None  # every oxide for itself is close enough, only the fluxes' total is not

    def met(oxides: Iterable[str]) -> set[str] | None:
        """The oxides that a recipe for these oxides meets, or None if there is no such recipe."""
        reached = recipe_for(oxides, total_1=total_1)
        if reached is None:
            return None
        return {oxide for oxide in order if abs(reached.get(oxide, 0.0) - target.get(oxide, 0.0)) <= tolerance[oxide]}

    chosen = _in_order(smallest_impossible(order, met))
    absent = tuple(
        oxide for oxide in OXIDE_ORDER if target.get(oxide, 0.0) > tolerance.get(oxide, 0.0) and not allowed.brings(oxide)
    )
    instead = () if absent else tuple(_instead(allowed, target, chosen, total_1))
    missing, over = _sides(target, instead, absent)

    def ends_it(choice: Allowed) -> bool:
        return recipe_for(chosen, choice, total_1) is not None

    helpers = _best(
        [
            material
            for material in stock
            if _may_help(material, allowed, missing) and ends_it(replace(allowed, materials=(*allowed.materials, material)))
        ],
        over,
    )
    ways = [_source_words(missing, over, helpers)] if missing else []
    for limit in allowed.limits:
        if ends_it(replace(allowed, limits=tuple(other for other in allowed.limits if other is not limit))):
            ways.append(f"loosen a limit: {limit}")
    ways += _accept(instead, target, flux_symbols(allowed.colour_fluxes_counted), chosen)
    return Conflict(
        oxides=chosen,
        sentence=_sentence(chosen, target, instead, absent, allowed),
        ways_out=tuple(ways),
        instead=instead,
        helpers=tuple(material.name for material in helpers),
        absent=absent,
    )


def smallest_impossible(oxides: list[str], met: Callable[[Iterable[str]], set[str] | None]) -> set[str]:
    """A smallest set that cannot be met; the whole list is known to be impossible.

    First a set from which nothing can be spared is found by trying to spare each oxide. Then every smaller set is tried,
    small ones first; sets inside one that was met before need no trying, and that is nearly all of them.

    Parameters
    ----------
    oxides : the most telling first.
    met : for a set, everything a recipe for it meets; None when there is no recipe for it.

    >>> sorted(smallest_impossible(["a", "b", "c"], lambda s: None if {"a", "c"} <= set(s) else set(s)))
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
        known.append(good | some)
        return False

    smallest = set(oxides)
    for oxide in reversed(oxides):
        if impossible(smallest - {oxide}):
            smallest.discard(oxide)
    for size in range(1, len(smallest)):
        for some in combinations(oxides, size):
            if impossible(some):
                return set(some)
    return smallest


def _in_order(oxides: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(oxides, key=OXIDE_ORDER.index))


def _instead(
    allowed: Allowed, target: Mapping[str, float], chosen: tuple[str, ...], total_1: bool
) -> Iterable[tuple[str, float]]:
    """For each oxide of the set the nearest amount at which the others of the set can be met."""
    for oxide in chosen:
        if allowed.brings(oxide):
            weights = {other: 1.0 if other == oxide else PINNED for other in chosen}
            amounts = allowed.nearest(target, weights, fluxes_total_1=total_1)
            yield oxide, allowed.formula(amounts)[oxide]


def _accept(
    instead: tuple[tuple[str, float], ...], target: Mapping[str, float], fluxes: tuple[str, ...], chosen: tuple[str, ...]
) -> Iterable[str]:
    """Words for letting one oxide go; a flux only if others are free to bring the fluxes back to a total of 1."""
    free = any(target.get(oxide) and oxide not in chosen for oxide in fluxes)
    for oxide, moles in instead:
        accepted, wanted = _digits(moles, target.get(oxide, 0.0))
        words = f"accept {OXIDES[oxide].name} {accepted} instead of {wanted}"
        if oxide not in fluxes:
            yield words
        elif free and moles < 1:
            yield f"{words}, and let the other fluxes make up the difference"


def _may_help(material: Material, allowed: Allowed, missing: tuple[str, ...]) -> bool:
    """Is it worth trying: not allowed yet, harmless enough to put forward, and a source of something that is missing."""
    if material in allowed.materials or material.liquid or material.role.startswith(NOT_SOLD):
        return False
    if any(key in material.cautions for key in NOT_OFFERED):
        return False
    return any(brings(material, oxide, MAIN_SHARE) for oxide in missing)


def brings(material: Material, oxide: str, share: float = BY_THE_WAY) -> bool:
    """Does this oxide make more than ``share`` of all the moles the material brings."""
    brought = dict(material.moles_per_g)
    return brought.get(oxide, 0.0) > share * sum(brought.values())


def _best(helpers: list[Material], over: tuple[str, ...]) -> list[Material]:
    """Those that bring none of what is too much already, if there are any; what dissolves in the slip comes last."""
    clean = [material for material in helpers if not any(brings(material, oxide) for oxide in over)]
    return sorted(clean or helpers, key=lambda material: material.soluble)[:MOST_HELPERS]


def _source_words(missing: tuple[str, ...], over: tuple[str, ...], helpers: list[Material]) -> str:
    """Such as "an alkali source without alumina: alkali frit"."""
    if set(missing) <= set(ALKALIS):
        words = "an alkali source" if over else f"a source of {_list(missing)}"
    else:
        words = f"a source of {_list(missing)}"
    if over:
        clean = not any(brings(material, oxide) for material in helpers for oxide in over)
        words += f" {'without' if clean else 'with less'} {_list(over)}"
    if not helpers:
        return f"{words}; nothing in the stock will do"
    names = [material.name for material in helpers]
    if all(material.soluble for material in helpers):
        return f"{words}: a frit that holds it; raw, only {_join(names, 'or')} would do, and dissolves in water"
    return f"{words}: {', '.join(f'{m.name} (dissolves in water)' if m.soluble else m.name for m in helpers)}"


def _sentence(
    chosen: tuple[str, ...],
    target: Mapping[str, float],
    instead: tuple[tuple[str, float], ...],
    absent: tuple[str, ...],
    allowed: Allowed,
) -> str:
    if absent:
        return f"None of these materials brings {_list(absent, 'or')}."
    limits = " and limits" if allowed.limits else ""
    wanted = [_amount(oxide, target.get(oxide, 0.0)) for oxide in chosen]
    together = " together" if len(chosen) > 1 else ""
    text = f"{_join(wanted, 'and')} cannot be met{together} with these materials{limits}"
    missing, over = _sides(target, instead, absent)
    shown = over[-1:] or missing[-1:]
    if shown:
        (oxide,) = shown
        moles = dict(instead)[oxide]
        others = [_amount(other, target.get(other, 0.0)) for other in chosen if other != oxide]
        given = f"with {_join(others, 'and')}, " if others else ""
        text += (
            f": {given}{OXIDES[oxide].name} comes to at {'least' if over else 'most'} {_digits(moles, target.get(oxide, 0.0))[0]}"
        )
    text = text[0].upper() + text[1:] + "."
    for oxide in missing:
        sources = [material for material in allowed.materials if brings(material, oxide)]
        also = [other for other in over if sources and all(brings(material, other) for material in sources)]
        if also:
            names = _join([material.name for material in sources], "and")
            text += f" Here {OXIDES[oxide].name} comes only with {_list(tuple(also))}, from {names}."
    return text


def _sides(
    target: Mapping[str, float], instead: tuple[tuple[str, float], ...], absent: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Oxides of which these materials bring too little, and those of which they bring too much."""
    missing = tuple(oxide for oxide, moles in instead if moles < target.get(oxide, 0.0))
    return absent or missing, tuple(oxide for oxide, moles in instead if moles > target.get(oxide, 0.0))


def _amount(oxide: str, moles: float) -> str:
    return f"{OXIDES[oxide].name} {moles:.2f}" if moles >= 0.005 else f"no {OXIDES[oxide].name}"


def _digits(first: float, second: float) -> tuple[str, str]:
    """Two numbers of moles with two decimals, or as many more as it takes to tell them apart."""
    for places in (2, 3, 4):
        pair = f"{first:.{places}f}", f"{second:.{places}f}"
        if pair[0] != pair[1]:
            break
    return pair


def _list(oxides: tuple[str, ...], word: str = "and") -> str:
    return _join([f"{OXIDES[oxide].name} ({oxide})" for oxide in oxides], word)


def _join(words: list[str], word: str) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {word} {words[-1]}"
