"""From formula to recipe: targets, limits, notes, rounding, and errors that say what to do."""

from __future__ import annotations

import pickle

import pytest

import glazekit as gk
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.by_hand import by_hand
from glazekit.chemistry.formulate import Formulation, formulate, round_to
from glazekit.ground.errors import NoAnalysisError, RangeError, RecipeError, UnknownMaterialError
from glazekit.recipe.cautions import cautions_for

FOUR = ("potash feldspar", "whiting", "kaolin", "quartz")
TARGET = {"K2O": 0.25, "CaO": 0.75, "Al2O3": 0.4, "SiO2": 3.5}


def shares(found: Formulation) -> dict[str, float]:
    return {line.material: line.amount for line in found.recipe.base}


def test_a_recipe_leads_to_its_formula_and_back(practice: gk.Recipe) -> None:
    found = formulate(gk.unity_formula(practice), FOUR)
    assert shares(found) == pytest.approx({line.material: line.amount for line in practice.base})
    assert found.missing == {}
    assert found.left_over == {}
    assert list(found.difference.values()) == pytest.approx([0] * len(found.difference), abs=1e-9)


def test_a_mapping_and_a_unity_formula_are_the_same_target() -> None:
    assert shares(formulate(gk.unity_formula(gk.demo_recipe("Late Boat")), FOUR)) == pytest.approx(
        shares(formulate(dict(gk.unity_formula(gk.demo_recipe("Late Boat")).moles), FOUR))
    )


def test_a_formulation_can_be_kept_and_sent() -> None:
    found = formulate({**TARGET, "Al2O3": 0.1}, FOUR)
    assert pickle.loads(pickle.dumps(found)) == found


@pytest.mark.parametrize(
    ("target", "words"),
    [
        ({"CaO": 0.5, "SiO2": 2}, "total 0.5, not 1"),
        ({"B2O3": 1, "CaO": 0.5}, "boron is not a flux"),
        ({"CaO": 1, "SiO2": -1}, "SiO2 is -1"),
        ({"CaO": 1, "Si02": 1}, "'SiO2'"),
        ({"CaO": float("nan")}, "plain number"),
        ({"CaO": True}, "plain number"),
        ({"CaO": "1"}, "plain number"),
    ],
)
def test_a_target_that_is_no_unity_formula(target: dict[str, float], words: str) -> None:
    with pytest.raises(RangeError, match=words):
        formulate(target, FOUR)


def test_fluxes_rounded_on_paper_are_scaled_and_a_note_says_so() -> None:
    found = formulate({**TARGET, "CaO": 0.74}, FOUR)
    assert "total 0.990" in found.notes[0]
    assert sum(found.target.fluxes.values()) == pytest.approx(1)
    assert formulate(TARGET, FOUR).notes == ()


@pytest.mark.parametrize("total", [0.975, 1.025])
def test_fluxes_within_three_hundredths_of_one_were_rounded(total: float) -> None:
    assert sum(formulate({**TARGET, "CaO": total - 0.25}, FOUR).target.fluxes.values()) == pytest.approx(1)


@pytest.mark.parametrize("total", [0.965, 1.035])
def test_fluxes_farther_from_one_are_no_unity_formula(total: float) -> None:
    with pytest.raises(RangeError, match="not 1"):
        formulate({**TARGET, "CaO": total - 0.25}, FOUR)


@pytest.mark.parametrize("name", ["Gangway Clear", "Handrail Clear", "Bollard Matte", "Late Boat", "Bulkhead Liner"])
def test_a_formula_copied_with_two_decimals_still_has_its_recipe(name: str) -> None:
    recipe = gk.demo_recipe(name)
    on_paper = {oxide: round(moles, 2) for oxide, moles in gk.unity_formula(recipe).moles.items()}
    assert formulate(on_paper, [line.material for line in recipe.base]).feasible


