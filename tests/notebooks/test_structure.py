"""The shape of every page, by the checks that hold for any lesson, and what is so on one page alone."""

from __future__ import annotations

import json
import re
from pathlib import Path

import nbformat
import pytest
from lesson_checks import page as checks
from lesson_pages import APPENDIX, FOLDER, PAGES, calls, cells, plain, story
from panel_reading import seen
from wording import text_of

from glazekit.exercises.bank import exercises_of, predictions_of
from glazekit.exercises.draws import course_draw
from glazekit.exercises.posing import pose
from glazekit.lab.page import open_page, panel_names
from glazekit.words.course import Lesson, course

LINK = "(01_first_batch.ipynb)"
WATER, UNITY = "03_water_is_an_ingredient", "05_unity_formula"
START, *LESSONS = [lesson for lesson in course() if lesson.notebook]


@pytest.mark.parametrize("check", checks.CHECKS, ids=lambda check: check.__name__)
@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.number)
def test_a_page_has_no_fault(lesson: Lesson, check: checks.Check) -> None:
    assert check(lesson) == []


@pytest.mark.parametrize("check", checks.OF_PAGES, ids=lambda check: check.__name__)
def test_the_start_page_has_no_fault(check: checks.Check) -> None:
    assert check(START) == []


def test_the_appendix_is_a_notebook_by_the_book() -> None:
    nbformat.validate(json.loads((FOLDER / f"{APPENDIX}.ipynb").read_text(encoding="utf-8")))


def test_the_start_page_names_every_lesson() -> None:
    text = plain("\n".join(story("00_start_here")))
    linked = "\n".join(story("00_start_here"))
    for lesson in course()[1:]:
        assert lesson.called in text
        assert (f"({lesson.number}_" in linked) == bool(lesson.notebook)


def test_every_panel_is_met_in_a_lesson() -> None:
    own_verb = {"play": "leave one out", "exercise": "exercise box", "predict": "prediction box", "print_sheet": "print box"}
    asked = [call for name in PAGES for call in calls(name)]
    met = {call.what if call.name == "panel" else own_verb.get(call.name, call.name) for call in asked}
    assert set(panel_names()) <= met


def test_lesson_one_opens_with_play() -> None:
    assert calls("01_first_batch")[0].name == "play"
    words = len(" ".join(plain(cell["source"]) for cell in cells("01_first_batch")[: calls("01_first_batch")[0].place]).split())
    assert words <= 130, "about a minute of reading before there is something to move"


def test_the_first_sheet_is_four_minutes_away(tmp_path: Path) -> None:
    """From the top of the start page to the button of the batch sheet, panels and pictures included; at 100 words a minute."""
    start = cells("00_start_here")
    words = [plain(cell["source"]) for cell in start[: 1 + next(i for i, cell in enumerate(start) if LINK in cell["source"])]]
    page, asked = open_page("01", tmp_path), {call.place: call for call in calls("01_first_batch")}
    for place, cell in enumerate(cells("01_first_batch")):
        if cell["cell_type"] == "markdown":
            words.append(plain(cell["source"]))
        elif place in asked:
            call = asked[place]
            said = seen(getattr(page, call.name)(*filter(None, [call.what])))
            button = text_of("lesson_00.panel.print_box.make").format(sheet=call.what)
            words.append(" ".join(said).partition(button)[0])
            if call.name == "print_sheet":
                break
    assert (call.name, call.what) == ("print_sheet", "batch sheet")
    assert len(words) > 6 and len(" ".join(words).split()) <= 400


@pytest.mark.parametrize("name", ["04_what_the_kiln_leaves", "05_unity_formula"])
def test_the_two_lessons_of_counting_are_read_in_eight_minutes(name: str) -> None:
    """All of it, what is "if you like" included: the story, the questions and the choices, slowly, 200 words a minute."""
    lesson = int(name[:2])
    texts = [plain(block) for block in story(name)]
    for question in (pose(found, course_draw(found.id)) for found in exercises_of(lesson)):
        options = [option.text for box in question.boxes for option in box.options]
        texts += [question.exercise.title, question.text, *(box.label for box in question.boxes), *options]
    for one in predictions_of(lesson):
        texts += [one.text, *(answer.text for answer in one.answers)]
    assert 1000 < len(" ".join(texts).split()) < 8 * 200


@pytest.mark.parametrize(
    ("name", "guess", "answer"), [(WATER, "3a", r"\bdiffer|thinner"), (UNITY, "5b", r"\bshelf\b|of its own")]
)
def test_a_guess_is_not_answered_above_it(name: str, guess: str, answer: str) -> None:
    """Where the page tells it, it tells it behind the guess."""
    (place,) = [call.place for call in calls(name) if (call.name, call.what) == ("predict", guess)]
    texts = [plain(cell["source"]) if cell["cell_type"] == "markdown" else "" for cell in cells(name)]
    assert not re.search(answer, "\n".join(texts[:place]))
    assert re.search(answer, "\n".join(texts[place:]))


def test_dust_is_named_where_it_flies() -> None:
    dusty = [block for block in story("01_first_batch") if "⚠ **Dust.**" in block]
    heads = [block.splitlines()[0] for block in dusty]
    assert [word for head in heads for word in ("first", "second", "third") if f"{word} dust moment" in head] == [
        "first",
        "second",
        "third",
    ]
