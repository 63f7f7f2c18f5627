"""Safety lines stand where the action is, and none is lost."""

from __future__ import annotations

import re

import pytest

from glazekit.chemistry.analysis import frit_of
from glazekit.ground.errors import DataError, UnknownMaterialError
from glazekit.ground.tables import cite, read_table
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import MOMENTS, Caution, cautions_for
from glazekit.recipe.recipe import Recipe

SITUATIONS = {
    "always",
    "unknown",
    "big_batch",
    "carbon_monoxide",
    "air_unread",
    "zinc_in_reduction",
    "zinc_in_flame",
    "decorative",
}


def keys(found: tuple[Caution, ...]) -> set[str]:
    return {caution.key for caution in found}


def recipe(*materials: str, atmosphere: str = "", **additions: float) -> Recipe:
    return Recipe("test", dict.fromkeys(materials, 10.0), additions, "parts", atmosphere=atmosphere)


@pytest.mark.parametrize("moment", MOMENTS)
def test_even_the_plainest_glaze_has_a_line_at_every_moment(moment: str) -> None:
    found = cautions_for(recipe("alumina"), moment=moment)
    assert found
    assert {caution.moment for caution in found} == {moment}


def test_what_the_course_promises_is_said() -> None:
    words = " ".join(caution.text for caution in cautions_for(recipe("quartz", "kaolin")))
    for promise in (
        "respirator fitted to your local standard",
        "Dry into wet",
        "never sweep",
        "Every new glaze may run",
        "lab leach test",
        "local rules decide",
        "licensed people",
    ):
        assert promise in words


@pytest.mark.parametrize(
    ("material", "key", "moment"),
    [
        ("quartz", "silica", "weighing"),
        ("wollastonite", "fibre", "weighing"),
        ("talc", "asbestos_certificate", "weighing"),
        ("copper carbonate", "toxic", "using"),
        ("manganese dioxide", "toxic", "firing"),
        ("barium carbonate", "poison", "weighing"),
        ("barium carbonate", "poison", "mixing"),
        ("red lead", "poison", "mixing"),
        ("litharge", "poison", "mixing"),
        ("red lead", "lead", "firing"),
        ("white lead", "poison", "using"),
        ("lithium carbonate", "lithium", "mixing"),
        ("manganese dioxide", "manganese", "weighing"),
        ("manganese carbonate", "manganese", "firing"),
        ("cobalt oxide", "sensitising", "weighing"),
        ("cobalt carbonate", "sensitising", "mixing"),
        ("nickel oxide", "sensitising", "weighing"),
        ("chromium oxide", "chromium", "firing"),
        ("calcium borosilicate frit", "sharp_dust", "weighing"),
        ("borax", "boron_salt", "weighing"),
        ("saltpetre", "nitrate", "firing"),
        ("nepheline syenite", "soluble", "mixing"),
        ("zinc oxide", "zinc", "firing"),
        ("whiting", "gas", "firing"),
        ("nickel oxide", "nickel", "weighing"),
        ("cobalt oxide", "cobalt", "weighing"),
        ("cobalt carbonate", "cobalt", "weighing"),
        ("litharge", "lead", "firing"),
        ("red lead", "lead", "firing"),
        ("white lead", "lead", "firing"),
        ("colemanite", "spits", "firing"),
        ("colemanite", "boron_salt", "weighing"),
        ("ulexite", "boron_salt", "weighing"),
        ("charcoal", "carbon", "firing"),
        ("silicon carbide", "carbon", "firing"),
        ("Cornish stone", "fluorine_trace", "firing"),
    ],
)
def test_a_material_calls_for_its_line(material: str, key: str, moment: str) -> None:
    found = [caution for caution in cautions_for(recipe("alumina", material), moment=moment) if caution.key == key]
    assert len(found) == 1
    assert material in found[0].text
    assert found[0].materials == (material,)


@pytest.mark.parametrize("material", ["spodumene", "petalite"])
def test_lithia_held_in_rock_neither_dissolves_nor_makes_a_glaze_decorative(material: str) -> None:
    found = keys(cautions_for(recipe(material, **{"copper carbonate": 0.2})))
    assert "silica" in found and not {"lithium", "soluble", "decorative"} & found
    concentrate = Material("rock", "bag", (("Li2O", 8.0), ("Al2O3", 27.4), ("SiO2", 64.6)))
    salt = Material("salt", "bag", (("Li2O", 40.4),), 59.6)
    shelf = Stock((concentrate, salt))
    assert "lithium" not in keys(cautions_for(recipe("rock"), shelf)) and "lithium" in keys(cautions_for(recipe("salt"), shelf))