def test_an_oxide_given_as_nothing_is_to_stay_out_and_a_trace_of_another_may_come_along() -> None:
    clay = ("potash feldspar", "whiting", "ball clay", "quartz")
    open_found = formulate(TARGET, clay)
    assert open_found.feasible
    assert open_found.left_over["TiO2"] > 0.005
    assert any("titania" in note for note in open_found.notes)
    strict = formulate({**TARGET, "TiO2": 0}, clay)
    assert not strict.feasible
    assert strict.why_not is not None
    assert "TiO2" in strict.why_not.oxides


@pytest.mark.parametrize(
    ("materials", "error", "words"),
    [
        ((*FOUR, "kaolim"), UnknownMaterialError, "did you mean 'kaolin'"),
        ((*FOUR, "china clay"), RecipeError, "'china clay' and 'kaolin' are the same material"),
        ((*FOUR, "gum solution"), RecipeError, "is a liquid"),
        (("kaolin", "quartz"), RecipeError, "brings a flux"),
        ((), RecipeError, "name the materials"),
        ("kaolin", RecipeError, "as a list"),
    ],
)
def test_materials_that_cannot_be_used(materials: tuple[str, ...], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        formulate(TARGET, materials)


def test_a_material_declared_unknown_stops_the_chemistry(stock: gk.Stock) -> None:
    with pytest.raises(NoAnalysisError, match="blue dust"):
        formulate(TARGET, (*FOUR, "blue dust"), stock=stock.with_unknown("blue dust"))


def test_a_stand_in_is_named_in_the_notes(stock: gk.Stock) -> None:
    found = formulate(TARGET, ("old feldspar", *FOUR[1:]), stock=stock.with_stand_in("old feldspar", "potash feldspar"))
    assert any("stand-in" in note for note in found.notes)


SEVEN = (*FOUR, "wollastonite", "ball clay", "calcined kaolin")


def test_fixed_least_and_greatest_shares_hold() -> None:
    found = formulate(
        TARGET,
        SEVEN,
        fixed={"wollastonite": 10},
        min_share={"calcined kaolin": 4},
        max_share={"potash feldspar": 60, "quartz": 40},
    )
    assert found.feasible
    assert shares(found)["wollastonite"] == pytest.approx(10, abs=1e-6)
    assert shares(found)["calcined kaolin"] >= 4 - 1e-6
    assert sum(shares(found).values()) == pytest.approx(100)


def test_limits_may_be_named_by_a_synonym() -> None:
    assert shares(formulate(TARGET, SEVEN, fixed={"china clay": 5}))["kaolin"] == pytest.approx(5, abs=1e-6)


def test_enough_plastic_clay_when_asked() -> None:
    clays = ("potash feldspar", "whiting", "calcined kaolin", "kaolin", "quartz")
    free = formulate(TARGET, clays, max_share={"kaolin": 2})
    assert any("settle" in note for note in free.notes)
    asked = formulate(TARGET, clays, min_plastic_clay_pct=PLASTIC_CLAY_PCT)
    assert shares(asked)["kaolin"] >= PLASTIC_CLAY_PCT - 1e-6
    assert not any("settle" in note for note in asked.notes)


def test_what_is_left_on_the_shelf_is_a_limit() -> None:
    found = formulate(TARGET, (*FOUR, "wollastonite"), available_g={"whiting": 30, "zinc oxide": 1}, base_g=500)
    assert found.feasible
    assert shares(found).get("whiting", 0.0) <= 6 + 1e-6
    empty = formulate(TARGET, FOUR, available_g={"whiting": 0})
    assert empty.why_not is not None
    assert any("whiting" in relief and "0 g" in relief for relief in empty.why_not.reliefs)


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ({"fixed": {"ball clay": 2}}, "'ball clay'"),
        ({"fixed": {"kaolim": 2}}, "'kaolin'"),
        ({"fixed": {"kaolin": 60, "quartz": 60}}, "120 %"),
        ({"fixed": {"kaolin": 30}, "max_share": {"kaolin": 20}}, "fixed at 30 %"),
        ({"min_share": {"kaolin": 30}, "max_share": {"kaolin": 20}}, "no share is both"),
        ({"max_share": dict.fromkeys(FOUR, 20)}, "80 %, less than the whole"),
        ({"fixed": {"quartz": 100}}, "no recipe with a flux"),
        ({"min_plastic_clay_pct": 30, "max_share": {"kaolin": 20}}, "no recipe is left"),
    ],
)
def test_limits_that_contradict_each_other(limits: dict[str, object], words: str) -> None:
    with pytest.raises(RecipeError, match=words):
        formulate(TARGET, FOUR, **limits)  # type: ignore[arg-type]


