"""The sheets of lessons 9 and 10: numbers by hand, boxes where they belong, and the safety lines beside the action."""

from __future__ import annotations

import re

import pytest
from page_reader import NASTY, Reader, rows_of, told
from wording import spoken, text_of

import glazekit as gk
from glazekit.kiln.firing import CONE_STATES, FiringError
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.recipe.reading import demo_recipe
from glazekit.sheets.firing_sheet import firing_sheet_html
from glazekit.sheets.fit_sheets import fit_card_html
from glazekit.sheets.frame import words
from glazekit.sheets.kiln_papers import shelf_plan_html

BLOCKED = "sheets.shelf_plan.blocked"
HAS_ZINC = f"({text_of('sheets.shelf_plan.has_zinc')})"

PLAN = schedule_from_text("100/h to 600; 150/h to 1120; 60/h to 1222; hold 10 min; 100/h to 900")


# --- fit test card -----------------------------------------------------------------------------------------------------


def test_two_tiles_are_looked_at_three_times() -> None:
    rows = rows_of(fit_card_html(), "grid looks")
    assert rows[0] == words("fit_card.look_columns") and len(rows[0]) == 2 + 2
    assert rows[1] == [*words("fit_card.seen"), "mm apart"] * 2
    assert [row[0] for row in rows[2:]] == ["day 1", "week 1", "month 1"]
    assert all(len(row) == 2 + 8 for row in rows[2:])
    table = re.search(r'<table class="grid looks".*?</table>', fit_card_html(), re.DOTALL)[0]
    assert table.count('class="box"') == 3 * 2 * 3


def test_every_box_of_the_fit_card_says_what_it_is_for() -> None:
    boxes = [box for box in Reader(fit_card_html()).all("span") if box.get("role") == "img"]
    labels = [box["aria-label"] for box in boxes]
    assert len(labels) == len(set(labels)) == 3 * 2 * 3 + 2 * 5


def test_the_fit_card_warns_where_the_action_is() -> None:
    text = Reader(fit_card_html()).text
    food, flakes = words("fit_card.cautions")
    (scalds,) = words("fit_card.boil_cautions")
    assert {"never", "food"} <= set(food.split()) and "glass," in flakes.split() and "scalds," in scalds.split()
    keys = ("cool_title", "cool", "boil_title", "boil")
    cool_title, cool, boil_title, boil = (text.index(text_of(f"sheets.fit_card.{key}")) for key in keys)
    assert text.index(food) < text.index(flakes) < cool_title < cool < boil_title
    assert boil_title < text.index(scalds) < boil, "before, not after"
    assert spoken("sheets.fit_card.cool", text) is not None and "100 °C" in text_of("sheets.fit_card.cool")
    assert "no promise" in text and "food safe" not in text.casefold()


def test_the_fit_card_names_both_glazes() -> None:
    text = Reader(fit_card_html(demo_recipe("Cracked Lamp"), reference=demo_recipe("Gangway Clear"), body="stoneware")).text
    assert text_of("sheets.fit_card.title_named").format(recipe="Cracked Lamp") in text
    assert f"{text_of('sheets.fit_card.reference')} Gangway Clear" in text


# --- firing sheet ------------------------------------------------------------------------------------------------------


def test_the_plan_of_exercise_10_1_is_printed_with_its_hours() -> None:
    """By hand: 580/100 = 5 h 48; + 520/150 = 9 h 16; + 102/60 = 10 h 58; + 10 min = 11 h 08; + 322/100 = 14 h 21."""
    html = firing_sheet_html(PLAN, kiln="kitty")
    assert [[cell.replace(" h ", ":") for cell in row] for row in rows_of(html, "grid plan")[1:]] == [
        ["1", "100", "600", "", "5:48", ""],
        ["2", "150", "1120", "", "9:16", ""],
        ["3", "60", "1222", "", "10:58", ""],
        ["4", "", "1222", "10", "11:08", ""],
        ["5", "-100", "900", "", "14:21", ""],
    ]
    total = told(html, "sheets.firing_sheet.plan_total")
    assert total["hours"].split() == ["14", "h", "21"] and (total["peak"], total["start"]) == ("1222", "20")


def test_planned_temperatures_stand_on_the_hours() -> None:
    """By hand: 20 + 100 an hour to 600; 600 + 0.2 h x 150 at 6 h; 1120 + (10 - 9.2667) h x 60 = 1164 at 10 h."""
    rows = {row[1].replace(" h ", ":"): row[2] for row in rows_of(firing_sheet_html(PLAN), "grid readings")[1:] if row[1]}
    assert (rows["0:00"], rows["5:00"], rows["6:00"], rows["10:00"]) == ("20", "520", "630", "1164")
    assert list(rows)[-1] == "14:21" and rows["14:21"] == "900"


