"""Files that are no recipe file: one clear line within a moment, whatever they are."""

from __future__ import annotations

import os
import time
import tracemalloc
from pathlib import Path

import pytest

from glazekit.ground.errors import FileError
from glazekit.ground.textfile import MOST_BYTES, read_text_file
from glazekit.recipe.reading import read_recipes

GOOD = "material,amount\nwhiting,18.4\nquartz,81.6\n"

CONTENTS = {
    "empty": (b"", "is empty"),
    "blank": (b" \n\t\n", "is empty"),
    "only a byte order mark": (b"\xef\xbb\xbf", "is empty"),
    "utf-16": (GOOD.encode("utf-16"), "UTF-16"),
    "utf-16 little, bare": (GOOD.encode("utf-16-le"), "UTF-16"),
    "utf-16 big, bare": (GOOD.encode("utf-16-be"), "UTF-16"),
    "utf-32": (GOOD.encode("utf-32"), "UTF-32"),
    "latin-1": ("material,amount\nquartz,1\nGrün,5\n".encode("latin-1"), "line 3: .*UTF-8"),
    "binary": (bytes(range(256)) * 40, "not a text file"),
    "zeros": (b"\0" * 5000, "not a text file"),
    "late zero": (GOOD.encode() + b"a" * 5000 + b"\0", "line 4: a control character"),
    "bell": (b"material,amount\nwhi\x07ting,5\n", "line 2: a control character"),
    "spreadsheet": (b"PK\x03\x04" + b"\0\x01" * 99, "spreadsheet"),
    "pdf": (b"%PDF-1.7\n", "PDF"),
    "500,000 lines": (b"material,amount\n" + b"whiting,1\n" * 500_000, "more than 20,000 lines"),
    "one endless line": (b"a" * (MOST_BYTES + 10), "larger than 4 MB"),
    "old mac line ends, endless": (b"a,b\r" * 100_000, "more than 20,000 lines"),
}


@pytest.mark.parametrize("name", CONTENTS)
def test_bad_contents(tmp_path: Path, name: str) -> None:
    content, told = CONTENTS[name]
    path = tmp_path / "glaze.csv"
    path.write_bytes(content)
    began = time.process_time()
    with pytest.raises(FileError, match=told) as caught:
        read_recipes(path)
    assert time.process_time() - began < 2
    assert str(caught.value).startswith("glaze.csv") and "\n" not in str(caught.value)


def test_a_gigantic_file_is_not_read_to_its_end(tmp_path: Path) -> None:
    path = tmp_path / "big.csv"
    with path.open("wb") as stream:
        stream.truncate(50 * MOST_BYTES)
    tracemalloc.start()
    with pytest.raises(FileError):
        read_text_file(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 3 * MOST_BYTES


def test_missing_files_name_the_nearest(tmp_path: Path) -> None:
    (tmp_path / "clear.csv").write_text(GOOD)
    for slip, meant in (
        ("claer.csv", "clear.csv"),
        ("clear", "clear.csv"),
        ("zzz.csv", None),
    ):  # the ending alone makes no likeness
        with pytest.raises(FileError) as caught:
            read_recipes(tmp_path / slip)
        # the ending alone makes no likeness
        assert (caught.value.given, caught.value.hint) == (slip, meant) and str(tmp_path) in str(caught.value)
    (tmp_path / "link.csv").symlink_to("gone.csv")
    with pytest.raises(FileError, match="is a link to a file that is not there"):
        read_recipes(tmp_path / "link.csv")
    with pytest.raises(FileError, match="there is no folder"):
        read_recipes(tmp_path / "nowhere" / "clear.csv")
    with pytest.raises(FileError, match=r"is a folder.*clear\.csv"):
        read_recipes(tmp_path)


@pytest.mark.parametrize("name", ["", "a\0b", "x" * 5000, "\ud800", "~", "con\ntrol"])
def test_names_no_file_can_have(tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FileError) as caught:
        read_recipes(name)
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 250


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    with pytest.raises(FileError, match="not an ordinary file"):
        read_recipes(tmp_path / "pipe.csv")


def test_a_full_length_file_is_read_quickly(tmp_path: Path) -> None:
    path = tmp_path / "full.csv"
    path.write_text("recipe,material,amount\n" + "".join(f"glaze {row // 50},whiting,1.5\n" for row in range(19_950)))
    began = time.process_time()
    assert sum(recipe.base_sum for recipe in read_recipes(path)) == pytest.approx(1.5 * 19_950)
    assert time.process_time() - began < 3
