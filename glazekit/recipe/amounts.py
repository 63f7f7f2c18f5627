"""Amounts as written on paper or in a file, and the recipe they add up to: units must agree, nothing is guessed."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import gcd

from glazekit.ground.errors import AmbiguousNumberError, NumberError, RecipeError, located, quoted, unknown_name
from glazekit.ground.numbers import decimal_comma_in, parse_mass_g, parse_quantity
from glazekit.recipe.recipe import PARTS, PERCENT_OF_BASE, Line, Recipe

UNITS = {
    **dict.fromkeys(("", "part", "parts", "parts by weight", "part by weight"), ""),
    **dict.fromkeys(("%", "percent", "per cent", "pct"), "%"),
    **dict.fromkeys(("g", "gr", "gm", "gms", "gram", "grams", "gramme", "grammes"), "g"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"), "ml"),
}
"""Spelling of a unit after an amount -> the unit; "" are parts."""
BASIS_WORDS = {
    **dict.fromkeys(("parts", "part", "in parts", "same parts"), PARTS),
    **dict.fromkeys(("percent of base", "% of base", "percent of the base", "% of the base", "percent on base"), PERCENT_OF_BASE),
}
_FRACTION = re.compile(r"(\d{1,9})\s*/\s*(\d{1,9})(?!\d)")
_PARTS_OF_ONE = (3, 4, 8, 16, 32, 64)
"""What stands below the line in fractions such as 2/3 and 7/8; 1/5 is clear, 4/5 may mean 4 or 5."""
_POINT_AND_THREE = re.compile(r"([1-9]\d{0,2})\.(\d{3})(?![\d.,])\s*(\w*)")
_HUNDREDS = re.compile(r"[1-9]\d{2,}(?![\d.,/])")
_LARGE_MASSES = ("kg", "oz", "lb")
_MASSES = ("g", *_LARGE_MASSES)


@dataclass(frozen=True, slots=True)
class Amount:
    """One material with its amount in the unit as written, and where it stood."""

    material: str
    value: float
    unit: str
    where: str

    def line(self) -> Line:
        """The recipe line; kg, oz and lb become grams."""
        with located(self.where):
            grams = parse_mass_g(f"{self.value!r} {self.unit}", "amount", False) if self.unit in _LARGE_MASSES else self.value
            return Line(self.material, grams, "ml" if self.unit == "ml" else "")


@dataclass(slots=True)
class Draft:
    """A recipe while it is being read; facts of the whole recipe are set once and must agree wherever they are repeated."""

    name: str
    base: list[Amount] = field(default_factory=list)
    additions: list[Amount] = field(default_factory=list)
    facts: dict[str, tuple[str, str]] = field(default_factory=dict)

    def say(self, fact: str, value: str, where: str) -> None:
        """Note a fact such as the cone; RecipeError when it was said differently before."""
        said, first = self.facts.setdefault(fact, (value, where))
        if said != value:
            raise RecipeError(f"{where}: {fact} is {quoted(value)}, but {first} says {quoted(said)}; one recipe has one {fact}")

    def said(self, fact: str) -> str:
        """The fact as noted, or an empty text."""
        return self.facts.get(fact, ("", ""))[0]

    def finished(self, source: str, additions_are: str | None = None) -> Recipe:
        """The checked recipe; ``additions_are`` fills in what the text leaves open and must not contradict it."""
        basis = self._written_basis()
        if basis and additions_are and basis != additions_are:
            raise RecipeError(
                f"{source}: '{self.name}' says its additions are {basis}, you say {additions_are}; change one of the two"
            )
        base = [amount.line() for amount in self.base]
        additions = [amount.line() for amount in self.additions]
        with located(source):
            about = (self.said("cone") or None, self.said("atmosphere"), self.said("note"))
            return Recipe(self.name, base, additions, basis or additions_are, *about)

    def _written_basis(self) -> str | None:
        """How the additions are meant, as far as words and units say; RecipeError when units cannot be added up."""
        said = self.said("additions_are") or None
        dry = [amount for amount in self.additions if amount.unit != "ml"]
        base_unit, unit = _one_unit(self.base, "base"), _one_unit(dry, "additions")
        if unit in ("", base_unit) or not self.base or not dry:
            return said
        if unit == "%" and base_unit == "mass":
            if said == PARTS or len(dry) < len(self.additions):
                raise RecipeError(f"{dry[0].where}: the base is in g, so write the additions in g too")
            return PERCENT_OF_BASE
        large = next((amount for amount in dry if amount.unit in _LARGE_MASSES), None)
        if large or base_unit == "%":
            odd = large or dry[0]
            raise RecipeError(f"{odd.where}: {odd.material} is in {odd.unit}, but the base is not; write both in one unit")
        return said


def _one_unit(amounts: list[Amount], part: str) -> str:
    """What these amounts share: "", "%", "ml" or "mass". Bare numbers go with any unit but kg, oz and lb, and with
    percent where the base then totals 100: an addition often stands below it with a percent sign alone."""
    found: dict[str, Amount] = {}
    for amount in amounts:
        found.setdefault("mass" if amount.unit in _MASSES else amount.unit, amount)
    large = next((amount for amount in amounts if amount.unit in _LARGE_MASSES), None)
    percent = part == "base" and "%" in found and abs(sum(amount.value for amount in amounts) - 100) > 0.05
    bare = found.get("") if large or percent else found.pop("", None)
    if len(found) > 1:
        first, second = (large, bare) if large and bare else list(found.values())[:2]
        if percent and sum(amount.unit == first.unit for amount in amounts) < len(amounts) / 2:
            first, second = second, first  # the odd one is spoken of
        plus = "put + before it if it is an addition, else " if percent else ""
        raise RecipeError(
            f"{second.where}: {second.material} is in {second.unit or 'no unit'}, {first.material} in {first.unit or 'no unit'}; "
            f"{plus}write the whole {part} in one unit"
        )
    return next(iter(found), "")


def parse_amount(text: str, decimal_comma: bool | None = None) -> tuple[float, str]:
    """Read an amount and its unit: ``18,40 %``, ``184 g``, ``2.5 kg``, ``5 ml``, ``3 parts``.

    >>> parse_amount("18,40 %"), parse_amount("2.5 kilos"), parse_amount("1/2")
    ((18.4, '%'), (2.5, 'kg'), (0.5, ''))

    Raises NumberError for anything else, AmbiguousNumberError as ``clear_fraction``.
    """
    value, spelling = parse_quantity(clear_fraction(text, "the amount"), "amount", decimal_comma)
    unit = UNITS.get(spelling.casefold().rstrip("."))
    if unit is None:
        names, allowed = [name for name in UNITS if len(name) > 1], "write parts, %, g, kg, oz, lb or ml"
        raise unknown_name(NumberError, "unit", spelling, names, where=f"the amount {quoted(text)}: ", otherwise=allowed)
    if value < 0:
        raise NumberError(f"the amount {quoted(text)} is below 0; amounts are 0 or more")
    return value, unit


def clear_fraction(text: str, what: str) -> str:
    """The text again; AmbiguousNumberError for ``40/50``, which is no fraction that people weigh by. ``what`` begins the error.

    >>> clear_fraction("1 3/4", "the amount")
    '1 3/4'
    """
    if found := _FRACTION.search(text):
        top, bottom = int(found[1]), int(found[2])
        if top > 1 and (top >= bottom or bottom not in _PARTS_OF_ONE or gcd(top, bottom) > 1):
            raise AmbiguousNumberError(f"{what} {quoted(text)} could be {top} or {bottom}, or a fraction; write one number")
    return text


def decimal_sign(amounts: Sequence[tuple[str, str]], totals: Iterable[str] = (), by_hand: bool = False) -> bool | None:
    """``decimal_comma_in`` of amounts, each behind where it stands, and of totals.

    Raises AmbiguousNumberError for ``1.250`` beside 18,5, and where people wrote ``by_hand`` beside 800.

    >>> decimal_sign([("line 1", "18,4"), ("line 2", "1,250")])
    True
    """
    comma = decimal_comma_in([*(text for _, text in amounts), *totals])
    hundreds = by_hand and comma is None and any(_HUNDREDS.match(text) for _, text in amounts)
    for where, text in amounts:
        found = _POINT_AND_THREE.match(text)
        if found and (comma or (hundreds and UNITS.get(found[3].casefold()) not in _LARGE_MASSES)):
            both = f"{found[1]}{found[2]} or {found[1]}.{found[2]}"
            raise AmbiguousNumberError(
                f"{where}: the amount {quoted(text)} could be {both}; leave out the point, or the last digit"
            )
    return comma


def basis_of(text: str) -> str:
    """``parts`` or ``percent_of_base`` from the words people use for them.

    >>> basis_of("Percent-of-base"), basis_of("% of base")
    ('percent_of_base', 'percent_of_base')
    """
    words = " ".join(text.casefold().replace("_", " ").replace("-", " ").split())
    if words not in BASIS_WORDS:
        raise RecipeError(f"additions_are is {quoted(text)}; write 'parts' or 'percent_of_base'")
    return BASIS_WORDS[words]
