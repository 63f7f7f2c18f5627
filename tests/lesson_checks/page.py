"""Checks of a lesson's page: short folded cells, links that lead somewhere, everything in its place, every safety line."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import nbformat
from lesson_pages import FOLDER, Call, calls, cells, code_lines, plain, story
from panel_reading import read
from wording import text_of

from glazekit.exercises.bank import exercises_of, predictions_of
from glazekit.ground.errors import GlazekitError
from glazekit.ground.tables import origins
from glazekit.lab.page import open_page, panel_names
from glazekit.sheets.catalogue import sheets
from glazekit.words.course import Lesson, course
from lesson_checks import Check
from lesson_checks.rows import of_lesson
from lesson_checks.words import MOST_WORDS, OTHER_MEANING, VERDICT, typewritten

MOST_CODE_LINES = 2
MOST_BYTES = 200_000
KNOWN = "## What you now know"
FORBIDDEN = [
    r"\bwrong!",
    r"\bjust run\b",
    r"mg/m",
    r"\bppm\b",
    r"\bhelper\b",
    r"\bAI\b",
    r"https?://",
]


def of_page(find: Callable[[str], Iterator[str]]) -> Check:
    """A check of every page, the start page too, from a search in the page of this name."""

    def check(lesson: Lesson) -> list[str]:
        return [f"lesson {lesson.number}: {fault}" for fault in find(Path(lesson.notebook).stem)]

    check.__name__, check.__doc__ = find.__name__, find.__doc__
    return check


def without_its_sources(lesson: Lesson) -> list[str]:
    """A lesson names the tables it uses, and its page ends with where they come from and the way on."""
    faults = []
    if not lesson.texts.get("tables") and lesson.number != "00":
        faults.append(f"lesson {lesson.number}: its words name no tables")
    for table in lesson.texts.get("tables", ()):
        try:
            faults += [] if origins(table) else [f"lesson {lesson.number}: the table {table} has no source"]
        except GlazekitError as error:
            faults.append(f"lesson {lesson.number}: {error}")
    places = [call.place for call in calls(Path(lesson.notebook).stem) if call.name == "sources"]
    if lesson.number != "00" and places != [len(cells(Path(lesson.notebook).stem)) - 2]:
        faults.append(f"lesson {lesson.number}: page.sources() does not stand before the way on")
    return faults


@of_page
def long_blocks(name: str) -> Iterator[str]:
    """A block of text is read at once, and has one heading at most."""
    for block in story(name):
        if len(plain(block).split()) > MOST_WORDS:
            yield f"a block of {len(plain(block).split())} words: {block[:60]}"
        if len(re.findall(r"^#+ ", block, re.MULTILINE)) > 1:
            yield f"two headings in one block: {block[:60]}"


@of_page
def unfolded_code(name: str) -> Iterator[str]:
    """Code is folded, a line or two; a folded cell shows its first line."""
    for cell in cells(name):
        if cell["cell_type"] == "code":
            if not cell["source"].startswith("# Lesson controls") or not cell["metadata"]["jupyter"]["source_hidden"]:
                yield f"cell {cell['id']} is not folded"
            if not 1 <= len(code_lines(cell["source"])) <= MOST_CODE_LINES:
                yield f"cell {cell['id']} has {len(code_lines(cell['source']))} lines of code"


@of_page
def unsound_file(name: str) -> Iterator[str]:
    """No output, no state, no weight, no cell that a slip of the hand can harm; a notebook by the book.

    Otherwise the server writes an error into the learner's terminal at every save.
    """
    text = (FOLDER / f"{name}.ipynb").read_text(encoding="utf-8")
    try:
        nbformat.validate(json.loads(text))
    except nbformat.ValidationError as error:
        yield f"no notebook by the book: {error.message}"
    if len(text) > MOST_BYTES or "application/vnd.jupyter.widget" in text:
        yield "carries weight or the state of widgets"
    for cell in cells(name):
        if cell.get("attachments") or cell.get("outputs") or cell.get("execution_count"):
            yield f"cell {cell['id']} carries an output"
        if cell["metadata"].get("editable") is not False or cell["metadata"].get("deletable") is not False:
            yield f"cell {cell['id']} can be harmed by a slip of the hand"


@of_page
def headings_out_of_order(name: str) -> Iterator[str]:
    """One title, no step left out, no two headings of the same words."""
    heads = re.findall(r"^(#+) (.+)$", "\n\n".join(story(name)), re.MULTILINE)
    levels, titles = [len(marks) for marks, _ in heads], [title for _, title in heads]
    if levels[0] != 1 or levels.count(1) != 1:
        yield "begins with its one title"
    if any(deeper - level > 1 for level, deeper in pairwise(levels)):
        yield "a step is left out between two headings"
    yield from (f"two headings say '{title}'" for title in set(titles) if titles.count(title) > 1)


@of_page
def broken_links(name: str) -> Iterator[str]:
    """Links lead to a page that is there, to a heading of it where they name one; pictures have words."""
    text = "\n".join(story(name))
    links = re.findall(r"!?\[[^\]]*\]\(([^)]*)\)", text)
    if not links:
        yield "has no link"
    for link in links:
        file, _, heading = link.partition("#")
        if not (FOLDER / (file or f"{name}.ipynb")).is_file():
            yield f"the link to {link} leads nowhere"
        elif heading and unquote(heading) not in anchors(Path(file or name).stem):
            yield f"the link to {link} finds no such heading"
    if "<img" in text or not all(words.strip() for words in re.findall(r"!\[([^\]]*)\]", text)):
        yield "a picture is written as ![words](file)"


def anchors(name: str) -> set[str]:
    """Where links into a page can lead: its headings as JupyterLab names them, a hyphen for every blank."""
    heads = re.findall(r"^#+ (.+)$", "\n\n".join(story(name)), re.MULTILINE)
    return {plain(head).strip().replace(" ", "-") for head in heads}


@of_page
def not_woken_first(name: str) -> Iterator[str]:
    """Says how to wake the page before anything else, and opens the page of its own number."""
    first_code = [cell["cell_type"] for cell in cells(name)].index("code")
    before = "\n".join(cell["source"] for cell in cells(name)[:first_code])
    if "Wake this page" not in before or "Restart Kernel and Run All Cells" not in before:
        yield "does not say how it is woken"
    if code_lines(cells(name)[first_code]["source"]) != ["from glazekit import lab", f'page = lab.open_page("{name[:2]}")']:
        yield "opens another page than its own"


@of_page
def forbidden_words(name: str) -> Iterator[str]:
    """No verdict on food, no scolding, no address outside."""
    text = "\n".join(cell["source"] for cell in cells(name))
    for word in (VERDICT, *FORBIDDEN):
        if re.search(word, text, re.IGNORECASE if word.islower() else 0):
            yield f"says {word}"
    yield from (f"says {said[0]}" for said in OTHER_MEANING.finditer(text))


def without_its_safety_lines(lesson: Lesson) -> list[str]:
    """Every safety line of the course book stands in the section it names, or before the stop mark where it names none.

    A lesson without any has been forgotten.
    """
    wanted, text_of_section, stopped = of_lesson("safety", lesson), {"": ""}, False
    for block in story(Path(lesson.notebook).stem):
        if heading := re.match(r"#+ (.+)", block):
            text_of_section[section := heading[1]] = ""
            stopped = stopped or section.startswith("Stop here")
        text = plain(" ".join(block.split())).casefold()
        for place in [section] if stopped else [section, ""]:
            text_of_section[place] += f"{text} "
    if not wanted:
        return [f"lesson {lesson.number} has no row in safety.csv"]
    return [
        f"lesson {lesson.number}: the safety line '{row['line']}' is missing {where}"
        for row in wanted
        for where in [f"under '{row['section']}'" if row["section"] else "before the stop mark"]
        if row["line"] not in text_of_section.get(row["section"], "")
    ]


@of_page
def asks_for_what_is_not_there(name: str) -> Iterator[str]:
    """Every panel and sheet it names exists, opens, and is written as the course writes."""
    with tempfile.TemporaryDirectory() as folder:
        page = open_page(name[:2], folder)
        for call in calls(name):
            if not hasattr(page, call.name):
                yield f"a page has no {call.name}"
            elif call.name == "print_sheet" and call.what not in sheets():
                yield f"there is no sheet called {call.what}"
            elif call.name == "panel" and call.what not in panel_names():
                yield f"there is no panel called {call.what}"
            elif call.name == "panel":
                yield from _panel_faults(page, call)


def _panel_faults(page: Any, call: Call) -> Iterator[str]:
    try:
        panel = page.panel(call.what, **{key: value for key, value in call.options if key != "after"})
    except GlazekitError as error:
        yield f"the panel {call.what} does not open: {error}"
        return
    if "gk-stale" in panel.box._dom_classes:  # an error in it became its status line
        yield f"the panel {call.what} opens with an error: {panel.said}"
    if not getattr(panel, "said", ""):
        yield f"the panel {call.what} opens with an empty status line"
    said = read(panel)
    if len(said) <= 100:
        yield f"the panel {call.what} says next to nothing: {said}"
    yield from (f"the panel {call.what} writes {fault}" for fault in typewritten(said))


# --- of lessons alone --------------------------------------------------------------------------------------------------


@of_page
def other_title(name: str) -> Iterator[str]:
    """Its title is that of the course."""
    called = next(lesson.called for lesson in course() if lesson.number == name[:2])
    if not story(name)[0].startswith(f"# {called}\n"):
        yield f"the page is not titled {called}"


@of_page
def exercises_out_of_place(name: str) -> Iterator[str]:
    """Every exercise stands once; three or four are core, before what one now knows and the stop mark; the card after."""
    asked = [call for call in calls(name) if call.name == "exercise"]
    written = sorted(exercise.id for exercise in exercises_of(name[:2]))
    if sorted(call.what for call in asked) != written:
        yield f"the page asks {[call.what for call in asked]}, written are {written}"
    heads = [cell["source"].partition("\n")[0] for cell in cells(name)]
    stops = [i for i, head in enumerate(heads) if head.startswith("## Stop here")]
    if len(stops) != 1:
        yield "has no place to stop"
        return
    if heads[stops[0] - 1] != KNOWN:
        yield "does not say what one now knows before it says where to stop"
    core = {exercise.id for exercise in exercises_of(name[:2]) if exercise.core}
    before = {call.what for call in asked if call.place < stops[0]} - {f"{int(name[:2])}.0"}  # an opening game
    if not 3 <= len(core) <= 4 or before != core:
        yield f"{sorted(before)} stand before the stop mark, core are {sorted(core)}"
    if not any((call.name, call.what) == ("print_sheet", "studio card") and call.place > stops[0] for call in calls(name)):
        yield "prints no card for the studio after the stop mark"


@of_page
def ideas_not_guessed_first(name: str) -> Iterator[str]:
    """Each idea is guessed before it is shown and asked again after; a bench that waits stands right after its question."""
    asked, predictions = calls(name), predictions_of(name[:2])
    places = {call.what: call.place for call in asked if call.name == "predict"}
    if sorted(places) != sorted(prediction.id for prediction in predictions):
        yield f"the page asks the predictions {sorted(places)}"
        return
    for idea in {prediction.misconception for prediction in predictions}:
        ends = [places[p.id] for when in ("before", "after") for p in predictions if (p.misconception, p.when) == (idea, when)]
        between = {call.name for call in asked if ends[0] < call.place < ends[-1]}
        yield from (f"{idea}: no {what} between the two questions" for what in {"panel", "exercise"} - between)
    for i, call in enumerate(asked):
        waits_for = dict(call.options).get("after")
        if waits_for and asked[i - 1] != Call("predict", waits_for, (), asked[i - 1].place):
            yield f"the panel {call.what} waits for {waits_for} and does not stand right after it"
    first = {name: next((call.place for call in asked if call.name == name), 0) for name in ("panel", "predict")}
    if first["predict"] >= first["panel"]:
        yield "no guess before the first thing to move"


# --- where it is met ----------------------------------------------------------------------------------------------------


def met_nowhere(lesson: Lesson) -> list[str]:
    """The start page and the neighbours lead to it, progress counts it, its card and its home page are printed."""
    pages = [page for page in course() if page.notebook]
    start, place, faults = pages[0], pages.index(lesson), []
    heads = {page: (story(Path(page.notebook).stem)[0], story(Path(page.notebook).stem)[-1]) for page in pages}
    link = f"[{lesson.called}]({lesson.notebook})"
    if f"* {link}" not in "\n".join(story(Path(start.notebook).stem)):
        faults.append("the start page does not lead to it")
    for before in pages[max(place - 1, 1) : place]:
        if not all(link in text for text in heads[before]):
            faults.append(f"lesson {before.number} does not lead on to it, in its head and at its end")
    for after in pages[place + 1 : place + 2]:
        if link not in heads[after][0]:
            faults.append(f"lesson {after.number} does not lead back to it")
    with tempfile.TemporaryDirectory() as folder:
        page = open_page(lesson.number, folder)
        if lesson.called not in page.progress().table.value:
            faults.append("progress does not count it")
        for sheet in ("studio card", "home page"):
            if any((call.name, call.what) == ("print_sheet", sheet) for call in calls(Path(lesson.notebook).stem)):
                title = text_of(f"lesson_{lesson.number}.{sheet.partition(' ')[0]}.title")
                if title not in page.print_sheet(sheet).html():
                    faults.append(f"its {sheet} is not printed")
    return [f"lesson {lesson.number}: {fault}" for fault in faults]


OF_PAGES: tuple[Check, ...] = (
    long_blocks,
    unfolded_code,
    unsound_file,
    headings_out_of_order,
    broken_links,
    not_woken_first,
    forbidden_words,
    without_its_safety_lines,
    asks_for_what_is_not_there,
)
CHECKS: tuple[Check, ...] = (
    *OF_PAGES,
    without_its_sources,
    other_title,
    exercises_out_of_place,
    ideas_not_guessed_first,
    met_nowhere,
)
