"""Reads the case files beside this module: published or recorded values, one CSV per subject."""

from __future__ import annotations

import csv
from pathlib import Path

CASES = Path(__file__).parent / "cases"


def rows_of(name: str) -> list[dict[str, str]]:
    """All rows of cases/<name>.csv as text, empty cells as ""."""
    with (CASES / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))
