"""Back from printed formulas to the printed batches, and the answers of the course's lessons 7 and 8."""

from __future__ import annotations

import pytest
from case_files import rows_of

import glazekit as gk
from glazekit.chemistry.by_hand import HandWork, by_hand
from glazekit.chemistry.changed_recipe import plastic_clay_pct
from glazekit.chemistry.formulate import formulate
from glazekit.chemistry.substitute import Substitution, substitute
from glazekit.chemistry.swap_by_moles import mole_swap

CONES = rows_of("seger_cones_1886")
CONE_OXIDES = ("K2O", "CaO", "Fe2O3", "Al2O3", "SiO2")
CONE_PARTS = ("potash feldspar", "marble", "quartz", "red iron oxide", "kaolin")
SWAPS = {(row["exercise"], row["quantity"]): (float(row["value"]), float(row["tolerance"])) for row in rows_of("course_swaps")}


def printed(exercise: str, quantity: str) -> object:
    value, tolerance = SWAPS[exercise, quantity]
    return pytest.approx(value, abs=tolerance)


def parts(recipe: gk.Recipe) -> dict[str, float]:
    return {line.material: line.amount for line in recipe.base}


def cone_target(cone: dict[str, str]) -> tuple[dict[str, float], list[str]]:
    target = {oxide: float(cone[oxide]) for oxide in CONE_OXIDES}
    return target, [part for part in CONE_PARTS if part != "red iron oxide" or target["Fe2O3"]]


@pytest.mark.parametrize("cone", CONES, ids=lambda row: f"cone {row['cone']}")
def test_cones_of_1886_from_their_formulas(cone: dict[str, str]) -> None:
    target, materials = cone_target(cone)
    found = formulate(target, materials)
    assert found.feasible
    shares = parts(found.recipe)
    for part in CONE_PARTS:
        name = gk.course_stock().find(part).name
        scaled = shares.get(name, 0.0) / shares["potash feldspar"] * float(cone["potash feldspar"])
        assert scaled == pytest.approx(float(cone[part]), rel=0.005, abs=0.01), part


@pytest.mark.parametrize("cone", CONES[3:], ids=lambda row: f"cone {row['cone']}")
def test_cones_of_1886_by_hand(cone: dict[str, str]) -> None:
    target, _ = cone_target(cone)
    work = by_hand(target, "potash feldspar", ["marble"], "kaolin", "quartz")
    assert work.recipe is not None
    grams = {purchase.material: purchase.grams for purchase in work.purchases}
    for part in ("marble", "quartz", "kaolin"):
        name = gk.course_stock().find(part).name
        scaled = grams[name] / grams["potash feldspar"] * float(cone["potash feldspar"])
        assert scaled == pytest.approx(float(cone[part]), rel=0.005, abs=0.01), part


def test_matt_glaze_of_1910_from_its_formula() -> None:
    """Raw and calcined kaolin bring the same oxides; how much is calcined is the potter's choice, so it is fixed as printed."""
    rows = [row for row in rows_of("old_recipes") if row["case"] == "matt glaze"]
    batch = {row["name"]: float(row["value"]) for row in rows if row["kind"] == "material"}
    target = {row["name"]: float(row["value"]) for row in rows if row["kind"] == "unity"}
    total = sum(batch.values())
    found = formulate(target, list(batch), fixed={"calcined kaolin": 100 * batch["calcined kaolin"] / total})
    assert found.feasible
    shares = parts(found.recipe)
    for name, weight in batch.items():
        assert shares[gk.course_stock().find(name).name] * total / 100 == pytest.approx(weight, abs=1), name


FOUR = ("potash feldspar", "whiting", "kaolin", "quartz")
TARGET_81 = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.40, "SiO2": 3.5}
TARGET_82 = {"K2O": 0.30, "CaO": 0.70, "Al2O3": 0.20, "SiO2": 3.5}


def hand(target: dict[str, float]) -> HandWork:
    return by_hand(target, "potash feldspar", ["whiting"], "kaolin", "quartz")


def test_8_1_by_widget_and_by_hand() -> None:
    for recipe in (formulate(TARGET_81, FOUR).recipe, hand(TARGET_81).recipe):
        assert recipe is not None
        for material, share in parts(recipe).items():
            assert share == printed("8.1", material)


