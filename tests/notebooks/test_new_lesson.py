"""A lesson costs four files: one laid beside the course is met everywhere, and each single fault in it is caught by its name."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

import glazekit
from glazekit.words.course import course as lessons
from glazekit.words.course import lessons_dir

TESTS = Path(__file__).parents[1]
LAST = [lesson.notebook for lesson in lessons() if lesson.notebook][-1]
LAID = TESTS / "lesson_checks" / "new_lesson"
FILES = {
    "notebook": "notebooks/99_cups_on_a_shelf.ipynb",
    "words": "glazekit/words/lesson_99.toml",
    "exercises": "glazekit/exercises/lesson_99.py",
    "panel": "glazekit/lab/panels/cup_counter.py",
}
"""All that a lesson costs."""
ROWS = {
    "outline": "99,99.1 99.2 99.3,99.1 99.2 99.3,99.2 99.3,M99",
    "safety": "99,never sweep",
    "cases": "99.1,cups=15.0,right,,15.0 cups,a row of this test\n"
    "99.1,cups=14.0,try again,taken_off,one cup off,a row of this test\n"
    "99.2,first=sponge,right,,wet,a row of this test\n"
    "99.2,first=broom,try again,swept,broom,a row of this test\n"
    "99.3,things=label+lid,right,,label,a row of this test\n"
    "99.3,things=lid,try again,bare,label,a row of this test",
}
"""What the course book says of it, for the tests."""


def notebook_of(story: str) -> str:
    """The notebook of a lesson that is written as blocks: folded code where a block speaks to the page."""
    cells = []
    for number, block in enumerate(story.split("\n---\n")):
        locked = {"deletable": False, "editable": False}
        cell = {"id": f"cell-{number}", "metadata": locked, "cell_type": "markdown", "source": block.strip().splitlines(True)}
        if block.startswith(("page.", "from ")):
            source = f"# Lesson controls (click to see the code)\n{block.strip()}".splitlines(True)
            folded = {"metadata": locked | {"jupyter": {"source_hidden": True}}, "outputs": [], "execution_count": None}
            cell |= {"cell_type": "code", "source": source, **folded}
        cells.append(cell)
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    notebook = {"cells": cells, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}
    nbformat.validate(notebook)
    return json.dumps(notebook, indent=1, ensure_ascii=False)


class Course:
    """A copy of the course with a lesson 99 in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        away = shutil.ignore_patterns("__pycache__", "open_glass", "calibration", "site")
        package = Path(glazekit.__file__).parent
        shutil.copytree(package, folder / "glazekit", ignore=away)
        shutil.copytree(lessons_dir(), folder / "notebooks")
        shutil.copytree(package.parent / "data", folder / "data", ignore=away)
        shutil.copytree(TESTS / "lesson_checks", folder / "tests" / "lesson_checks", ignore=away)
        for path in TESTS.glob("*.py"):
            shutil.copy(path, folder / "tests")
        self.before = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
        for file in FILES.values():
            (folder / file).write_text(self._laid(Path(file)), encoding="utf-8")
        for table in ROWS:
            path = self.path(table)
            path.write_text(path.read_text(encoding="utf-8").rstrip("\n") + f"\n{ROWS[table]}\n", encoding="utf-8")

    @staticmethod
    def _laid(file: Path) -> str:
        if file.suffix == ".ipynb":
            return notebook_of((LAID / f"{file.stem}.md").read_text(encoding="utf-8"))
        return (LAID / file.name).read_text(encoding="utf-8")

    def path(self, what: str) -> Path:
        """A file of the lesson, the page of its neighbour, or a table of rows."""
        return self.folder / {**FILES, "neighbour": f"notebooks/{LAST}"}.get(what, f"tests/lesson_checks/rows/{what}.csv")

    def faults(self, changes: list[dict[str, str]]) -> list[dict[str, list[str]]]:
        """What the checks find in lesson 99 after each change, by the name of the check; in a process of its own."""
        environment = os.environ | {"PYTHONPATH": os.pathsep.join(map(str, (self.folder, self.folder / "tests")))}
        environment |= {"PYTHONDONTWRITEBYTECODE": "1", "PYTHONIOENCODING": "utf-8"}
        command, asked = [sys.executable, "-m", "lesson_checks", "99"], json.dumps(changes).encode()
        run = subprocess.run(command, input=asked, cwd=self.folder, env=environment, capture_output=True, timeout=240)
        assert run.returncode == 0, run.stderr.decode("utf-8", "replace")
        found: list[dict[str, list[str]]] = json.loads(run.stdout)
        return found


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Course:
    return Course(tmp_path_factory.mktemp("course"))


