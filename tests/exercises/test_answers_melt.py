"""Right answers of lesson 10 by the arithmetic of the course book, with molar masses from a chemistry library."""

from math import pi, sin

import pytest
from molmass import Formula

from glazekit.exercises.bank import exercise
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import draw
from glazekit.exercises.posing import pose, right_answers


def m(formula):
    return Formula(formula).mass


FRIT = {"SiO2": 51, "Al2O3": 7, "B2O3": 22, "CaO": 17, "Na2O": 2, "K2O": 1}
BALL_CLAY_TRACE = 0.02
"""Overboard's ball clay brings a little of many oxides; the hand sum leaves them out and may be off by this share."""
OVERBOARD = {"feldspar": 50, "frit": 95, "whiting": 50, "ball clay": 10, "quartz": 35, "zinc": 10}  # totals 250


def hours(n):
    climbs = [(600 - 20, n["first_rate"]), (1120 - 600, n["second_rate"]), (n["peak_c"] - 1120, n["last_rate"])]
    return sum(degrees / rate for degrees, rate in climbs) + n["hold_min"] / 60


def late_boat(n):
    potash, lime = 40 / (2 * m("KAlSi3O8")), 18 / m("CaCO3")
    bring = {oxide: n["frit_g"] * pct / 100 / m(oxide) for oxide, pct in FRIT.items()}
    alkali = potash + bring["Na2O"] + bring["K2O"]
    flux = alkali + lime + bring["CaO"]
    return {"boron": bring["B2O3"] / flux, "alkali_pct": 100 * alkali / flux}


ANSWERS = {
    "10.1": lambda n: {"hours": hours(n)},
    "10.2": lambda n: {"times": (n["thick_mm"] / n["thin_mm"]) * (n["thick_mm"] / n["thin_mm"])},
    "10.3": lambda n: {"run_mm": n["ran_mm"] * sin(pi / 2) / sin(n["angle_deg"] / 180 * pi)},
    "10.6": late_boat,
}


@pytest.mark.parametrize("name", ANSWERS)
def test_right_answers_follow_the_course_arithmetic(name):
    for learner in range(100):
        question = pose(exercise(name), draw(name, "tuesday", f"learner {learner}"))
        assert right_answers(question) == pytest.approx(ANSWERS[name](dict(question.draw.numbers)), rel=3e-4), question.draw


def test_clay_for_overboard_reckoned_without_the_traces_of_its_ball_clay():
    for learner in range(50):
        question = pose(exercise("10.5"), draw("10.5", "tuesday", f"learner {learner}"))
        g = {name: grams / 2.5 for name, grams in OVERBOARD.items()}
        feldspar, kaolin = g["feldspar"] / (2 * m("NaAlSi3O8")), question.draw.numbers[0][1] / m("Al2Si2O5(OH)4")
        frit = {oxide: g["frit"] * pct / 100 / m(oxide) for oxide, pct in FRIT.items()}
        flux = feldspar + g["whiting"] / m("CaCO3") + g["zinc"] / m("ZnO") + frit["CaO"] + frit["Na2O"] + frit["K2O"]
        clay = g["ball clay"] / m("Al2Si2O5(OH)4")  # as if it were pure
        alumina = (feldspar + kaolin + frit["Al2O3"] + clay) / flux
        silica = (6 * feldspar + 2 * (kaolin + clay) + frit["SiO2"] + g["quartz"] / m("SiO2")) / flux
        found = right_answers(question)
        assert found["silica"] == pytest.approx(silica, rel=BALL_CLAY_TRACE)
        assert found["alumina"] == pytest.approx(alumina, rel=3 * BALL_CLAY_TRACE)


def shown(question, name):
    return float(question.words[name])


BY_HAND = {
    "10.1": lambda q: {"hours": round(sum(shown(q, f"{leg}_h") for leg in ("first", "second", "last", "hold")), 2)},
    "10.2": lambda q: {"times": round(shown(q, "ratio") ** 2, 2)},
    "10.3": lambda q: {"run_mm": round(shown(q, "ran_mm") / shown(q, "pull"), 1)},
    "10.5": lambda q: {
        "alumina": round((shown(q, "alumina_mol") + shown(q, "kaolin_mol")) / shown(q, "flux_mol"), 3),
        "silica": round((shown(q, "silica_mol") + 2 * shown(q, "kaolin_mol")) / shown(q, "flux_mol"), 2),
    },
    "10.6": lambda q: {
        "boron": round(shown(q, "boron_mol") / (shown(q, "flux_was") + shown(q, "flux_frit")), 3),
        "alkali_pct": round(
            100 * (shown(q, "alkali_was") + shown(q, "alkali_frit")) / (shown(q, "flux_was") + shown(q, "flux_frit")), 1
        ),
    },
}


@pytest.mark.parametrize("name", BY_HAND)
def test_reckoning_on_paper_with_the_numbers_on_the_page_passes(name):
    for learner in range(100):
        question = pose(exercise(name), draw(name, "tuesday", f"learner {learner}"))
        answers = {box: repr(value) for box, value in BY_HAND[name](question).items()}
        assert mark(question, answers).state == "right", question.draw
