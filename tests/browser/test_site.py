"""The browser edition as a learner meets it: built once, served from this computer, every other computer out of reach."""

from __future__ import annotations

import csv
import json
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from chromium import CHROMIUM, FLAGS
from playwright.sync_api import TimeoutError, expect  # noqa: A004

from glazekit.exercises.bank import exercises_of
from glazekit.exercises.draws import draw, solve
from glazekit.exercises.posing import pose
from glazekit.folder.lessons import page_content
from glazekit.words.course import course, lessons_dir
from glazekit.words.texts import lesson_text

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NOTEBOOKS = [page.notebook for page in course() if page.notebook]
PLAYED = [name for name in NOTEBOOKS if name[:2] in ("02", "06")]
SHOWN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
WAKE = f'{SHOWN} [data-jp-item-name="wake"]'
WAIT_MS = 120_000
FAULTS = ".jp-RenderedText[data-mime-type*='error'], .jp-RenderedText[data-mime-type*='stderr']"


OWN_GROUND = "default-src 'self' 'unsafe-inline' 'unsafe-eval' blob: data:; report-uri /strayed"
"""A content policy: pages, workers and service workers may ask nobody but their own server, and the browser tells who tries."""
PLAIN_NAME = "glazes.test"
"""A name of this computer for which a browser gives less than for the loopback: to it, that is some address without https."""
NO_WAY_OUT = {"server": "http://127.0.0.1:9", "bypass": f"127.0.0.1,{PLAIN_NAME}"}
"""For all but this computer, a proxy where nobody listens."""


class Server(ThreadingHTTPServer):
    """Serves a folder on this computer, and keeps the browser's notes on pages that asked for something elsewhere."""

    def __init__(self, folder: Path) -> None:
        self.strayed: list[str] = []
        super().__init__(("127.0.0.1", 0), partial(Guarded, directory=str(folder)))

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.server_port}"


class Guarded(SimpleHTTPRequestHandler):
    """One answer of that server, with the content policy, and without a word."""

    server: Server

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", OWN_GROUND)
        super().end_headers()

    def do_POST(self) -> None:
        self.server.strayed.append(self.rfile.read(int(self.headers["Content-Length"])).decode("utf-8"))
        self.send_response(204)
        self.end_headers()

    def log_message(self, *_: Any) -> None:
        pass


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site, built by the command a teacher types."""
    folder = tmp_path_factory.mktemp("site") / "new" / "course"
    command = [sys.executable, "-m", "glazekit", "site", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", timeout=300)
    assert done.returncode == 0, done.stdout + done.stderr
    assert str(folder) in done.stdout
    return folder


@pytest.fixture(scope="module")
def server(site: Path) -> Iterator[Server]:
    server = Server(site)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield server
    server.shutdown()


@pytest.fixture
def page(driver: Any) -> Iterator[Any]:
    """A page of a new browser from which only this computer can be reached, under its number and one plain name."""
    names = f"--host-resolver-rules=MAP {PLAIN_NAME} 127.0.0.1"
    browser = driver.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS, names], proxy=NO_WAY_OUT)
    page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
    page.set_default_timeout(WAIT_MS)
    yield page
    browser.close()


def code_cells(notebook: Path) -> int:
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    return sum(cell["cell_type"] == "code" for cell in cells)


def wake(page: Any, site: Path, name: str) -> None:
    """Press the button as soon as the lesson is there, and wait for every panel."""
    page.locator(f"{SHOWN} h1", has_text=lesson_text(name[:2])["title"]).wait_for()
    try:
        page.locator(WAKE).click()
        wait_awake(page, site, name)
    except TimeoutError as error:
        dialogs = page.locator(".jp-Dialog").all_inner_texts()
        raise AssertionError(f"{page.locator('.gk-panel').count()} panels; {dialogs}") from error


def wait_awake(page: Any, site: Path, name: str) -> None:
    """Every panel of the lesson stands there, and nothing went wrong."""
    wanted = code_cells(site / "files" / name) - 1  # the first cell opens the page and shows nothing
    page.wait_for_function("([at, wanted]) => document.querySelectorAll(at).length >= wanted", arg=[f"{SHOWN} .gk-panel", wanted])
    assert page.locator(FAULTS).all_inner_texts() == []
    assert page.locator(".jp-Dialog").all_inner_texts() == []


GRAMS = r"panel => panel.innerText.match(/\d[\d.]*\sg\b/g).join()"
"""All amounts a panel shows."""


def move_first_slider(page: Any) -> None:
    """Open what a prediction hides, then move a slider with the keyboard: its panel shows other numbers."""
    shut = page.locator(".gk-panel button:visible", has_text="Open it without")
    for left in reversed(range(shut.count())):
        shut.first.click()
        expect(shut).to_have_count(left, timeout=WAIT_MS)
    handle = page.locator(".gk-panel .noUi-handle:visible").first
    panel = handle.locator("xpath=ancestor::*[contains(concat(' ', @class, ' '), ' gk-panel ')]")
    before = panel.evaluate(GRAMS)
    handle.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.wait_for_function(f"([panel, before]) => ({GRAMS})(panel) !== before", arg=[panel.element_handle(), before])


def answer_first_exercise(page: Any, lesson: str) -> Any:
    """Type the right numbers into the lesson's first exercise with numbers, as the learner without a nickname; its panel."""
    exercise = next(e for e in exercises_of(lesson) if e.kind == "number")
    question = pose(exercise, draw(exercise.id, "", ""))
    right = solve(exercise.id, dict(question.draw.numbers)).right
    panel = page.locator(".gk-panel", has=page.locator("h3", has_text=re.compile(rf"^{re.escape(exercise.id)} ")))
    for box in question.boxes:
        panel.get_by_label(box.label).first.fill(f"{right[box.id]:.{box.decimals}f}")
    panel.locator("button.gk-main").click()
    return panel


