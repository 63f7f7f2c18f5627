"""A missing material: exact, nearest and weight for weight, side by side."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.chemistry.substitute import substitute
from glazekit.ground.errors import RangeError, RecipeError


@pytest.fixture
def gangway() -> gk.Recipe:
    return gk.demo_recipe("Gangway Clear")


def test_the_ways_stand_side_by_side(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "soda feldspar", ["nepheline syenite"])
    assert [way.kind for way in swap.ways] == ["exact", "nearest", "weight for weight"]
    assert swap.keep == ("Na2O+K2O", "Al2O3", "SiO2")
    assert swap.adjusted == ("kaolin", "quartz")
    for way in swap.ways:
        assert "soda feldspar" not in way.recipe.materials()
        assert way.after == gk.unity_formula(way.recipe)
        before, after = (gk.analyse(recipe).loi_wt_pct_raw for recipe in (gangway, way.recipe))
        assert way.loi_change_pct == pytest.approx(after - before)


def test_nearest_is_nearer_than_weight_for_weight(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "calcium borosilicate frit", ["colemanite"])
    misses = {way.kind: sum(change**2 for change in way.unity_change.values()) for way in swap.ways}
    assert misses["nearest"] < misses["weight for weight"] / 100


def test_without_an_exact_way_it_says_why(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "kaolin", ["talc"])
    assert swap.exact is None
    assert "too little alumina" in swap.why_not
    assert len(swap.ways) == 2


def test_the_new_material_stands_where_the_old_one_stood(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "soda feldspar", ["nepheline syenite"])
    assert swap.exact is not None
    assert swap.exact.recipe.base[0].material == "nepheline syenite"


def test_a_material_already_in_the_recipe_may_take_over() -> None:
    recipe = gk.Recipe("two limes", {"potash feldspar": 40, "whiting": 10, "wollastonite": 10, "kaolin": 15, "quartz": 25})
    (way,) = substitute(recipe, "whiting", ["wollastonite"]).weight_for_weight
    assert dict(way.change_parts) == {"whiting": -10, "wollastonite": 10}


def test_keep_and_adjust_can_be_chosen(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "soda feldspar", ["nepheline syenite"], keep=["Na2O+K2O"], adjust=[])
    assert swap.exact is not None
    assert dict(swap.exact.change_parts) == pytest.approx({"soda feldspar": -26, "nepheline syenite": 22.44}, abs=0.01)


def test_additions_stay_in_parts() -> None:
    recipe = gk.Recipe("tinted", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}, {"red iron oxide": 2})
    for way in substitute(recipe, "kaolin", ["calcined kaolin"]).ways:
        assert way.recipe.lines_in_parts()[-1].amount == 2


@pytest.mark.parametrize(
    ("out", "into", "words"),
    [
        ("talc", ["dolomite"], "'talc'"),
        ("kaolin", [], "at least one other"),
        ("kaolin", ["china clay"], "at least one other"),
    ],
)
def test_questions_without_an_answer(gangway: gk.Recipe, out: str, into: list[str], words: str) -> None:
    with pytest.raises(RecipeError, match=words):
        substitute(gangway, out, into)


def test_keep_must_name_oxides(gangway: gk.Recipe) -> None:
    with pytest.raises(RangeError) as caught:
        substitute(gangway, "soda feldspar", ["nepheline syenite"], keep=["NaO"])
    assert caught.value.hint == "Na2O"
