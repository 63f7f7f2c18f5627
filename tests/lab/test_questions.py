"""Exercise box, prediction box, settings, prints, progress and the opening play."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import pytest
from saying import says

from glazekit.drawing.strokes import SIGNS
from glazekit.exercises.posing import right_answers
from glazekit.ground.errors import GlazekitError
from glazekit.lab.page import Page
from glazekit.lab.panels.exercise_box import ExerciseBox
from glazekit.lab.parts.recipe_rows import masses_at_hand
from glazekit.sheets.catalogue import sheets
from glazekit.words.course import course

Reopen = Callable[[str], Page]


def answer(box: ExerciseBox, right: bool = True) -> None:
    """Fill in the right answer of this learner's question, or an honest wrong one."""
    assert box.question is not None
    for name, value in right_answers(box.question).items():
        if box.exercise.kind == "number":
            box.controls[name].value = f"{value if right else value * 3 + 1:.6f}".replace(".", ",")  # type: ignore[operator]
        elif box.exercise.kind == "pick one":
            options = [value_ for _, value_ in box.controls[name].options]
            box.controls[name].value = value[0] if right else next(o for o in options if o != value[0])  # type: ignore[index]
        elif box.exercise.kind == "tick many":
            for key, control in box.controls.items():
                control.value = (key.removeprefix(f"{name}.") in value) == right  # type: ignore[operator]
        else:
            order = box.orders[name]
            wanted = list(value) if right else [*value[1:], value[0]]  # type: ignore[arg-type,misc,index]
            for place, step in enumerate(wanted):
                for i in range(order.order.index(step), place, -1):
                    order.move(i, -1)


def hidden(box: ExerciseBox) -> bool:
    """Is another round not on offer?"""
    return "gk-hide" in box.once_more._dom_classes


def open_twin(box: ExerciseBox) -> bool:
    """Does the worked twin lie open?"""
    assert "<details" in box.question_text.value
    return '<details open="open">' in box.question_text.value


ALL = [exercise for lesson in course() for exercise in lesson.exercises]