def test_8_2_is_impossible_and_says_so() -> None:
    work = hand(TARGET_82)
    assert work.recipe is None
    assert {step.material: step for step in work.purchases}["kaolin"].need_mol == printed("8.2", "kaolin")
    found = formulate(TARGET_82, FOUR)
    assert not found.feasible
    assert found.why_not is not None
    assert found.why_not.oxides == ("K2O", "Al2O3")
    assert "alkali source without alumina (Al2O3)" in found.why_not.reliefs[0]
    assert sum(moles**2 for moles in found.difference.values()) ** 0.5 > 0.05
    assert found.recipe.base_sum == pytest.approx(100)


@pytest.fixture
def gangway() -> gk.Recipe:
    return gk.demo_recipe("Gangway Clear")


def exact(swap: Substitution) -> dict[str, float]:
    assert swap.exact is not None, swap.why_not
    unchanged = {oxide for oxide in swap.exact.unity_change if oxide not in ("Na2O", "K2O")}
    assert all(abs(swap.exact.unity_change[oxide]) < 1e-4 for oxide in unchanged)
    return dict(swap.exact.change_parts)


def test_8_3_nepheline_syenite_for_soda_feldspar(gangway: gk.Recipe) -> None:
    change = exact(substitute(gangway, "soda feldspar", ["nepheline syenite"]))
    assert change["nepheline syenite"] == printed("8.3", "nepheline syenite")
    assert -change["kaolin"] == printed("8.3", "kaolin taken out")
    assert change["quartz"] == printed("8.3", "quartz added")
    swap = mole_swap("soda feldspar", "nepheline syenite", 26)
    assert swap.into_g == printed("8.3", "nepheline syenite")
    assert -swap.correction_g["kaolin"] == printed("8.3", "kaolin taken out")
    assert swap.correction_g["quartz"] == printed("8.3", "quartz added")


def test_8_4_wollastonite_for_whiting(gangway: gk.Recipe) -> None:
    change = exact(substitute(gangway, "whiting", ["wollastonite"]))
    assert change["wollastonite"] == printed("8.4", "wollastonite")
    assert -change["quartz"] == printed("8.4", "quartz taken out")


def test_8_5_calcined_kaolin_for_kaolin(gangway: gk.Recipe) -> None:
    swap = substitute(gangway, "kaolin", ["calcined kaolin"])
    assert exact(swap)["calcined kaolin"] == printed("8.5", "calcined kaolin")
    assert swap.exact is not None
    clay = [plastic_clay_pct(recipe, gk.course_stock()) for recipe in (gangway, swap.exact.recipe)]
    assert clay == pytest.approx([13, 0])
    assert mole_swap("kaolin", "calcined kaolin", 13, same="Al2O3").into_g == printed("8.5", "calcined kaolin")


def test_8_6_weight_for_weight_shifts_the_formula(gangway: gk.Recipe) -> None:
    (way,) = substitute(gangway, "soda feldspar", ["nepheline syenite"]).weight_for_weight
    for when, unity in (("before", way.before), ("after", way.after)):
        assert unity.alkali_share == printed("8.6", f"alkali share {when}")
        assert unity["SiO2"] == printed("8.6", f"silica {when}")
        assert unity.silica_to_alumina_mol == printed("8.6", f"silica to alumina {when}")


def test_7_swaps_mole_by_mole() -> None:
    assert mole_swap("whiting", "strontium carbonate", 5).into_g == printed("7.2", "strontium carbonate for 5 g of whiting")
    halves = mole_swap("strontium carbonate", "lithium carbonate", 1)
    assert 1 / halves.into_g == printed("7.3", "flux moles of lithium carbonate over those of strontium carbonate")
    talc = mole_swap("whiting", "talc", 7)
    assert talc.into_g == printed("7.4", "talc for 7 g of whiting")
    assert -talc.correction_g["quartz"] == printed("7.4", "quartz taken out")
    dolomite = mole_swap("whiting", "dolomite", 10, same="CaO")
    assert dolomite.into_g == printed("7.6", "dolomite for the lime of 10 g of whiting")
    assert dolomite.change_mol["MgO"] == printed("7.6", "magnesia that comes along")
    assert "CaO" not in dolomite.change_mol
