"""The bank of exercises and predictions: reads the course text of a lesson and hands out value types.

Everything a learner reads stands in ``glazekit/words/lesson_NN.toml``; nothing learners read stands in Python.

The text of one exercise::

    [exercise."1.2"]
    title = "The cup on the scale"
    kind = "number"            # number, pick one, tick many, put in order
    core = true                # one of the three or four core exercises of the lesson; leave out for "if you like"
    text = "The empty cup weighs {cup_g} g ..."
    otherwise = "..."          # first try, when no known mistake fits
    first_step = "..."         # second try: the first step, with the learner's own numbers
    twin = "..."               # third try: a worked twin; placeholders are filled with OTHER numbers
    right_text = "..."         # when it is right
    box = [{ id = "feldspar_g", label = "Feldspar in the cup", unit = "g", tolerance = 0.05, decimals = 1 }]
    mistake = [{ id = "with_cup", text = "{display_g} g includes the cup ..." }]

A box of the other kinds has ``options`` ({id, text}) and ``right`` (option ids; for "put in order" the whole sequence),
and its mistakes say when they apply: ``picked`` or ``ticked`` or ``missed`` an option id, ``before`` = pairs of
option ids that stand in the wrong order. With several boxes a mistake also names its ``box``.

Placeholders are the names of the drawn numbers ({cup_g}), ``right_`` and a box id for a right value ({right_feldspar_g}),
and whatever the answer function gives as ``words`` ({display_g}). Only ``right_text`` and ``twin`` may show a right value.
A sum whose terms are printed rounded ends in ``{sum:2}``: its result is worked out from the printed terms (``posing.py``),
and ``{sum:2:lime_mol}`` keeps it for what follows in the same text as {lime_mol}.

A long sum has ``[[exercise."8.3".step]]`` tables in place of ``first_step`` and ``twin``: ``text``, a step of the working, and
``gives``, the boxes that it answers. Help then fades (``steps_left``): the twin is worked in sight, and of the learner's own
sum first the last step is left to do, then two, then all.

A prediction asks about one misconception twice: ``when = "before"`` (the reply only notes it) and ``"after"`` (the reply
explains)::

    [prediction.1a]
    misconception = "M1"
    when = "before"
    text = "..."
    expected = "100"
    answers = [{ id = "96", text = "96 g, ...", reply = "Noted. ..." }, ...]
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar

from glazekit.ground.errors import DataError, looked_up
from glazekit.words.course import course
from glazekit.words.texts import lesson_key, load

KINDS = ("number", "pick one", "tick many", "put in order")


@dataclass(frozen=True, slots=True)
class Option:
    """One thing to pick, tick or move."""

    id: str
    text: str


@dataclass(frozen=True, slots=True)
class Box:
    """One place for an answer.

    ``id``, ``label``: its name in the code and for the learner. A number is shown with its ``unit``; it may be off by
    ``tolerance`` [unit], which ``tolerance_text`` says in words once the question is posed, and a right value has so many
    ``decimals``. The other kinds have ``options``, and ``right``, ids of the right ones; for "put in order" all in order.
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
class Step:
    """One step of a worked sum, and the boxes whose answer stands in it."""

    text: str
    gives: tuple[str, ...] = ()


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
    steps: tuple[Step, ...] = ()

    def steps_left(self, rounds: Sequence[int]) -> int:
        """How many of its steps, the last ones, are left to a learner whose earlier ``rounds`` took so many tries each. One, then
        two, then all: a round that was right within two tries takes one step of help away."""
        return min(len(self.steps), (1, 2, len(self.steps))[min(2, sum(tries <= 2 for tries in rounds))])


@dataclass(frozen=True, slots=True)
class Answer:
    """One choice of a prediction and what the page says back."""

    id: str
    text: str
    reply: str


@dataclass(frozen=True, slots=True)
class Prediction:
    """A question for a misconception, asked before (noted, not judged) or after (explained) the learner has seen it. Parameters:
    id, lesson, such as "1a" and "01"; misconception, key of the course's list, such as "M1"; when, "before" or "after"; text, the
    question; answers, choices with their replies; expected, id of the choice that agrees with what is seen."""

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


_Found = TypeVar("_Found", Exercise, Prediction)
_Part = TypeVar("_Part", Answer, Box, Exercise, Mistake, Option, Prediction, Step)


