"""Ranges and the chart: nothing judged, everything sourced, the demo glazes where the course means them to be."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazekit as gk
from glazekit.chemistry.silica_alumina import applies_to_yours, ratio_lines, studies, study
from glazekit.chemistry.targets import TRUST, TargetLimit, TargetRange, glaze_against, ranges, target_range
from glazekit.chemistry.unity import unity_from_moles
from glazekit.ground.errors import DataError
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import ALKALIS, OXIDES

AIMED_AT = {
    "Gangway Clear": "Course: gloss, cone 6",
    "Bulkhead Liner": "Course: gloss, cone 6",
    "Handrail Clear": "Course: boron gloss, cone 6",
    "Timetable Satin": "Course: satin",
    "Turnstile Matte": "Course: calcium matte",
    "Bollard Matte": "Course: magnesia matte",
    "Gantry Clear": "Course: gloss, cone 10",
    "Drizzle Rail": "Course: gloss, cone 10",
}


def numbers(text: str) -> list[float]:
    """The numbers with decimals in a sentence."""
    return [float(found) for found in re.findall(r"\d+\.\d+", text)]


def unity_of(name: str) -> gk.UnityFormula:
    return gk.unity_formula(gk.demo_recipe(name))


@pytest.mark.parametrize(("name", "aim"), AIMED_AT.items())
def test_the_demo_glazes_lie_in_the_ranges_they_were_made_for(name: str, aim: str) -> None:
    against = glaze_against(aim, unity_of(name), gk.demo_recipe(name).cone)
    assert {row.limit.name: row.word for row in against.rows} == {row.limit.name: "inside" for row in against.rows}
    assert not re.search(r"\d", against.words[0]), "every quantity is inside: there is no number to tell"


def test_the_faulty_glazes_stand_out_where_they_were_made_faulty() -> None:
    lamp = {row.limit.name: row for row in glaze_against("Course: gloss, cone 6", unity_of("Cracked Lamp")).rows}
    alkalis = lamp[" + ".join(OXIDES[oxide].name for oxide in ALKALIS)]
    assert alkalis.word == "above" and alkalis.by == pytest.approx(0.12, abs=0.01)
    overboard = {row.limit.name: row for row in glaze_against("Course: gloss, cone 6", unity_of("Overboard")).rows}
    assert (overboard["alumina"].word, overboard["silica"].word) == ("below", "below")
    assert numbers(overboard["alumina"].words) == [0.18, 0.30, 0.50, 0.12]


def test_a_range_says_its_cone_and_what_it_is_worth() -> None:
    found = target_range("Course: gloss, cone 10")
    words = glaze_against(found, unity_of("Gantry Clear"), "6").words
    assert any(re.findall(r"\d+", line) == ["10", "6"] for line in words)
    assert TRUST["practice"] in words[-1]
    assert not any("cone" in line for line in glaze_against(found, unity_of("Gantry Clear"), "10").words)


def test_what_a_range_leaves_open_is_said() -> None:
    against = glaze_against("Course: satin", unity_of("Timetable Satin"))
    assert [oxide for oxide, _ in against.not_spoken_of] == ["Na2O", "K2O", "MgO", "CaO", "ZnO", "B2O3"]
    assert "soda 0.18," in against.words[1]
    frit_glass = unity_from_moles({"Na2O": 1, "SiO2": 3})
    rows = {row.limit.name: row for row in glaze_against("Course: satin", frit_glass).rows}
    (ratio,) = (row for row in rows.values() if not row.limit.oxides)
    assert ratio.value is None and not numbers(ratio.words)


@given(st.integers(0, 100), st.integers(0, 60), st.integers(0, 60))
def test_words_follow_the_printed_numbers(hundredths: int, low: int, width: int) -> None:
    limit = TargetLimit("MgO", low / 100, (low + width) / 100)
    range_ = TargetRange("one", "any", None, (limit,), "", "practice", "practice")
    glaze = unity_from_moles({"MgO": hundredths, "CaO": 100 - hundredths})
    row = glaze_against(range_, glaze).rows[0]
    wanted = "below" if hundredths < low else "above" if hundredths > low + width else "inside"
    assert row.word == wanted
    assert row.by == pytest.approx(max(low - hundredths, hundredths - low - width, 0) / 100)
    assert (f"{hundredths / 100:.2f} is {wanted}" in row.words) and row.words.endswith(".")


def test_0_301_is_not_above_0_30() -> None:
    glaze = unity_from_moles({"MgO": 0.3049, "CaO": 0.6951})
    rows = {row.limit.name: row for row in glaze_against("Course: gloss, cone 6", glaze).rows}
    assert rows["magnesia"].word == "inside"


def test_no_range_gives_a_verdict() -> None:
    never = re.compile(r"\b(safe|good|bad|wrong|fail|pass|correct|must|should)\b", re.IGNORECASE)
    for found in ranges():
        for recipe in gk.demo_recipes():
            for line in glaze_against(found, gk.unity_formula(recipe), recipe.cone).words:
                assert not never.search(line), line


def test_no_range_is_recalled_or_makes_room_for_a_poison() -> None:
    """What nobody here has read in a book is not aimed at; nothing aims at lead or baria."""
    assert {found.status for found in ranges()} <= set(TRUST) and "memory" not in TRUST
    assert not {oxide for found in ranges() for limit in found.limits for oxide in limit.oxides} & {"PbO", "BaO"}


def test_tables_belong_together() -> None:
    assert {row["range"] for row in read_table("target_limits")} == {row["range"] for row in read_table("target_ranges")}
    assert {row["map"] for row in read_table("silica_alumina_points")} <= {found.name for found in studies()}
    for found in ranges():
        assert all(limit.low <= limit.high and limit.name for limit in found.limits)
        assert all(0 <= limit.high <= 1 for limit in found.limits if {"CaO", "MgO", "ZnO", "PbO", "K2O"} & set(limit.oxides))


def test_habits_are_marked_as_such() -> None:
    assert {line.status for line in ratio_lines() if line.habit} == {"memory"}
    assert {line.status for line in ratio_lines() if not line.habit} == {"practice"}
    assert study("Stull 1912").status == "memory" and study("Stull 1912").points == (), "no border is drawn from memory"


@pytest.mark.parametrize(
    ("name", "cone", "word", "says"),
    [
        ("Drizzle Rail", "10", "yes", "much the same heat"),
        ("Drizzle Rail", "6", "no", "5 cones apart, another firing"),
        ("Drizzle Rail", "9", "partly", "2 cones apart"),
        ("Drizzle Rail", None, "partly", "the cone of yours is not known"),
        ("Handrail Clear", "6", "no", "0.52, which melts early"),
        ("Bollard Matte", "10", "no", "another mixture"),
        ("Anchor Chain", "10", "partly", "a related mixture"),
    ],
)
def test_applies_to_yours(name: str, cone: str | None, word: str, says: str) -> None:
    found = applies_to_yours(unity_of(name), cone)
    assert found.word == word
    assert len(found.reasons) == 3 and any(says in reason for reason in found.reasons)


@pytest.mark.parametrize(
    ("moles", "word"),
    [
        ({"K2O": 0.3, "CaO": 0.7}, "yes"),
        ({"K2O": 0.4, "CaO": 0.6}, "yes"),
        ({"K2O": 0.42, "CaO": 0.58}, "partly"),
        ({"Na2O": 0.3, "CaO": 0.7}, "partly"),
        ({"K2O": 0.3, "CaO": 0.44, "MgO": 0.26}, "no"),
        ({"K2O": 0.3, "CaO": 0.7, "B2O3": 0.05}, "partly"),
        ({"K2O": 0.3, "CaO": 0.7, "B2O3": 0.15}, "no"),
    ],
    ids=str,
)
def test_fluxes_and_boron_decide(moles: dict[str, float], word: str) -> None:
    assert applies_to_yours(unity_from_moles(moles | {"Al2O3": 0.5, "SiO2": 4}), "11").word == word


def test_a_study_without_a_cone_applies_partly_at_most() -> None:
    same = unity_from_moles({"K2O": 0.2, "CaO": 0.8, "Al2O3": 0.5, "SiO2": 4})
    found = applies_to_yours(same, "10", "Seger 1886")
    assert study("Seger 1886").cone is None
    assert found.word == "partly" and study("Seger 1886").fired in found.reasons[2]


def test_misspelt_names_get_a_hint() -> None:
    for find, typed, meant in ((target_range, "course satin", "Course: satin"), (study, "Seger 1866", "Seger 1886")):
        with pytest.raises(DataError) as caught:
            find(typed)
        assert caught.value.hint == meant


@pytest.mark.parametrize(
    ("first", "second", "steps"),
    [
        ("6", "6", 0),
        ("6", "10", 4),
        ("10", "6", 4),
        ("01", "1", 1),
        ("04", "04", 0),
        ("04", "2", 5),
        ("5-6", "6", 0),
        ("5-6", "8-9", 2),
    ],
)
def test_cones_apart(first: str, second: str, steps: int) -> None:
    assert gk.Cone.parse(first).steps_to(gk.Cone.parse(second)) == steps
