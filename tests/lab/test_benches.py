"""Batch bench and recipe bench, driven by their values."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape
from pathlib import Path

import pytest
from saying import says
from wording import spoken

import glazekit as gk
from glazekit.folder.glaze import glaze_from_book
from glazekit.lab.page import Page
from glazekit.lab.panels.batch_bench import BatchBench
from glazekit.lab.panels.recipe_bench import RecipeBench
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.reading import demo_recipe, read_recipe

Reopen = Callable[[str], Page]
IN_BAND = ("26", "25,1", "14.0 g", "13", "22")

FRIT = "calcium borosilicate frit"
GOOD, NOT_YET = "✓ in band.", "○ not yet."
UNDER_BY_1_G, OVER_BY_1_G = "▽ under by 1.00 g.", "▲ over by 1.00 g."


@pytest.fixture
def bench(page: Page) -> BatchBench:
    return page.panel("batch bench")  # type: ignore[return-value]


@pytest.fixture
def card(page: Page) -> RecipeBench:
    return page.panel("recipe bench")  # type: ignore[return-value]


def weigh(bench: BatchBench, *readings: str) -> None:
    for row, text in zip(bench.rows.rows, readings, strict=False):
        row.reading.value = text


def verdicts(bench: BatchBench) -> list[str]:
    return [row.verdict.value.split("</b>")[0].removeprefix("<b>") for row in bench.rows.rows]


class TestBatchBench:
    def test_each_reading_gets_a_sign_and_a_word(self, bench: BatchBench) -> None:
        weigh(bench, "26,0", "24.0", "", "14")
        assert verdicts(bench) == [GOOD, UNDER_BY_1_G, NOT_YET, OVER_BY_1_G, NOT_YET]

    def test_the_order_is_free(self, bench: BatchBench) -> None:
        bench.rows.rows[4].reading.value = "22"
        assert "soda feldspar" in bench.said and "quartz" not in bench.said and "78.0 g" in bench.said

    def test_a_tick_counts_as_in_the_cup(self, bench: BatchBench) -> None:
        for row in bench.rows.rows:
            row.ticked.value = True
        assert says(bench, "all_in")

    def test_the_cup_on_the_scale(self, bench: BatchBench) -> None:
        """Exercise 1.2: cup 38.2 g, display 64.2 g, so 26.0 g are in it."""
        bench.zero.value = "38.2"
        bench.rows.rows[0].reading.value = "64.2"
        assert verdicts(bench)[0] == GOOD and says(bench, "less_zero", bench.rows.rows[0].verdict, net="26.0 g")
        bench.tare()
        assert verdicts(bench)[0] == GOOD, "tare counts for what is typed afterwards"
        bench.rows.rows[1].reading.value = "25"
        assert verdicts(bench)[1] == GOOD

    def test_a_bad_reading_is_told_in_its_row_and_the_others_go_on(self, bench: BatchBench) -> None:
        weigh(bench, "26", "a spoon")
        assert verdicts(bench)[0] == GOOD and "'a spoon'" in bench.said and "✕" in bench.status.value
        assert "gk-stale" not in bench.box._dom_classes

    def test_too_much_on_top_is_spooned_out_and_buried_grows_the_batch(self, bench: BatchBench) -> None:
        weigh(bench, "26", "25", "14", "14")
        assert "1 g" in bench.said and "kaolin" in bench.said and bench.base.value == "100"
        bench.where.value = "buried"
        assert "107.7 g" in bench.said and "23.7 g" in bench.hint.value
        bench.follow_rescue()
        assert bench.base.value == "107.7" and verdicts(bench)[3] == GOOD

    def test_a_batch_goes_into_the_book_with_everything_needed_to_reckon_it_again(self, bench: BatchBench) -> None:
        weigh(bench, *IN_BAND)
        bench.water.value, bench.label.value = "90 ml", "W-7"
        bench.write()
        (entry,) = bench.desk.book.entries("batch")
        recipe, stock = glaze_from_book(entry.data)
        assert recipe == demo_recipe("Gangway Clear") and stock.find("kaolin").name == "kaolin"
        assert entry.data["weighed_g"][FRIT] == 25.1
        assert (entry.data["total_dry_g"], entry.data["water_ml"], entry.data["label"]) == (100.1, 90, "W-7")
        assert "ticked_without_reading" not in entry.data

    def test_what_was_written_stays_said_and_a_second_press_asks(self, page: Page, bench: BatchBench) -> None:
        page.settings(), page.progress()
        weigh(bench, *IN_BAND)
        bench.press(bench.write)
        assert says(bench, "written_dry")
        page.settings().division.value = "0.5"
        assert says(bench, "written_dry"), "what others do does not wipe it"
        page.settings().division.value = "0.1"
        bench.press(bench.write)
        assert spoken("parts.frame.already_written", bench.said) is not None and len(page.book.entries("batch")) == 1
        bench.press(bench.write)
        assert says(bench, "written_dry") and len(page.book.entries("batch")) == 2, "who means it may"
        bench.label.value = "W-8"
        assert says(bench, "all_in")
        bench.press(bench.write)
        assert says(bench, "written_dry") and len(page.book.entries("batch")) == 3

    def test_a_ticked_line_is_in_the_cup_for_the_rescue_too(self, bench: BatchBench) -> None:
        weigh(bench, "26", "25", "14", "14")
        bench.rows.rows[4].ticked.value = True
        bench.where.value = "buried"
        assert "23.7 g" in bench.hint.value and "1.7 g" in bench.hint.value and "22.0 g" not in bench.hint.value
        bench.follow_rescue()
        assert (bench.base.value, bench.rows.rows[4].reading.value) == ("107.7", "22")
        assert verdicts(bench)[4].startswith(UNDER_BY_1_G[0]) and "quartz" in bench.said
        bench.fresh()
        assert bench.where.value == "top"

    def test_a_forgotten_tare_is_asked_before_anything_is_spooned_out(self, bench: BatchBench) -> None:
        weigh(bench, "26", "51")
        asked = spoken("lesson_01.panel.batch_bench.untared", bench.said)
        assert asked is not None and asked["material"] == FRIT and asked["net"] == "25.0 g"
        weigh(bench, "26", "51", "65.1")
        assert verdicts(bench)[2].startswith(OVER_BY_1_G[0])
        weigh(bench, "26", "29", "")
        assert spoken("lesson_01.panel.batch_bench.untared", bench.said) is None, "a slip of the hand is no forgotten tare"

    def test_an_unfinished_batch_is_not_written(self, bench: BatchBench) -> None:
        weigh(bench, "26")
        bench.do(bench.write)
        assert says(bench, "not_all") and FRIT in bench.said and not bench.desk.book.entries()

    def test_readings_survive_and_each_recipe_keeps_its_own(self, reopen: Reopen) -> None:
        first: BatchBench = reopen("01").panel("batch bench")  # type: ignore[assignment]
        weigh(first, "26")
        first.recipe.value = "Timetable Satin"
        first.rows.rows[0].reading.value = "28.4"
        again: BatchBench = reopen("01").panel("batch bench")  # type: ignore[assignment]
        assert again.recipe.value == "Timetable Satin" and again.rows.rows[0].reading.value == "28.4"
        again.recipe.value = "Gangway Clear"
        assert [row.reading.value for row in again.rows.rows] == ["26", "", "", "", ""]

    def test_clearing_the_bench(self, bench: BatchBench) -> None:
        weigh(bench, *IN_BAND)
        bench.fresh()
        assert [row.reading.value for row in bench.rows.rows] == [""] * 5 and "100.0 g" in bench.said

    def test_the_scale_of_the_settings_rounds_the_sheet(self, page: Page, bench: BatchBench) -> None:
        page.settings().division.value = "1"
        assert bench.sheet().scale_division_g == 1 and bench.rows.rows[0].ticked.description.startswith("26 g")

    @pytest.mark.parametrize("step", ["0.1", "1"])
    def test_the_bands_are_those_of_the_printed_sheet(self, page: Page, bench: BatchBench, step: str) -> None:
        page.settings().division.value = step
        bench.recipe.value = "Timetable Satin"
        bench.print_sheet()
        printed = re.findall(r'class="num">((?:just )?[\d.]+(?: to [\d.]+)?)</td>', bench.tray.link.html)
        on_bench = [re.search(r"Fine: (.*?) g\.", row.verdict.value)[1] for row in bench.rows.rows]  # type: ignore[index]
        assert len(printed) == 9 and on_bench == printed

    def test_cautions_stand_where_the_weighing_is(self, bench: BatchBench) -> None:
        assert "espirator" in bench.caution.value

    def test_printing_never_overwrites(self, bench: BatchBench, tmp_path: Path) -> None:
        bench.print_sheet()
        bench.print_sheet()
        names = sorted(path.name for path in (tmp_path / "prints").iterdir())
        first = "Gangway Clear batch sheet"
        assert names == [f"{first} 2.html", f"{first}.html"]
        assert bench.tray.link.html.startswith("<!doctype html>") and names[0] in bench.tray.link.label

    def test_words_of_the_screen_never_call_a_glaze_food_safe(self, bench: BatchBench) -> None:
        bench.print_sheet()
        assert "food safe" not in (bench.caution.value + bench.tray.link.html).lower().replace("-", " ")


class TestRecipeBench:
    def shown(self, card: RecipeBench) -> list[tuple[str, str]]:
        return [(row.share.value, row.grams.value.removeprefix("<b>").removesuffix("</b>")) for row in card.rows.rows]

    def test_the_found_page_of_lesson_2(self, card: RecipeBench) -> None:
        """Course exercise 2.1 to 2.3: 28.44 % feldspar, 4.74 % tin, 118.5 g of tin for 2.5 kg."""
        card.batch.value = "2,5 kg"
        shown = self.shown(card)
        assert shown[0][0] == "28.44 %" and shown[7] == ("4.74 %", "118.5 g")
        assert "totals 105.5" in card.sums.value

    def test_percent_of_base_is_left_alone(self, card: RecipeBench) -> None:
        card.batch.value = "2500"
        card.additions_are.value = "percent_of_base"
        assert self.shown(card)[7] == ("5.00 %", "125.0 g")

    def test_the_largest_batch_of_lesson_2(self, card: RecipeBench) -> None:
        """Course exercise 2.4: 312 g of feldspar make 1097 g of base."""
        card.shelf.value = "soda feldspar 312 g"
        assert "1097.2 g;" in card.limit.value and "soda feldspar" in card.limit.value

    def test_a_slip_in_the_shelf_box_leaves_the_bench_awake(self, card: RecipeBench) -> None:
        card.shelf.value = "gold 3 g"
        assert "'gold'" in card.limit.value and "gk-stale" not in card.box._dom_classes

    def test_a_misspelt_name_is_offered_its_nearest_and_the_sums_go_on(self, card: RecipeBench) -> None:
        card.rows.rows[4].material.value = "kaolim"
        assert "'kaolin'" in card.said and self.shown(card)[4][0] == "19.91 %"
        card.do(card.write)
        assert "first decide" in card.said and not card.desk.book.entries()
        card.rename("kaolim", "kaolin")
        assert card.rows.rows[4].material.value == "kaolin" and says(card, "ready")

    def test_a_poison_is_offered_no_other_powder_and_stops_before_it_is_declared(self, card: RecipeBench) -> None:
        """Of the two buttons under a name nobody knows, the nearest name and "weigh it as unknown", the first is not there."""
        card.rows.rows[4].material.value = "kaolim"
        assert len(card.fixes.children[0].children) == 2
        card.rows.rows[4].material.value = "lead bisilicate"
        assert len(card.fixes.children[0].children) == 1
        mix = gk.Recipe("Old", {"lead bisilicate": 1})
        stop = cautions_for(mix, gk.course_stock().with_unknown("lead bisilicate"), "weighing")[0]
        assert stop.level == "stop" and escape(stop.text) in card.caution.value

    def test_a_name_declared_unknown_weighs_and_prints(self, card: RecipeBench) -> None:
        card.rows.rows[4].material.value = "attic powder"
        card.declare_unknown("attic powder")
        card.print_sheet()
        assert "attic powder" in card.tray.link.html
        card.write()
        assert {"attic powder"} <= {m["name"] for m in card.desk.book.entries("batch")[0].data["analyses"]}

    def test_doubles_are_kept_until_joined(self, card: RecipeBench) -> None:
        card.rows.rows[1].material.value = "soda feldspar"
        assert says(card, "doubles") and len(card.rows.rows) == 9
        card.merge()
        assert len(card.rows.rows) == 8 and card.rows.rows[0].amount.value == "48"
        card.bring_back()
        assert len(card.rows.rows) == 9

    @pytest.mark.parametrize(
        ("amount", "said"),
        [("-3", "the amount is -3"), ("", "row 3 has no amount"), ("3 cups", "the unit 'cups'"), ("many", "not a number")],
    )
    def test_a_bad_amount_is_one_sentence(self, card: RecipeBench, amount: str, said: str) -> None:
        card.rows.rows[2].amount.value = amount
        assert said in card.said and "gk-stale" in card.box._dom_classes

    @pytest.mark.parametrize(("typed", "asked"), [({2: "40/50"}, ("40", "50")), ({2: "18,5", 3: "40.125"}, ("40125", "40.125"))])
    def test_an_amount_that_can_be_two_is_asked(self, card: RecipeBench, typed: dict[int, str], asked: tuple[str, str]) -> None:
        for i, line in enumerate(card.rows.rows):
            line.amount.value = typed.get(i, "12")
        assert all(number in card.said for number in asked) and "gk-stale" in card.box._dom_classes

    def test_a_percent_sign_among_grams_is_asked(self, card: RecipeBench) -> None:
        card.rows.rows[2].amount.value = "8 %"
        assert says(card, "odd_percent", material=card.rows.rows[2].material.value)
        card.rows.rows[2].part.value = "addition"
        assert not says(card, "odd_percent")

    def test_additions_without_a_basis_are_asked_about(self, card: RecipeBench) -> None:
        card.pasted.value = "Bell Buoy\nquartz 60\nwhiting 30\n+ tin oxide 5"
        card.lay_pasted()
        assert card.additions_are.value is None and "say whether" in card.said
        card.additions_are.value = "parts"
        assert self.shown(card)[2][0] == "5.56 %"

    def test_of_two_windows_no_recipe_gets_the_name_of_another(self, reopen: Reopen) -> None:
        here: RecipeBench = reopen("02").panel("recipe bench")  # type: ignore[assignment]
        elsewhere: RecipeBench = reopen("02").panel("recipe bench")  # type: ignore[assignment]
        elsewhere.pasted.value = "Bell Buoy\nquartz 60\nwhiting 30\n+ tin oxide 5"
        elsewhere.lay_pasted()
        here.title_box.value = "My liner"
        again: RecipeBench = reopen("02").panel("recipe bench")  # type: ignore[assignment]
        assert again.title_box.value == "My liner"
        assert again.memory["lines"] == here.memory["lines"] != elsewhere.memory["lines"]

    def test_a_pasted_recipe_lies_on_the_bench_and_the_old_card_comes_back(self, card: RecipeBench) -> None:
        card.pasted.value = "Whiting 18,40 %\nquartz 81.6\nCone 06"
        card.lay_pasted()
        assert [row.amount.value for row in card.rows.rows] == ["18.4", "81.6"] and card.recipe()[0].cone is not None
        card.bring_back()
        assert card.title_box.value == "Timetable Satin" and len(card.rows.rows) == 9

    def test_rows_come_and_go(self, card: RecipeBench) -> None:
        card.add_row()
        card.rows.rows[-1].material.value, card.rows.rows[-1].amount.value = "bentonite", "2"
        assert "107.5" in card.sums.value
        card.remove_row(9)
        assert "105.5" in card.sums.value and len(card.rows.rows) == 9

    def test_a_saved_recipe_reads_back_and_is_never_overwritten(self, card: RecipeBench, tmp_path: Path) -> None:
        card.save()
        card.save()
        files = sorted((tmp_path / "my-recipes").iterdir())
        assert len(files) == 2 and all(read_recipe(path) == card.recipe()[0] for path in files)
        assert card.recipe()[0] == demo_recipe("Timetable Satin")

    def test_own_recipes_are_offered_and_a_bad_file_is_survived(self, reopen: Reopen, tmp_path: Path) -> None:
        (tmp_path / "my-recipes").mkdir()
        (tmp_path / "my-recipes" / "mine.csv").write_text(
            "recipe,material,amount\nHarbour Light,quartz,60\nHarbour Light,whiting,40\n"
        )
        (tmp_path / "my-recipes" / "broken.csv").write_bytes(b"\xff\xfe\x00\x01")
        card: RecipeBench = reopen("02").panel("recipe bench")  # type: ignore[assignment]
        card.start.value = "Harbour Light"
        card.lay_recipe()
        assert [row.material.value for row in card.rows.rows] == ["quartz", "whiting"]

    def test_the_card_survives(self, reopen: Reopen) -> None:
        first: RecipeBench = reopen("02").panel("recipe bench")  # type: ignore[assignment]
        first.rows.rows[0].amount.value = "31"
        first.remove_row(8)
        again: RecipeBench = reopen("02").panel("recipe bench")  # type: ignore[assignment]
        assert again.rows.rows[0].amount.value == "31" and len(again.rows.rows) == 8

    def test_a_batch_goes_into_the_book(self, card: RecipeBench) -> None:
        card.write()
        (entry,) = card.desk.book.entries("batch")
        assert entry.data["base_g"] == 500 and entry.data["target_g"]["tin oxide"] == 23.7


POISONED = "potash feldspar 40\nquartz 25\nkaolin 15\nbarium carbonate 20"
STOP = "✕"


class TestAPoisonAtTheScale:
    """What must not be weighed has the status line to itself, no grams beside it, and is history in the book at best."""

    def test_the_recipe_bench_stops_and_the_book_says_what_it_keeps(self, card: RecipeBench) -> None:
        card.pasted.value = POISONED
        card.lay_pasted()
        assert STOP in card.status.value and "barium carbonate" in card.said and not says(card, "ready")
        assert ["100.0 g" in row.grams.value for row in card.rows.rows] == [False] * 4
        assert [STOP in row.grams.value for row in card.rows.rows] == [False, False, False, True]
        card.write()
        kept = spoken("parts.frame.written_stopped", card.said)
        assert STOP in card.status.value and kept is not None
        assert card.desk.book.entries("batch")[-1].data["target_g"]["barium carbonate"] == 100

    def test_the_batch_bench_stops_too(self, card: RecipeBench, reopen: Reopen) -> None:
        card.pasted.value = POISONED
        card.lay_pasted()
        card.title_box.value = "Old Page"
        card.save()
        bench: BatchBench = reopen("01").panel("batch bench", recipe="Old Page")  # type: ignore[assignment]
        *others, barium = bench.rows.rows
        assert STOP in bench.status.value and "barium carbonate" in bench.said
        assert " g" not in barium.ticked.description + barium.verdict.value and all(" g" in r.ticked.description for r in others)
        for row in bench.rows.rows:
            row.ticked.value = True
        assert STOP in bench.status.value and not says(bench, "all_in")
        bench.write()
        assert STOP in bench.status.value and spoken("parts.frame.written_stopped", bench.said) is not None
