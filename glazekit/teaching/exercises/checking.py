"""Marking: what a learner typed, picked, ticked or moved becomes a kind answer.

Order of looking: nothing there yet (not a try) - cannot be read (not a try) - right - a mistake we know - one of the
general slips (decimal point, swapped boxes, rounded too early) - none of these. Listed mistakes come before the general
slips because they say more about the same number; ``drawing.well_apart`` keeps the answers of one question apart.
First try: the likely cause. Second: the cause and a first step with their numbers. Third: the cause and a worked twin
with other numbers. Nothing is ever blocked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from glazekit.ground.errors import BookError, DataError, GlazekitError
from glazekit.ground.numbers import show_number
from glazekit.teaching.exercises.bank import Box, Exercise, Mistake, Option, lesson_text
from glazekit.teaching.exercises.drawing import Draw, shuffled, solve
from glazekit.teaching.exercises.reading import read_answer
from glazekit.teaching.exercises.rules import Solution

HINT_LEVELS = 3
SLIP_FACTORS = {"decimal_point": (10.0, 0.1), "hundred": (100.0, 0.01), "thousand": (1000.0, 0.001)}
"""General slips: a right answer times one of these. The names are phrases of the marker in lesson_00.toml."""

_DUST = 1e-9
Answers = Mapping[str, str | Sequence[str] | None]


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
        """One of ``bank.KINDS``."""
        return self.exercise.kind

    @property
    def title(self) -> str:
        """Short name of the exercise."""
        return self.exercise.title


@dataclass(frozen=True, slots=True)
class Mark:
    """What the page says to an answer.

    Parameters
    ----------
    state : "blank" (not a try: empty or unreadable), "right" or "try again".
    message : what to show; for a try the likely cause.
    hint : first step (second try) or worked twin (from the third try), else empty.
    hint_level : 0 to 3, how much help has been shown.
    tries : tries so far, this one included.
    boxes : box id -> "blank", "unread", "right", "try again", or "" for a box not judged because another is blank or unread.
    mistake : id of the mistake recognised, or of the general slip; empty when none was.
    """

    state: str
    message: str
    hint: str = ""
    hint_level: int = 0
    tries: int = 0
    boxes: Mapping[str, str] = field(default_factory=dict)
    mistake: str = ""


def pose(exercise: Exercise, draw: Draw) -> Question:
    """The question this learner sees.

    >>> from glazekit.teaching.exercises import bank, drawing
    >>> question = pose(bank.exercise("1.2"), drawing.course_draw("1.2"))
    >>> mark(question, {"feldspar_g": "26,0 g"}).state
    'right'
    """
    solution = solve(exercise.id, dict(draw.numbers))
    words = _words(exercise, dict(draw.numbers), solution)
    twin_words = (
        _words(exercise, dict(draw.twin_numbers), solve(exercise.id, dict(draw.twin_numbers))) if draw.twin_numbers else {}
    )
    boxes = tuple(_posed_box(exercise, box, draw.seed, words) for box in exercise.boxes)
    return Question(exercise, draw, _fill(exercise, exercise.text, words), boxes, solution, words, twin_words)


def mark(question: Question, answers: Answers, tries: int = 0) -> Mark:
    """Mark one attempt.

    Parameters
    ----------
    question : from ``pose``.
    answers : box id -> typed text, picked option id, or the ticked or ordered option ids.
    tries : tries made before this one.

    Returns a Mark; an empty or unreadable answer is no try.
    """
    said = {box.id: answers.get(box.id) for box in question.boxes}
    empty = [box for box in question.boxes if _is_blank(question, box, said[box.id])]
    if empty:
        states = {box.id: "blank" if box in empty else "" for box in question.boxes}
        return Mark("blank", _blank_text(question, empty), hint_level=min(tries, HINT_LEVELS), tries=tries, boxes=states)
    if question.kind == "number":
        return _mark_numbers(question, {box: str(text) for box, text in said.items()}, tries)
    return _mark_choices(question, {box: _as_ids(choice) for box, choice in said.items()}, tries)


def right_answers(question: Question) -> dict[str, float | tuple[str, ...]]:
    """The answer key of one learner's question, for the teacher: box id -> right value, or the right option ids."""
    if question.kind == "number":
        return dict(question.solution.right)
    return {box.id: box.right for box in question.boxes}


