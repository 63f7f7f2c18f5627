"""Lesson 9: what the page tells, step by step, happens on its benches, and its numbers are the package's own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_pages import calls, plain, story

import glazekit as gk
from glazekit.glass.constants import constant
from glazekit.glass.expansion import expansion
from glazekit.lab import open_page
from glazekit.lab.page import Page
from glazekit.recipe.reading import demo_recipes

NAME = "09_fit"


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return open_page("09", tmp_path)


def bench(page: Page, name: str) -> object:
    """A bench as the page opens it, without its curtain."""
    (call,) = [call for call in calls(NAME) if call.what == name]
    return page.panel(name, **{key: value for key, value in call.options if key != "after"})


def block(start: str) -> str:
    return next(" ".join(plain(one).split()) for one in story(NAME) if plain(one).strip().startswith(start))


def test_both_strips_of_the_first_bench(page: Page) -> None:
    """Pull the first slider down: pulled. Make the glaze expand less, and it is squeezed."""
    said = block("Let two strips cool")
    strips = bench(page, "two-strip sketch")
    first = strips.body.children[0]
    assert "Pull the first slider down" in said and first is strips.temp.widget
    assert "neither" in strips.picture.value, "hot: nothing acts yet"
    strips.temp.value = "20"
    assert "is pulled" in strips.said and "crazing" in strips.said
    strips.apart.value = "-1"
    assert "is squeezed" in strips.said and "shivering" in strips.said


def test_the_gauge_opens_as_the_page_says(page: Page) -> None:
    """Less syenite, more quartz: the bars of soda and potash shrink, and the change is told first."""
    assert "Take some nepheline syenite out, bring quartz in" in block("Move the glaze")
    gauge = bench(page, "fit gauge")
    assert "same glaze" in gauge.said

    def adds(oxide: str) -> float:
        return float(re.search(rf"{oxide}[^<]*</text><text[^>]*>[^<]*= ([\d.]+)<", gauge.bars.value)[1])

    before = [adds("soda"), adds("potash")]
    gauge.glaze.sliders["nepheline syenite"].value = "48"
    gauge.glaze.sliders["quartz"].value = "24"
    after = [adds("soda"), adds("potash")]
    assert all(now < then for now, then in zip(after, before, strict=True))
    assert re.match(r"Cracked Lamp: expansion -\d", gauge.said) and "90 %" in gauge.said.splitlines()[0]


def test_gangway_clear_beside_the_lamp(page: Page) -> None:
    """The numbers of the story stand on the bench when the page's step is done."""
    gauge = bench(page, "fit gauge")
    gauge.glaze.choice.value = "Gangway Clear"
    fall, give = re.search(r"about ([\d.]+) lower, give or take (\d\.\d)", block("What you saw. Cracked")).groups()
    value, low, high = map(float, re.search(r"expansion ([-\d.]+) \(90 %: ([-+\d.]+) to ([-+\d.]+)\)", gauge.said).groups())
    assert -value == pytest.approx(float(fall), abs=0.06) and (high - low) / 2 == pytest.approx(float(give), abs=0.06)


def test_what_the_page_breaks(page: Page) -> None:
    gauge = bench(page, "fit gauge")
    gauge.glaze.choice.value = "Fender White"
    assert "alumina" in gauge.said and "than the" in gauge.said and not re.search(r"\d\.\d \(90 %", gauge.meaning.value)
    gauge.glaze.choice.value = "Bulkhead Liner"
    assert "opacifier 9 % of the base" in gauge.said and re.search(r"\d\.\d \(90 %", gauge.meaning.value)


def test_tiles_can_be_written_where_the_page_says(page: Page) -> None:
    assert "At the foot of the gauge you can write such tiles into your book" in block("Where does crazing")
    gauge = bench(page, "fit gauge")
    for glaze, label, seen in (("Cracked Lamp", "C1", "crazed"), ("Gangway Clear", "G1", "whole")):
        gauge.glaze.choice.value = glaze
        note = gauge.note
        note.label.value, note.body.value, note.application.value, note.seen.value = label, "white", "pour", seen
        gauge.do(note.write)
    assert "Gangway Clear" in gauge.meaning.value and "C1" in gauge.meaning.value and "G1" in gauge.meaning.value
    assert gauge.gauge.value.count('class="tile ') == 2


def test_the_house_value_and_the_range_of_glazes() -> None:
    said = block("How expansion is told")
    assert f"taken as {constant('class_body_expansion'):g}: a house value that nobody measured" in said
    low, high = map(float, re.search(r"Glazes lie at about (\d) to (\d)", said).groups())
    values = [one.value for one in map(expansion, demo_recipes()) if one.value is not None and one.in_range]
    assert low <= min(values) and max(values) <= high and len(values) > 6


def test_the_lamp_comes_from_lesson_3() -> None:
    wet_hour = next(one for one in story("03_water_is_an_ingredient") if "wrong on purpose" in one)
    assert "Cracked Lamp" in wet_hour and "mixed in lesson 3" in block("Ping")
    assert gk.demo_recipe("Cracked Lamp").cone == gk.demo_recipe("Gangway Clear").cone, "one kiln holds both"


def test_five_rounds_as_on_the_card() -> None:
    from glazekit.sheets.wording import listed, say

    rounds = [column for column in listed("fit_card.boil_columns") if column.isdigit()]
    assert len(rounds) == 5 and "for five rounds" in block("Ask the tile") and "five rounds" in say("fit_card.boil_title")
    assert "three dates" in block("Look again") and len(listed("fit_card.look_rows")) == 3


def test_it_ends_with_the_tile() -> None:
    last = " ".join(plain(story(NAME)[-1]).split())
    assert "The tile decides. The change I calculated is worth trying. The absolute number is not a verdict." in last


def test_it_is_read_in_eight_minutes() -> None:
    """At 160 words a minute, slow enough for a page with numbers."""
    assert sum(len(plain(one).split()) for one in story(NAME)) / 160 < 8
