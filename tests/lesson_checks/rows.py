"""What the course book says of each lesson, one row a lesson or an exercise; a lesson without its rows is a fault by name."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from glazekit.exercises import course_draw, exercise, exercises_of, mark, pose, predictions_of
from glazekit.words.course import Lesson

ROWS = Path(__file__).parent / "rows"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one table."""
    with (ROWS / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def of_lesson(name: str, lesson: Lesson) -> list[dict[str, str]]:
    """The rows of one table that belong to a lesson."""
    return [row for row in rows(name) if row.get("lesson", row.get("exercise", "").partition(".")[0].zfill(2)) == lesson.number]


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


def other_tolerance_than_the_course_book(lesson: Lesson) -> list[str]:
    """A box whose tolerance the course book tells has that one."""
    written = {(row["exercise"], row["box"]): float(row["tolerance"]) for row in of_lesson("tolerances", lesson)}
    there = {(one.id, box.id): box.tolerance for one in exercises_of(lesson.number) for box in one.boxes if one.kind == "number"}
    faults = [f"{where}: no such box, though tolerances.csv has one" for where in written.keys() - there.keys()]
    for where, tolerance in there.items():
        if written.get(where, tolerance) != tolerance:
            faults.append(f"{where[0]}, {where[1]}: tolerance {tolerance:g}, in the course book {written[where]:g}")
    return faults


CHECKS = (not_as_outlined, not_marked_as_in_the_course_book, other_tolerance_than_the_course_book)
