"""Help that fades: of a long sum the last step is left to the learner, then two, then all; over 200 learners."""

from __future__ import annotations

from itertools import pairwise

import pytest
from lesson_checks.exercises import questions, typed
from lesson_checks.sums import sums_in

from glazekit.exercises.bank import Exercise, _as_exercise, exercises_of
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import course_draw, draw
from glazekit.exercises.posing import Question, pose, right_answers
from glazekit.ground.errors import DataError
from glazekit.words.course import course

FADING = [exercise for lesson in course() for exercise in exercises_of(lesson.number) if exercise.steps]
EASY, HARD = [1], [3]
"""A round that was right at once, and one that took three tries."""
faded = pytest.mark.parametrize("found", FADING, ids=[found.id for found in FADING])


def round_of(found: Exercise, learner: str, rounds: list[int]) -> Question:
    """The question of a learner who has been through these rounds."""
    return pose(found, draw(found.id, "tuesday", learner, again=len(rounds)), rounds)


def test_the_long_sums_of_the_course_fade():
    assert {found.id for found in FADING} >= {"10.5", "5.2", "6.4", "7.4", "8.1", "8.3", "8.4", "9.3"}


@faded
def test_first_the_last_step_is_left_then_two_then_all(found):
    steps = len(found.steps)
    assert [found.steps_left(EASY * rounds) for rounds in range(5)] == [1, 2, steps, steps, steps]
    assert [found.steps_left(HARD * rounds) for rounds in range(3)] == [1, 1, 1]
    assert found.steps_left([3, 2, 5, 1]) == steps > 2
    for rounds in range(3):
        question = round_of(found, "Wren", EASY * rounds)
        assert len(question.worked()) == steps - found.steps_left(EASY * rounds) and len(question.twin()) == steps


@faded
def test_what_the_steps_answer_is_what_is_right(found):
    """Each box a step gives stands at the end of it, worked from printed numbers; the steps give every box, each once."""
    given = [box for step in found.steps for box in step.gives]
    assert sorted(given) == sorted(box.id for box in found.boxes)
    boxes = {box.id: box for box in found.boxes}
    for question in questions(found):
        for step, said in zip(found.steps, question._steps(question.words), strict=True):
            results = [float(result.replace("−", "-")) for _, result in sums_in(said)][-max(1, len(step.gives)) :]
            for name, result in zip(step.gives, results if step.gives else (), strict=True):
                assert abs(result - question.solution.right[name]) <= boxes[name].tolerance, (said, name)
                told = float(question.words[f"right_{name}"].replace("−", "-"))  # as the page says when it is right
                assert abs(result - told) <= 1.01 * 10 ** -boxes[name].decimals, (said, told)


@faded
def test_every_round_can_be_answered_and_gives_no_answer_away(found):
    for question in questions(found)[:60]:
        for rounds in range(3):
            asked = round_of(found, question.draw.seed, EASY * rounds)
            right = {box: float(value) for box, value in right_answers(asked).items()}
            assert right and mark(asked, typed(asked, right)).state == "right"
            done = [result for line in asked.worked() for _, result in sums_in(line)]
            for box in asked.boxes:
                if box.decimals > 1:
                    assert f"{right[box.id]:.{box.decimals}f}" not in done, (asked.worked(), box.id)
            wrong = typed(asked, {box: value * 7.7 for box, value in right.items()})
            marks = [mark(asked, wrong, tries) for tries in range(3)]
            assert [bool(one.hint) for one in marks] == [False, True, True]
            last = asked._steps(asked.words)[-1]
            assert last not in marks[1].hint and last not in marks[2].hint  # with the own numbers it is the answer


@faded
def test_no_step_done_answers_what_another_exercise_asks_of_the_same_numbers(found):
    """Two exercises may share their numbers; what the one works out in sight the other has not asked before."""
    others = [other for other in exercises_of(found.id.split(".")[0]) if other.kind == "number" and other.id != found.id]
    shared = 0
    for learner in map(str, range(60)):
        asked = round_of(found, learner, [])
        done = [result for line in asked.worked() for _, result in sums_in(line)]
        for other in (round_of(other, learner, []) for other in others):
            same = other.draw.numbers == asked.draw.numbers
            shared += same
            told = [f"{other.solution.right[box.id]:.{box.decimals}f}" for box in other.boxes]
            assert not (same and set(told) & set(done)), (other.id, told, asked.worked())
    assert shared or found.id != "5.2"


@faded
def test_a_mistake_is_still_named_when_some_boxes_are_filled(found):
    """Every mistake that shows in the boxes left to do gets its own message, as it does in the whole question."""
    for question in questions(found)[:60]:
        asked = round_of(found, question.draw.seed, [])
        left = {box.id for box in asked.boxes}
        for name, shown in asked.solution.wrong.items():
            if not shown.keys() <= left or any(other.keys() & left == shown.keys() for other in _before(asked, name)):
                continue
            right = {box: float(value) for box, value in right_answers(asked).items()}
            assert mark(asked, typed(asked, {**right, **shown})).mistake == name


def _before(question: Question, name: str) -> list[dict[str, float]]:
    earlier = list(question.solution.wrong)
    return [dict(question.solution.wrong[other]) for other in earlier[: earlier.index(name)]]


@faded
def test_each_round_has_other_numbers_and_they_come_back(found):
    draws = [draw(found.id, "tuesday", "Wren", again=again) for again in range(6)]
    assert all(first.numbers != second.numbers for first, second in pairwise(draws))
    assert (
        draws[3] == draw(found.id, "Tuesday", "wren ", again=3) == draw(found.id, "tuesday", "Wren", draws[3].as_dict(), again=3)
    )
    assert draw(found.id, "tuesday", "Wren", draws[3].as_dict(), again=2) == draws[2]
    assert pose(found, course_draw(found.id)).left == len(found.steps)


def test_a_step_that_gives_what_is_not_asked_is_told():
    entry = {
        "title": "t",
        "kind": "number",
        "text": "x",
        "otherwise": "x",
        "right_text": "x",
        "box": [{"id": "a", "label": "A", "unit": "g"}],
        "step": [{"text": "1 + 1 = {sum:0}", "gives": ["b"]}],
    }
    with pytest.raises(DataError, match="'b'"):
        _as_exercise("55", "55.1", entry)
