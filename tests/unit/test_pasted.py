"""Text as people type it: read in full, or refused with the line that stopped it."""

from __future__ import annotations

import pytest

from glazekit.ground.errors import AmbiguousNumberError, GlazekitError, NumberError, RecipeError
from glazekit.recipe.pasted import recipe_from_text
from glazekit.recipe.reading import recipe_csv_text
from glazekit.recipe.recipe import Line, Recipe

BASE = {"whiting": 18.4, "quartz": 81.6}


@pytest.mark.parametrize(
    "text",
    [
        "whiting 18.4\nquartz 81.6",
        "18.4 whiting\n81.6 quartz",
        "whiting 18,40 %\nquartz 81,60 %",
        "18,4% whiting\r\n81,6% quartz\r\n",
        "whiting\t18.4\nquartz\t81.6\n",
        "whiting\t18.4\t%\nquartz\t81.6\t%",
        "18.4\twhiting\n81.6\tquartz",
        "- whiting 18.4\n- quartz 81.6",
        "* whiting 18.4\n* quartz 81.6",
        "• whiting 18.4\n·quartz 81.6",
        "– 18.4 whiting\n– 81.6 quartz",
        "-whiting 18.4\n-quartz 81.6",
        "> whiting 18.4\n> quartz 81.6",
        "[ ] whiting 18.4\n☐ quartz 81.6".replace("☐", "✓"),
        "1. whiting 18.4\n2. quartz 81.6",
        "1) 18.4 whiting\n2) 81.6 quartz",
        "whiting ............ 18.4\nquartz..............81.6",
        "whiting . . . . 18.4\nquartz … 81.6",
        "whiting: 18.4\nquartz = 81.6",
        "whiting - 18.4\nquartz – 81.6",
        "whiting, 18.4\nquartz, 81.6",
        "whiting; 18,4\nquartz; 81,6",
        "whiting (18.4 %)\nquartz (81.6 %)",
        "**whiting** 18.4\n_ _\n**quartz** 81.6",
        "| Material | % |\n|---|---|\n| whiting | 18.4 |\n| quartz | 81.6 |",
        "Material  Amount (g)\nwhiting 18.4g\nquartz 81.6 grams",
        "whiting 18.4 parts\n81.6 parts of quartz",
        "whiting 18.4, quartz 81.6",
        "18.4 whiting; 81.6 quartz.",
        "Base:\nwhiting 18.4\nquartz 81.6\nTotal 100",
        "whiting 18.4\nquartz 81.6\n-----------\n= 100.0 %",
        "whiting 18.4\nquartz 81.6\n100 total",
        "whiting 18.4\nquartz 81.6\nbatch total: 100\nSub-total 100\ntotal (g) 100\nTotal weight: 100",
        "#\nwhiting 18.4\n//\nquartz 81.6",
        "whiting 18.4\nquartz 81.6\n-----\n100",
        "whiting 18,4 %\nquartz 81,6 %\n       100,0 %",
        "whiting\u00a018.4\n\u200bquartz\u200981.6",
        "material,amount\nwhiting,18.4\nquartz,81.6\n",
        "amount;material\n18,4;whiting\n81,6;quartz",
        "\ufeffmaterial,amount\nwhiting,18.4\nquartz,81.6",
    ],
)
def test_spellings_of_one_base(text: str) -> None:
    assert recipe_from_text(text) == Recipe("pasted recipe", BASE)


@pytest.mark.parametrize(
    "tail",
    [
        "+ tin oxide 2\n+ rutile 1.5",
        "+2 tin oxide\n+1.5 rutile",
        "Additions:\ntin oxide 2\nrutile 1.5",
        "additions\n- tin oxide 2\n- rutile 1.5",
        "Add: tin oxide 2, rutile 1.5",
        "plus tin oxide 2\nplus rutile 1.5",
        "plus\ntin oxide 2\nrutile 1.5",
        "Total 100\nAdd 2 tin oxide\nadd 1.5 rutile",
        "Total: 100\n+ tin oxide 2\n+ rutile 1.5\nTotal 103.5",
        "Colourants:\ntin oxide 2\nrutile 1.5",
        "+ tin oxide 2, + rutile 1.5",
        "100\n+ tin oxide 2; + rutile 1.5",
        "## Additions\n- tin oxide 2\n- rutile 1.5",
        "# Additions: tin oxide 2, rutile 1.5",
        "#\n+ tin oxide 2\n//\n+ rutile 1.5\n##\n---",
    ],
)
def test_spellings_of_additions(tail: str) -> None:
    recipe = recipe_from_text("whiting 18.4\nquartz 81.6\n" + tail)
    assert recipe == Recipe("pasted recipe", BASE, {"tin oxide": 2, "rutile": 1.5})


