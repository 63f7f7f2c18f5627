"""An estimate in words: never a number without its interval, unit and status."""

from __future__ import annotations

import pickle
import re
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

GUESS = Estimate("elastic modulus", 75.26, 66.7, 83.9, "GPa", "cold", "sciglass_open", "fitted")
RUN = RunClass("runs", "moves", "runs off", 4.3, (3.47, 22.16, 141.4), True, "", "sciglass_open", "fitted", "Gangway Clear")
PULL = FitChance(0.876, GUESS, 0.034, True, "", "sciglass_open", "fitted", "Cracked Lamp")
STEP = Change(0.31, -0.09, 0.71, "×10⁻⁶ per K", "Gangway Clear", 4.0, "sciglass_open", "fitted")

SAID = re.compile(
    r"(?:(?P<quantity>[a-z ]+): )?(?P<value>[−+\d.]+)(?P<times> times as much)? "
    r"\((?P<level>\d+) %: (?P<low>\S+) to (?P<high>\S+)\)"
    r"(?: (?P<unit>[^,]+))?(?:, compared with (?P<reference>[^,]+))?, (?P<status>fitted)(?P<weak>, uncertain)?(?:; (?P<note>.+))?"
)
"""How an estimate, a change and a ratio are said: what is in brackets is the interval."""


def parts(said: str) -> dict[str, str | None]:
    """What a sentence says, piece by piece; the whole sentence has to be of the form."""
    found = SAID.fullmatch(said)
    assert found, said
    return found.groupdict()


def numbers(said: str) -> tuple[str | None, ...]:
    """(value, low, high) as printed."""
    found = parts(said)
    return found["value"], found["low"], found["high"]


def test_number_interval_unit_and_status_stand_together() -> None:
    found = parts(say_estimate(GUESS))
    assert (found["quantity"], found["unit"], found["status"]) == ("elastic modulus", "GPa", "fitted")
    assert numbers(say_estimate(GUESS)) == ("75", "67", "84") and found["level"] == "90" and not found["weak"]
    assert parts(say_estimate(replace(GUESS, level=0.95)))["level"] == "95"


@pytest.mark.parametrize(
    ("value", "half", "said"),
    [
        (652.7, 66, ("653", "587", "719")),
        (6.514, 1.04, ("6.5", "5.5", "7.6")),
        (2.825, 0.578, ("2.8", "2.2", "3.4")),
        (0.1234, 0.1, ("0.12", "0.02", "0.22")),
        (-0.004, 0.04, ("0.00", "−0.04", "0.04")),
    ],
)
def test_as_many_decimals_as_the_interval_is_worth(value: float, half: float, said: tuple[str, str, str]) -> None:
    assert numbers(say_estimate(replace(GUESS, value=value, low=value - half, high=value + half))) == said


def test_without_a_value_the_reason_stands_in_its_place() -> None:
    refused = replace(GUESS, value=None, low=None, high=None, in_range=False, note="iron")
    said = say_estimate(refused)
    assert said.startswith(GUESS.quantity) and said.endswith("; iron") and refused.half_width is None
    assert not re.search(r"\d", said)


def test_a_weak_number_says_that_it_is_and_why() -> None:
    found = parts(say_estimate(replace(GUESS, in_range=False, note="matte")))
    assert found["weak"] and found["note"] == "matte" and found["value"] == "75"


def test_a_change_has_its_sign_its_interval_and_the_glaze_compared_with() -> None:
    found = parts(say_change(STEP))
    assert (found["unit"], found["reference"], found["status"]) == (STEP.unit, STEP.reference, STEP.status)
    assert numbers(say_change(STEP)) == ("+0.31", "−0.1", "+0.7")
    assert numbers(say_change(replace(STEP, value=-40.4, low=-70.2, high=-10.6, unit="°C"))) == ("−40", "−70", "−11")
    assert numbers(say_change(replace(STEP, value=-0.001, low=-0.4, high=0.398))) == ("0.00", "−0.4", "+0.4")
    assert parts(say_change(replace(STEP, in_range=False)))["weak"]


def test_a_glaze_against_itself_changes_nothing() -> None:
    said = say_change(replace(STEP, value=0.0, low=0.0, high=0.0))
    assert said.startswith("no change") and said.endswith(STEP.reference) and not re.search(r"\d", said)


