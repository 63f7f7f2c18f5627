"""Why a formula cannot be made: a smallest set of oxides that these materials cannot bring together."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from glazekit.chemistry.allowed import Allowed, Goal, in_order
from glazekit.chemistry.swap_by_moles import sum_words
from glazekit.chemistry.unity import SOURCE_FROM, ByName, brings
from glazekit.materials.material import Material
from glazekit.materials.oxides import ALKALIS
from glazekit.materials.stock import Stock

MOST_HELPERS = 5
PINNED = 1e4
"""Weight of the oxides that are held while another one is let go."""
Test = Callable[[Allowed], bool]


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why a formula cannot be made, and what would help.

    Parameters: oxides, a smallest set whose wanted amounts cannot be met together, while any smaller set can (a sum such as
    "Na2O+K2O" stands here, and below, as it was asked for); sentence, reliefs, the same, and what would help, in words; instead,
    (oxide, moles), let this one oxide go to this amount and the whole formula can be made, of a flux with the other fluxes in
    their old proportions [mol]; helpers, materials of the stock which, allowed as well, end this conflict; absent, wanted oxides
    that none of the materials brings.
    """

    oxides: tuple[str, ...]
    sentence: str
    reliefs: tuple[str, ...]
    instead: tuple[tuple[str, float], ...] = ()
    helpers: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()


def find_conflict(allowed: Allowed, goal: Goal, nearest: Sequence[float], stock: Stock) -> Conflict:
    """The conflict in a formula that is known to be impossible; ``stock`` is where to look for materials that would help.
    ``nearest`` are the amounts of the nearest recipe: of several smallest sets the one that it misses by more is named. In all
    that is tried the fluxes total 1."""
    misses = goal.misses(allowed.formula(nearest))
    asked = sorted(allowed.asked(goal), key=lambda oxide: -round(abs(misses.get(oxide, 0.0)), 3))

    def reached(weights: ByName) -> dict[str, float]:
        return allowed.formula(allowed.nearest(goal.moles, weights))

    def met(oxides: Collection[str]) -> set[str] | None:
        """The oxides that a recipe for these oxides meets, as many others as it can; None if there is no such recipe."""
        if allowed.within(goal, oxides) is None:
            return None
        even = goal.weights(asked)
        return goal.met_by(reached(even | {oxide: PINNED * even[oxide] for oxide in oxides})).union(oxides)

    chosen = tuple(in_order(smallest_impossible(asked, met)))
    unbrought = [oxide for oxide in allowed.asked(goal) if not allowed.brings(oxide)]
    absent = tuple(oxide for oxide in unbrought if goal.moles[oxide] > goal.tolerance[oxide])
    # For each oxide of the set the nearest amount at which the others of the set can be met.
    letting_go = [] if absent else [oxide for oxide in chosen if allowed.brings(oxide)]
    reach = {one: reached({oxide: 1.0 if oxide == one else PINNED for oxide in chosen})[one] for one in letting_go}
    missing = tuple(oxide for oxide, moles in reach.items() if moles < goal.moles.get(oxide, 0.0))
    over = tuple(oxide for oxide, moles in reach.items() if moles > goal.moles.get(oxide, 0.0))
    instead = {one: moles for one in letting_go if (moles := way_out(allowed, goal, one)) is not None}

    def ends_it(choice: Allowed) -> bool:
        """Can the set be met with this choice; of an oxide that nobody brought any source will do."""
        return bool(absent) or choice.within(goal, chosen) is not None

    def makes_all(choice: Allowed) -> bool:
        """Is the nearest recipe close enough in every oxide; a quick look, which may miss a narrow yes."""
        return choice.meets(goal, choice.nearest(goal.moles, goal.weights(choice.asked(goal))))

    reliefs: list[str] = []
    in_want: list[tuple[str, ...]] = [(oxide,) for oxide in absent] or ([missing] if missing else [])
    helpers: list[Material] = []
    for wanted in in_want:
        found, enough = _sources(wanted, over, allowed, stock, ends_it, makes_all)
        reliefs.append(source_words(wanted, over, found, enough))
        helpers += found
    for limit in allowed.limits:
        looser = replace(allowed, limits=tuple(other for other in allowed.limits if other is not limit))
        if looser.within(goal, looser.asked(goal)) is not None:
            reliefs.append(f"loosen a limit: {limit}")
    reliefs += [
        accept_words(oxide, moles, goal.moles.get(oxide, 0.0), allowed.is_flux(oxide)) for oxide, moles in instead.items()
    ]
    none_brings = f"None of these materials brings {_named(absent, 'or')}." if absent else ""
    return Conflict(
        oxides=chosen,
        sentence=none_brings or _sentence(allowed, goal.moles, chosen, reach, missing, over),
        reliefs=tuple(reliefs),
        instead=tuple(instead.items()),
        helpers=tuple(dict.fromkeys(material.name for material in helpers)),
        absent=absent,
    )


