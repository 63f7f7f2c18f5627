"""Draws: the same for the same learner everywhere, true to the story, kept once drawn."""

import json
import os
import subprocess
import sys

import pytest

from glazekit.exercises.bank import exercise
from glazekit.exercises.draws import Draw, course_draw, draw, shuffled, well_apart
from glazekit.exercises.posing import pose, right_answers
from glazekit.exercises.rules import Solution
from glazekit.recipe.batch import band_g as close_enough_g
from glazekit.words.course import course

LEARNERS = [f"learner {number}" for number in range(200)]
ALL = [exercise(name) for lesson in course() for name in lesson.exercises]


def test_lesson_2_base_sums_show_a_forgotten_division():
    sums = [dict(draw(name, "tuesday", learner).numbers)["base_sum"] for name in ("2.1", "2.5") for learner in LEARNERS]
    assert all(88 <= base_sum < 97 or 103 < base_sum <= 112 for base_sum in sums)
    assert min(sums) < 97 and max(sums) > 103


def test_lesson_1_colour_is_one_to_ten_percent():
    colours = [dict(draw("1.1", "tuesday", learner).numbers)["colour_g"] for learner in LEARNERS]
    assert min(colours) >= 1 and max(colours) <= 10


def test_exercise_1_3_has_two_readings_in_the_band_and_two_outside():
    for learner in LEARNERS:
        n = dict(draw("1.3", "tuesday", learner).numbers)
        band_g = max(0.05, 0.01 * n["target_g"])
        assert max(n["inside_low_g"], n["inside_high_g"]) < band_g < min(n["over_g"], n["under_g"])


def test_exercise_1_3_tells_the_band_without_rounding_it():
    for learner in LEARNERS:
        drawn = draw("1.3", "tuesday", learner)
        words, target_g = pose(exercise("1.3"), drawn).words, dict(drawn.numbers)["target_g"]
        low_g, high_g = close_enough_g(target_g, "base", 0.01)
        assert (float(words["low"]), float(words["high"])) == (low_g, high_g)
        assert float(words["band"]) == pytest.approx(high_g - target_g, abs=1e-9)


def test_no_dip_takes_half_a_minute():
    for learner in LEARNERS:
        n = dict(draw("3.6", "tuesday", learner).numbers)
        assert n["short_s"] * n["root"] ** 2 <= 20


def test_one_page_and_one_slip_run_through_their_exercises():
    for learner in LEARNERS[:20]:
        assert len({draw(name, "tuesday", learner).numbers for name in ("2.1", "2.2", "2.3", "2.4")}) == 1
        assert draw("3.3", "tuesday", learner).numbers == draw("3.4", "tuesday", learner).numbers


def test_answers_too_near_each_other_are_noticed():
    assert not well_apart("1.2", Solution({"feldspar_g": 26.0}, {"with_cup": {"feldspar_g": 26.1}}))
    assert not well_apart("3.1", Solution({"water_ml": 100}, {"later_only": {"water_ml": 60}, "start_only": {"water_ml": 60}}))
    assert well_apart("1.1", Solution({"base_g": 100}, {"taken_off": {"total_g": 100}})), "different boxes are not compared"


SCRIPT = """
import json
from glazekit.exercises.bank import exercises_of
from glazekit.exercises.draws import draw
from glazekit.exercises.posing import pose
from glazekit.words.course import course
found = [e for lesson in course() for e in exercises_of(lesson.number)]
drawn = {f"{e.id} {n}": draw(e.id, "Tuesday", n) for e in found for n in ("Wren", "Łucja", "小林")}
posed = {key: pose(next(e for e in found if e.id == key.split()[0]), drawn[key]) for key in drawn}
order = {key: [o.id for b in question.boxes for o in b.options] for key, question in posed.items()}
print(json.dumps([{key: value.as_dict() for key, value in drawn.items()}, order]))
"""


def test_draws_and_shuffles_are_the_same_in_every_process():
    said = []
    for hash_seed in ("0", "4321"):
        environment = os.environ | {"PYTHONHASHSEED": hash_seed, "PYTHONIOENCODING": "utf-8"}
        run = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, env=environment, check=True, timeout=60)
        said.append(json.loads(run.stdout))
    assert said[0] == said[1]
    for found in ALL:
        for learner in ("Wren", "Łucja", "小林"):
            assert draw(found.id, "tuesday ", learner.upper()).as_dict() == said[0][0][f"{found.id} {learner}"]


def test_a_stored_draw_is_kept_even_when_the_course_would_draw_others():
    fresh = draw("2.1", "tuesday", "Wren")
    earlier = Draw("2.1", fresh.seed, course_draw("2.1").numbers, course_draw("2.1").twin_numbers)
    assert earlier.numbers != fresh.numbers
    stored = json.loads(json.dumps(earlier.as_dict()))
    again = draw("2.1", "tuesday", "Wren", stored=stored)
    assert again == earlier
    assert right_answers(pose(next(e for e in ALL if e.id == "2.1"), again)) == pytest.approx({"feldspar_pct": 28.44}, abs=0.01)


@pytest.mark.parametrize(
    "damage",
    [
        {"numbers": {}},
        {"numbers": {"cup_g": "heavy", "feldspar_g": 26}},
        {"numbers": {"cup_g": float("nan"), "feldspar_g": 26}},
        {"numbers": {"cup_g": True, "feldspar_g": 26}},
        {"numbers": {"cup_g": 38.2, "feldspar_g": 26, "spoon_g": 4}},
        {"numbers": None},
        {"twin_numbers": {"cup_g": 38.2}},
        {"seed": "tuesday/heron/1.2"},
        {"exercise": "1.1"},
        {"exercise": "99.1"},
    ],
    ids=str,
)
def test_a_damaged_or_foreign_store_is_drawn_afresh(damage):
    fresh = draw("1.2", "tuesday", "Wren")
    assert draw("1.2", "tuesday", "Wren", stored=fresh.as_dict() | damage) == fresh


def test_shuffles_move_things():
    orders = {shuffled(learner, "abcde") for learner in LEARNERS}
    assert len(orders) > 60
    assert all(sorted(order) == list("abcde") for order in orders)
