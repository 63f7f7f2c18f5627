"""Marking: what cannot be read, units, fractions, slips, orders, ticks; what holds for every exercise is in lesson_checks."""

from itertools import combinations, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lesson_checks.exercises import questions
from wording import spoken, text_of

from glazekit.exercises.bank import exercise
from glazekit.exercises.checking import mark, record_of
from glazekit.exercises.draws import course_draw, draw
from glazekit.exercises.posing import pose, right_answers
from glazekit.folder.book import Book
from glazekit.ground.errors import BookError, DataError


def test_one_empty_box_of_two_is_named_and_nothing_is_judged():
    question = pose(exercise("1.1"), course_draw("1.1"))
    marked = mark(question, {"base_g": "99", "total_g": " "})
    assert marked.message == text_of("lesson_00.marking.blank_some").format(boxes=question.boxes[1].label)
    assert marked.boxes == {"base_g": "", "total_g": "blank"}


@pytest.mark.parametrize("text", ["feldspar", "12 apples", "1/0", "28,44 ml", "nan", "inf", "1e999", "3 4 5"])
def test_what_cannot_be_read_is_no_try_and_says_why(text):
    question = pose(exercise("2.1"), course_draw("2.1"))
    marked = mark(question, {"feldspar_pct": text}, tries=1)
    assert (marked.state, marked.tries, marked.boxes) == ("blank", 1, {"feldspar_pct": "unread"})
    told = spoken("lesson_00.marking.unread", marked.message)
    assert told and question.boxes[0].label.casefold() in told["why"].casefold()


def test_units_of_the_same_kind_are_converted_and_others_asked_about():
    tin = pose(exercise("2.3"), course_draw("2.3"))
    assert mark(tin, {"tin_g": "0,1185 kg"}).state == "right"
    assert mark(tin, {"tin_g": "0,1185"}).mistake == "kilograms"
    asked = text_of("lesson_00.marking.other_unit").format(box=tin.boxes[0].label, unit="g", typed="ml")
    assert asked in mark(tin, {"tin_g": "118.5 ml"}).message
    bucket = pose(exercise("3.5"), course_draw("3.5"))
    assert mark(bucket, {"dry_kg": "3892 g"}).state == "right"
    log = pose(exercise("3.1"), course_draw("3.1"))
    assert [mark(log, {"water_ml": text}).state for text in ("100 ml", "100 mL/100 g", "100mL per 100g")] == ["right"] * 3


def test_a_comma_that_could_be_a_thousand_is_asked_about():
    largest = pose(exercise("2.4"), course_draw("2.4"))
    marked = mark(largest, {"base_g": "1,097"})
    assert (marked.state, marked.boxes["base_g"]) == ("blank", "unread")
    assert "1097" in marked.message


def test_simple_fractions_are_numbers():
    assert mark(pose(exercise("3.6"), course_draw("3.6")), {"coat_mm": "4/4 mm"}).state == "right"
    assert mark(pose(exercise("1.2"), course_draw("1.2")), {"feldspar_g": "52/2"}).state == "right"


@pytest.mark.parametrize(
    ("name", "answers", "slip"),
    [
        ("2.1", {"feldspar_pct": "284.4"}, "decimal_point"),
        ("2.1", {"feldspar_pct": "2.844"}, "decimal_point"),
        ("2.1", {"feldspar_pct": "0.2844"}, "hundred"),
        ("3.5", {"dry_kg": "3892"}, "thousand"),
        ("1.2", {"feldspar_g": "0.026"}, "thousand"),
        ("4.2", {"lime_mol": "200"}, "thousandths"),
        ("4.5", {"boron_mol": "79"}, "thousandths"),
        ("2.1", {"feldspar_pct": "28"}, "rounded_early"),
        ("2.1", {"feldspar_pct": "28.3"}, "rounded_early"),
        ("3.2", {"density_g_ml": "1.5"}, "rounded_early"),
        ("1.1", {"base_g": "100", "total_g": "101.1"}, "near"),
        ("1.2", {"feldspar_g": "25.9"}, "near"),
        ("1.1", {"base_g": "100", "total_g": "101.5"}, ""),
        ("1.1", {"base_g": "101", "total_g": "100"}, "colour_inside"),
        ("2.1", {"feldspar_pct": "17"}, ""),
    ],
)
def test_general_slips(name, answers, slip):
    marked = mark(pose(exercise(name), course_draw(name)), answers)
    assert (marked.state, marked.mistake) == ("try again", slip)
    assert marked.message


