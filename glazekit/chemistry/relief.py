"""Relief from an impossible formula: materials that would help, amounts to accept, and the words for them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from glazekit.chemistry.allowed import Allowed
from glazekit.chemistry.reckoning import ByName
from glazekit.chemistry.unity import ALKALIS
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock

MOST_HELPERS = 5
NOT_OFFERED = "poison"
"""A material with this caution is never put forward."""
NOT_SOLD = "reference mineral"
"""Begins the role of an ideal mineral that is in the stock for comparison only."""
SOURCE_FROM = 0.08
"""A material is a source of an oxide that makes more than this part of its moles."""
BY_THE_WAY = 0.02
"""A material is free of an oxide that makes no more than this part of its moles."""

Test = Callable[[Allowed], bool]


def brings(material: Material, oxide: str, at_least: float = BY_THE_WAY) -> bool:
    """Does this oxide make more than this part of all the moles the material brings."""
    brought = dict(material.moles_per_g)
    return brought.get(oxide, 0.0) > at_least * sum(brought.values())


def sources(
    missing: Sequence[str], over: Sequence[str], allowed: Allowed, stock: Stock, ends_it: Test, makes_all: Test
) -> tuple[list[Material], bool]:
    """Materials of the stock that would end a conflict, and whether with any one of them the whole formula can be made.

    Put forward are, if there are any: those that make the whole formula possible; of these, those that bring none of what
    is too much already; first those that do not dissolve in water.

    Parameters
    ----------
    missing, over : oxides of which there is too little and too much.
    allowed, stock : the materials in use, and those to choose from.
    ends_it : is the conflict gone with this choice of materials.
    makes_all : can the whole formula be made with it.
    """
    in_use = {material.name for material in allowed.materials}
    choices = {}
    for material in stock:
        bringing = any(brings(material, oxide, SOURCE_FROM) for oxide in missing)
        if bringing and material.name not in in_use and _may_be_offered(material):
            choice = replace(allowed, materials=(*allowed.materials, material))
            if ends_it(choice):
                choices[material] = choice
    clean = [material for material in choices if not any(brings(material, oxide) for oxide in over)]
    rest = [material for material in choices if material not in clean]
    enough = [one for one in clean if makes_all(choices[one])] or [one for one in rest if makes_all(choices[one])]
    return sorted(enough or clean or choices, key=lambda material: material.soluble)[:MOST_HELPERS], bool(enough)


def _may_be_offered(material: Material) -> bool:
    """Dry, for sale, and harmless enough to be put forward."""
    return not (material.liquid or material.role.startswith(NOT_SOLD) or NOT_OFFERED in material.cautions)


def source_words(missing: Sequence[str], over: Sequence[str], helpers: Sequence[Material], enough: bool) -> str:
    """Such as "an alkali source without alumina (Al2O3): ...".

    >>> source_words(["K2O"], ["Al2O3"], [], False)
    'an alkali source without alumina (Al2O3); nothing this course uses will do'
    """
    words = "an alkali source" if over and set(missing) <= set(ALKALIS) else f"a source of {listed(missing, 'or')}"
    if over:
        clean = not any(brings(material, oxide) for material in helpers for oxide in over)
        words += f" {'without' if clean else 'with less'} {listed(over, 'and')}"
    if not helpers:
        return f"{words}; nothing this course uses will do"
    names = [material.name for material in helpers]
    end = f" (with {'any of these' if len(names) > 1 else 'it'} the whole formula can be made)" if enough else ""
    if all(material.soluble for material in helpers):
        dissolve = "dissolve" if len(names) > 1 else "dissolves"
        return f"{words}: best a frit that holds it; raw, only {join(names, 'or')} would do, which {dissolve} in water{end}"
    return f"{words}: {join([f'{m.name} (dissolves in water)' if m.soluble else m.name for m in helpers], 'or')}{end}"


def accept_words(instead: ByName, target: ByName, fluxes: Sequence[str]) -> Iterable[str]:
    """Words for letting one oxide go; a flux only if others are free to bring the fluxes back to a total of 1."""
    free = any(target.get(oxide) and oxide not in instead for oxide in fluxes)
    for oxide, moles in instead.items():
        accepted, wanted = two_digits(moles, target.get(oxide, 0.0))
        words = f"accept {OXIDES[oxide].name} {accepted} instead of {wanted}"
        if oxide not in fluxes:
            yield words
        elif free and moles < 1:
            yield f"{words}, and let the other fluxes make up the difference"


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


def listed(oxides: Sequence[str], word: str) -> str:
    """Oxides by name and symbol.

    >>> listed(["Na2O", "K2O"], "and")
    'soda (Na2O) and potash (K2O)'
    """
    return join([f"{OXIDES[oxide].name} ({oxide})" for oxide in oxides], word)


def join(words: Sequence[str], word: str) -> str:
    """Words with commas and a last "and" or "or".

    >>> join(["a", "b", "c"], "or")
    'a, b or c'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {word} {words[-1]}"
