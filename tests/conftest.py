"""Fixtures shared by all tests."""

from __future__ import annotations

import pytest

import glazekit as gk


@pytest.fixture
def stock() -> gk.Stock:
    """The course's generic materials."""
    return gk.course_stock()


@pytest.fixture
def practice() -> gk.Recipe:
    """The four-material glaze that lessons 4 and 5 reckon by hand."""
    return gk.Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
