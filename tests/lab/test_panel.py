"""The base of all panels: refresh and nothing else, errors as the status line, controls that remember themselves."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path

import pytest

import glazekit.lab
from glazekit.ground.errors import DataError, NumberError, RangeError
from glazekit.lab import open_page
from glazekit.lab.controls import SliderWithBox, choose, offer_anew, text_box
from glazekit.lab.page import Page, panel_named, panel_names
from glazekit.lab.panel import PAUSE_S, Panel
from glazekit.lab.panels.recipe_bench import RecipeBench
from glazekit.words.texts import Words

Reopen = Callable[[str], Page]
LAB = Path(glazekit.lab.__file__).parent


def odd_shapes(value: object) -> list[object]:
    """A saved value, and the same with one of its parts at a time turned into something else."""
    shapes: list[object] = [other for other in (None, 7, "x", [], {}, [[1]], {"a": 1}) if type(other) is not type(value)]
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for place, inner in parts:
        for other in odd_shapes(inner):
            copy = deepcopy(value)
            copy[place] = other  # type: ignore[index]
            shapes.append(copy)
    return shapes


def twice(value: float) -> str:
    return f"twice is {value:g}"


class Doubler(Panel):
    """A panel as small as can be."""

    name = "settings"
    home = "00"

    def build(self):
        self.painted = 0
        self.number = self.keep("number", text_box("Number", "4"))
        return (self.number,)

    def paint(self) -> None:
        self.painted += 1
        value = float(self.number.value)
        if value < 0:
            raise RangeError(f"{value:g} is below 0")
        self.tell(twice(2 * value), "ok")


class Diary(Doubler):
    """A panel that notes what happens to it."""

    def __init__(self, desk: Page, first: str = "a") -> None:
        super().__init__(desk)
        self.first, self.steps = first, []

    def build(self):
        self.steps.append("build")
        self.letter = self.keep("letter", choose("Letter", "ab", self.first))
        self.number = self.keep("number", choose("Number", [f"{self.first}1"]))
        return self.letter, self.number

    def offer(self) -> None:
        self.steps.append("offer")
        offer_anew(self.number, [f"{self.letter.value}{i}" for i in (1, 2, 3)])

    def paint(self) -> None:
        self.steps.append(f"paint {self.number.value}")


class TestStateOfAWrongShape:
    """A state file that another version, another program or a bad disk wrote: the panel comes up, and it says so."""

    @pytest.mark.parametrize(
        ("lesson", "name", "options"),
        [
            ("02", "recipe bench", {}),
            ("01", "batch bench", {}),
            ("03", "water log", {}),
            ("06", "chart map", {}),
            ("08", "shopping bench", {}),
            ("00", "settings", {}),
            ("01", "exercise box", {"exercise_id": "1.5"}),
            ("01", "exercise box", {"exercise_id": "1.2"}),
            ("08", "exercise box", {"exercise_id": "8.3"}),
        ],
    )
    def test_every_panel_wakes_on_it(self, reopen: Reopen, lesson: str, name: str, options: dict[str, str]) -> None:
        page = reopen(lesson)
        panel = page.panel(name, **options)
        for control in panel.controls.values():
            panel.memory["seen"] = str(control)
        if name == "exercise box":
            panel.memory["rounds"] = [1]
            panel.check()
        panel._save()
        where, key = panel.kept_under or lesson, panel.key
        page.state.put(where, key, {"controls": {n: c.value for n, c in panel.controls.items()}, "memory": panel.memory})
        saved = page.state.get(where, key)
        shapes = odd_shapes(saved)
        for shape in shapes if len(shapes) < 30 else shapes[:: len(shapes) // 30 + 1]:
            page.state.put(where, key, shape)
            again = reopen(lesson).panel(name, **options)
            assert again.said and again.box.children, shape

    def test_a_fault_from_elsewhere_costs_no_saved_work(
        self, reopen: Reopen, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        reopen("02").state.put("02", "recipe bench", {"controls": {"name": "Mine"}, "memory": {}})
        before = (tmp_path / "state" / "02.json").read_bytes()
        with monkeypatch.context() as fault:
            fault.setattr(RecipeBench, "paint", lambda _: [][1])
            with pytest.raises(IndexError):
                reopen("02").panel("recipe bench")
        assert [path.name for path in (tmp_path / "state").iterdir()] == ["02.json"]
        assert (tmp_path / "state" / "02.json").read_bytes() == before
        assert reopen("02").panel("recipe bench").controls["name"].value == "Mine"

    def test_what_could_not_be_used_is_kept_aside_and_told(self, reopen: Reopen, tmp_path: Path) -> None:
        reopen("02").state.put("02", "recipe bench", {"controls": {}, "memory": {"lines": 7}})
        panel = reopen("02").panel("recipe bench")
        (aside,) = (tmp_path / "state").glob("02.json.damaged-*")
        assert aside.name in panel.caution.value and json.loads(aside.read_bytes())["recipe bench"]["memory"] == {"lines": 7}
        assert aside.name not in reopen("02").panel("recipe bench").caution.value, "told once"

    def test_a_fault_of_ours_is_not_hidden(self, page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(panel_named("water log"), "paint", lambda self: {}["fault"])
        with pytest.raises(KeyError):
            page.panel("water log")

    def test_steps_of_another_version_cost_no_tries(self, reopen: Reopen) -> None:
        box = reopen("01").exercise("1.5")
        (place,) = box.memory["order"]
        box.orders[place].move(0, 1)
        box.check()
        steps = list(box.memory["order"][place])
        saved = {"controls": {}, "memory": {**box.memory, "order": {place: ["gone", steps[2], steps[2], steps[0]]}}}
        reopen("01").state.put("01", box.key, saved)
        again = reopen("01").exercise("1.5")
        assert again.memory["order"][place] == [steps[2], steps[0], *(s for s in steps if s not in (steps[0], steps[2]))]
        assert again.memory["mark"]["tries"] == 1


NUMBERS = ("1e16", "1e308", "1e-320", "nan", "inf", "000", "-1", "1/0", "9" * 60)


@pytest.mark.parametrize(
    "name",
    ["oxide scales", "shopping bench", "water log", "syringe check", "batch bench", "fit gauge", "mole swap", "second chance"],
)
def test_no_number_that_can_be_typed_stops_a_panel(reopen: Reopen, name: str) -> None:
    panel = reopen(panel_named(name).home).panel(name)
    boxes = [c for c in panel.controls.values() if isinstance(c.value, str) and not hasattr(c, "options")]
    assert boxes
    for control in boxes:
        before = control.value
        for typed in (*NUMBERS, before):
            panel.said = ""
            control.value = typed
            assert panel.said, typed


class TestTheLifeOfAPanel:
    def test_it_is_made_then_built_restored_and_shown_once_each(self, page: Page) -> None:
        panel = Diary(page, "b")
        assert panel.steps == [] and panel.body.children == ()
        panel.open()
        assert panel.steps[0] == "build" and panel.steps.count("build") == 1
        assert [step for step in panel.steps if step.startswith("paint")] == ["paint b1"] and panel.steps[-1] == "paint b1"

    def test_a_choice_that_hangs_on_another_comes_back_too(self, reopen: Reopen) -> None:
        panel = Diary(reopen("01")).open()
        panel.letter.value, panel.number.value = "b", "b3"
        again = Diary(reopen("01")).open()
        assert (again.letter.value, again.number.value) == ("b", "b3")
        assert [step for step in again.steps if step.startswith("paint")] == ["paint b3"]

    def test_what_is_no_longer_on_offer_gives_way_to_the_start_value(self, reopen: Reopen) -> None:
        reopen("01").state.put("01", "settings", {"controls": {"letter": "z", "number": "z3", "gone": 1}, "memory": {"left": 2}})
        panel = Diary(reopen("01")).open()
        assert (panel.letter.value, panel.number.value, panel.memory) == ("a", "a1", {"left": 2})

    def test_a_recipe_that_was_renamed_is_still_chosen(self, reopen: Reopen) -> None:
        reopen("04").state.put("04", "gas meter", {"controls": {"recipe": "Deck Paint"}, "memory": {}})
        assert reopen("04").panel("gas meter").recipe.value == "Deck Green"

    def test_what_is_offered_anew_does_not_refresh(self, page: Page) -> None:
        panel = Diary(page).open()
        panel.steps.clear()
        panel.letter.value = "b"
        assert panel.steps == ["offer", "paint b1"]


def test_a_change_refreshes_once(page: Page) -> None:
    panel = Doubler(page).open()
    panel.number.value = "5"
    assert (panel.said, panel.painted) == (twice(10), 2)


def test_our_errors_become_the_status_line_and_dim_what_is_old(page: Page) -> None:
    panel = Doubler(page).open()
    panel.number.value = "-3"
    assert panel.said.startswith("-3 is") and "✕" in panel.status.value
    assert "gk-stale" in panel.box._dom_classes
    panel.number.value = "3"
    assert "gk-stale" not in panel.box._dom_classes


def test_other_errors_are_not_hidden(page: Page) -> None:
    panel = Doubler(page).open()
    with pytest.raises(ValueError, match="kaolin"):
        panel.number.value = "kaolin"


def test_controls_come_back_in_a_new_session(reopen: Reopen) -> None:
    Doubler(reopen("01")).open().number.value = "7"
    panel = Doubler(reopen("01")).open()
    assert (panel.number.value, panel.said) == ("7", twice(14))
    assert Doubler(reopen("02")).open().number.value == "4", "another lesson has its own"


def test_looking_at_a_panel_writes_nothing(page: Page, tmp_path: Path) -> None:
    Doubler(page).open()
    assert not list(tmp_path.rglob("*.json")) and not list(tmp_path.rglob("*.jsonl"))


def test_saving_that_fails_is_told_and_the_panel_goes_on(page: Page, tmp_path: Path) -> None:
    panel = Doubler(page).open()
    (tmp_path / "state").write_text("a file where the folder should be")
    panel.number.value = "6"
    assert panel.said == twice(12) and "01.json" in panel.title.value


def test_one_refresh_for_many_changes(page: Page) -> None:
    panel = Doubler(page).open()
    with panel.one_refresh():
        panel.number.value = "1"
        panel.number.value = "2"
    assert panel.painted == 2 and panel.said == twice(4)


class TestWhenPaused:
    def run(self, page: Page, *moves: tuple[str, Callable[[], object]]) -> Doubler:
        """A learner who makes these moves in one breath, and then pauses."""

        async def learner() -> Doubler:
            panel = Doubler(page).open()
            for name, job in moves:
                panel.when_paused(name, job)
            await asyncio.sleep(1.5 * PAUSE_S)
            return panel

        return asyncio.run(learner())

    def test_of_several_under_one_name_only_the_last_runs_and_each_name_has_its_own(self, page: Page) -> None:
        ran: list[str] = []
        moves = [(name, lambda mark=f"{name} {i}": ran.append(mark)) for i in (1, 2, 3) for name in ("cloud", "plan")]
        self.run(page, *moves)
        assert ran == ["cloud 3", "plan 3"]

    def test_it_waits_for_a_pause_after_the_last_move(self, page: Page) -> None:
        ran: list[float] = []

        async def learner() -> float:
            panel, loop = Doubler(page).open(), asyncio.get_running_loop()
            panel.when_paused("cloud", lambda: ran.append(loop.time()))
            await asyncio.sleep(PAUSE_S / 3)
            last = loop.time()
            panel.when_paused("cloud", lambda: ran.append(loop.time()))
            while not ran:
                await asyncio.sleep(0.02)
            await asyncio.sleep(PAUSE_S / 2)
            return last

        last = asyncio.run(learner())
        (once,) = ran
        assert PAUSE_S == 0.3 and 0.29 < once - last < 2.0

    def test_saving_waits_too_and_saves_where_the_controls_came_to_rest(self, page: Page, tmp_path: Path) -> None:
        async def learner() -> bool:
            panel = Doubler(page).open()
            await asyncio.sleep(1.2 * PAUSE_S)
            panel.number.value = "5"
            panel.number.value = "6"
            early = (tmp_path / "state" / "01.json").exists()
            await asyncio.sleep(1.5 * PAUSE_S)
            return early

        assert not asyncio.run(learner())
        assert json.loads((tmp_path / "state" / "01.json").read_text())["settings"]["controls"] == {"number": "6"}

    def test_an_error_in_it_becomes_the_status_line(self, page: Page) -> None:
        def late() -> None:
            raise RangeError("late")

        assert self.run(page, ("cloud", late)).said == "late"

    def test_without_an_event_loop_it_runs_at_once(self, page: Page) -> None:
        ran: list[int] = []
        panel = Doubler(page).open()
        for i in (1, 2):
            panel.when_paused("cloud", lambda i=i: ran.append(i))
            assert ran[-1] == i


def test_the_status_line_escapes(page: Page) -> None:
    panel = Doubler(page).open()
    panel.tell("<img src=x onerror=alert(1)>")
    panel.warn(["<b>dust</b>"])
    assert "<img" not in panel.status.value and "<b>dust" not in panel.caution.value


def test_a_panel_waits_for_its_prediction(reopen: Reopen) -> None:
    page = reopen("01")
    bench = page.panel("batch bench", after="1a")
    assert "gk-hide" in bench.body._dom_classes
    question = page.predict("1a")
    question.choice.value = question.prediction.answers[0].id
    question.hand_in()
    assert "gk-hide" not in bench.body._dom_classes and "gk-hide" in bench.curtain._dom_classes
    assert "gk-hide" not in reopen("01").panel("batch bench", after="1a").body._dom_classes


def test_a_panel_can_be_opened_without_a_guess(reopen: Reopen) -> None:
    reopen("01").panel("batch bench", after="1a").open_curtain()
    assert "gk-hide" not in reopen("01").panel("batch bench", after="1a").body._dom_classes


BOXES = {"exercise box": {"exercise_id": "1.1"}, "prediction box": {"prediction_id": "1a"}, "print box": {"sheet": "step card"}}


@pytest.mark.parametrize("name", panel_names())
def test_every_panel_opens_in_an_empty_folder_and_has_a_stable_name(name: str, page: Page) -> None:
    panel = page.panel(name, **BOXES.get(name, {}))
    assert "gk-stale" not in panel.box._dom_classes and (name == "sources" or panel.said)
    assert repr(panel).startswith(f"<{name.removesuffix(' box')}" if name in BOXES else f"<panel {name}>")
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == repr(panel) and "application/vnd.jupyter.widget-view+json" in bundle


def test_a_missing_text_is_an_error_with_the_nearest() -> None:
    with pytest.raises(DataError, match=r"\[panel\.x\]") as caught:
        Words({"title": "X"}, "[panel.x]")("titel")
    assert (caught.value.given, caught.value.hint) == ("titel", "title")


def test_the_folder_is_the_notebooks_own_unless_the_variable_says_otherwise(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.delenv("GLAZEKIT_FOLDER", raising=False)
    assert open_page("01").folder == tmp_path / "here"
    monkeypatch.setenv("GLAZEKIT_FOLDER", str(tmp_path))
    assert open_page("01").folder == tmp_path


class TestSliderWithBox:
    def make(self, **more) -> SliderWithBox:
        self.heard = 0
        pair = SliderWithBox("Batch size [g]", 500, 50, 20_000, 60, log=True, **more)
        pair.observe(lambda change: setattr(self, "heard", self.heard + 1))
        return pair

    def test_the_box_is_exact_and_the_slider_follows(self) -> None:
        pair = self.make()
        pair.box.value = "1234,5"
        assert pair.number == 1234.5 and pair.slider.value == pytest.approx(1234.5) and self.heard == 1

    def test_the_slider_writes_a_round_number(self) -> None:
        pair = self.make()
        pair.slider.value = 1234.5678
        assert pair.box.value == "1230" and self.heard == 1

    def test_the_browsers_echo_of_a_typed_number_is_not_a_move(self) -> None:
        """A browser snaps the slider to its nearest step and reports that; the number typed must stay."""
        pair = self.make()
        pair.box.value = "2500"
        pair.slider.value = 2511.886
        assert pair.number == 2500 and self.heard == 1
        pair.slider.value = 2610.157
        assert pair.number == 2610 and self.heard == 2

    def test_bad_text_leaves_the_slider_and_is_told(self) -> None:
        pair = self.make()
        pair.box.value = "a lot"
        assert pair.slider.value == 500
        with pytest.raises(NumberError, match="a lot"):
            _ = pair.number

    def test_out_of_range_is_told(self) -> None:
        pair = self.make()
        pair.box.value = "20"
        with pytest.raises(RangeError, match="20 is"):
            _ = pair.number


def test_what_is_saved_is_plain_json(page: Page, tmp_path: Path) -> None:
    bench = page.panel("recipe bench")
    bench.batch.value = "750"
    saved = json.loads((tmp_path / "state" / "01.json").read_text())
    assert saved["recipe bench"]["controls"]["batch"] == "750"
