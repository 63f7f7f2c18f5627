"""Every sum that a text spells out, with a learner's numbers in it, is true."""

import re

import pytest

from glazekit.exercises import draw, exercises_of, pose
from glazekit.exercises.drawing import RULES

NUMBER = r"\d+(?:\.\d+)?"
SUM = re.compile(rf"({NUMBER}(?: [-+−×÷] {NUMBER})+) = ({NUMBER})")
ROOT = re.compile(rf"square root of ({NUMBER}) is ({NUMBER})")
TIMES = re.compile(rf"({NUMBER}) seconds gives [\d.]+ mm\. ({NUMBER}) seconds is ({NUMBER}) times as long")
PYTHON = str.maketrans("−×÷", "-*/")
ALL = [found for lesson in (1, 2, 3) for found in exercises_of(lesson) if found.id in RULES]
WITH_A_SUM = {"1.1", "1.2", "2.1", "2.2", "2.3", "2.4", "2.5", "3.1", "3.2", "3.3", "3.4", "3.5", "3.6"}


def worked_out(left):
    return eval(left.translate(PYTHON), {"__builtins__": {}})  # digits and four operators only, by SUM


def close(left, written):
    """Equal to the digits written; give or take one in the last place where rounded terms are multiplied or divided."""
    off = abs(worked_out(left) - float(written))
    return off < 1e-9 or (bool(set("×÷") & set(left)) and off <= 1.01 * 10 ** -len(written.partition(".")[2]))


@pytest.mark.parametrize("found", ALL, ids=lambda found: found.id)
def test_sums_in_texts_are_true(found):
    seen = 0
    for learner in range(60):
        question = pose(found, draw(found.id, "tuesday", f"learner {learner}"))
        own = [found.first_step, found.otherwise, *(mistake.text for mistake in found.mistakes)]
        texts = [text.format_map(question.words) for text in own] + [found.twin.format_map(question.twin_words)]
        for text in texts:
            for left, written in SUM.findall(text):
                seen += 1
                assert close(left, written), text
            for square, root in ROOT.findall(text):
                assert float(root) ** 2 == float(square), text
            for short, long, times in TIMES.findall(text):
                assert float(long) / float(short) == float(times), text
    assert (seen >= 60) == (found.id in WITH_A_SUM)
