"""Cone temperatures against what was read in the journals of 1886 and 1896, typed again from the page."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from glazekit.kiln.cones import cone_temperatures

ESTIMATES, OBSERVED = "Seger cones, estimates of 1896", "Seger cones, means observed before 1896"
SEGER_1886 = Path(__file__).with_name("cases") / "seger_cones_1886.csv"


def temps(series: str) -> dict[str, float]:
    return {row.cone: row.temp_c for row in cone_temperatures(series=series)}


def test_hechts_ladder_has_steps_of_30_up_to_010_and_of_20_above() -> None:
    """The rule he gives; cone 13 alone is printed 10 degrees off it."""
    found = temps(ESTIMATES)
    low = [f"0{number}" for number in range(22, 9, -1)]
    high = [*(f"0{number}" for number in range(9, 0, -1)), *(str(number) for number in range(1, 21))]
    assert [found[cone] for cone in low] == [590 + 30 * step for step in range(13)]
    off = {cone: found[cone] - (970 + 20 * step) for step, cone in enumerate(high)}
    assert {cone: by for cone, by in off.items() if by} == {"13": 10}


def test_what_was_observed_before_the_ladder_was_drawn() -> None:
    assert temps(OBSERVED) == {"022": 590, "010": 950, "05": 1075, "1": 1150, "10": 1330}


def test_the_five_observed_means_lie_on_the_ladder_but_for_05() -> None:
    ladder, observed = temps(ESTIMATES), temps(OBSERVED)
    assert {cone: temp - ladder[cone] for cone, temp in observed.items() if temp != ladder[cone]} == {"05": 25}


def test_nobody_reported_a_heating_rate_in_1896() -> None:
    for series in (ESTIMATES, OBSERVED):
        rows = cone_temperatures(series=series)
        assert {(row.rate_c_per_h, row.status) for row in rows} == {(None, "seen")}
        assert all("not today's" in row.text() for row in rows)


def test_every_cone_of_seger_1886_has_hechts_estimate() -> None:
    with SEGER_1886.open(encoding="utf-8", newline="") as stream:
        cones = {row["cone"] for row in csv.DictReader(stream)}
    assert cones and cones <= set(temps(ESTIMATES))


@pytest.mark.parametrize("cone", ["4", "5", "6", "7", "8", "9", "10"])
def test_the_old_numbers_are_not_those_of_the_later_table(cone: str) -> None:
    """Thermometers of 1896 read high: copper's melting point was put at 1076 then, gold's at 1069, and cone 10 at 1330."""
    rows = cone_temperatures(cone)
    assert rows and all(row.temp_c < temps(ESTIMATES)[cone] for row in rows)


def test_today_s_table_has_every_cone_from_022_to_14_and_two_halves() -> None:
    """Typed again from the page: the cones of a class, at 15, 60 and 150 C/h."""
    numbers = [*(f"0{n}" for n in range(22, 0, -1)), *(str(n) for n in range(1, 15))]
    assert {row.cone for row in cone_temperatures()} == {*numbers, "05.5", "5.5"}
    for cone, temps_c in {
        "06": (981, 998, 1013),
        "04": (1046, 1063, 1077),
        "6": (1185, 1222, 1243),
        "10": (1251, 1285, 1305),
    }.items():
        assert tuple(row.temp_c for row in cone_temperatures(cone)) == temps_c
    assert {row.status for row in cone_temperatures()} == {"seen"}
