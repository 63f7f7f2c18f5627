"""The shape of every lesson: short texts, folded code, no outputs, working links, every exercise and safety line in its place."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path

import nbformat
import pytest
from lesson_pages import FOLDER, LESSONS, PAGES, Call, calls, cells, code_lines, plain, story

from glazekit.exercises import course_draw, exercises_of, pose, predictions_of
from glazekit.lab.finding import panel_names
from glazekit.lab.page import open_page
from glazekit.sheets.catalogue import sheets
from glazekit.words.course import course
from glazekit.words.texts import lesson_text

MOST_WORDS = 90
MOST_CODE_LINES = 2
MOST_BYTES = 200_000

SAFETY = {
    "00_start_here": ["respirator", "fitted to your local standard", "never sweep", "local rules", "licensed", "food or drink"],
    "01_first_batch": [
        "respirator on before a bag opens",
        "fitted to your local standard",
        "no draught",
        "no food or drink",
        "hair tied back",
        "into the water, never water onto powder",
        "sponge wet, never sweep",
        "not down the drain",
        "wash your hands",
        "every new glaze may run",
        "trained kiln team",
        "licensed people",
        "carbon monoxide",
        "ventilation",
        "leach test",
        "local rules decide",
    ],
    "02_recipe_to_batch": ["more than a kilogram", "respirator", "under extraction or outdoors", "local rule", "with your knees"],
    "03_water_is_an_ingredient": [
        "splash goggles",
        "nothing down the drain",
        "settling bucket",
        "local rules",
        "cobalt carbonate",
        "gloves",
        "never for use",
        "waste slabs",
        "sponge wet, never sweep",
    ],
    "04_what_the_kiln_leaves": [
        "gas and steam",
        "vent open",
        "blow blisters",
        "gloves and respirator on",
        "no food or drink",
        "wash your hands",
    ],
    "05_unity_formula": ["a poison, not used here", "never here"],
    "06_silica_and_alumina_chart": ["may give off more to food", "local rules decide", "untested is untested"],
    "07_fluxes_and_boron": [
        "for oxidation firings",
        "never goes into the gas kiln",
        "lithium carbonate: gloves and respirator",
        "ask your doctor",
        "is a poison",
        "sealed, empty",
        "free of asbestos, with its certificate",
    ],
    "08_formula_to_recipe": ["fibrous dust: respirator on", "free of asbestos, with its certificate", "test first"],
    "09_fit": [
        "flakes are glass",
        "goggles and gloves",
        "boiling water scalds",
        "a tile can burst",
        "with the class leader only",
        "kiln shut",
        "crazed or shivering ware is never for food or drink",
        "fired by nobody near you",
        "the tile decides. the change i calculated is worth trying. the absolute number is not a verdict",
    ],
    "10_melt_and_running": [
        "dark glass",
        "the lid and its edge are hot",
        "shut until the kiln reads below 100 °c",
        "carbon monoxide",
        "ventilation on",
        "never left alone",
        "trained kiln team only",
        "licensed people do gas and electrical work",
        "local rules decide",
        "never goes into a gas kiln",
        "never says when to switch off",
        "waste slabs",
    ],
}

FORBIDDEN = [
    r"food[- ]?safe",
    r"dinnerware[- ]?safe",
    r"\bsafe for food\b",
    r"\bwrong!",
    r"\bjust run\b",
    r"mg/m",
    r"\bppm\b",
    r"\bhelper\b",
    r"\bAI\b",
    r"https?://",
]


@pytest.mark.parametrize("name", PAGES)
def test_text_blocks_are_short(name: str) -> None:
    for block in story(name):
        assert len(plain(block).split()) <= MOST_WORDS, block


@pytest.mark.parametrize("name", PAGES)
def test_code_is_folded_and_a_line_or_two(name: str) -> None:
    for cell in cells(name):
        if cell["cell_type"] == "code":
            assert cell["source"].startswith("# Lesson controls"), "a folded cell shows its first line"
            assert cell["metadata"]["jupyter"]["source_hidden"] is True
            assert 1 <= len(code_lines(cell["source"])) <= MOST_CODE_LINES


@pytest.mark.parametrize("name", PAGES)
def test_no_output_no_state_no_weight(name: str) -> None:
    assert (FOLDER / f"{name}.ipynb").stat().st_size < MOST_BYTES
    text = (FOLDER / f"{name}.ipynb").read_text(encoding="utf-8")
    assert "application/vnd.jupyter.widget" not in text
    for cell in cells(name):
        assert not cell.get("attachments")
        if cell["cell_type"] == "code":
            assert cell["outputs"] == [] and cell["execution_count"] is None


@pytest.mark.parametrize("name", PAGES)
def test_a_slip_of_the_hand_harms_no_cell(name: str) -> None:
    for cell in cells(name):
        assert cell["metadata"]["editable"] is False and cell["metadata"]["deletable"] is False, cell["id"]


@pytest.mark.parametrize("name", PAGES)
def test_headings_are_in_order(name: str) -> None:
    heads = re.findall(r"^(#+) (.+)$", "\n\n".join(story(name)), re.MULTILINE)
    levels = [len(marks) for marks, _ in heads]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(deeper - level <= 1 for level, deeper in pairwise(levels))
    titles = [title for _, title in heads]
    assert len(set(titles)) == len(titles), "two headings of the same words cannot be told apart in a list of headings"


@pytest.mark.parametrize("name", PAGES)
def test_one_heading_a_block(name: str) -> None:
    for block in story(name):
        assert len(re.findall(r"^#+ ", block, re.MULTILINE)) <= 1, block


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    links = re.findall(r"!?\[[^\]]*\]\(([^)]*)\)", "\n".join(story(name)))
    assert links
    for link in links:
        assert (FOLDER / link.partition("#")[0]).is_file(), link


@pytest.mark.parametrize("name", PAGES)
def test_pictures_have_words(name: str) -> None:
    text = "\n".join(story(name))
    assert "<img" not in text, "write a picture as ![words](file)"
    assert all(words.strip() for words in re.findall(r"!\[([^\]]*)\]", text))


def test_the_start_page_names_every_lesson() -> None:
    text = plain("\n".join(story("00_start_here")))
    linked = "\n".join(story("00_start_here"))
    for lesson in course()[1:]:
        assert lesson.called in text
        assert (f"({lesson.number}_" in linked) == bool(lesson.notebook)


@pytest.mark.parametrize("name", LESSONS)
def test_title_is_that_of_the_course(name: str) -> None:
    number = name[:2]
    assert story(name)[0].startswith(f"# {int(number)} · {lesson_text(number)['title']}\n")


@pytest.mark.parametrize("name", PAGES)
def test_says_how_to_wake_the_page_before_anything_else(name: str) -> None:
    kinds = [cell["cell_type"] for cell in cells(name)]
    first_code = kinds.index("code")
    before = "\n".join(cell["source"] for cell in cells(name)[:first_code])
    assert "Wake this page" in before and "Restart Kernel and Run All Cells" in before
    opened = code_lines(cells(name)[first_code]["source"])
    assert opened == ["from glazekit import lab", f'page = lab.open_page("{name[:2]}")']


@pytest.mark.parametrize("name", LESSONS)
def test_every_exercise_stands_once(name: str) -> None:
    asked = [call.what for call in calls(name) if call.name == "exercise"]
    assert sorted(asked) == sorted(exercise.id for exercise in exercises_of(name[:2]))


@pytest.mark.parametrize("name", LESSONS)
def test_core_exercises_stand_before_the_stop_mark(name: str) -> None:
    stop = next(i for i, cell in enumerate(cells(name)) if cell["source"].startswith("## Stop here"))
    core = {exercise.id for exercise in exercises_of(name[:2]) if exercise.core}
    before = {call.what for call in calls(name) if call.name == "exercise" and call.place < stop}
    before -= {f"{int(name[:2])}.0"}  # an opening game
    assert len(core) == 3 and before == core
    assert any(call.name == "print_sheet" and call.what == "studio card" and call.place > stop for call in calls(name))


@pytest.mark.parametrize("name", PAGES)
def test_everything_named_exists(name: str, tmp_path: object) -> None:
    for call in calls(name):
        assert hasattr(open_page(name[:2], str(tmp_path)), call.name), call
        if call.name == "panel":
            assert call.what in panel_names()
        if call.name == "print_sheet":
            assert call.what in sheets()


def test_every_panel_is_met_in_a_lesson() -> None:
    own_verb = {"play": "leave one out", "exercise": "exercise box", "predict": "prediction box", "print_sheet": "print box"}
    asked = [call for name in PAGES for call in calls(name)]
    met = {call.what if call.name == "panel" else own_verb.get(call.name, call.name) for call in asked}
    assert set(panel_names()) <= met


@pytest.mark.parametrize("name", LESSONS)
def test_each_idea_is_guessed_before_it_is_shown_and_asked_again_after(name: str) -> None:
    asked = calls(name)
    places = {call.what: call.place for call in asked if call.name == "predict"}
    predictions = predictions_of(name[:2])
    assert sorted(places) == sorted(prediction.id for prediction in predictions)
    for idea in {prediction.misconception for prediction in predictions}:
        before, after = (
            next(p for p in predictions if p.misconception == idea and p.when == when) for when in ("before", "after")
        )
        between = [call for call in asked if places[before.id] < call.place < places[after.id]]
        assert any(call.name == "panel" for call in between), f"{idea}: no bench between the two questions"
        assert any(call.name == "exercise" for call in between), f"{idea}: no exercise between the two questions"


@pytest.mark.parametrize("name", LESSONS)
def test_a_bench_that_waits_stands_right_after_its_question(name: str) -> None:
    asked = calls(name)
    waiting = [(i, dict(call.options)["after"]) for i, call in enumerate(asked) if "after" in dict(call.options)]
    for i, prediction in waiting:
        assert asked[i - 1] == Call("predict", prediction, (), asked[i - 1].place)
    first_bench = next(call for call in asked if call.name == "panel")
    first_guess = next(call for call in asked if call.name == "predict")
    assert first_guess.place < first_bench.place, "a guess before the first thing to move"


def test_lesson_one_opens_with_play() -> None:
    assert calls("01_first_batch")[0].name == "play"
    words = len(" ".join(plain(cell["source"]) for cell in cells("01_first_batch")[: calls("01_first_batch")[0].place]).split())
    assert words <= 130, "about a minute of reading before there is something to move"


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.ipynb")), ids=lambda path: path.stem)
def test_a_notebook_is_one_by_the_book(path: Path) -> None:
    """Otherwise the server writes an error into the learner's terminal at every save."""
    nbformat.validate(json.loads(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize(("name", "after"), list(pairwise(LESSONS)))
def test_a_lesson_leads_on_to_the_next(name: str, after: str) -> None:
    assert f"]({after}.ipynb)" in story(name)[0], "in its head"
    assert f"]({after}.ipynb)" in story(name)[-1], "and at its end"


@pytest.mark.parametrize("name", ["04_what_the_kiln_leaves", "05_unity_formula"])
def test_the_two_lessons_of_counting_are_read_in_eight_minutes(name: str) -> None:
    """All of it, what is "if you like" included: the story, the questions and the choices, slowly, 200 words a minute."""
    lesson = int(name[:2])
    texts = [plain(block) for block in story(name)]
    for question in (pose(found, course_draw(found.id)) for found in exercises_of(lesson)):
        options = [option.text for box in question.boxes for option in box.options]
        texts += [question.title, question.text, *(box.label for box in question.boxes), *options]
    for one in predictions_of(lesson):
        texts += [one.text, *(answer.text for answer in one.answers)]
    assert 1000 < len(" ".join(texts).split()) < 8 * 200


@pytest.mark.parametrize("name", PAGES)
def test_safety_lines_are_there(name: str) -> None:
    text = plain(" ".join(" ".join(story(name)).split())).casefold()
    missing = [line for line in SAFETY[name] if line not in text]
    assert missing == []


def test_dust_is_named_where_it_flies() -> None:
    dusty = [block for block in story("01_first_batch") if "⚠ **Dust.**" in block]
    heads = [block.splitlines()[0] for block in dusty]
    assert [word for head in heads for word in ("first", "second", "third") if f"{word} dust moment" in head] == [
        "first",
        "second",
        "third",
    ]


@pytest.mark.parametrize("name", PAGES)
def test_no_word_that_should_not_stand_there(name: str) -> None:
    text = "\n".join(cell["source"] for cell in cells(name))
    assert [word for word in FORBIDDEN if re.search(word, text, re.IGNORECASE if word.islower() else 0)] == []
