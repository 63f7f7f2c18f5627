"""A new bag: what moves, what brings it back, what stays as it is."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.chemistry.bag_change import new_bag
from glazekit.ground.errors import UnknownMaterialError


@pytest.fixture
def gangway() -> gk.Recipe:
    return gk.demo_recipe("Gangway Clear")


BAG = gk.Material(
    "soda feldspar",
    "bag",
    (("Na2O", 9.8), ("K2O", 2.5), ("CaO", 0.8), ("Al2O3", 18.5), ("SiO2", 68.0), ("Fe2O3", 0.1)),
    loi_wt_pct_raw=0.3,
    lot="B7",
)


def test_what_moves_and_the_correction(gangway: gk.Recipe, stock: gk.Stock) -> None:
    news = new_bag(BAG, [gangway, gk.demo_recipe("Late Boat")])
    assert news.untouched == ("Late Boat",)
    assert ("Na2O", pytest.approx(11.818, abs=0.001), 9.8) in news.analysis
    (moved,) = news.moved
    shelf = stock.with_materials([BAG])
    for oxide, change in moved.unchanged.unity_change.items():
        old, new = gk.unity_formula(gangway)[oxide], gk.unity_formula(gangway, stock=shelf)[oxide]
        assert change == pytest.approx(new - old)
    assert moved.unchanged.changes == ()
    assert "soda falls" in moved.words
    size = {one.kind: sum(change**2 for change in one.unity_change.values()) for one in (moved.unchanged, moved.corrected)}
    assert size[moved.corrected.kind] < size[moved.unchanged.kind] / 1.5
    assert moved.corrected.change_parts["soda feldspar"] > 0, "weaker feldspar, more of it"
    assert not moved.feasible
    assert moved.why_not is not None
    assert moved.why_not.oxides == ("Na2O", "K2O")


def test_a_correctable_bag_brings_the_formula_back(gangway: gk.Recipe) -> None:
    """Damp quartz: it only takes more of it."""
    damp = gk.Material("quartz", "bag", (("SiO2", 96.0),), loi_wt_pct_raw=4.0)
    (moved,) = new_bag(damp, [gangway]).moved
    assert moved.feasible
    assert all(abs(change) < 1e-4 for change in moved.corrected.unity_change.values())
    assert moved.corrected.change_parts == pytest.approx({"quartz": 22 / 0.96 - 22}, abs=0.001)


def test_the_same_bag_moves_nothing(gangway: gk.Recipe, stock: gk.Stock) -> None:
    news = new_bag(stock.find("kaolin"), [gangway])
    assert news.analysis == ()
    assert news.moved[0].corrected.changes == ()
    assert "nothing moves" in news.moved[0].words


def test_additions_and_unknowns_are_told_apart(stock: gk.Stock) -> None:
    tinted = gk.Recipe("tinted", {"whiting": 40, "kaolin": 60}, {"rutile": 3})
    odd = gk.Recipe("odd", {"whiting": 40, "rutile": 3, "blue dust": 57})
    bag = gk.Material("rutile", "bag", (("TiO2", 95.0), ("Fe2O3", 5.0)))
    news = new_bag(bag, [tinted, odd], stock=stock.with_unknown("blue dust"))
    assert news.in_additions == ("tinted",)
    assert news.not_computed[0][0] == "odd"
    assert "blue dust" in news.not_computed[0][1]


def test_a_bag_of_something_not_on_the_shelf(gangway: gk.Recipe) -> None:
    with pytest.raises(UnknownMaterialError):
        new_bag(gk.Material("moon dust", "bag", (("SiO2", 100.0),)), [gangway])
