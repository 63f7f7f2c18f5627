"""The learner's folder: lessons copied in, refreshed when untouched, never overwritten when the learner wrote in them.

A lesson counts as *changed* when the text of its cells differs from what was copied. Running it changes only outputs, and
JupyterLab saves those by itself, so they do not count. What happens to a lesson:

* not in the folder: copied;
* unchanged, and the package brings a newer one: the old file goes to ``backup/``, the newer one takes its place;
* changed: it stays as it is; a newer one from the package is put beside it, once, as ``<name> (new).ipynb``.

The links between pages are filled in as a page is handed out: what is there today, and what is still to come. So a new lesson
stands on the start page and its neighbours lead to it, and no other notebook is edited. Three places are filled: the line of a
lesson's head that begins with a link to the start page, the ``Next:`` at its end, and what stands below the heading of the cell
``all-lessons`` of the start page.
"""

import hashlib
import json
import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from glazekit.ground.errors import FileError
from glazekit.ground.writer import make_folder, numbered, write_new, write_over
from glazekit.materials.bags import bag_form
from glazekit.words.course import Lesson, course, lessons_dir
from glazekit.words.texts import load

FOLDER_VARIABLE = "GLAZEKIT_FOLDER"
"""Environment variable that tells a lesson where the learner's folder is, wherever the lesson was moved."""
DEFAULT_FOLDER = Path("~/my-glazes")
BAG_FORM = "bag-analyses.csv"
"""Name of the empty form, in my-bags/, for the analyses of a learner's own bags."""
SUBFOLDERS = ("book", "state", "my-recipes", "my-bags", "prints")
HIDDEN = ".glazekit"
_HEAD = re.compile(r"^\[[^\]]*\]\(00_[^)]*\) · .*$", re.MULTILINE)
_NEXT = re.compile(r"(?<=^Next: )[^.\n]*(?:\.ipynb\))?", re.MULTILINE)
_LIST = "all-lessons"


@dataclass(frozen=True, slots=True)
class Brought:
    """What happened to one file of the folder: "copied", "same", "refreshed", "yours" or "new beside", and as a sentence."""

    name: str
    word: str
    words: str


def bring_lessons(folder: str | Path, source: Path | None = None) -> tuple[Brought, ...]:
    """Make the learner's folder and bring its lessons up to date without losing a word of the learner's. Parameters: the
    learner's folder; where the lessons come from (default: the package). Returns what happened to each lesson. Raises FileError
    when the folder cannot be written."""
    folder = Path(folder).expanduser()
    source = source or lessons_dir()
    if folder.exists() and not folder.is_dir():
        raise FileError(f"{folder} is a file; name a folder for your lessons")
    try:
        for name in (*SUBFOLDERS, HIDDEN):
            make_folder(folder / name)
        record = _Record(folder / HIDDEN / "lessons.json")
        backup = folder / "backup" / f"{datetime.now():%Y-%m-%d %H%M%S}"
        pages = sorted(path for path in source.iterdir() if path.is_file() and not path.name.startswith((".", "_")))
        happened = tuple(_bring(page, folder, record, backup) for page in pages)
        record.save()
        write_new(folder / "my-bags" / BAG_FORM, bag_form())
    except OSError as error:
        raise FileError(f"your lessons cannot be put into {folder}: {error.strerror or error}") from error
    return happened


def last_lesson(folder: str | Path) -> str:
    """Number of the lesson at whose benches something was moved last in this folder; "01" in one where nothing was yet.

    >>> last_lesson("nowhere")
    '01'
    """
    moved: dict[str, int] = {}
    for page in course():
        with suppress(OSError):  # nothing there, or a folder no lesson was ever in
            moved[page.number] = (Path(folder).expanduser() / "state" / f"{page.number}.json").stat().st_mtime_ns
    return max(moved, key=lambda number: moved[number], default="01")


def _bring(shipped: Path, folder: Path, record: "_Record", backup: Path) -> Brought:
    name, target = shipped.name, folder / shipped.name
    content = page_content(shipped)
    if not target.exists():
        write_over(target, content)
        record.note(name, content)
        return Brought(name, "copied", f"{name}: copied into your folder")
    present = target.read_bytes()
    if inputs(present) == inputs(content):
        if record.known(name, "version") in ("", _digest(content)):
            record.note(name, content)
            return Brought(name, "same", f"{name}: up to date")
    elif inputs(present) != record.known(name, "inputs"):
        return _beside(name, content, folder, record, backup)
    write_over(backup / name, present)
    write_over(target, content)
    record.note(name, content)
    return Brought(name, "refreshed", f"{name}: replaced by a newer one; the old one is in {backup.relative_to(folder)}")