def smallest_impossible(oxides: Sequence[str], met: Callable[[Collection[str]], set[str] | None]) -> set[str]:
    """A smallest set that cannot be met; the whole list is known to be impossible.

    First, a set from which nothing can be spared is found by trying to spare each oxide. Then every smaller set is tried,
    small ones first; sets inside one that was met before need no trying, and that is nearly all of them.

    Parameters: oxides, the most telling first; met, of a set everything that a recipe for it meets, None without such a recipe.

    >>> sorted(smallest_impossible(["a", "b", "c"], lambda s: None if {"a", "c"} <= set(s) else set(s)))
    ['a', 'c']
    """
    known: list[set[str]] = []

    def impossible(few: Collection[str]) -> bool:
        some = set(few)
        if any(some <= good for good in known):
            return False
        good = met(some)
        if good is None:
            return True
        known.append(good)
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


def _sentence(
    allowed: Allowed, target: ByName, chosen: Sequence[str], reach: ByName, missing: Sequence[str], over: Sequence[str]
) -> str:
    """What cannot be met together, how far it can be, and what comes only together with what is too much."""
    limits = " and limits" if allowed.limits else ""
    amounts = {oxide: _amount(oxide, target.get(oxide, 0.0)) for oxide in chosen}
    together = " together" if len(chosen) > 1 else ""
    text = f"{_join(list(amounts.values()), 'and')} cannot be met{together} with these materials{limits}"
    for oxide in over[-1:] or missing[-1:]:
        others = [amount for other, amount in amounts.items() if other != oxide]
        given = f"with {_join(others, 'and')}, " if others else ""
        most = f"at {'least' if over else 'most'} {two_digits(reach[oxide], target.get(oxide, 0.0))[0]}"
        text += f": {given}{sum_words(oxide)} comes to {most}"
    text = text[0].upper() + text[1:] + "."
    for oxide in missing:
        bringing = [material for material in allowed.materials if brings(material, oxide)]
        also = [other for other in over if bringing and all(brings(material, other) for material in bringing)]
        if also:
            names = _join([material.name for material in bringing], "and")
            text += f" Here {sum_words(oxide)} comes only with {_named(also, 'and')}, from {names}."
    return text


def _amount(oxide: str, moles: float) -> str:
    return f"{sum_words(oxide)} {moles:.2f}" if moles >= 0.005 else f"no {sum_words(oxide)}"


def _sources(
    missing: Sequence[str], over: Sequence[str], allowed: Allowed, stock: Stock, ends_it: Test, makes_all: Test
) -> tuple[list[Material], bool]:
    """Materials of the stock that would end a conflict, and whether with any one of them the whole formula can be made. Put
    forward are, if there are any: those that make the whole formula possible (``makes_all``); of these, those that bring none of
    what is too much already (``over``); first those that do not dissolve in water."""
    in_use = {material.name for material in allowed.materials}
    choices = {}
    for material in stock:
        bringing = any(brings(material, oxide, SOURCE_FROM) for oxide in missing)
        if bringing and material.stocked and material.name not in in_use:
            choice = replace(allowed, materials=(*allowed.materials, material))
            if ends_it(choice):
                choices[material] = choice
    clean = [material for material in choices if not any(brings(material, oxide) for oxide in over)]
    rest = [material for material in choices if material not in clean]
    enough = [one for one in clean if makes_all(choices[one])] or [one for one in rest if makes_all(choices[one])]
    return sorted(enough or clean or choices, key=lambda material: material.soluble)[:MOST_HELPERS], bool(enough)


