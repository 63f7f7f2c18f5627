"""The glossary: words of the lessons that are here at first, every word when it is sought or asked for."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from glazekit.lab.page import Page
from glazekit.lab.panels.glossary import Glossary


@pytest.fixture
def glossary(reopen: Callable[[str], Page]) -> Glossary:
    return Glossary(reopen("00")).open()


def test_shows_the_words_of_the_lessons_that_are_here(glossary: Glossary) -> None:
    assert "<b>tare</b>" in glossary.list.value and "<b>line blend</b>" not in glossary.list.value


def test_what_the_cards_of_lesson_1_name_is_there(glossary: Glossary) -> None:
    on_cards = ("untested", "leach test", "run (mm)", "crawling", "blister, pinhole", "crazing", "shivering")
    for term in (*on_cards, "carbon monoxide (CO)"):
        assert f"<b>{term}</b>" in glossary.list.value


def test_later_words_come_on_request(glossary: Glossary) -> None:
    before = glossary.list.value.count("<li>")
    glossary.later.value = True
    assert glossary.list.value.count("<li>") > before and "<b>line blend</b>" in glossary.list.value


def test_a_word_is_found_wherever_it_stands_and_by_its_sign(glossary: Glossary) -> None:
    glossary.find.value = " CRAZ "
    assert glossary.list.value.count("<li>") == 1 and "fine cracks" in glossary.list.value
    for typed in ("B2O3", "b₂o₃", "boric"):
        glossary.find.value = typed
        assert "(B₂O₃)" in glossary.list.value


def test_what_is_not_there_is_said_and_not_run(glossary: Glossary) -> None:
    glossary.find.value = "<img src=x>"
    assert glossary.list.value == "" and "<img src=x>" in glossary.said and "<img" not in glossary.status.value