class TestExerciseBox:
    @pytest.mark.parametrize("exercise_id", ALL)
    def test_wrong_then_right(self, page: Page, exercise_id: str) -> None:
        box: ExerciseBox = page.exercise(exercise_id)  # type: ignore[assignment]
        answer(box, right=False)
        box.check()
        assert "▲" in box.status.value and "wrong" not in box.said.lower()
        answer(box)
        box.check()
        assert "✓" in box.status.value
        states = [(e.data["state"], e.data["tries"]) for e in page.book.entries("exercise")]
        assert states == [("try again", 1), ("right", 2)]

    def test_what_was_said_leaves_with_the_answer_it_was_said_to(self, reopen: Reopen) -> None:
        box: ExerciseBox = reopen("02").exercise("2.4")  # type: ignore[assignment]
        answer(box)
        box.check()
        told, typed = box.said, box.controls["base_g"].value
        box.controls["base_g"].value = "100"
        assert SIGNS["ok"] not in box.status.value and box.said != told
        assert reopen("02").exercise("2.4").said == box.said
        box.controls["base_g"].value = typed
        assert SIGNS["ok"] in box.status.value and box.said == told

    def test_an_empty_box_is_no_try(self, page: Page) -> None:
        box: ExerciseBox = page.exercise("1.1")  # type: ignore[assignment]
        box.check()
        assert "○" in box.status.value and not page.book.entries()

    def test_help_grows_with_the_tries_and_stays_in_sight(self, page: Page) -> None:
        box: ExerciseBox = page.exercise("1.2")  # type: ignore[assignment]
        shown = []
        for value in ("1000", "1100", "1200"):
            box.controls["feldspar_g"].value = value
            box.check()
            shown.append(box.hint.value)
        assert shown[0] == "" and shown[1] and shown[2] and shown[1] != shown[2]
        box.controls["feldspar_g"].value = ""
        box.check()
        assert box.hint.value == shown[2]

    def test_everything_comes_back(self, reopen: Reopen) -> None:
        first: ExerciseBox = reopen("01").exercise("1.2")  # type: ignore[assignment]
        answer(first, right=False)
        first.check()
        again: ExerciseBox = reopen("01").exercise("1.2")  # type: ignore[assignment]
        assert again.answers() == first.answers() and again.said == first.said and "1" in again.tries.value
        assert again.question_text.value == first.question_text.value

    def test_steps_come_back_in_the_learners_order(self, reopen: Reopen) -> None:
        first: ExerciseBox = reopen("01").exercise("1.5")  # type: ignore[assignment]
        first.orders["steps"].move(0, 1)
        assert reopen("01").exercise("1.5").answers() == first.answers()  # type: ignore[attr-defined]

    def test_steps_at_the_ends_stay(self, page: Page) -> None:
        box: ExerciseBox = page.exercise("1.5")  # type: ignore[assignment]
        before = box.answers()
        box.orders["steps"].move(0, -1)
        box.orders["steps"].move(6, 1)
        assert box.answers() == before

    def test_a_new_nickname_gets_its_own_numbers(self, page: Page) -> None:
        settings, box = page.settings(), page.exercise("1.2")
        nobody = box.question.draw  # type: ignore[attr-defined]
        answer(box)  # type: ignore[arg-type]
        settings.nickname.value = "Wren"
        assert box.question.draw.seed.startswith("/wren/") and box.question.draw.numbers != nobody.numbers  # type: ignore[attr-defined]
        assert box.answers() == {"feldspar_g": ""}  # type: ignore[attr-defined]

    def test_help_fades_from_round_to_round_and_is_remembered(self, reopen: Reopen) -> None:
        box: ExerciseBox = reopen("08").exercise("8.3")  # type: ignore[assignment]
        assert [list(box.controls), open_twin(box), hidden(box)] == [["quartz_g"], True, True]
        for left in (["kaolin_g", "quartz_g"], ["syenite_g", "kaolin_g", "quartz_g"]):
            seed = box.question.draw.seed  # type: ignore[union-attr]
            answer(box)
            box.check()
            assert not hidden(box)
            box.again()
            assert [list(box.controls), open_twin(box), hidden(box)] == [left, False, True]
            assert set(box.answers().values()) == {""} and box.question.draw.seed != seed  # type: ignore[union-attr]
        again: ExerciseBox = reopen("08").exercise("8.3")  # type: ignore[assignment]
        assert again.question_text.value == box.question_text.value and list(again.controls) == list(box.controls)
        answer(again)
        again.check()
        assert hidden(again)  # all of it was done alone
        assert len({entry.data["seed"] for entry in again.desk.book.entries("exercise")}) == 3

    def test_a_round_that_took_long_is_followed_by_one_with_as_much_help(self, page: Page) -> None:
        box: ExerciseBox = page.exercise("8.3")  # type: ignore[assignment]
        for value in ("1000", "1100"):
            box.controls["quartz_g"].value = value
            box.check()
        answer(box)
        box.check()
        box.again()
        assert list(box.controls) == ["quartz_g"]

    def test_another_learner_begins_with_help(self, page: Page) -> None:
        settings, box = page.settings(), page.exercise("8.3")
        answer(box)  # type: ignore[arg-type]
        box.check()  # type: ignore[attr-defined]
        box.again()  # type: ignore[attr-defined]
        settings.nickname.value = "Wren"
        assert list(box.controls) == ["quartz_g"] and box.question.draw.seed == "/wren/8.3"  # type: ignore[attr-defined]

    def test_right_twice_is_written_once(self, page: Page) -> None:
        box: ExerciseBox = page.exercise("1.4")  # type: ignore[assignment]
        answer(box)
        box.check()
        box.check()
        assert len(page.book.entries("exercise")) == 1

    def test_a_misspelt_exercise_is_told(self, page: Page) -> None:
        with pytest.raises(GlazekitError) as caught:
            page.exercise("1.11")
        assert caught.value.given == "1.11" and caught.value.hint


