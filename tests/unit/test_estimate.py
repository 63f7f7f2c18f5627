"""An estimate in words: never a number without its interval, unit and status."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError, replace

import pytest

from glazekit.ground.estimate import Change, Estimate, say_change, say_estimate

GUESS = Estimate("stiffness", 75.26, 66.7, 83.9, "GPa", "cold", "sciglass_open", "fitted")
STEP = Change(0.31, -0.09, 0.71, "×10⁻⁶ per K", "Gangway Clear", 4.0, "sciglass_open", "fitted")


def test_number_interval_unit_and_status_stand_together() -> None:
    assert say_estimate(GUESS) == "stiffness: 75 (90 %: 67 to 84) GPa, fitted"
    assert say_estimate(replace(GUESS, level=0.95)) == "stiffness: 75 (95 %: 67 to 84) GPa, fitted"


@pytest.mark.parametrize(
    ("value", "half", "said"),
    [
        (652.7, 66, "653 (90 %: 587 to 719)"),
        (6.514, 1.04, "6.5 (90 %: 5.5 to 7.6)"),
        (2.825, 0.578, "2.8 (90 %: 2.2 to 3.4)"),
        (0.1234, 0.1, "0.12 (90 %: 0.02 to 0.22)"),
        (-0.004, 0.04, "0.00 (90 %: -0.04 to 0.04)"),
    ],
)
def test_as_many_decimals_as_the_interval_is_worth(value: float, half: float, said: str) -> None:
    assert said in say_estimate(replace(GUESS, value=value, low=value - half, high=value + half))


def test_without_a_value_the_reason_stands_in_its_place() -> None:
    refused = replace(GUESS, value=None, low=None, high=None, in_range=False, note="too much iron")
    assert say_estimate(refused) == "stiffness: no number; too much iron" and refused.half_width is None


def test_a_weak_number_says_that_it_is_and_why() -> None:
    assert say_estimate(replace(GUESS, in_range=False, note="it is matte")).endswith("GPa, fitted, uncertain; it is matte")


def test_a_change_has_its_sign_its_interval_and_the_glaze_compared_with() -> None:
    assert say_change(STEP) == "+0.31 (90 %: -0.1 to +0.7) ×10⁻⁶ per K, compared with Gangway Clear, fitted"
    assert say_change(replace(STEP, value=-40.4, low=-70.2, high=-10.6, unit="°C")).startswith("-40 (90 %: -70 to -11) °C")
    assert say_change(replace(STEP, value=-0.001, low=-0.4, high=0.398)).startswith("0.00 (90 %: -0.4 to +0.4)")


def test_a_glaze_against_itself_changes_nothing() -> None:
    assert say_change(replace(STEP, value=0.0, low=0.0, high=0.0)) == "no change: the same glaze as Gangway Clear"


def test_the_direction_is_known_when_nothing_is_outside_the_interval() -> None:
    assert not STEP.direction_known
    assert replace(STEP, low=0.1).direction_known and replace(STEP, value=-0.3, low=-0.5, high=-0.1).direction_known


def test_the_number_cannot_slip_away_alone() -> None:
    with pytest.raises(TypeError):
        float(GUESS)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        GUESS + 1  # type: ignore[operator]
    with pytest.raises(FrozenInstanceError):
        GUESS.value = 80.0  # type: ignore[misc]


def test_it_can_be_kept() -> None:
    assert pickle.loads(pickle.dumps(replace(GUESS, change=STEP))) == replace(GUESS, change=STEP)
    assert len({GUESS, replace(GUESS)}) == 1
