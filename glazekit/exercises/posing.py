"""Posing: an exercise and one learner's numbers become a question that can be read, and its answer key."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from glazekit.exercises.draws import Draw, shuffled, solve
from glazekit.exercises.question_parts import Box, Exercise, Option
from glazekit.exercises.rules import Solution
from glazekit.exercises.worked import filled
from glazekit.ground.errors import DataError
from glazekit.ground.numbers import show_number
from glazekit.words.texts import phrase

_BELOW_ZERO = re.compile(r"^-(?=\d)")


@dataclass(frozen=True, slots=True)
class Question:
    """An exercise with one learner's numbers in it, ready to be shown.

    Parameters
    ----------
    exercise, draw : what it was made from.
    text : the question as read.
    boxes : where answers go, labels and options filled in; options stand in the order to be shown.
    solution : right and wrong values.
    words, twin_words : what fills the placeholders of the question and of its worked twin.
    """

    exercise: Exercise
    draw: Draw
    text: str
    boxes: tuple[Box, ...]
    solution: Solution = field(repr=False)
    words: Mapping[str, str] = field(repr=False)
    twin_words: Mapping[str, str] = field(repr=False)

    @property
    def id(self) -> str:
        """Exercise id."""
        return self.exercise.id

    @property
    def kind(self) -> str:
        """One of ``question_parts.KINDS``."""
        return self.exercise.kind

    @property
    def title(self) -> str:
        """Short name of the exercise."""
        return self.exercise.title


def pose(exercise: Exercise, draw: Draw) -> Question:
    """The question this learner sees.

    >>> from glazekit.exercises import course_draw, exercise
    >>> pose(exercise("1.2"), course_draw("1.2")).text[:29]
    'An empty cup weighs 38.2 g. Y'
    """
    solution, words = _solved(exercise, dict(draw.numbers))
    _, twin_words = _solved(exercise, dict(draw.twin_numbers)) if draw.twin_numbers else (solution, {})
    boxes = tuple(_posed_box(exercise, box, draw.seed, words) for box in exercise.boxes)
    return Question(exercise, draw, fill(exercise, exercise.text, words), boxes, solution, words, twin_words)


def right_answers(question: Question) -> dict[str, float | tuple[str, ...]]:
    """The answer key of one learner's question, for the teacher: box id -> right value, or the right option ids."""
    if question.kind == "number":
        return dict(question.solution.right)
    return {box.id: box.right for box in question.boxes}


def _solved(exercise: Exercise, numbers: Mapping[str, float]) -> tuple[Solution, dict[str, str]]:
    """Answers, and every placeholder the texts may use: the numbers, the right values, the further words of the solution."""
    solution = solve(exercise.id, numbers)
    words = {name: f"{value:g}" for name, value in numbers.items()}
    for box in exercise.boxes:
        if box.id in solution.right:
            words[f"right_{box.id}"] = show_number(solution.right[box.id], box.decimals)
    for name, value in solution.words.items():
        words[name] = value if isinstance(value, str) else f"{value:g}"
    return solution, {name: _BELOW_ZERO.sub("−", word) for name, word in words.items()}


def fill(exercise: Exercise, text: str, words: Mapping[str, str]) -> str:
    """A text of this exercise with its placeholders filled in; DataError names a placeholder that has no value."""
    try:
        return filled(text, words)
    except DataError as error:
        raise DataError(f"exercise {exercise.id}: {error}") from error
    except (KeyError, ValueError, IndexError) as error:
        raise DataError(f"exercise {exercise.id}: a text uses the placeholder {error}, which has no value") from error


def _posed_box(exercise: Exercise, box: Box, seed: str, words: Mapping[str, str]) -> Box:
    options = tuple(Option(option.id, fill(exercise, option.text, words)) for option in box.options)
    if exercise.kind == "put in order" or exercise.shuffle:
        by_id = {option.id: option for option in options}
        order = shuffled(f"{seed}/{box.id}", list(by_id))
        if exercise.kind == "put in order" and ordered(box, order) == box.right:
            order = order[::-1]  # never show the solved row; no row we ask for reads the same backwards
        options = tuple(by_id[name] for name in order)
    told = _tolerance_text(box) if exercise.kind == "number" else ""
    return replace(box, label=fill(exercise, box.label, words), options=options, tolerance_text=told)


def _tolerance_text(box: Box) -> str:
    """How exact the answer must be, in words for the learner."""
    return phrase("tolerance").format(tolerance=f"{box.tolerance:g}", unit=box.unit) if box.tolerance else phrase("exact")


def ordered(box: Box, ids: Sequence[str]) -> tuple[str, ...]:
    """The ids with options of equal text renamed in order of appearance: two steps "mix" can stand for each other."""
    text_of = {option.id: option.text for option in box.options}
    same: dict[str, list[str]] = {}
    for option in sorted(box.options, key=lambda o: box.right.index(o.id) if o.id in box.right else len(box.right)):
        same.setdefault(option.text, []).append(option.id)
    return tuple(same[text_of[name]].pop(0) for name in ids)
