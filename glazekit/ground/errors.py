"""One family of errors, each a sentence a potter can act on: what was given, where, what is allowed, the nearest match."""

from __future__ import annotations

from collections.abc import Iterable


class GlazekitError(ValueError):
    """Base of every error this package raises on purpose; its text is written for the learner, not for the programmer."""


class DataError(GlazekitError):
    """A table in data/ is damaged or a name asked of it is not there."""


class NumberError(GlazekitError):
    """A piece of text is not a number we can use."""


class AmbiguousNumberError(NumberError):
    """A number such as ``1,250`` that could be one and a quarter or one thousand two hundred and fifty."""


class RangeError(GlazekitError):
    """A number is outside what makes sense for this quantity."""


FORMULA_SHOWN = 80
"""So much of a long formula is shown, the spot in the middle; tabs and line ends as blanks, so that the caret stands right."""


class FormulaError(GlazekitError):
    """A chemical formula cannot be read; prints a caret under the spot.

    Parameters
    ----------
    message : what is wrong, as a sentence.
    formula : the formula as given.
    position : index of the offending character.

    >>> print(FormulaError("unknown element 'Xx'", "Xx2O3", 0))
    unknown element 'Xx'
      Xx2O3
      ^
    """

    def __init__(self, message: str, formula: str, position: int) -> None:
        self.message, self.formula, self.position = message, formula, position
        super().__init__(message, formula, position)

    def __str__(self) -> str:
        start = max(0, self.position - FORMULA_SHOWN // 2) if len(self.formula) > FORMULA_SHOWN else 0
        shown = "".join(sign if sign.isprintable() else " " for sign in self.formula[start : start + FORMULA_SHOWN])
        return f"{self.message}\n  {shown}\n  {' ' * (self.position - start)}^"


class UnknownMaterialError(GlazekitError):
    """A material name is not in the stock; carries the nearest match, if there is one, as ``hint``."""

    def __init__(self, name: str, hint: str | None = None) -> None:
        self.name, self.hint = name, hint
        super().__init__(name, hint)

    def __str__(self) -> str:
        if self.hint:
            return f"no material called '{self.name}'; did you mean '{self.hint}'?"
        return f"no material called '{self.name}'; enter its analysis, choose a stand-in, or declare it unknown"


class NoAnalysisError(GlazekitError):
    """Chemistry was asked of a material that was declared unknown: it can be weighed, not computed."""


class AnalysisError(GlazekitError):
    """A bag's analysis is not usable."""


class RecipeError(GlazekitError):
    """A recipe cannot be used as it stands."""


class FileError(GlazekitError):
    """A file cannot be read or written."""


class BookError(GlazekitError):
    """An entry does not fit the learner's book."""


def nearest_name(given: str, allowed: Iterable[str]) -> str | None:
    """Nearest match of a misspelt or shortened name, or None when nothing is close.

    A name that holds every word given comes first, the shortest of several; then the one with the most letters in common.

    >>> nearest_name("kaolim", ["kaolin", "quartz", "whiting"])
    'kaolin'
    >>> nearest_name("tin", ["whiting", "tin oxide"])
    'tin oxide'
    >>> nearest_name("bicycle", ["kaolin", "quartz"]) is None
    True
    """
    from difflib import get_close_matches

    by_key = {name_key(name): name for name in allowed}
    words = set(name_key(given).split())
    holding = [key for key in by_key if words and words <= set(key.split())]
    if holding:
        return by_key[min(holding, key=len)]
    found = get_close_matches(name_key(given), list(by_key), n=1, cutoff=0.6)
    return by_key[found[0]] if found else None


def name_key(name: str) -> str:
    """A name as compared: no case, single spaces.

    >>> name_key("  Soda   Feldspar ")
    'soda feldspar'
    """
    return " ".join(name.casefold().split())


def quoted(text: object, limit: int = 40) -> str:
    """A piece of input as shown inside an error: one line, printable, no longer than ``limit``.

    >>> print(quoted("two\\nlines"), quoted("x" * 99, limit=5))
    'two lines' 'xxxx…'
    """
    flat = "".join(sign if sign.isprintable() else "?" for sign in " ".join(str(text)[: 4 * limit].split()))
    return f"'{flat}'" if len(flat) <= limit else f"'{flat[: limit - 1]}…'"
