"""A lesson costs four files: one laid beside the course is met everywhere, and each single fault in it is caught by its name."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from lesson_checks import checks
from lesson_checks.laid import FILES, LAID, Course, Found

from glazekit.words.course import course as lessons

PLACES = {
    **FILES,
    "neighbour": f"notebooks/{[lesson.notebook for lesson in lessons() if lesson.notebook][-1]}",
    "marker": "glazekit/exercises/checking.py",
}
"""Where a fault may be laid; any other name is a table of the course book's rows."""
FAULTS = {
    name: {"file": PLACES.get(file, f"tests/lesson_checks/rows/{file}.csv"), "old": old, "new": new, "check": check, "says": says}
    for name, (file, old, new, check, says) in tomllib.loads((LAID / "faults.toml").read_text(encoding="utf-8")).items()
}
NONE = {"file": FILES["words"], "old": "", "new": "", "check": ""}


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Course:
    return Course(tmp_path_factory.mktemp("course"))


@pytest.fixture(scope="module")
def found(course: Course) -> dict[str, Found]:
    """What the checks find, by the fault that was laid: without any, every check; with one, the check that should see it."""
    faults = {"none": NONE, **FAULTS}
    return dict(zip(faults, course.found({**fault, "only": fault["check"]} for fault in faults.values()), strict=True))


def test_four_files_are_a_lesson_that_is_met_everywhere(course: Course, found: dict[str, Found]) -> None:
    """It has no fault: linked from the start page and its neighbour, counted in progress, printed, marked, drawn."""
    assert course.files() - course.before == set(FILES.values())
    assert found["none"] == {}


@pytest.mark.parametrize("fault", FAULTS)
def test_one_fault_is_caught_by_its_name(fault: str, found: dict[str, Found]) -> None:
    """The check that finds it names the fault and the lesson or its exercise."""
    check, says = FAULTS[fault]["check"], FAULTS[fault]["says"]
    assert any(says in said and "99" in said for said in found[fault].get(check, [])), found[fault]


def test_every_check_has_a_fault_to_find() -> None:
    assert {fault["check"] for fault in FAULTS.values()} == set(checks())


@pytest.mark.slow
def test_every_check_finds_a_fault_that_no_other_finds(course: Course) -> None:
    """A check whose faults others find as well could go unmissed."""
    everything = course.found(({**fault, "only": ""} for fault in FAULTS.values()), seconds=900)
    assert [fault for fault, said in zip(FAULTS, everything, strict=True) if FAULTS[fault]["check"] not in said] == []
    alone = {name for said in everything if len(said) == 1 for name in said}
    assert alone == set(checks())


@pytest.mark.slow
def test_the_suite_is_green_with_one_more_lesson(course: Course) -> None:
    """Nothing is edited for it: no test knows how many lessons there are, nor which is the last."""
    units = ("architecture", "asleep", "cli", "course", "learners_folder", "words")
    about_lessons = [FILES["notebook"], "tests/lesson_checks", "tests/notebooks", "tests/exercises/test_every_lesson.py"]
    about_lessons += ["tests/exercises/test_text.py", *(f"tests/unit/test_{name}.py" for name in units)]
    not_itself = f"--ignore=tests/notebooks/{Path(__file__).name}"
    run = course.run("-m", "pytest", "-v", "-x", not_itself, *about_lessons, seconds=900)
    assert run.returncode == 0, run.stdout[-5000:]
    cells = f"{about_lessons[0].removesuffix('.ipynb')}::ipynb::Cell"  # as pytest prints what nbval ran
    assert cells in run.stdout and "[99-untrue_sums]" in run.stdout  # it was among them
