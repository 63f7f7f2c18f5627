"""Recipes within reach: the course's, and what lies in the learner's own folder."""

from __future__ import annotations

from pathlib import Path

from glazekit.lab.shelf import recipes_at_hand
from glazekit.teaching.lessons import bring_lessons


def test_a_fresh_folder_has_nothing_to_complain_of(tmp_path: Path) -> None:
    bring_lessons(tmp_path)
    recipes, problems = recipes_at_hand(tmp_path)
    assert problems == () and "Gangway Clear" in recipes


def test_a_file_that_is_no_recipe_is_named(tmp_path: Path) -> None:
    bring_lessons(tmp_path)
    (tmp_path / "my-recipes" / "list.csv").write_text("what,why\nmilk,tea\n", encoding="utf-8")
    _, problems = recipes_at_hand(tmp_path)
    assert len(problems) == 1 and "list.csv" in problems[0]