def source_words(missing: Sequence[str], over: Sequence[str], helpers: Sequence[Material], enough: bool) -> str:
    """Such as "an alkali source without alumina (Al2O3): ...".

    >>> source_words(["K2O"], ["Al2O3"], [], False)
    'an alkali source without alumina (Al2O3); nothing this course uses will do'
    """
    words = (
        "an alkali source"
        if over and set("+".join(missing).split("+")) <= set(ALKALIS)
        else f"a source of {_named(missing, 'or')}"
    )
    if over:
        clean = not any(brings(material, oxide) for material in helpers for oxide in over)
        words += f" {'without' if clean else 'with less'} {_named(over, 'and')}"
    if not helpers:
        return f"{words}; nothing this course uses will do"
    names = [material.name for material in helpers]
    end = f" (with {'any of these' if len(names) > 1 else 'it'} the whole formula can be made)" if enough else ""
    if all(material.soluble for material in helpers):
        dissolve = "dissolve" if len(names) > 1 else "dissolves"
        return f"{words}: best a frit that holds it; raw, only {_join(names, 'or')} would do, which {dissolve} in water{end}"
    return f"{words}: {_join([f'{m.name} (dissolves in water)' if m.soluble else m.name for m in helpers], 'or')}{end}"


def way_out(allowed: Allowed, goal: Goal, oxide: str) -> float | None:
    """The nearest amount of this one oxide at which all the others can be met [mol]; None when there is none but nothing of it.
    Of a flux the others share what is left of 1 in their old proportions. A quick look, which may miss a narrow yes."""
    wanted = goal.moles.get(oxide, 0.0)
    free = oxide if allowed.is_flux(oxide) else ""
    if free and wanted >= 1:
        return None
    weights = {other: PINNED if goal.moles.get(other) else 1.0 for other in allowed.asked(goal)} | {oxide: 1.0}
    amounts = allowed.nearest(goal.moles, weights, free=free)
    moles = allowed.formula(amounts)[oxide]
    room = (1 - moles) / (1 - wanted) if free else 1.0
    shared = {other: was * (room if allowed.is_flux(other) else 1.0) for other, was in goal.moles.items()}
    changed = replace(goal, moles=shared | {oxide: moles})
    return moles if moles > goal.tolerance[oxide] and allowed.meets(changed, amounts) else None


def accept_words(oxide: str, moles: float, wanted: float, flux: bool) -> str:
    """Words for letting one oxide go.

    >>> accept_words("Al2O3", 0.3, 0.2, flux=False)
    'accept alumina 0.30 instead of 0.20'
    """
    accepted, instead_of = two_digits(moles, wanted)
    make_up = ", and let the other fluxes make up the difference, each in its proportion" if flux else ""
    return f"accept {sum_words(oxide)} {accepted} instead of {instead_of}{make_up}"


def two_digits(first: float, second: float) -> tuple[str, str]:
    """Two numbers of moles with two decimals, or as many more as it takes to tell them apart.

    >>> two_digits(0.3, 0.2), two_digits(0.247, 0.25)
    (('0.30', '0.20'), ('0.247', '0.250'))
    """
    for places in (2, 3, 4):
        one, other = f"{first:.{places}f}", f"{second:.{places}f}"
        if one != other:
            break
    return one, other


def _named(oxides: Sequence[str], word: str) -> str:
    """Oxides by name and symbol.

    >>> _named(["Na2O", "K2O"], "and")
    'soda (Na2O) and potash (K2O)'
    """
    return _join([f"{sum_words(oxide)} ({oxide})" for oxide in oxides], word)


def _join(words: Sequence[str], word: str) -> str:
    """Words with commas and a last "and" or "or".

    >>> _join(["a", "b", "c"], "or")
    'a, b or c'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {word} {words[-1]}"
