"""Marking over 200 learners: right passes however it is written, every known mistake gets its own message."""

from functools import cache
from itertools import combinations, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glazekit.exercises import course_draw, draw, exercise, exercises_of, mark, pose, record_of, right_answers
from glazekit.folder.book import Book
from glazekit.ground.errors import BookError, DataError

LEARNERS = [f"learner {number}" for number in range(200)]
ALL = [found for lesson in range(1, 11) for found in exercises_of(lesson)]
NUMBERS = [found for found in ALL if found.kind == "number"]
CHOICES = [found for found in ALL if found.kind != "number"]
by_id = pytest.mark.parametrize("found", ALL, ids=lambda found: found.id)


@cache
def questions(found):
    return [pose(found, draw(found.id, "tuesday", learner)) for learner in LEARNERS]


def typed(question, values):
    """Values as a learner would write them, one digit more than the page shows."""
    return {box.id: f"{values[box.id]:.{box.decimals + 2}f}" for box in question.boxes}


@pytest.mark.parametrize("found", NUMBERS, ids=lambda found: found.id)
def test_right_numbers_pass_however_they_are_written(found):
    for question in questions(found):
        values = right_answers(question)
        plain = {box.id: f"{values[box.id]:.{box.decimals}f}" for box in question.boxes}
        writings = [
            plain,
            {box.id: plain[box.id].replace(".", ",") for box in question.boxes},
            {box.id: f" {plain[box.id]} {box.unit} " for box in question.boxes},
            {box.id: f"{plain[box.id]}{box.unit}".replace(".", ",") for box in question.boxes},
        ]
        for answers in writings:
            marked = mark(question, answers)
            assert marked.state == "right", (question.draw, answers, marked)
            assert set(marked.boxes.values()) == {"right"} and marked.message and not marked.hint


@pytest.mark.parametrize("found", NUMBERS, ids=lambda found: found.id)
def test_the_tolerance_is_kept_on_both_sides(found):
    for question in questions(found):
        values = right_answers(question)
        for box in question.boxes:
            for share, state in ((0.9, "right"), (-0.9, "right"), (1.2, "try again"), (-1.2, "try again")):
                if not box.tolerance and state == "right":
                    continue
                moved = values | {box.id: values[box.id] + share * (box.tolerance or 1)}
                marked = mark(question, {name: repr(value) for name, value in moved.items()})
                assert (marked.state, marked.boxes[box.id]) == (state, state), (question.draw, box.id, share)


@pytest.mark.parametrize("found", NUMBERS, ids=lambda found: found.id)
def test_every_known_mistake_gets_its_own_message(found):
    assert len({mistake.text for mistake in found.mistakes}) == len(found.mistakes)
    for question in questions(found):
        solution = question.solution
        assert solution.wrong.keys() == {mistake.id for mistake in found.mistakes}
        said = {}
        for name, shown in solution.wrong.items():
            marked = mark(question, typed(question, {**solution.right, **shown}))
            assert (marked.state, marked.mistake) == ("try again", name), (question.draw, name)
            said[name] = marked.message
        assert len(set(said.values())) == len(said)


def orders_with(box, pair):
    """The right order with one step moved: the first of the pair to just before the second, or the second to just after it."""
    first, second = pair
    early = [name for name in box.right if name != first]
    early.insert(early.index(second), first)
    late = [name for name in box.right if name != second]
    late.insert(late.index(first) + 1, second)
    return early, late


def answers_showing(found, mistake):
    """Groups of answers that are right but for this one mistake; one of each group has to be recognised as it."""
    for box in found.boxes:
        if mistake.box not in ("", box.id):
            continue
        rest = {other.id: list(other.right) for other in found.boxes if other is not box}
        if mistake.picked:
            yield [rest | {box.id: mistake.picked}]
        elif mistake.ticked:
            yield [rest | {box.id: [*box.right, mistake.ticked]}]
        elif mistake.missed:
            yield [rest | {box.id: [name for name in box.right if name != mistake.missed]}]
        for pair in mistake.before:
            yield [rest | {box.id: order} for order in orders_with(box, pair)]


