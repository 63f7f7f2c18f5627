"""Exercise box: the question with the learner's own numbers, boxes for the answer, a kind word, hints, and a line in the book."""

from functools import partial
from typing import Any

import ipywidgets as widgets

from glazekit.drawing.markup import Html, el, join
from glazekit.exercises.bank import Box, exercise
from glazekit.exercises.checking import mark, record_of
from glazekit.exercises.draws import draw
from glazekit.exercises.posing import Question, pose
from glazekit.lab.controls import button, html, pick, row, show, stack, text_box, tick
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import listed, paragraphs, small, strong

MARK_SIGNS = {"right": "ok", "try again": "look", "blank": "open"}


class ExerciseBox(Panel):
    """One exercise. Its numbers are stored with the page, so a later course never changes a question somebody has begun."""

    name = "exercise box"
    home = "00"

    def __init__(self, desk: Desk, exercise_id: str) -> None:
        super().__init__(desk)
        self.exercise = exercise(exercise_id)
        self.key = f"exercise {self.exercise.id}"
        self.question: Question | None = None
        self.orders: dict[str, StepOrder] = {}

    def build(self) -> Children:
        """Question, answers, button, hint."""
        self.question_text, self.answers_box, self.hint = html(), stack(css_class="gk-enter"), html(css_class="gk-told")
        self.tries = html(css_class="gk-saved gk-told")
        check = self.button(self.words("check"), self.check, main=True)
        self.once_more = self.button(self.words("again"), self.again)
        return self.question_text, self.answers_box, row(check, self.once_more, self.tries), self.hint

    def paint(self) -> None:
        """Show what was last said to an answer."""
        last = self.memory.get("mark", {})
        tries = last.get("tries", 0)
        helped = self.exercise.steps and self.question and self.question.worked()
        show(self.once_more, bool(helped) and last.get("state") == "right")
        self.tries.value = join(self.words("tries", tries=tries) if tries else "")
        self.hint.value = el("p", el("b", self.words("hint")), f" {last['hint']}") if last.get("hint") else ""
        for box_id, steps in self.orders.items():
            steps.show(self.memory["order"][box_id])
        if last and last["answers"] != self.answers():
            self.tell(self.words("changed"), "open")  # what was said belongs to the answer before
        elif last:
            self.tell(last["message"], MARK_SIGNS[last["state"]])
        else:
            self.tell(self.words.texts["start"][self.exercise.kind.replace(" ", "_")], "open")

    def _heading(self, stamp: str = "") -> Html:
        kind = self.words("core" if self.exercise.core else "extra")
        return el("h3", f"{self.exercise.id} {self.exercise.title}") + small(f"{kind} · {stamp}" if stamp else kind)

    def offer(self) -> None:
        """Pose the question of the learner now named in the settings, unless it stands there already."""
        me = self.desk.me
        rounds = self.memory.get("rounds", [])
        drawn = draw(self.exercise.id, me["class_code"], me["nickname"], self.memory.get("draw"), again=len(rounds))
        if self.question and self.question.draw == drawn:
            return
        if self.memory.get("draw", {}).get("seed", drawn.seed) != drawn.seed:
            self.memory, self.question = {}, None  # another learner sat down here: their own numbers, no tries yet
            self.offer()
            return
        self.memory["draw"] = drawn.as_dict()
        self.question = pose(self.exercise, drawn, rounds)
        self.question_text.value = paragraphs(*self.question.text.split("\n\n")) + self._worked(self.question)
        for name in list(self.controls):
            self.drop(name)
        self.orders = {}
        self.answers_box.children = [child for box in self.question.boxes for child in self._answer(box)]

    def _worked(self, question: Question) -> Html:
        """The twin, open at first and later folded, and the steps that are done for the learner."""
        if not self.exercise.steps:
            return Html()
        twin = (el("summary", self.words("twin")), listed(question.twin(), "ol"))
        folded = el("details", *twin, open="open" if question.left == 1 else "")
        done = question.worked()
        return folded + (strong(self.words("worked")) + listed(done, "ol") if done else paragraphs(self.words("alone")))

    def again(self) -> None:
        """Other numbers, and less help where it went well."""
        self.memory = {"rounds": [*self.memory.get("rounds", []), self.memory["mark"]["tries"]]}
        self.refresh()

    def _answer(self, box: Box) -> list[widgets.Widget]:
        heading = html(strong(box.label))
        if self.exercise.kind == "number":
            control = self.keep(box.id, text_box(f"{box.label} [{box.unit}]" if box.unit else box.label))
            return [row(control, html(el("span", box.tolerance_text, class_="gk-saved")))]
        if self.exercise.kind == "pick one":
            return [heading, self.keep(box.id, pick(box.label, [(option.text, option.id) for option in box.options]))]
        if self.exercise.kind == "tick many":
            return [heading, *(self.keep(f"{box.id}.{option.id}", tick(option.text)) for option in box.options)]
        steps = [option.id for option in box.options]
        kept = dict.fromkeys(step for step in self.memory.setdefault("order", {}).get(box.id, ()) if step in steps)
        order = self.memory["order"][box.id] = [*kept, *(step for step in steps if step not in kept)]
        self.orders[box.id] = StepOrder(self, {option.id: option.text for option in box.options}, order)
        return [heading, self.orders[box.id].box]

    def answers(self) -> dict[str, Any]:
        """What the learner typed, picked, ticked or put in order, box by box."""
        assert self.question is not None
        found: dict[str, Any] = {}
        for box in self.question.boxes:
            if self.exercise.kind == "tick many":
                found[box.id] = [option.id for option in box.options if self.controls[f"{box.id}.{option.id}"].value]
            elif self.exercise.kind == "put in order":
                found[box.id] = list(self.memory["order"][box.id])
            else:
                found[box.id] = self.controls[box.id].value
        return found

    def check(self) -> None:
        """Mark the answer; a try goes into the book, an empty box does not count."""
        last = self.memory.get("mark", {})
        answers = self.answers()
        if last.get("state") == "right" and last["answers"] == answers:
            return
        assert self.question is not None
        marked = mark(self.question, answers, last.get("tries", 0))
        if marked.state != "blank":
            self.desk.book.add("exercise", **record_of(self.question, marked))
        hint = marked.hint or (last.get("hint", "") if marked.state == "blank" else "")
        said = {"state": marked.state, "message": marked.message, "hint": hint}
        self.memory["mark"] = {**said, "tries": marked.tries, "answers": answers}
        self.refresh()

    def __repr__(self) -> str:
        return f"<exercise {self.exercise.id}>"


