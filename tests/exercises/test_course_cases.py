"""The questions with the course book's own numbers, against values typed once in cases.csv and tolerances.csv."""

import csv
from pathlib import Path

import pytest

from glazekit.exercises import course_draw, exercise, exercises_of, mark, pose

HERE = Path(__file__).parent


def rows(name):
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


CASES = rows("cases.csv")


def as_answers(kind, text):
    pairs = dict(pair.split("=") for pair in text.split("; "))
    return {box: value.split("+") for box, value in pairs.items()} if kind in ("tick many", "put in order") else pairs


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['exercise']} {case['answers']}")
def test_the_course_book_is_marked_as_it_says(case):
    found = exercise(case["exercise"])
    marked = mark(pose(found, course_draw(found.id)), as_answers(found.kind, case["answers"]))
    assert (marked.state, marked.mistake) == (case["state"], case["mistake"])
    assert case["says"] in marked.message
    assert marked.tries == 1


@pytest.mark.parametrize("row", rows("tolerances.csv"), ids=lambda row: row["exercise"])
def test_tolerances_are_those_of_the_course_book(row):
    box = next(box for box in exercise(row["exercise"]).boxes if box.id == row["box"])
    assert box.tolerance == float(row["tolerance"])


def test_every_exercise_has_a_right_case_and_a_mistaken_one():
    for lesson in range(1, 11):
        for found in exercises_of(lesson):
            states = {case["state"] for case in CASES if case["exercise"] == found.id}
            assert states == {"right", "try again"}, found.id