def test_a_long_plan_still_fits_the_lines() -> None:
    rows = rows_of(firing_sheet_html(schedule_from_text("20/h to 1222")), "grid readings")[1:]
    assert len(rows) == 20 and rows[-1][1].startswith("19 h"), "60 hours have no place; the first 19 have"


def test_a_blank_firing_sheet_has_no_numbers() -> None:
    html = firing_sheet_html()
    cells = [cell for table in ("grid plan", "grid readings") for row in rows_of(html, table)[1:] for cell in row[1:]]
    assert len(cells) > 20 and not any(cells)


def test_each_shelf_has_three_cones_and_a_box_for_every_look() -> None:
    html = firing_sheet_html()
    rows = rows_of(html, "grid cones many")
    assert [row[0] for row in rows[1::3]] == ["top", "middle", "bottom"] and len(rows) == 1 + 9
    assert len(rows[0]) == 2 + len(CONE_STATES), "as many looks as the program knows"


def test_the_firing_sheet_defers_to_the_kiln_team() -> None:
    text = Reader(firing_sheet_html()).text
    team_and_gas, fire = ("Only the trained kiln team", "never left alone", "carbon monoxide"), ("dark glass", "below 100 °C")
    assert all(phrase in text for phrase in (*team_and_gas, *fire))
    assert text.index(text_of("sheets.firing_sheet.stops.0")) < text.index(text_of("sheets.firing_sheet.plan_title"))


# --- shelf plan --------------------------------------------------------------------------------------------------------


def test_zinc_is_marked_and_stopped_by_name() -> None:
    recipes = [demo_recipe(name) for name in ("Gangway Clear", "Timetable Satin", "Overboard")]
    html = shelf_plan_html(recipes, atmosphere="reduction")
    assert text_of(BLOCKED).format(recipes="Timetable Satin, Overboard") in Reader(html).text
    glazes = [row[1] for row in rows_of(html, "grid many places")[1:4]]
    assert glazes == ["Gangway Clear", f"Timetable Satin {HAS_ZINC}", f"Overboard {HAS_ZINC}"]


@pytest.mark.parametrize("stopped", ["litharge", "fluorspar"])
def test_what_is_stopped_for_another_reason_is_not_marked_as_zinc(stopped: str) -> None:
    html = shelf_plan_html([gk.Recipe("Old", {stopped: 60, "quartz": 40}), demo_recipe("Overboard")], atmosphere="reduction")
    assert text_of(BLOCKED).format(recipes="Old, Overboard") in Reader(html).text
    assert [row[1] for row in rows_of(html, "grid many places")[1:3]] == ["Old", f"Overboard {HAS_ZINC}"]


def test_an_electric_oxidation_firing_stops_nobody_and_still_marks_zinc() -> None:
    html = shelf_plan_html([demo_recipe("Timetable Satin")], atmosphere="oxidation", fuel="electric")
    text = Reader(html).text
    assert spoken(BLOCKED, text) is None and f"Timetable Satin {HAS_ZINC}" in text
    for atmosphere in ("oxidation", ""):  # a flame takes oxygen, whatever was planned, or not yet
        flame = shelf_plan_html([demo_recipe("Timetable Satin")], atmosphere=atmosphere, fuel="gas")
        assert text_of(BLOCKED).format(recipes="Timetable Satin") in Reader(flame).text


def test_new_glazes_get_a_slab_and_twins_two_firings() -> None:
    text = Reader(shelf_plan_html()).text
    assert "waste slab" in text and "two firings" in text and "New: slab" in text
    labels = [box["aria-label"] for box in Reader(shelf_plan_html()).all("span") if box.get("role") == "img"]
    assert len(labels) == len(set(labels)) == 7 * 3


def test_every_recipe_gets_a_line() -> None:
    recipes = [gk.Recipe(f"Glaze {number}", {"quartz": 100}) for number in range(12)]
    rows = rows_of(shelf_plan_html(recipes), "grid many places")[1:]
    assert [row[1] for row in rows] == [one.name for one in recipes]


def test_an_atmosphere_that_is_none() -> None:
    with pytest.raises(FiringError, match="smoky"):
        shelf_plan_html(atmosphere="smoky")


@pytest.mark.parametrize(
    "make",
    [
        lambda: fit_card_html(
            gk.Recipe(NASTY, {"quartz": 100}), reference=gk.Recipe(NASTY, {"quartz": 100}), body=NASTY, batch_no=NASTY, date=NASTY
        ),
        lambda: firing_sheet_html(PLAN, kiln=NASTY, fired_on=NASTY, team=NASTY),
        lambda: shelf_plan_html([gk.Recipe(NASTY, {"quartz": 100})], kiln=NASTY, fired_on=NASTY),
    ],
)
def test_what_was_typed_stays_text(make) -> None:  # type: ignore[no-untyped-def]
    html = make()
    assert "<script" not in html and NASTY in Reader(html).text
