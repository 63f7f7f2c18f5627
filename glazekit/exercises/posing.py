"""Posing: an exercise and one learner's numbers become a question that can be read, and its answer key.

Sums that a text spells out are worked out from the numbers that stand in it, and rounded once: ``{ratio} × {ratio} = {sum:2}``
prints the product of the two numbers as printed. So a sum written with "=" comes out when a
learner does it again, whatever was drawn.
"""

import ast
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from operator import add, mul, sub, truediv

from glazekit.exercises.bank import Box, Exercise, Option
from glazekit.exercises.draws import Draw, shuffled, solve
from glazekit.exercises.rules import Solution
from glazekit.ground.errors import DataError
from glazekit.ground.numbers import show_number
from glazekit.words.texts import phrase

_BELOW_ZERO = re.compile(r"^-(?=\d)")
_TERM = r"\(*−?\d[\d.]*(?: [A-Za-z][A-Za-z ]*?)?\)*(?: [A-Za-z][A-Za-z ]*?)?"  # a number, with its unit or without
_SUM = re.compile(rf"({_TERM}(?: [+−×÷] {_TERM})+) = $")
_RESULT = re.compile(r"\{sum:(\d+)(?::(\w+))?\}")  # its decimals, and the name it is kept under
_SIGNS = str.maketrans("−×÷", "-*/")
_DO = {ast.Add: add, ast.Sub: sub, ast.Mult: mul, ast.Div: truediv}


@dataclass(frozen=True, slots=True)
class Question:
    """An exercise with one learner's numbers in it, ready to be shown.

    Parameters: exercise, draw, what it was made from; text, as read; boxes, where answers go, with labels filled in and options
    in the order to be shown, those left out that an earlier step answers; solution, right and wrong values; left, how many steps,
    the last ones, the learner has to do; words, twin_words, what fills the placeholders of the question and of its worked twin.
    """

    exercise: Exercise
    draw: Draw
    text: str
    boxes: tuple[Box, ...]
    solution: Solution = field(repr=False)
    left: int
    words: Mapping[str, str] = field(repr=False)
    twin_words: Mapping[str, str] = field(repr=False)

    @property
    def id(self) -> str:
        """Exercise id."""
        return self.exercise.id

    @property
    def kind(self) -> str:
        """One of ``bank.KINDS``."""
        return self.exercise.kind

    def worked(self) -> list[str]:
        """The steps that are done for the learner, with the learner's own numbers."""
        return self._steps(self.words)[: len(self.exercise.steps) - self.left]

    def twin(self) -> list[str]:
        """The worked twin, step by step."""
        return self._steps(self.twin_words)

    def next_step(self) -> str:
        """The first step that is still to do; the twin's where it is the last one, so that it does not give the answer away."""
        return self._steps(self.twin_words if self.left == 1 else self.words)[-self.left]

    def _steps(self, words: Mapping[str, str]) -> list[str]:
        return fill(self.exercise, self.exercise.twin, words).split("\n")


def pose(exercise: Exercise, draw: Draw, rounds: Sequence[int] | None = None) -> Question:
    """The question this learner sees; the whole of it without ``rounds``, the tries of each earlier one (``steps_left``).

    >>> from glazekit.exercises.bank import exercise
    >>> from glazekit.exercises.draws import course_draw
    >>> pose(exercise("1.2"), course_draw("1.2")).text[:29]
    'An empty cup weighs 38.2 g. Y'
    """
    solution, words = _solved(exercise, dict(draw.numbers))
    _, twin_words = _solved(exercise, dict(draw.twin_numbers)) if draw.twin_numbers else (solution, {})
    left = len(exercise.steps) if rounds is None else exercise.steps_left(rounds)
    given = {box for step in exercise.steps[: len(exercise.steps) - left] for box in step.gives}
    boxes = tuple(_posed_box(exercise, box, draw.seed, words) for box in exercise.boxes if box.id not in given)
    return Question(exercise, draw, fill(exercise, exercise.text, words), boxes, solution, left, words, twin_words)


def right_answers(question: Question) -> dict[str, float | tuple[str, ...]]:
    """The answer key of one learner's question, for the teacher: box id -> right value, or the right option ids."""
    if question.kind == "number":
        return {box.id: question.solution.right[box.id] for box in question.boxes}
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
    told = ""
    if exercise.kind == "number":
        told = phrase("tolerance").format(tolerance=f"{box.tolerance:g}", unit=box.unit) if box.tolerance else phrase("exact")
    return replace(box, label=fill(exercise, box.label, words), options=options, tolerance_text=told)


def ordered(box: Box, ids: Sequence[str]) -> tuple[str, ...]:
    """The ids with options of equal text renamed in order of appearance: two steps "mix" can stand for each other."""
    text_of = {option.id: option.text for option in box.options}
    same: dict[str, list[str]] = {}
    for option in sorted(box.options, key=lambda o: box.right.index(o.id) if o.id in box.right else len(box.right)):
        same.setdefault(option.text, []).append(option.id)
    return tuple(same[text_of[name]].pop(0) for name in ids)


def filled(text: str, words: Mapping[str, str]) -> str:
    """A text with its placeholders filled in and its sums worked out.

    >>> filled("{thick} ÷ {thin} = {sum:2}, so more.", {"thick": "1.3", "thin": "0.8"})
    '1.3 ÷ 0.8 = 1.63, so more.'
    >>> filled("(2 + {clay} g) ÷ 3 g per mole = {sum:1:mol} mol, 2 × {mol} = {sum:1}.", {"clay": "4"})
    '(2 + 4 g) ÷ 3 g per mole = 2.0 mol, 2 × 2.0 = 4.0.'

    Raises KeyError for a placeholder that has no value, DataError for a ``{sum:...}`` without a sum before it.
    """
    known, said, pieces = dict(words), "", _RESULT.split(text)
    for piece, decimals, name in zip(pieces[::3], [*pieces[1::3], ""], [*pieces[2::3], ""], strict=True):
        said += piece.format_map(known)
        if decimals:
            found = _SUM.search(said)
            if not found:
                raise DataError(f"no sum that can be worked out stands before its result: {text}")
            term = re.sub("[A-Za-z]", "", found[1]).translate(_SIGNS)
            result = show_number(_value(ast.parse(term, mode="eval").body), int(decimals)).replace("-", "−")
            known, said = known | {name or "": result}, said + result
    return said


def _value(part: ast.expr) -> float:
    if isinstance(part, ast.BinOp):
        return float(_DO[type(part.op)](_value(part.left), _value(part.right)))
    return -_value(part.operand) if isinstance(part, ast.UnaryOp) else float(ast.literal_eval(part))
