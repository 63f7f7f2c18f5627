"""What the models read: shares by moles of the oxides they know, and what was left out, told."""

from __future__ import annotations

from collections.abc import Callable

import pytest

import glazekit as gk
from glazekit.chemistry.unity import UnityFormula, unity_from_moles
from glazekit.glass.composition import MODEL_OXIDES, Glaze, composition_of
from glazekit.ground.errors import GlazekitError, NoAnalysisError, RangeError, RecipeError
from glazekit.ground.tables import read_table
from glazekit.recipe.cautions import cautions_for


def shares_of(glaze: Glaze) -> dict[str, float]:
    """Oxide -> share by moles; zeros are left away."""
    return {oxide: share for oxide, share in zip(MODEL_OXIDES, composition_of(glaze).fractions, strict=True) if share}


CLEAR = gk.Recipe("two powders", {"whiting": 100.0869, "quartz": 4 * 60.083})


def test_a_recipe_a_formula_and_mole_percents_are_one_glass() -> None:
    """One mole of whiting and four of quartz, by the masses of a mole."""
    from_recipe = shares_of(CLEAR)
    assert from_recipe["CaO"] == pytest.approx(0.2, rel=1e-4) and from_recipe["SiO2"] == pytest.approx(0.8, rel=1e-4)
    assert shares_of(unity_from_moles({"CaO": 3, "SiO2": 12})) == pytest.approx({"CaO": 0.2, "SiO2": 0.8})
    assert shares_of({"CaO": 20, "SiO2": 80}) == pytest.approx({"CaO": 0.2, "SiO2": 0.8})


def test_two_of_feo_count_as_one_of_fe2o3() -> None:
    shares = shares_of({"FeO": 4, "Fe2O3": 1, "SiO2": 95})
    assert shares["Fe2O3"] == pytest.approx(3 / 98) and "FeO" not in shares


def test_sums_of_fluxes() -> None:
    glass = composition_of(
        {"SiO2": 60, "Al2O3": 10, "Li2O": 1, "Na2O": 2, "K2O": 3, "MgO": 4, "CaO": 5, "SrO": 6, "BaO": 4, "ZnO": 3, "MnO": 2}
    )
    assert glass["R2O"] == pytest.approx(0.06) and glass["RO"] == pytest.approx(0.24)
    assert glass["ZnO"] == pytest.approx(0.03) and sum(glass.fractions) == pytest.approx(1)


def test_half_the_sum_of_differences_is_what_was_swapped() -> None:
    one, other = composition_of({"SiO2": 70, "CaO": 30}), composition_of({"SiO2": 66, "CaO": 30, "MgO": 4})
    assert one.swapped_mol_pct(other) == other.swapped_mol_pct(one) == pytest.approx(4)
    assert one.swapped_mol_pct(one) == 0


def test_what_no_model_knows_is_left_out_and_told() -> None:
    glass = composition_of({"SiO2": 76, "CaO": 19, "CuO": 5})
    assert glass.left_out == (("CuO", pytest.approx(5)),)
    assert glass["CaO"] == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"SiO2": 70, "CaO": 20}, "90"),
        ({"SiO2": 110, "CaO": -10}, "CaO"),
        ({"SiO2": 70, "CaO": float("nan")}, "CaO"),
        ({"SiO2": True, "CaO": 99}, "SiO2"),
        ({"SiO2": 70, "Ca0": 30}, "CaO"),
        ({}, "total 0"),
    ],
)
def test_a_composition_that_is_none_is_refused(wrong: dict[str, float], said: str) -> None:
    with pytest.raises(RangeError, match=said):
        gk.expansion(wrong)


@pytest.mark.parametrize("thing", ["Gangway Clear", None, 5.4, ["SiO2"]])
def test_no_function_takes_anything(thing: object) -> None:
    with pytest.raises(GlazekitError):
        gk.expansion(thing)  # type: ignore[arg-type]


@pytest.mark.parametrize("empty", [UnityFormula(()), {"CuO": 100.0}])
def test_a_glaze_of_nothing_is_an_error_in_words(empty: object) -> None:
    for ask in (gk.expansion, gk.glass_transition, gk.elastic_modulus, lambda glaze: gk.viscosity(glaze, 1200)):
        with pytest.raises(RecipeError, match="nothing in it"):
            ask(empty)  # type: ignore[operator]


@pytest.mark.parametrize("odd", [{"SiO2": 100.0}, {"CaO": 100.0}, {"Al2O3": 100.0}, {"B2O3": 60.0, "SiO2": 40.0}])
def test_a_glaze_without_fluxes_or_without_glass_formers_gets_a_reason_not_a_crash(odd: dict[str, float]) -> None:
    answers = (gk.expansion(odd), gk.viscosity(odd, 1200), gk.temp_of_viscosity(odd, 3), gk.fit_chance(odd, 6, 0.3).stress_mpa)
    assert all(answer.value is None and len(answer.note) > 20 for answer in answers)
    assert gk.slope_run(odd, [(0, 20), (5, 1200)], 0.5).name == ""


