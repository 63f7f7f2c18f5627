"""The book loses nothing: two sessions at once, torn lines, corrections, any language, a full disk."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

import glazekit as gk
from glazekit.folder import book as book_module
from glazekit.folder import ledger
from glazekit.folder.book import Book
from glazekit.folder.entry import Entry, safe_cell
from glazekit.folder.glaze import glaze_as_used, glaze_from_book
from glazekit.folder.kinds import KINDS, POINTS_TO
from glazekit.ground.errors import BookError, FileError, RecipeError

CLEAR = gk.Recipe("Test Clear", {"quartz": 60, "whiting": 40}, {"tin oxide": 2}, "parts", cone="06", note="thin")
EXERCISE = {"exercise": "1.1", "seed": "evening/anna/1.1", "tries": 1, "hint_level": 0, "state": "right"}
FIRING = {"kiln": "small electric", "cone_seen": "6", "atmosphere": "oxidation"}


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return Book(tmp_path / "book")


def batch(book: Book) -> str:
    return book.add("batch", **glaze_as_used(CLEAR), base_g=100).id


def test_opening_a_book_writes_nothing_and_the_first_entry_makes_the_folder(book: Book) -> None:
    assert book.entries() == () and book.problems == ()
    assert not book.folder.exists()
    book.add("firing", **FIRING)
    assert [path.suffix for path in book.folder.iterdir()] == [".jsonl"]


def test_a_tile_from_batch_to_result(book: Book) -> None:
    mixed = batch(book)
    book.add("water", batch=mixed, water_ml_per_100g=90, dry_g=102)
    tile = book.add("tile", label="A1", batch=mixed, body="buff stoneware", application="dip", dip_s=3)
    firing = book.add("firing", **FIRING)
    book.correct(tile.id, firing=firing, shelf_spot="2 left")
    book.add("result", tile=tile, seen="glossy, no crazing", run_mm=4)
    again = Book(book.folder)
    read = again.entry(tile.id)
    assert read.data["firing"] == firing.id and read.data["shelf_spot"] == "2 left" and read.data["dip_s"] == 3
    assert [entry.kind for entry in again.entries()] == ["batch", "water", "tile", "firing", "result"]
    assert again.problems == ()


@pytest.mark.parametrize(
    ("kind", "data", "says"),
    [
        ("tyle", {}, "'tile'"),
        ("batch", {"recipie": {"a": 1}, "base_g": 100}, "recipe and analyses missing.*'recipie'.*'recipe'"),
        ("batch", {"recipe": {}, "analyses": [], "base_g": 100}, "something in it"),
        ("batch", {"recipe": {"name": "x"}, "analyses": [], "base_g": 0}, "more than 0"),
        ("batch", {"recipe": {"name": "x"}, "analyses": [], "base_g": float("nan")}, "number of more"),
        ("batch", {"recipe": {"name": "x"}, "analyses": [], "base_g": True}, "number of more"),
        ("water", {"water_ml_per_100g": 90}, "say which batch or bucket"),
        ("water", {"water_ml_per_100g": 90, "batch": "nobody"}, "no batch of that id"),
        ("tile", {"label": "A", "bucket": "class", "body": "buff", "application": "roll"}, "allowed are dip, pour, brush, spray"),
        ("tile", {"label": "A", "bucket": "class", "body": "buff", "application": "dip"}, "dip_s, the seconds"),
        ("tile", {"label": " ", "bucket": "class", "body": "buff", "application": "pour"}, "write it in words"),
        ("firing", {**FIRING, "cone_seen": "hot"}, "is not a cone"),
        ("firing", {**FIRING, "atmosphere": "smoky"}, "allowed are oxidation"),
        ("prediction", {"lesson": "1", "prediction": "1a", "answer": ""}, "needs an answer"),
        ("exercise", {**EXERCISE, "name": "Anna Real"}, "nothing else"),
        ("exercise", {**EXERCISE, "tries": -1}, "whole number"),
        ("firing", {**FIRING, "schedule": {1: 2}}, "keys are text"),
        ("firing", {**FIRING, "note": object()}, "a book keeps text, numbers"),
        ("firing", {**FIRING, "note": [float("inf")]}, "finite numbers"),
    ],
)
def test_what_does_not_fit_is_refused_in_words_and_nothing_is_written(book: Book, kind: str, data: dict, says: str) -> None:
    with pytest.raises(BookError, match=says):
        book.add(kind, **data)
    assert book.entries() == ()


def test_extra_fields_are_kept_as_given(book: Book) -> None:
    entry = book.add("firing", **FIRING, weather="rain", helpers=["Ömer", "李"])
    assert Book(book.folder).entry(entry.id).data["helpers"] == ["Ömer", "李"]


def test_a_correction_is_a_new_entry_and_the_first_writing_stays(book: Book) -> None:
    first = book.add("firing", **FIRING, note="door shut")
    before = sorted(path.read_bytes() for path in book.folder.iterdir())[0]
    book.correct(first.id, cone_seen="5", note=None)
    book.correct(first.id, cone_seen="4")
    assert next(book.folder.iterdir()).read_bytes().startswith(before)
    now = book.entry(first.id)
    assert now.data == {**FIRING, "cone_seen": "4"} and now.time == first.time
    lines = [line for path in sorted(book.folder.iterdir()) for line in path.read_text(encoding="utf-8").splitlines()]
    assert [json.loads(line)["data"].get("cone_seen") for line in lines] == ["6", "5", "4"]


def test_a_correction_must_leave_a_complete_entry(book: Book) -> None:
    first = book.add("firing", **FIRING)
    with pytest.raises(BookError, match="kiln missing"):
        book.correct(first.id, kiln=None)
    with pytest.raises(BookError, match="nobody"):
        book.correct("nobody", kiln="x")
    with pytest.raises(BookError, match="warm"):
        book.correct(first.id, cone_seen="warm")
    assert Book(book.folder).entries() == (first,)


def test_a_torn_last_line_is_reported_and_the_rest_is_read(book: Book) -> None:
    for cone in ("4", "5", "6"):
        book.add("firing", **{**FIRING, "cone_seen": cone})
    path = next(book.folder.iterdir())
    torn = path.read_bytes()[:-25]
    path.write_bytes(torn)
    again = Book(book.folder)
    assert [entry.data["cone_seen"] for entry in again.entries()] == ["4", "5"]
    (problem,) = again.problems
    assert (problem.file, problem.line) == (path.name, 3) and "last line" in problem.message
    again.add("firing", **FIRING)
    assert path.read_bytes() == torn, "the damaged file is left as it is"
    assert len(again.entries()) == 3


@pytest.mark.parametrize("cut", range(1, 60, 7))
def test_a_line_torn_anywhere_costs_that_line_alone(book: Book, cut: int) -> None:
    book.add("firing", **FIRING)
    book.add("firing", **FIRING, note="Glänzend – glatt")
    path = next(book.folder.iterdir())
    path.write_bytes(path.read_bytes()[: -1 - cut])
    again = Book(book.folder)
    assert len(again.entries()) == 1 and len(again.problems) == 1


def test_bad_lines_are_each_named(book: Book) -> None:
    good = book.add("firing", **FIRING)
    line = json.loads(next(book.folder.iterdir()).read_text(encoding="utf-8"))
    bad = [
        b"\xff\xfe not text",
        b"[1, 2]",
        json.dumps({**line, "id": ""}).encode(),
        json.dumps({**line, "kind": "tyle"}).encode(),
        json.dumps({**line, "time": "yesterday"}).encode(),
        json.dumps({**line, "time": "2025-01-01T10:00:00"}).encode(),
        json.dumps({**line, "data": []}).encode(),
        json.dumps({**line, "data": {**FIRING, "cone_seen": "9"}}).encode(),
        json.dumps({**line, "id": "x", "corrects": "nobody"}).encode(),
        b"[" * 100_000,
    ]
    (book.folder / "by-hand.jsonl").write_bytes(b"\n".join(bad) + b"\n")
    assert sorted(problem.line for problem in book.problems) == list(range(1, len(bad) + 1))
    assert [entry.id for entry in book.entries()] == [good.id]
    assert {problem.file for problem in book.problems} == {"by-hand.jsonl"}


WHEN = "2026-01-01T10:00:00+00:00"
ODD = [
    {"kind": "prediction", "data": {"lesson": "01", "answer": "more"}},
    {"kind": "prediction", "data": {"lesson": "01", "prediction": ["1a"], "answer": "more"}},
    {"kind": "batch", "data": {"analyses": [], "base_g": 100}},
    {"kind": "batch", "data": {"recipe": {"base": []}, "analyses": [], "base_g": 100}},
    {"kind": "batch", "data": {"recipe": "Half Clear", "analyses": [], "base_g": 100}},
    {"kind": "tile", "data": {"body": "white", "application": "pour"}},
    {"kind": "tile", "data": {"label": 7, "body": "white", "application": "pour"}},
    {"kind": "tile", "data": {"label": "A", "body": "white", "application": "pour", "firing": {}}},
    {"kind": "result", "data": {"fate": "whole"}},
    {"kind": "result", "data": {"tile": "x", "surface": ["gloss"]}},
    {"kind": "result", "data": {"tile": "x", "seen": "whole", "looked": ["day_1"]}},
    {"kind": "result", "data": {"tile": "x", "seen": "whole", "run_mm": "4"}},
    {"kind": "exercise", "data": {"exercise": "1.1", "seed": "s", "tries": 1, "hint_level": 0}},
    {"kind": "exercise", "data": {**EXERCISE, "exercise": ["1.1"]}},
    {"kind": "firing", "data": {**FIRING, "peak_c": "hot"}},
    {"kind": "firing", "data": {**FIRING, "note": float("nan")}},
    {"kind": "firing", "data": {**FIRING, "peak_c": 10**400}},
    {"kind": "firing", "data": {**FIRING, "note": "half \ud83d"}},
    {"kind": "firing", "data": FIRING, "time": "0001-01-01T00:00:00+00:00"},
    {"kind": "firing", "data": FIRING, "time": "9999-12-31T23:59:59-14:00"},
]


@pytest.mark.parametrize("odd", ODD)
def test_an_odd_entry_is_listed_and_left_out_at_the_door(book: Book, odd: dict) -> None:
    """No panel has to look twice: what comes out of a book has its fields, each of its type."""
    good = book.add("firing", **FIRING)
    (book.folder / "by-hand.jsonl").write_text(json.dumps({"id": "odd", "time": WHEN, **odd}) + "\n", encoding="utf-8")
    again = Book(book.folder)
    assert [entry.id for entry in again.entries()] == [good.id]
    assert [(problem.file, problem.line) for problem in again.problems] == [("by-hand.jsonl", 1)]


def test_what_a_later_version_writes_is_no_fault(book: Book) -> None:
    """Another fate, another field, a field of today that is not there yet: facts all the same."""
    data = {"tile": "x", "fate": "dunted", "weather": ["rain"]}
    book.folder.mkdir()
    (book.folder / "later.jsonl").write_text(
        json.dumps({"id": "a", "kind": "result", "time": WHEN, "data": data}), encoding="utf-8"
    )
    assert book.entries()[0].data == data and book.problems == ()


@pytest.mark.parametrize(
    ("kind", "data"),
    [("tile", {"label": None}), ("tile", {"label": 7}), ("firing", {"kiln": "gas"})],
)
def test_a_correction_that_would_spoil_an_entry_is_not_applied(book: Book, kind: str, data: dict) -> None:
    tile = book.add("tile", label="A", bucket="class", body="buff", application="pour")
    line = {"id": "z", "kind": kind, "time": "2035-01-01T10:00:00+00:00", "data": data, "corrects": tile.id}
    (book.folder / "by-hand.jsonl").write_text(json.dumps(line) + "\n", encoding="utf-8")
    again = Book(book.folder)
    assert again.entries() == (tile,) and [problem.file for problem in again.problems] == ["by-hand.jsonl"]


def test_a_copy_of_a_file_counts_once(book: Book) -> None:
    book.add("firing", **FIRING)
    path = next(book.folder.iterdir())
    path.with_name("copy.jsonl").write_bytes(path.read_bytes())
    assert len(book.entries()) == 1 and book.problems == ()


def test_files_from_another_computer_merge_by_time(tmp_path: Path) -> None:
    books = [Book(tmp_path / name) for name in ("home", "class")]
    for cone, book in zip(("1", "2", "3", "4"), books * 2, strict=True):
        book.add("firing", **{**FIRING, "cone_seen": cone})
    for path in books[1].folder.iterdir():
        path.rename(books[0].folder / path.name)
    assert [entry.data["cone_seen"] for entry in books[0].entries()] == ["1", "2", "3", "4"]


WRITER = """
import sys
from glazekit.folder.book import Book
book = Book(sys.argv[1])
for number in range(40):
    book.add("firing", kiln=f"{sys.argv[2]}-{number}", cone_seen="6", atmosphere="oxidation", note="ü" * 3000)