@pytest.mark.parametrize("name", PLAYED)
def test_a_lesson_wakes_moves_marks_and_keeps_the_book_with_no_network(site: Path, server: Server, page: Any, name: str) -> None:
    page.goto(server.address)
    page.get_by_role("link", name=re.compile(rf"^{int(name[:2])} ·")).click()
    wake(page, site, name)
    move_first_slider(page)
    panel = answer_first_exercise(page, name[:2])
    panel.locator(".gk-status", has_text="✓").wait_for()

    page.goto(f"{server.address}/lab/index.html?path={NOTEBOOKS[0]}")  # another page, another Python: the browser kept the book
    wake(page, site, NOTEBOOKS[0])
    row = page.locator(".gk-panel tr", has_text=lesson_text(name[:2])["title"])
    assert "1 of" in row.first.inner_text()
    (saved,) = take_home(page, "exercise.csv")
    assert saved["state"] == "right" and saved["exercise"].startswith(f"{int(name[:2])}.")

    assert server.strayed == []
    assert page.evaluate("fetch('http://192.0.2.1/').catch(() => 'refused')") == "refused"
    page.wait_for_timeout(1000)
    assert len(server.strayed) == 1, "the guard notices a page that strays"
    server.strayed.clear()


def test_a_page_reopens_asleep_in_the_browser_edition_too(site: Path, server: Server, page: Any) -> None:
    address = f"{server.address}/lab/index.html?path={PLAYED[0]}"
    page.goto(address)
    wake(page, site, PLAYED[0])
    page.keyboard.press("Control+s")
    page.wait_for_timeout(2000)
    page.goto("about:blank")
    page.goto(address)
    page.locator(f"{SHOWN} h1").first.wait_for()
    assert page.locator(f"{SHOWN} .jp-OutputArea-output").count() == 0
    wake(page, site, PLAYED[0])


def test_a_press_before_python_is_there_is_not_lost(site: Path, server: Server, page: Any) -> None:
    """A slow network: the page is there and its button too, but what starts Python has not arrived."""
    name = PLAYED[0]
    extension = site / "extensions/@jupyterlite/pyodide-kernel-extension/static"
    starts = [path.name for path in extension.glob("*.js") if "executeRequest" in path.read_text("utf-8")]
    waiting: list[Any] = []
    page.context.route(lambda url: any(f"/{file}" in url for file in starts), lambda route: waiting.append(route))
    page.goto(f"{server.address}/lab/index.html?path={name}")
    page.locator(f"{SHOWN} h1").wait_for()
    page.locator(WAKE).click()
    for _ in range(WAIT_MS // 100):
        if waiting:
            break
        page.wait_for_timeout(100)
    page.wait_for_timeout(500)
    assert waiting and not page.locator(".gk-panel").count(), "the press came before there was Python"
    for route in waiting:
        route.continue_()
    page.context.unroute_all()
    wait_awake(page, site, name)


def test_an_address_without_https_keeps_nothing_and_every_panel_says_so(site: Path, server: Server, page: Any) -> None:
    (name,) = (name for name in NOTEBOOKS if name.startswith("02"))
    page.goto(f"http://{PLAIN_NAME}:{server.server_port}/lab/index.html?path={name}")
    wake(page, site, name)
    assert page.get_by_text("This window keeps nothing").count() == 0
    move_first_slider(page)
    page.get_by_text("This window keeps nothing").first.wait_for()


def take_home(page: Any, file: str) -> list[dict[str, str]]:
    """Write the book as tables and download one of them, as the front page says; its rows."""
    page.get_by_role("button", name=lesson_text("00")["panel"]["progress"]["export"]).click()
    listed = page.locator(".jp-DirListing-item")
    for folder in ("book-as-csv", "book-"):
        listed.filter(has_text=folder).last.dblclick()
    listed.filter(has_text=file).click(button="right")
    with page.expect_download() as download:
        page.locator(".lm-Menu-item", has_text="Download").click()
    with Path(download.value.path()).open(encoding="utf-8-sig", newline="") as table:
        return list(csv.DictReader(table))


def test_the_pages_are_the_very_files_of_the_desktop_course(site: Path) -> None:
    assert NOTEBOOKS and PLAYED
    for name in NOTEBOOKS:
        assert (site / "files" / name).read_bytes() == page_content(lessons_dir() / name)


def test_the_site_names_no_other_computer_to_load_from(site: Path) -> None:
    settings = json.loads((site / "jupyter-lite.json").read_text(encoding="utf-8"))["jupyter-config-data"]
    kernel = settings["litePluginSettings"]["@jupyterlite/pyodide-kernel-extension:kernel"]
    assert kernel["pyodideUrl"].startswith("./") and kernel["disablePyPIFallback"] is True
    lock = json.loads((site / "static/pyodide/pyodide-lock.json").read_text(encoding="utf-8"))["packages"]
    assert {"glazekit", "ipywidgets", "anywidget"} <= set(kernel["loadPyodideOptions"]["packages"]) <= set(lock)
    for package in lock.values():
        assert (site / "static/pyodide" / package["file_name"]).is_file()
        assert set(package["depends"]) <= set(lock)
