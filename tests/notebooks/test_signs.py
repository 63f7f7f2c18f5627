"""Formulas and sums look alike wherever a learner reads: counts of atoms set low, true signs for times, over and minus.

The words, stories, exercises and panels of a lesson are looked at by lesson_checks; here the rules themselves, and all sheets.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_checks.words import typewritten, words_in
from lesson_pages import PAGES, calls

from glazekit.lab import open_page
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.sheets.catalogue import sheets
from glazekit.words.texts import load, text_folder

OF_NO_LESSON = sorted(path.stem for path in text_folder().glob("*.toml") if not path.stem.startswith("lesson_"))


@pytest.mark.parametrize(
    "text",
    ["SiO2", "(Na2O.Al2O3.6SiO2)", "Al₂O3", "3 x 4", "{a} / {b}", "9 g / 3", "5 - 2", "2 − 3 = -1", "B - A", "+ or - mL"],
)
def test_the_rules_see_what_they_are_for(text: str) -> None:
    assert typewritten(text)


@pytest.mark.parametrize("text", ["SiO₂", *map(printed_formula, OXIDES), "A4", "cone 5-6", "3 × 4 ÷ 2 − 1", "−0.1", "g/mL"])
def test_the_rules_leave_the_rest_alone(text: str) -> None:
    assert not typewritten(text)


@pytest.mark.parametrize("file", OF_NO_LESSON)
def test_words_that_belong_to_no_lesson(file: str) -> None:
    assert [fault for text in words_in(load(file)) for fault in typewritten(text)] == []


@pytest.mark.parametrize("sheet", sheets())
def test_sheets(sheet: str, tmp_path: Path) -> None:
    lessons = [name[:2] for name in PAGES if any(call.name == "print_sheet" and call.what == sheet for call in calls(name))]
    for lesson in lessons or ["01"]:
        html = open_page(lesson, tmp_path).print_sheet(sheet).html()
        words = re.sub(r"<style.*?</style>", " ", html, flags=re.DOTALL)
        assert typewritten(re.sub(r"<[^>]*>", " ", words)) == [], lesson
