"""Lesson 10 in a real browser: the tray and the sketch move, the log writes, an exercise is missed and then met."""

from __future__ import annotations

import re
from typing import Any

import pytest
from conftest import Workshop
from lesson_page import LessonPage, kept
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

ANSWER = "it runs less, and it pays for that with something else"


def test_lesson_10_moves_melts_and_is_marked(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, "10_melt_and_running.ipynb").wake()

    tray = lesson.panel("Slope tray")
    expect(tray.locator("svg")).not_to_be_visible()
    lesson.guess("Overboard runs", ANSWER)
    lesson.says(tray, "Overboard, 0.20 mm at 45 degrees: runs off (90 %")
    before = tray.locator("svg").inner_html()
    tray.get_by_label("Glaze", exact=True).select_option("Gangway Clear")
    lesson.type_into(tray, "Melted coat [mm]", "0,15")
    lesson.says(tray, "Gangway Clear, 0.15 mm at 45 degrees")
    lesson.redraws(tray.locator("svg"), before)
    assert "same glaze as Gangway Clear" in tray.locator(".gk-status").inner_text(), "the stand-in says what it is"
    tray.get_by_label("Glaze", exact=True).select_option("Mooring White")
    lesson.says(tray, "no grade")

    lesson.guess("Two firings end at 1222", "no, the slow one gave more")
    sketch = lesson.panel("Firing sketch")
    lesson.says(sketch, "11.13 hours")
    minutes = re.compile(r"as much heat work as (\d+) minutes")
    slow = int(minutes.search(sketch.locator(".gk-status").inner_text())[1])  # type: ignore[index]
    lesson.type_into(sketch, "Last climb", "150")
    lesson.says(sketch, "10.11 hours")
    assert int(minutes.search(sketch.locator(".gk-status").inner_text())[1]) < slow  # type: ignore[index]
    handle = sketch.locator(".noUi-handle").nth(4)  # the hold, by keyboard
    handle.focus()
    handle.press("ArrowRight")
    lesson.says(sketch, "10.13 hours")
    assert "today's cones" in sketch.inner_text() and "never tells when to switch off" in sketch.inner_text()

    cone = lesson.panel("10.4")
    cone.get_by_label("yes: 1222 °C is cone 6").check()
    cone.get_by_role("button", name="Check").click()
    lesson.says(cone, "A cone is no temperature")
    cone.get_by_label(re.compile("^no: at 150")).check()
    cone.get_by_role("button", name="Check").click()
    lesson.says(cone, "Look at the cone")

    thick = lesson.panel("10.2")
    thin_mm, thick_mm = map(float, re.findall(r"([\d.]+) mm", thick.inner_text()))
    lesson.type_into(thick, "Speed of the thick coat", f"{thick_mm / thin_mm:.3f}")
    lesson.says(thick, "thickness times itself")
    lesson.type_into(thick, "Speed of the thick coat", f"{(thick_mm / thin_mm) ** 2:.2f}".replace(".", ","))
    lesson.says(thick, "Yes")

    log = lesson.panel("Firing log")
    log.get_by_label("Readings").fill("0:00 20\n6:00 600\n12:00 1222")
    lesson.type_into(log, "Kiln, a nickname", "Kitty")
    log.locator("path.reading").nth(2).wait_for(timeout=15_000)
    log.get_by_label("Air in the kiln").select_option("oxidation")
    lesson.type_into(log, "Cone on the top shelf", "6")
    log.get_by_label("The top one is").select_option("down")
    log.get_by_role("button", name="Write this firing").click()
    lesson.says(log, "In your book: cone 6")
    (firing,) = kept(workshop.folder, "firing")
    assert (firing["data"]["kiln"], firing["data"]["cone_seen"], firing["data"]["peak_c"]) == ("Kitty", "6", 1222)
    done = {entry["data"]["exercise"] for entry in kept(workshop.folder, "exercise") if entry["data"]["state"] == "right"}
    assert done >= {"10.2", "10.4"}
    assert lesson.troubles() == [] and lesson.outside() == []
