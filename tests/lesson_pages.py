"""Reads the pages of the course for the tests, as learners get them."""

from __future__ import annotations

import ast
import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from glazekit.folder.lessons import page_content
from glazekit.words.course import course, lessons_dir

FOLDER = lessons_dir()
PAGES = [Path(page.notebook).stem for page in course() if page.notebook]
APPENDIX = "appendix_where_numbers_come_from"
LESSONS = PAGES[1:]


@dataclass(frozen=True)
class Call:
    """One ``page.something(...)`` of a lesson: name, first argument, the other arguments, and the number of its cell."""

    name: str
    what: str
    options: tuple[tuple[str, Any], ...]
    place: int


@cache
def cells(name: str) -> tuple[dict[str, Any], ...]:
    """The cells of a lesson, each with its text as one string."""
    notebook = json.loads(page_content(FOLDER / f"{name}.ipynb"))
    return tuple(cell | {"source": "".join(cell["source"])} for cell in notebook["cells"])


def story(name: str) -> list[str]:
    """The text blocks of a lesson."""
    return [cell["source"] for cell in cells(name) if cell["cell_type"] == "markdown"]


def plain(markdown: str) -> str:
    """The words of a text block without its marks and link addresses."""
    return re.sub(r"[*_`#>]", "", re.sub(r"\]\([^)]*\)", "", markdown).replace("[", ""))


def code_lines(source: str) -> list[str]:
    """The lines of a code cell that a person would have to understand."""
    return [line for line in source.splitlines() if line.strip() and not line.startswith("#")]


def calls(name: str) -> list[Call]:
    """What a lesson asks of its page, in order."""
    found = []
    for place, cell in enumerate(cells(name)):
        if cell["cell_type"] == "code":
            for node in ast.walk(ast.parse(cell["source"])):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and ast.unparse(node.func.value) == "page":
                    first = ast.literal_eval(node.args[0]) if node.args else ""
                    options = tuple((word.arg or "", ast.literal_eval(word.value)) for word in node.keywords)
                    found.append(Call(node.func.attr, first, options, place))
    return found
