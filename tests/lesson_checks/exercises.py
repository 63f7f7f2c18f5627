"""Checks of a lesson's exercises over 200 learners: they can be drawn, told apart, marked and helped with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import combinations

from wording import spoken

from glazekit.exercises.bank import Box, Exercise, Mistake, exercises_of
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import Draw, course_draw, draw, head_of, rules_beside, solve, well_apart
from glazekit.exercises.posing import Question, pose, right_answers
from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import show_number
from glazekit.words.course import Lesson

LEARNERS = tuple(f"learner {number}" for number in range(200))
EMPTY = ("blank", "blank_some", "blank_order")
Typed = dict[str, str]


@cache
def draws(found: Exercise) -> tuple[Draw, ...]:
    """The draw of every learner.

    Raises DataError when the exercise cannot be drawn.
    """
    return tuple(draw(found.id, "tuesday", learner) for learner in LEARNERS)


@cache
def questions(found: Exercise) -> tuple[Question, ...]:
    """The question of every learner; none when it cannot be drawn, which is the fault of another check."""
    try:
        return tuple(pose(found, drawn) for drawn in draws(found))
    except GlazekitError:
        return ()


def numbers_of(lesson: Lesson) -> list[Exercise]:
    """Its exercises that ask for numbers."""
    return [found for found in exercises_of(lesson.number) if found.kind == "number"]


def course_draw_numbers(exercise_id: str) -> dict[str, float]:
    """The numbers of the course book, whether the exercise can be drawn or not."""
    head = head_of(exercise_id)
    return {name: steps.course for name, steps in rules_beside(head)[head].steps.items()} if head else {}


# --- drawn ------------------------------------------------------------------------------------------------------------


def reached_by_a_tolerance(lesson: Lesson) -> list[str]:
    """With the course book's numbers and every learner's, no mistaken answer lies within three tolerances of the right one."""
    faults = []
    for found in numbers_of(lesson):
        drawn = [dict(question.draw.numbers) for question in questions(found)]
        for numbers in (course_draw_numbers(found.id), *drawn):
            answers = solve(found.id, numbers)
            for name, wrong in answers.wrong.items():
                reached = [b for b in found.boxes if b.id in wrong and abs(wrong[b.id] - answers.right[b.id]) <= 3 * b.tolerance]
                faults += [f"{found.id}, {box.id}: the tolerance reaches the mistake {name}, {numbers}" for box in reached]
    return faults[:5]


def undrawable(lesson: Lesson) -> list[str]:
    """Every learner gets numbers of the rule, most get others than their neighbour, and the twin has others again."""
    faults = []
    for found in exercises_of(lesson.number):
        head = head_of(found.id)
        try:
            course_draw(found.id)
            drawn_by_all = draws(found) if head else ()
        except GlazekitError as error:
            faults.append(f"{found.id} cannot be drawn: {error}")
            continue
        if head and len({drawn.numbers for drawn in drawn_by_all}) <= 5:
            faults.append(f"{found.id}: learners get the same numbers")
        for drawn in drawn_by_all:
            own, other = dict(drawn.numbers), dict(drawn.twin_numbers)
            for name, steps in rules_beside(head)[head].steps.items():
                for value in (own[name], other[name]):
                    step = (value - steps.low) / steps.step
                    if not steps.low <= value <= steps.high or abs(step - round(step)) > 1e-6:
                        faults.append(f"{found.id}: {name} is {value:g}")
            answers, twin = solve(found.id, own), solve(found.id, other).right
            if not well_apart(found.id, answers):
                faults.append(f"{found.id}: two answers lie too near each other, {own}")
            told_apart = [abs(answers.right[b.id] - twin[b.id]) > 3 * b.tolerance for b in found.boxes if b.id in twin]
            if own == other or (told_apart and not any(told_apart)):
                faults.append(f"{found.id}: the twin has the same answer, {own}")
    return faults[:5]


# --- marked -----------------------------------------------------------------------------------------------------------


def typed(question: Question, values: dict[str, float]) -> Typed:
    """Values as a learner would write them, one digit more than the page shows."""
    return {box.id: f"{values[box.id]:.{box.decimals + 2}f}" for box in question.boxes}


def right_but_refused(lesson: Lesson) -> list[str]:
    """Right numbers pass with a point or a comma, with the unit or without, up to the tolerance and not beyond it."""
    faults = []
    for found in numbers_of(lesson):
        for question in questions(found):
            values = right_answers(question)
            plain = {box.id: f"{values[box.id]:.{box.decimals}f}" for box in question.boxes}
            writings = [
                plain,
                {box.id: plain[box.id].replace(".", ",") for box in question.boxes},
                {box.id: f" {plain[box.id]} {box.unit} " for box in question.boxes},
                {box.id: f"{plain[box.id]}{box.unit}".replace(".", ",") for box in question.boxes},
            ]
            for answers in writings:
                marked = mark(question, answers)
                if marked.state != "right" or set(marked.boxes.values()) != {"right"} or not marked.message or marked.hint:
                    faults.append(f"{found.id}: {answers} is marked {marked.state}: {marked.message}")
            for box in question.boxes:
                for share in (0.9, -0.9, 1.2, -1.2):
                    state = "right" if abs(share) < 1 else "try again"
                    moved = values | {box.id: values[box.id] + share * (box.tolerance or 1)}
                    marked = mark(question, {name: repr(value) for name, value in moved.items()})
                    if (box.tolerance or state != "right") and (marked.state, marked.boxes[box.id]) != (state, state):
                        faults.append(f"{found.id}, {box.id}: {share} tolerances off is marked {marked.state}")
    return faults[:5]


def refused_for_a_comma(lesson: Lesson) -> list[str]:
    """Where the course asks for decimals, a comma with three digits behind it is a decimal comma."""
    faults = []
    for found in numbers_of(lesson):
        if not all(box.decimals for box in found.boxes):
            continue  # whole grams: there 1,097 may be a thousand, and it is asked about
        for question in questions(found)[:40]:
            right = question.solution.right
            if any(abs(value) >= 1000 for value in right.values()):
                faults.append(f"{found.id}: a comma could part thousands in {right}")
            for decimals in (2, 3, 4):
                said = {box.id: show_number(right[box.id], max(decimals, box.decimals)) for box in found.boxes}
                answers = {box: text.replace(".", ",") for box, text in said.items()}
                if mark(question, answers).state != "right":
                    faults.append(f"{found.id}: {answers} is refused")
    return faults[:5]


def mistakes_untold(lesson: Lesson) -> list[str]:
    """Every known mistake is recognised and gets a message of its own."""
    faults = []
    for found in exercises_of(lesson.number):
        for question in questions(found):
            if found.kind == "number":
                solution, said = question.solution, {}
                for name, shown in solution.wrong.items():
                    marked = mark(question, typed(question, {**solution.right, **shown}))
                    if (marked.state, marked.mistake) != ("try again", name):
                        faults.append(f"{found.id}: {name} is taken for '{marked.mistake}', {question.draw.numbers}")
                    said[name] = marked.message
                if len(set(said.values())) < len(said):
                    faults.append(f"{found.id}: two mistakes are told the same")
                continue
            if mark(question, right_answers(question)).state != "right":
                faults.append(f"{found.id}: the right choice is refused")
            for mistake in found.mistakes:
                for group in answers_showing(found, mistake):
                    marks = [mark(question, answers) for answers in group]
                    if "right" in {marked.state for marked in marks} or mistake.id not in {marked.mistake for marked in marks}:
                        faults.append(f"{found.id}: {mistake.id} is not told")
    return faults[:5]


def answers_showing(found: Exercise, mistake: Mistake) -> Iterator[list[dict[str, Sequence[str]]]]:
    """Groups of answers that are right but for this one mistake; one of each group has to be recognised as it."""
    for box in found.boxes:
        if mistake.box not in ("", box.id):
            continue
        rest: dict[str, Sequence[str]] = {other.id: list(other.right) for other in found.boxes if other is not box}
        if mistake.picked:
            yield [rest | {box.id: mistake.picked}]
        elif mistake.ticked:
            yield [rest | {box.id: [*box.right, mistake.ticked]}]
        elif mistake.missed:
            yield [rest | {box.id: [name for name in box.right if name != mistake.missed]}]
        for pair in mistake.before:
            yield [rest | {box.id: order} for order in _orders_with(box, pair)]


def _orders_with(box: Box, pair: tuple[str, str]) -> tuple[list[str], list[str]]:
    """The right order with one step moved: the first of the pair to just before the second, or the second to just after it."""
    first, second = pair
    early = [name for name in box.right if name != first]
    early.insert(early.index(second), first)
    late = [name for name in box.right if name != second]
    late.insert(late.index(first) + 1, second)
    return early, late


def counted_as_a_try(lesson: Lesson) -> list[str]:
    """Nothing yet is no try, and is told kindly."""
    faults = []
    for found in exercises_of(lesson.number):
        for question in questions(found)[:20]:
            ids = [box.id for box in question.boxes]
            empties: list[dict[str, str | Sequence[str] | None]] = [{}, dict.fromkeys(ids), dict.fromkeys(ids, "")]
            if found.kind == "number":
                empties += [dict.fromkeys(ids, text) for text in ("   ", "...", "…", "?", "-")]
            else:
                empties.append(dict.fromkeys(ids, ()))
            if found.kind == "put in order":
                empties.append({box.id: [option.id for option in box.options] for box in question.boxes})
            for answers, tries in ((answers, tries) for answers in empties for tries in (0, 2)):
                marked = mark(question, answers, tries)
                kind = any(spoken(f"lesson_00.marking.{key}", marked.message) is not None for key in EMPTY)
                if (marked.state, marked.tries, kind) != ("blank", tries, True):
                    faults.append(f"{found.id}: {answers} is marked {marked.state}: {marked.message}")
    return faults[:5]


SAME_NUMBER = ("1.1", "3.1", "3.6")
"""Exercises whose answer may well be one of the numbers that the help shows (100, a whole number of pours)."""


def helped_too_little_or_too_much(lesson: Lesson) -> list[str]:
    """Help grows with each try, from nothing to a first step to a twin, and never gives the answer away."""
    faults = []
    for found in exercises_of(lesson.number):
        for question in questions(found)[:30]:
            right = right_answers(question)
            if found.kind == "number":
                answers: dict[str, Sequence[str]] = dict(typed(question, {box: value * 7.7 for box, value in right.items()}))
            else:
                answers = next(answers_showing(found, found.mistakes[0]))[0]
            marks = [mark(question, answers, tries) for tries in range(5)]
            grows = [(marked.hint_level, marked.tries, bool(marked.hint)) for marked in marks]
            if grows != [(1, 1, False), (2, 2, True), (3, 3, True), (3, 4, True), (3, 5, True)]:
                faults.append(f"{found.id}: help grows as {grows}")
            if len({marked.message for marked in marks}) != 1 or not marks[1].hint != marks[2].hint == marks[3].hint:
                faults.append(f"{found.id}: the message changes, or the help does not")
            for box in question.boxes if found.kind == "number" and found.id not in SAME_NUMBER else ():
                if f" {right[box.id]:.{box.decimals}f} " in f"{marks[1].hint} {marks[2].hint}":
                    faults.append(f"{found.id}: the help holds the answer {right[box.id]:g}")
    return faults[:5]


GOES_ON_FROM_THE_RESULT = ("9.4",)
"""Exercises that begin with the result of the one before."""


def given_away_by_another(lesson: Lesson) -> list[str]:
    """No question with the same numbers shows the answer of an earlier one."""
    faults = []
    for earlier, later in combinations(numbers_of(lesson), 2):
        if head_of(earlier.id) != head_of(later.id) or later.id in GOES_ON_FROM_THE_RESULT:
            continue
        for first, second in zip(questions(earlier)[:100], questions(later)[:100], strict=True):
            for box in earlier.boxes:
                if box.decimals > 1 and f" {first.solution.right[box.id]:.{box.decimals}f}" in second.text:
                    faults.append(f"{later.id} shows the answer of {earlier.id}: {second.text}")
    return faults[:5]


CHECKS = (
    reached_by_a_tolerance,
    undrawable,
    right_but_refused,
    refused_for_a_comma,
    mistakes_untold,
    counted_as_a_try,
    helped_too_little_or_too_much,
    given_away_by_another,
)
