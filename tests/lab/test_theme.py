"""The look: tones that stay apart in grey, letters that stand out from their ground (WCAG 2.2, 1.4.3)."""

from __future__ import annotations

import re
from itertools import pairwise

from glazekit.drawing.strokes import INK, PAPER, SIGNS, TONES
from glazekit.lab.browser import style_sheet


def luminance(colour: str) -> float:
    """Relative luminance of sRGB, as WCAG 2.2 defines it."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def lightness(colour: str) -> float:
    """CIE L*."""
    y = luminance(colour)
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


def contrast(one: str, two: str) -> float:
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_is_21() -> None:
    assert round(contrast("#000000", "#ffffff"), 2) == 21
    assert round(lightness("#777777")) == 50


def test_tones_stay_apart_in_grey() -> None:
    steps = sorted(lightness(tone) for tone in TONES.values())
    assert min(after - before for before, after in pairwise(steps)) >= 12


def test_letters_stand_out() -> None:
    assert contrast(INK, PAPER) >= 7
    assert contrast(TONES["deep water"], PAPER) >= 7
    assert contrast("#ffffff", TONES["deep water"]) >= 7
    for colour in re.findall(r"[^-]color: (#[0-9a-f]{6})", style_sheet()):
        assert colour == "#ffffff" or contrast(colour, "#fff7e2") >= 4.5, colour


def test_every_sign_has_a_shape_of_its_own() -> None:
    assert len(set(SIGNS.values())) == len(SIGNS)


def test_the_style_sheet_touches_nothing_but_panels() -> None:
    rules = re.sub(r"/\*.*?\*/", "", style_sheet(), flags=re.S)
    rules = re.sub(r"@media[^{]*\{(.*?\})\s*\}", r"\1", rules, flags=re.S)
    for selectors in re.findall(r"([^{}]+)\{", rules):
        for selector in re.split(r",(?![^(]*\))", selectors):
            assert ".gk-" in selector, selector.strip()
