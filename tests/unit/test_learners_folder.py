"""A learner's folder is brought up to date without losing a word the learner wrote."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from glazekit.folder.lessons import bring_lessons, inputs, last_lesson, page_content
from glazekit.folder.state import State
from glazekit.ground.errors import FileError
from glazekit.start.server_settings import jupyter_settings
from glazekit.words.course import lesson_file, lessons_dir


def notebook(*texts: str, outputs: list | None = None, **metadata: object) -> bytes:
    """A small notebook: first cell markdown, the others code."""
    cells = []
    for number, text in enumerate(texts):
        cell = {"id": f"c{number}", "metadata": metadata, "source": text.splitlines(keepends=True)}
        if number == 0:
            cells.append({"cell_type": "markdown", **cell})
        else:
            cells.append({"cell_type": "code", "execution_count": 3 if outputs else None, "outputs": outputs or [], **cell})
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}).encode()


RUN = [{"output_type": "stream", "name": "stdout", "text": ["ran"]}]
NAME = "01_first.ipynb"


class Class:
    """A shipped set of lessons and a learner's folder."""

    def __init__(self, tmp_path: Path) -> None:
        self.shipped, self.mine = tmp_path / "shipped", tmp_path / "my-glazes"
        self.shipped.mkdir()

    def ship(self, content: bytes, name: str = NAME) -> None:
        (self.shipped / name).write_bytes(content)

    def bring(self) -> dict[str, str]:
        return {brought.name: brought.word for brought in bring_lessons(self.mine, self.shipped)}

    def write(self, content: bytes, name: str = NAME) -> None:
        (self.mine / name).write_bytes(content)

    def read(self, name: str = NAME) -> bytes:
        return (self.mine / name).read_bytes()

    def backups(self) -> list[bytes]:
        return [path.read_bytes() for path in sorted(self.mine.glob("backup/*/*"))]

    def lessons(self) -> list[str]:
        return sorted(path.name for path in self.mine.glob("*.ipynb"))


@pytest.fixture
def room(tmp_path: Path) -> Class:
    room = Class(tmp_path)
    room.ship(notebook("# One", "play()"))
    assert room.bring() == {NAME: "copied"}
    return room


def test_first_time(room: Class) -> None:
    assert room.read() == notebook("# One", "play()")
    assert {path.name for path in room.mine.iterdir()} == {NAME, "book", "state", "my-recipes", "my-bags", "prints", ".glazekit"}
    assert (room.mine / "my-bags" / "bag-analyses.csv").read_text(encoding="utf-8").startswith("material,")


def test_second_time_changes_nothing(room: Class) -> None:
    assert room.bring() == {NAME: "same"}
    assert room.backups() == [] and room.lessons() == [NAME]


def test_a_lesson_that_was_only_run_is_refreshed_and_the_old_one_is_kept(room: Class) -> None:
    ran = notebook("# One", "play()", outputs=RUN, collapsed=False)
    room.write(ran)
    assert room.bring() == {NAME: "same"} and room.read() == ran, "no newer one: nothing to do"
    room.ship(notebook("# Better", "play()"))
    assert room.bring() == {NAME: "refreshed"}
    assert room.read() == notebook("# Better", "play()") and room.backups() == [ran]


@pytest.mark.parametrize(
    "edited",
    [notebook("# One\nmy note", "play()"), notebook("# One", "play()", "1 + 1"), notebook("# One"), b"{ torn", b""],
    ids=["note", "new cell", "cell deleted", "torn file", "empty file"],
)
def test_what_the_learner_changed_stays_and_a_newer_lesson_comes_beside_it_once(room: Class, edited: bytes) -> None:
    room.write(edited)
    assert room.bring() == {NAME: "yours"} and room.lessons() == [NAME]
    room.ship(notebook("# Better", "play()"))
    assert room.bring() == {NAME: "new beside"}
    assert room.read() == edited
    assert room.read("01_first (new).ipynb") == notebook("# Better", "play()")
    assert room.bring() == {NAME: "yours"}
    (room.mine / "01_first (new).ipynb").unlink()
    assert room.bring() == {NAME: "yours"} and room.lessons() == [NAME], "an offer declined is not repeated"


def test_an_untouched_offer_is_replaced_and_a_touched_one_is_not(room: Class) -> None:
    room.write(notebook("# Mine", "play()"))
    room.ship(notebook("# Two", "play()"))
    room.bring()
    room.ship(notebook("# Three", "play()"))
    assert room.bring() == {NAME: "new beside"}
    assert room.read("01_first (new).ipynb") == notebook("# Three", "play()") and room.backups() == [notebook("# Two", "play()")]
    room.write(notebook("# Three, mine", "play()"), "01_first (new).ipynb")
    room.ship(notebook("# Four", "play()"))
    assert room.bring() == {NAME: "new beside"}
    assert room.read("01_first (new).ipynb") == notebook("# Three, mine", "play()")
    assert room.read(NAME.replace(".", " (new 2).")) == notebook("# Four", "play()")
    assert room.read() == notebook("# Mine", "play()")


