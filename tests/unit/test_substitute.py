"""A missing material: exact, nearest and weight for weight, side by side."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.chemistry.substitute import substitute
from glazekit.chemistry.unity import brings
from glazekit.ground.errors import RangeError, RecipeError


@pytest.fixture
def gangway() -> gk.Recipe:
    return gk.demo_recipe("Gangway Clear")


def test_the_replacements_stand_side_by_side(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "soda feldspar", ["nepheline syenite"])
    assert swap.replacements == (swap.exact, swap.nearest, *swap.weight_for_weight) and len(swap.weight_for_weight) == 1
    assert len({one.kind for one in swap.replacements}) == 3
    assert swap.keep == ("Na2O+K2O", "Al2O3", "SiO2")
    assert swap.adjusted == ("kaolin", "quartz")
    for one in swap.replacements:
        assert "soda feldspar" not in one.recipe.materials()
        assert one.after == gk.unity_formula(one.recipe)
        assert one.before == gk.unity_formula(gangway)
        kept = [line for line in gangway.base if line.material not in one.change_parts]
        assert set(kept) <= set(one.recipe.base), "what is not told as a change stands as it stood"


def test_nearest_is_nearer_than_weight_for_weight(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "calcium borosilicate frit", ["colemanite"])
    misses = {one.kind: sum(change**2 for change in one.unity_change.values()) for one in swap.replacements}
    assert misses[swap.nearest.kind] < misses[swap.weight_for_weight[0].kind] / 100


def test_without_an_exact_way_it_says_why(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "kaolin", ["talc"])
    assert swap.exact is None
    assert swap.why_not.endswith("little alumina")
    assert len(swap.replacements) == 2


def test_a_trace_that_cannot_be_held_is_not_called_exact() -> None:
    """A twentieth of a gram of kaolin brings 0.0002 mol of alumina, which quartz does not have."""
    recipe = gk.Recipe("hardly any clay", {"kaolin": 0.05, "quartz": 59.95, "whiting": 40})
    assert substitute(recipe, "kaolin", ["quartz"]).exact is None


def test_the_new_material_stands_where_the_old_one_stood(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "soda feldspar", ["nepheline syenite"])
    assert swap.exact is not None
    assert swap.exact.recipe.base[0].material == "nepheline syenite"


def test_a_material_already_in_the_recipe_may_take_over() -> None:
    recipe = gk.Recipe("two limes", {"potash feldspar": 40, "whiting": 10, "wollastonite": 10, "kaolin": 15, "quartz": 25})
    (one,) = substitute(recipe, "whiting", ["wollastonite"]).weight_for_weight
    assert dict(one.change_parts) == {"whiting": -10, "wollastonite": 10}


def test_keep_and_adjust_can_be_chosen(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "soda feldspar", ["nepheline syenite"], keep=["Na2O+K2O"], adjust=[])
    assert swap.exact is not None
    assert dict(swap.exact.change_parts) == pytest.approx({"soda feldspar": -26, "nepheline syenite": 22.44}, abs=0.01)


def test_additions_stay_in_parts() -> None:
    recipe = gk.Recipe("tinted", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}, {"red iron oxide": 2})
    found = substitute(recipe, "kaolin", ["calcined kaolin"]).replacements
    assert {one.recipe.lines_in_parts()[-1].amount for one in found} == {2}


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


def test_what_makes_a_fiftieth_of_the_moles_or_less_comes_by_the_way(stock: gk.Stock) -> None:
    """2.04 % of the moles of the one frit are soda; 1.97 % of those of the other are potash."""
    assert brings(stock.find("calcium borosilicate frit"), "Na2O")
    assert not brings(stock.find("alkaline frit"), "K2O")
