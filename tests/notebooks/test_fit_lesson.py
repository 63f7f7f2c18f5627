"""Lesson 9: what the page tells, step by step, happens on its benches, and its numbers are the package's own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_pages import calls, plain, story
from told import block, numbers, sentence
from wording import spoken, text_of

import glazekit as gk
from glazekit.glass.properties import constant
from glazekit.glass.sums import expansion
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


def test_both_strips_of_the_first_bench(page: Page) -> None:
    """Pull the first slider down: pulled. Make the glaze expand less, and it is squeezed."""
    said = block(NAME, "let-two-strips-cool")
    strips = bench(page, "two-strip sketch")
    first = strips.body.children[0]
    assert "first slider" in said and first is strips.temp.widget
    assert "neither" in strips.picture.value, "hot: nothing acts yet"
    strips.temp.value = "20"
    sketch = "lesson_09.panel.two-strip_sketch"
    assert spoken(f"{sketch}.shorter", strips.said) and spoken(f"{sketch}.crazes", strips.said) == {}
    strips.apart.value = "-1"
    assert spoken(f"{sketch}.longer", strips.said) and spoken(f"{sketch}.shivers", strips.said) == {}


def test_the_gauge_opens_as_the_page_says(page: Page) -> None:
    """Less syenite, more quartz: the bars of soda and potash shrink, and the change is told first."""
    out, into = sentence(block(NAME, "move-the-glaze-read-the-change"), "Take some").split(",")[:2]
    gauge = bench(page, "fit gauge")
    assert "syenite out" in out and "quartz in" in into and set(gauge.glaze.sliders) >= {"nepheline syenite", "quartz"}
    assert spoken("lesson_09.panel.fit_gauge.said_same", gauge.said)

    def adds(oxide: str) -> float:
        return float(re.search(rf"{oxide}[^<]*</text><text[^>]*>[^<]*= ([\d.]+)<", gauge.bars.value)[1])

    before = [adds("soda"), adds("potash")]
    gauge.glaze.sliders["nepheline syenite"].value = "48"
    gauge.glaze.sliders["quartz"].value = "24"
    after = [adds("soda"), adds("potash")]
    assert all(now < then for now, then in zip(after, before, strict=True))
    first = gauge.said.splitlines()[0]
    assert spoken("lesson_09.panel.fit_gauge.said_change", first)["name"] == "Cracked Lamp"
    assert float(numbers(first)[0]) < 0 and "90 %" in first


def test_gangway_clear_beside_the_lamp(page: Page) -> None:
    """The numbers of the story stand on the bench when the page's step is done."""
    gauge = bench(page, "fit gauge")
    gauge.glaze.choice.value = "Gangway Clear"
    fall, give = numbers(sentence(block(NAME, "what-you-saw-on-the-gauge"), "lower, give"))
    said = re.search(r"expansion ([−\d.]+) \(90 %: ([−+\d.]+) to ([−+\d.]+)\)", gauge.said).groups()
    value, low, high = (float(number.replace("−", "-")) for number in said)
    assert -value == pytest.approx(float(fall), abs=0.06) and (high - low) / 2 == pytest.approx(float(give), abs=0.06)


def test_what_the_page_breaks(page: Page) -> None:
    gauge = bench(page, "fit gauge")
    gauge.glaze.choice.value = "Mooring White"
    why = spoken("lesson_09.panel.fit_gauge.outside", gauge.said)
    assert why and "alumina" in why["why"] and not re.search(r"\d\.\d \(90 %", gauge.meaning.value)
    gauge.glaze.choice.value = "Bulkhead Liner"
    why = spoken("lesson_09.panel.fit_gauge.greyed", gauge.said)
    told = numbers(sentence(block(NAME, "break-it"), "zircon"))
    assert why and "zircon" in why["why"] and numbers(why["why"])[:1] == told
    assert re.search(r"\d\.\d \(90 %", gauge.meaning.value)


def test_tiles_can_be_written_where_the_page_says(page: Page) -> None:
    assert sentence(block(NAME, "where-does-crazing-begin"), "your book")
    gauge = bench(page, "fit gauge")
    for glaze, label, seen in (("Cracked Lamp", "C1", "crazed"), ("Gangway Clear", "G1", "whole")):
        gauge.glaze.choice.value = glaze
        note = gauge.note
        note.label.value, note.body.value, note.application.value, note.seen.value = label, "white", "pour", seen
        gauge.do(note.write)
    assert "Gangway Clear" in gauge.meaning.value and "C1" in gauge.meaning.value and "G1" in gauge.meaning.value
    assert gauge.gauge.value.count('class="tile ') == 2


def test_the_house_value_and_the_range_of_glazes() -> None:
    said = block(NAME, "how-expansion-is-told")
    assert numbers(sentence(said, "nobody measured")) == [f"{constant('class_body_expansion'):g}"]
    low, high = map(float, numbers(sentence(said, "Glazes lie")))
    values = [one.value for one in map(expansion, demo_recipes()) if one.value is not None and one.in_range]
    assert low <= min(values) and max(values) <= high and len(values) > 6


def test_the_lamp_comes_from_lesson_3() -> None:
    wet_hour = block("03_water_is_an_ingredient", "tonight-s-wet-hour")
    assert "Cracked Lamp" in wet_hour and numbers(sentence(block(NAME, "ping"), "was mixed")) == ["3"]
    assert gk.demo_recipe("Cracked Lamp").cone == gk.demo_recipe("Gangway Clear").cone, "one kiln holds both"


def test_five_rounds_as_on_the_card() -> None:
    from glazekit.sheets.frame import Say

    rounds = [column for column in Say("fit_card").all("boil_columns") if column.isdigit()]
    assert len(rounds) == 5 and all(
        "five rounds" in one for one in (block(NAME, "ask-the-tile"), text_of("sheets.fit_card.boil_title"))
    )
    assert "three dates" in block(NAME, "look-again-in-a-month") and len(Say("fit_card").all("look_rows")) == 3


def test_it_ends_with_the_tile() -> None:
    last = block(NAME, "what-you-now-know")
    assert sentence(last, "tile decides") and "absolute number" in sentence(last, "verdict")


def test_it_is_read_in_eight_minutes() -> None:
    """At 160 words a minute, slow enough for a page with numbers."""
    assert sum(len(plain(one).split()) for one in story(NAME)) / 160 < 8
