"""A lesson in the browser as a learner has it: open it, wake it, find a panel by its title, and see what it says."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from playwright.sync_api import TimeoutError  # noqa: A004

WAKE = '.jp-NotebookPanel-toolbar [data-jp-item-name="wake"] jp-button'
TROUBLE = '[data-mime-type$="jupyter.error"], [data-mime-type$="jupyter.stderr"], .jp-RenderedText pre'
LOCAL = re.compile(r"((http|ws)://127\.0\.0\.1:\d+/|data:|blob:)")
PATIENCE_MS = 90_000
FOREIGN = "@jupyterlite/services"
"""Where the tools of the browser edition stand in the same environment, their JupyterLab extension complains that this is not its
own application. It belongs to no lesson and changes nothing."""

# every panel is there, none of them from before the last press of the button, and each is whole: a part that is still on its
# way is an empty box without class or style of its own, and so is the invisible helper that hears the Enter key
AWAKE = """wanted => {
  const fresh = [...document.querySelectorAll('.gk-panel')].filter(panel => !panel.dataset.old);
  const whole = panel => panel.querySelector('.gk-title h3') && !panel.querySelector('[class="lm-Widget"]:not([style])');
  return fresh.length === wanted && fresh.every(whole);
}"""


class LessonPage:
    """One lesson in one browser window.

    Parameters
    ----------
    page : a browser page.
    workshop : the running server.
    name : file name of the lesson, such as "01_first_batch.ipynb".
    """

    def __init__(self, page: Any, workshop: Any, name: str) -> None:
        self.page, self.name = page, name
        self.asked: list[str] = []
        self.broken: list[str] = []
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("websocket", lambda socket: self.asked.append(socket.url))
        page.on("pageerror", lambda error: self.broken.append(str(error)) if FOREIGN not in str(error) else None)
        cells = json.loads((workshop.folder / name).read_text(encoding="utf-8"))["cells"]
        self.panels_wanted = sum(cell["cell_type"] == "code" for cell in cells) - 1  # the first cell only opens the page
        page.goto(workshop.page_url(name) + "&reset")
        page.wait_for_selector(".jp-NotebookPanel .jp-RenderedMarkdown h1", timeout=PATIENCE_MS)
        page.wait_for_selector(WAKE, timeout=PATIENCE_MS)

    def press_wake(self) -> None:
        """Press the button, as a learner does, without waiting for anything."""
        self.page.evaluate("document.querySelectorAll('.gk-panel').forEach(panel => { panel.dataset.old = '1' })")
        self.page.locator(WAKE).click()

    def wake(self) -> LessonPage:
        """Press the button and wait until every panel of the page is alive."""
        self.press_wake()
        self.wait_awake()
        return self

    def wait_awake(self) -> None:
        """Wait until every panel of the page is alive; say what the page shows if that never comes."""
        try:
            self.page.wait_for_function(AWAKE, arg=self.panels_wanted, timeout=PATIENCE_MS)
        except TimeoutError as error:
            there = self.page.locator(".gk-panel:not([data-old])").count()
            dialogs = self.page.locator(".jp-Dialog").all_inner_texts()
            raise AssertionError(f"{there} of {self.panels_wanted} panels; {self.troubles()}; {dialogs}") from error

    def outside(self) -> list[str]:
        """Addresses asked for that are not on this computer."""
        return [url for url in self.asked if not LOCAL.match(url)]

    def troubles(self) -> list[str]:
        """Error texts in cells, and errors in the browser."""
        return [*self.page.locator(TROUBLE).all_inner_texts(), *self.broken]

    def panel(self, title: str) -> Any:
        """The panel with this title, or with a title that begins with it."""
        return self.page.locator(".gk-panel").filter(has=self.page.locator("h3", has_text=re.compile(f"^{re.escape(title)}")))

    def guess(self, question: str, answer: str) -> None:
        """Answer a "What do you expect?"."""
        panel = self.page.locator(".gk-panel").filter(has_text=question)
        panel.get_by_label(answer).check()
        panel.get_by_role("button", name="That is my answer").click()

    def type_into(self, panel: Any, label: str, text: str) -> None:
        """Fill the box whose label begins so, and press Enter."""
        box = panel.get_by_label(re.compile(f"^{re.escape(label)}")).and_(panel.locator("input[type=text]")).first
        box.fill(text)
        box.press("Enter")

    def says(self, panel: Any, text: str) -> None:
        """Wait until the status line of a panel has this text in it."""
        panel.locator(".gk-status", has_text=text).wait_for(timeout=15_000)

    def redraws(self, drawing: Any, before: str) -> None:
        """Wait until a drawing is another one; its words may arrive first."""
        for _ in range(150):
            if drawing.inner_html() != before:
                return
            self.page.wait_for_timeout(100)
        raise AssertionError("the drawing did not change")


def kept(folder: Path, kind: str) -> list[dict[str, Any]]:
    """What a learner's book holds of one kind, read from its files as a stranger would."""
    lines = [line for path in sorted((folder / "book").glob("*.jsonl")) for line in path.read_text(encoding="utf-8").splitlines()]
    return [entry for entry in map(json.loads, lines) if entry["kind"] == kind]
