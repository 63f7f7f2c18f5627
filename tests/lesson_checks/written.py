"""Checks of a lesson's exercises and guesses as they are written: every part there, every placeholder with a value."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from string import Formatter

from wording import text_of

from glazekit.exercises.bank import Box, Exercise, Mistake, exercises_of, predictions_of
from glazekit.exercises.draws import solve
from glazekit.exercises.posing import Question, fill, pose
from glazekit.ground.errors import GlazekitError
from glazekit.words.course import Lesson
from lesson_checks.exercises import course_draw_numbers, draws, numbers_of, questions
from lesson_checks.sums import RESULT

LONG_UNITS = {
    **{"grams": "g", "kilograms": "kg", "millilitres": "mL", "litres": "L", "millimetres": "mm", "moles": "mol", "hours": "h"},
    **{"percent": "%", "kelvin": "K", "minutes": "min", "g of 100 g": "%"},
}
"""Units as texts say them, and as boxes have them."""
UNITS = re.compile(r"%|(?:mg|kg|g|lb|oz|mL|L|mm|cm|mol|h|min|s|K|°C|times|millionths)\b")


def placeholders(text: str) -> set[str]:
    """Names in the braces of a text; the result of a sum is worked out and not looked up, under whatever name it is kept."""
    found = [(name, spec) for _, name, spec, _ in Formatter().parse(text) if name is not None]
    return {name for name, _ in found} - {"sum", *(spec.partition(":")[2] for name, spec in found if name == "sum" and spec)}


def incomplete(lesson: Lesson) -> list[str]:
    """Every part of an exercise is there, no name stands twice, and every option that is named exists."""
    faults = []
    for found in exercises_of(lesson.number):
        parts = ("title", "text", "otherwise", "first_step", "twin", "right_text", "mistakes")
        faults += [f"{found.id}: {part} is empty" for part in parts if not getattr(found, part)]
        for what, ids in (("mistake", [m.id for m in found.mistakes]), ("box", [box.id for box in found.boxes])):
            faults += [f"{found.id}: two things are called {what} {name}" for name in ids if ids.count(name) > 1]
        if len({mistake.text for mistake in found.mistakes}) < len(found.mistakes):
            faults.append(f"{found.id}: two mistakes are told the same")
        for box in found.boxes:
            faults += [f"{found.id}, {box.id}: {why}" for why in _box_faults(found, box)]
        for mistake in found.mistakes:
            faults += [f"{found.id}, mistake {mistake.id}: {why}" for why in _mistake_faults(found, mistake)]
    return faults


def _box_faults(found: Exercise, box: Box) -> Iterator[str]:
    options = [option.id for option in box.options]
    if not box.label:
        yield "no label"
    if found.kind == "number":
        if options or not box.unit:
            yield "a number has a unit and no options"
        return
    if len(set(options)) < max(len(options), 2) or not box.right:
        yield "needs two options or more, each of its own name, and a right one"
    if found.kind == "pick one" and len(box.right) != 1:
        yield "one option is right"
    if found.kind == "put in order" and set(box.right) != set(options):
        yield "every step has its place"
    if found.kind in ("pick one", "tick many"):
        told = {m.picked or m.ticked for m in found.mistakes if m.box in ("", box.id)}
        yield from (f"option {name} has no message of its own" for name in set(options) - set(box.right) - told)


def _mistake_faults(found: Exercise, mistake: Mistake) -> Iterator[str]:
    ways = [mistake.picked, mistake.ticked, mistake.missed, mistake.before]
    if sum(map(bool, ways)) != (found.kind != "number"):
        yield "says in one way when it applies; a mistake in numbers is told by its value"
    options = {option.id for box in found.boxes if mistake.box in ("", box.id) for option in box.options}
    named = {name for name in (mistake.picked, mistake.ticked, mistake.missed) if name}
    yield from (f"there is no option {name}" for name in (named | {n for pair in mistake.before for n in pair}) - options)


def other_units_in_words(lesson: Lesson) -> list[str]:
    """Where a question, a label, a worked twin, a step or the word at the end says a unit, it is the one of its box."""
    faults = []
    for found in numbers_of(lesson):
        units = {box.id: box.unit for box in found.boxes}
        asked = [sentence for sentence in re.split(r"(?<=[.:?])\s", found.text) if sentence.endswith("?")]
        for word in re.findall(r"(?:how many|what|as|in) (\w+)", " ".join(asked), re.IGNORECASE):
            if not any(_fits(_short(word), unit.split()[0]) for unit in units.values()):
                faults.append(f"{found.id}: asks for {word}, its boxes for {' and '.join(units.values())}")
        for box in found.boxes:
            for said in re.findall(r"\[(.+)\]|\b(percent)\b", box.label):
                if _short("".join(said)) != box.unit:
                    faults.append(f"{found.id}, {box.id}: its label says {''.join(said)}, its unit is {box.unit}")
        texts = [found.right_text, found.twin, *(step.text for step in found.steps)]
        told = [(name, behind) for text in texts for name, behind in re.findall(r"\{right_(\w+)\} ([^{]*)", text)]
        for text, name in [
            (found.twin, found.boxes[-1].id),
            *((step.text, step.gives[-1]) for step in found.steps if step.gives),
        ]:
            told += [(name, text[result.end() :].removeprefix(" ")) for result in list(RESULT.finditer(text))[-1:]]
        faults += [
            f"{found.id}, {name}: its number is told in {behind[:20]}, its unit is {units[name]}"
            for name, behind in told
            if not _fits(_short(behind), units[name])
        ]
    return faults


def _short(said: str) -> str:
    for long, unit in LONG_UNITS.items():
        said = re.sub(rf"\b{long}\b", unit, said)
    return said


def _fits(said: str, unit: str) -> bool:
    """Does a text that follows a number begin with this unit, or with none; so many moles may leave unsaid of what."""
    wanted = "mol" if unit.startswith("mol per ") else re.escape(unit)
    return not UNITS.match(said) or bool(re.match(rf"{wanted}(?!\w| per )", said))


def without_a_message(lesson: Lesson) -> list[str]:
    """Every mistake that the answer function knows has its message, and no message is for a mistake it does not know."""
    faults = []
    for found in numbers_of(lesson):
        known, told = solve(found.id, dict(course_draw_numbers(found.id))).wrong, {mistake.id for mistake in found.mistakes}
        faults += [f"{found.id}: the mistake {name} has no message" for name in known.keys() - told]
        faults += [f"{found.id}: no answer is the mistake {name}" for name in told - known.keys()]
    return faults


def unfilled(lesson: Lesson) -> list[str]:
    """Every placeholder has a value; a twin shows its other numbers; a question does not hold its own answer."""
    faults = []
    for found in exercises_of(lesson.number):
        faults += _never_posed(found)
        for question in questions(found)[:1]:
            own = [found.text, found.otherwise, found.first_step, *(m.text for m in found.mistakes)]
            options = [option.text for box in found.boxes for option in box.options]
            missing = {name for text in (*own, *options, found.right_text) for name in placeholders(text)} - question.words.keys()
            missing |= placeholders(found.twin) - question.twin_words.keys()
            faults += [f"{found.id}: {{{name}}} has no value" for name in missing]
            if not missing:
                faults += _sums_left_open(question)
            if question.twin_words and "{" not in found.twin:
                faults.append(f"{found.id}: the twin shows none of its numbers")
            given = {name for text in own for name in placeholders(text) if name.startswith("right_")}
            faults += [f"{found.id}: {{{name}}} gives the answer away" for name in given]
            for box in question.boxes:
                key = "lesson_00.marking.tolerance" if box.tolerance else "lesson_00.marking.exact"
                told = {"tolerance": f"{box.tolerance:g}", "unit": box.unit} if box.tolerance else {}
                if box.tolerance_text != (text_of(key).format(**told) if found.kind == "number" else ""):
                    faults.append(f"{found.id}, {box.id}: tells its tolerance as '{box.tolerance_text}'")
    return faults


def _never_posed(found: Exercise) -> list[str]:
    """What keeps an exercise from being shown that can be drawn: then no other check has a question to look at."""
    try:
        drawn = draws(found)
    except GlazekitError:
        return []  # the fault of another check
    try:
        pose(found, drawn[0])
    except GlazekitError as error:
        return [str(error)]
    return []


def _sums_left_open(question: Question) -> Iterator[str]:
    found = question.exercise
    for text in (found.text, found.otherwise, found.first_step, found.right_text, *(mistake.text for mistake in found.mistakes)):
        if "{sum" in text and (why := _why_not(found, text, question.words)):
            yield why
    if why := _why_not(found, found.twin, question.twin_words):
        yield why


def _why_not(found: Exercise, text: str, words: Mapping[str, str]) -> str:
    try:
        fill(found, text, words)
    except GlazekitError as error:
        return str(error)
    return ""


def not_asked_twice(lesson: Lesson) -> list[str]:
    """Each misconception is asked about once before, where it is noted, and once after, where it is explained."""
    asked = predictions_of(lesson.number)
    faults = []
    for idea in {one.misconception for one in asked}:
        if sorted(one.when for one in asked if one.misconception == idea) != ["after", "before"]:
            faults.append(f"lesson {lesson.number}: {idea} is not asked about once before and once after")
    for one in asked:
        if not len({answer.id for answer in one.answers}) == len(one.answers) >= 3:
            faults.append(f"prediction {one.id}: needs three answers or more, each of its own name")
        for answer in one.answers:
            noted = answer.reply.split()[:1] == ["Noted."]
            if not answer.text or one.reply(answer.id) != answer.reply or noted != (one.when == "before"):
                faults.append(f"prediction {one.id}, answer {answer.id}: before is noted, after is explained")
    return faults


CHECKS = (incomplete, other_units_in_words, without_a_message, unfilled, not_asked_twice)
