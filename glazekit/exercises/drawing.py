"""Drawing the numbers of a question: the same learner always gets the same numbers, on every machine.

Numbers come from SHA-256 of class code, nickname and exercise id, so a teacher can rebuild any learner's question.
They are stored with the learner's state and reused from there: a later version of the course never changes a question
somebody has begun.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import isfinite
from typing import Any

from glazekit.exercises import (
    lesson_01,
    lesson_02,
    lesson_03,
    lesson_04,
    lesson_05,
    lesson_06,
    lesson_07,
    lesson_08,
    lesson_09,
    lesson_10,
)
from glazekit.exercises.bank import exercise
from glazekit.exercises.rules import Numbers, Rule, Solution
from glazekit.ground.errors import DataError, name_key

LESSONS = (lesson_01, lesson_02, lesson_03, lesson_04, lesson_05, lesson_06, lesson_07, lesson_08, lesson_09, lesson_10)
RULES: Mapping[str, Rule] = {name: rule for lesson in LESSONS for name, rule in lesson.RULES.items()}
"""Exercise id -> rule, for every exercise with random numbers."""

APART_TOLERANCES = 3.0
"""Two answers of one question lie more than this many tolerances apart, or the numbers are drawn again."""

_TINY = 1e-9
_MOST_DRAWS = 2000


@dataclass(frozen=True, slots=True)
class Draw:
    """The numbers of one learner's question and of its worked twin.

    >>> first = draw("1.2", "tuesday", "Wren")
    >>> first == draw("1.2", "Tuesday", " wren ") == Draw.from_dict(first.as_dict())
    True
    >>> first.numbers != draw("1.2", "tuesday", "Heron").numbers
    True
    """

    exercise_id: str
    seed: str
    numbers: tuple[tuple[str, float], ...] = ()
    twin_numbers: tuple[tuple[str, float], ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values that fit in JSON, to be stored."""
        return {
            "exercise": self.exercise_id,
            "seed": self.seed,
            "numbers": dict(self.numbers),
            "twin_numbers": dict(self.twin_numbers),
        }

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> Draw:
        """A stored draw, checked.

        Raises DataError when it does not fit the exercise (a missing name, a value that is no number).
        """
        try:
            exercise_id, seed = str(stored["exercise"]), str(stored["seed"])
            numbers, twins = dict(stored["numbers"]), dict(stored["twin_numbers"])
        except (KeyError, TypeError, ValueError) as error:
            raise DataError(f"stored numbers of an exercise are damaged: {error}") from error
        wanted = set(head_rule(exercise_id).ranges) if exercise_id in RULES else set()
        for given in (numbers, twins):
            if set(given) != wanted:
                raise DataError(f"stored numbers of exercise {exercise_id} name {sorted(given)}, expected {sorted(wanted)}")
            for name, value in given.items():
                if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
                    raise DataError(f"stored numbers of exercise {exercise_id}: {name} is {value!r}, not a number")
        return cls(exercise_id, seed, _pairs(numbers), _pairs(twins))


def draw(exercise_id: str, class_code: str, nickname: str, stored: Mapping[str, Any] | None = None) -> Draw:
    """The numbers of this learner's question.

    Parameters
    ----------
    exercise_id : such as "2.1".
    class_code, nickname : as typed; case and extra spaces do not matter.
    stored : what ``Draw.as_dict`` gave earlier, if anything. It is reused as long as it belongs to this learner and
        fits the exercise; otherwise the numbers are drawn afresh, which for an unchanged course gives the same ones.
    """
    exercise_id = exercise(exercise_id).id
    seed = f"{name_key(class_code)}/{name_key(nickname)}/{exercise_id}"
    if stored:
        try:
            kept = Draw.from_dict(stored)
        except DataError:
            kept = None
        if kept and (kept.exercise_id, kept.seed) == (exercise_id, seed):
            return kept
    if exercise_id not in RULES:
        return Draw(exercise_id, seed)
    source = f"{name_key(class_code)}/{name_key(nickname)}/{RULES[exercise_id].shares or exercise_id}"
    numbers = _draw_numbers(exercise_id, source)
    return Draw(exercise_id, seed, _pairs(numbers), _pairs(_draw_twin(exercise_id, source, numbers)))


