"""Recipe files: the documented form in its spellings, and writing that reads back."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pandas as pd
import pytest

from glazekit.ground.errors import AmbiguousNumberError, FileError, NumberError, RecipeError
from glazekit.ground.textfile import MOST_FILE_LINES, read_text_file
from glazekit.recipe.pasted import recipe_from_text
from glazekit.recipe.reading import (
    demo_recipe,
    demo_recipes,
    read_recipe,
    read_recipes,
    recipe_csv_text,
    write_recipes,
)
from glazekit.recipe.recipe import MOST_LINES, Line, Recipe

SATIN = Recipe(
    "Satin",
    [("soda feldspar", 30), ("quartz", 75.5), ("quartz", 1.125)],
    [Line("tin oxide", 5), Line("gum solution", 12.5, "ml")],
    additions_are="parts",
    cone="5-6",
    atmosphere="oxidation",
    note="thin coat; two lines\nof note, with a comma",
)
CLEAR = Recipe("Clear", {"whiting": 18.4, "quartz": 81.6}, cone="06")


def put(folder: Path, text: str, encoding: str = "utf-8", name: str = "clear.csv") -> Path:
    path = folder / name
    path.write_bytes(text.encode(encoding))
    return path


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize(
    "text",
    [
        "material,amount\nwhiting,18.4\nquartz,81.6\n",
        "material;amount\nwhiting;18,4\nquartz;81,6",
        "material\tamount\r\nwhiting\t18,4\r\nquartz\t81,6\r\n",
        'amount,material\n"18,4",whiting\n\n"81,6",quartz\n',
        'Material;"Amount";;\nwhiting;18.4 %;;\nquartz;81.6 %;;\n',
        "part,material,amount\nbase,whiting,18.4 g\nBASE,quartz,81.6 g\n",
    ],
)
def test_spellings_of_one_recipe(tmp_path: Path, text: str, encoding: str) -> None:
    recipe = read_recipe(put(tmp_path, text, encoding))
    assert recipe == Recipe("clear", {"whiting": 18.4, "quartz": 81.6})


def test_rows_without_a_name_belong_to_the_recipe_above(tmp_path: Path) -> None:
    path = put(
        tmp_path,
        "recipe;part;material;amount;cone\nOne;;quartz;60;06\n;;whiting;40;\n;addition;tin oxide;2;\nTwo;;kaolin;1;6\n",
    )
    one, two = read_recipes(path)
    assert (one.name, one.base_sum, one.additions, str(one.cone)) == ("One", 100, (Line("tin oxide", 2),), "06")
    assert (two.name, str(two.cone)) == ("Two", "6")
    with pytest.raises(RecipeError, match=r"2 recipes .'One', 'Two'."):
        read_recipe(path)


def test_the_other_numbers_of_the_file_decide_what_1_250_is(tmp_path: Path) -> None:
    for beside, meant in (("18,4", 1.25), ("18.4", 1250)):
        assert read_recipe(put(tmp_path, f"material;amount\na;1,250\nb;{beside}\n")).base[0].amount == meant
    with pytest.raises(AmbiguousNumberError, match=r"clear\.csv, line 2, amount: .*1250 or 1\.25"):
        read_recipe(put(tmp_path, "material;amount\na;1,250\nb;18\n"))


@pytest.mark.parametrize(
    "material",
    ["Total:", "Sub-total", "batch total", "Grand total", "total (g)", "TOTALS", "Sum =", "Base total [%]", "Total wt"],
)
def test_a_sum_of_the_spreadsheet_is_no_material(tmp_path: Path, material: str) -> None:
    with pytest.raises(RecipeError, match=f"line 3, material: {re.escape(repr(material))}"):
        read_recipe(put(tmp_path, f"material,amount\nquartz,60\n{material},60\n"))


def test_a_point_before_three_digits_beside_decimal_commas_is_asked_about(tmp_path: Path) -> None:
    for amounts in (("40.125", "18,5"), ("1,5 kg", "1.250 kg")):
        with pytest.raises(AmbiguousNumberError):
            read_recipe(put(tmp_path, "material;amount\na;{}\nb;{}\n".format(*amounts)))
    assert [line.amount for line in read_recipe(put(tmp_path, "material,amount\na,1.125\nb,800\n")).base] == [1.125, 800]


def test_the_basis_of_additions_can_be_filled_in_but_not_contradicted(tmp_path: Path) -> None:
    text = "part,material,amount,additions_are\nbase,quartz,50,\naddition,tin oxide,2,{}\n"
    silent, percent = put(tmp_path, text.format("")), put(tmp_path, text.format("percent of base"), name="percent.csv")
    assert read_recipe(silent).additions_are is None
    assert read_recipe(silent, additions_are="parts").additions_are == "parts"
    assert read_recipe(percent).additions_are == "percent_of_base"
    with pytest.raises(RecipeError, match=r"percent_of_base.*parts"):
        read_recipe(percent, additions_are="parts")


def test_units_are_kept_apart(tmp_path: Path) -> None:
    text = "part,material,amount\nbase,quartz,{}\nbase,kaolin,{}\naddition,tin oxide,{}\n"
    kilos = read_recipe(put(tmp_path, text.format("1.5 kg", "500 g", "2 %")))
    assert [line.amount for line in kilos.base] == [1500, 500]
    assert kilos.additions_are == "percent_of_base", "percents on grams can only be percent of the base"
    for amounts in (
        ("1.5 kg", "500", "1 g"),
        ("50 %", "50 g", "2 %"),
        ("50 %", "50 %", "2 g"),
        ("50", "50", "1 oz"),
        ("5 ml", "9", "1"),
    ):
        with pytest.raises(RecipeError):
            read_recipe(put(tmp_path, text.format(*amounts)))


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("material,amuont\na,1\n", RecipeError, "line 1.*'amuont'.*'amount'"),
        ("materials,amount\na,1\n", RecipeError, "line 1.*'materials'.*'material'"),
        ("material,amount,colour\na,1,red\n", RecipeError, "line 1.*'colour'.*recipe, part, material"),
        ("material,note\na,1\n", RecipeError, "line 1: no column 'amount'"),
        ("material,amount,amount\na,1,2\n", RecipeError, "there twice"),
        ("whiting,18.4\nquartz,20\n", RecipeError, "line 1: the first line has to name the columns"),
        ("material,amount\n", RecipeError, "no rows"),
        ("material\nwhiting\n", FileError, "only one column"),
        ("whiting 20\nquartz 30\n", FileError, "only one column"),
        ("material,amount\nwhiting,-5\n", NumberError, "line 2, amount: .*'-5' is below 0"),
        ("material,amount\nwhiting,nan\n", NumberError, "line 2, amount: .*'nan'"),
        ("material,amount\nwhiting,inf\n", NumberError, "line 2, amount: .*'inf'"),
        ("material,amount\nwhiting,1e999\n", NumberError, "line 2, amount: .*too large"),
        ("material,amount\na,1e308\nb,1e308\n", RecipeError, "too large"),
        ("material,amount\nwhiting,0\nquartz,0\n", RecipeError, "every amount in the base is 0"),
        ("material,amount\nwhiting,\n", NumberError, "line 2, amount: .*missing"),
        ("material,amount\n,5\n", RecipeError, "line 2, material: .*'5' has no material"),
        ("material,amount\nwhiting,ten\n", NumberError, "line 2, amount: .*'ten'"),
        ("material,amount\nwhiting,5 apples\n", NumberError, "line 2, amount: .*'apples'"),
        ("material,amount\nwhiting,18,40\nquartz,5\n", RecipeError, "line 2: '40' .*decimal comma"),
        ("material,amount,note\nwhiting,18,40\nquartz,5,\n", AmbiguousNumberError, "line 2: .*18,40"),
        ("material,amount,unit\nquartz,1,250\n", AmbiguousNumberError, "line 2: .*1,250"),
        ("material,amount,unit\nquartz,1,250 g\n", AmbiguousNumberError, "line 2: .*1,250 g"),
        ("material,amount,unit\nquartz,1,1/2\n", AmbiguousNumberError, "line 2: .*1,1/2"),
        ("material,amount,cone\nwhiting,2,6\n", AmbiguousNumberError, "line 2: .*2,6"),
        ("material,amount,recipe\nquartz,1,250\n", AmbiguousNumberError, "line 2: .*1,250"),
        ("amount,material,note\n1,250,quartz\n", AmbiguousNumberError, "line 2: .*1,250"),
        ("material,amount,unit\nquartz,1,e3\n", NumberError, "line 2, unit: .*'e3'"),
        ("material;amount;unit\nquartz;1;250\n", NumberError, "line 2, unit: .*'250'"),
        ("material,amount,note,unit\nquartz,1,,250\n", NumberError, "line 2, unit: .*'250'"),
        ("part,material,amount\nbase,whiting,1\nbase,quartz\n", RecipeError, "line 3: 2 cells, but the first line names 3"),
        ("part,material,amount\nbasis,whiting,1\n", RecipeError, "line 2, part: 'basis'"),
        ("part,material,amount\naddition,tin oxide,1\n", RecipeError, "the base has no lines"),
        ("material,cone,amount\na,99,1\n", NumberError, "line 2, cone: .*'99'"),
        ("material,amount,cone\na,1,05-Jun\n", NumberError, "line 2, cone: .*turned it into a date"),
        ("material,amount,cone\na,1,2026-05-06\n", NumberError, "line 2, cone: .*turned it into a date"),
        ("material,amount,cone\na,1,5/6/26\n", NumberError, "line 2, cone: .*turned it into a date"),
        ("material,cone,amount\na,6,1\nb,06,2\n", RecipeError, "line 3: cone is '06', but clear.csv, line 2 says '6'"),
        ("material,amount,additions_are\na,1,parts\nb,2,percent_of_base\n", RecipeError, "line 3: additions_are is"),
        ("material,amount,additions_are\na,1,ounces\n", RecipeError, "line 2, additions_are: .*'ounces'"),
        ("recipe,material,amount\nA,a,1\nB,b,2\na,c,3\n", RecipeError, "line 4: 'a' has rows further up"),
        ('material,amount\n"whiting,5\n', FileError, "line 2: a quotation mark"),
        ('material,amount\n"whi"ting,5\n', FileError, "line 2: a quotation mark"),
        ("material,amount\nwhiting,1\n" + "x" * 3000 + ",5\n", FileError, "line 3, column 1: the cell is longer"),
        ("material,amount\nwhiting,1\n" + "x" * 200_000 + ",5\n", FileError, "line 3.*too long"),
    ],
)
def test_what_is_wrong_is_said_with_file_line_and_cell(tmp_path: Path, text: str, kind: type[Exception], told: str) -> None:
    with pytest.raises(kind, match=told) as caught:
        read_recipe(put(tmp_path, text))
    message = str(caught.value)
    assert message.startswith("clear.csv") and "\n" not in message and len(message) < 250


def test_what_is_written_reads_back_identical(tmp_path: Path) -> None:
    path = tmp_path / "both.csv"
    write_recipes(path, [SATIN, CLEAR])
    assert read_recipes(path) == (SATIN, CLEAR)
    stream = io.StringIO()
    write_recipes(stream, [SATIN, CLEAR])
    assert stream.getvalue() == recipe_csv_text([SATIN, CLEAR]) == path.read_text(encoding="utf-8")


def test_the_written_form_is_the_documented_one() -> None:
    header, first, second, *_ = recipe_csv_text(CLEAR).split("\n")
    assert header == "recipe,part,material,amount,additions_are,cone,atmosphere,note"
    assert first == "Clear,base,whiting,18.4,,cone 06,,"
    assert second == "Clear,base,quartz,81.6,,cone 06,,"


def test_nothing_is_overwritten_and_nothing_half_written(tmp_path: Path) -> None:
    path = put(tmp_path, "mine")
    with pytest.raises(FileError, match="never overwritten"):
        write_recipes(path, [CLEAR])
    assert path.read_text() == "mine"
    for recipes in ([CLEAR, CLEAR.renamed("CLEAR")], [Recipe("long", {"a": 1}, note="x" * 5000)]):
        with pytest.raises((RecipeError, FileError)):
            write_recipes(tmp_path / "new.csv", recipes)
    many = [Recipe(f"glaze {number}", {"a": 1, "b": 1}) for number in range(10_000)]
    assert recipe_csv_text(many).count("\n") == MOST_FILE_LINES + 1
    with pytest.raises(FileError, match="more than"):
        write_recipes(tmp_path / "new.csv", many)
    assert not (tmp_path / "new.csv").exists()
    write_recipes(tmp_path / "most.csv", [*many[2:], Recipe("the last", {"a": 1, "b": 1, "c": 1})])
    assert read_text_file(tmp_path / "most.csv").count("\n") == MOST_FILE_LINES
    with pytest.raises(FileError, match="cannot be written"):
        write_recipes(tmp_path / "no such folder" / "new.csv", [CLEAR])


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "'=", "''+", "\uff1d"])
def test_no_text_becomes_a_formula_in_a_spreadsheet(start: str) -> None:
    recipe = Recipe(f"{start}1+1", {f"{start}cmd": 1}, note=f"{start}note", atmosphere=f"{start}air")
    cells = recipe_csv_text(recipe).splitlines()[1].split(",")
    assert all(cell.startswith("'") for cell in (cells[0], cells[2], cells[6], cells[7]))


def test_a_hidden_formula_does_not_open_behind_a_semicolon() -> None:
    line = recipe_csv_text(Recipe("a;=1+1", {"b\t=2": 1})).splitlines()[1]
    assert line.startswith('"a;=1+1",')


def test_letters_beyond_ascii_survive_a_spreadsheet(tmp_path: Path) -> None:
    recipe = Recipe("Grün \U0001f3fa", {"caf\u00e9 clay": 1}, note="\u2018quoted\u2019")
    path = tmp_path / "one.csv"
    write_recipes(path, recipe)
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    assert read_recipe(path) == recipe


def test_data_frames_go_through_a_file(tmp_path: Path) -> None:
    both = pd.concat([SATIN.as_frame(), CLEAR.as_frame()]).to_csv(index=False)
    assert read_recipes(put(tmp_path, both)) == (SATIN, CLEAR), "cone 06 stays cone 06 on its way through a file"


def test_a_unit_may_stand_in_a_column_of_its_own(tmp_path: Path) -> None:
    text = "part;material;amount;unit\n;quartz;1,5;kg\n;whiting;500;g\naddition;gum solution;20;ml\n"
    recipe = read_recipe(put(tmp_path, text))
    assert [line.amount for line in recipe.base] == [1500, 500] and recipe.additions == (Line("gum solution", 20, "ml"),)
    text = 'material,amount,cone,note,unit\nquartz,5,cone 6,2 coats,g\nwhiting,2.5,6,,g\n"kaolin","2,25",6,,g\n'
    assert [line.amount for line in read_recipe(put(tmp_path, text)).base] == [5, 2.5, 2.25], "these cells ask nothing"
    with pytest.raises(NumberError) as caught:
        read_recipe(put(tmp_path, "material,amount,unit\nquartz,5,parsecs\n"))
    assert caught.value.given == "parsecs"


@pytest.mark.parametrize(("before", "now"), [("Deck Paint", "Deck Green"), ("fender  WHITE", "Mooring White")])
def test_a_recipe_is_found_by_the_name_it_had_before(before: str, now: str) -> None:
    assert demo_recipe(before) is demo_recipe(now)
    assert before not in {recipe.name for recipe in demo_recipes()}


def test_demo_recipes() -> None:
    recipes = demo_recipes()
    assert len({recipe.name for recipe in recipes}) == len(recipes) == 14
    sums = {"Gangway Clear": 100, "Timetable Satin": 105.5, "Bollard Matte": 96, "Overboard": 250, "Mooring White": 110}
    assert {name: demo_recipe(name).base_sum for name in sums} == sums
    assert all(recipe.additions_are == "parts" for recipe in recipes if recipe.additions)
    assert demo_recipe(" gangway  CLEAR ").note
    with pytest.raises(RecipeError) as caught:
        demo_recipe("Gangway Claer")
    assert caught.value.hint == "Gangway Clear"
    with pytest.raises(RecipeError, match="Bulkhead Liner"):
        demo_recipe("zzz")


def test_a_recipe_without_end_is_told_and_not_laid_out(tmp_path: Path) -> None:
    """A thousand lines made a page of thirty thousand controls."""
    lines = "".join(f"powder {number},1\n" for number in range(MOST_LINES + 1))
    with pytest.raises(RecipeError) as caught:
        read_recipe(put(tmp_path, f"material,amount\n{lines}"))
    assert {str(MOST_LINES), str(MOST_LINES + 1)} <= set(re.findall(r"\d+", str(caught.value)))
    assert len(read_recipe(put(tmp_path, "material,amount\n" + lines.partition("\n")[2], name="b.csv")).base) == MOST_LINES
    with pytest.raises(RecipeError):
        recipe_from_text(lines.replace(",", ": "))
