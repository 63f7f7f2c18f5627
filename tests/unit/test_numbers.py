"""Numbers as typed: every common form is read, nothing is read that could mean two things."""

from __future__ import annotations

import pytest

from glazekit.ground.errors import AmbiguousNumberError, GlazekitError, NumberError, RangeError
from glazekit.ground.numbers import (
    decimal_comma_in,
    decimals_of,
    parse_mass_g,
    parse_number,
    parse_volume_ml,
    plain_text,
    show_g,
    show_ml,
    show_number,
    show_percent,
)

TYPED = {
    "28.44": 28.44,
    "28,44": 28.44,
    " 28.44 g": 28.44,
    "28.44%": 28.44,
    "60 mL": 60,
    "1.45 g/mL": 1.45,
    "7": 7,
    "5.": 5,
    ".5": 0.5,
    ",5": 0.5,
    "-3": -3,
    "\u22123": -3,
    "+3": 3,
    "1/2": 0.5,
    "1 1/2": 1.5,
    "\u00bd": 0.5,
    "1\u00bd": 1.5,
    "3\u2044 4": 0.75,
    "0,125": 0.125,
    "0.125": 0.125,
    "1.250": 1.25,
    "12,5000": 12.5,
    "1 250": 1250,
    "1\u00a0250,5": 1250.5,
    "1\u202f250": 1250,
    "1'250.5": 1250.5,
    "1,250.5": 1250.5,
    "1.250,5": 1250.5,
    "1.250,500": 1250.5,
    "1,250,000": 1_250_000,
    "1.250.000": 1_250_000,
    "1250,500": 1250.5,
    "1E+03": 1000,
    "2.5e-1": 0.25,
    "\uff11\uff12": 12,
    "\u0663": 3,
}


@pytest.mark.parametrize(("text", "value"), TYPED.items())
def test_typed_forms(text: str, value: float) -> None:
    assert parse_number(text) == pytest.approx(value, rel=1e-15)


def test_a_unit_of_another_size_is_never_taken_for_the_number() -> None:
    """2 min are not 2 s, half a centimetre is not half a millimetre, an hour is not a minute."""
    for text, unit in (("2 min", "s"), ("0.5 cm", "mm"), ("1 h", "min"), ("2 min", ""), ("5 mm", "")):
        with pytest.raises(NumberError, match="write just the number"):
            parse_number(text, unit=unit)
    assert parse_number("3 s", unit="s") == 3
    assert parse_number("0,5 mm", unit="mm") == 0.5
    assert parse_number("20 minutes", unit="min") == 20
    assert parse_number("20", unit="min") == 20


@pytest.mark.parametrize("text", ["2232F", "2232 °F", "2232 deg F", "2232 degrees Fahrenheit", "2232f", "2232 ºF", "2 232 ℉"])
def test_fahrenheit_is_named_and_told_in_celsius(text: str) -> None:
    with pytest.raises(NumberError, match=r"Fahrenheit.*\b1222 °C"):  # (2232 - 32) / 1.8
        parse_number(text)


WORDS = "abc nan inf -inf Infinity \u221e 1e999 1/0 1//2 1,2,3 1.2.3 12,50,000 1-2 --1 5, 1, . , - / 10\u00b2 1e 0x10 1_000 \x00"
NO_NUMBERS = [*WORDS.split(" "), "", "  ", "1 25", "2.5 kg", "3 oz", "4 apples", "9" * 50, "9" * 5000]


@pytest.mark.parametrize("text", NO_NUMBERS)
def test_what_is_no_number_is_one_clear_line(text: str) -> None:
    with pytest.raises(NumberError) as caught:
        parse_number(text, "answer")
    message = str(caught.value)
    assert "answer" in message and "\n" not in message and len(message) < 200


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_numbers_that_are_not_finite_are_refused(value: float) -> None:
    with pytest.raises(NumberError):
        parse_number(value)


