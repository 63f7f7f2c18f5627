"""Lesson 10: what the page tells, step by step, happens on its benches, and its numbers are the package's own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_pages import calls, plain, story
from told import block, numbers, sentence
from wording import spoken

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


def pa_s_at_the_peak(tray: object) -> float:
    """The viscosity that the tray tells, as a power of ten, whatever the peak."""
    return float(re.search(r"viscosity at \d+ °C: ([\d.]+)", tray.meaning.value)[1])


def times(tray: object) -> float:
    """How many times as much as the reference it flows; an error where the tray does not compare."""
    return float(re.search(r"How much it flows: ([\d.]+) times as much \(90 %: [\d.]+ to [\d.]+\)", tray.said)[1])


def test_the_comparison_is_there_at_once_and_gone_with_a_thicker_coat(page: Page) -> None:
    said = block(NAME, "tip-the-tray")
    ((start,), (more,), (back,)) = (numbers(sentence(said, cue)) for cue in ("thin one", "Make the", "Back to"))
    tray = bench(page, "slope tray")
    assert start == back == tray.coat.value and times(tray) > 1
    tray.coat.value = more
    with pytest.raises(TypeError):  # the tray no longer tells how many times as much
        times(tray)
    assert "half the" in tray.said
    tray.coat.value = back
    assert times(tray) > 1


def test_a_lower_peak_is_a_stiffer_melt(page: Page) -> None:
    told = sentence(block(NAME, "the-trap-of-the-hold"), "goes up")
    tray = bench(page, "slope tray")
    before = pa_s_at_the_peak(tray)
    tray.firings.widget.value = "cooler"
    assert numbers({value: text for text, value in tray.firings.widget.options}["cooler"]) == numbers(told) == ["20"]
    assert pa_s_at_the_peak(tray) > before


def test_the_cure_at_the_bottom_of_the_bench(page: Page) -> None:
    """Kaolin stands ready: Add it, move it to 10 g, and it flows less."""
    (grams,) = numbers(sentence(block(NAME, "tip-the-tray"), "kaolin"))
    tray = bench(page, "slope tray")
    before, times_before = pa_s_at_the_peak(tray), times(tray)
    assert tray.glaze.more.value == "kaolin"
    tray.glaze.add()
    tray.glaze.sliders["kaolin"].value = grams
    assert pa_s_at_the_peak(tray) > before and times(tray) < times_before


def test_the_trap_of_the_hold(page: Page) -> None:
    said = block(NAME, "the-trap-of-the-hold")
    tray = bench(page, "slope tray")
    before = tray.said.partition(" (")[0]
    tray.firings.widget.value = "no_hold"
    without = {value: text for text, value in tray.firings.widget.options}["no_hold"]
    assert (
        all("without the" in one for one in (without, said))
        and sentence(said, "hardly changes")
        and tray.said.partition(" (")[0] == before
    )
    tray.firings.widget.value = "class_firing"
    shares = spoken("lesson_10.panel.slope_tray.shares", tray.meaning.value)
    up, hold, down = (int(shares[part]) for part in ("before", "hold", "after"))
    assert hold < up and hold < down and up + down > 2 * hold


def test_the_last_climb_from_60_to_150(page: Page) -> None:
    first, then = numbers(sentence(block(NAME, "plan-a-firing"), "last climb"))
    sketch = bench(page, "firing sketch")
    assert sketch.plan.sliders["last"].value == first
    cones = sketch.cones.value
    sketch.plan.sliders["last"].value = then
    assert sketch.cones.value != cones, "watch the three cones"
    assert sketch.cones.value.count('class="cone"') == 3


def test_the_lid_is_shut_until_the_kiln_is_as_cool_as_the_table_says() -> None:
    (opened,) = [event for event in firing_events() if event.event == "the kiln can be opened"]
    assert numbers(sentence(block(NAME, "at-the-kiln"), "reads below")) == [f"{opened.high_c:g}"]


def test_twice_the_coat() -> None:
    told = block(NAME, "thickness-counts-twice")
    once, again, fast = map(float, numbers(sentence(told, "Twice")))
    assert once * again == fast and once == again == 2 and "a quarter" in sentence(told, "Half the")


def test_both_tiles_come_from_lesson_3() -> None:
    wet_hour = block("03_water_is_an_ingredient", "tonight-s-wet-hour")
    for name in ("Overboard", "Late Boat"):
        assert name in wet_hour and name in block(NAME, "two-tiles-from-one-shelf") and gk.demo_recipe(name)


def test_it_is_read_in_eight_minutes() -> None:
    """At 160 words a minute, slow enough for a page with numbers."""
    assert sum(len(plain(one).split()) for one in story(NAME)) / 160 < 8
