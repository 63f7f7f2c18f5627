"""The estimates of a batch sheet: which, in what words, and when a reference cannot be one."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.glass.properties import properties
from glazekit.ground.errors import RecipeError
from glazekit.sheets.footnotes import estimate_data, estimate_lines, estimates_for

CLEAR = gk.demo_recipe("Gangway Clear")
STOCK = gk.course_stock()


def test_viscosity_comes_only_with_a_peak_since_a_cone_is_no_temperature() -> None:
    assert CLEAR.cone is not None
    on_sheet = [each for each in properties() if each.on_sheet == "yes"]
    assert [one.quantity for one in estimates_for(CLEAR, STOCK)] == [each.quantity for each in on_sheet if each.model == "sum"]
    hot = estimates_for(CLEAR, STOCK, 1222)
    assert len(hot) == len(on_sheet) and hot[2] == gk.viscosity(CLEAR, 1222)


def test_a_peak_below_any_at_which_its_own_cone_bends_is_said() -> None:
    """Cone 10 bends at 1251 °C when heated slowest; a recipe without a cone was made for none."""
    clear = gk.demo_recipe("Gantry Clear")
    for peak_c, cold in ((1222, True), (1250, True), (1251, False), (1285, False)):
        assert [not each.in_range and "below_its_cone" in each.why for each in estimates_for(clear, STOCK, peak_c)] == [cold] * 3
    assert all("below_its_cone" not in each.why for each in estimates_for(gk.Recipe("bare", clear.base), STOCK, 1222))
    late = estimates_for(gk.demo_recipe("Late Boat"), STOCK, 1222)
    assert all(each.why == ("not_molten", "below_its_cone") for each in late)


def test_a_reason_that_all_share_is_said_once() -> None:
    zinc = gk.demo_recipe("Deck Green")
    found = estimates_for(zinc, STOCK, 1222, CLEAR)
    lines = list(estimate_lines(found))
    text = " ".join(said for said, _ in lines)
    assert text.count("zinc oxide") == 1 == sum("zinc oxide" in said for said, _ in lines[len(found) :])
    assert not any(change for _, change in lines[len(found) :])
    assert sum("uncertain" in said for said, _ in lines) == 3
    assert [bool(change) for _, change in lines[:3]] == [True] * 3
    for reason in {reason for one in found for reason in one.note.split("; ")}:
        assert reason in text, "nothing is dropped"


def test_a_reason_of_one_alone_stays_with_it() -> None:
    hot = estimates_for(CLEAR, STOCK, 1450)
    said = [line for line, _ in estimate_lines(hot)]
    assert len(said) == 3 and "hotter" in said[2] and "hotter" not in said[0] + said[1]


def test_a_reference_without_analysis_is_named() -> None:
    stock = STOCK.with_unknown("shed ash")
    reference = gk.Recipe("Old Ash", {"shed ash": 60, "quartz": 40})
    with pytest.raises(RecipeError, match=r"Old Ash.*shed ash"):
        estimates_for(CLEAR, stock, reference=reference)


def test_as_data_everything_stands_beside_the_number() -> None:
    data = estimate_data(estimates_for(CLEAR, STOCK, reference=gk.demo_recipe("Cracked Lamp"))[0])
    assert {"value", "low", "high", "unit", "status", "source", "level", "note", "in_range", "words"} <= set(data)
    assert {"value", "low", "high", "unit", "status", "reference", "swapped_mol_pct", "words"} <= set(data["change"])
