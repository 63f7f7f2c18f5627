"""Checks of a lesson's words: short and kind, written as the course writes, every sign explained, none lying unused."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lesson_pages import story
from words_in_code import leaves, missing_and_unused, panel_tables, papers_of, unused_on_paper

from glazekit.exercises.bank import exercises_of
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.words.course import Lesson, glossary
from lesson_checks.exercises import questions
from lesson_checks.sums import texts_of

OF_THE_START_PAGE = {"links", "marking"}
MOST_WORDS = 90
VERDICT = r"\b(?:food|dinnerware)?safe\b"
"""No glaze and no bowl is called that, on a page or in a text; the safest of two ways may be."""
NEVER = re.compile(rf"(?<!go )\bwrong\b|\bincorrect\b|\bfailed\b|{VERDICT}|\bobviously\b|\bR2O\b|\bKNaO\b|https?:", re.IGNORECASE)
OTHER_MEANING = re.compile(
    r"\breckon|\bbadge\b|\bslipped\b|\bslip of the hand\b|\bslip in it\b|\bopen padlock|\brecipe card\b"
    r"|\b(?:the|its) card says|\b(?:on|to|against) (?:the|its) card\b",
    re.IGNORECASE,
)
"""A word means one thing: a slip is powder in water, a card is printed to take along, and numbers are worked out."""
TABLES = {"lesson", "title", "line", "exercise", "prediction", "panel", "studio", "home", "glossary", "tables"}
"""What the words of a lesson are for; anything else nobody reads."""
ELEMENTS = sorted({re.match(r"[A-Z][a-z]?", symbol)[0] for symbol in OXIDES} | {"C", "H", "O"}, key=len, reverse=True)  # type: ignore[index]
HIGH = re.compile(rf"(?<![A-Za-z])(?!P100\b|FFP3\b)(?:(?:{'|'.join(ELEMENTS)})[₀-₉]*)+\d|\)\d")
SIGNS = re.compile(r"(?<=[\w)}%]) [x/*-] (?=[\d({])|(?<=[\d)}]) [x/*-] (?=[\w({])|= -\d|(?<=\b[A-Z]) - (?=[A-Z]\b)|\+ or - ")
NOT_READ = {"start", "gases"}
"""Tables of the TOML files whose keys are formulas for the program, not words."""
PLAIN_SIGNS = set("+−×÷=<>|~⁻")
"""Signs that everybody knows from school, or that stand beside their words."""


def blocks(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Every text of a TOML file with its place."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from blocks(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from blocks(inner, f"{path}[{number}]")
    elif isinstance(value, str):
        yield path, value


def long_or_unkind(lesson: Lesson) -> list[str]:
    """No text is longer than a learner reads at once, none scolds or promises."""
    faults = []
    for place, text in blocks(lesson.texts, f"lesson {lesson.number}"):
        if len(text.split()) > MOST_WORDS:
            faults.append(f"{place} has {len(text.split())} words")
        if said := NEVER.search(text) or OTHER_MEANING.search(text):
            faults.append(f"{place} says '{said[0]}'")
        if text != text.strip():
            faults.append(f"{place} begins or ends in a blank")
    if not 0 < len(lesson.line.split()) <= 20:
        faults.append(f"lesson {lesson.number}: its line has {len(lesson.line.split())} words")
    return faults


def typewritten(text: str) -> list[str]:
    """Every formula with a count on the line, and every sum with a typewriter's sign."""
    return [text[max(found.start() - 12, 0) : found.end() + 12] for rule in (HIGH, SIGNS) for found in rule.finditer(text)]


def words_in(value: Any) -> list[str]:
    """Every text a learner may read in a part of a TOML file."""
    if isinstance(value, dict):
        return [text for key, inner in value.items() if key not in NOT_READ for text in words_in(inner)]
    if isinstance(value, list):
        return [text for inner in value for text in words_in(inner)]
    return [value] if isinstance(value, str) else []


def told(lesson: Lesson) -> list[str]:
    """Everything a learner reads of a lesson: its words, its story, its questions with numbers in them."""
    asked = [question for found in exercises_of(lesson.number) for question in questions(found)[:5]]
    blocks_told = story(Path(lesson.notebook).stem) if lesson.notebook else []
    return [
        *words_in(lesson.texts),
        *(re.sub(r"\]\([^)]*\)", "]", block) for block in blocks_told),
        *(text for question in asked for text in texts_of(question)),
    ]


def typed_as_on_a_typewriter(lesson: Lesson) -> list[str]:
    """Counts of atoms are set low, times, over and minus have their signs."""
    return [f"lesson {lesson.number}: ...{fault}..." for text in told(lesson) for fault in typewritten(text)]


def symbols(text: str) -> set[str]:
    """The oxides of a text that stand alone, and every sign of mathematics or Greek letter that is not known from school."""
    formulas = {printed_formula(oxide) for oxide in OXIDES}
    words = set(re.findall(r"(?<![\w·₀-₉])[A-Z][A-Za-z₀-₉]*(?![\w·₀-₉])", text))
    strange = {sign for sign in text if unicodedata.category(sign) == "Sm" or "GREEK" in unicodedata.name(sign, "")}
    return (words & formulas) | (strange - PLAIN_SIGNS)


def unexplained(lesson: Lesson) -> list[str]:
    """Every sign stands in the glossary of this lesson or an earlier one; a word is explained once, in a sentence."""
    rows = glossary()
    known = {sign for row in rows if row["lesson"] <= lesson.number for sign in row["sign"].split(", ")}
    met = {sign for text in told(lesson) for sign in symbols(text)}
    faults = [f"lesson {lesson.number}: {sign} is explained nowhere" for sign in met - known]
    terms = [row["term"] for row in rows]
    for row in rows:
        if row["lesson"] == lesson.number:
            if row.keys() != {"term", "sign", "meaning", "lesson"} or not row["meaning"].endswith("."):
                faults.append(f"lesson {lesson.number}: {row['term']} is not explained in a sentence")
            if terms.count(row["term"]) > 1:
                faults.append(f"lesson {lesson.number}: {row['term']} is explained twice")
    return faults


def unread(lesson: Lesson) -> list[str]:
    """Every text is read by somebody, and a panel has the words it asks for."""
    tables = TABLES | (OF_THE_START_PAGE if lesson.number == "00" else set())
    faults = [f"lesson {lesson.number}: nobody reads [{table}]" for table in lesson.texts.keys() - tables]
    home = f"lesson_{lesson.number}."
    panels = {where: (path, texts) for where, path, texts in panel_tables() if where.startswith(home)}
    for name in lesson.texts.get("panel", {}):
        if f"lesson_{lesson.number}.panel.{name}" not in panels:
            faults.append(f"lesson {lesson.number}: nobody reads [panel.{name}]")
    for where, (path, texts) in panels.items():
        missing, unused = missing_and_unused(path, texts)
        faults += [f"{where}.{key} is read by nobody" for key in unused]
        faults += [f"{where}.{key} is asked for and missing" for key in missing]
    papers = papers_of([Path(f"lesson_{lesson.number}.toml")])
    return faults + [f"{leaf} is printed on no sheet" for leaf in unused_on_paper(set(leaves(papers)))]


CHECKS = (long_or_unkind, typed_as_on_a_typewriter, unexplained, unread)
