"""Prediction box: say what you expect before you move anything; later the same question shows how your answer moved."""

from glazekit.drawing.markup import Html, el
from glazekit.exercises.bank import prediction, prediction_record, predictions_of
from glazekit.ground.errors import BookError
from glazekit.lab.controls import html, pick, row
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import small, strong


class PredictionBox(Panel):
    """One prediction, before or after. Each choice that is handed in goes into the book; the newest counts."""

    name = "prediction box"
    home = "00"

    def __init__(self, desk: Desk, prediction_id: str) -> None:
        super().__init__(desk)
        self.prediction = prediction(prediction_id)
        self.key = f"prediction {self.prediction.id}"

    def build(self) -> Children:
        """The question, its choices, one button."""
        text = self.prediction.text
        options = [(answer.text, answer.id) for answer in self.prediction.answers]
        self.choice = self.keep("choice", pick(text, options))
        button = self.button(self.words("hand_in"), self.hand_in, main=True)
        return html(strong(text)), self.choice, row(button)

    def paint(self) -> None:
        """Say what was handed in, and on an "after" question how the answer moved."""
        given = self.given(self.prediction.id)
        if given is None:
            self.tell(self.words(f"start_{self.prediction.when}"), "open")
            return
        said = self.prediction.reply(given)
        if self.prediction.when == "after":
            said += self._moved(given)
        judged = "ok" if given == self.prediction.expected else "look"
        self.tell(said, "note" if self.prediction.when == "before" else judged)

    def given(self, prediction_id: str) -> str | None:
        """The newest answer in the book; None when there is none."""
        entries = [e for e in self.desk.book.entries("prediction") if e.data["prediction"] == prediction_id]
        return str(entries[-1].data["answer"]) if entries else None

    def _moved(self, given: str) -> str:
        """How the answer moved since the question before the lesson on the same idea."""
        now = self.prediction
        asked = (p for p in predictions_of(now.lesson) if p.when == "before" and p.misconception == now.misconception)
        before = next(asked, None)
        first = self.given(before.id) if before else None
        if before is None or first is None:
            return ""
        told = next(answer.text for answer in before.answers if answer.id == first)
        was_right, is_right = first == before.expected, given == self.prediction.expected
        key = ("stayed" if was_right else "moved") if is_right else ("slipped" if was_right else "not_yet")
        return "\n" + self.words("before_said", told=told) + " " + self.words(key)

    def hand_in(self) -> None:
        """Write the choice into the book; panels that waited for it open."""
        if self.choice.value is None:
            raise BookError(self.words("choose_first"))
        self.desk.book.add("prediction", **prediction_record(self.prediction, self.choice.value))
        self.refresh()
        self.desk.refresh_others(self)

    def _heading(self, stamp: str = "") -> Html:
        return el("h3", self.words(self.prediction.when)) + small(stamp)

    def __repr__(self) -> str:
        return f"<prediction {self.prediction.id}>"
