"""What an exercise with random numbers is made of: ranges to draw from and an answer function."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

Numbers = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Range:
    """Evenly stepped numbers from ``low`` to ``high``, both included.

    >>> Range(1, 2, 0.5).count, Range(1, 2, 0.5).value(1)
    (3, 1.5)
    """

    low: float
    high: float
    step: float

    @property
    def count(self) -> int:
        """How many numbers there are."""
        return round((self.high - self.low) / self.step) + 1

    def value(self, index: int) -> float:
        """Number ``index`` of the range, free of binary dust."""
        return round(self.low + index * self.step, 6)


@dataclass(frozen=True, slots=True)
class Solution:
    """What the numbers of one question lead to.

    Parameters
    ----------
    right : box id -> right value [unit of the box].
    wrong : mistake id -> the values that show it, box id -> value; earlier ones are tried first.
    words : further placeholders of the texts, already written as text or as plain numbers.
    """

    right: Mapping[str, float] = field(default_factory=dict)
    wrong: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    words: Mapping[str, str | float] = field(default_factory=dict)


def _always(_: Numbers) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Rule:
    """How an exercise gets its numbers and its answers.

    Parameters
    ----------
    ranges : number name -> range to draw from.
    course : the numbers printed in the course book.
    solve : answer function: numbers -> Solution.
    keep : is the story true for these numbers? Draws that fail are drawn again.
    shares : id of the exercise whose numbers this one goes on with (same page, same slip); then ranges may stay empty.
    """

    solve: Callable[[Numbers], Solution]
    ranges: Mapping[str, Range] = field(default_factory=dict)
    course: Numbers = field(default_factory=dict)
    keep: Callable[[Numbers], bool] = _always
    shares: str = ""
