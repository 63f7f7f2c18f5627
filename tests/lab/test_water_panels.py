"""Water log, syringe check and suction sketch, against the numbers of the course."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from saying import says

from glazekit.lab.page import Page
from glazekit.lab.panels.suction_sketch import SuctionSketch
from glazekit.lab.panels.syringe_check import SyringeCheck
from glazekit.lab.panels.water_log import WaterLog, usual_feel

Reopen = Callable[[str], Page]


@pytest.fixture
def log(reopen: Reopen) -> WaterLog:
    return reopen("03").panel("water log")  # type: ignore[return-value]


@pytest.fixture
def check(reopen: Reopen) -> SyringeCheck:
    """The course's weighing, typed in."""
    check: SyringeCheck = reopen("03").panel("syringe check")  # type: ignore[assignment]
    check.full.value, check.bucket.value = "148", "5000"
    return check


class TestWaterLog:
    def test_sixty_then_tens(self, log: WaterLog) -> None:
        """Course exercise 3.1 and 3.2: 60 and four times 10 make 100; 90 mL per 100 g has density 1.479."""
        assert "60 mL" in log.pour_button.description
        for _ in range(4):
            log.pour()
        assert log.total_ml == 90 and "1.479" in log.said and "10 mL" in log.pour_button.description
        log.pour()
        assert log.total_ml == 100 and says(log, "so_far", per_100g="100")

    def test_a_line_taken_back_is_a_new_line(self, log: WaterLog) -> None:
        log.pour()
        log.amount.value = "25 ml"
        log.pour_amount()
        log.take_back()
        assert [ml for ml, _ in log.memory["log"]] == [60, 25, -25] and log.total_ml == 60
        log.take_back()
        assert log.total_ml == 0
        log.do(log.take_back)
        assert says(log, "nothing_back") and len(log.memory["log"]) == 4

    def test_water_is_per_100_g_of_all_dry_powder(self, log: WaterLog) -> None:
        log.dry.value = "2 kg"
        log.pour()
        assert log.total_ml == 1200 and says(log, "so_far", per_100g="60")

    @pytest.mark.parametrize("typed", ["0", "-5", "a cup"])
    def test_an_odd_amount_is_one_sentence_and_no_line(self, log: WaterLog, typed: str) -> None:
        log.pour()
        log.amount.value = typed
        log.do(log.pour_amount)
        assert len(log.memory["log"]) == 1 and log.said and "per 100" not in log.said

    def test_the_log_survives(self, reopen: Reopen, log: WaterLog) -> None:
        log.pour()
        log.pour()
        again: WaterLog = reopen("03").panel("water log")  # type: ignore[assignment]
        assert again.total_ml == 70 and "70 mL" in again.table.value

    def test_into_the_book_with_its_batch(self, reopen: Reopen) -> None:
        page = reopen("03")
        page.panel("recipe bench").write()
        log: WaterLog = page.panel("water log")  # type: ignore[assignment]
        assert log.note.batch.value == page.book.entries("batch")[0].id
        log.feel.value = "heavy cream"
        log.pour()
        log.note.write()
        data = page.book.entries("water")[0].data
        assert (data["water_ml_per_100g"], data["feel"], data["poured_ml"]) == (60, "heavy cream", [60])

    def test_a_bucket_needs_a_name(self, log: WaterLog) -> None:
        log.pour()
        log.do(log.note.write)
        assert says(log, "parts.slip_in_book.name_it") and not log.desk.book.entries()
        log.note.bucket_name.value = "W-7"
        log.note.write()
        assert log.desk.book.entries("water")[0].data["bucket"] == "W-7"

    def test_an_empty_log_is_not_written(self, log: WaterLog) -> None:
        log.note.bucket_name.value = "W-7"
        log.do(log.note.write)
        assert not log.desk.book.entries()

    def test_a_batch_written_later_appears_in_the_list(self, reopen: Reopen) -> None:
        page = reopen("03")
        log = page.panel("water log")
        before = len(log.note.batch.options)
        page.panel("recipe bench").write()
        assert len(log.note.batch.options) == before + 1
        page.book.correct(page.book.entries("batch")[0].id, label="W-7")
        log.refresh()
        assert "W-7" in log.note.batch.options[0][0], "by the name on its bucket"

    def test_a_new_log(self, log: WaterLog) -> None:
        log.pour()
        log.fresh()
        assert log.total_ml == 0 and log.memory["before"] == [[60, "start"]]

    def test_damp_powder_is_not_called_yoghurt(self, log: WaterLog) -> None:
        log.pour()
        assert "yoghurt" in log.said
        log.dry.value = "2.5 kg"
        assert says(log, "damp", per_100g="2") and "1500 mL" in log.said and "yoghurt" not in log.said

    def test_the_word_thins_with_the_water(self) -> None:
        assert [usual_feel(ml) for ml in (60, 90, 160)] == ["yoghurt", "heavy cream", "thin milk"]


