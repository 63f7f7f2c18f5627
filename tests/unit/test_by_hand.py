"""Shopping by hand: the table, the order, what cannot be taken back out."""

from __future__ import annotations

import re

import pytest

import glazekit as gk
from glazekit.chemistry.by_hand import by_hand
from glazekit.ground.errors import RecipeError


def numbers(text: str) -> list[float]:
    """The numbers with decimals in a sentence."""
    return [float(found) for found in re.findall(r"-?\d+\.\d+", text)]


def test_the_table_after_each_purchase() -> None:
    work = by_hand({"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.4, "SiO2": 3.5}, "potash feldspar", ["whiting"], "kaolin", "quartz")
    assert [(step.material, step.for_oxide) for step in work.purchases] == [
        ("potash feldspar", "K2O"),
        ("whiting", "CaO"),
        ("kaolin", "Al2O3"),
        ("quartz", "SiO2"),
    ]
    assert [step.bought_mol for step in work.purchases] == pytest.approx([0.25, 0.75, 0.15, 1.70])
    feldspar = work.purchases[0]
    assert {oxide: left for oxide, _, _, left in feldspar.rows} == pytest.approx(
        {"K2O": 0, "CaO": 0.75, "Al2O3": 0.15, "SiO2": 2.0}
    )
    assert feldspar.grams == pytest.approx(0.25 * feldspar.grams_per_mol)
    for step in work.purchases:
        assert all(wanted - so_far == pytest.approx(left, abs=1e-8) for _, wanted, so_far, left in step.rows)
    assert work.recipe is not None
    assert gk.unity_formula(work.recipe)["SiO2"] == pytest.approx(3.5)


def test_dolomite_is_bought_for_the_flux_that_is_filled_first() -> None:
    work = by_hand(
        {"K2O": 0.2, "MgO": 0.3, "CaO": 0.5, "Al2O3": 0.4, "SiO2": 3},
        "potash feldspar",
        ["dolomite", "whiting"],
        "kaolin",
        "quartz",
    )
    assert work.recipe is not None
    assert [step.for_oxide for step in work.purchases] == ["K2O", "MgO", "CaO", "Al2O3", "SiO2"]


def test_nothing_is_bought_when_there_is_too_much_already() -> None:
    work = by_hand({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.4, "SiO2": 1.5}, "potash feldspar", ["whiting"], "kaolin", "quartz")
    assert work.recipe is None
    assert work.purchases[-1].need_mol == pytest.approx(-0.5)
    assert work.purchases[-1].grams == 0
    silica = next(problem for problem in work.problems if problem.startswith("silica"))
    assert numbers(silica) == [0.5, -0.5], "so much over before the quartz, which would have to be that much below nothing"


def test_what_is_still_missing_is_said() -> None:
    work = by_hand(
        {"K2O": 0.2, "CaO": 0.7, "ZnO": 0.1, "Al2O3": 0.4, "SiO2": 3}, "potash feldspar", ["whiting"], "kaolin", "quartz"
    )
    (problem,) = work.problems
    assert numbers(problem) == [0.1] and "(ZnO)" in problem
    assert ("ZnO", pytest.approx(0.1), 0.0, pytest.approx(0.1)) in work.purchases[-1].rows


def test_without_feldspar_and_with_the_wrong_material() -> None:
    assert by_hand({"CaO": 1, "Al2O3": 0.3, "SiO2": 2}, None, ["whiting"], "kaolin", "quartz").recipe
    with pytest.raises(RecipeError, match=r"quartz .*flux"):
        by_hand({"CaO": 1, "Al2O3": 0.3, "SiO2": 2}, "quartz", ["whiting"], "kaolin", "quartz")
    with pytest.raises(RecipeError, match="Al2O3"):
        by_hand({"CaO": 1, "Al2O3": 0.3, "SiO2": 2}, None, ["whiting"], "quartz", "quartz")
