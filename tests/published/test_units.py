"""Ounces, pounds, pints and gallons against the constants of SciPy."""

from __future__ import annotations

import pytest

from glazekit.ground.numbers import parse_mass_g, parse_volume_ml

constants = pytest.importorskip("scipy.constants")


@pytest.mark.parametrize(("text", "name"), [("1 oz", "oz"), ("1 lb", "pound")])
def test_masses(text: str, name: str) -> None:
    assert parse_mass_g(text) == pytest.approx(getattr(constants, name) * 1000, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "name", "share"),
    [
        ("1 US fl oz", "fluid_ounce", 1),
        ("1 US pint", "gallon", 8),
        ("1 US quart", "gallon", 4),
        ("1 US gallon", "gallon", 1),
        ("1 imperial fl oz", "fluid_ounce_imp", 1),
        ("1 imperial pint", "gallon_imp", 8),
        ("1 imperial quart", "gallon_imp", 4),
        ("1 imperial gallon", "gallon_imp", 1),
    ],
)
def test_volumes(text: str, name: str, share: int) -> None:
    assert parse_volume_ml(text) == pytest.approx(getattr(constants, name) * 1e6 / share, rel=1e-12)