def test_a_frit_is_sharp_dust_and_no_crystalline_silica(stock: Stock) -> None:
    """Whether it is the course's, a new lot of it, or melted by the learner from quartz and poison."""
    lot = Material("potash frit", "bag", (("SiO2", 64.0), ("CaO", 12.0), ("K2O", 24.0)))
    melted = frit_of("own frit", Recipe("melt", {"quartz": 50, "borax": 30, "saltpetre": 10, "manganese dioxide": 10}))
    shelf = stock.with_materials([lot, melted])
    for frit in ("calcium borosilicate frit", "alkaline frit", "potash frit", "own frit"):
        found = keys(cautions_for(recipe("alumina", frit), shelf))
        assert "sharp_dust" in found and "silica" not in found, frit
    assert {"toxic", "manganese"} <= found and not {"nitrate", "boron_salt", "soluble", "gas"} & found


def test_only_metals_make_a_glaze_decorative() -> None:
    """Borax and saltpetre harm at the bench; melted, they are boron and potash as in any glaze."""
    assert "decorative" not in keys(cautions_for(recipe("borax", "saltpetre", "quartz")))


def test_a_mask_is_named_by_its_filter_class() -> None:
    (line,) = (one for one in cautions_for(recipe("quartz"), moment="weighing") if one.key == "always")
    assert re.search(r"\bP100\b.*\bFFP3\b", line.text)


@pytest.mark.parametrize(
    ("material", "key", "level"),
    [
        ("fluorspar", "fluorine", "stop"),
        ("barytes", "sulphur", "care"),
        ("rock salt", "salt_vapour", "stop"),
        ("sodium nitrate", "nitrate", "care"),
        ("charcoal", "gas", "note"),
        ("silicon carbide", "gas", "note"),
    ],
)
def test_what_leaves_the_kiln_is_told_at_the_kiln(material: str, key: str, level: str) -> None:
    lines = [line for line in cautions_for(recipe("alumina", material), moment="firing") if line.key == key]
    assert [(line.level, line.materials) for line in lines] == [(level, (material,))]


def test_barytes_is_no_poison_to_weigh_but_never_for_food() -> None:
    found = cautions_for(recipe("barytes"))
    assert "poison" not in keys(found)
    assert [line.level for line in found if line.key == "barytes" and line.moment == "using"] == ["stop"]


def test_a_synonym_calls_for_the_same_line() -> None:
    assert "silica" in keys(cautions_for(recipe("flint")))


def test_zinc_and_reduction_stop_before_weighing() -> None:
    for atmosphere in ("reduction", "light red.", "gas kiln", "ox./red."):
        found = cautions_for(recipe("zinc oxide", atmosphere=atmosphere), moment="weighing")
        assert found[0].key == "zinc_in_reduction"
        assert found[0].level == "stop"
    assert "zinc_in_reduction" not in keys(cautions_for(recipe("zinc oxide", atmosphere="oxidation")))
    assert "zinc_in_reduction" not in keys(cautions_for(recipe("quartz", atmosphere="reduction")))


SMOTHERED = ("raku", "pit", "saggar", "Sagger firing", "smoke", "cooled in sawdust", "R", "O/R", "electric, charcoal")
FLAMES = ("propane", "LPG", "salt", "soda", "anagama", "natural gas", "wood-fired")


@pytest.mark.parametrize("atmosphere", [*SMOTHERED, *FLAMES])
def test_every_fire_that_smothers_the_ware_or_has_a_flame_is_read(atmosphere: str) -> None:
    found = {(one.moment, one.key): one.level for one in cautions_for(recipe("zinc oxide", atmosphere=atmosphere))}
    assert (
        found["firing", "carbon_monoxide"]
        == found["firing", "zinc_in_reduction"]
        == found["weighing", "zinc_in_reduction"]
        == "stop"
    )
    assert ("firing", "air_unread") not in found
    assert not {"zinc_in_reduction", "zinc_in_flame"} & keys(cautions_for(recipe("quartz", atmosphere=atmosphere)))