def test_a_share_is_a_percentage() -> None:
    with pytest.raises(RangeError, match=r"-3 .*100"):
        formulate(TARGET, FOUR, min_share={"kaolin": -3})


def test_something_that_burns_away_takes_its_fixed_share() -> None:
    found = formulate(TARGET, (*FOUR, "gum"), fixed={"gum": 2})
    assert shares(found)["gum"] == pytest.approx(2, abs=1e-6)
    assert found.feasible


def test_fewer_materials_or_a_little_of_each() -> None:
    few = formulate(TARGET, SEVEN)
    many = formulate(TARGET, SEVEN, prefer_fewer=False)
    assert len(few.recipe.base) == 4
    assert list(shares(few)) == list(FOUR), "of several recipes with four materials, those named first"
    assert len(few.alternatives) >= 2
    assert len(many.recipe.base) > 4
    assert many.feasible


def test_like_stays_close_to_a_recipe() -> None:
    recipe = gk.Recipe(
        "mixed", {"potash feldspar": 39, "whiting": 15, "wollastonite": 7, "kaolin": 6, "calcined kaolin": 5, "quartz": 27}
    )
    found = formulate(gk.unity_formula(recipe), SEVEN, like=recipe)
    expected = {line.material: line.amount for line in recipe.to_100().base}
    assert {name: share for name, share in shares(found).items() if share > 0.01} == pytest.approx(expected, abs=0.01)


def test_colour_fluxes_are_counted_when_the_target_counts_them(stock: gk.Stock) -> None:
    recipe = gk.Recipe("blue", {**dict.fromkeys(FOUR, 20.0), "cobalt carbonate": 2})
    target = gk.unity_formula(recipe, count_colour_fluxes=True)
    found = formulate(target, [*FOUR, "cobalt carbonate"])
    assert found.reached["CoO"] == pytest.approx(target["CoO"])
    assert found.feasible


def test_rounding_reports_what_it_shifts() -> None:
    found = formulate(TARGET, FOUR)
    fine, coarse = round_to(found, 0.1), round_to(found, 1)
    assert fine.recipe.base_sum == pytest.approx(100)
    assert [line.amount for line in fine.recipe.base] == [39.2, 21.1, 10.9, 28.8]
    assert fine.before == found.reached
    assert fine.after == gk.unity_formula(fine.recipe)
    assert max(map(abs, fine.unity_change.values())) < max(map(abs, coarse.unity_change.values()))
    assert all(amount for _, _, amount in fine.changes), "nothing vanished"


def test_rounding_says_what_became_nothing() -> None:
    recipe = gk.Recipe("pinch", {"potash feldspar": 40, "whiting": 20, "kaolin": 14.98, "quartz": 25, "zinc oxide": 0.02})
    rounded = round_to(formulate(gk.unity_formula(recipe), [*FOUR, "zinc oxide"], like=recipe), 0.1)
    assert [material for material, _, amount in rounded.changes if not amount] == ["zinc oxide"]
    assert rounded.unity_change["ZnO"] < 0


def test_rounding_steps_have_limits() -> None:
    with pytest.raises(RangeError, match=r"5 .*0\.001 .*1"):
        round_to(formulate(TARGET, FOUR), 5)
    with pytest.raises(RangeError, match=r"\b0\.3\b"):
        round_to(formulate(TARGET, FOUR), 0.3)


def test_the_nearest_recipe_is_the_same_without_an_explanation() -> None:
    wanted, powders = {"K2O": 0.30, "CaO": 0.70, "Al2O3": 0.20, "SiO2": 3.0}, ["potash feldspar", "whiting", "kaolin", "quartz"]
    told, silent = formulate(wanted, powders), formulate(wanted, powders, explain=False)
    assert told.why_not is not None and silent.why_not is None
    assert silent.recipe == told.recipe and not silent.feasible and not told.feasible


