"""Drawing the numbers of a question: the same learner always gets the same numbers, on every machine.

Numbers come from SHA-256 of class code, nickname and exercise id, so a teacher can rebuild any learner's question.
They are kept with the learner's state and reused: a later version of the course never changes a question somebody has begun.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib import import_module
from importlib.util import find_spec
from itertools import combinations
from math import isfinite
from typing import Any

from glazekit.exercises.bank import Box, exercise
from glazekit.exercises.rules import Numbers, Rule, Solution, Steps
from glazekit.ground.errors import DataError, name_key
from glazekit.words.texts import lesson_key

APART_TOLERANCES = 3.0
"""Two answers of one question lie more than this many tolerances apart, or the numbers are drawn again."""
_TINY = 1e-9
_MOST_DRAWS = 2000


@dataclass(frozen=True, slots=True)
class Draw:
    """The numbers of one learner's question and of its worked twin.

    >>> first = draw("1.2", "tuesday", "Wren")
    >>> first == draw("1.2", "Tuesday", " wren ") == draw("1.2", "tuesday", "Wren", stored=first.as_dict())
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


def draw(exercise_id: str, class_code: str, nickname: str, stored: Mapping[str, Any] | None = None, again: int = 0) -> Draw:
    """The numbers of this learner's question.

    Parameters: exercise_id, such as "2.1"; class_code, nickname, as typed, case and extra spaces do not matter; stored, what
    ``Draw.as_dict`` gave earlier, reused as long as it belongs to this learner and fits the exercise (drawn afresh, an unchanged
    course gives the same numbers); again, how often the exercise has been done: each time it has other numbers than the last.
    """
    exercise_id = exercise(exercise_id).id
    seed = f"{name_key(class_code)}/{name_key(nickname)}/{f'again {again}/' if again else ''}{exercise_id}"
    last = dict(draw(exercise_id, class_code, nickname, again=again - 1).numbers) if again else None
    return (_kept(stored, exercise_id, seed) if stored else None) or _drawn(exercise_id, seed, unlike=last)


def course_draw(exercise_id: str) -> Draw:
    """The question with the numbers printed in the course book."""
    course = {name: steps.course for name, steps in steps_of(exercise(exercise_id).id).items()}
    return _drawn(exercise_id, f"course book/{exercise_id}", course)


def _kept(stored: Mapping[str, Any], exercise_id: str, seed: str) -> Draw | None:
    """The stored numbers, when they are this learner's and fit the exercise: each name and no other, with a finite number."""
    try:
        given = [dict(stored[name]) for name in ("numbers", "twin_numbers")]
        if (stored["exercise"], stored["seed"]) != (exercise_id, seed):
            return None
    except (KeyError, TypeError, ValueError):
        return None
    values = [value for numbers in given for value in numbers.values()]
    fits = all(numbers.keys() == steps_of(exercise_id).keys() for numbers in given)
    if not fits or not all(type(value) in (int, float) and isfinite(value) for value in values):
        return None
    return Draw(exercise_id, seed, *map(_pairs, given))


@cache
def rules_beside(exercise_id: str) -> Mapping[str, Rule]:
    """Exercise id -> rule, for every exercise with random numbers in the same lesson; found in ``lesson_NN.py`` of this room."""
    module = f"glazekit.exercises.lesson_{lesson_key(exercise_id.partition('.')[0])}"
    found: Mapping[str, Rule] = import_module(module).RULES if find_spec(module) else {}
    return found


def head_of(exercise_id: str) -> str:
    """The exercise whose numbers this one uses: itself, or the one it goes on from; empty when its numbers are fixed."""
    rule = rules_beside(exercise_id).get(exercise_id)
    return rule.shares or exercise_id if rule else ""


def steps_of(exercise_id: str) -> Mapping[str, Steps]:
    """What the numbers of an exercise are drawn from, by their names; nothing when they are fixed."""
    head = head_of(exercise_id)
    return rules_beside(head)[head].steps if head else {}


def solve(exercise_id: str, numbers: Numbers) -> Solution:
    """Right and wrong values for these numbers; an empty Solution for an exercise without numbers."""
    rule = rules_beside(exercise_id).get(exercise_id)
    return rule.solve(numbers) if rule else Solution()


def well_apart(exercise_id: str, solution: Solution) -> bool:
    """Can every two answers be told apart: the right one and each mistake, box by box? Answers that fill different boxes are not
    compared: both can be true at once."""
    near = {box.id: _near(box) for box in exercise(exercise_id).boxes}
    for first, second in combinations([solution.right, *solution.wrong.values()], 2):
        shared = first.keys() & second.keys()
        if shared and all(abs(first[box] - second[box]) <= near[box] for box in shared):
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
    return int.from_bytes(sha256("|".join(parts).encode("utf-8", "backslashreplace")).digest()[:8], "big")


def _pairs(numbers: Numbers) -> tuple[tuple[str, float], ...]:
    return tuple(sorted((name, float(value)) for name, value in numbers.items()))


def _drawn(exercise_id: str, seed: str, numbers: Numbers | None = None, unlike: Numbers | None = None) -> Draw:
    """These numbers, or those of the seed, and others for the worked twin, so that it never gives the own answer away."""
    head = head_of(exercise_id)
    if not head:
        return Draw(exercise_id, seed)
    source = f"{seed.removesuffix(exercise_id)}{head}"
    numbers = numbers or _draw_numbers(head, source, unlike)
    return Draw(exercise_id, seed, _pairs(numbers), _pairs(_draw_numbers(head, f"{source}/twin", unlike=numbers)))


def _draw_numbers(head: str, source: str, unlike: Numbers | None = None) -> Numbers:
    """Numbers for which the story is true and every answer of every sharing exercise can be told apart."""
    rules = rules_beside(head)
    sharers = [name for name, rule in rules.items() if head in (name, rule.shares)]
    for attempt in range(_MOST_DRAWS):
        numbers = {
            name: steps.value(_integer(source, str(attempt), name) % steps.count)
            for name, steps in sorted(rules[head].steps.items())
        }
        if (
            rules[head].keep(numbers)
            and all(well_apart(name, solve(name, numbers)) for name in sharers)
            and (unlike is None or all(_differ(name, numbers, unlike) for name in sharers))
        ):
            return numbers
    raise DataError(f"exercise {head}: no numbers fit its rule; there is too little to draw from")


def _differ(exercise_id: str, first: Numbers, second: Numbers) -> bool:
    one, two = solve(exercise_id, first).right, solve(exercise_id, second).right
    if not one:
        return first != second
    return any(abs(one[box.id] - two[box.id]) > _near(box) for box in exercise(exercise_id).boxes)


def _near(box: Box) -> float:
    return max(APART_TOLERANCES * box.tolerance, _TINY)
