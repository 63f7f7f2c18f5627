"""A finger on a phone: what scrolls the page changes no recipe, what goes sideways moves a slider; a keyboard among choices."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from conftest import Workshop
from lesson_page import LessonPage

pytestmark = pytest.mark.browser

LESSONS = [("02_*.ipynb", ".gk-panel .slider-container"), ("07_*.ipynb", ".gk-panel input[type=range]")]
"""A lesson with the usual sliders, and one with the linked sliders of the flux mixer."""
SCROLLED = "() => document.querySelector('.jp-WindowedPanel-outer').scrollTop"
VALUES = """() => [...document.querySelectorAll('.gk-panel .noUi-handle')].map(handle => handle.getAttribute('aria-valuenow'))
  .concat([...document.querySelectorAll('.gk-panel input[type=range]')].map(slider => slider.value)).join()"""


@pytest.fixture
def phone(chromium: Any) -> Iterator[Any]:
    """A page on a small screen under a finger."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    yield context.new_page()
    context.close()


def swipe(page: Any, x: float, y: float, across: float, down: float) -> None:
    """A finger put down at x, y that goes so far and is lifted: through the browser's own door, as a screen reports it."""
    door = page.context.new_cdp_session(page)
    for step in range(11):
        kind = "touchStart" if step == 0 else "touchMove"
        point = {"x": x + across * step / 10, "y": y + down * step / 10}
        door.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [point]})
        page.wait_for_timeout(16)
    door.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_timeout(800)


@pytest.mark.parametrize(("lesson", "sliders"), LESSONS, ids=["sliders", "linked sliders"])
def test_a_swipe_that_scrolls_changes_nothing_and_one_sideways_moves(
    workshop: Workshop, phone: Any, lesson: str, sliders: str
) -> None:
    (name,) = (path.name for path in workshop.folder.glob(lesson))
    LessonPage(phone, workshop, name).wake()
    shut = phone.locator(".gk-panel button:visible", has_text="Open it without")
    while shut.count():
        shut.first.click()
        phone.wait_for_timeout(500)
    track = phone.locator(sliders).locator("visible=true").first
    moved, scrolled = phone.evaluate(VALUES), phone.evaluate(SCROLLED)
    for share in (0.2, 0.5, 0.9):
        track.evaluate("slider => slider.scrollIntoView({block: 'center'})")
        box = track.bounding_box()
        scrolled = phone.evaluate(SCROLLED)
        swipe(phone, box["x"] + share * box["width"], box["y"] + box["height"] / 2, across=3, down=-200)
        assert phone.evaluate(SCROLLED) > scrolled, "the page goes where the finger pulls it"
        assert phone.evaluate(VALUES) == moved
    track.evaluate("slider => slider.scrollIntoView({block: 'center'})")
    hand = track.locator(".noUi-handle").bounding_box() if track.locator(".noUi-handle").count() else None
    box = track.bounding_box()
    x = hand["x"] + hand["width"] / 2 if hand else box["x"] + float(track.evaluate("s => s.value / s.max")) * box["width"]
    away = -80 if x > box["x"] + box["width"] / 2 else 80
    swipe(phone, x, box["y"] + box["height"] / 2, across=away, down=4)
    assert phone.evaluate(VALUES) != moved


def test_choices_are_one_stop_with_a_name_and_the_arrows_go_through_them(workshop: Workshop, page: Any) -> None:
    (name,) = (path.name for path in workshop.folder.glob("02_*.ipynb"))
    LessonPage(page, workshop, name).wake()
    groups = page.locator(".gk-panel .widget-radio-box:visible")
    page.wait_for_timeout(1000)  # names are given when a panel has been drawn
    for group in groups.all():
        assert group.get_attribute("role") == "radiogroup" and group.get_attribute("aria-label")
    names = [group.locator("input").first.get_attribute("name") for group in groups.all()]
    assert all(names) and len(set(names)) == len(names), "choosing in one question changes no other"
    buttons = groups.first.locator("input")
    buttons.first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    page.wait_for_timeout(500)
    assert buttons.nth(1).is_checked() and not buttons.first.is_checked()
    page.keyboard.press("Tab")
    assert not groups.first.evaluate("group => group.contains(document.activeElement)")
