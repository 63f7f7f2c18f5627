"""New bag: boxes, pasted lines and files; what moves; the correction; nothing on record is lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from saying import says

import glazekit as gk
from glazekit.lab.page import Page
from glazekit.lab.panels.new_bag import NewBagPanel
from glazekit.lab.parts.bag_boxes import bags_pasted
from glazekit.materials.material import Material
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe, demo_recipes, read_recipes

Reopen = Callable[[str], Page]
SANDY = {"SiO2": "48.5", "Al2O3": "36", "K2O": "2", "LOI": "12.5"}
LINE = "kaolin,7,2025-11-02,48.5,36,,,,,,,2,,,,12.5"

LOT_7, LOT_8, RATIO = "kaolin, lot 7", "kaolin, lot 8", "8.3 → 8.7"


@pytest.fixture
def panel(reopen: Reopen) -> NewBagPanel:
    return reopen("08").panel("new bag")  # type: ignore[return-value]


def type_in(panel: NewBagPanel, shares: dict[str, str], lot: str = "7") -> None:
    panel.boxes.lot.value = lot
    for oxide, text in shares.items():
        panel.boxes.boxes[oxide].value = text


def test_a_blank_form_says_what_to_do(panel: NewBagPanel) -> None:
    assert says(panel, "blank") and panel.both.value == ""
    assert "gk-stale" not in panel.box._dom_classes


def test_the_two_analyses_stand_side_by_side(panel: NewBagPanel) -> None:
    type_in(panel, SANDY)
    assert says(panel, "read", bag=LOT_7, total="99.00 %")
    assert all(text in panel.both.value for text in ("39.50 %", "36.00 %", "−3.50", "13.96 %", "12.50 %"))


def test_what_moves_and_the_correction(panel: NewBagPanel) -> None:
    """The corrected recipe, with the new bag, has the formula that the old one had with the old bag, as near as it can."""
    type_in(panel, SANDY)
    panel.look()
    assert "Gangway Clear" in panel.summary.value and RATIO in panel.summary.value
    holding = [recipe for recipe in demo_recipes() if any(line.material == "kaolin" for line in recipe.base)]
    assert says(panel, "test_first") and f"formula moves: {len(holding)}." in panel.said
    panel.save()
    (path,) = (panel.desk.folder / "my-recipes").iterdir()
    (saved,) = read_recipes(path)
    assert saved.name == f"Gangway Clear for {LOT_7}"
    bag = Material("kaolin", "bag", {"SiO2": 48.5, "Al2O3": 36, "K2O": 2}, loi_wt_pct_raw=12.5)
    old = gk.unity_formula(demo_recipe("Gangway Clear"))
    wrong = gk.unity_formula(demo_recipe("Gangway Clear"), stock=course_stock().with_materials([bag]))
    new = gk.unity_formula(saved, stock=course_stock().with_materials([bag]))
    assert new["Al2O3"] == pytest.approx(old["Al2O3"], abs=0.002) and abs(wrong["Al2O3"] - old["Al2O3"]) > 0.015
    assert new["SiO2"] == pytest.approx(old["SiO2"], abs=0.005)


def test_another_recipe_can_be_looked_at(panel: NewBagPanel) -> None:
    type_in(panel, SANDY)
    panel.look()
    before = panel.detail.value
    panel.recipe.value = "Bollard Matte"
    assert panel.detail.value != before and "dolomite" in panel.detail.value


def test_what_was_found_goes_when_the_bag_changes(panel: NewBagPanel) -> None:
    type_in(panel, SANDY)
    panel.look()
    panel.boxes.boxes["Al2O3"].value = "37"
    assert panel.summary.value == "" and "gk-hide" in panel.correction._dom_classes and "Go through" in panel.said
    panel.do(panel.save)
    assert not (panel.desk.folder / "my-recipes").exists()


def test_recipes_without_it_are_named(panel: NewBagPanel) -> None:
    panel.boxes.powder.value = "talc"
    type_in(panel, {"SiO2": "61", "MgO": "31", "LOI": "6"})
    panel.look()
    assert says(panel, "untouched", panel.summary) and "certificate" in panel.caution.value


def test_a_date_that_could_not_be_read_again_is_asked_before_the_bag_is_saved(panel: NewBagPanel) -> None:
    type_in(panel, SANDY)
    panel.boxes.date.value = "3.11.25"
    assert "3.11.25" in panel.said
    panel.do(panel.look)
    assert "3.11.25" in panel.said
    panel.boxes.date.value = "2025-11-03"
    panel.look()
    assert panel.boxes.bag().analysed_on == "2025-11-03"


def test_a_line_is_pasted(panel: NewBagPanel) -> None:
    panel.pasted.value = LINE
    panel.lay_pasted()
    assert panel.boxes.boxes["Al2O3"].value == "36" and panel.boxes.date.value == "2025-11-02" and "lot 7" in panel.said


@pytest.mark.parametrize(
    "text",
    [
        LINE,
        LINE.replace(",", ";").replace(".", ","),
        LINE.replace(",", "\t"),
        "material;lot;date;SiO2;Al2O3;K2O;LOI\nkaolin;7;2025-11-02;48,5;36,0;2,0;12,5",
    ],
)
def test_pasted_lines_are_read_whatever_parts_them(text: str) -> None:
    (bag,) = bags_pasted(text)
    assert (bag.lot, dict(bag.oxides), bag.loi_wt_pct_raw) == ("7", {"K2O": 2.0, "Al2O3": 36.0, "SiO2": 48.5}, 12.5)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"{LINE}\n{LINE.replace(',7,', ',8,')}", "2 bags"),
        ("kaolin,7,2025-11-02,48.5,36", "5 cells"),
        ("kaolin,7,2025-11-02,48.5,36,,,,,,,2,,,,1.25", "allowed is 97 to 103"),
        ("", "is empty"),
    ],
)
def test_odd_lines_are_one_sentence_and_fill_nothing(panel: NewBagPanel, text: str, said: str) -> None:
    panel.pasted.value = text
    panel.do(panel.lay_pasted)
    assert said in panel.said and panel.boxes.blank


def test_oxides_without_a_box_are_not_lost(panel: NewBagPanel) -> None:
    panel.pasted.value = "material,SiO2,Al2O3,SrO,LOI\nkaolin,46,38,1.5,13.5"
    panel.lay_pasted()
    assert panel.boxes.others.value == "SrO 1.5" and panel.boxes.bag().oxide_wt_pct["SrO"] == 1.5
    assert "strontia" in panel.both.value


@pytest.mark.parametrize(
    ("others", "said"),
    [
        ("SrO", "write an oxide"),
        ("SrO 1; SrO 2", "write an oxide"),
        ("SiO2 3", "SiO2 stands in its own box"),
        ("Xx2O 1", "Xx2O"),
    ],
)
def test_odd_other_oxides_are_one_sentence(panel: NewBagPanel, others: str, said: str) -> None:
    type_in(panel, SANDY)
    panel.boxes.others.value = others
    assert said in panel.said and "gk-stale" in panel.box._dom_classes


def test_decimal_commas_and_a_slip_of_the_decimal_sign(panel: NewBagPanel) -> None:
    type_in(panel, {oxide: text.replace(".", ",") for oxide, text in SANDY.items()})
    assert says(panel, "read", total="99.00 %")
    panel.boxes.boxes["Al2O3"].value = "3,6"
    assert "97 to" in panel.said and "✕" in panel.status.value


def test_a_kept_bag_stays_on_record_and_can_be_compared(reopen: Reopen, panel: NewBagPanel) -> None:
    type_in(panel, SANDY)
    panel.keep_bag()
    (path,) = (panel.desk.folder / "my-bags").iterdir()
    before = path.read_bytes()
    type_in(panel, {"Al2O3": "37", "LOI": "11.5"}, lot="8")
    panel.keep_bag()
    assert path.read_bytes() == before and [label for label, _ in panel.kept.options] == [LOT_7, LOT_8]
    panel.old.value = "kaolin, lot 7"
    assert "+1.00" in panel.both.value and LOT_7 in panel.both.value
    panel.look()
    assert panel.result is not None and panel.result.old.lot == "7"
    again: NewBagPanel = reopen("08").panel("new bag")  # type: ignore[assignment]
    assert again.old.value == LOT_7 and again.boxes.lot.value == "8"
    again.kept.value = "kaolin, lot 7"
    again.lay_kept()
    assert again.boxes.boxes["Al2O3"].value == "36"


def test_the_form_is_written_and_never_over_another(panel: NewBagPanel) -> None:
    panel.write_form()
    assert "my-bags/bag-analyses.csv" in panel.said
    form: Path = panel.desk.folder / "my-bags" / "bag-analyses.csv"
    form.write_text(form.read_text() + LINE + "\n", encoding="utf-8")
    mine = form.read_bytes()
    panel.write_form()
    assert "bag-analyses 2.csv" in panel.said and form.read_bytes() == mine
    panel.refresh()
    panel.kept.value = "kaolin, lot 7"
    panel.lay_kept()
    assert panel.boxes.boxes["SiO2"].value == "48.5"


def test_a_broken_file_is_named(panel: NewBagPanel) -> None:
    (panel.desk.folder / "my-bags").mkdir()
    (panel.desk.folder / "my-bags" / "broken.csv").write_text("material,SiO2\nclay,480\n", encoding="utf-8")
    panel.refresh()
    assert "broken.csv," in panel.caution.value and "480" in panel.caution.value


def test_a_powder_nobody_here_knows(panel: NewBagPanel) -> None:
    panel.boxes.powder.value = "kaolim"
    type_in(panel, SANDY)
    assert says(panel, "strange") and says(panel, "nearest", hint="kaolin")
    panel.do(panel.look)
    assert panel.summary.value == "" and says(panel, "strange")


def test_no_bag_to_lay(panel: NewBagPanel) -> None:
    panel.do(panel.lay_kept)
    assert says(panel, "none_kept")
