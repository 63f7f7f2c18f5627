"""Every lesson's exercises and words, by the checks that hold for any lesson."""

from __future__ import annotations

import pytest
from lesson_checks import OF_EXERCISES_AND_WORDS, Check, checks, exercises, rows, sums, words

from glazekit.exercises.bank import exercise
from glazekit.exercises.posing import fill
from glazekit.words.course import Lesson, course, glossary

HERE = [lesson for lesson in course()[1:] if lesson.notebook]
CHECKS = checks(*OF_EXERCISES_AND_WORDS).values()


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
@pytest.mark.parametrize("lesson", HERE, ids=lambda lesson: lesson.number)
def test_a_lesson_has_no_fault(lesson: Lesson, check: Check) -> None:
    assert check(lesson) == []


@pytest.mark.parametrize("check", [words.long_or_unkind, words.typed_as_on_a_typewriter, words.unread])
@pytest.mark.parametrize("lesson", [lesson for lesson in course() if lesson not in HERE], ids=lambda lesson: lesson.number)
def test_words_of_the_start_page_and_of_what_is_to_come(lesson: Lesson, check: Check) -> None:
    assert check(lesson) == []


def test_every_row_of_the_course_book_belongs_to_a_lesson_that_is_here() -> None:
    there = {rows.lesson_of(row) for table in rows.ROWS.glob("*.csv") for row in rows.rows(table.stem)}
    assert there == {"00", *(lesson.number for lesson in HERE)}
    assert len({row["term"] for row in glossary()}) == len(glossary()) > 100


@pytest.mark.parametrize(
    "text",
    [
        "2 + 1 = 999",
        "1.63 × 1.63 = 2.64",
        "19 ÷ 0.71 = 26.9",
        "(0.1171 + 0.0387) ÷ 0.2760 = 0.565",
        "13 g of whiting ÷ 100.09 g per mole = 0.1300 mol",
        "22 % of 33 g = 7.2 g",
        "−2 × 3 = 6",
        "the square root of 4 is 3",
        "3 seconds gives 0.5 mm. 12 seconds is 3 times as long",
    ],
)
def test_a_sum_that_does_not_come_out_is_seen(text: str) -> None:
    assert len(sums.untrue(text)) == 1


@pytest.mark.parametrize("text", ["5 ÷ 3 = 1.67", "(2 + 4) ÷ 3 × 10 = 20", "3 − 5 = −2", "8 × 0.125 = 1", "cone 6 = hot"])
def test_a_true_sum_is_left_alone(text: str) -> None:
    assert sums.untrue(text) == []


@pytest.mark.parametrize(("name", "off"), [("10.2", 0.005), ("10.3", 0.15)])
def test_a_twin_is_rounded_once(name: str, off: float) -> None:
    """Thin and thick: the digits written are those of the exact answer; the slope: the pull has two digits."""
    found = exercise(name)
    for question in exercises.questions(found):
        (_, written) = sums.sums_in(fill(found, found.twin, question.twin_words))[-1]
        assert abs(float(written) - sums.twin_answers(found, question)[found.boxes[0].id]) <= off
