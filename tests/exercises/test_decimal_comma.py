"""A comma with three digits behind it is a decimal comma wherever the course asks for decimals, so one digit more may be kept."""

import pytest

from glazekit.exercises import draw, exercises_of, mark, pose
from glazekit.ground.numbers import show_number

NUMBERS = [found for lesson in range(1, 11) for found in exercises_of(lesson) if found.kind == "number"]


@pytest.mark.parametrize("found", NUMBERS, ids=lambda found: found.id)
def test_one_digit_more_than_asked_may_follow_a_comma(found):
    if not all(box.decimals for box in found.boxes):
        pytest.skip("whole grams: there 1,097 may be a thousand, and it is asked about")
    for learner in range(40):
        question = pose(found, draw(found.id, "tuesday", f"learner {learner}"))
        right = question.solution.right
        assert all(abs(value) < 1000 for value in right.values()), "else a comma could part thousands"
        for decimals in (2, 3, 4):
            answers = {box.id: show_number(right[box.id], max(decimals, box.decimals)).replace(".", ",") for box in found.boxes}
            assert mark(question, answers).state == "right", answers
