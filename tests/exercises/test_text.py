"""The course text: nothing missing, nothing too long, nothing unkind, no word without a meaning."""

import re
import tomllib
from string import Formatter

import pytest

from glazekit.exercises import bank, course_draw, exercise, exercises_of, pose, prediction, predictions_of
from glazekit.exercises.bank import prediction_record, text_folder
from glazekit.ground.errors import DataError
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import FLUXES
from glazekit.recipe.reading import demo_recipe, demo_recipes
from glazekit.words import texts
from glazekit.words.course import course, glossary
from glazekit.words.texts import lesson_text, phrase

FILES = sorted(text_folder().glob("lesson_*.toml"))
LESSONS = range(1, 11)
ALL = [found for lesson in LESSONS for found in exercises_of(lesson)]
MOST_WORDS = 90
NEVER = re.compile(r"(?<!go )\bwrong\b|\bincorrect\b|\bfailed\b|\bsafe\b|\bobviously\b|\bR2O\b|\bKNaO\b|https?:", re.IGNORECASE)


def blocks(value, path=""):
    """Every text of a TOML file with its place."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from blocks(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from blocks(inner, f"{path}[{number}]")
    elif isinstance(value, str):
        yield path, value


TEXTS = [(file.stem + place, text) for file in FILES for place, text in blocks(tomllib.loads(file.read_text(encoding="utf-8")))]


def placeholders(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def test_there_is_a_text_for_the_start_page_and_the_first_lessons():
    assert {file.stem for file in FILES} >= {f"lesson_{number:02}" for number in (0, *LESSONS)}
    assert len(TEXTS) > 300


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_texts_are_short_and_kind(file):
    for place, text in TEXTS:
        if place.startswith(file.stem):
            assert len(text.split()) <= MOST_WORDS, f"{place} has {len(text.split())} words"
            assert not NEVER.search(text), f"{place}: {NEVER.search(text)[0]}"
            assert text == text.strip(), place


@pytest.mark.parametrize("found", ALL, ids=lambda found: found.id)
def test_an_exercise_is_complete(found):
    for name in ("title", "text", "otherwise", "first_step", "twin", "right_text"):
        assert getattr(found, name).strip(), f"{found.id}: {name} is empty"
    assert found.mistakes
    assert len({mistake.id for mistake in found.mistakes}) == len(found.mistakes)
    assert len({box.id for box in found.boxes}) == len(found.boxes)
    for box in found.boxes:
        assert box.label
        if found.kind == "number":
            assert not box.options and box.unit
        else:
            assert len({option.id for option in box.options}) == len(box.options) > 1
            assert box.right
            assert found.kind != "pick one" or len(box.right) == 1
            assert found.kind != "put in order" or set(box.right) == {option.id for option in box.options}
    for mistake in found.mistakes:
        ways = [mistake.picked, mistake.ticked, mistake.missed, mistake.before]
        assert sum(bool(way) for way in ways) == (0 if found.kind == "number" else 1), f"{found.id}: {mistake.id}"
        options = {option.id for box in found.boxes if mistake.box in ("", box.id) for option in box.options}
        named = {name for name in ways[:3] if name} | {name for pair in mistake.before for name in pair}
        assert named <= options, f"{found.id}: {mistake.id} names {named - options}"


def test_every_number_tells_its_tolerance():
    for found in ALL:
        for box in pose(found, course_draw(found.id)).boxes:
            wanted = f"{box.tolerance:g} {box.unit} more or less is fine" if box.tolerance else "the exact number, please"
            assert box.tolerance_text == (wanted if found.kind == "number" else "")


def test_every_option_that_is_not_right_has_its_own_message():
    for found in ALL:
        if found.kind in ("pick one", "tick many"):
            for box in found.boxes:
                spoken = {m.picked or m.ticked for m in found.mistakes if m.box in ("", box.id)}
                assert {option.id for option in box.options} - set(box.right) <= spoken, found.id


@pytest.mark.parametrize("found", ALL, ids=lambda found: found.id)
def test_every_placeholder_has_a_value(found):
    question = pose(found, course_draw(found.id))
    texts = [found.text, found.otherwise, found.first_step, found.right_text, *(mistake.text for mistake in found.mistakes)]
    texts += [option.text for box in found.boxes for option in box.options]
    for text in texts:
        assert placeholders(text) <= question.words.keys(), text
    assert placeholders(found.twin) <= question.twin_words.keys()
    if question.twin_words:
        assert placeholders(found.twin), "a twin of a number exercise shows its other numbers"


def test_questions_and_first_steps_do_not_hold_their_own_answer():
    for found in ALL:
        for text in (found.text, found.otherwise, found.first_step, *(m.text for m in found.mistakes)):
            assert not any(name.startswith("right_") for name in placeholders(text)), found.id


def test_three_core_exercises_a_lesson():
    core = {lesson: [found.id for found in exercises_of(lesson) if found.core] for lesson in LESSONS}
    assert core == {
        1: ["1.1", "1.2", "1.5"],
        2: ["2.1", "2.2", "2.3"],
        3: ["3.1", "3.2", "3.3"],
        4: ["4.1", "4.2", "4.4"],
        5: ["5.1", "5.2", "5.3"],
        6: ["6.1", "6.2", "6.6"],
        7: ["7.1", "7.2", "7.4"],
        8: ["8.1", "8.2", "8.3"],
        9: ["9.1", "9.2", "9.6"],
        10: ["10.2", "10.4", "10.5"],
    }
    most = {1: 6, 2: 6, 3: 7, 4: 6, 5: 6, 6: 7, 7: 7, 8: 7, 9: 7, 10: 6}
    first = {lesson: 0 if lesson == 5 else 1 for lesson in LESSONS}  # lesson 5 opens with a match of formulas and tiles
    assert [found.id for found in ALL] == [f"{lesson}.{n}" for lesson in LESSONS for n in range(first[lesson], most[lesson] + 1)]


REPAIRED = {
    1: {"M1"},
    2: {"M2"},
    3: {"M3", "M4"},
    4: {"M5", "M6", "M7", "M8", "M24"},
    5: {"M9", "M10"},
    6: {"M11", "M12", "M13", "M14"},
    7: {"M5", "M10"},
    8: {"M18", "M25"},
    9: {"M15", "M19"},
    10: {"M16", "M17"},
}


@pytest.mark.parametrize(("lesson", "misconceptions"), REPAIRED.items())
def test_each_misconception_is_asked_about_before_and_after(lesson, misconceptions):
    asked = [(one.misconception, one.when) for one in predictions_of(lesson)]
    assert sorted(asked) == sorted((name, when) for name in misconceptions for when in ("before", "after"))
    for one in predictions_of(lesson):
        assert len({answer.id for answer in one.answers}) == len(one.answers) >= 3
        for answer in one.answers:
            assert answer.text and one.reply(answer.id) == answer.reply
            assert answer.reply.startswith("Noted") == (one.when == "before"), "before is noted, after is explained"


def test_predictions_answer_and_go_into_the_book(tmp_path):
    from glazekit.folder.book import Book

    book = Book(tmp_path)
    book.add("prediction", **prediction_record(prediction("3b"), "double"))
    kept = book.entries("prediction")[0].data
    assert kept == {"lesson": "03", "prediction": "3b", "answer": "double", "moment": "before"}
    with pytest.raises(DataError, match="no choice 'thrice'; it has double, less"):
        prediction_record(prediction("3b"), "thrice")


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
        "swapped": {"box", "other"},
        "near": {"box"},
        "rounded_early": {"box"},
    }
    assert {name: placeholders(phrase(name)) for name in wanted} == wanted
    assert lesson_text(0)["marking"].keys() == wanted.keys()


def test_the_list_of_lessons():
    for lesson in course():
        assert lesson.title and 0 < len(lesson.line.split()) <= 20


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
    with pytest.raises(DataError, match="there is no prediction '9z'"):
        prediction("9z")
    with pytest.raises(DataError, match=r"no text 'lesson_77'; there is"):
        lesson_text(77)


def write_lesson(monkeypatch, tmp_path, text):
    (tmp_path / "lesson_55.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(texts, "text_folder", lambda: tmp_path)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[exercise."55.1"]\ntitle = "t"\nkind = "number"', "exercise 55.1: exercise: missing .* 'text'"),
        ('[exercise."55.1"]\ncolour = 1', "unexpected keyword argument 'colour'"),
        (
            '[exercise."55.1"]\ntitle="t"\nkind="guess"\ntext="x"\notherwise="x"\nfirst_step="x"\ntwin="x"\nright_text="x"\n'
            '[[exercise."55.1".box]]\nid="a"\nlabel="A"',
            "kind 'guess' is not one of number",
        ),
        (
            '[exercise."55.1"]\n[[exercise."55.1".box]]\nid="a"\nlabel="A"\nright=["b"]',
            "names the option 'b', which is not there",
        ),
    ],
)
def test_a_damaged_text_says_where_and_what(monkeypatch, tmp_path, text, says):
    write_lesson(monkeypatch, tmp_path, text)
    texts.load.cache_clear()
    bank._exercises.cache_clear()
    with pytest.raises(DataError, match=says):
        exercises_of("55")
    texts.load.cache_clear()
    bank._exercises.cache_clear()