def _beside(name: str, content: bytes, folder: Path, record: "_Record", backup: Path) -> Brought:
    """The learner wrote in this lesson: leave it, and offer a newer version once under another name."""
    if _digest(content) in (record.known(name, "version"), record.known(name, "offered")):
        return Brought(name, "yours", f"{name}: you wrote in it, so it stays as it is")
    stem, dot, ending = name.rpartition(".")
    for beside in numbered(folder, f"{stem} (new", f"){dot}{ending}"):
        if not beside.exists():
            break
        if inputs(beside.read_bytes()) == record.known(beside.name, "inputs"):  # an older offer, untouched
            write_over(backup / beside.name, beside.read_bytes())
            break
    write_over(beside, content)
    record.note(beside.name, content)
    record.offer(name, content)
    return Brought(
        name, "new beside", f"{name}: you wrote in it, so it stays as it is; a newer version is beside it as {beside.name}"
    )


def inputs(content: bytes) -> str:
    """Fingerprint of what a person writes in a notebook: kind and text of every cell that is not empty, in order. Outputs, run
    counts and the like do not count: JupyterLab saves them by itself. Of any other file every byte counts."""
    try:
        notebook = json.loads(content.decode("utf-8"))
        cells = []
        for cell in notebook["cells"]:
            text = cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])
            if text.strip():
                cells.append([cell["cell_type"], text])
        return _digest(json.dumps(cells).encode())
    except (ValueError, KeyError, TypeError, RecursionError):
        return _digest(content)


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


class _Record:
    """Which version of each lesson was copied, and its text's fingerprint; without it every lesson counts as changed."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._known: dict[str, dict[str, str]] = {}
        with suppress(OSError, ValueError, RecursionError):
            known: Any = json.loads(path.read_text(encoding="utf-8"))
            if isinstance(known, Mapping):
                self._known = {name: dict(about) for name, about in known.items() if isinstance(about, Mapping)}

    def known(self, name: str, what: str) -> str:
        """The ``version``, the ``inputs`` or the ``offered`` of a lesson; "" where nothing is known."""
        return self._known.get(name, {}).get(what, "")

    def note(self, name: str, content: bytes) -> None:
        self._known[name] = {"version": _digest(content), "inputs": inputs(content)}

    def offer(self, name: str, content: bytes) -> None:
        self._known.setdefault(name, {})["offered"] = _digest(content)

    def save(self) -> None:
        write_over(self.path, json.dumps(self._known, indent=1).encode())


def page_content(path: Path) -> bytes:
    """A notebook as a learner gets it; byte for byte the file where there is nothing to fill in."""
    content = path.read_bytes()
    pages = course()
    lesson = next((page for page in pages if page.notebook == path.name), None)
    if lesson is None:
        return content
    try:
        notebook: Any = json.loads(content)
        told = [cell for cell in notebook["cells"] if cell["cell_type"] == "markdown"]
        before = ["".join(cell["source"]) for cell in told]
    except (ValueError, KeyError, TypeError):
        return content
    after = [_filled(lesson, pages, cell.get("id"), text) for cell, text in zip(told, before, strict=True)]
    if after == before:
        return content
    for cell, text in zip(told, after, strict=True):
        cell["source"] = text.splitlines(keepends=True)
    return (json.dumps(notebook, indent=1, ensure_ascii=False) + "\n").encode()


def _filled(lesson: Lesson, pages: tuple[Lesson, ...], cell: str | None, text: str) -> str:
    start, *lessons = pages
    words = load("lesson_00")["links"]
    if lesson is start:
        return text if cell != _LIST else f"{text.partition(chr(10))[0]}\n\n{_all_lessons(lessons, words)}"
    earlier = [page for page in lessons if page.number < lesson.number and page.notebook]
    later = sorted((page for page in lessons if page.number > lesson.number), key=lambda page: not page.notebook)
    way = [f"[{words['start']}]({start.notebook})"]
    way += [words["before"].format(lesson=_link(page, words)) for page in earlier[-1:]]
    way += [words["next"].format(lesson=_link(page, words)) for page in later[:1]]
    text = _HEAD.sub(lambda _: " · ".join(way), text)
    return _NEXT.sub(lambda _: _link(later[0], words), text) if later else text


def _all_lessons(lessons: list[Lesson], words: dict[str, str]) -> str:
    here = "\n".join(f"* {_link(page, words)}" for page in lessons if page.notebook)
    coming = " ".join(f"{page.called}." for page in lessons if not page.notebook)
    return f"{here}\n\n{words['list_coming'].format(lessons=coming)}" if coming else here


def _link(page: Lesson, words: dict[str, str]) -> str:
    return f"[{page.called}]({page.notebook})" if page.notebook else words["coming"].format(lesson=page.called)
