"""The links between pages, filled in as a page is handed out: what is there today, and what is still to come.

So a new lesson stands on the start page and its neighbours lead to it, and no other notebook is edited. Three places are
filled: the line of a lesson's head that begins with a link to the start page, the ``Next:`` at its end, and what stands below
the heading of the cell ``all-lessons`` of the start page.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from glazekit.words.course import Lesson, course
from glazekit.words.texts import load

_HEAD = re.compile(r"^\[[^\]]*\]\(00_[^)]*\) · .*$", re.MULTILINE)
_NEXT = re.compile(r"(?<=^Next: )[^.\n]*(?:\.ipynb\))?", re.MULTILINE)
_LIST = "all-lessons"


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