def record_of(question: Question, mark: Mark) -> dict[str, Any]:
    """What the learner's book stores of an exercise, and nothing else; the book itself adds id and time.

    >>> from glazekit.teaching.exercises import bank, drawing
    >>> question = pose(bank.exercise("1.4"), drawing.draw("1.4", "tuesday", "Wren"))
    >>> record_of(question, mark(question, {"move": "spoon_back"}))["seed"]
    'tuesday/wren/1.4'

    Raises BookError for an answer that was no try: nothing happened that a book could keep.
    """
    if mark.state == "blank":
        raise BookError(f"exercise {question.id} has not been answered yet; there is nothing to record")
    return {
        "exercise": question.id,
        "seed": question.draw.seed,
        "tries": mark.tries,
        "hint_level": mark.hint_level,
        "state": mark.state,
    }


# --- filling in -------------------------------------------------------------------------------------------------------


def _words(exercise: Exercise, numbers: Mapping[str, float], solution: Solution) -> dict[str, str]:
    """Every placeholder the texts of this question may use: its numbers, its right values, its further words."""
    words: dict[str, str] = {name: f"{value:g}" for name, value in numbers.items()}
    for box in exercise.boxes:
        if box.id in solution.right:
            words[f"right_{box.id}"] = show_number(solution.right[box.id], box.decimals)
    for name, value in solution.words.items():
        words[name] = value if isinstance(value, str) else f"{value:g}"
    return words


def _fill(exercise: Exercise, text: str, words: Mapping[str, str]) -> str:
    try:
        return text.format_map(words)
    except (KeyError, ValueError, IndexError) as error:
        raise DataError(f"exercise {exercise.id}: a text uses the placeholder {error}, which has no value") from error


def _posed_box(exercise: Exercise, box: Box, seed: str, words: Mapping[str, str]) -> Box:
    options = tuple(Option(option.id, _fill(exercise, option.text, words)) for option in box.options)
    if exercise.kind == "put in order" or exercise.shuffle:
        by_id = {option.id: option for option in options}
        order = shuffled(f"{seed}/{box.id}", list(by_id))
        if exercise.kind == "put in order" and _ordered(box, order) == box.right:
            order = order[::-1]  # never show the solved row; no row we ask for reads the same backwards
        options = tuple(by_id[name] for name in order)
    return replace(box, label=_fill(exercise, box.label, words), options=options)


def _phrase(name: str) -> str:
    """A general sentence of the marker, from the course text."""
    return str(lesson_text("00")["marking"][name])


# --- blank ------------------------------------------------------------------------------------------------------------


def _as_ids(choice: str | Sequence[str] | None) -> tuple[str, ...]:
    if choice is None or choice == "":
        return ()
    return (choice,) if isinstance(choice, str) else tuple(choice)


def _is_blank(question: Question, box: Box, said: str | Sequence[str] | None) -> bool:
    if question.kind == "number":
        return not str(said if said is not None else "").strip(" \t\n…._-?")
    shown = tuple(option.id for option in box.options)
    return not _as_ids(said) or (question.kind == "put in order" and _as_ids(said) == shown)


def _blank_text(question: Question, empty: Sequence[Box]) -> str:
    if question.kind == "put in order":
        return _phrase("blank_order")
    if len(empty) == len(question.boxes):
        return _phrase("blank")
    return _phrase("blank_some").format(boxes=", ".join(box.label for box in empty))


# --- numbers ----------------------------------------------------------------------------------------------------------


def _mark_numbers(question: Question, said: Mapping[str, str], tries: int) -> Mark:
    values: dict[str, float] = {}
    states: dict[str, str] = {}
    unread: list[str] = []
    for box in question.boxes:
        try:
            values[box.id] = read_answer(said[box.id], box)
        except GlazekitError as error:
            unread.append(str(error))
            states[box.id] = "unread"
        else:
            states[box.id] = ""
    if unread:
        text = _phrase("unread").format(why=" ".join(unread))
        return Mark("blank", text, hint_level=min(tries, HINT_LEVELS), tries=tries, boxes=states)
    for box in question.boxes:
        near = abs(values[box.id] - question.solution.right[box.id]) <= box.tolerance + _DUST
        states[box.id] = "right" if near else "try again"
    if all(state == "right" for state in states.values()):
        return _right(question, states, tries)
    mistake, message = _cause_of_numbers(question, values, states)
    return _try_again(question, states, tries, mistake, message)


def _cause_of_numbers(question: Question, values: Mapping[str, float], states: Mapping[str, str]) -> tuple[str, str]:
    boxes = {box.id: box for box in question.boxes}
    right = question.solution.right
    texts = {mistake.id: mistake.text for mistake in question.exercise.mistakes}
    for name, shown in question.solution.wrong.items():
        if all(_matches(values[box], value, right[box], boxes[box].tolerance) for box, value in shown.items()):
            return name, _fill(question.exercise, texts[name], question.words)
    for box, state in states.items():
        if state != "right" and (slip := _general_slip(question, boxes[box], values[box])):
            return slip
    return "", _fill(question.exercise, question.exercise.otherwise, question.words)