"""


def test_sessions_writing_at_once_lose_nothing(tmp_path: Path) -> None:
    writers = [subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), name]) for name in "abc"]
    assert [writer.wait(timeout=60) for writer in writers] == [0, 0, 0]
    book = Book(tmp_path)
    assert {entry.data["kiln"] for entry in book.entries()} == {f"{name}-{number}" for name in "abc" for number in range(40)}
    assert book.problems == () and len(list(tmp_path.glob("*.jsonl"))) == 3


FORKED = """
import os, sys
from glazekit.folder.book import Book
book = Book(sys.argv[1])
book.add("firing", kiln="before", cone_seen="6", atmosphere="oxidation")
child = os.fork()
for number in range(20):
    book.add("firing", kiln=f"{'child' if child == 0 else 'parent'}-{number}", cone_seen="6", atmosphere="oxidation")
if child:
    assert os.waitpid(child, 0)[1] == 0
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows does not fork")
def test_a_forked_session_writes_its_own_file(tmp_path: Path) -> None:
    subprocess.run([sys.executable, "-c", FORKED, str(tmp_path)], check=True, timeout=60)
    book = Book(tmp_path)
    assert len(book.entries()) == 41 and book.problems == ()


def test_a_killed_session_keeps_every_entry_that_was_confirmed(tmp_path: Path) -> None:
    script = WRITER.replace("range(40)", "range(100000)").replace(
        'note="ü" * 3000)', 'note="ü" * 3000); print(number, flush=True)'
    )
    writer = subprocess.Popen([sys.executable, "-c", script, str(tmp_path), "a"], stdout=subprocess.PIPE, text=True)
    assert writer.stdout is not None
    confirmed = [int(writer.stdout.readline()) for _ in range(20)][-1]
    writer.kill()
    writer.communicate()
    assert len(Book(tmp_path).entries()) >= confirmed + 1


