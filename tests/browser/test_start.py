"""What a learner meets after ``glazekit start``: the first lesson, one button that wakes it, nothing that leaves the machine."""

from __future__ import annotations

import json
import re
import socket
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest
from conftest import Workshop, free_port, running_start

pytestmark = pytest.mark.browser

WAKE = '.jp-NotebookPanel-toolbar [data-jp-item-name="wake"]'
SCROLLED = "() => document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer').scrollTop"
LOCAL = re.compile(r"(http|ws)://127\.0\.0\.1[:/]|data:|blob:")


def code_cells(notebook: Path) -> int:
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    return sum(cell["cell_type"] == "code" for cell in cells)


def test_the_first_lesson_wakes_at_one_click_and_nothing_leaves_the_machine(workshop: Workshop, page: Any) -> None:
    page.goto(workshop.url)
    page.wait_for_selector(".jp-NotebookPanel .jp-RenderedMarkdown h1", timeout=90_000)
    assert "/01_" in page.url
    page.wait_for_selector(WAKE)
    assert page.locator(WAKE).inner_text().strip() == "Wake this page"
    assert page.locator(".jp-CodeCell .jp-Cell-inputWrapper:visible").count() == 0, "learners see text and panels, no code"

    page.locator(WAKE).click()
    wanted = code_cells(workshop.folder / Path(page.url).name)
    panels = page.locator(".gk-panel")
    page.wait_for_function("wanted => document.querySelectorAll('.gk-panel').length >= wanted - 2", arg=wanted, timeout=90_000)
    page.get_by_text("| Idle").first.wait_for(state="attached", timeout=60_000)
    assert panels.count() >= 5
    assert page.locator(".jp-RenderedText[data-mime-type*='error'], .jp-RenderedText[data-mime-type*='stderr']").count() == 0
    assert page.evaluate(SCROLLED) == 0, "the reader is at the start of the page, not at its end"

    assert page.locator(".jp-Dialog, .Toastify__toast").count() == 0
    assert [url for url in page.requests if not LOCAL.match(url)] == []


def test_a_page_reopens_asleep_and_calm_on_another_day(page: Any, tmp_path: Path) -> None:
    with running_start(tmp_path) as first_day:
        lesson = next(path.name for path in first_day.folder.glob("03_*.ipynb"))
        page.goto(first_day.page_url(lesson))
        page.locator(WAKE).click()
        page.locator(".gk-panel").nth(3).wait_for(timeout=90_000)
        page.keyboard.press("Control+s")
        page.wait_for_timeout(3000)
        saved = (first_day.folder / lesson).read_text(encoding="utf-8")
    assert '"execution_count": 1' in saved, "the page was saved when it was awake"
    assert "widget-view" not in saved
    with running_start(tmp_path) as next_day:
        page.goto(next_day.page_url(lesson) + "&reset")
        page.wait_for_selector(".jp-NotebookPanel .jp-RenderedMarkdown h1", timeout=90_000)
        assert page.locator(".jp-NotebookPanel .jp-OutputArea-output").count() == 0
        page.locator(WAKE).click()
        page.locator(".gk-panel").nth(3).wait_for(timeout=90_000)


def test_the_table_of_lessons_leads_to_them_and_back_leads_back(workshop: Workshop, page: Any) -> None:
    page.goto(workshop.page_url("00_start_here.ipynb"))
    page.locator(WAKE).click()
    links = page.locator(".gk-panel table a")
    links.nth(3).wait_for(timeout=90_000)
    for link in links.all():
        assert (workshop.folder / str(link.get_attribute("href"))).exists()
    heading = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) h1").first
    start, name = heading.inner_text(), str(links.nth(1).get_attribute("href"))
    page.on("dialog", lambda dialog: pytest.fail(f"a dialog in the way: {dialog.type}"))
    links.nth(1).click()
    page.wait_for_url(f"**/{name}")
    page.wait_for_function(
        "start => document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) h1')?.innerText !== start", arg=start
    )
    page.evaluate("history.back()")
    page.wait_for_url("**/00_start_here.ipynb")
    page.wait_for_function(
        "start => document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) h1')?.innerText === start", arg=start
    )


def test_the_tools_that_only_harm_are_put_away(workshop: Workshop, page: Any) -> None:
    page.goto(workshop.page_url("00_start_here.ipynb"))
    page.wait_for_selector(WAKE, timeout=90_000)
    names = page.locator(".jp-NotebookPanel-toolbar [data-jp-item-name]").evaluate_all(
        "items => items.map(item => item.dataset.jpItemName)"
    )
    assert names[0] == "wake" and not {"cut", "insert", "paste", "cellType"} & set(names)
    page.locator(".jp-MarkdownCell").nth(1).click()
    assert page.locator(".jp-cell-toolbar:visible, .jp-DebuggerBugButton:visible").count() == 0


def test_a_token_is_needed(workshop: Workshop) -> None:
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(f"{workshop.base}/api/contents", timeout=20)
    assert refused.value.code == 403
    with urllib.request.urlopen(f"{workshop.base}/api/contents?token={workshop.token}", timeout=20) as answer:
        assert any(item["name"].startswith("01_") for item in json.load(answer)["content"])


def test_only_this_computer_is_served(workshop: Workshop) -> None:
    port = int(workshop.base.rsplit(":", 1)[1])
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # chooses the outward address; sends nothing
        except OSError:
            pytest.skip("no network but the loopback here")
        address = probe.getsockname()[0]
    with socket.socket() as outside:
        outside.settimeout(5)
        assert outside.connect_ex((address, port)) != 0


def test_a_busy_port_moves_to_the_next_and_a_lesson_can_be_chosen(tmp_path: Path) -> None:
    port = free_port()
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", port))
        busy.listen()
        with running_start(tmp_path, "--lesson", "0", port=port) as running:
            assert f":{port}/" not in running.url and "/00_start_here.ipynb" in running.url
            assert "Traceback" not in running.said.read_text(encoding="utf-8")
