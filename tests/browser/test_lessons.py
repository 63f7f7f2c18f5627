"""The lessons in a real browser: each page wakes, panels answer, a restart loses nothing, a keyboard or a phone is enough."""

from __future__ import annotations

import re
import shutil
from typing import Any

import pytest
from conftest import Workshop
from lesson_page import WAKE, LessonPage, kept
from playwright.sync_api import expect

from glazekit.words.course import course

pytestmark = pytest.mark.browser

PAGES = [page.notebook for page in course() if page.notebook]
FIRST, RECIPE, WATER = PAGES[1:4]

NUMBER = r"(\d+(?:\.\d+)?)"

# what a screen reader would say of each control that can be reached; "" is a control without a name
UNNAMED = """() => [...document.querySelectorAll('.gk-panel input, .gk-panel textarea, .gk-panel select, .gk-panel button, ' +
    '.gk-panel .noUi-handle, .gk-panel a[href], .gk-panel svg')].filter(node => {
  if (!node.getClientRects().length) return false;
  if (node.tagName === 'svg' && node.getAttribute('aria-hidden') === 'true') return false;  // a sign beside words
  if (node.parentElement.closest('svg')) return false;  // part of a drawing, which has the name
  const by = id => document.getElementById(id)?.textContent || '';
  const label = node.labels && [...node.labels].map(one => one.textContent).join(' ');
  const own = ['BUTTON', 'A'].includes(node.tagName) ? node.textContent : '';
  const drawn = node.tagName === 'svg' ? node.querySelector('title')?.textContent : '';
  const named = node.getAttribute('aria-label') || (node.getAttribute('aria-labelledby') || '').split(' ').map(by).join('') ||
    label || own || drawn;
  return !named?.trim();
}).map(node => node.outerHTML.slice(0, 160))"""

# a table may be pushed sideways in a frame of its own that fits; what a drawing clips inside itself does not count
STICKING_OUT = """() => {
  const outer = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer');
  const edge = outer.getBoundingClientRect().right;
  const fits = node => node.getBoundingClientRect().right <= edge + 1;
  const pushed = node => {
    const frame = node.closest('table')?.parentElement;
    return frame && fits(frame) && getComputedStyle(frame).overflowX === 'auto';
  };
  const wide = [...document.querySelectorAll('.gk-panel, .gk-panel *, .jp-MarkdownOutput *')].filter(node =>
    node.getClientRects().length && !fits(node) && !pushed(node) &&
    !node.parentElement.closest('svg') && !node.closest('.noUi-target'));
  if (outer.scrollWidth > outer.clientWidth + 1) wide.push(outer);
  return wide.map(node => node.outerHTML.slice(0, 160));
}"""


CUT_OFF = """() => [...document.querySelectorAll('.gk-panel .widget-html-content:has(> svg)')]
  .filter(node => node.getClientRects().length && node.scrollWidth > node.clientWidth + 1)
  .map(node => node.closest('.gk-panel').querySelector('h3').textContent)"""


# sliders and boxes from which the verdict of their panel cannot be seen
FAR_FROM_THE_VERDICT = """() => [...document.querySelectorAll('.gk-panel .noUi-handle, .gk-panel input')].filter(hand => {
  if (!hand.getClientRects().length) return false;
  hand.scrollIntoView({block: 'center'});
  const page = hand.closest('.jp-WindowedPanel-outer').getBoundingClientRect();
  const verdict = hand.closest('.gk-panel').querySelector('.gk-status').getBoundingClientRect();
  return verdict.height && (verdict.top < page.top || verdict.bottom > page.bottom + 1);
}).map(hand => hand.closest('.gk-panel').querySelector('h3').textContent + hand.getAttribute('aria-label'))"""


def grams(panel: Any) -> list[str]:
    """The grams of the recipe bench, row by row."""
    return re.findall(r"[\d ]+\.?\d* g\b", panel.inner_text())


