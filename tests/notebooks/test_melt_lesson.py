"""Lesson 10: what the page tells, step by step, happens on its benches, and its numbers are the package's own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_pages import calls, plain, story

import glazekit as gk
from glazekit.kiln.notes import firing_events
from glazekit.lab import open_page
from glazekit.lab.page import Page

NAME = "10_melt_and_running"


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return open_page("10", tmp_path)


def bench(page: Page, name: str) -> object:
    """A bench as the page opens it, without its curtain."""
    (call,) = [call for call in calls(NAME) if call.what == name]
    return page.panel(name, **{key: value for key, value in call.options if key != "after"})


def block(start: str) -> str:
    return next(" ".join(plain(one).split()) for one in story(NAME) if plain(one).strip().startswith(start))


def times(tray: object) -> float:
    """How many times as much as the reference it flows; an error where the tray does not compare."""
    return float(re.search(r"How much it flows: ([\d.]+) times as much \(90 %: [\d.]+ to [\d.]+\)", tray.said)[1])


def test_the_comparison_is_there_at_once_and_gone_with_a_thicker_coat(page: Page) -> None:
    start, more, back = re.search(
        r"a thin one: ([\d.]+) mm.* Make the coat ([\d.]+) mm.* Back to ([\d.]+) mm", block("Tip the tray")
    ).groups()
    tray = bench(page, "slope tray")
    assert start == back == tray.coat.value and times(tray) > 1
    tray.coat.value = more
    assert "no comparison" in tray.said and "past half the glazed length" in tray.said
    tray.coat.value = back
    assert times(tray) > 1


def test_a_lower_peak_is_a_stiffer_melt(page: Page) -> None:
    assert "20 degrees cooler, and the stiffness at the peak goes up" in block("The trap of the hold")
    tray = bench(page, "slope tray")
    stiff = [float(re.search(r"viscosity at \d+ °C: ([\d.]+)", tray.meaning.value)[1])]
    tray.firings.widget.value = "cooler"
    assert "20 degrees cooler" in {value: text for text, value in tray.firings.widget.options}["cooler"]
    stiff.append(float(re.search(r"viscosity at \d+ °C: ([\d.]+)", tray.meaning.value)[1]))
    assert stiff[1] > stiff[0]


def test_the_cure_at_the_bottom_of_the_bench(page: Page) -> None:
    """Kaolin stands ready: Add it, move it to 10 g, and it flows less."""
    said = block("Tip the tray")
    assert "press Add it for kaolin, move it to 10 g" in said and "it flows less" in said
    tray = bench(page, "slope tray")
    before, times_before = tray.meaning.value, times(tray)
    assert tray.glaze.more.value == "kaolin"
    tray.glaze.add()
    tray.glaze.sliders["kaolin"].value = "10"

    def stiff(text: str) -> float:
        return float(re.search(r"viscosity at 1222 °C: ([\d.]+)", text)[1])

    assert stiff(tray.meaning.value) > stiff(before) and times(tray) < times_before


def test_the_trap_of_the_hold(page: Page) -> None:
    said = block("The trap of the hold")
    tray = bench(page, "slope tray")
    before = tray.said.splitlines()[0]
    tray.firings.widget.value = "no_hold"
    assert "without the hold" in {value: text for text, value in tray.firings.widget.options}["no_hold"]
    assert "The class hardly changes" in said and tray.said.splitlines()[0] == before
    tray.firings.widget.value = "class_firing"
    up, hold, down = map(int, re.search(r"flows: about (\d+) % .*?, (\d+) % .*?, (\d+) %", tray.meaning.value).groups())
    assert hold < up and hold < down and up + down > 2 * hold


def test_the_last_climb_from_60_to_150(page: Page) -> None:
    first, then = re.search(r"last climb from (\d+) to (\d+) °C an hour", block("Plan a firing")).groups()
    sketch = bench(page, "firing sketch")
    assert sketch.plan.sliders["last"].value == first
    cones = sketch.cones.value
    sketch.plan.sliders["last"].value = then
    assert sketch.cones.value != cones, "watch the three cones"
    assert sketch.cones.value.count('class="cone"') == 3


def test_the_lid_is_shut_until_the_kiln_is_as_cool_as_the_table_says() -> None:
    (opened,) = [event for event in firing_events() if event.event == "the kiln can be opened"]
    assert f"until the kiln reads below {opened.high_c:g} °C" in block("At the kiln")


def test_twice_the_coat() -> None:
    assert "2 × 2 = 4 times as fast. Half the coat: a quarter" in block("Thickness counts twice")


def test_both_tiles_come_from_lesson_3() -> None:
    wet_hour = next(one for one in story("03_water_is_an_ingredient") if "wrong on purpose" in one)
    for name in ("Overboard", "Late Boat"):
        assert name in wet_hour and name in block("Two tiles") and gk.demo_recipe(name)


def test_it_is_read_in_eight_minutes() -> None:
    """At 160 words a minute, slow enough for a page with numbers."""
    assert sum(len(plain(one).split()) for one in story(NAME)) / 160 < 8