@pytest.mark.parametrize("found", CHOICES, ids=lambda found: found.id)
def test_choices_right_and_mistaken(found):
    assert len({mistake.text for mistake in found.mistakes}) == len(found.mistakes)
    for question in questions(found):
        assert mark(question, right_answers(question)).state == "right"
        for mistake in found.mistakes:
            shown = list(answers_showing(found, mistake))
            assert shown
            for group in shown:
                marks = [mark(question, answers) for answers in group]
                assert "right" not in {marked.state for marked in marks}
                assert mistake.id in {marked.mistake for marked in marks}, group


@by_id
def test_nothing_yet_is_not_a_try(found):
    for question in questions(found)[:20]:
        empties = [{}, {box.id: None for box in question.boxes}, {box.id: "" for box in question.boxes}]
        if found.kind == "number":
            empties += [{box.id: text for box in question.boxes} for text in ("   ", "...", "…", "?", "-")]
        else:
            empties += [{box.id: [] for box in question.boxes}]
        if found.kind == "put in order":
            empties += [{box.id: [option.id for option in box.options] for box in question.boxes}]
        for answers in empties:
            for tries in (0, 2):
                marked = mark(question, answers, tries)
                assert (marked.state, marked.tries) == ("blank", tries)
                assert marked.message.startswith("Not answered yet")


def test_one_empty_box_of_two_is_named_and_nothing_is_judged():
    question = pose(exercise("1.1"), course_draw("1.1"))
    marked = mark(question, {"base_g": "99", "total_g": " "})
    assert marked.message == "Not answered yet: Total dry powder."
    assert marked.boxes == {"base_g": "", "total_g": "blank"}


@pytest.mark.parametrize("text", ["feldspar", "12 apples", "1/0", "28,44 ml", "nan", "inf", "1e999", "3 4 5"])
def test_what_cannot_be_read_is_no_try_and_says_why(text):
    question = pose(exercise("2.1"), course_draw("2.1"))
    marked = mark(question, {"feldspar_pct": text}, tries=1)
    assert (marked.state, marked.tries, marked.boxes) == ("blank", 1, {"feldspar_pct": "unread"})
    assert "oda feldspar" in marked.message and "does not count as a try" in marked.message


def test_units_of_the_same_kind_are_converted_and_others_asked_about():
    tin = pose(exercise("2.3"), course_draw("2.3"))
    assert mark(tin, {"tin_g": "0,1185 kg"}).state == "right"
    assert mark(tin, {"tin_g": "0,1185"}).mistake == "kilograms"
    assert "asked in g, and you wrote ml" in mark(tin, {"tin_g": "118.5 ml"}).message
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


def test_swapped_boxes_are_noticed_when_no_mistake_fits():
    from dataclasses import replace

    question = pose(exercise("1.1"), course_draw("1.1"))
    bare = replace(question, solution=replace(question.solution, wrong={}))
    marked = mark(bare, {"base_g": "101", "total_g": "100"})
    assert marked.mistake == "swapped"
    assert "Base powder" in marked.message and "Total dry powder" in marked.message


@by_id
def test_help_grows_with_each_try_and_never_gives_the_answer_away(found):
    for question in questions(found)[:30]:
        if found.kind == "number":
            answers = typed(question, {box: value * 7.7 for box, value in right_answers(question).items()})
        else:
            answers = next(answers_showing(found, found.mistakes[0]))[0]
        levels = [mark(question, answers, tries) for tries in range(5)]
        assert [marked.hint_level for marked in levels] == [1, 2, 3, 3, 3]
        assert [marked.tries for marked in levels] == [1, 2, 3, 4, 5]
        assert [bool(marked.hint) for marked in levels] == [False, True, True, True, True]
        assert len({marked.message for marked in levels}) == 1
        assert levels[1].hint != levels[2].hint == levels[3].hint
        for box, value in right_answers(question).items():
            if found.kind == "number" and found.id not in ("1.1", "3.1", "3.6"):
                decimals = next(b.decimals for b in question.boxes if b.id == box)
                assert f" {value:.{decimals}f} " not in f"{levels[1].hint} {levels[2].hint}"


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
    with pytest.raises(DataError, match="'nap' is not one of the options"):
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
    with pytest.raises(BookError, match="not been answered yet"):
        record_of(question, mark(question, {}))
