"""Right answers of random questions against the course's formulas in exact fractions, written here a second time."""

from fractions import Fraction
from math import sqrt

import pytest

from glazekit.exercises.bank import exercise
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import draw
from glazekit.exercises.posing import pose, right_answers

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


def shown(question, name):
    return float(question.words[name])


BY_HAND = {
    "2.3": ("tin_g", lambda q: round(100 * shown(q, "tin") / shown(q, "base_sum"), 2) * shown(q, "base_g") / 100),
    "2.4": ("base_g", lambda q: 100 * shown(q, "left_g") / round(100 * shown(q, "feldspar") / shown(q, "base_sum"), 2)),
    "3.2": ("density_g_ml", lambda q: round(shown(q, "slip_g") / shown(q, "slip_ml"), 3)),
    "3.4": ("water_ml", lambda q: round(100 * shown(q, "water_g") / shown(q, "dry_g"), 1)),
    "3.5": ("dry_kg", lambda q: round(shown(q, "bucket_l") / shown(q, "litre_per_kg"), 2)),
}


@pytest.mark.parametrize("name", list(BY_HAND))
def test_reckoning_by_hand_with_the_rounded_numbers_on_the_page_passes(name):
    box, by_hand = BY_HAND[name]
    for learner in range(200):
        question = pose(exercise(name), draw(name, "tuesday", f"learner {learner}"))
        assert mark(question, {box: repr(by_hand(question))}).state == "right", question.draw