def _matches(value: float, target: float, right: float, tolerance: float) -> bool:
    """Is the value this target, at least as exactly in proportion as a right answer has to be?"""
    return abs(value - target) <= tolerance * min(1.0, abs(target / right) if right else 1.0) + _DUST


def _general_slip(question: Question, box: Box, value: float) -> tuple[str, str] | None:
    """A slip that can happen in any exercise: name and message."""
    right = question.solution.right
    for name, factors in SLIP_FACTORS.items():
        if any(abs(value / factor - right[box.id]) <= max(box.tolerance, abs(right[box.id]) / 200) for factor in factors):
            return name, _phrase(name).format(box=box.label, unit=box.unit)
    for other in question.boxes:
        if other.id != box.id and abs(value - right[other.id]) <= other.tolerance + _DUST:
            return "swapped", _phrase("swapped").format(box=box.label, other=other.label)
    if _rounded_early(value, right[box.id], box):
        return "rounded_early", _phrase("rounded_early").format(box=box.label)
    return None


def _rounded_early(value: float, right: float, box: Box) -> bool:
    """Nearly right, or the right value with digits missing."""
    if box.tolerance and abs(value - right) <= 3 * box.tolerance:
        return True
    return any(abs(value - float(show_number(right, digits))) <= _DUST for digits in range(box.decimals))


# --- choices ----------------------------------------------------------------------------------------------------------


def _ordered(box: Box, ids: Sequence[str]) -> tuple[str, ...]:
    """The ids with options of equal text renamed in order of appearance: two steps "mix" can stand for each other."""
    text_of = {option.id: option.text for option in box.options}
    same: dict[str, list[str]] = {}
    for option in sorted(box.options, key=lambda o: box.right.index(o.id) if o.id in box.right else len(box.right)):
        same.setdefault(option.text, []).append(option.id)
    return tuple(same[text_of[name]].pop(0) for name in ids)


def _mark_choices(question: Question, said: Mapping[str, tuple[str, ...]], tries: int) -> Mark:
    chosen: dict[str, tuple[str, ...]] = {}
    states: dict[str, str] = {}
    for box in question.boxes:
        ids = tuple(dict.fromkeys(said[box.id]))
        unknown = set(ids) - {option.id for option in box.options}
        if unknown:
            raise DataError(f"exercise {question.id}: '{sorted(unknown)[0]}' is not one of the options of {box.label}")
        if question.kind == "put in order" and len(ids) < len(box.options):
            return Mark("blank", _phrase("blank_order"), hint_level=min(tries, HINT_LEVELS), tries=tries, boxes={box.id: "blank"})
        chosen[box.id] = _ordered(box, ids) if question.kind == "put in order" else ids
        same = chosen[box.id] == box.right if question.kind == "put in order" else set(ids) == set(box.right)
        states[box.id] = "right" if same else "try again"
    if all(state == "right" for state in states.values()):
        return _right(question, states, tries)
    for mistake in question.exercise.mistakes:
        for box in question.boxes:
            if mistake.box in ("", box.id) and states[box.id] != "right" and _shows(mistake, chosen[box.id]):
                return _try_again(question, states, tries, mistake.id, _fill(question.exercise, mistake.text, question.words))
    return _try_again(question, states, tries, "", _fill(question.exercise, question.exercise.otherwise, question.words))


def _shows(mistake: Mistake, chosen: tuple[str, ...]) -> bool:
    """Do these choices show this mistake?"""
    if mistake.picked or mistake.ticked:
        return (mistake.picked or mistake.ticked) in chosen
    if mistake.missed:
        return mistake.missed not in chosen
    return any(chosen.index(first) < chosen.index(second) for first, second in mistake.before)


# --- saying it --------------------------------------------------------------------------------------------------------


def _right(question: Question, states: Mapping[str, str], tries: int) -> Mark:
    text = _fill(question.exercise, question.exercise.right_text, question.words)
    return Mark("right", text, hint_level=min(tries, HINT_LEVELS), tries=tries + 1, boxes=states)


def _try_again(question: Question, states: Mapping[str, str], tries: int, mistake: str, message: str) -> Mark:
    level = min(tries + 1, HINT_LEVELS)
    hint = ""
    if level == 2:
        hint = _fill(question.exercise, question.exercise.first_step, question.words)
    elif level == HINT_LEVELS:
        hint = _fill(question.exercise, question.exercise.twin, question.twin_words)
    return Mark("try again", message, hint, level, tries + 1, states, mistake)
