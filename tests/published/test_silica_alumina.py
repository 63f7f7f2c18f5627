"""The old studies of silica and alumina, as their authors printed them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from case_files import rows_of

from glazekit.chemistry.silica_alumina import study

PRINTED = rows_of("silica_alumina_studies")


def printed(name: str, what: str) -> set[tuple[float, float]]:
    return {(float(row["al2o3"]), float(row["sio2"])) for row in PRINTED if row["study"] == name and row["what"].startswith(what)}


def places(name: str, melted: tuple[str, ...] = ()) -> list[tuple[float, float]]:
    return [(p.alumina_mol, p.silica_mol) for p in study(name).points if not melted or p.melted in melted]


def test_the_grid_of_1914_has_a_hundred_glazes_between_its_printed_corners() -> None:
    points = {p.name: (p.alumina_mol, p.silica_mol) for p in study("Stull & Howat 1914").points}
    assert len(points) == 100
    for row in PRINTED:
        if row["what"].startswith("corner"):
            assert points[row["what"].split()[1]] == (float(row["al2o3"]), float(row["sio2"]))
    assert len({alumina for alumina, _ in points.values()}) == len({silica for _, silica in points.values()}) == 10
    first = study("Stull & Howat 1914")
    assert (first.potash_mol, first.lime_mol) == (0.3, 0.7)
    assert sum(p.status == "seen" for p in first.points) == 4, "the source prints the corners; the rest follows by equal steps"


@pytest.mark.parametrize("letter", "ABCDEFGHIJ")
def test_a_series_of_1914_goes_in_equal_steps(letter: str) -> None:
    row = [p for p in study("Stull & Howat 1914").points if p.name.startswith(letter)]
    assert len({p.alumina_mol for p in row}) == 1
    assert [b.silica_mol - a.silica_mol for a, b in pairwise(row)] == pytest.approx([0.5] * 9)


def test_the_grid_of_1886_and_what_melted_first() -> None:
    assert sorted(places("Seger 1886")) == sorted((a / 10, float(s)) for a in range(2, 7) for s in range(2, 7))
    first = ("first", "first, and lowest of all")
    assert set(places("Seger 1886", first)) == printed("Seger 1886", "first")
    assert set(places("Seger 1886", first[1:])) == printed("Seger 1886", "lowest")
    assert {silica for _, silica in printed("Seger 1886", "first")} == {2, 3, 4, 5, 6}, "one at least in every group"