class TestSyringeCheck:
    def test_the_course_weighing(self, check: SyringeCheck) -> None:
        """Course exercise 3.3 and 3.4: 148 g in 100 mL hold 78.0 g dry and 89.7 mL per 100 g."""
        assert all(number in check.found.value for number in ("1.480 g/mL", "78.0 g", "89.7 mL"))

    def test_nothing_is_said_of_a_slip_before_it_is_weighed(self, reopen: Reopen) -> None:
        check: SyringeCheck = reopen("03").panel("syringe check")  # type: ignore[assignment]
        assert says(check, "start") and not check.found.value and not check.advice.value
        check.full.value = "148"
        assert says(check, "sample_more") and "78.0 g" in check.found.value, "of the sample, while no bucket is named"

    def test_the_empty_syringe_is_taken_off(self, check: SyringeCheck) -> None:
        check.full.value, check.empty.value = "160,5", "12.5"
        assert "78.0 g" in check.found.value
        check.empty.value = "200"
        assert says(check, "nothing_in")

    def test_too_thin_with_something_soluble_is_left_to_evaporate(self, check: SyringeCheck) -> None:
        check.target.value = "1.55"
        assert "draw off" in check.said
        check.recipe.value = "Turnstile Matte"
        assert "evaporate" in check.said and "draw water" in check.said

    def test_the_density_of_the_materials_shows_its_effect(self, check: SyringeCheck) -> None:
        check.own_density.value = True
        assert says(check, "choose_recipe", check.found) and "78.0 g" in check.found.value
        check.recipe.value = "Gangway Clear"
        assert says(check, "effect", check.found, usual="78.0 g") and check.powder_density() != 2.6

    @pytest.mark.parametrize(("grams", "said"), [("90", "above 1 (clear water)"), ("1480", "solid powder"), ("heavy", "number")])
    def test_impossible_weighings_are_one_sentence(self, check: SyringeCheck, grams: str, said: str) -> None:
        check.full.value = grams
        assert said in check.said and "gk-stale" in check.box._dom_classes

    def test_into_the_book(self, check: SyringeCheck) -> None:
        check.note.bucket_name.value = "bucket 3"
        check.note.write()
        data = check.desk.book.entries("water")[0].data
        assert (data["slip_g"], data["slip_ml"], data["slip_density_g_ml"]) == (148, 100, 1.48)
        assert data["water_ml_per_100g"] == pytest.approx(89.74, abs=0.01)


class TestSuctionSketch:
    def test_four_times_the_dip_is_twice_the_coat(self, reopen: Reopen) -> None:
        """Course exercise 3.6: 3 s gives 0.5 mm, so 12 s gives 1.0 mm."""
        sketch: SuctionSketch = reopen("03").panel("suction sketch")  # type: ignore[assignment]
        sketch.dip.value = "12"
        assert says(sketch, "so", coat="1.00", times="4", more="2")
        sketch.dip.slider.value = 3
        assert says(sketch, "so", coat="0.50")

    def test_another_tile_moves_the_curve(self, reopen: Reopen) -> None:
        sketch: SuctionSketch = reopen("03").panel("suction sketch")  # type: ignore[assignment]
        before = sketch.picture.value
        sketch.tile_mm.value = "0,8"
        assert sketch.picture.value != before
        sketch.tile_mm.value = "0"
        assert "measured coat" in sketch.said
