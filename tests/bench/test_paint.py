"""From a key press to the painted picture in the browser: the Chart map beside a bare plotly FigureWidget on the same page.

The Chart map is drawn as SVG because this was measured; the test keeps the choice honest. Presses on the two alternate, so that
both meet the same machine.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import pytest

pytestmark = pytest.mark.browser

PRESSES = 30
CALM_PAINT_MS = 60
"""The calmer quarter of the presses is painted by then: the rest of a busy machine is not the chart's doing."""
A_FRAME_MS = 17
"""A screen paints in whole frames: an answer that misses one by a millisecond is seen a frame later, and nobody sees less."""
CHROMIUM = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), "")
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update"]
CELLS = (
    'from glazekit import lab\npage = lab.open_page("06")\npage.panel("chart map", contours="CONTOURS")',
    """import ipywidgets, plotly.graph_objects as go
import glazekit as gk
figure = go.FigureWidget([go.Scatter(x=[3.54], y=[0.42], mode="markers")])
slider = ipywidgets.FloatSlider(13, min=0, max=100, step=0.5, description="bare")
def move(change):
    base = {"soda feldspar": 26, "calcium borosilicate frit": 25, "whiting": 14, "kaolin": change.new, "quartz": 22}
    formula = gk.unity_formula(gk.Recipe("bare", base))
    with figure.batch_update():
        figure.data[0].x, figure.data[0].y = [formula["SiO2"]], [formula["Al2O3"]]
slider.observe(move, names="value")
ipywidgets.VBox([slider, figure])""",
)
WATCH = """([slider, picture]) => {
  const handle = document.querySelector(slider), painting = document.querySelector(picture);
  window.paints = window.paints || {};
  const took = window.paints[picture] = [];
  let start = null;
  handle.addEventListener("keydown", () => { start = performance.now(); }, true);
  new MutationObserver(() => {
    if (start === null) return;
    const from = start; start = null;
    requestAnimationFrame(() => requestAnimationFrame(() => took.push(performance.now() - from)));
  }).observe(painting, { childList: true, subtree: true, attributes: true, characterData: true });
}"""


@pytest.fixture(params=["", "viscosity"], ids=["plain", "with contours"])
def lesson_url(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    """A running lesson server with one page that holds both pictures."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    folder, said = tmp_path / "learner", tmp_path / "said.txt"
    folder.mkdir()
    cells = [
        {"cell_type": "code", "id": f"cell-{i}", "metadata": {}, "outputs": [], "execution_count": None, "source": source}
        for i, source in enumerate(cell.replace("CONTOURS", request.param) for cell in CELLS)
    ]
    (folder / "paint.ipynb").write_text(json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}))
    command = [sys.executable, "-m", "glazekit", "start", str(folder), "--no-browser", "--port", port]
    environment = {name: value for name, value in os.environ.items() if name != "GLAZEKIT_FOLDER"} | {"HOME": str(tmp_path)}
    with said.open("wb") as file:
        process = subprocess.Popen(command, stdout=file, stderr=subprocess.STDOUT, env=environment, stdin=subprocess.DEVNULL)
    try:
        for _ in range(480):
            if found := re.search(r"(http://127\.0\.0\.1:\d+)/(?:lab|doc)/tree/\S+(token=\w+)", said.read_text(encoding="utf-8")):
                break
            assert process.poll() is None, said.read_text(encoding="utf-8")
            time.sleep(0.25)
        assert found
        yield f"{found[1]}/doc/tree/paint.ipynb?{found[2]}"
    finally:
        process.terminate()
        process.wait(timeout=30)


def test_the_chart_is_painted_as_fast_as_a_bare_figure(lesson_url: str) -> None:
    playwright = pytest.importorskip("playwright.sync_api")
    assert CHROMIUM, "no Chromium on this machine"
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": 1280, "height": 1800})
        page.goto(lesson_url)
        page.locator('[data-jp-item-name="wake"]').click(timeout=120_000)
        page.wait_for_selector(".js-plotly-plot .main-svg", timeout=120_000)
        page.wait_for_selector(".gk-over svg")
        page.wait_for_timeout(3000)
        took = _press(page)
        browser.close()
    assert [len(times) for times in took] == [PRESSES, PRESSES], "every press moves its picture"
    chart, figure = (median(times) for times in took)
    print(f"key press to paint, median of {PRESSES}: chart map {chart:.1f} ms, bare FigureWidget {figure:.1f} ms")
    assert chart <= figure + A_FRAME_MS
    calm_chart, calm_figure = (quantiles(times, n=4)[0] for times in took)
    assert calm_chart <= max(CALM_PAINT_MS, calm_figure + A_FRAME_MS)


def _press(page: Any) -> list[list[float]]:
    """Press the arrow key on both sliders in turn; milliseconds to paint for each."""
    page.evaluate("document.querySelectorAll('.widget-slider').forEach((s, i) => s.classList.add(`number-${i}`))")
    bare = page.locator(".widget-slider").count() - 1
    pairs = [(".number-3 .noUi-handle", ".gk-over"), (f".number-{bare} .noUi-handle", ".js-plotly-plot")]  # the kaolin slider
    for slider, _picture in pairs:  # the first press wakes what the page makes on first use
        page.locator(slider).focus()
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(3000)
    for pair in pairs:
        page.evaluate(WATCH, list(pair))
    for _ in range(PRESSES):
        for slider, _picture in pairs:
            page.locator(slider).focus()
            page.keyboard.press("ArrowRight")
            page.wait_for_timeout(700)  # longer than a pause, so that the ring has been drawn before the next press
    return [page.evaluate("picture => window.paints[picture]", picture) for _, picture in pairs]
