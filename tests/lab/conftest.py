"""A learner's folder for the panels, and a way to open it again as the next session would."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from glazekit.lab import open_page
from glazekit.lab.page import Page


@pytest.fixture
def reopen(tmp_path: Path) -> Callable[[str], Page]:
    """Open a lesson page on the same folder, each time with nothing left in memory."""
    return lambda lesson: open_page(lesson, tmp_path)


@pytest.fixture
def page(reopen: Callable[[str], Page]) -> Page:
    """Lesson 1 in a fresh folder."""
    return reopen("01")