def test_additions_behind_a_plus_in_one_line() -> None:
    recipe = recipe_from_text("whiting: 18.4; quartz: 81.6, + tin oxide: 2; + rutile 1.5")
    assert recipe == Recipe("pasted recipe", BASE, {"tin oxide": 2, "rutile": 1.5})


def test_an_equals_sign_before_a_material_is_no_total() -> None:
    text = "=whiting 18.4\n=quartz 81.6"
    assert recipe_from_text(text).base == Recipe("x", BASE).base


def test_the_line_of_the_brief() -> None:
    recipe = recipe_from_text("Whiting 18,40 %\n+ tin oxide 2")
    assert recipe.base == (Line("Whiting", 18.4),) and recipe.additions == (Line("tin oxide", 2),)


@pytest.mark.parametrize(
    ("head", "name", "cone", "atmosphere"),
    [
        ("Half Clear", "Half Clear", None, ""),
        ("Half Clear\nCone 06", "Half Clear", "06", ""),
        ("Half Clear, cone 6 oxidation", "Half Clear", "6", "oxidation"),
        ("Half Clear (cone 5-6)", "Half Clear", "5-6", ""),
        ("Cone 10 Half Clear", "Half Clear", "10", ""),
        ("cone 5/6 ox", "pasted recipe", "5-6", "oxidation"),
        ("Name: Clear 2\nCone: 6\nAtmosphere: electric", "Clear 2", "6", "electric"),
        ("Half Clear\n^06\nreduction", "Half Clear", "06", "reduction"),
        ("Half Clear\nfired to cone 10 in reduction", "Half Clear", "10", "reduction"),
        ("Half Clear\nc6 oxidation/reduction", "Half Clear", "6", "oxidation or reduction"),
        ("Red\ncone 10 red.", "Red", "10", "reduction"),
        ("Half Clear\ncone 10 R", "Half Clear", "10", "reduction"),
        ("Half Clear c6 O", "Half Clear", "6", "oxidation"),
        ("Half Clear, cone 10R.", "Half Clear", "10", "reduction"),
        ("Half Clear\n## Base\n//\nCone 06", "Half Clear", "06", ""),
        ("cone 6 oxidation: half clear", "half clear", "6", "oxidation"),
        ("Frit 90 clear, cone 6", "Frit 90 clear", "6", ""),
    ],
)
def test_headings(head: str, name: str, cone: str | None, atmosphere: str) -> None:
    recipe = recipe_from_text(f"{head}\nwhiting 18.4\nquartz 81.6")
    assert recipe == Recipe(name, BASE, cone=cone, atmosphere=atmosphere)


def test_amounts_of_all_kinds() -> None:
    recipe = recipe_from_text("½ whiting\n1 1/2 quartz\nkaolin 1/4\nfrit 90: 3\n+ 5 ml gum solution")
    assert [line.amount for line in recipe.base] == [0.5, 1.5, 0.25, 3]
    assert recipe.base[3].material == "frit 90" and recipe.additions == (Line("gum solution", 5, "ml"),)


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("whiting 0.2\nquartz 0.8", [0.2, 0.8]),  # any base sum is fine
        ("whiting 2.5 kg\nquartz 500 g", [2500, 500]),
        ("whiting 1,250\nquartz 3,5", [1.25, 3.5]),
        ("whiting 1\u00a0250\nquartz 3", [1250, 3]),
        ("whiting 1.250 kg\nquartz 800 g", [1250, 800]),
        ("whiting 40.125\nquartz 59.875\nTotal 100", [40.125, 59.875]),
        ("whiting 3/4\nquartz 1 2/3\nkaolin 1/10", [0.75, 1 + 2 / 3, 0.1]),
        ("cone 6: quartz 40\nwhiting 60", [40, 60]),
        ("cone 10 reduction: quartz 40, whiting 60", [40, 60]),
    ],
)
def test_amounts_in_any_unit_and_any_country(text: str, amounts: list[float]) -> None:
    assert [line.amount for line in recipe_from_text(text).base] == amounts


def test_a_liquid_is_an_addition_wherever_it_stands() -> None:
    recipe = recipe_from_text("whiting 18.4\n5 ml gum solution\nquartz 81.6")
    assert recipe == Recipe("pasted recipe", BASE, [Line("gum solution", 5, "ml")])


