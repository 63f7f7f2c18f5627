"""One family of errors, each a sentence a potter can act on: what was given, where, what is allowed, the nearest match."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TypeVar


class GlazekitError(ValueError):
    """Base of every error this package raises on purpose; its text is written for the learner, not for the programmer.

    ``given`` and ``hint`` are the name that is not known and its nearest match, where the error is about a name.
    """

    given: str = ""
    hint: str | None = None


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
    """A chemical formula cannot be read; prints a caret under the spot, which is the ``position`` in the formula as given.

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
    """A material name is not in the stock."""


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


_Problem = TypeVar("_Problem", bound=GlazekitError)
_Found = TypeVar("_Found")
LONGEST_NAME = 200
MOST_LISTED = 16
"""So many of the names there are stand in an error."""


def unknown_name(
    error: type[_Problem], kind: str, given: object, allowed: Iterable[str], *, where: str = "", otherwise: str = ""
) -> _Problem:
    """The error for a name that is not among those there are: what was given, and the nearest match or what there is.

    Parameters: error, its class; kind, what the name should be the name of, such as "material"; given, the name; allowed, the
    names there are; where, how the sentence begins, with its blank, such as "clear.csv, line 1: "; otherwise, what to do when no
    name is near (if not given, the names there are). Returns the error, to be raised; ``given`` and ``hint`` are its attributes.

    >>> print(unknown_name(DataError, "table", "bucket", ["buckets", "oxides"]))
    no table called 'bucket'; did you mean 'buckets'?
    >>> print(unknown_name(RecipeError, "column", "9", ["material", "amount"], where="line 1: "))
    line 1: no column called '9'; there are material, amount
    """
    names = list(allowed)
    hint = nearest_name(str(given), names)
    if hint is not None:
        otherwise = f"did you mean {quoted(hint, 80)}?"
    elif names and not otherwise:
        more = f" and {len(names) - MOST_LISTED} more" if len(names) > MOST_LISTED else ""
        otherwise = f"there are {', '.join(names[:MOST_LISTED])}{more}"
    problem = error(f"{where}no {kind} called {quoted(given, 80)}" + (f"; {otherwise}" if otherwise else ""))
    problem.given, problem.hint = str(given), hint
    return problem


@contextmanager
def located(where: str, error: type[GlazekitError] | None = None) -> Iterator[None]:
    """Whatever goes wrong inside says ``where`` in front of its message; as an error of its own class, or of this one."""
    try:
        yield
    except GlazekitError as problem:
        told = (error or type(problem))(f"{where}: {problem}")
        told.given, told.hint = problem.given, problem.hint
        raise told from None


def looked_up(known: Mapping[str, _Found], name: str, error: type[GlazekitError], kind: str, where: str = "") -> _Found:
    """What stands under a name; the error of ``unknown_name`` where nothing does."""
    if name not in known:
        raise unknown_name(error, kind, name, known, where=where)
    return known[name]


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
    if len(given) > LONGEST_NAME:  # no slip of the hand, and slow to compare
        return None
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
