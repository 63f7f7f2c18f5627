"""Right answers of lesson 9 by the arithmetic of the course book: factors from the table, masses from a chemistry library."""

import csv
from pathlib import Path

import pytest
from molmass import Formula

from glazekit.exercises.bank import exercise
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import draw
from glazekit.exercises.posing import pose, right_answers

DATA = Path(__file__).parents[2] / "data"
LEARNERS = [f"learner {number}" for number in range(200)]
FRIT = {"SiO2": 51, "Al2O3": 7, "B2O3": 22, "CaO": 17, "Na2O": 2, "K2O": 1}
CLEAR = {"feldspar": 26, "frit": 25, "whiting": 14, "kaolin": 13, "quartz": 22}


def m(formula):
    return Formula(formula).mass


def factors():
    with (DATA / "expansion_factors.csv").open(encoding="utf-8", newline="") as file:
        return {row["oxide"]: round(float(row["factor_1e6_per_k"]), 1) for row in csv.DictReader(file)}


F = factors()


def clear_moles(whiting_g=14.0):
    """Oxides of Gangway Clear by hand."""
    soda, kaolin, lime = CLEAR["feldspar"] / (2 * m("NaAlSi3O8")), CLEAR["kaolin"] / m("Al2Si2O5(OH)4"), whiting_g / m("CaCO3")
    moles = {oxide: CLEAR["frit"] * pct / 100 / m(oxide) for oxide, pct in FRIT.items()}
    bring = {"Na2O": soda, "Al2O3": soda + kaolin, "SiO2": 6 * soda + 2 * kaolin + CLEAR["quartz"] / m("SiO2"), "CaO": lime}
    return {oxide: moles[oxide] + bring.get(oxide, 0) for oxide in moles}


def lime_share(n):
    moles = clear_moles(n["whiting_g"])
    return {"adds": F["CaO"] * moles["CaO"] / sum(moles.values())}


def glass(n):
    silica = 100 - n["alumina"] - n["lime"] - n["soda"] - n["potash"]
    return {"SiO2": silica, "Al2O3": n["alumina"], "CaO": n["lime"], "Na2O": n["soda"], "K2O": n["potash"]}


def whole(n):
    return {"total": sum(F[oxide] * pct for oxide, pct in glass(n).items()) / 100}


def with_magnesia(n):
    swapped = glass(n) | {"Na2O": 0, "MgO": n["soda"]}
    return {"total": sum(F[oxide] * pct for oxide, pct in swapped.items()) / 100}


def mismatch(n):
    return {"mismatch_pct": 100 * (n["glaze"] - n["body"]) * 1e-6 * (n["set_c"] - 20)}


def talc(n):
    return {"by": (F["MgO"] - F["CaO"]) * n["whiting_g"] / m("CaCO3") / sum(clear_moles().values())}


ANSWERS = {"9.2": lime_share, "9.3": whole, "9.4": with_magnesia, "9.5": mismatch, "9.7": talc}


@pytest.mark.parametrize("name", ANSWERS)
def test_right_answers_follow_the_course_arithmetic(name):
    for learner in LEARNERS:
        question = pose(exercise(name), draw(name, "tuesday", learner))
        assert right_answers(question) == pytest.approx(ANSWERS[name](dict(question.draw.numbers)), rel=3e-4), question.draw


def shown(question, name):
    return float(question.words[name])


GLASS = ("silica", "alumina", "lime", "soda", "potash")
BY_HAND = {
    "9.2": lambda q: {"adds": shown(q, "factor") * shown(q, "mol_pct") / 100},
    "9.3": lambda q: {"total": sum(shown(q, f"{one}_factor") * shown(q, one) for one in GLASS) / 100},
    "9.4": lambda q: {
        "total": shown(q, "before") - (shown(q, "soda_factor") - shown(q, "magnesia_factor")) * shown(q, "soda") / 100
    },
    "9.5": lambda q: {"mismatch_pct": (shown(q, "glaze") - shown(q, "body")) * shown(q, "drop") / 10_000},
    "9.7": lambda q: {
        "by": round(shown(q, "moved_mol") / shown(q, "total_mol"), 4) * (shown(q, "magnesia_factor") - shown(q, "lime_factor"))
    },
}


@pytest.mark.parametrize("name", BY_HAND)
def test_reckoning_on_paper_with_the_numbers_on_the_page_passes(name):
    """Every number in the question text, rounded as it stands there; the answer in the digits the box shows."""
    for learner in LEARNERS:
        question = pose(exercise(name), draw(name, "tuesday", learner))
        (box,) = question.boxes
        answers = {name: f"{value:.{box.decimals}f}" for name, value in BY_HAND[name](question).items()}
        assert mark(question, answers).state == "right", question.draw
