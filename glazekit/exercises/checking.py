"""Marking: what a learner typed, picked, ticked or moved becomes a kind answer.

Order of looking: nothing there yet (not a try) - cannot be read (not a try) - right - a mistake we know - one of the
general slips (decimal point, swapped boxes, rounded too early) - none of these. Listed mistakes come before the general
slips because they say more about the same number; ``draws.well_apart`` keeps the answers of one question apart.
First try: the likely cause. Second: the cause and a first step with their numbers. Third: the cause and a worked twin
with other numbers. Nothing is ever blocked.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from glazekit.exercises.bank import Box, Mistake
from glazekit.exercises.posing import Question, fill, ordered
from glazekit.ground.errors import BookError, DataError, GlazekitError, NumberError
from glazekit.ground.numbers import parse_mass_g, parse_quantity, parse_volume_ml, show_number
from glazekit.kiln.schedule_text import minutes_of
from glazekit.words.texts import phrase

HINT_LEVELS = 3
SLIP_FACTORS = {"decimal_point": (10.0, 0.1), "hundred": (100.0, 0.01), "thousand": (1000.0, 0.001)}
"""General slips: a right answer times one of these. The names are phrases of the marker in lesson_00.toml."""
_DUST = 1e-9
_SPELLINGS = {"gram": "g", "grams": "g", "gr": "g", "percent": "%", "per cent": "%", "cc": "ml", "g/cm3": "g/ml"}
Answers = Mapping[str, str | Sequence[str] | None]


@dataclass(frozen=True, slots=True)
class Mark:
    """What the page says to an answer.

    ``state`` is "blank" (not a try: empty or unreadable), "right" or "try again"; ``message`` what to show, for a try the likely
    cause; ``hint`` the first step (second try) or worked twin (from the third), else empty; ``hint_level``, 0 to 3, how much help
    has been shown; ``tries`` counts this one too. ``boxes``: box id -> "blank", "unread", "right", "try again", or "" for a box
    not judged because another is blank or unread. ``mistake``: id of the mistake or general slip recognised, if any.
    """

    state: str
    message: str
    hint: str = ""
    hint_level: int = 0
    tries: int = 0
    boxes: Mapping[str, str] = field(default_factory=dict)
    mistake: str = ""


def mark(question: Question, answers: Answers, tries: int = 0) -> Mark:
    """Mark one attempt.

    Parameters: question, from ``pose``; answers, box id -> typed text, picked option id, or the ticked or ordered option ids;
    tries, made before this one.

    Returns a Mark; an empty or unreadable answer is no try.

    >>> from glazekit.exercises import bank, draws, posing
    >>> mark(posing.pose(bank.exercise("1.2"), draws.draw("1.2", "tuesday", "Wren")), {"feldspar_g": ""}).state
    'blank'
    """
    said = {box.id: answers.get(box.id) for box in question.boxes}
    empty = [box for box in question.boxes if _is_blank(question, box, said[box.id])]
    if empty:
        return _no_try(_blank_text(question, empty), {box.id: "blank" if box in empty else "" for box in question.boxes}, tries)
    if question.kind == "number":
        return _mark_numbers(question, {box: str(text) for box, text in said.items()}, tries)
    return _mark_choices(question, {box: _as_ids(choice) for box, choice in said.items()}, tries)


def record_of(question: Question, mark: Mark) -> dict[str, Any]:
    """What the learner's book stores of an exercise, and nothing else; the book itself adds id and time.

    >>> from glazekit.exercises import bank, draws, posing
    >>> question = posing.pose(bank.exercise("1.4"), draws.draw("1.4", "tuesday", "Wren"))
    >>> record_of(question, mark(question, {"move": "spoon_back"}))["seed"]
    'tuesday/wren/1.4'

    Raises BookError for an answer that was no try: nothing happened that a book could keep.
    """
    if mark.state == "blank":
        raise BookError(f"exercise {question.id} has not been answered yet; there is nothing to record")
    return {
        "exercise": question.id,
        "seed": question.draw.seed,
        "tries": mark.tries,
        "hint_level": mark.hint_level,
        "state": mark.state,
    }


def _as_ids(choice: str | Sequence[str] | None) -> tuple[str, ...]:
    if choice is None or choice == "":
        return ()
    return (choice,) if isinstance(choice, str) else tuple(choice)


def _is_blank(question: Question, box: Box, said: str | Sequence[str] | None) -> bool:
    if question.kind == "number":
        return not str(said if said is not None else "").strip(" \t\n…._-?")
    shown = tuple(option.id for option in box.options)
    return not _as_ids(said) or (question.kind == "put in order" and _as_ids(said) == shown)


def _blank_text(question: Question, empty: Sequence[Box]) -> str:
    if question.kind == "put in order":
        return phrase("blank_order")
    if len(empty) == len(question.boxes):
        return phrase("blank")
    return phrase("blank_some").format(boxes=", ".join(box.label for box in empty))


def read_answer(text: str, box: Box) -> float:
    """The number typed, in the unit of the box.

    A unit of the same kind is converted (kg in a g box); a unit of another kind is a misreading to be cleared up.

    >>> read_answer("0,1185 kg", Box("tin_g", "Tin oxide", "g"))
    118.5

    Raises a GlazekitError, in words for the learner, when the text is no number or its unit does not fit the box.
    """
    what = box.label[:1].lower() + box.label[1:]
    # where the course asks for decimals, 1,479 is a decimal comma; among whole numbers it may be a thousand and is asked about
    comma = True if "," in text and box.decimals else None
    value, typed = parse_quantity(text, what=what, decimal_comma=comma)
    unit, wanted = _plain(typed), _plain(box.unit)
    if not unit or unit in (wanted, wanted.partition("/")[0]):
        return value
    if wanted in ("g", "kg") and _is(parse_mass_g, unit):
        return parse_mass_g(text, what=what) / parse_mass_g(f"1 {wanted}")
    if wanted == "h":
        return minutes_of(text, what, comma, bare="h") / 60
    if wanted in ("ml", "l") and _is(parse_volume_ml, unit):
        return parse_volume_ml(text, what=what) / parse_volume_ml(f"1 {wanted}")
    raise NumberError(phrase("other_unit").format(box=box.label, unit=box.unit or phrase("no_unit"), typed=typed))


def _plain(unit: str) -> str:
    """A unit as compared: no case, no spaces, one spelling.

    >>> _plain("mL per 100 g"), _plain("Grams")
    ('ml/100g', 'g')
    """
    key = " ".join(unit.casefold().split()).rstrip(". ")
    return _SPELLINGS.get(key, key.replace(" per ", "/").replace(" ", ""))


def _is(parse: object, unit: str) -> bool:
    """Does this reader of masses or volumes know the unit?"""
    try:
        parse(f"1 {unit}")  # type: ignore[operator]
    except NumberError:
        return False
    return True


def _mark_numbers(question: Question, said: Mapping[str, str], tries: int) -> Mark:
    values: dict[str, float] = {}
    unread: dict[str, str] = {}
    for box in question.boxes:
        try:
            values[box.id] = read_answer(said[box.id], box)
        except GlazekitError as error:
            why = str(error).rstrip(".")
            unread[box.id] = f"{why[:1].upper()}{why[1:]}."
    if unread:
        states = {box.id: "unread" if box.id in unread else "" for box in question.boxes}
        return _no_try(phrase("unread").format(why=" ".join(unread.values())), states, tries)
    right = question.solution.right
    near = {box.id: abs(values[box.id] - right[box.id]) <= box.tolerance + _DUST for box in question.boxes}
    return _judged(question, near, tries, lambda states: _cause_of_numbers(question, values, states))


def _cause_of_numbers(question: Question, values: Mapping[str, float], states: Mapping[str, str]) -> tuple[str, str]:
    boxes = {box.id: box for box in question.boxes}
    right = question.solution.right
    texts = {mistake.id: mistake.text for mistake in question.exercise.mistakes}
    for name, shown in question.solution.wrong.items():
        asked = {box: value for box, value in shown.items() if box in boxes}
        if asked and all(_matches(values[box], value, right[box], boxes[box].tolerance) for box, value in asked.items()):
            return name, fill(question.exercise, texts[name], question.words)
    for box, state in states.items():
        if state != "right" and (slip := _general_slip(question, boxes[box], values[box])):
            return slip
    return "", fill(question.exercise, question.exercise.otherwise, question.words)


def _matches(value: float, target: float, right: float, tolerance: float) -> bool:
    """Is the value this target, as exactly in proportion as a right answer has to be? 2002 is 2001.8 where 0.1998 is wanted."""
    return abs(value - target) <= tolerance * (abs(target / right) if right else 1.0) + _DUST


def _general_slip(question: Question, box: Box, value: float) -> tuple[str, str] | None:
    """A slip that can happen in any exercise: name and message."""
    right = question.solution.right
    for name, factors in SLIP_FACTORS.items():
        if any(abs(value / factor - right[box.id]) <= max(box.tolerance, abs(right[box.id]) / 200) for factor in factors):
            name = "thousandths" if (name, box.unit) == ("thousand", "mol") else name
            return name, phrase(name).format(box=box.label, unit=box.unit)
    for other in question.boxes:
        if other.id != box.id and abs(value - right[other.id]) <= other.tolerance + _DUST:
            return "swapped", phrase("swapped").format(box=box.label, other=other.label)
    if name := _nearly(value, right[box.id], box):
        return name, phrase(name).format(box=box.label)
    return None


def _nearly(value: float, right: float, box: Box) -> str:
    """The right value with digits missing, or a little beside it; where it has no further digits, rounding is not the cause."""
    if any(abs(value - float(show_number(right, digits))) <= _DUST for digits in range(box.decimals)):
        return "rounded_early"
    if box.tolerance and abs(value - right) <= 3 * box.tolerance:
        return "near" if abs(right - round(right, box.decimals)) <= _DUST else "rounded_early"
    return ""


def _mark_choices(question: Question, said: Mapping[str, tuple[str, ...]], tries: int) -> Mark:
    chosen: dict[str, tuple[str, ...]] = {}
    same: dict[str, bool] = {}
    in_order = question.kind == "put in order"
    for box in question.boxes:
        ids = tuple(dict.fromkeys(said[box.id]))
        unknown = set(ids) - {option.id for option in box.options}
        if unknown:
            raise DataError(f"exercise {question.id}: '{sorted(unknown)[0]}' is not one of the options of {box.label}")
        if in_order and len(ids) < len(box.options):
            return _no_try(phrase("blank_order"), {box.id: "blank"}, tries)
        chosen[box.id] = ordered(box, ids) if in_order else ids
        same[box.id] = chosen[box.id] == box.right if in_order else set(ids) == set(box.right)
    return _judged(question, same, tries, lambda states: _cause_of_choices(question, chosen, states))


def _cause_of_choices(question: Question, chosen: Mapping[str, tuple[str, ...]], states: Mapping[str, str]) -> tuple[str, str]:
    for mistake in question.exercise.mistakes:
        for box in question.boxes:
            if mistake.box in ("", box.id) and states[box.id] != "right" and _shows(mistake, chosen[box.id]):
                return mistake.id, fill(question.exercise, mistake.text, question.words)
    return "", fill(question.exercise, question.exercise.otherwise, question.words)


def _shows(mistake: Mistake, chosen: tuple[str, ...]) -> bool:
    """Do these choices show this mistake?"""
    if mistake.picked or mistake.ticked:
        return (mistake.picked or mistake.ticked) in chosen
    if mistake.missed:
        return mistake.missed not in chosen
    return any(chosen.index(first) < chosen.index(second) for first, second in mistake.before)


def _no_try(message: str, boxes: Mapping[str, str], tries: int) -> Mark:
    return Mark("blank", message, hint_level=min(tries, HINT_LEVELS), tries=tries, boxes=boxes)


def _judged(
    question: Question, right: Mapping[str, bool], tries: int, cause: Callable[[Mapping[str, str]], tuple[str, str]]
) -> Mark:
    """A try: right box by box, or the cause of what is not and as much help as its number asks for."""
    exercise, states = question.exercise, {box: "right" if is_right else "try again" for box, is_right in right.items()}
    if all(right.values()):
        told = fill(exercise, exercise.right_text, question.words)
        return Mark("right", told, hint_level=min(tries, HINT_LEVELS), tries=tries + 1, boxes=states)
    mistake, message = cause(states)
    level, hint = min(tries + 1, HINT_LEVELS), ""
    if level == 2:
        hint = question.next_step() if exercise.steps else fill(exercise, exercise.first_step, question.words)
    elif level == HINT_LEVELS:
        hint = fill(exercise, exercise.twin, question.twin_words)
    return Mark("try again", message, hint, level, tries + 1, states, mistake)
