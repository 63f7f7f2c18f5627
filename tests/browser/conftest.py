"""A running ``glazekit start`` and a browser, shared by the browser tests."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from chromium import CHROMIUM, FLAGS

SECONDS_TO_START = 120


@dataclass
class Workshop:
    """A running JupyterLab with the lessons in a learner's folder."""

    url: str
    folder: Path
    process: subprocess.Popen[bytes]
    said: Path

    @property
    def base(self) -> str:
        return self.url.split("/doc/")[0]

    @property
    def token(self) -> str:
        return self.url.split("token=")[1]

    def page_url(self, notebook: str) -> str:
        """Address of one lesson."""
        return f"{self.base}/doc/tree/{notebook}?token={self.token}"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def running_start(place: Path, *words: str, port: int | None = None) -> Iterator[Workshop]:
    """Run ``glazekit start`` in a home of its own until the block ends."""
    home, folder, said = place / "home", place / "my glazes ö", place / "said.txt"
    home.mkdir(exist_ok=True)  # a second start there is another day of the same learner
    command = [sys.executable, "-m", "glazekit", "start", str(folder), "--no-browser", "--port", str(port or free_port()), *words]
    environment = {**os.environ, "HOME": str(home), "USERPROFILE": str(home)}
    environment.pop("GLAZEKIT_FOLDER", None)
    with said.open("wb") as file:
        process = subprocess.Popen(command, stdout=file, stderr=subprocess.STDOUT, env=environment, stdin=subprocess.DEVNULL)
    try:
        yield Workshop(_address(process, said), folder, process, said)
    finally:
        process.terminate()
        try:
            process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _address(process: subprocess.Popen[bytes], said: Path) -> str:
    for _ in range(SECONDS_TO_START * 4):
        found = re.search(r"http://127\.0\.0\.1:\d+/doc/tree/\S+token=\w+", said.read_text(encoding="utf-8"))
        if found:
            return found[0]
        assert process.poll() is None, said.read_text(encoding="utf-8")
        time.sleep(0.25)
    raise AssertionError(f"no address after {SECONDS_TO_START} s: {said.read_text(encoding='utf-8')}")


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """One ``glazekit start`` for the tests of one file: another file's learner has written other things into the book."""
    with running_start(tmp_path_factory.mktemp("workshop")) as running:
        yield running


@pytest.fixture(scope="session")
def driver() -> Iterator[Any]:
    """Playwright; only one can run at a time."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def chromium(driver: Any) -> Iterator[Any]:
    """The system's Chromium, driven by Playwright."""
    browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def page(chromium: Any) -> Iterator[Any]:
    """A fresh browser page; ``page.requests`` lists every address it asked for."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.requests = []
    page.on("request", lambda request: page.requests.append(request.url))
    yield page
    context.close()