@pytest.mark.parametrize("name", PAGES)
def test_a_page_wakes_at_one_press(workshop: Workshop, page: Any, name: str) -> None:
    lesson = LessonPage(page, workshop, name)
    assert page.locator(WAKE).inner_text().strip() == "Wake this page"
    lesson.wake()
    assert page.locator(".gk-panel").count() == lesson.panels_wanted
    assert lesson.troubles() == []
    assert lesson.outside() == [] and any(url.startswith("ws://127.0.0.1") for url in lesson.asked)
    assert page.locator(".jp-CodeCell .jp-Cell-inputWrapper:visible").count() == 0, "learners see text and panels, no code"
    assert page.locator(".jp-OutputPrompt:visible, .jp-InputPrompt:visible").count() == 0
    assert page.evaluate(UNNAMED) == []


def test_a_press_before_the_kernel_is_there_is_not_lost(workshop: Workshop, page: Any) -> None:
    slow = "01_first_batch on a slow computer.ipynb"
    shutil.copyfile(workshop.folder / FIRST, workshop.folder / slow)  # no other test has started a kernel for it
    waiting = []
    page.route("**/api/sessions*", lambda route: waiting.append(route) if route.request.method == "POST" else route.continue_())
    lesson = LessonPage(page, workshop, slow)
    lesson.press_wake()
    page.wait_for_timeout(1500)  # the slow computer: nothing has answered yet
    assert waiting and not page.locator(".gk-panel").count(), "the press came before there was a kernel"
    for route in waiting:
        route.continue_()
    page.unroute("**/api/sessions*")
    lesson.wait_awake()
    assert lesson.troubles() == []


def test_slider_and_number_box_move_picture_and_table(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, RECIPE).wake()
    bench = lesson.panel("Recipe bench")
    assert not bench.locator(".noUi-handle").is_visible(), "the bench waits for a guess"
    lesson.guess("adds up to 105.5", "it can be weighed as it stands, it is only less handy")
    handle, box = bench.locator(".noUi-handle"), bench.get_by_label("Base powder to weigh [g], exact number")
    handle.wait_for()

    box.fill("1000")
    box.press("Enter")
    bench.locator("svg", has_text="1000").wait_for()
    lesson.says(bench, "1066")  # 1000 g and 7 parts for each 105.5 on top: 1066.4 g
    table, picture, place = grams(bench), bench.locator("svg").inner_html(), handle.bounding_box()["x"]
    assert "284.4 g" in table and "47.4 g" in table
    expect(handle).to_have_attribute("aria-valuetext", "1000")

    handle.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.wait_for_function("([node, old]) => node.value !== old", arg=[box.element_handle(), "1000"])
    bench.locator(".gk-status", has_text="1066").wait_for(state="detached")
    assert float(box.input_value()) > 1000
    assert handle.bounding_box()["x"] > place
    lesson.redraws(bench.locator("svg"), picture)
    assert grams(bench) != table
    expect(handle).to_have_attribute("aria-valuetext", box.input_value())

    box.fill("lots")
    box.press("Enter")
    lesson.says(bench, "lots")
    assert lesson.troubles() == []
    box.fill("0,5 kg")
    box.press("Enter")
    lesson.says(bench, "533.2 g")


def test_a_known_mistake_has_its_own_words_and_a_decimal_comma_passes(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, RECIPE).wake()
    exercise = lesson.panel("2.1")
    feldspar, base = re.search(rf"feldspar {NUMBER} in a base that totals {NUMBER}", exercise.inner_text()).groups()
    answer = exercise.get_by_label("Soda feldspar [%]")
    answer.fill(feldspar)
    exercise.get_by_role("button", name="Check").click()
    lesson.says(exercise, f"{feldspar} is the number as written; the base totals {base}")

    right = f"{float(feldspar) / float(base) * 100:.2f}"
    answer.fill(right.replace(".", ","))
    answer.press("Enter")
    lesson.says(exercise, f"Yes, {right} %")
    states = [entry["data"]["state"] for entry in kept(workshop.folder, "exercise") if entry["data"]["exercise"] == "2.1"]
    assert states == ["try again", "right"]


