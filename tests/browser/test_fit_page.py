"""Lesson 9 in a real browser: strips cool, the gauge moves, a tile goes into the book, an exercise is missed and then met."""

from __future__ import annotations

import re
from typing import Any

import pytest
from conftest import Workshop
from lesson_page import LessonPage, kept
from playwright.sync_api import expect

pytestmark = pytest.mark.browser


def test_lesson_9_cools_compares_and_is_marked(workshop: Workshop, page: Any) -> None:
    lesson = LessonPage(page, workshop, "09_fit.ipynb").wake()

    strips = lesson.panel("Two-strip sketch")
    expect(strips.locator("svg")).not_to_be_visible()
    lesson.guess("A glaze and its clay cool together", "a net of fine cracks")
    lesson.says(strips, "soft")
    hot = strips.locator("svg").inner_html()
    lesson.type_into(strips, "Cooled down to", "20")
    lesson.says(strips, "the glaze is pulled")
    lesson.redraws(strips.locator("svg"), hot)
    assert "crazing" in strips.locator(".gk-status").inner_text()

    pulled = lesson.panel("9.1")
    pulled.get_by_label(re.compile("^squeezed")).check()
    pulled.get_by_role("button", name="Check").click()
    lesson.says(pulled, "On cooling it shrinks MORE")
    pulled.get_by_label(re.compile("^pulled")).check()
    pulled.get_by_role("button", name="Check").click()
    lesson.says(pulled, "Yes")

    lesson.guess("A program sums up", "it is worth a tile; the number alone settles nothing")
    gauge = lesson.panel("Fit gauge")
    lesson.says(gauge, "same glaze")
    before = gauge.locator("svg").first.inner_html()
    lesson.type_into(gauge, "nepheline syenite [g]", "48")
    lesson.type_into(gauge, "quartz [g]", "24")
    lesson.says(gauge, "shrinks less")
    lesson.redraws(gauge.locator("svg").first, before)
    said = gauge.locator(".gk-status").inner_text()
    assert re.search(r"expansion −\d\.\d+ \(90 %: −\d\.\d to [−+]?\d\.\d\)", said) and "stand-in" in said
    assert "The tile decides" in said
    handle = gauge.get_by_label(re.compile("^quartz")).and_(gauge.locator(".noUi-handle"))
    handle.focus()
    handle.press("ArrowRight")
    expect(gauge.locator(".gk-status")).not_to_have_text(said, timeout=15_000)

    gauge.get_by_label(re.compile("^Write a fired tile")).check()
    lesson.type_into(gauge, "What its back says", "C1")
    gauge.get_by_label("Clay", exact=True).fill("white")
    gauge.get_by_label("Glazed by").select_option("pouring")
    gauge.get_by_label("With ink and a lens").select_option(label="crazed: a net of cracks")
    gauge.get_by_role("button", name="Write it into my book").click()
    lesson.says(gauge, "In your book: C1, crazed")
    (result,) = [entry for entry in kept(workshop.folder, "result") if entry["data"].get("fate") == "crazed"]
    assert result["data"]["looked"] == "day_1"
    gauge.get_by_label("Glaze", exact=True).select_option("Mooring White")
    lesson.says(gauge, "than the")
    assert "no number" in gauge.inner_text()

    lime = lesson.panel("9.2")
    share, weight, unity, factor = map(
        float,
        re.search(
            r"moles in it, (\d+\.\d+) .*?it is (\d+\.\d+) %.*?says (\d\.\d+).*?is (\d+\.\d) mill", lime.inner_text()
        ).groups(),
    )
    lesson.type_into(lime, "Lime adds", f"{factor * weight / 100:.2f}")
    lesson.says(lime, "shares by moles")
    lesson.type_into(lime, "Lime adds", f"{factor * share / 100:.2f}".replace(".", ","))
    lesson.says(lime, "Yes")
    assert unity < 1
    done = {entry["data"]["exercise"] for entry in kept(workshop.folder, "exercise") if entry["data"]["state"] == "right"}
    assert done >= {"9.1", "9.2"}
    assert lesson.troubles() == [] and lesson.outside() == []
