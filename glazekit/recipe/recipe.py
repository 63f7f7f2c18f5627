"""A recipe as written: base and additions kept apart, any base sum, nothing renormalised unless asked."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import fsum, isfinite
from typing import Any

from glazekit.ground.cone import Cone
from glazekit.ground.errors import RecipeError, name_key, quoted
from glazekit.ground.textfile import control_character_at
from glazekit.ground.typed_table import guarded
from glazekit.materials.stock import Stock, course_stock

PARTS = "parts"
PERCENT_OF_BASE = "percent_of_base"
UNITS = ("", "ml")
AMOUNT_MAX = 1e9
"""Beyond any bucket; larger amounts are slips of the keyboard."""
MOST_LINES = 60
"""Far more than any glaze has; a page lays out a row of boxes for each."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a recipe.

    ``material`` is the name as written; ``amount`` parts, grams or percent, mL of a liquid when ``unit`` is "ml".
    """

    material: str
    amount: float
    unit: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.material, str):
            raise RecipeError(f"{self.material!r} is no material name; a name is text")
        name = " ".join(self.material.split())
        if not name:
            raise RecipeError("a recipe line has an amount but no material name")
        if control_character_at(name) is not None:
            raise RecipeError(f"the material name {quoted(name)} holds a control character; type it again")
        if isinstance(self.amount, bool) or not isinstance(self.amount, int | float):
            raise RecipeError(f"{name}: the amount {self.amount!r} is not a number")
        if not isfinite(self.amount):
            raise RecipeError(f"{name}: the amount is not a finite number")
        if self.amount < 0:
            raise RecipeError(f"{name}: the amount is {self.amount:g}; amounts are 0 or more")
        if self.unit not in UNITS:
            raise RecipeError(f"{name}: the unit '{self.unit}' is not known; leave it empty, or write ml for a liquid")
        object.__setattr__(self, "material", name)
        object.__setattr__(self, "amount", float(self.amount))


Lines = Mapping[str, float] | Iterable[Line | tuple[str, float]]


def _as_lines(given: Lines) -> tuple[Line, ...]:
    lines = []
    for line in given.items() if isinstance(given, Mapping) else given:
        if not isinstance(line, Line | tuple | list) or (not isinstance(line, Line) and len(line) not in (2, 3)):
            raise RecipeError(f"{quoted(line)} is no line of a recipe; a line is a material and an amount")
        lines.append(line if isinstance(line, Line) else Line(*line))
    return tuple(lines)


@dataclass(frozen=True, slots=True, init=False)
class Recipe:
    """A glaze recipe.

    Parameters: name, what the glaze is called; base, material -> amount, or lines, any sum [parts]; additions, the same on top of
    the base; additions_are, "parts" (same unit as the base) or "percent_of_base", may stay None while the base totals 100, where
    both mean the same; cone, atmosphere, note, as written: the cone may be text such as "06" or "5-6", or a whole number.

    >>> clear = Recipe("Half Clear", {"soda feldspar": 30, "whiting": 20}, {"tin oxide": 2}, additions_are="parts")
    >>> clear.base_sum, [(line.material, line.amount) for line in clear.to_100().additions]
    (50.0, [('tin oxide', 4.0)])

    Raises RecipeError for an empty base or one of nothing but zeros, a liquid in it, a bad amount or too many lines.
    """

    name: str
    base: tuple[Line, ...]
    additions: tuple[Line, ...] = ()
    additions_are: str | None = None
    cone: Cone | None = None
    atmosphere: str = ""
    note: str = ""

    def __init__(
        self,
        name: str,
        base: Lines,
        additions: Lines = (),
        additions_are: str | None = None,
        cone: Cone | str | int | None = None,
        atmosphere: str = "",
        note: str = "",
    ) -> None:
        fields = {
            "name": " ".join(str(name).split()),
            "base": _as_lines(base),
            "additions": _as_lines(additions),
            "additions_are": additions_are,
            "cone": cone if cone is None or isinstance(cone, Cone) else Cone.parse(str(cone)),
            "atmosphere": " ".join(atmosphere.split()),
            "note": "\n".join(note.splitlines()).strip(),
        }
        for field_name, value in fields.items():
            object.__setattr__(self, field_name, value)
        self._check()

    def _check(self) -> None:
        if not self.name:
            raise RecipeError("a recipe needs a name")
        for what in ("name", "atmosphere", "note"):
            if control_character_at(getattr(self, what)) is not None:
                raise RecipeError(f"the {what} {quoted(getattr(self, what))} holds a control character; type it again")
        if not self.base:
            raise RecipeError(f"{self.name}: the base has no lines")
        if (count := len(self.base) + len(self.additions)) > MOST_LINES:
            raise RecipeError(f"{self.name} has {count} lines; a recipe has at most {MOST_LINES}")
        liquid = next((line for line in self.base if line.unit), None)
        if liquid:
            raise RecipeError(
                f"{self.name}: {liquid.material} is in {liquid.unit}; the base is weighed dry, list liquids as additions"
            )
        if self.additions_are not in (None, PARTS, PERCENT_OF_BASE):
            raise RecipeError(f"{self.name}: additions_are is '{self.additions_are}'; write 'parts' or 'percent_of_base'")
        too_large = next((line for line in self.base + self.additions if line.amount > AMOUNT_MAX), None)
        if too_large:
            raise RecipeError(
                f"{self.name}: {too_large.material} {too_large.amount:g} is too large; at most {AMOUNT_MAX:g} is allowed"
            )
        if self.base_sum == 0:
            raise RecipeError(f"{self.name}: every amount in the base is 0")

    @property
    def base_sum(self) -> float:
        """Total of the base as written [parts]."""
        return fsum(line.amount for line in self.base)

    @property
    def totals_100(self) -> bool:
        """Does the base total 100 within what decimals on paper can show (0.05)?"""
        return abs(self.base_sum - 100) <= 0.05

    def addition_factor(self) -> float:
        """Parts of the base per unit of an addition as written: 1 for parts, base_sum / 100 for percent of base.

        Raises RecipeError when the base does not total 100 and the recipe does not say which is meant.
        """
        if self.additions_are == PERCENT_OF_BASE:
            return self.base_sum / 100
        if self.additions_are is None and self.additions and not self.totals_100:
            raise RecipeError(
                f"{self.name}: the base totals {self.base_sum:g}, not 100, and the recipe does not say how its additions "
                f"({', '.join(line.material for line in self.additions)}) are meant; say whether they are parts "
                "(same unit as the base) or percent of base"
            )
        return 1.0

    def lines_in_parts(self, include_additions: bool = True) -> tuple[Line, ...]:
        """Base lines and, on the same scale of parts, the additions."""
        if not include_additions or not self.additions:
            return self.base
        factor = self.addition_factor()
        if factor == 1.0:
            return self.base + self.additions
        return self.base + tuple(replace(line, amount=line.amount * factor) for line in self.additions)

    def scaled(self, factor: float) -> "Recipe":
        """Every base amount times ``factor``; additions in parts move along, additions in percent of base do not."""
        if not isfinite(factor) or factor <= 0:
            raise RecipeError(f"{self.name}: cannot scale by {factor:g}; the factor must be more than 0")
        self.addition_factor()
        base = tuple(replace(line, amount=line.amount * factor) for line in self.base)
        additions = self.additions
        if self.additions_are != PERCENT_OF_BASE:
            additions = tuple(replace(line, amount=line.amount * factor) for line in self.additions)
        meant = self.additions_are or (PARTS if self.additions else None)  # on a base of 100 unsaid, on any other it must be said
        return replace(self, base=base, additions=additions, additions_are=meant)

    def to_100(self) -> "Recipe":
        """The same glaze with a base that totals 100; a visible step, never done silently."""
        return self.scaled(100 / self.base_sum)

    def merged(self) -> "Recipe":
        """Lines of one material and part joined into one, at the place of the first."""
        return replace(self, base=_merge(self.base), additions=_merge(self.additions))

    @property
    def doubles(self) -> tuple[str, ...]:
        """Materials written more than once within the base, or within the additions."""
        found = []
        for part in (self.base, self.additions):
            keys = [name_key(line.material) for line in part]
            found += [line.material for i, line in enumerate(part) if keys.index(keys[i]) < i]
        return tuple(dict.fromkeys(found))

    def materials(self) -> tuple[str, ...]:
        """Names used, base first, each once."""
        return tuple(dict.fromkeys(line.material for line in self.base + self.additions))

    def renamed(self, name: str) -> "Recipe":
        """The same recipe under another name."""
        return replace(self, name=name)

    def with_additions_are(self, additions_are: str) -> "Recipe":
        """The same recipe, now saying how its additions are meant: "parts" or "percent_of_base"."""
        return replace(self, additions_are=additions_are)

    def rows(self) -> list[dict[str, Any]]:
        """A row for each line, under the columns of the recipe CSV and ``unit``, "ml" for a liquid.

        The cone is written ``cone 06``, so that a spreadsheet keeps the zero, and a text that it would take for a formula has an
        apostrophe in front.
        """
        about = (self.additions_are or "", f"cone {self.cone}" if self.cone else "", guarded(self.atmosphere), guarded(self.note))
        facts = dict(zip(("additions_are", "cone", "atmosphere", "note"), about, strict=True))
        return [
            {"recipe": guarded(self.name), "part": part, "material": guarded(line.material), "amount": line.amount}
            | {"unit": line.unit, **facts}
            for part, lines in (("base", self.base), ("addition", self.additions))
            for line in lines
        ]

    def as_frame(self) -> Any:
        """The ``rows`` of the recipe as a pandas DataFrame (needs pandas)."""
        import pandas as pd

        return pd.DataFrame(self.rows())


def _merge(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    merged: dict[tuple[str, str], Line] = {}
    for line in lines:
        key = (name_key(line.material), line.unit)
        merged[key] = replace(merged[key], amount=merged[key].amount + line.amount) if key in merged else line
    return tuple(merged.values())


def compare(first: Recipe, second: Recipe, stock: Stock | None = None) -> tuple[tuple[str, str, float, float, float], ...]:
    """Two recipes side by side on a base of 100; trade names of one material count as that material.

    Parameters: first, second, in which a material is shown under the name it first has; stock, which knows the trade names, the
    course's materials if not given.

    Returns rows (part, material, amount in first, amount in second, change), [parts per 100 of base; mL per 100 g for liquids].

    >>> one, two = Recipe("a", {"quartz": 60, "whiting": 40}), Recipe("b", {"flint": 30, "whiting": 20})
    >>> {row[4] for row in compare(one, two)}
    {0.0}
    """
    shelf = stock or course_stock()
    rows: dict[tuple[str, str], list[Any]] = {}
    for column, recipe in enumerate((first, second)):
        hundred = recipe.to_100()
        for part, lines in (("base", hundred.base), ("addition", hundred.additions)):
            for line in lines:
                known = shelf.find(line.material).name if line.material in shelf else line.material
                row = rows.setdefault((part, name_key(known)), [line.material, 0.0, 0.0])
                row[column + 1] += line.amount
    return tuple((part, row[0], row[1], row[2], row[2] - row[1]) for (part, _), row in rows.items())
