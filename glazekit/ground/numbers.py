"""Numbers as people type them (decimal commas, spaces, fractions, units), inside what makes sense, and as learners read them."""

import re
import unicodedata
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Context, Decimal, localcontext
from math import isfinite

from glazekit.ground.errors import AmbiguousNumberError, NumberError, RangeError, quoted, unknown_name

PLAIN_UNITS = (
    *("", "%", "percent", "part", "parts", "g", "gr", "gm", "gram", "grams", "ml", "cc"),
    *("°c", "c", "°", "mol", "moles", "mole", "g/ml", "g/cm3", "ml per 100 g", "ml/100 g"),
)
"""Units that may follow a number without changing it; kg or oz after a number of grams is an error, not 1000 times less."""
SIZED_UNITS = {"s": ("s", "sec", "seconds"), "min": ("min", "minutes"), "h": ("h", "hours"), "mm": ("mm",), "cm": ("cm",)}
"""Units with others of their kind beside them: one may follow only where it is the one asked for."""
KELVIN = 273.15
"""What is added to degrees Celsius to make kelvins."""
ROOM_C = 20.0
"""The room: a schedule starts here unless it says otherwise, a glaze cools to here [°C] (a rule of this course)."""
LONGEST = 40
"""Characters a typed number may have."""
_DASHES = dict.fromkeys(map(ord, "−–—‐‑－﹣"), "-")
_SIGNS = _DASHES | dict.fromkeys(map(ord, "⁄∕／"), "/") | {ord("％"): "%", ord("，"): ",", ord("．"): ".", ord("’"): "'"}
_QUANTITY = re.compile(
    r"(?P<sign>[+-]?)\s*(?P<number>(?:\d+\s+)?\d+\s*/\s*\d+|(?:\d[\d.,' ]*|[.,]\d+)(?:e[+-]?\d+)?)\s*(?P<unit>[^\d\s.,'].*)?",
    re.IGNORECASE,
)
_FAHRENHEIT = re.compile(r"℉|(?:[°º]|deg\w*\.?)? ?f(?:ahrenheit)?\.?")
_SPACED = re.compile(r"\d{1,3}([ '])\d{3}(?:\1\d{3})*(?:[.,]\d+)?")
_GROUPED = re.compile(r"\d{1,3}([.,])\d{3}(?:(?:\1\d{3})+(?:(?!\1)[.,]\d+)?|(?!\1)[.,]\d+)")
_ONE_SIGN = re.compile(r"(\d*)([.,])(\d*)")


def tidy_signs(text: str) -> str:
    """Typographic signs as plain ones: any space, minus, fraction or digit becomes ASCII; invisible marks go.

    >>> tidy_signs("−1½\\u202fg")
    '-1 1/2 g'
    """
    if text.isascii():
        return " ".join(text.split())
    plain = []
    for sign in text.translate(_SIGNS):
        kind = unicodedata.category(sign)
        if kind == "Nd":
            plain.append(str(unicodedata.decimal(sign)))
        elif kind == "No" and unicodedata.decomposition(sign).startswith("<fraction>"):
            plain.append(" " + unicodedata.normalize("NFKC", sign).replace("⁄", "/"))
        elif kind != "Cf":
            plain.append(sign)
    return " ".join("".join(plain).split())


def parse_number(text: str | float, what: str = "number", decimal_comma: bool | None = None, unit: str = "") -> float:
    """Read one number as typed: ``28.44``, ``28,44``, ``28.44 g``, ``1 1/2``, ``½``, ``1 250``.

    Parameters: text, as typed, a unit of ``PLAIN_UNITS`` may follow; what, is being read, for the error; decimal_comma, True if
    the text's neighbours use decimal commas, False if decimal points, None if unknown (it decides only ``1,250`` and ``1.250``;
    every other form speaks for itself); unit, what is asked for, where it is one of ``SIZED_UNITS``: it may then follow, and no
    other of its kind.

    >>> parse_number("18,40 %"), parse_number("1 1/2"), parse_number("1,250", decimal_comma=True)
    (18.4, 1.5, 1.25)

    Raises NumberError (no number, not finite, a unit that would change it, Fahrenheit) and AmbiguousNumberError (``1,250``).
    """
    value, typed = parse_quantity(text, what, decimal_comma)
    if _FAHRENHEIT.fullmatch(typed.casefold()):
        raise _odd(what, text, f"is in degrees Fahrenheit; write degrees Celsius, here {(value - 32) / 1.8:.0f} °C")
    if typed.casefold() not in (*PLAIN_UNITS, *SIZED_UNITS.get(unit, ())):
        inside = f" in {unit}" if unit else ""
        raise _odd(what, text, f"ends in {quoted(typed)}; write just the number{inside}, such as 28.44 or 28,44")
    return value


