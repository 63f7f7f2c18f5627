"""Every sum that a text spells out comes out: done again with the numbers printed, and rounded once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from glazekit.exercises.bank import Exercise, exercises_of
from glazekit.exercises.draws import Draw
from glazekit.exercises.posing import Question, fill, pose, right_answers
from glazekit.words.course import Lesson
from lesson_checks.exercises import numbers_of, questions

NUMBER = r"−?\d+(?:\.\d+)?"
TERM = rf"\(*{NUMBER}\)*"
SUM = re.compile(rf"(?<![\d.)])(?<![-+−×÷] )({TERM}(?: [-+−×÷] {TERM})+) = ({NUMBER})")
UNIT = re.compile(r"(?<=\d) (?:%|[A-Za-z][\w ]*?)(?= [-+−×÷] \(*\d| = \d)")
ROOT = re.compile(rf"square root of ({NUMBER}) is ({NUMBER})")
TIMES = re.compile(rf"({NUMBER}) seconds gives [\d.]+ mm\. ({NUMBER}) seconds is ({NUMBER}) times as long")
PYTHON = str.maketrans("−×÷", "-*/")


def sums_in(text: str) -> list[tuple[str, str]]:
    """What is added, taken off, multiplied or divided in a text, without units, and what it says that makes.

    >>> sums_in("13 g of whiting ÷ 100.09 g per mole = 0.1299 mol, and 22 % of 33 g = 7.26 g, 6.5 times 0.4 = 2.60")
    [('13 ÷ 100.09', '0.1299'), ('22 ÷ 100 × 33', '7.26'), ('6.5 × 0.4', '2.60')]
    """
    return SUM.findall(UNIT.sub("", re.sub(r"(?<=\d) times (?=\d)", " × ", text).replace(" % of ", " ÷ 100 × ")))


def untrue(text: str) -> list[str]:
    """The sums of a text that do not come out in the digits written."""
    faults = []
    for left, written in sums_in(text):
        exact = re.sub(r"\d+(?:\.\d+)?", r"Fraction('\g<0>')", left.translate(PYTHON))
        made = eval(exact, {"Fraction": Fraction, "__builtins__": {}})  # digits, brackets and four operators only, by SUM
        digits = len(written.partition(".")[2])
        if abs(made - Fraction(written.translate(PYTHON))) > Fraction(1, 2 * 10**digits):  # of an exact half either is right
            faults.append(f"{left} = {written} makes {float(made):.{digits + 2}f}")
    faults += [
        f"the square root of {square} is not {root}" for square, root in ROOT.findall(text) if float(root) ** 2 != float(square)
    ]
    for short, long, times in TIMES.findall(text):
        if float(long) / float(short) != float(times):
            faults.append(f"{long} seconds are not {times} times {short}")
    return faults


def texts_of(question: Question) -> list[str]:
    """Everything that a question may say, filled in."""
    found = question.exercise
    own = [found.text, found.first_step, found.otherwise, found.right_text, *(mistake.text for mistake in found.mistakes)]
    own += [found.twin] if found.steps else []  # steps are shown with the learner's own numbers too
    return [*(fill(found, text, question.words) for text in own), fill(found, found.twin, question.twin_words)]


def untrue_sums(lesson: Lesson) -> list[str]:
    """Sums in the texts of the exercises are true for every learner."""
    faults = {
        f"{found.id}: {fault}"
        for found in exercises_of(lesson.number)
        for question in questions(found)
        for text in texts_of(question)
        for fault in untrue(text)
    }
    return sorted(faults)[:10]


def twin_answers(found: Exercise, question: Question) -> dict[str, float]:
    """Right values for the numbers of the worked twin."""
    twin = pose(found, Draw(found.id, question.draw.seed, question.draw.twin_numbers, question.draw.numbers))
    return {box: value for box, value in right_answers(twin).items() if isinstance(value, float | int)}


RESULT = re.compile(r"(?<![+−×÷] )\{(sum:\d(?::\w+)?|right_\w+)\}(?! [^.,;:={]{0,20}[+−×÷])")
"""Where a twin comes to something: the end of a sum, or a right value that is not itself a term of one."""


def results_of(found: Exercise, words: Mapping[str, str]) -> list[float]:
    """What a twin comes to, place by place, as it is printed."""
    marked = fill(found, RESULT.sub(lambda place: f"{place[0]}◂", found.twin), words)
    return [float(number.translate(PYTHON)) for number in re.findall(rf"({NUMBER})◂", marked)]


def twins_that_miss(lesson: Lesson) -> list[str]:
    """A worked twin comes to its answers: box after box in the same place for every learner, the last one in its last place.

    A number that stands elsewhere in the text is no answer, though it be the right one.
    """
    faults = []
    for found in numbers_of(lesson):
        told = [
            (results_of(found, one.twin_words), twin_answers(found, one)) for one in questions(found)[:60] if "{" in found.twin
        ]
        last, place = len(RESULT.findall(found.twin)) - 1, -1
        for box in found.boxes if told else ():
            near = box.tolerance + 0.5 * 10**-box.decimals
            left = range(last if box is found.boxes[-1] else place + 1, last + 1)
            hits = [k for k in left if k > place and all(abs(results[k] - right[box.id]) <= near for results, right in told)]
            if not hits:
                results, right = told[0]
                faults.append(f"{found.id}: the twin does not come to {box.id}, {right[box.id]:g}, in its place: {results}")
                break
            place = hits[0]
    return faults


CHECKS = (untrue_sums, twins_that_miss)