JOINT = {"Na2O+K2O": 0.3, "CaO": 0.7, "Al2O3": 0.45, "SiO2": 3.5}


@pytest.mark.parametrize(
    ("sources", "soda"), [(["nepheline syenite"], 0.225), (["potash feldspar"], 0.0), (["soda feldspar"], 0.3)]
)
def test_a_sum_of_oxides_is_shared_out_as_the_powders_bring_it(sources: list[str], soda: float) -> None:
    """Nepheline syenite is taken as three of soda to one of potash."""
    found = formulate(JOINT, [*sources, "whiting", "kaolin", "quartz"])
    assert found.feasible
    assert found.reached["Na2O"] == pytest.approx(soda, abs=0.001)
    assert found.reached["Na2O"] + found.reached["K2O"] == pytest.approx(0.3)
    assert "0.300" in found.notes[0]


def test_a_sum_is_bought_by_hand_too() -> None:
    work = by_hand(JOINT, "soda feldspar", ["whiting"], "kaolin", "quartz")
    assert work.recipe is not None and work.purchases[0].need_mol == pytest.approx(0.3)


def test_an_oxide_is_asked_for_once_and_must_be_known() -> None:
    with pytest.raises(RangeError, match="Na2O"):
        formulate(JOINT | {"Na2O": 0.1}, FOUR)
    with pytest.raises(RangeError) as caught:
        formulate({"Na2O+KO": 0.3, "CaO": 0.7}, FOUR)
    assert caught.value.given == "KO"
    with pytest.raises(RangeError):
        formulate({"Na2O+K2O": float("nan"), "CaO": 0.7}, FOUR)
    for much in (1e16, 1e308, float("inf")):
        with pytest.raises(RangeError):
            formulate({"K2O": 0.3, "CaO": 0.7, "Al2O3": much}, FOUR)
    with pytest.raises(RangeError) as caught:
        formulate(JOINT | {"SiO": 1}, FOUR)
    assert caught.value.given == "SiO"
    spaced = {text.replace("+", " + "): moles for text, moles in JOINT.items()}
    assert formulate(spaced, FOUR).recipe == formulate(JOINT, FOUR).recipe


@pytest.mark.parametrize("powders", [["kaolin"], ["kaolin", "quartz"]])
def test_a_sum_asked_of_powders_without_a_flux_is_refused_in_words(powders: list[str]) -> None:
    with pytest.raises(RecipeError) as caught:
        formulate(JOINT, powders)
    assert all(powder in str(caught.value) for powder in powders)


def test_a_sum_is_shared_out_within_the_limits() -> None:
    found = formulate(JOINT, ["nepheline syenite", "potash feldspar", *FOUR[1:]], fixed={"nepheline syenite": 0})
    assert found.feasible and found.target["K2O"] == pytest.approx(0.3)


def test_a_recipe_with_a_poison_says_so_first() -> None:
    found = formulate({"PbO": 1, "Al2O3": 0.2, "SiO2": 1.6}, ["white lead", "kaolin", "quartz"])
    stop = [caution.text for caution in cautions_for(found.recipe, moment="weighing") if caution.key == "poison"]
    assert shares(found)["white lead"] > 60 and found.notes[: len(stop)] == tuple(stop) != ()
    assert not set(stop) & set(formulate(TARGET, FOUR).notes)


def test_clay_that_reads_as_enough_is_not_called_too_little() -> None:
    """7.994 % of plastic clay is printed as 8.0 %."""
    target = {"Li2O+Na2O+K2O": 0.3, "CaO": 0.5, "MgO": 0.2, "Al2O3": 0.4, "SiO2": 3.5}
    names = ["potash feldspar", "soda feldspar", "whiting", "kaolin", "quartz", "talc", "dolomite", "spodumene"]
    found = formulate(target, names)
    clay = next(line.amount for line in found.recipe.base if line.material == "kaolin")
    assert clay < 8 and f"{clay:.1f}" == "8.0" and found.notes
    assert not any("8.0 %" in note for note in found.notes)
