"""An estimate in words: never a number without its interval, unit and status."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError, replace

import pytest

from glazekit.ground.estimate import (
    Change,
    Estimate,
    FitChance,
    RunClass,
    say_chance,
    say_chance_against,
    say_change,
    say_estimate,
    say_run,
    say_run_ratio,
)

GUESS = Estimate("stiffness", 75.26, 66.7, 83.9, "GPa", "cold", "sciglass_open", "fitted")
RUN = RunClass("runs", "moves", "runs off", 4.3, (3.47, 22.16, 141.4), True, "", "sciglass_open", "fitted", "Gangway Clear")
PULL = FitChance(0.876, GUESS, 0.034, True, "", "sciglass_open", "fitted", "Cracked Lamp")
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
    assert say_change(replace(STEP, in_range=False)).endswith("compared with Gangway Clear, fitted, uncertain")


def test_a_run_is_a_class_with_its_range_and_status() -> None:
    assert say_run(RUN) == "runs (90 %: moves to runs off), fitted"
    assert say_run(replace(RUN, low_name="runs", high_name="runs", level=0.95)) == "runs (95 %: no other class), fitted"
    weak = replace(RUN, in_range=False, note="it is matte")
    assert say_run(weak) == "runs (90 %: moves to runs off), fitted, uncertain; it is matte"
    refused = replace(RUN, name="", low_name="", high_name="", in_range=False, note="too much iron")
    assert say_run(refused) == "no class; too much iron"


@pytest.mark.parametrize(
    ("ratio", "said"),
    [
        ((3.47, 22.16, 141.4), "22 times as much (90 %: 3.5 to 140)"),
        ((0.0134, 0.0791, 0.469), "0.079 times as much (90 %: 0.013 to 0.47)"),
        ((0.274, 0.9961, 9.96), "1.0 times as much (90 %: 0.27 to 10)"),
    ],
)
def test_a_run_against_the_reference_has_two_digits_that_count(ratio: tuple[float, float, float], said: str) -> None:
    assert say_run_ratio(replace(RUN, ratio=ratio)) == f"{said}, compared with Gangway Clear, fitted"


def test_where_runs_cannot_be_compared_it_says_so() -> None:
    assert say_run_ratio(replace(RUN, ratio=(3.5, 22.0, 140.0), in_range=False)).endswith("Gangway Clear, fitted, uncertain")
    assert say_run_ratio(replace(RUN, ratio=None)) == "no comparison with Gangway Clear"
    assert say_run_ratio(replace(RUN, ratio=(1.0, 1.0, 1.0))) == "as much: the same glaze as Gangway Clear"
    assert say_run_ratio(replace(RUN, ratio=None, reference="")) == ""


def test_a_chance_is_so_many_in_100_with_its_status() -> None:
    assert say_chance(PULL) == "chance of a pull: about 88 in 100, fitted"
    assert say_chance(replace(PULL, tension_chance=0.004)).endswith("less than 1 in 100, fitted")
    assert say_chance(replace(PULL, tension_chance=0.9999)).endswith("more than 99 in 100, fitted")
    assert say_chance(replace(PULL, in_range=False, note="it is matte")).endswith("fitted, uncertain; it is matte")
    assert say_chance(replace(PULL, tension_chance=None, note="too much iron")) == "chance of a pull: no number; too much iron"


def test_a_chance_against_the_reference_names_it() -> None:
    assert say_chance_against(PULL) == "chance to be pulled less than Cracked Lamp: about 3 in 100, fitted"
    assert say_chance_against(replace(PULL, in_range=False)).endswith("about 3 in 100, fitted, uncertain")
    assert say_chance_against(replace(PULL, less_than_reference=None)) == "no comparison with Cracked Lamp"
    assert say_chance_against(replace(PULL, reference="")) == ""


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
