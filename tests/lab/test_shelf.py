"""The shelf: a learner's own recipes and bags, and the fresh folder that a first start makes."""

from __future__ import annotations

from pathlib import Path

from glazekit.folder.lessons import bring_lessons
from glazekit.folder.shelf import bags_at_hand, recipes_at_hand, save_bag, save_bag_form
from glazekit.materials.material import Material
from glazekit.recipe.reading import demo_recipes

CLAY = Material(
    "kaolin", "bag", {"SiO2": 48.5, "Al2O3": 36.0, "K2O": 2.0}, loi_wt_pct_raw=12.5, lot="7", analysed_on="2025-11-02"
)

LOT_7 = "kaolin, lot 7"


def test_a_fresh_folder_is_no_trouble(tmp_path: Path) -> None:
    """The empty form for bags is neither a recipe nor a bag."""
    bring_lessons(tmp_path)
    recipes, problems = recipes_at_hand(tmp_path)
    assert problems == () and len(recipes) == len(demo_recipes())
    assert bags_at_hand(tmp_path) == ((), ())


def test_a_bag_is_kept_and_never_written_over(tmp_path: Path) -> None:
    first = save_bag(tmp_path, CLAY)
    before = first.read_bytes()
    second = save_bag(tmp_path, CLAY)
    assert first.parent.name == "my-bags" and first != second and first.read_bytes() == before
    bags, problems = bags_at_hand(tmp_path)
    assert [(bag.label, bag.analysed_on, dict(bag.oxides), bag.loi_wt_pct_raw) for bag in bags] == [
        (LOT_7, "2025-11-02", {"K2O": 2.0, "Al2O3": 36.0, "SiO2": 48.5}, 12.5)
    ] * 2
    assert problems == ()


def test_the_form_is_written_beside_a_form(tmp_path: Path) -> None:
    first, second = save_bag_form(tmp_path), save_bag_form(tmp_path)
    assert first != second and first.read_text().startswith("material,lot,date,SiO2")


def test_a_broken_bag_file_is_named_and_the_others_are_read(tmp_path: Path) -> None:
    save_bag(tmp_path, CLAY)
    (tmp_path / "my-bags" / "broken.csv").write_text("material,SiO2\nclay,480\n", encoding="utf-8")
    bags, problems = bags_at_hand(tmp_path)
    assert len(bags) == 1 and len(problems) == 1 and problems[0].startswith("broken.csv,")