FAULTS = {
    "a worked twin whose sum is not true": (
        "words",
        "= {sum:1} cups. Now",
        "= {right_cups}, 2 + 1 = 999. Now",
        "untrue_sums",
        "999",
    ),
    "a worked twin that comes to something else": (
        "words",
        "= {sum:1} cups. Now",
        "goes 999 times. Now",
        "twins_that_miss",
        "99.1",
    ),
    "an exercise that cannot be drawn": ("exercises", "course=200)", "course=200), keep=lambda n: False", "undrawable", "99.1"),
    "a tolerance that reaches a mistake": ("words", "tolerance = 0.1", "tolerance = 0.4", "reached_by_a_tolerance", "taken_off"),
    "a mistake without a message": ("words", 'id = "taken_off"', 'id = "something_else"', "without_a_message", "taken_off"),
    "an option without a message": ("words", 'picked = "broom"', 'picked = "sponge"', "incomplete", "broom"),
    "a text that nobody reads": ("words", 'cup = "Cup [mL]"', 'cup = "Cup [mL]"\nsaucer = "Saucer"', "unread", "saucer"),
    "a text that is missing": ("words", 'cup = "Cup [mL]"\n', "", "unread", "cup"),
    "a table that nobody reads": ("words", "[studio]", '[saucers]\nof = "tin"\n[studio]', "unread", "saucers"),
    "a panel that is not there": ("notebook", "cup counter", "saucer counter", "asks_for_what_is_not_there", "saucer counter"),
    "a panel under another name": (
        "panel",
        'name = "cup counter"',
        'name = "cup teller"',
        "asks_for_what_is_not_there",
        "cup counter",
    ),
    "sources that are not told": ("notebook", "page.sources()", "page.progress()", "without_its_sources", "page.sources"),
    "a table that is not there": ("words", '"sieves", "cautions"', '"saucers", "cautions"', "without_its_sources", "saucers"),
    "a sheet that is not there": ("notebook", "studio card", "saucer card", "asks_for_what_is_not_there", "saucer card"),
    "a sign that is not explained": ("words", 'sign = "∑"', 'sign = ""', "unexplained", "∑"),
    "a formula as on a typewriter": ("words", "The whole bucket,", "The whole SiO2,", "typed_as_on_a_typewriter", "SiO2"),
    "a safety line that is missing": ("notebook", "wipe wet, never sweep", "wipe wet", "without_its_safety_lines", "never sweep"),
    "no safety line asked for": ("safety", "\n99,never sweep", "", "without_its_safety_lines", "99"),
    "a link that leads nowhere": ("notebook", "(01_first_batch.ipynb)", "(01_first_bath.ipynb)", "broken_links", "01_first_bath"),
    "a verdict on food": ("notebook", "keeps slip in", "is food safe, keeps slip in", "forbidden_words", "food"),
    "what one now knows, said nowhere": ("notebook", "## What you now know", "## So", "exercises_out_of_place", "now knows"),
    "an exercise that is not asked": (
        "notebook",
        'page.exercise(\\"99.3\\")',
        'page.exercise(\\"99.1\\")',
        "exercises_out_of_place",
        "99.3",
    ),
    "an idea asked about once": ("words", 'when = "after"', 'when = "before"', "not_asked_twice", "M99"),
    "a lesson that is in no outline": ("outline", ROWS["outline"], "", "not_as_outlined", "99"),
    "a course book that is silent": ("cases", ROWS["cases"], "", "not_marked_as_in_the_course_book", "99.2"),
    "a neighbour that does not lead on": ("neighbour", '"Next: ', '"Then: ', "met_nowhere", "lead on"),
    "another title": ("notebook", "# 99 · Cups", "# 99 · Saucers", "other_title", "Cups on a shelf"),
}


@pytest.fixture(scope="module")
def found(course: Course) -> dict[str, dict[str, list[str]]]:
    """What the checks find, by the fault that was laid: without any, every check; with one, the check that should see it."""
    changes = [{"file": str(course.path("words")), "old": "", "new": "", "check": ""}]
    changes += [
        {"file": str(course.path(what)), "old": old, "new": new, "check": check} for what, old, new, check, _ in FAULTS.values()
    ]
    return dict(zip(("none", *FAULTS), course.faults(changes), strict=True))


def test_four_files_are_a_lesson_that_is_met_everywhere(course: Course, found: dict[str, dict[str, list[str]]]) -> None:
    """It has no fault: linked from the start page and its neighbour, counted in progress, printed, marked, drawn."""
    now = {path.relative_to(course.folder).as_posix() for path in course.folder.rglob("*") if path.is_file()}
    assert now - course.before == set(FILES.values())
    assert found["none"] == {}


@pytest.mark.parametrize("fault", FAULTS)
def test_one_fault_is_caught_by_its_name(fault: str, found: dict[str, dict[str, list[str]]]) -> None:
    """The check that finds it names the fault and the lesson or its exercise."""
    *_, check, named = FAULTS[fault]
    assert any(named in said and "99" in said for said in found[fault].get(check, [])), found[fault]