def prediction_record(prediction: Prediction, answer_id: str) -> dict[str, Any]:
    """What the learner's book stores of a prediction (kind "prediction"); the book itself adds id and time."""
    prediction.reply(answer_id)
    return {"lesson": prediction.lesson, "prediction": prediction.id, "answer": answer_id, "moment": prediction.when}


@cache
def exercises_of(lesson: str | int) -> tuple[Exercise, ...]:
    """The exercises of a lesson, in course order.

    >>> [e.id for e in exercises_of(1) if e.core]
    ['1.1', '1.2', '1.5', '1.6']
    """
    key = lesson_key(lesson)
    return tuple(_as_exercise(key, name, entry) for name, entry in load(f"lesson_{key}").get("exercise", {}).items())


def exercise(exercise_id: str) -> Exercise:
    """One exercise by id such as "2.3".

    >>> exercise("1.2").kind
    'number'

    Raises DataError, naming the nearest id, when there is none.
    """
    return _by_id("exercise", exercise_id, exercises_of)


@cache
def predictions_of(lesson: str | int) -> tuple[Prediction, ...]:
    """The predictions of a lesson, in course order: each misconception has one before and one after."""
    key = lesson_key(lesson)
    return tuple(_as_prediction(key, name, entry) for name, entry in load(f"lesson_{key}").get("prediction", {}).items())


def prediction(prediction_id: str) -> Prediction:
    """One prediction by id such as "1a".

    >>> prediction("1a").misconception, prediction("1a").when
    ('M1', 'before')
    """
    return _by_id("prediction", prediction_id, predictions_of)


def _by_id(kind: str, given: str, of: Callable[[str], tuple[_Found, ...]]) -> _Found:
    known = {found.id: found for lesson in course() for found in of(lesson.number)}
    return looked_up(known, str(given).strip(), DataError, kind)


def _as_exercise(key: str, name: str, entry: Mapping[str, Any]) -> Exercise:
    fields = dict(entry)
    where = f"lesson_{key}.toml, exercise {name}"
    boxes = tuple(_as_box(where, box) for box in fields.pop("box", ()))
    mistakes = tuple(
        _build(where, Mistake, mistake | {"before": tuple(map(tuple, mistake.get("before", ())))})
        for mistake in fields.pop("mistake", ())
    )
    steps = tuple(_build(where, Step, step | {"gives": tuple(step.get("gives", ()))}) for step in fields.pop("step", ()))
    if steps:
        fields |= {"first_step": steps[0].text, "twin": "\n".join(step.text for step in steps), "steps": steps}
    built = _build(where, Exercise, {"id": name, "lesson": key, "boxes": boxes, "mistakes": mistakes} | fields)
    if built.kind not in KINDS:
        raise DataError(f"{where}: kind '{built.kind}' is not one of {', '.join(KINDS)}")
    if not boxes:
        raise DataError(f"{where}: there is no box to answer in")
    if unknown := {given for step in steps for given in step.gives} - {box.id for box in boxes}:
        raise DataError(f"{where}: a step gives '{min(unknown)}', which is no box")
    return built


def _as_box(where: str, entry: Mapping[str, Any]) -> Box:
    fields = dict(entry)
    options = tuple(_build(where, Option, option) for option in fields.pop("options", ()))
    right = tuple(fields.pop("right", ()))
    unknown = set(right) - {option.id for option in options}
    if unknown:
        raise DataError(f"{where}: right names the option '{sorted(unknown)[0]}', which is not there")
    return _build(where, Box, fields | {"options": options, "right": right})


def _as_prediction(key: str, name: str, entry: Mapping[str, Any]) -> Prediction:
    fields = dict(entry)
    where = f"lesson_{key}.toml, prediction {name}"
    answers = tuple(_build(where, Answer, answer) for answer in fields.pop("answers", ()))
    built = _build(where, Prediction, fields | {"id": name, "lesson": key, "answers": answers})
    if built.expected not in {answer.id for answer in answers}:
        raise DataError(f"{where}: expected '{built.expected}' is not one of the answers")
    return built


def _build(where: str, kind: type[_Part], fields: Mapping[str, Any]) -> _Part:
    """A value type from a TOML table, or one sentence saying which key is missing or unknown."""
    try:
        return kind(**fields)
    except TypeError as error:
        raise DataError(f"{where}: {kind.__name__.lower()}: {str(error).split('()')[-1].strip()}") from error