def parse_quantity(text: str | float, what: str = "number", decimal_comma: bool | None = None) -> tuple[float, str]:
    """Read a number and whatever unit follows it, unchanged.

    >>> parse_quantity("2.5 kg")
    (2.5, 'kg')
    """
    if isinstance(text, float) and not isfinite(text):
        raise _odd(what, text, "is not a finite number")
    given = str(text)
    if len(given) > LONGEST:
        raise _odd(what, text, "is too long to be a number")
    plain = tidy_signs(given)
    if not plain:
        raise NumberError(f"{_subject(what)} is missing; write a number such as 28.44 or 28,44")
    match = _QUANTITY.fullmatch(plain)
    if not match:
        raise _odd(what, text, "is not a number; write it like 28.44 or 28,44")
    value = _value(match["number"].strip().lower(), given, what, decimal_comma)
    return (-value if match["sign"] == "-" else value) + 0.0, (match["unit"] or "").rstrip()


def _subject(what: str) -> str:
    """How a sentence about something that was typed begins: a label with its unit stands for itself.

    >>> _subject("mass"), _subject("It weighs [g]")
    ('the mass', 'It weighs [g]')
    """
    return what if what.endswith("]") else f"the {what}"


def _odd(what: str, given: object, says: str) -> NumberError:
    """The error for something typed that is no number to go on with."""
    return NumberError(f"{_subject(what)} {quoted(given)} {says}")


def _value(digits: str, given: str, what: str, decimal_comma: bool | None) -> float:
    if "/" in digits:
        *whole, top, bottom = digits.replace("/", " ").split()
        if not int(bottom):
            raise _odd(what, given, "divides by 0")
        value = float(whole[0] if whole else 0) + int(top) / int(bottom)
    else:
        mantissa, _, exponent = digits.partition("e")
        plain = _with_point(mantissa.strip(), given, what, decimal_comma)
        value = float(f"{plain}e{exponent}" if exponent else plain)
    if not isfinite(value):
        raise _odd(what, given, "is too large")
    return value


def _with_point(digits: str, given: str, what: str, decimal_comma: bool | None) -> str:
    """Digits with at most one separator, a decimal point."""
    if digits.isdigit():
        return digits
    if one := _ONE_SIGN.fullmatch(digits):
        whole, sign, rest = one.groups()
        if rest or sign == ".":
            if not _could_be_thousands(whole, rest):
                return f"{whole or 0}.{rest}"
            if sign == "," and decimal_comma is None:
                raise AmbiguousNumberError(
                    f"{_subject(what)} {quoted(given)} could be {whole}{rest} or {f'{whole}.{rest}'.rstrip('0').rstrip('.')}; "
                    "write it without the comma or with a decimal point"
                )
            return f"{whole}.{rest}" if (sign == ",") == bool(decimal_comma) else whole + rest
    elif _SPACED.fullmatch(digits):
        return digits.replace(" ", "").replace("'", "").replace(",", ".")
    elif grouped := _GROUPED.fullmatch(digits):
        return digits.replace(grouped[1], "").replace(",", ".")
    raise _odd(what, given, "is not a number; write it like 28.44 or 28,44")


def _could_be_thousands(whole: str, rest: str) -> bool:
    """Is ``whole`` + separator + ``rest`` also how a number above a thousand is written?"""
    return len(rest) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")


def decimal_comma_in(texts: Iterable[str]) -> bool | None:
    """Which decimal sign do these numbers use: True for the comma, False for the point, None if they do not tell or disagree.

    >>> decimal_comma_in(["1,250", "18,4"]), decimal_comma_in(["1,250", "18.4"]), decimal_comma_in(["1,250", "7"])
    (True, False, None)
    """
    found = set()
    for text in texts:
        match = _QUANTITY.fullmatch(tidy_signs(text)) if len(text) <= LONGEST else None
        digits = match["number"].strip() if match else ""
        if one := _ONE_SIGN.fullmatch(digits):
            if one[3] and not _could_be_thousands(one[1], one[3]):
                found.add(one[2] == ",")
        elif grouped := _GROUPED.fullmatch(digits):
            found.add(grouped[1] == ".")
        elif _SPACED.fullmatch(digits) and digits[-1:].isdigit():
            found |= {sign == "," for sign in ",." if sign in digits}
    return found.pop() if len(found) == 1 else None


def parse_mass_g(text: str | float, what: str = "mass", decimal_comma: bool | None = None) -> float:
    """Read a mass and return grams [g]: ``100``, ``100g``, ``2.5 kg``, ``8 oz``, ``1 lb``, ``1 lb 4 oz``.

    >>> parse_mass_g("2,5 kg"), parse_mass_g("100")
    (2500.0, 100.0)

    Raises NumberError for an unknown unit and for ``1 lb 4``, RangeError below 0. Ounces and pounds are avoirdupois.
    """
    pounds, sign, ounces = tidy_signs(str(text)).lower().partition("lb")
    if not sign or not any(letter.isdigit() for letter in ounces):
        return _in_unit(text, "mass", "g", what, decimal_comma)
    if not re.search(r"\d ?(?:oz|ounces?)\b", ounces):
        raise AmbiguousNumberError(f"{_subject(what)} {quoted(text)} has pounds and something else; write it like 1 lb 4 oz")
    return sum(_in_unit(piece, "mass", "g", what, decimal_comma) for piece in (f"{pounds}lb", ounces.lstrip("s.,; ")))