class StepOrder:
    """Steps to put in order with buttons, since dragging needs a mouse."""

    def __init__(self, panel: ExerciseBox, texts: dict[str, str], order: list[str]) -> None:
        self.panel, self.texts, self.order = panel, texts, order
        self.lines = [html(css_class="gk-grow") for _ in order]
        rows = []
        for i, line in enumerate(self.lines):
            up = button(f"▲ {panel.words('up')}", partial(self.move, i, -1), name=panel.words("up_name", number=i + 1))
            down = button(f"▼ {panel.words('down')}", partial(self.move, i, 1), name=panel.words("down_name", number=i + 1))
            up.disabled, down.disabled = i == 0, i == len(order) - 1
            rows.append(row(line, row(up, down), css_class="gk-line"))
        self.box = stack(*rows)

    def show(self, order: list[str]) -> None:
        """Write the steps in this order."""
        self.order = order
        for i, (line, step) in enumerate(zip(self.lines, order, strict=True), 1):
            line.value = el("b", f"{i}.") + f" {self.texts[step]}"

    def move(self, i: int, by: int) -> None:
        """Move the step at place ``i`` (from 0) up or down by one."""
        j = i + by
        if 0 <= j < len(self.order):
            self.order[i], self.order[j] = self.order[j], self.order[i]
        self.panel.refresh()