def test_a_material_without_analysis_stops_it() -> None:
    stock = gk.course_stock().with_unknown("shed ash")
    with pytest.raises(NoAnalysisError, match="shed ash"):
        gk.expansion(gk.Recipe("a", {"shed ash": 50, "quartz": 50}), stock=stock)


TINTED = gk.Recipe("tinted", {"soda feldspar": 60, "whiting": 20, "quartz": 20}, {"red iron oxide": 9}, atmosphere="oxidation")


def test_iron_on_top_counts_unless_it_is_switched_off_and_then_the_number_is_grey() -> None:
    by_hand = 9 / 159.69  # moles of Fe2O3, all of the powder taken as oxide
    counted, alone = composition_of(TINTED), composition_of(TINTED, include_additions=False)
    assert counted["Fe2O3"] / counted["SiO2"] == pytest.approx(
        by_hand / (alone["SiO2"] / (alone["CaO"] / (20 / 100.09))), rel=0.05
    )
    assert alone["Fe2O3"] == 0 and composition_of(TINTED, include_additions=True)["Fe2O3"] == counted["Fe2O3"]
    for ask in (gk.expansion, gk.glass_transition, lambda glaze, **more: gk.viscosity(glaze, 1222, **more)):
        base = ask(TINTED, include_additions=False)
        assert not base.in_range and base.why[:2] == ("additions_matter", "additions_left_out")
        assert ask(TINTED).value != base.value and "additions_left_out" not in ask(TINTED).why


def test_nine_percent_of_iron_no_longer_stays_silently() -> None:
    firing = [(0.0, 20.0), (12.0, 1222.0), (12.2, 1222.0), (20.2, 20.0)]
    with_iron, base = (gk.slope_run(TINTED, firing, 0.5, include_additions=choice) for choice in (None, False))
    assert not with_iron.in_range and "iron_state" in with_iron.why
    assert not base.in_range and "additions_matter" in base.why


def test_a_trace_of_colour_is_told_and_more_of_an_unmeasured_one_is_grey() -> None:
    base = {"soda feldspar": 60, "whiting": 20, "quartz": 20}
    for percent, grey in ((0.5, False), (4, True)):
        estimate = gk.expansion(gk.Recipe("copper", base, {"copper carbonate": percent}))
        assert estimate.in_range != grey and "additions_left_out" in estimate.why and ("additions_matter" in estimate.why) == grey


BASE = {"soda feldspar": 45, "whiting": 18, "kaolin": 12, "quartz": 25}
HALF = {powder: amount / 2 for powder, amount in BASE.items()}


@pytest.mark.parametrize("ask", [gk.expansion, gk.glass_transition, lambda glaze, **more: gk.viscosity(glaze, 1222, **more)])
def test_an_addition_of_unknown_amount_or_make_up_greys_the_number(ask: Callable[..., gk.Estimate]) -> None:
    """Nobody knows whether five are parts or percent; nobody knows what is in the shed's powder."""
    unsaid = gk.Recipe("a", HALF, {"red iron oxide": 5})
    assert ask(gk.Recipe("a", BASE)).in_range and not ask(unsaid).in_range
    assert ask(unsaid).why[0] == "additions_unknown" and "red iron oxide" in ask(unsaid).note
    said = ask(gk.Recipe("a", HALF, {"gum": 0.5}, additions_are="parts"))
    assert said.in_range and "additions_unknown" not in said.why
    shed = gk.Recipe("a", BASE, {"shed powder": 5, "copper carbonate": 4})
    found = ask(shed, stock=gk.course_stock().with_unknown("shed powder"))
    assert not found.in_range and {"additions_unknown", "additions_matter"} <= set(found.why), "the copper is still seen"


def test_what_an_analysis_leaves_out_is_told_whatever_stock_is_asked() -> None:
    ash = gk.Recipe("ash", {"wood ash": 20, "soda feldspar": 40, "kaolin": 15, "quartz": 25})
    assert "analysis" in gk.expansion(ash).why == gk.expansion(ash, stock=gk.course_stock()).why


def test_much_opacifier_greys_a_formula_as_it_greys_its_recipe() -> None:
    white = gk.Recipe("white", BASE | {"zircon": 12})
    for glaze in (white, gk.unity_formula(white)):
        assert not gk.expansion(glaze).in_range and "opacifier" in gk.expansion(glaze).why
    assert "opacifier" not in gk.expansion(gk.unity_formula(gk.Recipe("clear", BASE | {"zircon": 2}))).why


def test_silicon_carbide_foams_and_greys_the_number() -> None:
    for glaze in (gk.Recipe("a", BASE | {"silicon carbide": 1}), gk.Recipe("a", BASE, {"silicon carbide": 1})):
        assert not gk.expansion(glaze).in_range and "foam" in gk.expansion(glaze).why
    assert "foam" not in gk.expansion(gk.Recipe("a", BASE)).why
    assert "foam" in {caution.key for caution in cautions_for(gk.Recipe("a", BASE, {"silicon carbide": 1}), moment="firing")}


