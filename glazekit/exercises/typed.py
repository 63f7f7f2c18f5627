"""Reading what a learner typed into a number box: ``28,44``, ``28.44 g``, ``0.1185 kg``, ``1/2``, with or without unit."""

from __future__ import annotations

from glazekit.exercises.question_parts import Box
from glazekit.ground.errors import NumberError
from glazekit.ground.numbers import parse_mass_g, parse_quantity, parse_volume_ml
from glazekit.words.texts import phrase

_SPELLINGS = {"gram": "g", "grams": "g", "gr": "g", "percent": "%", "per cent": "%", "cc": "ml", "g/cm3": "g/ml"}


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
