"""One writer for the learner's folder: whole or not at all, flushed, patient, never over what is there unless asked."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import SimpleNamespace

import pytest
from page_reader import NASTY

import glazekit
from glazekit.ground import writer
from glazekit.ground.errors import FileError
from glazekit.ground.writer import alone, append_line, file_stem, save_new, write_new, write_over

WRITERS = {"write_over": write_over, "write_new": write_new, "append_line": append_line}
every_writer = pytest.mark.parametrize("write", WRITERS.values(), ids=WRITERS.keys())
Write = Callable[[Path, str], object]


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@every_writer
def test_a_file_is_made_with_its_folder_and_flushed(tmp_path: Path, write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    flushed: list[bytes] = []
    real = os.fsync

    def fsync(place: int) -> None:
        real(place)
        link = Path(f"/proc/self/fd/{place}")
        if not link.exists() or link.resolve().is_file():
            flushed.append(b"".join(path.read_bytes() for path in (tmp_path / "a" / "b").iterdir()))

    monkeypatch.setattr(os, "fsync", fsync)
    write(tmp_path / "a" / "b" / "x.txt", "glänzend")
    assert flushed[0].decode().strip() == "glänzend", "whole before it is flushed"
    assert names(tmp_path / "a" / "b") == ["x.txt"]
    assert (tmp_path / "a" / "b" / "x.txt").read_text(encoding="utf-8").strip() == "glänzend"


@every_writer
def test_a_full_disk_is_said_and_leaves_what_was_there(tmp_path: Path, write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError) as caught:
        write(tmp_path / "x.txt", "new")
    assert isinstance(caught.value.__cause__, OSError) and caught.value.__cause__.errno == 28
    assert str(caught.value).count("x.txt") == 1 and "\n" not in str(caught.value)
    assert write is append_line or names(tmp_path) == []


def no_links(*_: object) -> None:
    raise OSError(95, "Operation not supported")


def test_a_new_file_that_cannot_take_its_place_leaves_no_empty_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path, target: Path) -> Path:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(FileError):
        write_new(tmp_path / "x.txt", "new")
    assert names(tmp_path) == []


def test_a_new_file_stands_there_whole_or_not_at_all_even_if_the_writer_dies(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever step is the last: no empty file under the name, which would be taken for good."""

    def dies(*_: object) -> None:
        raise KeyboardInterrupt

    for place, step in ((os, "fsync"), (os, "link"), (Path, "replace")):
        with monkeypatch.context() as patch:
            patch.setattr(place, step, dies)
            with suppress(KeyboardInterrupt):
                write_new(tmp_path / step, "whole")
        assert not (tmp_path / step).exists() or (tmp_path / step).read_text() == "whole", step


def test_new_means_new_where_there_are_no_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", no_links)
    path = tmp_path / "x.txt"
    assert write_new(path, "first") is True and write_new(path, "second") is False
    assert path.read_text() == "first" and names(tmp_path) == ["x.txt"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has other rights")
@pytest.mark.parametrize("write", [write_over, write_new])
def test_another_account_cannot_read_what_is_written(tmp_path: Path, write: Write) -> None:
    path = tmp_path / "my-glazes" / "book" / "x.jsonl"
    write(path, "anna")
    assert [place.stat().st_mode & 0o077 for place in (path, path.parent, path.parent.parent)] == [0, 0, 0]


def test_over_means_over_and_new_means_new(tmp_path: Path) -> None:
    path = tmp_path / "x.txt"
    assert write_new(path, "first") is True
    assert write_new(path, "second") is False and path.read_text() == "first"
    write_over(path, "third")
    assert path.read_text() == "third" and names(tmp_path) == ["x.txt"]


def test_a_line_behind_a_torn_line_begins_a_new_one(tmp_path: Path) -> None:
    path = tmp_path / "x.jsonl"
    append_line(path, "one")
    path.write_bytes(path.read_bytes() + b"tor")
    append_line(path, "two")
    append_line(path, "three")
    assert path.read_text().splitlines() == ["one", "tor", "two", "three"] and path.read_bytes().endswith(b"\n")


@pytest.mark.parametrize(("method", "write"), [("replace", write_over), ("replace", write_new), ("open", append_line)])
@pytest.mark.parametrize("times", [3, 4])
def test_a_file_held_for_a_moment_is_tried_again_but_not_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, method: str, write: Write, times: int
) -> None:
    """On Windows a virus scanner holds a file: three pauses, then one sentence."""
    monkeypatch.setattr(writer, "PAUSES_S", (0, 0, 0))
    monkeypatch.setattr(os, "link", no_links)
    real, calls = getattr(Path, method), []

    def held(self: Path, *words: object, **more: object) -> object:
        if self.suffix == ".part" or words[:1] == ("ab+",):
            if method == "open" and words[:1] != ("ab+",):
                return real(self, *words, **more)
            calls.append(self)
            if len(calls) <= times:
                raise PermissionError(13, "in use")
        return real(self, *words, **more)

    monkeypatch.setattr(Path, method, held)
    if times == 3:
        write(tmp_path / "x.txt", "kept")
        assert (tmp_path / "x.txt").read_text().strip() == "kept"
    else:
        with pytest.raises(FileError):
            write(tmp_path / "x.txt", "kept")
        assert names(tmp_path) == []