def test_iron_in_reduction_is_not_what_was_measured() -> None:
    tenmoku = gk.Recipe(
        "t", {"potash feldspar": 45, "whiting": 17, "kaolin": 10, "quartz": 28}, {"red iron oxide": 8}, atmosphere="reduction"
    )
    in_air = gk.Recipe("t", tenmoku.base, tenmoku.additions, atmosphere="oxidation")
    assert "iron_in_reduction" in gk.viscosity(tenmoku, 1285).why and "iron_in_reduction" not in gk.viscosity(in_air, 1285).why
    as_feo = gk.unity_formula(tenmoku, include_additions=True, iron_as="FeO", count_colour_fluxes=True)
    as_is = gk.unity_formula(tenmoku, include_additions=True)
    assert as_feo["Fe2O3"] == 0 and sum(as_feo.fluxes.values()) == pytest.approx(1)
    assert as_feo["FeO"] / as_feo["CaO"] == pytest.approx(2 * as_is["Fe2O3"] / as_is["CaO"])
    assert gk.unity_formula(tenmoku, include_additions=True, iron_as="FeO")["CaO"] == as_is["CaO"], "no flux without the switch"
    with pytest.raises(RangeError):
        gk.unity_formula(tenmoku, iron_as="Fe3O4")


def test_what_cannot_be_counted_stops_nothing() -> None:
    base = {"soda feldspar": 60, "whiting": 20, "quartz": 21}
    for additions in ({"red iron oxide": 4}, {"gum": 2}, {"no such powder": 1}):
        assert composition_of(gk.Recipe("odd total", base, additions))["Fe2O3"] == 0
    assert composition_of(gk.Recipe("odd total", base, {"red iron oxide": 4}, additions_are="parts"))["Fe2O3"] > 0


CONE_6 = {"soda feldspar": 28, "calcium borosilicate frit": 24, "whiting": 14, "kaolin": 12, "quartz": 22}


def is_clear(additions: dict[str, float]) -> bool:
    """Is an everyday clear still called one with these on top? Its number stays either way."""
    estimate = gk.expansion(gk.Recipe("with", CONE_6, additions))
    assert estimate.value is not None and estimate.in_range == ("opacifier" not in estimate.why)
    return estimate.in_range


@pytest.mark.parametrize(
    ("oxide", "powder"),
    [
        ("SnO2", "tin oxide"),
        ("ZrO2", "zircon"),
        ("TiO2", "titania"),
        ("Cr2O3", "chromium oxide"),
        ("NiO", "nickel oxide"),
    ],
)
def test_what_does_not_dissolve_is_a_doubt_even_when_it_is_not_counted(oxide: str, powder: str) -> None:
    most = {row["oxide"]: row["most_pct"] for row in read_table("opacity_limits")}[oxide]
    assert is_clear({powder: 0.98 * most}) and not is_clear({powder: 1.02 * most})


@pytest.mark.parametrize(
    "white",
    [
        {"tin oxide": 5},
        {"zircon": 5},
        {"titania": 5},
        {"rutile": 4},
        {"chromium oxide": 2},
        {"nickel oxide": 1},
        {"chromium oxide": 0.2, "tin oxide": 5},
        {"tin oxide": 1.6, "zircon": 2.2},
    ],
)
def test_what_the_trade_uses_for_white_or_green_is_no_clear(white: dict[str, float]) -> None:
    assert not is_clear(white)


@pytest.mark.parametrize("little", [{"tin oxide": 1}, {"rutile": 1}, {"tin oxide": 0.8, "zircon": 1.2}, {"chromium oxide": 0.2}])
def test_little_of_them_dissolves(little: dict[str, float]) -> None:
    assert is_clear(little)


def test_every_model_oxide_is_one_the_workbook_knows() -> None:
    from glazekit.materials.oxides import OXIDES

    assert set(MODEL_OXIDES) < set(OXIDES) and len(MODEL_OXIDES) == len(set(MODEL_OXIDES)) == 17


def test_a_borrowed_analysis_is_told_beside_every_number() -> None:
    stock = gk.course_stock().with_stand_in("old feldspar", "potash feldspar")
    recipe = gk.Recipe("borrowed", {"old feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25})
    for glaze in (recipe, gk.unity_formula(recipe, stock=stock)):
        (reason,) = composition_of(glaze, stock=stock).notes
        assert reason.key == "analysis" and "old feldspar" in reason.words and "potash feldspar" in reason.words
        assert gk.expansion(glaze, stock=stock).note == reason.words
        assert reason.words in gk.viscosity(glaze, 1222, stock=stock).note
    assert composition_of(gk.Recipe("own", {"whiting": 40, "kaolin": 60}), stock=stock).notes == ()


@pytest.mark.parametrize("said", ["reduction", "Reduction", "heavy reduction", "gas reduction"])
def test_reduction_is_read_in_any_of_its_words(said: str) -> None:
    base, colour = {"potash feldspar": 40, "whiting": 18, "kaolin": 15, "quartz": 27}, {"red iron oxide": 9}
    iron = gk.Recipe("iron", base, colour, "parts", "10", said)
    assert "iron_in_reduction" in gk.expansion(iron).why
    assert "iron_in_reduction" not in gk.expansion(gk.Recipe("iron", base, colour, "parts", "10", "oxidation")).why