@pytest.mark.parametrize(
    "atmosphere", ["blorp", "normal", "?", "atmosphère inconnue", "oxygen-starved", "air-starved", "non-oxidising"]
)
def test_an_air_that_is_not_understood_is_taken_the_careful_way_and_told(atmosphere: str) -> None:
    found = {one.key: one for one in cautions_for(recipe("zinc oxide", atmosphere=atmosphere), moment="firing")}
    assert found["zinc_in_flame"].level == found["carbon_monoxide"].level == "stop"
    assert atmosphere in found["air_unread"].text and found["air_unread"].materials == ()


@pytest.mark.parametrize(
    "atmosphere", ["", "  ", "oxidation", "Oxidising", "ox.", "O", "oxydation", "electric", "electric, slow cool", "in air"]
)
def test_air_with_no_flame_calls_for_nothing(atmosphere: str) -> None:
    called = keys(cautions_for(recipe("zinc oxide", atmosphere=atmosphere)))
    assert "zinc" in called and not {"carbon_monoxide", "air_unread", "zinc_in_flame", "zinc_in_reduction"} & called


def test_neutral_is_a_flame_that_is_told_not_to_reduce() -> None:
    for atmosphere in ("neutral", "neutral, gas"):
        called = keys(cautions_for(recipe("zinc oxide", atmosphere=atmosphere)))
        assert {"zinc_in_flame", "carbon_monoxide"} <= called and not {"zinc_in_reduction", "air_unread"} & called


def test_braces_in_a_name_or_an_air_are_only_signs() -> None:
    shelf = Stock((Material("{atmosphere}", "bag", (("PbO", 60.0), ("SiO2", 40.0))),))
    found = cautions_for(Recipe("x", {"{atmosphere}": 10}, atmosphere="{materials} {0}"), shelf)
    (lead,) = (one for one in found if one.key == "lead")
    (air,) = (one for one in found if one.key == "air_unread")
    assert "{atmosphere}" in lead.text and "{materials} {0}" in air.text


def test_what_nickel_and_cobalt_may_do_to_the_lungs_is_named() -> None:
    for material, key in (("nickel oxide", "nickel"), ("cobalt oxide", "cobalt"), ("cobalt carbonate", "cobalt")):
        (line,) = (one for one in cautions_for(recipe(material), moment="weighing") if one.key == key)
        assert "cancer" in line.text and line.source != "practice" and cite(line.source)
    assert not {"nickel", "cobalt"} & keys(cautions_for(recipe("chromium oxide", "copper oxide")))


def test_carbon_in_the_ware_names_its_gas_in_an_electric_kiln_too() -> None:
    for material in ("charcoal", "silicon carbide"):
        (line,) = (one for one in cautions_for(recipe(material, atmosphere="oxidation"), moment="firing") if one.key == "carbon")
        assert "carbon monoxide" in line.text and "electric" in line.text


def test_reduction_names_carbon_monoxide() -> None:
    found = {caution.key: caution for caution in cautions_for(recipe("quartz", atmosphere="reduction"), moment="firing")}
    assert "carbon monoxide" in found["carbon_monoxide"].text
    assert "trained" in found["carbon_monoxide"].text


def test_more_than_a_kilogram() -> None:
    assert "big_batch" in keys(cautions_for(recipe("quartz"), batch_g=1000.1))
    assert "big_batch" not in keys(cautions_for(recipe("quartz"), batch_g=1000))
    assert "big_batch" not in keys(cautions_for(recipe("quartz")))


def test_decorative_only() -> None:
    together = recipe("lithium carbonate", "quartz", **{"copper carbonate": 0.5})
    (line,) = (caution for caution in cautions_for(together, moment="using") if caution.key == "decorative")
    assert set(line.materials) == {"copper carbonate", "lithium carbonate"}
    assert "decorative only" in line.text
    assert "decorative" not in keys(cautions_for(recipe("quartz", **{"copper carbonate": 0.4})))
    assert "decorative" in keys(cautions_for(recipe("quartz", **{"copper carbonate": 0.6}))), "6 % of the base is much"