RANGE = re.compile(r"(?P<name>[a-z ]+) \((?P<level>\d+) %: (?P<range>[a-z ]+)\), fitted(?P<weak>, uncertain)?(?:; (?P<note>.+))?")


def test_a_run_is_a_class_with_its_range_and_status() -> None:
    def found(run: RunClass) -> tuple[str | None, ...]:
        match = RANGE.fullmatch(say_run(run))
        assert match, say_run(run)
        return match.groups()

    name, level, between, weak, note = found(RUN)
    assert (name, level, weak, note) == ("runs", "90", None, None) and between.split(" to ") == ["moves", "runs off"]
    alone = found(replace(RUN, low_name="runs", high_name="runs", level=0.95))
    assert alone[:2] == ("runs", "95") and alone[2] and alone[2].startswith("no ")
    assert found(replace(RUN, in_range=False, note="matte"))[3:] == (", uncertain", "matte")
    refused = say_run(replace(RUN, name="", low_name="", high_name="", in_range=False, note="iron"))
    assert refused.startswith("no grade") and refused.endswith("; iron")


@pytest.mark.parametrize(
    ("ratio", "said"),
    [
        ((3.47, 22.16, 141.4), ("22", "3.5", "140")),
        ((0.0134, 0.0791, 0.469), ("0.079", "0.013", "0.47")),
        ((0.274, 0.9961, 9.96), ("1.0", "0.27", "10")),
    ],
)
def test_a_run_against_the_reference_has_two_digits_that_count(
    ratio: tuple[float, float, float], said: tuple[str, str, str]
) -> None:
    found = parts(say_run_ratio(replace(RUN, ratio=ratio)))
    assert (found["value"], found["low"], found["high"]) == said
    assert found["times"] and found["reference"] == RUN.reference and not found["weak"]


def test_a_huge_and_a_tiny_run_are_written_as_people_write() -> None:
    told = say_run_ratio(replace(RUN, ratio=(2.5e6, 3e-5, 1.2e7)))
    assert {"2500000", "0.00003", "12000000"} <= set(re.findall(r"[\d.e+-]+", told))


def test_where_runs_cannot_be_compared_it_says_so() -> None:
    assert parts(say_run_ratio(replace(RUN, ratio=(3.5, 22.0, 140.0), in_range=False)))["weak"]
    missing = say_run_ratio(replace(RUN, ratio=None))
    assert missing.startswith("no comparison") and missing.endswith(RUN.reference)
    same = say_run_ratio(replace(RUN, ratio=(1.0, 1.0, 1.0)))
    assert same.startswith("as much") and same.endswith(RUN.reference) and not re.search(r"\d", same)
    assert say_run_ratio(replace(RUN, ratio=None, reference="")) == ""


IN_100 = re.compile(
    r"(?P<what>.+): (?P<side>about|at most|at least) (?P<times>\d+) in 100, fitted(?P<weak>, uncertain)?(?:; (?P<note>.+))?"
)


def chance(said: str) -> tuple[str, int, bool, str | None]:
    """(about, at most or at least; so many of a hundred; is it uncertain; what to mind)."""
    found = IN_100.fullmatch(said)
    assert found, said
    return found["side"], int(found["times"]), bool(found["weak"]), found["note"]


def test_a_chance_is_so_many_in_100_with_its_status() -> None:
    assert chance(say_chance(PULL)) == ("about", 88, False, None)
    assert chance(say_chance(replace(PULL, tension_chance=0.004))) == ("at most", 5, False, None)
    assert chance(say_chance(replace(PULL, tension_chance=0.9999))) == ("at least", 95, False, None)
    assert chance(say_chance(replace(PULL, in_range=False, note="matte"))) == ("about", 88, True, "matte")
    refused = say_chance(replace(PULL, tension_chance=None, note="iron"))
    assert refused.endswith("; iron") and not re.search(r"\d", refused)


def test_a_chance_against_the_reference_names_it() -> None:
    assert chance(say_chance_against(PULL)) == ("at most", 5, False, None) and PULL.reference in say_chance_against(PULL)
    assert chance(say_chance_against(replace(PULL, in_range=False)))[2]
    missing = say_chance_against(replace(PULL, less_than_reference=None))
    assert missing.startswith("no comparison") and missing.endswith(PULL.reference)
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
