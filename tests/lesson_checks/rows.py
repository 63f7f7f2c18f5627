"""What the course book says of each lesson, one row a lesson or an exercise; a lesson without its rows is a fault by name."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

from glazekit.exercises.bank import exercise, exercises_of, predictions_of
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import course_draw
from glazekit.exercises.posing import pose
from glazekit.words.course import Lesson

ROWS = Path(__file__).parent / "rows"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one table."""
    with (ROWS / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def lesson_of(row: dict[str, str]) -> str:
    """The number of the lesson that a row tells of: named, or in front of its exercise (10.2) or its prediction (10b)."""
    return next(re.match(r"\d*", row[key])[0] for key in ("lesson", "exercise", "prediction") if key in row).zfill(2)  # type: ignore[index]


def of_lesson(name: str, lesson: Lesson) -> list[dict[str, str]]:
    """The rows of one table that belong to a lesson."""
    return [row for row in rows(name) if lesson_of(row) == lesson.number]


def not_as_outlined(lesson: Lesson) -> list[str]:
    """Exercises, core exercises, those without random numbers and misconceptions are those of the outline."""
    asked = predictions_of(lesson.number)
    found = {
        "exercises": [one.id for one in exercises_of(lesson.number)],
        "core": [one.id for one in exercises_of(lesson.number) if one.core],
        "fixed": [one.id for one in exercises_of(lesson.number) if not course_draw(one.id).numbers],
        "misconceptions": list(dict.fromkeys(one.misconception for one in asked)),
    }
    outlined = of_lesson("outline", lesson)
    if len(outlined) != 1:
        return [f"lesson {lesson.number} has no row in outline.csv"]
    return [
        f"lesson {lesson.number}: {what} are {' '.join(ids)}, outlined {outlined[0][what]}"
        for what, ids in found.items()
        if sorted(ids) != sorted(outlined[0][what].split())
    ]


def as_answers(kind: str, text: str) -> dict[str, str | list[str]]:
    """The answers of one case."""
    pairs = dict(pair.split("=") for pair in text.split("; "))
    return {box: value.split("+") for box, value in pairs.items()} if kind in ("tick many", "put in order") else dict(pairs)


def not_marked_as_in_the_course_book(lesson: Lesson) -> list[str]:
    """The questions with the course book's numbers are marked as it says; every exercise has a right case and a mistaken one."""
    faults, states = [], {one.id: set[str]() for one in exercises_of(lesson.number)}
    for case in of_lesson("cases", lesson):
        found = exercise(case["exercise"])
        marked = mark(pose(found, course_draw(found.id)), as_answers(found.kind, case["answers"]))
        states[found.id].add(case["state"])
        if (marked.state, marked.mistake, marked.tries) != (case["state"], case["mistake"], 1):
            faults.append(f"{found.id}: {case['answers']} is marked {marked.state} {marked.mistake}, not {case['mistake']}")
        if case["says"] not in marked.message:
            faults.append(f"{found.id}: {case['answers']} is not told '{case['says']}': {marked.message}")
    missing = {name: {"right", "try again"} - seen for name, seen in states.items()}
    return faults + [f"{name} has no case in cases.csv that is {' or '.join(sorted(of))}" for name, of in missing.items() if of]


def other_boxes_than_the_course_book(lesson: Lesson) -> list[str]:
    """Every number is asked in the course book's unit, and with its tolerance where it tells one."""
    written = {(row["exercise"], row["box"]): row for row in of_lesson("boxes", lesson)}
    there = {(one.id, box.id): box for one in exercises_of(lesson.number) for box in one.boxes if one.kind == "number"}
    faults = [f"{where[0]}, {where[1]}: in the exercise or in boxes.csv alone" for where in written.keys() ^ there.keys()]
    for where in written.keys() & there.keys():
        row, box = written[where], there[where]
        if row["unit"] != box.unit or float(row["tolerance"] or box.tolerance) != box.tolerance:
            book = f"{row['tolerance']} {row['unit']}"
            faults.append(f"{where[0]}, {where[1]}: {box.tolerance:g} {box.unit}, in the course book {book}")
    return faults


def other_guesses_than_the_course_book(lesson: Lesson) -> list[str]:
    """A guess expects what the course book expects; afterwards the reply to that answer says yes, and no other does."""
    written = {row["prediction"]: row["expected"] for row in of_lesson("guesses", lesson)}
    asked = predictions_of(lesson.number)
    faults = [f"prediction {name}: no such guess" for name in written.keys() - {one.id for one in asked}]
    for one in asked:
        if one.expected != written.get(one.id):
            faults.append(f"prediction {one.id}: expects {one.expected}, in the course book {written.get(one.id)}")
        agreed = [answer.id for answer in one.answers if answer.reply.startswith("Yes")]
        if agreed != [one.expected] * (one.when == "after"):
            faults.append(f"prediction {one.id}: says yes to {agreed}")
    return faults


CHECKS = (
    not_as_outlined,
    not_marked_as_in_the_course_book,
    other_boxes_than_the_course_book,
    other_guesses_than_the_course_book,
)