def test_what_additions_are() -> None:
    text = "whiting 25\nquartz 25\nAdditions{}\ntin oxide 2"
    assert recipe_from_text(text.format(":")).additions_are is None
    assert recipe_from_text(text.format(""), additions_are="parts").additions_are == "parts"
    for words in (" (% of base):", ", percent of base", " are percent of the base"):
        assert recipe_from_text(text.format(words)).additions_are == "percent_of_base"
    assert recipe_from_text(text.format(" (parts):")).additions_are == "parts"
    in_grams = "whiting 25 g\nquartz 25 g\n+ tin oxide 2 %"
    assert recipe_from_text(in_grams).additions_are == "percent_of_base"
    with pytest.raises(RecipeError, match="parts"):
        recipe_from_text(text.format(" (parts):"), additions_are="percent_of_base")


@pytest.mark.parametrize(
    ("text", "base"),
    [
        ("quartz 200 mesh 22\nfrit 90 20", [("quartz 200 mesh", 22), ("frit 90", 20)]),
        ("22 quartz 200 mesh\n20 frit 90\n30 kaolin", [("quartz 200 mesh", 22), ("frit 90", 20), ("kaolin", 30)]),
        ("whiting 22\n20 frit: 90", [("whiting", 22), ("20 frit", 90)]),
        ("whiting 1: 250\n3: feldspar 3 star grade", [("whiting 1", 250), ("feldspar 3 star grade", 3)]),
        ("whiting 22\n1.4 g frit 90", [("whiting", 22), ("frit 90", 1.4)]),  # a name does not begin with grams
        ("feldspar 3 star grade\t22", [("feldspar 3 star grade", 22)]),
    ],
)
def test_names_with_numbers(text: str, base: list[tuple[str, float]]) -> None:
    assert [(line.material, line.amount) for line in recipe_from_text(text).base] == base


def test_what_stands_below_a_heading_of_notes_is_kept() -> None:
    recipe = recipe_from_text("# thin coat\nwhiting 18.4\nquartz 81.6\n## Notes\nslow cool 5")
    assert recipe.base == Recipe("x", BASE).base and recipe.note.splitlines() == ["thin coat", "slow cool 5"]