@every_writer
def test_half_a_character_is_told_and_nothing_is_written(tmp_path: Path, write: Write) -> None:
    with pytest.raises(FileError):
        write(tmp_path / "x.txt", "half \ud83d")
    assert [name for name in names(tmp_path) if (tmp_path / name).stat().st_size] == []


@every_writer
def test_a_file_where_the_folder_should_be(tmp_path: Path, write: Write) -> None:
    (tmp_path / "prints").write_text("mine")
    with pytest.raises(FileError):
        write(tmp_path / "prints" / "x.txt", "page")
    assert (tmp_path / "prints").read_text() == "mine"


KILLED = """
import sys
from pathlib import Path
from glazekit.ground.writer import write_over
for number in range(1000000):
    write_over(Path(sys.argv[1]) / "x.txt", f"{number % 10}" * 200000)
    print(number, flush=True)
"""


@pytest.mark.parametrize("rounds", [1, 3, 6])
def test_killed_in_the_middle_the_old_file_or_the_new_one_stands_there(tmp_path: Path, rounds: int) -> None:
    process = subprocess.Popen([sys.executable, "-c", KILLED, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    for _ in range(rounds):
        process.stdout.readline()
    process.kill()
    process.communicate()
    content = (tmp_path / "x.txt").read_text()
    assert len(content) == 200000 and len(set(content)) == 1


@pytest.mark.parametrize("rounds", [1, 4, 9])
def test_killed_in_the_middle_no_new_file_is_empty(tmp_path: Path, rounds: int) -> None:
    new = KILLED.replace("write_over", "write_new").replace('"x.txt"', 'f"x{number}.txt"')
    process = subprocess.Popen([sys.executable, "-c", new, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    for _ in range(rounds):
        process.stdout.readline()
    process.kill()
    process.communicate()
    assert {path.stat().st_size for path in tmp_path.glob("x*.txt")} == {200000}


@pytest.mark.parametrize(("held_s", "waited_s"), [(0.5, (0.5, 0.6)), (1e9, (1.0, 5.0))])
def test_a_lock_is_waited_for_as_long_as_somebody_may_hold_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, held_s: float, waited_s: tuple[float, float]
) -> None:
    """Who holds it for half a second, on a slow disk, is let finish; who never lets go keeps nobody for more than 5 s."""
    lock, clock = tmp_path / ".02.json.lock", [0.0]
    lock.mkdir()

    def sleep(seconds: float) -> None:
        clock[0] += seconds
        if clock[0] >= held_s and lock.exists():
            lock.rmdir()

    monkeypatch.setattr(writer, "time", SimpleNamespace(monotonic=lambda: clock[0], sleep=sleep))
    with alone(tmp_path / "02.json"):
        assert waited_s[0] <= clock[0] <= waited_s[1]
    assert not lock.exists()


# -- names ----------------------------------------------------------------------------------------------------------------


def test_a_print_is_never_written_over(tmp_path: Path) -> None:
    paths = [save_new(tmp_path / "prints", "Clear", ".html", f"page{i} ü") for i in range(3)]
    assert [path.name for path in paths] == ["Clear.html", "Clear 2.html", "Clear 3.html"]
    assert [path.read_text(encoding="utf-8") for path in paths] == ["page0 ü", "page1 ü", "page2 ü"]


@pytest.mark.parametrize(
    "name", ["../../evil", "/etc/passwd", "C:\\temp\\x", "con", "", "...", "a" * 400, "釉" * 400, NASTY, "line\nbreak"]
)
def test_a_print_stays_in_its_folder_under_any_name(tmp_path: Path, name: str) -> None:
    for _ in range(2):
        path = save_new(tmp_path / "prints", name, ".html", "page")
        assert path.parent == tmp_path / "prints" and path.read_text() == "page"
        assert not re.search(r'[<>:"/\\|?*\n]', path.name) and len(path.name) < 100


def test_a_file_stem_keeps_letters_of_every_alphabet() -> None:
    assert file_stem("Grün&Ωmega釉") == "Grün Ωmega釉"


# -- one writer -----------------------------------------------------------------------------------------------------------


def opens_to_write(node: ast.AST) -> bool:
    """Is this a call that writes a file: write_text, write_bytes, or open with a mode other than reading."""
    if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute | ast.Name):
        return False
    name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
    modes = [word.value for word in node.args if isinstance(word, ast.Constant)]
    return name in ("write_text", "write_bytes") or (name == "open" and any(str(mode)[:1] in "wxa" for mode in modes))


@pytest.mark.parametrize("room", ["folder", "sheets", "start", "lab", "cli.py", "exercises"])
def test_whatever_writes_for_a_learner_uses_the_writer(room: str) -> None:
    place = Path(glazekit.__file__).parent / room
    paths = [path for path in (place.rglob("*.py") if place.is_dir() else [place]) if path.name != "writer.py"]
    found = [path.name for path in paths for node in ast.walk(ast.parse(path.read_text())) if opens_to_write(node)]
    assert paths and found == []
