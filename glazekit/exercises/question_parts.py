"""The value types of the bank: an exercise and its boxes, options and known mistakes; a prediction and its choices."""

from __future__ import annotations

from dataclasses import dataclass

from glazekit.ground.errors import DataError

KINDS = ("number", "pick one", "tick many", "put in order")


@dataclass(frozen=True, slots=True)
class Option:
    """One thing to pick, tick or move."""

    id: str
    text: str


@dataclass(frozen=True, slots=True)
class Box:
    """One place for an answer.

    Parameters
    ----------
    id, label : name in the code, name for the learner.
    unit : unit of a number, as shown beside the box.
    tolerance : how far a number may be off [unit of the box].
    decimals : digits after the point when a right value is shown.
    options : what can be picked, ticked or moved (not for numbers).
    right : ids of the right options; for "put in order" all of them in order.
    tolerance_text : the tolerance in words, filled in when the question is posed.
    """

    id: str
    label: str
    unit: str = ""
    tolerance: float = 0.0
    decimals: int = 2
    options: tuple[Option, ...] = ()
    right: tuple[str, ...] = ()
    tolerance_text: str = ""


@dataclass(frozen=True, slots=True)
class Mistake:
    """A mistake we know, with its own message; the four conditions are for the kinds without numbers."""

    id: str
    text: str
    box: str = ""
    picked: str = ""
    ticked: str = ""
    missed: str = ""
    before: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Exercise:
    """An exercise as written, with placeholders; ``pose`` in posing.py fills them."""

    id: str
    lesson: str
    title: str
    kind: str
    text: str
    otherwise: str
    first_step: str
    twin: str
    right_text: str
    boxes: tuple[Box, ...]
    mistakes: tuple[Mistake, ...]
    core: bool = False
    shuffle: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """One choice of a prediction and what the page says back."""

    id: str
    text: str
    reply: str


@dataclass(frozen=True, slots=True)
class Prediction:
    """A question for a misconception, asked before (noted, not judged) or after (explained) the learner has seen it.

    Parameters
    ----------
    id, lesson : such as "1a" and "01".
    misconception : key of the course's list, such as "M1".
    when : "before" or "after".
    text : the question.
    answers : choices with their replies.
    expected : id of the choice that agrees with what they will see.
    """

    id: str
    lesson: str
    misconception: str
    when: str
    text: str
    answers: tuple[Answer, ...]
    expected: str

    def reply(self, answer_id: str) -> str:
        """What the page says to this choice."""
        for answer in self.answers:
            if answer.id == answer_id:
                return answer.reply
        raise DataError(f"prediction {self.id} has no choice '{answer_id}'; it has {', '.join(a.id for a in self.answers)}")
