"""The course as its files tell it: lessons are found, never listed.

A lesson is a notebook ``NN_name.ipynb`` and its words ``lesson_NN.toml``. One that has words and no notebook yet is still to
come. Number 00 is the start page.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from glazekit.ground.errors import FileError, unknown_name
from glazekit.words.texts import load, text_folder


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson of the course: its number in two digits, and the file name of its page, empty while it is still to come."""

    number: str
    notebook: str = ""

    @property
    def texts(self) -> Mapping[str, Any]:
        """Everything of it that a learner reads outside its story; not to be changed."""
        return load(f"lesson_{self.number}")

    @property
    def title(self) -> str:
        """Its title."""
        return str(self.texts["title"])

    @property
    def line(self) -> str:
        """What it is about, in one line."""
        return str(self.texts["line"])

    @property
    def called(self) -> str:
        """Number and title, as lists and links say them."""
        return f"{int(self.number)} · {self.title}"

    @property
    def exercises(self) -> tuple[str, ...]:
        """Ids of its exercises, in order."""
        return tuple(self.texts.get("exercise", ()))


def course() -> tuple[Lesson, ...]:
    """The start page and every lesson, those that are still to come included, in order.

    >>> [lesson.called for lesson in course()[:2]]
    ['0 · Start here', '1 · Your first batch']
    """
    notebooks = {path.name[:2]: path.name for path in lessons_dir().glob("[0-9][0-9]_*.ipynb")}
    words = {path.stem.removeprefix("lesson_") for path in text_folder().glob("lesson_[0-9][0-9].toml")}
    return tuple(Lesson(number, notebooks.get(number, "")) for number in sorted(words | notebooks.keys()))


def glossary() -> list[dict[str, str]]:
    """Every word and sign of the course with its meaning and the number of the lesson where it first appears."""
    return [{**row, "lesson": lesson.number} for lesson in course() for row in lesson.texts.get("glossary", ())]


def lessons_dir() -> Path:
    """Folder of the notebooks: inside an installed package ``glazekit/_notebooks``, in a source tree ``notebooks``."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "_notebooks", package.parent / "notebooks"):
        if any(folder.glob("[0-9][0-9]_*.ipynb")):
            return folder
    raise FileError("the lessons of glazekit are missing; install the package again")


def lesson_file(wanted: str | int = 1) -> str:
    """File name of a page by its number or its name. Raises FileError with the pages there are."""
    names = sorted(path.name for path in lessons_dir().glob("*.ipynb"))
    text = str(wanted).strip()
    for name in names:
        if text in (name, name.removesuffix(".ipynb")) or (text.isdecimal() and name.startswith(f"{text.lstrip('0'):0>2}_")):
            return name
    stems = [name.removesuffix(".ipynb") for name in names]
    raise unknown_name(FileError, "lesson", text, stems)
