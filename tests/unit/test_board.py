"""Tables for the board: their rows add up, agree with the chemistry, and read well as text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazekit as gk
from glazekit.chemistry.board import Board, mineral_board, raw_to_fired, two_glazes, who_brings_what
from glazekit.chemistry.unity import mol_per_mol
from glazekit.ground.errors import NoAnalysisError, RangeError
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import FLUXES, OXIDES

DEMOS = [recipe.name for recipe in gk.demo_recipes()]


def number(cell: str) -> float:
    return 0.0 if cell in ("-", "") else float(cell)


def test_raw_and_fired_of_the_clear_adds_up() -> None:
    board = raw_to_fired(gk.demo_recipe("Gangway Clear"))
    rows = {row[0]: [number(cell) for cell in row[1:]] for row in board.rows}
    assert rows["all"][0] == 100 and rows["all"][3] == pytest.approx(8.0, abs=0.05), "course book: 8.0 %"
    for column in range(3):
        assert sum(row[column] for name, row in rows.items() if name != "all") == pytest.approx(rows["all"][column], abs=0.03)
    for name, (raw_g, leaves_g, stays_g, _) in rows.items():
        assert raw_g == pytest.approx(leaves_g + stays_g, abs=0.011), name
    assert rows["soda feldspar"][1] == 0 and rows["whiting"][1] == pytest.approx(14 * 0.4397, abs=0.01)


def test_a_bag_that_does_not_total_100_is_said_so() -> None:
    bag = gk.Material("kaolin", "bag", {"SiO2": 46.0, "Al2O3": 38.0}, loi_wt_pct_raw=14.0, lot="7", source="bag", status="seen")
    board = raw_to_fired(gk.Recipe("clay", {"kaolin": 50, "whiting": 50}), stock=gk.course_stock().with_materials([bag]))
    assert board.rows[0][0] == "kaolin, lot 7"
    (note,) = board.notes
    assert note.split()[0] == "1.00", "grams that the bag leaves unexplained"


@pytest.mark.parametrize("name", DEMOS)
def test_who_brings_what_is_the_whole_glaze(name: str) -> None:
    recipe = gk.demo_recipe(name)
    found = gk.analyse(recipe)
    moles = who_brings_what(recipe)
    assert moles.headings[1:] == tuple(oxide for oxide, _ in found.oxide_mol)
    for column, oxide in enumerate(moles.headings[1:], start=1):
        assert number(moles.rows[-1][column]) == pytest.approx(found.unity[oxide], abs=0.0006)
        assert sum(number(row[column]) for row in moles.rows[:-2]) == pytest.approx(number(moles.rows[-2][column]), abs=0.0005)
        assert number(moles.rows[-2][column]) == pytest.approx(dict(found.oxide_mol)[oxide], abs=0.00005)
    share = who_brings_what(recipe, "percent")
    for column in range(1, len(share.headings)):
        assert sum(number(row[column]) for row in share.rows) == pytest.approx(100, abs=0.5 * len(share.rows))


def test_the_silica_of_the_clear_comes_from_four_powders() -> None:
    rows = {row[0]: row for row in who_brings_what(gk.demo_recipe("Gangway Clear"), "percent").rows}
    silica = who_brings_what(gk.demo_recipe("Gangway Clear"), "percent").headings.index("SiO2")
    frit = next(name for name in rows if gk.course_stock().find(name).kind == "frit")
    assert {name for name, row in rows.items() if row[silica] != "-"} == {"soda feldspar", frit, "kaolin", "quartz"}
    assert rows["whiting"][silica] == "-"
    with pytest.raises(RangeError, match="grams"):
        who_brings_what(gk.demo_recipe("Gangway Clear"), "grams")


def test_two_glazes_side_by_side() -> None:
    clear, lamp = gk.demo_recipe("Gangway Clear"), gk.demo_recipe("Cracked Lamp")
    board = two_glazes(clear, lamp)
    rows = {row[0]: row[1:] for row in board.rows}
    assert rows["soda Na2O"] == ("0.21", "0.36", "+0.15"), "course book, section 1"
    ratio, alkali_share, loss = (row[1:] for row in board.rows[-board.sums :])
    assert [float(cell) for cell in ratio] == pytest.approx([8.3, 5.4, -2.9], abs=0.07)
    assert [float(cell) for cell in alkali_share] == pytest.approx([22, 47, 25], abs=1)
    assert loss == ("8.0", "5.5", "-2.5")
    glass = gk.Recipe("glass", {"soda ash": 30, "quartz": 70})
    assert two_glazes(clear, glass).rows[-3][1:] == ("8.34", "-", "-")
    assert {row[3].strip("0.") for row in two_glazes(clear, clear).rows} == {""}


def test_the_second_glaze_on_another_scale_changes_nothing() -> None:
    clear = gk.demo_recipe("Gangway Clear")
    assert two_glazes(clear, clear.scaled(3).renamed("three")).rows[0][3] == "0.00"


POWDERS = [material.name for material in gk.course_stock() if material.oxides and material.kind == "theoretical"]


@given(st.dictionaries(st.sampled_from(POWDERS), st.floats(0.1, 500), min_size=1, max_size=8))
def test_by_mineral_and_by_weight_percent_give_the_same_moles(base: dict[str, float]) -> None:
    recipe = gk.Recipe("any", {**base, "whiting": 10.0})
    for step in gk.analyse(recipe).working:
        times = mol_per_mol(step.material)[step.oxide]
        mineral_mol = step.mass_g / molar_mass_g_mol(step.material.formula)
        assert mineral_mol * times == pytest.approx(step.moles)
        assert 2 * times == pytest.approx(round(2 * times)), "oxides stand in whole or half numbers in a mineral"
    for oxide, moles in gk.analyse(recipe).oxide_mol:
        assert sum(step.moles for step in gk.analyse(recipe).working if step.oxide == oxide) == pytest.approx(moles)


def test_course_exercises_by_mineral() -> None:
    board = mineral_board(gk.Recipe("x", {"soda feldspar": 26, "calcium borosilicate frit": 25}))
    rows = {(row[0], row[5]): row for row in board.rows}
    assert rows["soda feldspar", "SiO2"][1:] == ("26.00", "524.44", "0.0496", "6", "SiO2", "0.2975")
    boron = rows["calcium borosilicate frit", "B2O3"]
    assert (boron[3], boron[4], boron[6]) == ("", "22 %", "0.0790"), "a frit has no formula: it goes by its analysis"


def test_the_practice_glaze_ends_at_the_divisor_of_lesson_5(practice: gk.Recipe) -> None:
    board = mineral_board(practice)
    assert board.rows[-1][1:] == ("", "", "", "", "", "0.2717")
    fluxes = [number(row[-1]) for row in board.rows[:-1] if row[5] in FLUXES]
    assert sum(fluxes) == pytest.approx(0.2717, abs=0.0001)
    assert mineral_board(gk.demo_recipe("Gangway Clear")).notes
    with pytest.raises(NoAnalysisError):
        mineral_board(gk.Recipe("x", {"mystery": 1, "whiting": 1}), stock=gk.course_stock().with_unknown("mystery"))


@pytest.mark.parametrize("name", DEMOS)
def test_text_is_straight_and_fits_a_terminal(name: str) -> None:
    recipe = gk.demo_recipe(name)
    boards = [raw_to_fired(recipe), who_brings_what(recipe), mineral_board(recipe), two_glazes(recipe, recipe)]
    for board in boards:
        lines = str(board).splitlines()
        assert lines[0] == board.title and set(lines[2]) == {"-"}
        assert max(map(len, lines)) <= 120
        ends = {len(line) for line in lines[1 : 3 + len(board.rows)] if set(line) != {"-"} and line.split()[-1] != "oxide"}
        assert max(ends) == len(lines[2]), "the last column ends where the rule ends"


def test_a_crooked_table_is_refused() -> None:
    with pytest.raises(RangeError, match=r"1 .*2"):
        Board("x", ("a", "b"), (("only",),))


def test_oxide_names_are_those_of_the_table() -> None:
    first = {row[0] for row in two_glazes(gk.demo_recipe("Deck Green"), gk.demo_recipe("Deck Green")).rows}
    assert f"{OXIDES['Li2O'].name} Li2O" in first
