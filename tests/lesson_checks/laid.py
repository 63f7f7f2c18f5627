"""A copy of the project with a lesson 99 in it: the four files of ``new_lesson/``, and what the course book says of it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

import nbformat

PROJECT = Path(__file__).parents[2]
LAID = Path(__file__).parent / "new_lesson"
FILES = {
    "notebook": "notebooks/99_cups_on_a_shelf.ipynb",
    "words": "glazekit/words/lesson_99.toml",
    "exercises": "glazekit/exercises/lesson_99.py",
    "panel": "glazekit/lab/panels/cup_counter.py",
}
"""All that a lesson costs."""
ROWS = {
    "outline": "99,99.1 99.2 99.3 99.4,99.1 99.2 99.3,99.2 99.3,M99",
    "safety": "99,never sweep,Where they stand",
    "cases": "99.1,cups=13.64,right,,Yes,a row of this test\n"
    "99.1,cups=12.64,try again,taken_off,one cup off,a row of this test\n"
    "99.2,first=sponge,right,,wet,a row of this test\n"
    "99.2,first=broom,try again,swept,broom,a row of this test\n"
    "99.3,things=label+lid,right,,label,a row of this test\n"
    "99.3,things=lid,try again,bare,label,a row of this test\n"
    "99.4,poured_ml=2860; left_pct=4.67,right,,13 are full,a row of this test\n"
    "99.4,poured_ml=3080; left_pct=4.67,try again,one_more,one cup more,a row of this test",
    "boxes": "99.1,cups,cups,0.05\n99.4,poured_ml,mL,1\n99.4,left_pct,%,0.05",
    "guesses": "99a,twice\n99b,half",
}
"""What the course book says of it, for the tests."""
Found = dict[str, list[str]]


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
    """A copy of the project with a lesson 99 in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        away = shutil.ignore_patterns("__pycache__", ".*")
        for part in ("glazekit", "notebooks", "data", "tests"):
            shutil.copytree(PROJECT / part, folder / part, ignore=away)
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE"):
            shutil.copy(PROJECT / name, folder)
        self.before = self.files()
        for file in map(Path, FILES.values()):
            story = file.suffix == ".ipynb"
            laid = (LAID / (f"{file.stem}.md" if story else file.name)).read_text(encoding="utf-8")
            (folder / file).write_text(notebook_of(laid) if story else laid, encoding="utf-8")
        for table, rows in ROWS.items():
            path = folder / f"tests/lesson_checks/rows/{table}.csv"
            path.write_text(f"{path.read_text(encoding='utf-8')}{rows}\n", encoding="utf-8")

    def files(self) -> set[str]:
        """Every file of it."""
        return {path.relative_to(self.folder).as_posix() for path in self.folder.rglob("*") if path.is_file()}

    def run(self, *words: str, asked: str = "", seconds: float) -> subprocess.CompletedProcess[str]:
        """Python in it, with these words on its line and this to read."""
        environment = os.environ | {"PYTHONPATH": os.pathsep.join(map(str, (self.folder, self.folder / "tests")))}
        environment |= {"PYTHONDONTWRITEBYTECODE": "1", "PYTHONIOENCODING": "utf-8"}
        return subprocess.run(
            [sys.executable, *words],
            input=asked,
            cwd=self.folder,
            env=environment,
            capture_output=True,
            encoding="utf-8",
            timeout=seconds,
        )

    def found(self, faults: Iterable[Mapping[str, str]], seconds: float = 240) -> list[Found]:
        """What the checks find in lesson 99 with each fault laid, by the name of the check; ``only`` names one check of them."""
        asked = json.dumps([{**fault, "file": str(self.folder / fault["file"])} for fault in faults])
        run = self.run("-m", "lesson_checks", "99", asked=asked, seconds=seconds)
        assert run.returncode == 0, run.stderr
        found: list[Found] = json.loads(run.stdout)
        return found
