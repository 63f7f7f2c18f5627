"""The desk as it was left: restored after a restart, never half written, never another page's."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from glazekit.folder.state import State
from glazekit.ground import writer
from glazekit.ground.errors import FileError


def test_what_was_put_is_there_after_a_restart(tmp_path: Path) -> None:
    State(tmp_path).put("02", "recipe bench", {"base_g": 250.5, "names": ["Löß", None, True]})
    State(tmp_path).put("02", "water log", [1, 2])
    State(tmp_path).put("03", "water log", 7)
    again = State(tmp_path)
    assert again.get("02", "recipe bench") == {"base_g": 250.5, "names": ["Löß", None, True]}
    assert again.get("02", "water log") is not None and again.get("03", "water log") == 7
    assert [path.name for path in sorted((tmp_path / "state").iterdir())] == ["02.json", "03.json"]


def test_nothing_yet(tmp_path: Path) -> None:
    state = State(tmp_path)
    assert state.get("01", "x", 5) == 5
    assert not (tmp_path / "state").exists()


@pytest.mark.parametrize("damage", [b"", b"{", b"[1]", b"\xff\xfe", b'{"a": ' * 50_000])
def test_a_damaged_page_is_set_aside_and_told(tmp_path: Path, damage: bytes) -> None:
    state = State(tmp_path)
    state.put("01", "a", 1)
    (tmp_path / "state" / "01.json").write_bytes(damage)
    assert state.get("01", "a", "fresh") == "fresh"
    assert len(state.problems) == 1 and "damaged" in state.problems[0]
    (aside,) = (tmp_path / "state").glob("01.json.damaged-*")
    assert aside.read_bytes() == damage
    state.put("01", "a", 2)
    assert State(tmp_path).get("01", "a") == 2


def test_a_page_that_is_damaged_twice_is_kept_twice(tmp_path: Path) -> None:
    state = State(tmp_path)
    for damage in (b"{", b"["):
        state.put("01", "a", 1)
        (tmp_path / "state" / "01.json").write_bytes(damage)
        assert state.get("01", "a", "fresh") == "fresh"
    assert sorted(aside.read_bytes() for aside in (tmp_path / "state").glob("01.json.damaged-*")) == [b"[", b"{"]


@pytest.mark.parametrize("number", ["NaN", "Infinity", "1e999"])
def test_a_number_that_is_none_costs_itself_alone(tmp_path: Path, number: str) -> None:
    (tmp_path / "state").mkdir()
    (tmp_path / "state" / "01.json").write_text(f'{{"a": {{"x": {number}, "y": 2}}, "b": 3}}', encoding="utf-8")
    state = State(tmp_path)
    assert state.get("01", "a") == {"x": None, "y": 2}
    state.put("01", "c", 4)
    assert State(tmp_path).get("01", "b") == 3 and State(tmp_path).get("01", "c") == 4


@pytest.mark.parametrize(("held", "default"), [([1], {}), ("x", {}), ({"a": 1}, False), (1, "")])
def test_a_value_of_another_type_is_the_default_and_told(tmp_path: Path, held: object, default: object) -> None:
    state = State(tmp_path)
    state.put("me", "settings", held)
    assert state.get("me", "settings", default) == default == state.get("me", "settings", default)
    assert len(state.problems) == 1 and "settings" in state.problems[0]


def test_what_cannot_be_used_is_forgotten_and_kept_aside(tmp_path: Path) -> None:
    state = State(tmp_path)
    state.put("01", "a", {"odd": 1})
    state.put("01", "b", 2)
    told = state.set_aside("01", "a")
    assert state.get("01", "a") is None and state.get("01", "b") == 2 and state.problems == (told,)
    (aside,) = (tmp_path / "state").glob("01.json.damaged-*")
    assert '"odd"' in aside.read_text(encoding="utf-8") and aside.name in told


def test_it_is_forgotten_even_where_nothing_can_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    state = State(tmp_path)
    state.put("01", "a", {"odd": 1})

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    told = state.set_aside("01", "a")
    monkeypatch.undo()
    assert state.get("01", "a", 5) == 5 and "No space" in told
    state.put("01", "a", 6)
    assert state.get("01", "a", 5) == 6


def test_a_damaged_page_in_a_folder_that_refuses_is_told_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "state").mkdir()
    (tmp_path / "state" / "01.json").write_bytes(b"{")

    def closed(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    for step in ("rename", "replace"):
        monkeypatch.setattr(Path, step, closed)
    state = State(tmp_path)
    assert state.get("01", "a", 5) == state.get("01", "a", 5) == 5 and len(state.problems) == 1


@pytest.mark.parametrize("page", ["../01", "", "a/b", ".hidden", "a\\b", "ü"])
def test_a_page_name_cannot_leave_the_folder(tmp_path: Path, page: str) -> None:
    with pytest.raises(FileError, match="page name"):
        State(tmp_path).put(page, "a", 1)


@pytest.mark.parametrize("value", [float("nan"), object(), {1, 2}, {"a": float("inf")}])
def test_what_cannot_be_kept_is_refused_and_the_page_stays(tmp_path: Path, value: object) -> None:
    state = State(tmp_path)
    state.put("01", "a", 1)
    with pytest.raises(FileError, match="'b'"):
        state.put("01", "b", value)
    assert state.get("01", "a") == 1 and state.get("01", "b") is None


def test_a_failing_disk_leaves_the_old_page_and_no_rubbish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    state = State(tmp_path)
    state.put("01", "a", 1)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="No space"):
        state.put("01", "a", 2)
    monkeypatch.undo()
    assert State(tmp_path).get("01", "a") == 1
    assert [path.name for path in (tmp_path / "state").iterdir()] == ["01.json"]


def test_a_file_held_for_a_moment_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    state = State(tmp_path)
    real, calls = Path.replace, []

    def held(self: Path, target: Path) -> Path:
        calls.append(target)
        if len(calls) < 3:
            raise PermissionError(13, "in use")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", held)
    state.put("01", "a", 1)
    assert state.get("01", "a") == 1 and len(calls) == 3


@pytest.mark.skipif(
    sys.platform == "win32" or (hasattr(os, "geteuid") and os.geteuid() == 0), reason="needs a folder that refuses"
)
def test_a_folder_that_refuses_is_said(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(FileError, match=r"01\.json"):
        State(tmp_path).put("01", "a", 1)
    tmp_path.chmod(0o700)


WRITER = """
import sys
from glazekit.folder.state import State
state = State(sys.argv[1])
for number in range(100):
    state.put("me", f"{sys.argv[2]}{number}", number)