def test_notes_are_kept_as_typed() -> None:
    notes = ["apply thin... 2 coats", "Source: the class binder, p. 3", "slow cool 5"]
    recipe = recipe_from_text("Note: {}\nwhiting 18.4\nquartz 81.6\n{}\nNotes:\n{}".format(*notes))
    assert recipe.note.splitlines() == notes


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("", RecipeError, "is empty"),
        (" \n\t\n", RecipeError, "is empty"),
        ("whiting 18.4\nsome remark", RecipeError, "line 2: cannot read 'some remark'.*Note:"),
        ("whiting 18.4\n81.6", RecipeError, "line 2: cannot read '81.6'.*no material"),
        ("whiting 18.4\nquartz", RecipeError, "line 2: cannot read 'quartz'"),
        ("whiting 18.4\nquartz 5-10", RecipeError, "line 2: cannot read"),
        ("Half Clear", RecipeError, "no line of the base"),
        ("+ tin oxide 2", RecipeError, "no line of the base"),
        ("whiting 20\nquartz 70\nTotal 100", RecipeError, "line 3: the total says 100, but the lines above add up to 90"),
        ("whiting 20\nquartz 70\n+ tin 5\nTotal 100", RecipeError, "line 4: the total says 100, .* 90"),
        ("whiting 20\nTotal", NumberError, "line 2, total: .*missing"),
        ("whiting 18.4 184 g", RecipeError, "line 1: .*more than one amount"),
        ("whiting\t18.4\t184", RecipeError, "line 1: .*2 amounts"),
        ("whiting 20 kaolin 15", RecipeError, "line 1: .*more than one amount"),
        ("20 whiting 15 kaolin", RecipeError, "line 1: .*more than one amount"),
        ("whiting 20 / kaolin 15", RecipeError, "line 1: .*more than one amount"),
        ("whiting 20 - 25", RecipeError, "line 1: .*more than one amount"),
        ("whiting  20   20 %", RecipeError, "line 1: .*2 amounts"),
        ("whiting 20 + kaolin 15", RecipeError, "line 1: .*more than one amount"),
        ("whiting 20, kaolin, quartz 15", RecipeError, "line 1: .*more than one amount"),
        ("quartz 1:2", RecipeError, "line 1: cannot read"),
        ("cone 6 quartz 40\nwhiting 60", RecipeError, "line 1: .*'quartz 40'"),
        ("quartz 40, cone 6\nwhiting 60", RecipeError, "line 1: .*'quartz 40'"),
        ("whiting 30\nquartz 40/50", AmbiguousNumberError, "line 2, .*'40/50'"),
        ("whiting 30\nquartz 1 5/10", AmbiguousNumberError, "line 2, .*'1 5/10'"),
        ("whiting 30\nquartz: 4/5 %", AmbiguousNumberError, "line 2, .*'4/5 %'"),
        ("quartz 1.250 g\nwhiting 800 g", AmbiguousNumberError, "line 1, .*1250 or 1.250"),
        ("whiting 18,5\nquartz 40.125", AmbiguousNumberError, "line 2, .*40125 or 40.125"),
        ("whiting 1,5 kg\nquartz 1.250 kg", AmbiguousNumberError, "line 2, .*1250 or 1.250"),
        ("material;amount\nwhiting;18,5\nquartz;40.125", AmbiguousNumberError, "line 3, .*40125 or 40.125"),
        ("quartz 4 0", AmbiguousNumberError, "line 1: .*'quartz 4 0'"),
        ("quartz 4 0, whiting 60", AmbiguousNumberError, "line 1: .*'quartz 4 0'"),
        ("quartz 4 05", AmbiguousNumberError, "line 1: .*'quartz 4 05'"),
        ("4 0 quartz", AmbiguousNumberError, "line 1: .*'4 0 quartz'"),
        ("whiting 20\nbatch total 1000 g", RecipeError, "line 2: .*1000.* 20"),
        ("whiting 20\nquartz 70\n100", RecipeError, "line 3: cannot read '100'.*no material"),
        ("whiting 20\ntin oxide + 2", RecipeError, "line 2: cannot read"),
        ("material\tamount\nwhiting\t20\nTotal\t20", RecipeError, "line 3, material: 'Total' is a sum"),
        ("20 frit 90", RecipeError, "line 1: which number"),
        ("whiting 1 250", AmbiguousNumberError, "line 1: .*1250 for 1 250"),
        ("1 250 whiting", AmbiguousNumberError, "line 1"),
        ("whiting 1,250\nquartz 3", AmbiguousNumberError, "line 1, 'whiting': .*1250 or 1.25"),
        ("whiting -5", NumberError, "line 1, 'whiting': .*below 0"),
        ("whiting −5", NumberError, "line 1, 'whiting': .*below 0"),
        ("whiting 0\nquartz 0", RecipeError, "every amount in the base is 0"),
        ("whiting " + "9" * 60, GlazekitError, "line 1"),
        ("whiting 20\n+ tin oxide 2\nrutile 3", RecipeError, "line 3: 'rutile 3' comes after"),
        ("whiting 20\nTotal 20\nrutile 3", RecipeError, "line 3: 'rutile 3' comes after"),
        ("whiting 20 g\nquartz 30 %", RecipeError, "line 2: quartz is in %, whiting in g"),
        ("whiting 40\nquartz 60\nTin oxide 8%", RecipeError, "line 3: Tin oxide is in %"),
        ("whiting 40 %\nquartz 60 %\ntin oxide 8", RecipeError, "line 3: tin oxide is in no unit"),
        ("8% tin oxide\nwhiting 40\nquartz 60", RecipeError, "line 1: tin oxide is in %"),
        ("material,amount,unit\nquartz,1,250", AmbiguousNumberError, "line 2: .*1,250"),
        ("material;amount;unit\nquartz;1;250", NumberError, "line 2, unit: .*'250'"),
        ("whiting 2 kg\nquartz 500", RecipeError, "line 2: quartz is in no unit, whiting in kg"),
        ("1. whiting 20\n18. 4 quartz", RecipeError, "line 2: is '18.' an amount or the number of a list"),
        ("cone 99\nwhiting 20", NumberError, "line 1: '99' is not a cone"),
        ("cone 6\ncone 06\nwhiting 20", RecipeError, "line 2: cone is '06', but pasted text, line 1 says '6'"),
        ("Fire to cone 6 slowly\nwhiting 20", RecipeError, "line 1: cannot read 'Fire to cone 6 slowly'"),
        ("One\nwhiting 20\nName: Two", RecipeError, "one recipe has one name"),
        ("recipe,material,amount\nA,a,1\nB,b,2", RecipeError, "holds 2 recipes"),
        ("whiting 20\x00", GlazekitError, "line 1: a control character"),
        ("a" * 500 + " 20", RecipeError, "line 1 is longer"),
        ("a 1\n" * 2000, RecipeError, "line 1.*longer than|at most 1000"),
        ("x" * 200_000, RecipeError, "line 1.*longer than|at most 1000"),
    ],
)
def test_what_cannot_be_understood_is_named(text: str, kind: type[Exception], told: str) -> None:
    with pytest.raises(kind, match=told) as caught:
        recipe_from_text(text)
    message = str(caught.value)
    assert message.startswith("pasted text") and "\n" not in message and len(message) < 250


def test_a_written_file_can_be_pasted() -> None:
    recipe = Recipe("Half Clear", BASE, [("tin oxide", 2), Line("gum solution", 5, "ml")], "parts", cone="5-6", note="two\nlines")
    assert recipe_from_text(recipe_csv_text(recipe)) == recipe
