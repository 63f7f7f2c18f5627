"""The cone number as a type: 06 is not 6, and 5-6 is a range."""

import re
from dataclasses import dataclass

from glazekit.ground.errors import NumberError, quoted
from glazekit.ground.numbers import tidy_signs

_ONE = r"(?:0?[1-9]\d?|0?5\.5|0+)"
_CONE = re.compile(rf"(?:cone|c\.?|\^)?\s*({_ONE})(?:\s*(?:-|to)\s*({_ONE}))?\s*", re.IGNORECASE)


def _rank(text: str) -> float:
    """Position on the cone scale: ... 02, 01, 1, 2 ...; a leading zero counts downwards; 05.5 and 5.5 are the two half cones."""
    number = float(text)
    return -number if text.startswith("0") and number > 0 else number


@dataclass(frozen=True, slots=True, order=False)
class Cone:
    """A pyrometric cone number, or a range of two, as written on a recipe.

    ``low`` and ``high`` are cone numbers as text, such as "06" or "6"; equal unless it is a range.

    >>> Cone.parse("Cone 06") < Cone.parse("6")
    True
    >>> str(Cone.parse("5-6")), Cone.parse("06") == Cone.parse("6")
    ('5-6', False)

    Limits: a cone is a number on a scale of heat work, not a temperature.
    """

    low: str
    high: str

    @classmethod
    def parse(cls, text: str) -> "Cone":
        """Read ``6``, ``06``, ``cone 6``, ``5-6`` or ``5 to 6``.

        Raises NumberError when the text is no cone or lies outside 022 to 42.
        """
        match = _CONE.fullmatch(tidy_signs(str(text)))
        if not match:
            raise NumberError(f"{quoted(text)} is not a cone; write it like 6, 06 or 5-6 (the zero matters)")
        low, high = match[1], match[2] or match[1]
        if not low.strip("0") or not high.strip("0"):
            raise NumberError(f"{quoted(text)} is not a cone: there is no cone 0; cone 01 is followed by cone 1")
        if not -22 <= _rank(low) <= _rank(high) <= 42:
            raise NumberError(f"{quoted(text)} is not a cone range from lower to higher between 022 and 42")
        return cls(low, high)

    def __str__(self) -> str:
        return self.low if self.low == self.high else f"{self.low}-{self.high}"

    def steps_to(self, other: "Cone") -> int:
        """How many cones lie between this and another, 0 when the two ranges meet; 01 and 1 are neighbours.

        >>> Cone.parse("02").steps_to(Cone.parse("2")), Cone.parse("5-6").steps_to(Cone.parse("6-8"))
        (3, 0)
        """
        low, high = sorted((self, other))
        first, second = _rank(low.high), _rank(high.low)
        return int(max(0, second - first - (first < 0 < second)))

    def __lt__(self, other: "Cone") -> bool:
        """Lower on the scale of heat work; a range is compared by its low end, then its high end."""
        return (_rank(self.low), _rank(self.high)) < (_rank(other.low), _rank(other.high))
