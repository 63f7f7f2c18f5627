"""Panels are found: a file in lab/panels/ is all it takes, and one with a wrong name is caught."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import glazekit.lab.panels
from glazekit.ground.errors import GlazekitError
from glazekit.lab.page import Page, file_of, panel_files, panel_named, panel_names, panels_in


@pytest.mark.parametrize(
    ("misspelt", "nearest"), [("batch bensh", "batch bench"), ("two strip sketch", "two-strip sketch"), ("zzzz", None)]
)
def test_a_misspelt_panel_gets_the_nearest(misspelt: str, nearest: str | None, page: Page) -> None:
    with pytest.raises(GlazekitError) as caught:
        page.panel(misspelt)
    assert (caught.value.given, caught.value.hint) == (misspelt, nearest)


def misnamed() -> list[str]:
    """Files of lab/panels/ that do not make exactly one panel, named as its file, and names that stand twice."""
    made = {stem: [panel.name for panel in panels_in(stem)] for stem in panel_files()}
    wrong = [stem for stem, names in made.items() if [file_of(name) for name in names] != [stem]]
    every = [name for names in made.values() for name in names]
    return [*wrong, *(name for name in dict.fromkeys(every) if every.count(name) > 1)]


def test_every_file_makes_the_panel_of_its_name() -> None:
    assert len(panel_files()) >= 27 and not misnamed()


LINES = "from glazekit.lab.panel import Panel\nclass Extra(Panel):\n    name = 'extra {}'\n"


class TestANewPanelFile:
    @pytest.fixture
    def put(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str, str], None]]:
        """Add a file to the panels, for one test."""
        known = set(sys.modules)
        monkeypatch.setattr(glazekit.lab.panels, "__path__", [*glazekit.lab.panels.__path__, str(tmp_path)])
        yield lambda file, text: (tmp_path / file).write_text(text)
        for name in set(sys.modules) - known:
            del sys.modules[name]

    def test_is_found(self, put: Callable[[str, str], None]) -> None:
        put("extra_tray.py", LINES.format("tray"))
        assert "extra tray" in panel_names() and panel_named("extra tray").name == "extra tray" and not misnamed()

    def test_with_another_name_is_caught(self, put: Callable[[str, str], None]) -> None:
        put("extra_tray.py", LINES.format("dray"))
        assert misnamed() == ["extra_tray"]

    def test_with_a_name_that_stands_twice_is_caught(self, put: Callable[[str, str], None]) -> None:
        put("unity_bench_2.py", LINES.replace("extra {}", "unity bench"))
        assert misnamed() == ["unity_bench_2", "unity bench"]

    def test_with_no_panel_or_two_is_caught(self, put: Callable[[str, str], None]) -> None:
        put("extra_helper.py", "")
        put("extra_tray.py", LINES.format("tray") + LINES.format("tray").replace("Extra", "Second"))
        assert misnamed() == ["extra_helper", "extra_tray", "extra tray"]
