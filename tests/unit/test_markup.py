"""Markup: what is text stays text, what is markup stays markup, and there is one place that escapes."""

from __future__ import annotations

import ast
import xml.etree.ElementTree as ET
from html import unescape
from pathlib import Path

import pytest

import glazekit
from glazekit.drawing.markup import Html, el, join, n

PACKAGE = Path(glazekit.__file__).parent
NASTY = """<b a="1" b='2'>&amp;</b>"""


def escapes_by_hand(path: Path) -> bool:
    """Does a file take the library's ``escape`` for itself."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module == "html" and any(alias.name == "escape" for alias in node.names):
            return True
        if isinstance(node, ast.Import) and any(alias.name in ("html", "xml.sax.saxutils") for alias in node.names):
            return True
    return False


def test_only_the_builder_escapes() -> None:
    found = {path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*.py") if escapes_by_hand(path)}
    assert found == {"drawing/markup.py"}


def test_text_comes_back_as_it_was_given() -> None:
    element = ET.fromstring(el("p", NASTY, el("i", NASTY), title=NASTY))
    assert (element.text, element.get("title"), [child.text for child in element]) == (NASTY, NASTY, [NASTY])


@pytest.mark.parametrize("made", [el("br") + NASTY, NASTY + el("br"), join(el("br"), NASTY)], ids=["behind", "before", "beside"])
def test_text_beside_markup_is_escaped_too(made: Html) -> None:
    assert isinstance(made, Html) and made.count("<") == 1
    assert unescape(made).replace("<br/>", "") == NASTY


def test_a_plain_text_that_looks_finished_is_not_trusted() -> None:
    """An f-string round markup is plain text again: it shows its tags and runs nothing."""
    assert ET.fromstring(el("p", f"{el('b', 'x')}")).text == "<b>x</b>"


def test_an_attribute_with_nothing_in_it_is_left_out() -> None:
    assert ET.fromstring(el("a", id="", class_="c", aria_label="d", x=0, y=1 / 3)).attrib == {
        "class": "c",
        "aria-label": "d",
        "x": "0",
        "y": "0.33",
    }


@pytest.mark.parametrize(
    ("value", "text"),
    [(1234567, "1234567"), (12345.678, "12345.68"), (1e-05, "0"), (-0.001, "0"), (1e15, "1" + "0" * 15), (-7.5, "-7.5")],
)
def test_a_number_of_a_drawing_has_no_exponent_and_two_decimals(value: float, text: str) -> None:
    assert n(value) == text
