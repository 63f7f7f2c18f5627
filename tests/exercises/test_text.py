"""The course text: what the marker says, what the glossary holds, and how damage is told; lesson by lesson see lesson_checks."""

from collections import Counter

import pytest
from lesson_checks.written import placeholders

from glazekit.exercises.bank import exercise, exercises_of, prediction, prediction_record, predictions_of
from glazekit.exercises.draws import course_draw
from glazekit.ground.errors import DataError
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import FLUXES
from glazekit.recipe.reading import demo_recipe, demo_recipes
from glazekit.words import texts
from glazekit.words.course import course, glossary
from glazekit.words.texts import lesson_text, phrase


def test_predictions_answer_and_go_into_the_book(tmp_path):
    from glazekit.folder.book import Book

    book = Book(tmp_path)
    book.add("prediction", **prediction_record(prediction("3b"), "double"))
    kept = book.entries("prediction")[0].data
    assert kept == {"lesson": "03", "prediction": "3b", "answer": "double", "moment": "before"}
    with pytest.raises(DataError, match="'thrice'"):
        prediction_record(prediction("3b"), "thrice")


def test_no_place_among_the_answers_gives_a_guess_away():
    asked = [one for lesson in course() for one in predictions_of(lesson.number)]
    places = Counter([answer.id for answer in one.answers].index(one.expected) for one in asked)
    assert len(asked) > 40 and max(places.values()) <= 0.4 * len(asked)


def test_general_sentences_of_the_marker():
    wanted = {
        "tolerance": {"tolerance", "unit"},
        "exact": set(),
        "blank": set(),
        "blank_some": {"boxes"},
        "blank_order": set(),
        "unread": {"why"},
        "other_unit": {"box", "unit", "typed"},
        "no_unit": set(),
        "decimal_point": {"box", "unit"},
        "hundred": {"box", "unit"},
        "thousand": {"box", "unit"},
        "thousandths": {"box"},
        "swapped": {"box", "other"},
        "near": {"box"},
        "rounded_early": {"box"},
    }
    assert {name: placeholders(phrase(name)) for name in wanted} == wanted
    assert lesson_text(0)["marking"].keys() == wanted.keys()


def test_the_glossary_explains_every_sign_and_material_of_the_first_lessons():
    rows = glossary()
    assert all(row.keys() == {"term", "sign", "meaning", "lesson"} and row["meaning"].endswith(".") for row in rows)
    assert len({row["term"] for row in rows}) == len(rows)
    assert [row["lesson"] for row in rows] == sorted(row["lesson"] for row in rows)
    signs = {sign for row in rows for sign in row["sign"].split(", ")}
    oxides = {printed_formula(oxide) for oxide in ("SiO2", "Al2O3", "B2O3", *FLUXES) if oxide != "PbO"}
    assert signs >= {"g", "mL", "mm", "%", "±", "√", "LOI", "mol", *oxides}
    terms = {term for row in rows for term in row["term"].split(", ")}
    for recipe in demo_recipes():
        assert {line.material for line in recipe.base + recipe.additions} <= terms, recipe.name


def test_numbers_named_in_course_text_are_those_of_the_demo_recipe():
    satin = demo_recipe("Timetable Satin")
    numbers = dict(course_draw("2.1").numbers)
    amounts = {line.material: line.amount for line in satin.base + satin.additions}
    assert (numbers["feldspar"], numbers["tin"], numbers["rutile"]) == (
        amounts["soda feldspar"],
        amounts["tin oxide"],
        amounts["rutile"],
    )
    assert numbers["base_sum"] == satin.base_sum
    chain = demo_recipe("Anchor Chain")
    assert (dict(course_draw("2.5").numbers)["base_sum"], chain.additions[0].amount) == (chain.base_sum, 9)


def test_misspelt_names_get_a_hint():
    with pytest.raises(DataError) as caught:
        exercise("21")
    assert caught.value.hint == "2.1"
    with pytest.raises(DataError) as caught:
        prediction("9z")
    assert caught.value.given == "9z"
    with pytest.raises(DataError, match="'lesson_77'"):
        lesson_text(77)


def write_lesson(monkeypatch, tmp_path, text):
    (tmp_path / "lesson_55.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(texts, "text_folder", lambda: tmp_path)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[exercise."55.1"]\ntitle = "t"\nkind = "number"', r"55\.1: exercise: missing .* 'text'"),
        ('[exercise."55.1"]\ncolour = 1', "'colour'"),
        (
            '[exercise."55.1"]\ntitle="t"\nkind="guess"\ntext="x"\notherwise="x"\nfirst_step="x"\ntwin="x"\nright_text="x"\n'
            '[[exercise."55.1".box]]\nid="a"\nlabel="A"',
            "kind 'guess'",
        ),
        (
            '[exercise."55.1"]\n[[exercise."55.1".box]]\nid="a"\nlabel="A"\nright=["b"]',
            "option 'b'",
        ),
    ],
)
def test_a_damaged_text_says_where_and_what(monkeypatch, tmp_path, text, says):
    write_lesson(monkeypatch, tmp_path, text)
    texts.load.cache_clear()
    exercises_of.cache_clear()
    with pytest.raises(DataError, match=says):
        exercises_of("55")
    texts.load.cache_clear()
    exercises_of.cache_clear()