def test_a_print_page_opens_and_renders(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, FIRST).wake()
    tray = lesson.panel("On paper: batch sheet")
    tray.get_by_label("Name of your batch").fill("W-7")
    tray.get_by_role("button", name="Make the batch sheet").click()
    with page.context.expect_page() as opened:
        tray.get_by_role("link").click()
    sheet = opened.value
    sheet.wait_for_load_state()
    text = sheet.inner_text("body")
    assert "Gangway Clear" in sheet.inner_text("h1") and "26.0 g" in text and "W-7" in text
    assert sheet.evaluate("document.documentElement.scrollWidth <= innerWidth")
    files = list((workshop.folder / "prints").glob("*batch*sheet*.html"))
    assert len(files) == 1 and "Gangway Clear" in files[0].read_text(encoding="utf-8")
    tray.get_by_role("button", name="Make the batch sheet").click()
    lesson.says(tray, f"{files[0].stem} 2.html")
    assert len(list((workshop.folder / "prints").glob("*batch*sheet*.html"))) == 2, "no print is overwritten"


def test_state_and_book_survive_a_restart_of_the_kernel(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, WATER).wake()
    lesson.guess("70 mL of water per 100 g", "one has a thicker coat, and they fire differently")
    log, syringe, exercise = (lesson.panel(title) for title in ("Water log", "Syringe check", "3.3"))
    powder = log.get_by_label("Dry powder in the bucket")
    powder.fill("250")
    powder.press("Enter")
    log.get_by_role("button", name="Pour +150").click()
    log.get_by_role("button", name="Pour +25").click()
    lesson.says(log, "70 mL of water for each 100 g")
    log.get_by_label("Name on the bucket").fill("W-7")
    log.get_by_role("button", name="Write the water into my book").click()
    lesson.says(log, "In your book")
    exercise.get_by_role("textbox").fill("48")
    exercise.get_by_role("textbox").press("Tab")
    weight = syringe.get_by_label("It weighs [g]")
    weight.fill("74")
    weight.press("Tab")
    syringe.locator(".gk-saved", has_text="saved").wait_for()
    written = kept(workshop.folder, "water")
    assert len(written) == 1 and written[0]["data"]["water_ml"] == 175

    page.get_by_role("menuitem", name="Kernel").click()
    page.locator('.lm-Menu-item[data-command="kernelmenu:restart"]').click()
    lesson.wake()

    assert lesson.panel("Water log").get_by_label("Dry powder in the bucket").input_value() == "250"
    lesson.says(lesson.panel("Water log"), "70 mL of water for each 100 g")
    assert lesson.panel("Syringe check").get_by_label("It weighs [g]").input_value() == "74"
    assert lesson.panel("3.3").get_by_role("textbox").input_value() == "48"
    assert kept(workshop.folder, "water") == written
    assert [entry["data"]["prediction"] for entry in kept(workshop.folder, "prediction")].count("3a") == 1
    assert lesson.troubles() == []


def test_the_keyboard_is_enough(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, WATER).wake()
    sketch = lesson.panel("Suction sketch")
    if sketch.get_by_role("button", name="Open it without a guess").is_visible():
        sketch.get_by_role("button", name="Open it without a guess").press("Enter")
    sketch.locator(".noUi-handle").wait_for()
    sketch.get_by_label("Its dry coat is [mm]").focus()
    for _ in range(4):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.classList.contains('noUi-handle')"):
            break
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "My dip [s]"
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid", "the eye sees where the keyboard is"
    before = sketch.locator(".gk-status").inner_text()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("([line, old]) => line.innerText !== old", arg=[sketch.locator(".gk-status").element_handle(), before])
    assert lesson.troubles() == []


@pytest.mark.parametrize("name", PAGES)
def test_nothing_sticks_out_on_a_phone_or_at_twice_the_size(workshop: Workshop, chromium: Any, name: str) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844}, device_scale_factor=2)
    try:
        page = context.new_page()
        LessonPage(page, workshop, name).wake()
        shut = page.locator("button:visible", has_text="Open it without a guess")
        for left in reversed(range(shut.count())):
            shut.first.click()
            expect(shut).to_have_count(left, timeout=15_000)
        assert page.evaluate(STICKING_OUT) == [] and page.evaluate(CUT_OFF) == []
        assert page.evaluate(FAR_FROM_THE_VERDICT) == []
        assert page.locator(WAKE).is_visible()
        page.set_viewport_size({"width": 640, "height": 450})  # 1280 by 900 at 200 %
        assert page.evaluate(STICKING_OUT) == [] and page.evaluate(CUT_OFF) == []
        assert page.locator(WAKE).is_visible()
    finally:
        context.close()