class TestPredictionBox:
    def test_first_a_choice(self, page: Page) -> None:
        box = page.predict("1a")
        box.do(box.hand_in)
        assert says(box, "choose_first") and not page.book.entries()

    @pytest.mark.parametrize(("asked", "sign"), [("1a", "note"), ("1b", "ok")])
    def test_a_guess_is_noted_alike_whatever_it_was(self, page: Page, asked: str, sign: str) -> None:
        box = page.predict(asked)
        signs = {}
        for answer in box.prediction.answers:
            box.choice.value = answer.id
            box.hand_in()
            (signs[answer.id],) = [name for name, shape in SIGNS.items() if shape in box.status.value]
        wrong = set(signs) - {box.prediction.expected}
        assert signs[box.prediction.expected] == sign
        assert {signs[name] for name in wrong} == {"note" if sign == "note" else "look"}

    def test_how_the_answer_moved(self, reopen: Reopen) -> None:
        before = reopen("01").predict("1a")
        before.choice.value = "96"
        before.hand_in()
        assert "Noted" in before.said
        after = reopen("01").predict("1b")
        after.choice.value = "106"
        after.hand_in()
        assert says(after, "before_said") and "96 g" in after.said and "moved" in after.said
        assert [e.data["moment"] for e in after.desk.book.entries("prediction")] == ["before", "after"]

    def test_the_newest_answer_counts_and_comes_back(self, reopen: Reopen) -> None:
        box = reopen("01").predict("1b")
        for choice in ("94", "106"):
            box.choice.value = choice
            box.hand_in()
        assert reopen("01").predict("1b").said.startswith("Yes")

    def test_after_without_before_works(self, page: Page) -> None:
        after = page.predict("1b")
        after.choice.value = "100"
        after.hand_in()
        assert not says(after, "before_said")


class TestPrintBox:
    @pytest.mark.parametrize("sheet", [s for s in sheets() if s != "home page"])
    def test_every_sheet_is_a_whole_page_of_its_own(self, page: Page, sheet: str, tmp_path: Path) -> None:
        box = page.print_sheet(sheet)
        box.make()
        (path,) = (tmp_path / "prints").iterdir()
        written = path.read_text(encoding="utf-8")
        assert written.startswith("<!doctype html>") and "<script" not in written and box.tray.link.html == written
        box.make()
        assert len(list((tmp_path / "prints").iterdir())) == 2 and path.read_text(encoding="utf-8") == written

    def test_the_home_page_of_lesson_3(self, reopen: Reopen) -> None:
        assert reopen("03").print_sheet("home page").html().startswith("<!doctype html>")

    def test_a_misspelt_sheet_gets_the_nearest(self, page: Page) -> None:
        with pytest.raises(GlazekitError) as caught:
            page.print_sheet("stepcard")
        assert caught.value.hint == "step card"

    def test_what_the_learner_typed_is_printed_as_text(self, page: Page) -> None:
        page.settings().nickname.value = "<b>Wren</b>"
        box = page.print_sheet("label strip")
        box.label.value = "W-7 <script>"
        assert "<b>Wren" not in box.html() and "<script>" not in box.html() and "W-7 &lt;script&gt;" in box.html()

    def test_a_bad_batch_size_makes_no_file(self, page: Page, tmp_path: Path) -> None:
        box = page.print_sheet("batch sheet")
        box.base.value = "-5"
        box.do(box.make)
        assert "below 0" in box.said and not (tmp_path / "prints").exists()


class TestProgress:
    def test_it_counts_from_the_book(self, reopen: Reopen) -> None:
        page = reopen("01")
        progress = page.progress()
        assert "still empty" in progress.said
        box: ExerciseBox = page.exercise("1.1")  # type: ignore[assignment]
        answer(box)
        box.check()
        progress.refresh()
        assert says(progress, "of", progress.table, done="1", all="4")

    def test_a_prediction_handed_in_twice_is_one(self, page: Page) -> None:
        guess = page.predict("1a")
        for choice in ("96", "100"):
            guess.choice.value = choice  # type: ignore[attr-defined]
            guess.hand_in()  # type: ignore[attr-defined]
        assert "predictions 1." in page.progress().rest.value  # type: ignore[attr-defined]

    def test_every_lesson_of_the_course_has_a_row(self, page: Page) -> None:
        shown = page.progress().table.value  # type: ignore[attr-defined]
        lessons = [lesson for lesson in course()[1:] if lesson.notebook]
        assert len(lessons) > 8
        for lesson in lessons:
            assert lesson.called in shown

    def test_export_goes_into_a_folder_of_its_own(self, page: Page, tmp_path: Path) -> None:
        page.panel("recipe bench").write()
        progress = page.progress()
        progress.export()
        assert list((tmp_path / "book-as-csv").rglob("*.csv")) and "book-as-csv" in progress.said

    def test_damage_is_told(self, page: Page, tmp_path: Path) -> None:
        page.panel("recipe bench").write()
        (file,) = (tmp_path / "book").glob("*.jsonl")
        with file.open("a") as stream:
            stream.write('{"id": "torn')
        assert file.name in page.progress().said


