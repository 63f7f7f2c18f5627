"""Formulas and sums look alike wherever a learner reads: counts of atoms set low, true signs for times, over and minus."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest
from lesson_pages import PAGES, calls, story

from glazekit.exercises import draw, exercises_of, pose
from glazekit.exercises.bank import text_folder
from glazekit.lab import open_page
from glazekit.lab.panel import Panel
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.sheets.catalogue import sheets

ELEMENTS = sorted({re.match(r"[A-Z][a-z]?", symbol)[0] for symbol in OXIDES} | {"C", "H", "O"}, key=len, reverse=True)  # type: ignore[index]
HIGH = re.compile(rf"(?<![A-Za-z])(?:(?:{'|'.join(ELEMENTS)})[₀-₉]*)+\d|\)\d")
SIGNS = re.compile(r"(?<=[\w)}%]) [x/*-] (?=[\d({])|(?<=[\d)}]) [x/*-] (?=[\w({])|= -\d|(?<=\b[A-Z]) - (?=[A-Z]\b)|\+ or - ")
FILES = sorted(text_folder().glob("*.toml"))
NOT_READ = {"start", "gases"}
"""Tables of the TOML files whose keys are formulas for the program, not words."""


def faults(text: str) -> list[str]:
    """Every formula with a count on the line, and every sum with a typewriter's sign."""
    return [text[max(found.start() - 12, 0) : found.end() + 12] for rule in (HIGH, SIGNS) for found in rule.finditer(text)]


def words_in(value: Any) -> list[str]:
    """Every text a learner may read in a part of a TOML file."""
    if isinstance(value, dict):
        return [text for key, inner in value.items() if key not in NOT_READ for text in words_in(inner)]
    if isinstance(value, list):
        return [text for inner in value for text in words_in(inner)]
    return [value] if isinstance(value, str) else []


def shown(widget: widgets.Widget) -> list[str]:
    """Every text that a panel shows; what a learner types stays as typed."""
    texts = [getattr(widget, name, "") or "" for name in ("description", "placeholder")]
    if isinstance(widget, widgets.HTML):
        texts.append(re.sub(r"<style.*?</style>", " ", widget.value, flags=re.DOTALL))
    texts += [str(option) for option in getattr(widget, "_options_labels", ())]
    return texts + [text for child in getattr(widget, "children", ()) for text in shown(child)]


def read(panel: Panel) -> str:
    """What stands between the marks of all that a panel shows."""
    return "\n".join(re.sub(r"<[^>]*>", " ", text) for text in shown(panel.box))


@pytest.mark.parametrize(
    "text",
    ["SiO2", "(Na2O.Al2O3.6SiO2)", "Al₂O3", "3 x 4", "{a} / {b}", "9 g / 3", "5 - 2", "2 − 3 = -1", "B - A", "+ or - mL"],
)
def test_the_rules_see_what_they_are_for(text: str) -> None:
    assert faults(text)


@pytest.mark.parametrize("text", ["SiO₂", *map(printed_formula, OXIDES), "A4", "cone 5-6", "3 × 4 ÷ 2 − 1", "−0.1", "g/mL"])
def test_the_rules_leave_the_rest_alone(text: str) -> None:
    assert not faults(text)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_words_of_the_course(file: Path) -> None:
    assert [found for text in words_in(tomllib.loads(file.read_text(encoding="utf-8"))) for found in faults(text)] == []


@pytest.mark.parametrize("name", PAGES)
def test_stories(name: str) -> None:
    assert [found for block in story(name) for found in faults(re.sub(r"\]\([^)]*\)", "]", block))] == []


@pytest.mark.parametrize("lesson", range(1, 11))
def test_exercises_with_numbers_in_them(lesson: int) -> None:
    for found in exercises_of(lesson):
        for learner in range(5):
            question = pose(found, draw(found.id, "tuesday", f"learner {learner}"))
            texts = [question.text, found.twin.format_map(question.twin_words)]
            texts += [text.format_map(question.words) for text in (found.first_step, found.otherwise, found.right_text)]
            texts += [mistake.text.format_map(question.words) for mistake in found.mistakes]
            assert [fault for text in texts for fault in faults(text)] == [], found.id


@pytest.mark.parametrize("name", PAGES)
def test_panels_as_the_lesson_opens_them(name: str, tmp_path: Path) -> None:
    page = open_page(name[:2], tmp_path)
    for call in calls(name):
        if call.name == "panel":
            panel = page.panel(call.what, **{key: value for key, value in call.options if key != "after"})
            assert len(read(panel)) > 100 and faults(read(panel)) == [], call


@pytest.mark.parametrize("sheet", sheets())
def test_sheets(sheet: str, tmp_path: Path) -> None:
    lessons = [name[:2] for name in PAGES if any(call.name == "print_sheet" and call.what == sheet for call in calls(name))]
    for lesson in lessons or ["01"]:
        html = open_page(lesson, tmp_path).print_sheet(sheet).html()
        words = re.sub(r"<style.*?</style>", " ", html, flags=re.DOTALL)
        assert faults(re.sub(r"<[^>]*>", " ", words)) == [], lesson
