"""The appendix in a real browser: it wakes, draws, answers a choice, and its controls have names."""

from __future__ import annotations

import time
from typing import Any

import pytest
from conftest import Workshop
from lesson_page import FOREIGN, PATIENCE_MS, TROUBLE, WAKE

pytestmark = pytest.mark.browser

NAME = "appendix_where_numbers_come_from.ipynb"
DRAWN = "count => document.querySelectorAll('.jp-OutputArea svg[role=img]').length >= count"
PICTURES = 8
MOST_SECONDS = 90


def test_the_appendix_fits_everything_and_answers_a_choice(workshop: Workshop, page: Any) -> None:
    broken: list[str] = []
    page.on("pageerror", lambda error: broken.append(str(error)) if FOREIGN not in str(error) else None)
    page.goto(workshop.page_url(NAME) + "&reset")
    page.wait_for_selector(WAKE, timeout=PATIENCE_MS)
    page.wait_for_selector(".jp-NotebookPanel .jp-RenderedMarkdown h1", timeout=PATIENCE_MS)
    start = time.monotonic()
    page.locator(WAKE).click()
    page.wait_for_function(DRAWN, arg=PICTURES, timeout=MOST_SECONDS * 1000)
    page.wait_for_selector("text=On publications the fit had never seen", timeout=MOST_SECONDS * 1000)
    assert time.monotonic() - start < MOST_SECONDS
    assert page.locator(TROUBLE).all_inner_texts() == [] and broken == []
    assert page.locator(".jp-CodeCell .jp-Cell-inputWrapper:visible").count() == 0, "learners see text and pictures, no code"

    omit = page.get_by_label("omit")
    omit.select_option("nothing")
    page.wait_for_selector("text=Left out: 0 of 13,502 measurements", timeout=30_000)
    selects = page.locator(".jp-OutputArea select")
    assert selects.count() >= 8
    assert selects.evaluate_all("nodes => nodes.filter(node => !node.labels.length).length") == 0
    wide = page.evaluate(
        "() => { const outer = document.querySelector('.jp-WindowedPanel-outer'); return outer.scrollWidth - outer.clientWidth; }"
    )
    assert wide <= 1
