"""The course is what its files tell: lessons found, in order, and pages whose links lead to what is there."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from glazekit.exercises.bank import predictions_of
from glazekit.folder.lessons import page_content
from glazekit.ground.errors import FileError
from glazekit.words import course as course_room
from glazekit.words.course import Lesson, course, glossary, lesson_file, lessons_dir
from glazekit.words.texts import text_folder

HERE = [lesson for lesson in course()[1:] if lesson.notebook]


def links(content: bytes) -> list[str]:
    """Where the text of a page leads."""
    told = ["".join(cell["source"]) for cell in json.loads(content)["cells"] if cell["cell_type"] == "markdown"]
    return re.findall(r"\]\(([^)]*)\)", "\n".join(told))


def test_the_course_is_its_notebooks_and_its_words() -> None:
    assert [lesson.number for lesson in course()] == sorted(path.stem[-2:] for path in text_folder().glob("lesson_*.toml"))
    assert {lesson.notebook for lesson in course() if lesson.notebook} == {
        path.name for path in lessons_dir().iterdir() if path.name[:2].isdigit()
    }
    assert course()[0].number == "00" and len({lesson.title for lesson in course()}) == len(course())
    assert all(lesson.exercises and predictions_of(lesson.number) for lesson in HERE)


def test_a_word_belongs_to_the_lesson_whose_file_it_stands_in() -> None:
    rows = glossary()
    assert [row["lesson"] for row in rows] == sorted(row["lesson"] for row in rows)
    assert {row["lesson"] for row in rows if row["term"] in ("tare", "line blend")} == {"01", "12"}


def test_without_notebooks_the_lessons_are_missing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(course_room, "__file__", str(tmp_path / "glazekit" / "words" / "course.py"))
    with pytest.raises(FileError):
        course()


@pytest.fixture
def laid(monkeypatch: pytest.MonkeyPatch) -> list[Lesson]:
    """The course as the links see it; a test changes what is there."""
    pages = list(course())
    monkeypatch.setattr("glazekit.folder.lessons.course", lambda: tuple(pages))
    return pages


class TestLinks:
    @pytest.mark.parametrize("lesson", HERE, ids=lambda lesson: lesson.number)
    def test_no_stored_link_is_lost_when_a_page_is_handed_out(self, lesson: Lesson) -> None:
        path = lessons_dir() / lesson.notebook
        stored = set(links(path.read_bytes()))
        assert stored and stored <= set(links(page_content(path)))

    def test_a_lesson_taken_away_is_to_come_again(self, laid: list[Lesson]) -> None:
        before, gone = HERE[-2:]
        laid[laid.index(before) + 1 :] = [Lesson(gone.number)]
        assert gone.notebook not in links(page_content(lessons_dir() / laid[0].notebook))
        said = page_content(lessons_dir() / before.notebook)
        assert gone.notebook not in links(said) and said.decode().count(gone.called) == 2, "named as to come, head and end"

    def test_a_lesson_that_comes_is_linked_from_both_sides_and_from_the_start_page(self, laid: list[Lesson]) -> None:
        before, last = HERE[-2:]
        new = Lesson(last.number, f"{last.number}_new.ipynb")
        laid[laid.index(last)] = new
        start, page = (links(page_content(lessons_dir() / name)) for name in (laid[0].notebook, before.notebook))
        assert start.count(new.notebook) == 1 and page.count(new.notebook) == 2 and last.notebook not in (*start, *page)

    def test_a_lesson_in_the_middle_comes_between_its_neighbours(self, laid: list[Lesson]) -> None:
        one, two, three = HERE[3:6]
        laid.remove(two)
        assert three.notebook in links(page_content(lessons_dir() / one.notebook))
        assert one.notebook in links(page_content(lessons_dir() / three.notebook))

    def test_other_files_pass_as_they_are(self, tmp_path: Path) -> None:
        for name, content in (("notes.ipynb", b"{ torn"), (HERE[0].notebook, b"[1, 2]"), (HERE[0].notebook, b'{"cells": 3}')):
            (tmp_path / name).write_bytes(content)
            assert page_content(tmp_path / name) == content


def test_a_page_is_found_by_number_or_name() -> None:
    assert {lesson_file(int(lesson.number)) for lesson in HERE} == {lesson.notebook for lesson in HERE}