def test_a_full_disk_is_said_and_the_next_entry_starts_a_new_file(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    book.add("firing", **FIRING)

    def half(path: Path, line: str) -> None:
        with path.open("a", encoding="utf-8") as file:
            file.write(line[: len(line) // 2])
        raise FileError("the disk is full")

    monkeypatch.setattr(book_module, "append_line", half)
    with pytest.raises(BookError) as caught:
        book.add("firing", **FIRING)
    assert isinstance(caught.value.__cause__, FileError) and "NOT" in str(caught.value)
    monkeypatch.undo()
    book.add("firing", **FIRING)
    assert len(book.entries()) == 2 and len(book.problems) == 1


def test_time_never_runs_backwards_within_a_session(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    first = book.add("firing", **{**FIRING, "cone_seen": "1"})

    class Yesterday(book_module.datetime):
        @classmethod
        def now(cls, tz: object = None) -> object:
            return cls(2001, 1, 1, tzinfo=tz)

    monkeypatch.setattr(book_module, "datetime", Yesterday)
    book.add("firing", **{**FIRING, "cone_seen": "2"})
    monkeypatch.undo()
    assert [entry.data["cone_seen"] for entry in book.entries()] == ["1", "2"]
    assert book.entries()[1].time >= first.time


def test_half_a_character_is_refused_not_stored(book: Book) -> None:
    for _ in range(2):  # as the first of its file, and behind another
        before = book.entries()
        with pytest.raises(BookError) as caught:
            book.add("firing", **FIRING, note="\ud83d")
        assert isinstance(caught.value.__cause__, FileError)
        assert book.entries() == before and book.problems == ()
        book.add("firing", **FIRING)


def test_a_disk_that_is_full_from_the_start_leaves_no_empty_file(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BookError):
        book.add("firing", **FIRING)
    monkeypatch.undo()
    assert list(book.folder.iterdir()) == []
    assert book.add("firing", **FIRING) in book.entries()


# -- the recipe and the analyses of the day -----------------------------------------------------------------------------------


def test_a_batch_keeps_the_analyses_it_was_weighed_under(book: Book) -> None:
    lot_a = gk.Material("whiting", "bag", (("CaO", 54.0), ("MgO", 1.5)), 44.0, lot="A7", analysed_on="2025-03-01")
    shelf = gk.course_stock().with_materials([lot_a]).with_unknown("mystery ash").with_stand_in("old spar", "potash feldspar")
    recipe = gk.Recipe("Ash", {"whiting": 30, "mystery ash": 40, "old spar": 30}, {"gum": 1})
    entry = book.add("batch", **glaze_as_used(recipe, shelf), base_g=500)
    read_recipe, read_shelf = glaze_from_book(Book(book.folder).entry(entry.id).data)
    assert read_recipe == recipe
    for name in recipe.materials():
        assert read_shelf.find(name) == shelf.find(name)
    assert "whiting, lot A7" in [material["label"] for material in entry.data["analyses"]]


def test_every_demo_recipe_survives_the_book(book: Book) -> None:
    for recipe in gk.demo_recipes():
        entry = book.add("batch", **glaze_as_used(recipe), base_g=100)
        read, shelf = glaze_from_book(book.entry(entry.id).data)
        assert read == recipe
        assert gk.unity_formula(read, stock=shelf).pairs == gk.unity_formula(recipe).pairs


def test_a_damaged_batch_is_said_in_words() -> None:
    data = glaze_as_used(CLEAR)
    with pytest.raises(BookError, match="incomplete") as caught:
        glaze_from_book({"recipe": data["recipe"]})
    assert isinstance(caught.value.__cause__, KeyError)
    with pytest.raises(BookError, match="cannot") as caught:
        glaze_from_book({**data, "recipe": {**data["recipe"], "base": []}})
    assert isinstance(caught.value.__cause__, RecipeError)


# -- export -------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx"])
def test_a_cell_never_starts_a_formula(text: str) -> None:
    assert str(safe_cell(text)) == f"'{text}"


def test_no_formula_begins_where_an_export_may_be_split(book: Book, tmp_path: Path) -> None:
    book.add("firing", **FIRING, note="a;=1+1;b\t@x;-2\n=3", kiln_log=["c;+4"])
    text = next(book.export_csv(tmp_path / "out").iterdir()).read_text(encoding="utf-8-sig")
    for separator in ";\t":
        cells = [cell.strip('"[ ') for line in text.splitlines() for cell in line.split(separator)]
        assert not [cell for cell in cells if cell[:1] in ("=", "+", "-", "@")], separator


def test_a_folder_that_cannot_be_read_is_no_empty_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book = Book(tmp_path)
    assert book.problems == ()

    def closed(_: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", closed)
    assert book.entries() == () and len(book.problems) == 1
    (tmp_path / "no folder").touch()
    assert len(Book(tmp_path / "no folder").problems) == 1


def test_export_makes_a_new_folder_each_time_and_safe_readable_cells(book: Book, tmp_path: Path) -> None:
    batch(book)
    book.add("firing", **FIRING, peak_c=-5, note="=cmd|' /C calc'!A0", **{"@odd": "x"})
    (book.folder / "torn.jsonl").write_bytes(b'{"id": "x"')
    first, second = book.export_csv(tmp_path / "out"), book.export_csv(tmp_path / "out")
    assert first != second and {path.name for path in first.iterdir()} == {"batch.csv", "firing.csv", "problems.csv"}
    with (first / "firing.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = list(csv.DictReader(file))
    assert row["kiln"] == "small electric" and row["peak_c"] == "-5" and row["note"] == "'=cmd|' /C calc'!A0"
    assert "'@odd" in row
    with (first / "batch.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = list(csv.DictReader(file))
    assert json.loads(row["recipe"])["name"] == "Test Clear"


def test_an_export_calls_a_learners_numbers_a_draw(book: Book, tmp_path: Path) -> None:
    book.add("exercise", **EXERCISE)
    with (book.export_csv(tmp_path / "out") / "exercise.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = list(csv.DictReader(file))
    assert row["draw"] == EXERCISE["seed"] and "seed" not in row


def test_export_into_a_file_is_an_error(book: Book, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine")
    with pytest.raises(FileError, match="taken"):
        book.export_csv(tmp_path / "taken")
    assert (tmp_path / "taken").read_text() == "mine"


def test_every_kind_names_only_kinds_it_can_point_to() -> None:
    for field, target in POINTS_TO.items():
        assert target in KINDS and any(field in kind.fields for kind in KINDS.values())


def test_an_entry_behind_a_torn_line_of_its_own_file_is_not_lost(tmp_path: Path) -> None:
    """A copy program or a full disk may cut the file of a session that is still running."""
    book = Book(tmp_path)
    first = book.add("prediction", lesson="1", prediction="p", answer="before")
    (file,) = tmp_path.glob("*.jsonl")
    with file.open("ab") as stream:
        stream.write(b'{"id":"half a li')
    second = book.add("prediction", lesson="1", prediction="p", answer="after")
    assert [entry.id for entry in Book(tmp_path).entries()] == [first.id, second.id]
    assert len(Book(tmp_path).problems) == 1


def test_the_last_correction_counts_after_a_clock_that_ran_ahead(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    entry = Book(tmp_path).add("firing", kiln="k", cone_seen="6", atmosphere="oxidation")

    class Ahead(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:
            return datetime(2131, 1, 1, tzinfo=UTC)

    with monkeypatch.context() as fast:
        fast.setattr(book_module, "datetime", Ahead)
        Book(tmp_path).correct(entry.id, cone_seen="5")
    book = Book(tmp_path)
    book.correct(entry.id, cone_seen="4")
    assert Book(tmp_path).entry(entry.id).data["cone_seen"] == "4"
    assert book.add("firing", **FIRING).time < "2100", "what has nothing to do with it is of today"


class TestReadOnce:
    @pytest.fixture
    def lines(self, monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
        """Every line that is read from here on."""
        read: list[bytes] = []
        whole = ledger.entry_of_line
        monkeypatch.setattr(ledger, "entry_of_line", lambda line, last: read.append(line) or whole(line, last=last))
        return read

    def test_only_what_was_appended_is_read(self, book: Book, lines: list[bytes]) -> None:
        other = Book(book.folder)
        first = [book.add("firing", **FIRING) for _ in range(20)]
        assert len(other.entries()) == 20 and len(book.entries()) == 20
        lines.clear()
        book.add("firing", **FIRING)
        fixed = other.correct(first[3].id, cone_seen="4")
        assert [len(some.entries()) for some in (book, other)] == [21, 21]
        assert book.entry(first[3].id).data["cone_seen"] == "4" == fixed.data["cone_seen"]
        assert len(lines) == 4, "two new lines, each read once by each of the two"

    def test_a_file_that_was_changed_otherwise_is_read_anew(self, book: Book, lines: list[bytes]) -> None:
        first = book.add("firing", **FIRING)
        assert book.entries() == (first,)
        (file,) = book.folder.glob("*.jsonl")
        file.write_text(file.read_text().replace("small electric", "large electric and a few words more"))
        assert [entry.data["kiln"] for entry in book.entries()] == ["large electric and a few words more"]
        file.unlink()
        assert book.entries() == () and book.problems == ()

    def test_a_torn_line_that_is_made_whole_is_an_entry(self, book: Book) -> None:
        book.add("firing", **FIRING)
        whole = Entry("x-0001", "firing", "2026-11-28T10:00:00.000000+00:00", FIRING).line()
        (book.folder / "x.jsonl").write_text(whole[:40])
        assert len(book.entries()) == 1 and len(book.problems) == 1
        (book.folder / "x.jsonl").write_text(whole + "\n")
        assert len(book.entries()) == 2 and book.problems == ()

    def test_what_arrives_late_finds_its_place(self, book: Book) -> None:
        """Files of another computer, copied in one by one: the correction before the entry, the younger before the older."""
        made = [Entry(f"y-{n}", "firing", f"2026-11-2{n}T10:00:00.000000+00:00", FIRING | {"kiln": str(n)}) for n in (1, 2)]
        fix = Entry("z-1", "firing", "2026-11-27T10:00:00.000000+00:00", {"kiln": "fixed"}, corrects="y-1")
        book.folder.mkdir()
        for name, entry, problems in (("c", fix, 1), ("b", made[1], 1), ("a", made[0], 0)):
            (book.folder / f"{name}.jsonl").write_text(entry.line() + "\n")
            assert len(book.problems) == problems
        assert [entry.data["kiln"] for entry in book.entries()] == ["fixed", "2"]

    def test_what_arrives_late_stands_by_its_time_and_then_by_its_id(self, book: Book) -> None:
        """With nothing waiting: the younger first, then the older; and two of one moment, the second id before the first."""
        book.folder.mkdir()
        for file, day, name in (("a", 22, "m-1"), ("b", 21, "m-9"), ("c", 22, "m-0")):
            line = Entry(name, "firing", f"2026-11-{day}T10:00:00.000000+00:00", FIRING).line()
            (book.folder / f"{file}.jsonl").write_text(line + "\n")
            book.entries()
        assert [entry.id for entry in book.entries("firing")] == ["m-9", "m-0", "m-1"]

    def test_a_correction_of_an_earlier_moment_waits_for_its_entry(self, book: Book) -> None:
        """The entry comes last and is the youngest of all: its writer's clock ran ahead."""
        fix = Entry("z-1", "firing", "2026-11-21T10:00:00.000000+00:00", {"kiln": "fixed"}, corrects="y-1")
        made = Entry("y-1", "firing", "2026-11-22T10:00:00.000000+00:00", FIRING)
        book.folder.mkdir()
        for entry, problems in ((fix, 1), (made, 0)):
            (book.folder / f"{entry.id}.jsonl").write_text(entry.line() + "\n")
            assert len(book.problems) == problems
        assert [entry.data["kiln"] for entry in book.entries()] == ["fixed"]

    def test_a_line_that_was_changed_and_kept_its_length_is_read_anew(self, book: Book) -> None:
        first = book.add("firing", **FIRING)
        assert book.entries() == (first,)
        (file,) = book.folder.glob("*.jsonl")
        more = Entry("z-1", "firing", first.time, FIRING).line()
        file.write_text(file.read_text().replace('"6"', '"5"') + more + "\n")
        assert [entry.data["cone_seen"] for entry in book.entries()] == ["5", "6"]

    def test_a_folder_that_was_closed_for_a_while_is_read_again(self, book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
        count = lambda some: len(some.entries())  # noqa: E731
        book.folder.mkdir()
        for _ in range(2):  # with no file in it, and with one

            def closed(_: Path) -> None:
                raise PermissionError(13, "Permission denied")

            before = book.once(count)
            with monkeypatch.context() as shut:
                shut.setattr(Path, "iterdir", closed)
                assert book.once(count) == 0 and len(book.problems) == 1
            assert book.once(count) == before and book.problems == ()
            book.add("firing", **FIRING)

    def test_a_strange_file_is_told_also_when_all_is_read_anew(self, book: Book) -> None:
        book.add("firing", **FIRING)
        book.entries()
        (book.folder / "photo.png").touch()
        next(book.folder.glob("*.jsonl")).unlink()
        assert [problem.file for problem in book.problems] == ["photo.png"]

    def test_what_is_found_in_a_book_is_found_again_only_when_it_grew(self, book: Book) -> None:
        asked: list[int] = []
        count = lambda some: asked.append(1) or len(some.entries())  # noqa: E731
        assert [book.once(count), book.once(count), len(asked)] == [0, 0, 1]
        book.add("firing", **FIRING)
        assert [book.once(count), len(asked)] == [1, 2]

    def test_what_lies_in_the_book_and_is_not_read_is_told(self, book: Book) -> None:
        book.add("firing", **FIRING)
        (file,) = book.folder.glob("*.jsonl")
        (book.folder / "session.jsonl").mkdir()
        (book.folder / "gone.jsonl").symlink_to(book.folder / "nowhere")
        file.rename(file.with_suffix(".JSONL.txt"))
        (book.folder / ".hidden").touch()
        assert book.entries() == () and {problem.file for problem in book.problems} == {
            "session.jsonl",
            "gone.jsonl",
            file.with_suffix(".JSONL.txt").name,
        }

    def test_the_mark_some_editors_put_before_a_text_costs_no_entry(self, book: Book) -> None:
        first = book.add("firing", **FIRING)
        (file,) = book.folder.glob("*.jsonl")
        file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes())
        assert Book(book.folder).entries() == (first,) and Book(book.folder).problems == ()