def test_a_change_taken_back_counts_as_untouched(room: Class) -> None:
    room.write(notebook("# Mine", "play()"))
    room.bring()
    room.write(notebook("# One", "play()", outputs=RUN))
    room.ship(notebook("# Two", "play()"))
    assert room.bring() == {NAME: "refreshed"}


def test_a_newer_lesson_with_the_same_text_still_arrives(room: Class) -> None:
    newer = notebook("# One", "play()", editable=False)
    room.ship(newer)
    assert room.bring() == {NAME: "refreshed"} and room.read() == newer


def test_a_deleted_lesson_comes_back(room: Class) -> None:
    (room.mine / NAME).unlink()
    assert room.bring() == {NAME: "copied"}


@pytest.mark.parametrize("record", [b"{ torn", b"[]", b'{"01_first.ipynb": 3}', None])
def test_without_the_record_nothing_is_overwritten(room: Class, record: bytes | None) -> None:
    path = room.mine / ".glazekit" / "lessons.json"
    if record is None:
        path.unlink()
    else:
        path.write_bytes(record)
    old = room.read()
    room.ship(notebook("# Two", "play()"))
    assert room.bring() == {NAME: "new beside"} and room.read() == old


def test_a_file_of_the_learners_own_under_a_lessons_name_stays(tmp_path: Path) -> None:
    room = Class(tmp_path)
    room.mine.mkdir()
    room.write(b"my diary")
    room.ship(notebook("# One", "play()"))
    assert room.bring() == {NAME: "new beside"} and room.read() == b"my diary"


def test_everything_else_in_the_folder_is_left_alone(room: Class) -> None:
    (room.mine / "my notes.ipynb").write_bytes(notebook("# mine"))
    (room.mine / "book" / "x.jsonl").write_text("{}")
    (room.mine / "my-bags" / "bag-analyses.csv").write_text("material\nmy ash\n")
    room.ship(notebook("# Two", "play()"))
    room.bring()
    assert room.read("my notes.ipynb") == notebook("# mine")
    assert (room.mine / "book" / "x.jsonl").read_text() == "{}"
    assert "my ash" in (room.mine / "my-bags" / "bag-analyses.csv").read_text()


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine")
    with pytest.raises(FileError, match="taken"):
        bring_lessons(tmp_path / "taken")


def test_cell_text_as_one_string_or_as_lines_is_the_same_text() -> None:
    lines = json.loads(notebook("# One\n2", "play()"))
    for cell in lines["cells"]:
        cell["source"] = "".join(cell["source"])
    lines["cells"].append({"cell_type": "code", "source": " \n", "metadata": {}, "outputs": []})
    assert inputs(json.dumps(lines).encode()) == inputs(notebook("# One\n2", "play()"))
    assert inputs(notebook("# One", "play()")) != inputs(notebook("# One ", "play()"))


def test_a_lesson_is_found_by_number_and_by_name() -> None:
    assert lesson_file(1) == lesson_file("01") == lesson_file(lesson_file("1").removesuffix(".ipynb"))
    assert lesson_file(0).startswith("00_") and lesson_file(1).startswith("01_")
    for wrong in ("999", "first", "../01", ""):
        with pytest.raises(FileError) as caught:
            lesson_file(wrong)
        assert caught.value.given == wrong


def test_the_course_opens_again_where_one_was(tmp_path: Path) -> None:
    assert last_lesson(tmp_path / "new") == last_lesson("x" * 300) == "01"
    for page, now in (("04", 3), ("02", 5), ("me", 7), ("no page of the course", 9)):
        State(tmp_path).put(page, "a bench", {})
        os.utime(tmp_path / "state" / f"{page}.json", (now, now))
    assert last_lesson(tmp_path) == "02"


def test_the_courses_own_lessons_arrive_whole(tmp_path: Path) -> None:
    bring_lessons(tmp_path)
    for path in lessons_dir().glob("*.ipynb"):
        assert (tmp_path / path.name).read_bytes() == page_content(path)


def test_jupyter_reads_our_settings_and_a_private_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JUPYTER_CONFIG_PATH", "elsewhere")
    settings = jupyter_settings(tmp_path)
    ours, theirs = settings["JUPYTER_CONFIG_PATH"].split(os.pathsep)
    assert theirs == "elsewhere"
    private = Path(settings["JUPYTER_CONFIG_DIR"])
    assert private.is_relative_to(tmp_path.resolve()) and (private / "custom" / "custom.css").is_file()
    for path in (Path(ours) / "labconfig" / "default_setting_overrides.json", Path(ours) / "jupyter_server_config.json"):
        assert json.loads(path.read_text(encoding="utf-8"))