@pytest.mark.parametrize("text", ["11:08", "11 h 8 min", "11.13 h", "668 min", "11,13"])
def test_hours_are_read_as_a_clock_tells_them(text):
    assert mark(pose(exercise("10.1"), course_draw("10.1")), {"hours": text}).state == "right"


@pytest.mark.parametrize("text", ["11:75", "11:08 g", ":08"])
def test_what_is_no_time_is_no_try(text):
    assert mark(pose(exercise("10.1"), course_draw("10.1")), {"hours": text}).state == "blank"


def test_swapped_boxes_are_noticed_when_no_mistake_fits():
    from dataclasses import replace

    question = pose(exercise("1.1"), course_draw("1.1"))
    bare = replace(question, solution=replace(question.solution, wrong={}))
    marked = mark(bare, {"base_g": "101", "total_g": "100"})
    assert marked.mistake == "swapped"
    first, second = (box.label for box in question.boxes)
    assert spoken("lesson_00.marking.swapped", marked.message) == {"box": first, "other": second}


def test_every_order_of_the_evening_gets_an_answer_and_only_the_right_one_passes():
    question = pose(exercise("1.5"), draw("1.5", "tuesday", "Wren"))
    box = question.boxes[0]
    right = []
    for order in permutations(option.id for option in box.options):
        marked = mark(question, {box.id: order})
        if marked.state == "right":
            right.append(order)
        elif marked.state == "try again":
            assert marked.mistake, order
    assert sorted(right) == sorted([box.right, tuple({"mix": "mix_again", "mix_again": "mix"}.get(x, x) for x in box.right)])


@pytest.mark.parametrize("name", ["1.3", "1.6"])
def test_of_all_ways_to_tick_only_one_passes(name):
    question = pose(exercise(name), draw(name, "tuesday", "Wren"))
    ids = [option.id for option in question.boxes[0].options]
    ways = [way for size in range(1, len(ids) + 1) for way in combinations(ids, size)]
    passed = [set(way) for way in ways if mark(question, {question.boxes[0].id: way}).state == "right"]
    assert passed == [set(question.boxes[0].right)]


def test_the_row_to_be_ordered_never_starts_solved():
    starts = {tuple(option.id for option in question.boxes[0].options) for question in questions(exercise("1.5"))}
    assert len(starts) > 100
    question = pose(exercise("1.5"), draw("1.5", "tuesday", "Wren"))
    solved = [option.text for name in question.boxes[0].right for option in question.boxes[0].options if option.id == name]
    for question in questions(exercise("1.5")):
        assert [option.text for option in question.boxes[0].options] != solved


def test_an_option_that_is_not_there_is_a_programmers_error():
    with pytest.raises(DataError, match="'nap' is not"):
        mark(pose(exercise("1.4"), course_draw("1.4")), {"move": "nap"})


@settings(max_examples=300, deadline=None)
@given(text=st.text(max_size=60))
def test_any_text_gets_a_mark(text):
    question = pose(exercise("2.3"), course_draw("2.3"))
    marked = mark(question, {"tin_g": text})
    assert marked.state in ("blank", "right", "try again") and marked.message


def test_the_book_takes_the_record_and_nothing_else_is_in_it(tmp_path):
    book = Book(tmp_path)
    question = pose(exercise("2.2"), draw("2.2", "tuesday", "Wren"))
    marked = mark(question, {"tin_pct": f"{right_answers(question)['tin_pct']:.2f}"}, tries=2)
    record = record_of(question, marked)
    assert set(record) == {"exercise", "seed", "tries", "hint_level", "state"}
    book.add("exercise", **record)
    kept = book.entries("exercise")[0].data
    assert (kept["exercise"], kept["tries"], kept["hint_level"], kept["state"]) == ("2.2", 3, 2, "right")


def test_an_empty_answer_has_no_record():
    question = pose(exercise("2.2"), course_draw("2.2"))
    with pytest.raises(BookError):
        record_of(question, mark(question, {}))