def parse_volume_ml(text: str | float, what: str = "volume", decimal_comma: bool | None = None) -> float:
    """Read a volume and return millilitres [mL]: ``60``, ``60 ml``, ``1.5 l``, ``2 US pints``, ``1 imperial gallon``.

    >>> parse_volume_ml("1,5 l"), round(parse_volume_ml("1 US pint"))
    (1500.0, 473)

    Raises NumberError for an unknown unit and for a pint, quart, gallon or fluid ounce that does not say US or imperial.
    """
    return _in_unit(text, "volume", "ml", what, decimal_comma)


def _in_unit(text: str | float, quantity: str, default: str, what: str, decimal_comma: bool | None) -> float:
    from glazekit.ground.tables import read_table

    number, unit = parse_quantity(text, what, decimal_comma)
    if number < 0:
        raise RangeError(f"{_subject(what)} {quoted(text)} is below 0")
    rows = [row for row in read_table("units") if row["quantity"] == quantity]
    known = {spelling: row["factor"] for row in rows for spelling in row["spellings"].split("; ")}
    key = unit.casefold().replace(".", "").strip() or default
    if key in known:
        value = float(number * known[key])
        if not isfinite(value):
            raise _odd(what, text, "is too large")
        return value
    if f"us {key}" in known:
        us, imperial = known[f"us {key}"], known[f"imperial {key}"]
        raise _odd(what, text, f"could be a US {key} ({us:.0f} mL) or an imperial {key} ({imperial:.0f} mL); write which")
    begin = f"{_subject(what)} {quoted(text)}: "
    raise unknown_name(NumberError, f"unit of {quantity}", unit, known, where=begin, otherwise=f"write it in {default}")


def within(value: float, low: float, high: float, what: str, unit: str = "") -> float:
    """The value as a float when it lies from ``low`` to ``high``, both included; ``what`` is the quantity as a learner reads it.

    >>> within(100, 1, 100_000, "the base mass", "g")
    100.0

    Raises NumberError when it is no finite number, RangeError when it is outside.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise NumberError(f"{what} is {value!r}; a plain number is needed")
    if not low <= value <= high:
        space = " " if unit else ""
        raise RangeError(f"{what} is {value:.12g}{space}{unit}; allowed is {low:.12g} to {high:.12g}{space}{unit}")
    return float(value)


def decimals_of(division: float) -> int:
    """Decimals a scale of this division shows: 0.1 -> 1, 0.05 -> 2, 5 -> 0.

    >>> [decimals_of(division) for division in (5, 0.5, 0.1, 0.01)]
    [0, 1, 1, 2]
    """
    exponent = Decimal(repr(float(division))).normalize().as_tuple().exponent
    return max(0, -int(exponent))


def show_number(value: float, decimals: int = 2) -> str:
    """A number for the screen with fixed decimals, halves rounded up as on paper, never ``-0``.

    >>> show_number(2.675), show_number(-0.001, 1)
    ('2.68', '0.0')
    """
    return _rounded(value, Decimal(1).scaleb(-decimals))


def _rounded(value: float, step: Decimal) -> str:
    """The multiple of ``step`` nearest to the value as its shortest decimals read, halves up."""
    if not isfinite(value):
        raise NumberError("a number that is not finite cannot be shown")
    with localcontext(Context(prec=400)):
        rounded = (Decimal(repr(float(value))) / step).quantize(Decimal(1), ROUND_HALF_UP) * step
    return f"{rounded if rounded else abs(rounded):f}"


def show_g(mass_g: float, division_g: float | None = None) -> str:
    """Grams for the screen: in steps of the scale's division, or 0.1 g from 10 g up and 0.01 g below.

    >>> show_g(28.44), show_g(2.444), show_g(28.44, 0.5), show_g(28.44, 1)
    ('28.4 g', '2.44 g', '28.5 g', '28 g')
    """
    if division_g is None:
        return f"{show_number(mass_g, 1 if abs(mass_g) >= 9.995 else 2)} g"
    if not (division_g > 0 and isfinite(division_g)):
        raise RangeError(f"the scale's division is {division_g:g} g; it must be more than 0")
    return f"{_rounded(mass_g, Decimal(plain_text(division_g)))} g"


def show_ml(volume_ml: float) -> str:
    """Millilitres for the screen: whole from 10 mL up, 0.1 mL below.

    >>> show_ml(60), show_ml(2.44)
    ('60 mL', '2.4 mL')
    """
    return f"{show_number(volume_ml, 0 if abs(volume_ml) >= 9.95 else 1)} mL"


def show_percent(percent: float, decimals: int = 1) -> str:
    """A percentage for the screen.

    >>> show_percent(43.97)
    '44.0 %'
    """
    return f"{show_number(percent, decimals)} %"


def plain_text(value: float) -> str:
    """The shortest text that reads back as exactly this number, with a decimal point: for files, not for the screen.

    >>> plain_text(26.0), plain_text(0.1)
    ('26', '0.1')
    """
    return repr(float(value)).removesuffix(".0")
