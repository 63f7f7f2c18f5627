"""The appendix keeps the manners of the lessons: short texts, folded code, no outputs, a way back, and its numbers are true."""

from __future__ import annotations

import re
from itertools import pairwise

from lesson_pages import APPENDIX, FOLDER, cells, code_lines, plain, story

from glazekit.calibration.appendix import open_appendix
from glazekit.ground.tables import read_table

MOST_WORDS = 90


def test_text_blocks_are_short_and_have_one_heading() -> None:
    for block in story(APPENDIX):
        assert len(plain(block).split()) <= MOST_WORDS, block
        assert len(re.findall(r"^#+ ", block, re.MULTILINE)) <= 1, block
    levels = [len(marks) for marks in re.findall(r"^(#+) ", "\n\n".join(story(APPENDIX)), re.MULTILINE)]
    assert levels[0] == 1 and levels.count(1) == 1 and all(deeper - level <= 1 for level, deeper in pairwise(levels))


def test_code_is_folded_two_lines_long_and_stored_without_output() -> None:
    for cell in cells(APPENDIX):
        assert cell["metadata"]["editable"] is False and cell["metadata"]["deletable"] is False, cell["id"]
        if cell["cell_type"] == "code":
            assert cell["source"].startswith("# Lesson controls") and cell["metadata"]["jupyter"]["source_hidden"] is True
            assert 1 <= len(code_lines(cell["source"])) <= 2
            assert cell["outputs"] == [] and cell["execution_count"] is None


def test_it_says_how_to_wake_it_and_links_lead_somewhere() -> None:
    first_code = [cell["cell_type"] for cell in cells(APPENDIX)].index("code")
    assert "Wake this page" in "".join(cell["source"] for cell in cells(APPENDIX)[:first_code])
    links = re.findall(r"\[[^\]]*\]\(([^)]*)\)", "\n".join(story(APPENDIX)))
    assert links and all((FOLDER / link).is_file() for link in links)


def test_every_choice_offered_exists() -> None:
    page = open_appendix()
    asked = re.findall(r"page\.(\w+)", "\n".join(cell["source"] for cell in cells(APPENDIX) if cell["cell_type"] == "code"))
    assert len(set(asked)) >= 11 and all(hasattr(page, name) for name in asked)


def test_it_ends_with_what_the_numbers_mean() -> None:
    (meaning,) = [block for block in story(APPENDIX) if block.startswith("## What the numbers mean")]
    for words in ("Changes first", "no verdict", "publications the fit had never seen", "The tile decides"):
        assert words in meaning
    assert (
        "Open Database License (ODbL)" in story(APPENDIX)[-1]
        and "SciGlass, Copyright (c) 2019 EPAM Systems" in story(APPENDIX)[-1]
    )


def test_what_the_story_says_of_the_figures_is_so() -> None:
    rows = {(row["property"], row["subset"]): row for row in read_table("property_accuracy") if row["kept"] == "all"}
    text = plain("\n".join(story(APPENDIX)))
    share = rows["expansion", "studio-like"]["rows"] / rows["expansion", "box"]["rows"]
    assert "About a quarter are glaze-like" in text and 0.20 <= share <= 0.30
    assert "about ±1 ×10⁻⁶ per K" in text and 0.95 <= rows["expansion", "box"]["half_width"] <= 1.1
    near = {
        row["from_mol_pct"]: row
        for row in read_table("change_accuracy")
        if (row["property"], row["subset"]) == ("expansion", "box")
    }
    assert "two to three times better" in text
    assert all(1.9 <= rows["expansion", "box"]["mae"] / near[start]["mae"] <= 3.0 for start in (0, 1, 2))
    box = rows["expansion", "box"]["mae"]
    for harder in ("lithia from 4 %", "alkali from 15 %", "iron from 1 %", "lime from 15 %", "zinc from 5 %"):
        assert rows["expansion", harder]["mae"] > 1.2 * box
    factors = {row["oxide"]: row for row in read_table("expansion_factors")}
    assert all(abs(factors[oxide]["factor_1e6_per_k"]) < factors[oxide]["standard_error"] for oxide in ("SnO2", "MnO"))
    assert "0.2 is a factor of 1.6" in text and round(10**0.2, 1) == 1.6
    intervals = {row["parameter"]: row["value"] for row in read_table("property_intervals") if row["property"] == "expansion"}
    assert "much alkali (lithia counts) or lime" in text and intervals["per_alkali"] > 0 < intervals["per_lime"]
    thin = {row["what"]: row["thin_above_mol_pct"] for row in read_table("glass_box")}
    assert "iron from 1 mol %, or more zinc than 5" in text and (thin["Fe2O3"], thin["ZnO"]) == (1, 5)