def test_one_comma_and_three_digits_is_asked_back_and_the_neighbours_decide() -> None:
    with pytest.raises(AmbiguousNumberError, match=r"1250 or 1\.25"):
        parse_number("1,250")
    assert parse_number("1,250", decimal_comma=True) == 1.25
    assert parse_number("1,250", decimal_comma=False) == 1250
    assert parse_number("1.250", decimal_comma=True) == 1250
    assert parse_number("1.250", decimal_comma=False) == 1.25


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        (["18,4"], True),
        (["18.4", "7"], False),
        (["18,4", "18.4"], None),
        (["1,250", "7"], None),
        (["1.250", "7"], None),
        (["0,125"], True),
        (["1,250.5"], False),
        (["1.250,5"], True),
        (["1,250,000"], False),
        (["1 250,5"], True),
        (["18,4 %", "x"], True),
        ([], None),
    ],
)
def test_neighbours(texts: list[str], expected: bool | None) -> None:
    assert decimal_comma_in(texts) is expected


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("100", 100),
        ("100g", 100),
        ("2,5 kg", 2500),
        ("500 mg", 0.5),
        ("2 kilos", 2000),
        ("3 Grams", 3),
        ("0", 0),
        ("1/2 kg", 500),
    ],
)
def test_masses(text: str, grams: float) -> None:
    assert parse_mass_g(text) == pytest.approx(grams)


def test_pounds_and_ounces_together() -> None:
    for both, alone in (("1 lb 4 oz", "20 oz"), ("2 lbs. 8 oz", "2.5 lb"), ("1 lb" + " " * 33 + "12 oz", "28 oz")):
        assert parse_mass_g(both) == pytest.approx(parse_mass_g(alone))


@pytest.mark.parametrize("text", ["", "5 ml", "3 stone", "g", "1e308 kg", "nan", "1 lb 4 ml", "1 lb 4", "1 lb 4 g", "1 lb 4 lb"])
def test_masses_refused(text: str) -> None:
    with pytest.raises(NumberError):
        parse_mass_g(text)


def test_a_negative_mass_and_volume_are_out_of_range() -> None:
    for parse in (parse_mass_g, parse_volume_ml):
        with pytest.raises(RangeError, match="below 0"):
            parse("-5")


def test_a_misspelt_unit_gets_a_hint() -> None:
    with pytest.raises(NumberError, match="did you mean 'gram"):
        parse_mass_g("5 grms")


@pytest.mark.parametrize(
    ("text", "ml"), [("60", 60), ("60 mL", 60), ("1,5 l", 1500), ("2 litres", 2000), ("3 cl", 30), ("5cc", 5)]
)
def test_volumes(text: str, ml: float) -> None:
    assert parse_volume_ml(text) == pytest.approx(ml)


@pytest.mark.parametrize("unit", ["pint", "pints", "quart", "gallon", "fl oz", "fl. oz."])
def test_a_pint_must_say_whose(unit: str) -> None:
    with pytest.raises(NumberError, match=r"US .* imperial"):
        parse_volume_ml(f"1 {unit}")


def test_what_is_shown() -> None:
    assert [show_g(grams) for grams in (0, 0.004, 9.994, 9.996, 28.44, 1234.56)] == [
        "0.00 g",
        "0.00 g",
        "9.99 g",
        "10.0 g",
        "28.4 g",
        "1234.6 g",
    ]
    assert show_number(-0.0001, 2) == "0.00"
    assert show_number(0.125, 2) == "0.13", "a half goes up, as on paper"
    assert show_ml(60.4) == "60 mL" and show_ml(2.44) == "2.4 mL"
    assert show_percent(100 / 3) == "33.3 %"


@pytest.mark.parametrize(
    ("division", "text"), [(0.01, "28.44 g"), (0.1, "28.4 g"), (0.5, "28.5 g"), (1, "28 g"), (5, "30 g"), (2, "28 g")]
)
def test_grams_never_show_more_than_the_scale(division: float, text: str) -> None:
    assert show_g(28.44, division) == text
    assert len(text.split()[0].partition(".")[2]) == decimals_of(division)


def test_a_half_division_is_not_lost_to_binary_fractions() -> None:
    assert show_g(0.15, 0.1) == "0.2 g"
    assert show_g(2.675, 0.01) == "2.68 g"


@pytest.mark.parametrize("division", [0, -0.1, float("nan")])
def test_a_scale_has_a_division(division: float) -> None:
    with pytest.raises(RangeError):
        show_g(5, division)


def test_text_for_files_is_exact() -> None:
    for value in (0.1, 1 / 3, 26.0, 1e-9, 123456789.123, 5e-324, 1.7e308):
        assert parse_number(plain_text(value)) == value


@pytest.mark.parametrize(("text", "rest"), [("abc", "'abc' is not a number"), ("", "is missing"), ("-3", "'-3' is below 0")])
def test_a_label_with_its_unit_begins_the_sentence_by_itself(text: str, rest: str) -> None:
    with pytest.raises(GlazekitError, match=rf"^It weighs \[g\] {rest}"):
        parse_mass_g(text, "It weighs [g]")
    with pytest.raises(GlazekitError, match=rf"^the whiting {rest}"):
        parse_mass_g(text, "whiting")