def test_unclear_additions_are_read_the_careful_way() -> None:
    unclear = Recipe("u", {"quartz": 200}, {"copper carbonate": 6})  # 3 % as parts, 6 % as percent of base
    assert "decorative" in keys(cautions_for(unclear))
    assert "decorative" not in keys(cautions_for(unclear.with_additions_are("parts")))
    unclear = Recipe("u", {"quartz": 50}, {"copper carbonate": 4})  # 8 % as parts, 4 % as percent of base
    assert "decorative" in keys(cautions_for(unclear))
    assert "decorative" not in keys(cautions_for(unclear.with_additions_are("percent_of_base")))


def test_unknown_materials_are_treated_as_toxic(stock: Stock) -> None:
    found = cautions_for(recipe("attic powder"), stock.with_unknown("attic powder"), "weighing")
    assert any(caution.key == "unknown" and "attic powder" in caution.text for caution in found)
    with pytest.raises(UnknownMaterialError):
        cautions_for(recipe("attic powder"))


def test_a_poison_by_name_says_stop_whatever_stands_in_for_it(stock: Stock) -> None:
    mix = recipe("lead bisilicate", "quartz")
    for shelf in (stock.with_unknown("lead bisilicate"), stock.with_stand_in("lead bisilicate", "soda frit")):
        found = {(one.moment, one.key): one for one in cautions_for(mix, shelf)}
        for called in (("weighing", "poison"), ("mixing", "poison"), ("using", "poison"), ("firing", "lead")):
            assert found[called].level == "stop" and found[called].materials == ("lead bisilicate",)
        assert {("weighing", "unknown"), ("firing", "unknown")} <= set(found)


def test_a_bag_without_cautions_is_judged_by_its_analysis(stock: Stock) -> None:
    frit = Material("old frit", "bag", (("PbO", 60.0), ("SiO2", 40.0)))
    trace = Material("clean frit", "bag", (("ZnO", 0.1), ("SiO2", 99.9)))
    shelf = stock.with_materials([frit, trace])
    assert {"poison", "lead", "silica"} <= keys(cautions_for(recipe("old frit"), shelf))
    assert "zinc" not in keys(cautions_for(recipe("clean frit"), shelf))


def test_the_loudest_comes_first() -> None:
    found = cautions_for(recipe("zinc oxide", "red iron oxide", "quartz", atmosphere="reduction"), moment="weighing")
    levels = [caution.level for caution in found]
    assert levels == sorted(levels, key=["stop", "care", "note"].index)
    assert set(levels) == {"stop", "care", "note"}


def test_moments_come_in_the_order_of_the_work() -> None:
    moments = [caution.moment for caution in cautions_for(recipe("quartz"))]
    assert moments == sorted(moments, key=MOMENTS.index)
    with pytest.raises(DataError, match="no moment called 'drying'"):
        cautions_for(recipe("quartz"), moment="drying")


def test_every_key_in_use_has_a_line_and_every_line_is_in_use(stock: Stock) -> None:
    in_table = {row["key"] for row in read_table("cautions")}
    in_use = {key for material in stock for key in material.cautions} | {row["key"] for row in read_table("caution_oxides")}
    assert in_use | SITUATIONS == in_table


def test_the_tables_hold_no_verdict_and_no_limit() -> None:
    for row in read_table("cautions"):
        assert "food safe" not in row["text"].lower()
        assert "food-safe" not in row["text"].lower()
        assert not re.search(r"\d+(\.\d+)?\s*(mg|µg|ug|ppm|m3|mg/)", row["text"])
        assert cite(row["source"])
    assert {row["oxide"] for row in read_table("caution_oxides")} <= set(OXIDES)


@pytest.mark.parametrize("atmosphere", ["gas, oxidation", "oxidation, gas", "oxidising, wood kiln"])
def test_zinc_in_an_oxidising_flame_is_a_house_rule_and_no_reduction(atmosphere: str) -> None:
    found = {(one.moment, one.key): one for one in cautions_for(recipe("zinc oxide", atmosphere=atmosphere))}
    assert not any(key == "zinc_in_reduction" for _, key in found)
    assert found["firing", "zinc_in_flame"].level == "stop" and found["weighing", "zinc_in_flame"].level == "care"
    assert ("firing", "carbon_monoxide") in found, "a flame gives it off in every air"
    assert "zinc_in_flame" not in keys(cautions_for(recipe("zinc oxide", atmosphere="oxidation")))
    assert "zinc_in_flame" not in keys(cautions_for(recipe("quartz", atmosphere=atmosphere)))
