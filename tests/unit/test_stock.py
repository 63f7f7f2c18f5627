"""What is on the shelf, under which names, from which bag."""

from __future__ import annotations

import copy
import pickle

import pytest

import glazekit as gk
from glazekit.ground.errors import AnalysisError, NoAnalysisError, UnknownMaterialError
from glazekit.materials.material import Material
from glazekit.materials.stock import poison_named


@pytest.mark.parametrize(
    ("trade_name", "material"),
    [
        ("calcium carbonate", "whiting"),
        ("Calcite", "whiting"),
        ("flint", "quartz"),
        ("SILICA", "quartz"),
        ("china  clay", "kaolin"),
        ("Potash Feldspar", "potash feldspar"),
    ],
)
def test_trade_names_lead_to_the_same_bag(stock: gk.Stock, trade_name: str, material: str) -> None:
    assert stock.find(trade_name).name == material


def test_a_misspelt_name_gets_the_nearest_one(stock: gk.Stock) -> None:
    with pytest.raises(UnknownMaterialError, match="did you mean 'kaolin'"):
        stock.find("kaolim")
    with pytest.raises(UnknownMaterialError, match="declare it unknown"):
        stock.find("bicycle paint")


def test_a_new_bag_is_used_and_the_old_one_stays_on_record(stock: gk.Stock) -> None:
    bag = Material("China clay", "bag", {"SiO2": 47, "Al2O3": 38, "K2O": 1}, 13.5, source="own bag", status="seen", lot="B7")  # type: ignore[arg-type]
    shelf = stock.with_materials([bag])
    assert shelf.find("kaolin").lot == "B7" == shelf.find("china clay").lot
    assert [material.lot for material in shelf.materials if material.name == "kaolin"] == ["", "B7"]
    assert stock.find("kaolin").lot == "", "the first shelf did not change"
    assert "silica" in shelf.find("kaolin").cautions or "dust" in shelf.find("kaolin").cautions
    assert shelf.find("kaolin").plastic_clay, "a bag analysis does not stop a clay being a clay"
    assert len([material for material in shelf if material.name == "kaolin"]) == 1


def test_declared_unknown_weighs_but_has_no_chemistry(stock: gk.Stock) -> None:
    shelf = stock.with_unknown("old red clay")
    assert shelf.find("Old Red Clay").kind == "unknown"
    with pytest.raises(NoAnalysisError, match="'old red clay' was declared unknown"):
        shelf.find("old red clay").need_analysis()


def test_a_stand_in_says_so(stock: gk.Stock) -> None:
    shelf = stock.with_stand_in("old red clay", "ball clay")
    found = shelf.find("old red clay")
    assert found.oxides == stock.find("ball clay").oxides
    assert found.label == "old red clay (stand-in: ball clay)"
    recipe = gk.Recipe("x", {"old red clay": 50, "whiting": 50})
    (note,) = gk.analyse(recipe, stock=shelf).notes
    assert note.startswith("old red clay") and "ball clay" in note
    assert gk.unity_formula(recipe, stock=shelf).notes == gk.analyse(recipe, stock=shelf).notes


@pytest.mark.parametrize(
    ("oxides", "loi", "says"),
    [
        ({"SiO2": 60, "Al2O4": 30}, 10, "my bag: .*'Al2O4'.*'Al2O3'"),
        ({"SiO2": 60, "Al2O3": -1}, 41, "Al2O3 is -1"),
        ({"SiO2": 60}, 10, "total 70 %"),
        ({"SiO2": 546, "Al2O3": 30}, 10, "decimal sign"),
        ((("SiO2", 50.0), ("SiO2", 50.0)), 0, "twice"),
        ({"SiO2": float("nan")}, 0, "SiO2 is nan"),
    ],
)
def test_analyses_that_cannot_be_right_are_refused(oxides: object, loi: float, says: str) -> None:
    with pytest.raises(AnalysisError, match=says):
        Material("my bag", "bag", oxides, loi)  # type: ignore[arg-type]


def test_materials_are_values(stock: gk.Stock) -> None:
    kaolin = stock.find("kaolin")
    assert pickle.loads(pickle.dumps(kaolin)) == kaolin == copy.deepcopy(kaolin)
    assert hash(kaolin) == hash(copy.deepcopy(kaolin))
    assert pickle.loads(pickle.dumps(stock)).find("flint") == stock.find("flint")


@pytest.mark.parametrize(
    ("said", "meant"), [("tin", "tin oxide"), ("zinc", "zinc oxide"), ("Oxide  tin", "tin oxide"), ("kaolim", "kaolin")]
)
def test_a_shortened_name_is_found_by_its_word(said: str, meant: str) -> None:
    with pytest.raises(UnknownMaterialError) as caught:
        gk.course_stock().find(said)
    assert caught.value.hint == meant


@pytest.mark.parametrize(
    "name",
    [
        "lead bisilicate",
        "Lead frit",
        "lead_frit",
        "lead sesquisilicate",
        "lead chromate",
        "uranium oxide",
        "cadmium red stain",
        "antimony oxide",
        "potassium dichromate",
        "potassium  Bichromate",
        "arsenic",
        "selenium",
        "2PbO.SiO2",
        "BaCl2",
        "chrome yellow",
        "barium frit",
        "plumbic oxide",
    ],
)
def test_a_poison_by_its_name_is_never_taken_for_a_slip_of_the_pen(name: str, stock: gk.Stock) -> None:
    with pytest.raises(UnknownMaterialError) as caught:
        stock.find(name)
    poison = poison_named(name)
    assert caught.value.hint is None and poison and poison["holds"] in str(caught.value)


@pytest.mark.parametrize(
    "name", ["lead-free frit", "frit, no lead", "leadless frit", "barium free matte", "baobab ash", "leader clay"]
)
def test_a_name_that_denies_the_poison_holds_none(name: str) -> None:
    assert poison_named(name) is None


def test_only_a_poison_of_the_course_says_so_by_its_name(stock: gk.Stock) -> None:
    assert {one.name for one in stock if poison_named(one.name)} == {"barium carbonate", "white lead", "red lead", "litharge"}


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("PbO", "litharge"),
        ("massicot", "litharge"),
        ("Pb3O4", "red lead"),
        ("BaCO3", "barium carbonate"),
        ("BaSO4", "barytes"),
        ("lead tetroxide", "red lead"),
    ],
)
def test_formula_and_old_name_find_the_poison(said: str, meant: str, stock: gk.Stock) -> None:
    assert stock.find(said).name == meant


def test_a_stand_in_lends_its_numbers_and_not_its_harmlessness(stock: gk.Stock) -> None:
    """A name nobody knows stays unknown, declared so before or not; another name of a known powder brings that powder's lines."""
    assert "unknown" in stock.with_stand_in("attic powder", "quartz").find("attic powder").cautions
    assert "unknown" in stock.with_unknown("attic powder").with_stand_in("attic powder", "quartz").find("attic powder").cautions
    flint = stock.with_stand_in("flint", "calcined kaolin").find("flint")
    assert "unknown" not in flint.cautions and set(stock.find("quartz").cautions) <= set(flint.cautions)
