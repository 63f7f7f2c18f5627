"""Lessons 5 to 8 in a real browser: the mixer, the chart and the shopping bench answer; lesson 5 is done by keyboard alone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from conftest import Workshop
from lesson_page import LessonPage, kept
from playwright.sync_api import expect
from wording import text_of

pytestmark = pytest.mark.browser

NUMBER = r"(\d+(?:[.,]\d+)?)"
MOLAR_MASS = {"potash feldspar": 556.65, "whiting": 100.09, "kaolin": 258.16, "quartz": 60.08}  # g/mol, as printed in lesson 4


def opened(lesson: LessonPage, title: str) -> Any:
    """The first panel of this title, opened without a guess where it waits for one."""
    panel = lesson.panel(title).first
    curtain = panel.get_by_role("button", name="Open it without a guess")
    if curtain.is_visible():
        curtain.click()
    panel.locator(".gk-status").first.wait_for()
    return panel


def test_the_flux_mixer_always_totals_one_and_refuses_when_all_is_locked(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, "07_fluxes_and_boron.ipynb").wake()
    mixer = opened(lesson, "Flux mixer")
    boxes = mixer.get_by_label(re.compile("exact share of the fluxes"))

    def shares() -> list[float]:
        return [float(boxes.nth(i).input_value().replace(",", ".")) for i in range(boxes.count())]

    expect(boxes.first).to_be_visible()
    before, said = shares(), mixer.locator(".gk-status").inner_text()
    assert sum(before) == pytest.approx(1, abs=0.011 * len(before) / 2)
    soda = mixer.get_by_label(re.compile("^soda.*exact share"))
    soda.fill("0,40")
    soda.press("Enter")
    mixer.locator(".gk-status", has_text=re.compile("soda Na₂O 0.40")).wait_for(timeout=15_000)
    after = shares()
    assert after != before and sum(after) == pytest.approx(1, abs=0.011 * len(after) / 2)
    assert "Together 1" in mixer.locator(".gk-status").inner_text() != said

    padlocks = mixer.get_by_label(re.compile("Padlock of"))
    for i in range(padlocks.count()):
        padlocks.nth(i).click()
    held = shares()
    soda.fill("0.9")
    soda.press("Enter")
    mixer.locator(".gk-mixer-says", has_text=re.compile(r"\bheld\b")).wait_for(timeout=15_000)
    assert shares() == held
    assert lesson.troubles() == [] and lesson.outside() == []


def test_the_chart_follows_a_powder_and_says_whether_the_old_field_applies(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, "06_silica_and_alumina_chart.ipynb").wake()
    chart = opened(lesson, "Chart map")
    chart.locator(".gk-status", has_text="8.3").wait_for(timeout=15_000)  # Gangway Clear
    kaolin = chart.get_by_label(re.compile("^kaolin.*exact number"))
    picture = chart.locator("svg").last.inner_html()
    kaolin.fill("23")  # 10 g more: the course's exercise 6.2 reckons silica 3.82, alumina 0.565, ratio 6.76
    kaolin.press("Enter")
    chart.locator(".gk-status", has_text="6.8").wait_for(timeout=15_000)
    lesson.redraws(chart.locator("svg").last, picture)
    said = chart.locator(".gk-status").inner_text()
    assert "3.82" in said and re.search(r"0\.5[67]", said)
    study = chart.get_by_label("Lay an old study under it")
    study.select_option(study.locator("option", has_text="1914").inner_text())
    badge = chart.get_by_text("boron").last  # the study of 1914 had none, and was fired hotter
    badge.wait_for(timeout=15_000)
    assert re.search(r"\bNo\.", chart.inner_text())
    assert lesson.troubles() == [] and lesson.outside() == []


def test_contours_are_switched_on_and_the_status_line_tells_them(workshop: Workshop, page: Any) -> None:
    """The status line alone: change first, then the number, each with its interval, unit and status; then a colder peak."""
    lesson = LessonPage(page, workshop, "06_silica_and_alumina_chart.ipynb").wake()
    chart = opened(lesson, "Chart map")
    status = chart.locator(".gk-status")
    assert chart.locator(".contour").count() == 0 and "Pa·s" not in status.inner_text()
    chart.get_by_label("Contours").select_option(label="how stiff at my peak (viscosity)")
    chart.locator(".contour").nth(3).wait_for(state="attached", timeout=15_000)
    expect(chart.locator(".contour-label", has_text=re.compile(r"\d Pa·s")).first).to_be_visible()
    expect(chart.locator(".contour-label", has_text="outside the data")).to_be_visible()
    quartz = chart.get_by_label(re.compile("^quartz.*exact number"))
    quartz.fill("32")
    quartz.press("Enter")
    expect(status).to_contain_text(
        re.compile(rf"{NUMBER} times as stiff \(90 %: {NUMBER} to {NUMBER}\) as Gangway Clear as in its recipe, fitted")
    )
    expect(status).to_contain_text(
        re.compile(rf"viscosity at 1222 °C:? {NUMBER} \(90 %: {NUMBER} to {NUMBER}\) log10\(Pa.s\), fitted")
    )
    stiff = re.compile(r"That is (\d+) Pa·s")
    at_peak = int(stiff.search(status.inner_text())[1])
    peak = chart.get_by_label(re.compile("^Peak of my kiln"))
    peak.fill("1180")
    peak.press("Enter")
    expect(status).to_contain_text("at 1180 °C")
    assert int(stiff.search(status.inner_text())[1]) > at_peak
    chart.get_by_label("Contours").select_option(label="how much it shrinks (expansion)")
    expect(status).to_contain_text(re.compile(rf"Expansion [-+−]{NUMBER} \(90 %: .* to .*\) ×10⁻⁶ per K, compared with"))
    expect(peak).to_be_hidden()
    assert lesson.troubles() == [] and lesson.outside() == []


def test_the_shopping_bench_finds_a_recipe_and_says_when_it_cannot(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, "08_formula_to_recipe.ipynb").wake()
    bench = opened(lesson, "Shopping bench")
    wish = {"potash": "0,25", "lime": "0,75", "alumina": "0,40", "silica": "3,5"}

    def ask(name: str, amount: str) -> None:
        box = bench.get_by_label(re.compile(f"^{name}"), exact=False).first
        box.fill(amount)
        box.press("Enter")

    for name, amount in wish.items():
        ask(name, amount)
    bench.get_by_label(text_of("lesson_08.panel.shopping_bench.work_out")).check()
    for share in ("39.2", "21.1", "10.9", "28.8"):  # the course's exercise 8.1
        bench.locator("table", has_text=share).first.wait_for(timeout=15_000)
    ask("potash", "0.30")
    ask("lime", "0.70")
    ask("alumina", "0.20")
    bench.locator("li", has_text="A way out").first.wait_for(timeout=15_000)
    text = bench.inner_text()
    assert "alumina" in text and lesson.troubles() == [] and lesson.outside() == []


def reach(page: Any, control: Any) -> None:
    """Go to a control with the Tab key only."""
    for _ in range(400):
        page.keyboard.press("Tab")
        if page.evaluate("node => document.activeElement === node", control.element_handle()):
            return
    raise AssertionError("the Tab key does not reach this control")


def by_keyboard(page: Any, box: Any, answer: str) -> None:
    """Reach a box with the Tab key only, type, and press Enter."""
    reach(page, box)
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type(answer)
    page.keyboard.press("Enter")


def test_lesson_5_is_finished_by_keyboard_alone(workshop: Workshop, page: Any) -> None:
    """Tab, typing and Enter only: a slider moved, and the three core exercises reckoned from the page's own numbers."""
    lesson = LessonPage(page, workshop, "05_unity_formula.ipynb").wake()
    bench = lesson.panel("Unity bench")
    reach(page, bench.get_by_role("button", name="Open it without a guess"))
    page.keyboard.press("Enter")
    handle, status = bench.locator(".noUi-handle").first, bench.locator(".gk-status")
    handle.wait_for()
    before = status.inner_text()
    reach(page, handle)
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    bench.locator(".gk-status", has_text=before).wait_for(state="detached", timeout=15_000)

    first = lesson.panel("5.1")
    text = first.inner_text()
    grams = {name: float(re.search(rf"{name}\s+{NUMBER}", text)[1]) for name in MOLAR_MASS}
    moles = {name: grams[name] / MOLAR_MASS[name] for name in grams}
    flux = moles["potash feldspar"] + moles["whiting"]
    silica = 6 * moles["potash feldspar"] + 2 * moles["kaolin"] + moles["quartz"]
    alumina = moles["potash feldspar"] + moles["kaolin"]
    for number, answer in (("5.1", f"{flux:.4f}"), ("5.2", f"{silica / flux:.2f}"), ("5.3", f"{alumina / flux:.3f}")):
        panel = lesson.panel(number)
        by_keyboard(page, panel.locator("input[type=text]").first, answer.replace(".", ","))
        lesson.says(panel, "Yes")
    done = {entry["data"]["exercise"] for entry in kept(workshop.folder, "exercise") if entry["data"]["state"] == "right"}
    assert done >= {"5.1", "5.2", "5.3"}
    assert lesson.troubles() == []
