"""Right answers of random questions against the course's formulas in exact fractions, written here a second time."""

from fractions import Fraction
from math import sqrt

import pytest

from glazekit.teaching.exercises import draw, exercise, pose, right_answers

POWDER = Fraction("2.6")


def formulas(n):
    n = {name: Fraction(str(value)) for name, value in n.items()}
    get = n.get
    return {
        "1.1": lambda: {"base_g": 100, "total_g": 100 + n["colour_g"]},
        "1.2": lambda: {"feldspar_g": n["cup_g"] + n["feldspar_g"] - n["cup_g"]},
        "2.1": lambda: {"feldspar_pct": n["feldspar"] / n["base_sum"] * 100},
        "2.2": lambda: {"tin_pct": n["tin"] / n["base_sum"] * 100},
        "2.3": lambda: {"tin_g": n["tin"] / n["base_sum"] * n["base_kg"] * 1000},
        "2.4": lambda: {"base_g": get("left_g") / n["feldspar"] * n["base_sum"]},
        "2.5": lambda: {"iron_g": n["iron"] / n["base_sum"] * n["batch_g"]},
        "3.1": lambda: {"water_ml": n["start_ml"] + 10 * n["lots"]},
        "3.2": lambda: {"density_g_ml": (100 + n["water_ml"]) / (100 / POWDER + n["water_ml"])},
        "3.3": lambda: {"dry_g": (n["slip_g"] - n["slip_ml"]) * POWDER / (POWDER - 1)},
        "3.4": lambda: {"water_ml": 100 * n["slip_g"] / ((n["slip_g"] - n["slip_ml"]) * POWDER / (POWDER - 1)) - 100},
        "3.5": lambda: {"dry_kg": n["bucket_l"] / (1 / POWDER + n["water_ml"] / 100)},
        "3.6": lambda: {"coat_mm": float(n["thin_mm"]) * sqrt(n["short_s"] * n["root"] ** 2 / n["short_s"])},
    }


@pytest.mark.parametrize("name", list(formulas({})))
def test_right_answers_follow_the_course_formulas(name):
    for learner in range(200):
        question = pose(exercise(name), draw(name, "tuesday", f"learner {learner}"))
        wanted = {box: float(value) for box, value in formulas(dict(question.draw.numbers))[name]().items()}
        assert right_answers(question) == pytest.approx(wanted, rel=1e-9)