class TestSettings:
    def test_a_strip_left_open_elsewhere_changes_only_what_is_moved_there(self, reopen: Reopen) -> None:
        start, lesson = reopen("00"), reopen("01")
        elsewhere, here, box = start.settings(), lesson.settings(), lesson.exercise("1.2")
        here.nickname.value, here.class_code.value = "Wren", "tuesday"
        posed = box.question.draw
        elsewhere.division.value = "0.5"
        again = reopen("01")
        assert again.me == {"nickname": "Wren", "class_code": "tuesday", "scale_division_g": "0.5"}
        assert again.exercise("1.2").question.draw == posed
        assert elsewhere.nickname.value == "Wren", "and shows it at the next move"

    def test_everything_is_kept_for_all_lessons(self, reopen: Reopen) -> None:
        settings = reopen("01").settings()
        settings.nickname.value, settings.division.value = " Wren ", "0.5"
        page = reopen("03")
        assert page.me["nickname"] == "Wren" and page.scale_division_g == 0.5 and "Hello Wren" in page.settings().said

    def test_nothing_is_needed(self, page: Page) -> None:
        assert page.me["nickname"] == "" and page.scale_division_g == 0.1


class TestLeaveOneOut:
    def test_each_bag_changes_picture_and_words(self, page: Page) -> None:
        play = page.play()
        seen = set()
        for bag, (_, name) in enumerate(play.missing.options):
            play.missing.value = name
            seen.add(play.picture.value)
            assert says(play, f"lesson_01.panel.leave_one_out.{f'material.{bag - 1}.loses' if name else 'whole'}")
            assert not name or name.split()[-1] in play.said.lower()
        assert len(seen) == 6

    def test_plain_words_only(self, page: Page) -> None:
        play = page.play()
        text = " ".join(str(value) for value in play.words.texts.values())
        assert len(text.split()) > 100 and not any(symbol in text for symbol in ("SiO", "Al2", "CaO", "Na2", "₂", "mol"))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("soda feldspar 312", {"soda feldspar": 312}),
        ("quartz: 0,5 kg\n\nwhiting = 1 lb", {"quartz": 500, "whiting": 453.59237}),
        ("quartz 100; quartz 50 g", {"quartz": 150}),
        ("", {}),
    ],
)
def test_reading_the_shelf(text: str, found: dict[str, float]) -> None:
    masses, problems = masses_at_hand(text)
    assert masses == pytest.approx(found) and not problems


def test_a_line_of_the_shelf_that_cannot_be_read_is_told() -> None:
    masses, problems = masses_at_hand("quartz 100\nsome kaolin\n12")
    assert masses == {"quartz": 100} and len(problems) == 2 and "some kaolin" in problems[0]


@pytest.mark.parametrize("text", ["quartz 200 500 g", "quartz 200 500", "quartz 1 lb 4", "quartz 1,250"])
def test_a_mass_on_the_shelf_that_may_be_two_is_asked(text: str) -> None:
    masses, problems = masses_at_hand(text)
    assert masses == {} and len(problems) == 1


def test_the_shelf_reads_what_is_plain_at_once() -> None:
    """Many blanks or signs without a mass took minutes, at every wake again."""
    for odd in ("quartz" + " " * 3000 + "x", "q" + ": " * 3000, "quartz " + "1 " * 3000 + "!", "a " * 4000):
        begun = perf_counter()
        assert masses_at_hand(odd)[0] == {} and perf_counter() - begun < 1
    assert masses_at_hand("quartz 1 lb 4 oz; frit 90: 200 g; kaolin 1\u202f250 g")[0] == pytest.approx(
        {"quartz": 566.9904625, "frit 90": 200, "kaolin": 1250}
    )


def test_half_a_character_in_a_nickname_costs_nothing(reopen: Reopen, tmp_path: Path) -> None:
    settings = reopen("00").settings()
    settings.nickname.value = "anna\ud83d"
    page = reopen("01")
    box: ExerciseBox = page.exercise("1.2")  # type: ignore[assignment]
    answer(box, right=True)
    box.check()
    assert page.me["nickname"] == "anna" and len(page.book.entries("exercise")) == 1
    assert "exercise.csv" in {path.name for path in page.book.export_csv(tmp_path / "out").iterdir()}
