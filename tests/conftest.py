"""Fixtures shared by all tests."""

from __future__ import annotations

import os
import shutil
import tempfile

import pytest

import glazekit as gk
from glazekit.folder.lessons import FOLDER_VARIABLE


def pytest_configure(config: pytest.Config) -> None:
    """Lessons run by the tests write their book and state into a folder of their own, not beside the notebooks."""
    folder = tempfile.mkdtemp(prefix="glazekit-tests-")
    os.environ[FOLDER_VARIABLE] = folder
    config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))


@pytest.fixture
def stock() -> gk.Stock:
    """The course's generic materials."""
    return gk.course_stock()


@pytest.fixture
def practice() -> gk.Recipe:
    """The four-material glaze that lessons 4 and 5 reckon by hand."""
    return gk.Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