def course_draw(exercise_id: str) -> Draw:
    """The question with the numbers printed in the course book."""
    exercise_id = exercise(exercise_id).id
    seed = f"course book/{exercise_id}"
    if exercise_id not in RULES:
        return Draw(exercise_id, seed)
    numbers = head_rule(exercise_id).course
    source = f"course book/{RULES[exercise_id].shares or exercise_id}"
    return Draw(exercise_id, seed, _pairs(numbers), _pairs(_draw_twin(exercise_id, source, numbers)))


def head_rule(exercise_id: str) -> Rule:
    """The rule whose ranges this exercise draws from: its own, or that of the exercise it goes on from."""
    return RULES[RULES[exercise_id].shares or exercise_id]


def solve(exercise_id: str, numbers: Numbers) -> Solution:
    """Right and wrong values for these numbers; an empty Solution for an exercise without numbers."""
    return RULES[exercise_id].solve(numbers) if exercise_id in RULES else Solution()


def well_apart(exercise_id: str, solution: Solution) -> bool:
    """Can every two answers be told apart: the right one and each mistake, box by box?

    Answers that fill different boxes are not compared: both can be true at once.
    """
    tolerance = {box.id: box.tolerance for box in exercise(exercise_id).boxes}
    for first, second in combinations([solution.right, *solution.wrong.values()], 2):
        shared = first.keys() & second.keys()
        if shared and all(abs(first[box] - second[box]) <= max(APART_TOLERANCES * tolerance[box], _TINY) for box in shared):
            return False
    return True


def shuffled(seed: str, items: Sequence[str]) -> tuple[str, ...]:
    """The items in an order that depends on the seed alone.

    >>> sorted(shuffled("tuesday/wren/1.5", "abc")) == list("abc")
    True
    """
    rest, order = list(items), []
    while rest:
        order.append(rest.pop(_integer(seed, "order", str(len(rest))) % len(rest)))
    return tuple(order)


def _integer(*parts: str) -> int:
    from hashlib import sha256

    return int.from_bytes(sha256("|".join(parts).encode("utf-8")).digest()[:8], "big")


def _pairs(numbers: Numbers) -> tuple[tuple[str, float], ...]:
    return tuple(sorted((name, float(value)) for name, value in numbers.items()))


@cache
def _sharers(head: str) -> tuple[str, ...]:
    return tuple(name for name, rule in RULES.items() if head in (name, rule.shares))


def _draw_numbers(exercise_id: str, source: str, unlike: Numbers | None = None) -> Numbers:
    """Numbers for which the story is true and every answer of every sharing exercise can be told apart."""
    head = RULES[exercise_id].shares or exercise_id
    rule = RULES[head]
    for attempt in range(_MOST_DRAWS):
        numbers = {
            name: span.value(_integer(source, str(attempt), name) % span.count) for name, span in sorted(rule.ranges.items())
        }
        if not rule.keep(numbers):
            continue
        if not all(well_apart(name, solve(name, numbers)) for name in _sharers(head)):
            continue
        if unlike is None or all(_differ(name, numbers, unlike) for name in _sharers(head)):
            return numbers
    raise DataError(f"exercise {exercise_id}: no numbers fit its rule; the ranges are too narrow")


def _draw_twin(exercise_id: str, source: str, numbers: Numbers) -> Numbers:
    """Other numbers for the worked twin, so that it never gives the learner's own answer away."""
    return _draw_numbers(exercise_id, f"{source}/twin", unlike=numbers)


def _differ(exercise_id: str, first: Numbers, second: Numbers) -> bool:
    one, two = solve(exercise_id, first).right, solve(exercise_id, second).right
    if not one:
        return first != second
    tolerance = {box.id: box.tolerance for box in exercise(exercise_id).boxes}
    return any(abs(one[box] - two[box]) > max(APART_TOLERANCES * tolerance[box], _TINY) for box in one)