"""


def test_two_sessions_that_write_at_once_lose_nothing(tmp_path: Path) -> None:
    sessions = [subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), name]) for name in "ab"]
    assert [session.wait(timeout=120) for session in sessions] == [0, 0]
    state = State(tmp_path)
    assert [state.get("me", f"{name}{number}") for name in "ab" for number in range(100)] == 2 * list(range(100))
    assert [path.name for path in (tmp_path / "state").iterdir()] == ["me.json"]


def test_a_lock_that_nobody_holds_any_more_keeps_nobody_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writer, "LOCKED_S", 0.05)
    lock = tmp_path / "state" / ".02.json.lock"
    for leave in (lambda: lock.mkdir(parents=True), lock.touch):
        leave()
        State(tmp_path).put("02", "a", 1)
        assert State(tmp_path).get("02", "a") == 1 and not lock.exists()


def test_a_folder_in_the_place_of_a_page_is_set_aside(tmp_path: Path) -> None:
    (tmp_path / "state" / "02.json").mkdir(parents=True)
    state = State(tmp_path)
    assert state.get("02", "a", 5) == 5 and len(state.problems) == 1
    state.put("02", "a", 1)
    assert State(tmp_path).get("02", "a") == 1


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("mine")
    state = State(tmp_path)
    assert state.get("02", "a", 5) == 5 and len(state.problems) == 1
    with pytest.raises(FileError):
        state.put("02", "a", 1)


def test_of_each_field_the_newest_counts_and_not_of_the_whole(tmp_path: Path) -> None:
    opened = {"controls": {"base": "100", "scale": "0.1"}, "memory": {"left": 1}}
    one, other = State(tmp_path), State(tmp_path)
    one.merge("02", "bench", opened, {"controls": {"base": "250", "scale": "0.1"}, "memory": {}})
    other.merge("02", "bench", opened, {"controls": {"base": "100", "scale": "0.5"}, "memory": {"left": 1, "draw": 7}})
    assert State(tmp_path).get("02", "bench") == {"controls": {"base": "250", "scale": "0.5"}, "memory": {"left": 1, "draw": 7}}
    one.merge("02", "bench", {"memory": {"draw": 7}}, {"memory": {}})
    assert State(tmp_path).get("02", "bench")["memory"] == {"left": 1}
