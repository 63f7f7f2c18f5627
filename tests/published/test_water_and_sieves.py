"""Water density against two published equations, sieve openings against the rules of their standards."""

from __future__ import annotations

from itertools import pairwise
from math import log2

import pytest
from case_files import rows_of

from glazekit.ground.tables import read_table
from glazekit.water.slip import water_density_g_ml


@pytest.mark.parametrize("case", rows_of("water_density"), ids=lambda row: f"{row['temp_c']} C {row['source']}")
def test_water_density(case) -> None:
    ours_kg_m3 = 1000 * water_density_g_ml(float(case["temp_c"]))
    assert ours_kg_m3 == pytest.approx(float(case["density_kg_m3"]), abs=float(case["tolerance_kg_m3"]))


def test_water_is_densest_near_four_degrees() -> None:
    density = {temp_c / 10: water_density_g_ml(temp_c / 10) for temp_c in range(101)}
    assert max(density, key=density.get) == pytest.approx(4.0, abs=0.3)


SERIES = {
    name: {row["mesh"]: row["opening_um"] for row in read_table("sieves") if row["series"] == name}
    for name in ("BSS 410", "ASTM E11")
}


@pytest.mark.parametrize("name", SERIES)
def test_a_finer_mesh_has_a_smaller_opening(name: str) -> None:
    ordered = [opening for _, opening in sorted(SERIES[name].items())]
    assert len(ordered) > 9 and all(finer < coarser for coarser, finer in pairwise(ordered))


@pytest.mark.parametrize("name", SERIES)
def test_steps_are_whole_steps_of_the_fourth_root_of_two(name: str) -> None:
    """Both series were laid out so that each sieve is 2 ** (1/4) times finer than the one before; a few sieves are not listed."""
    for coarser, finer in pairwise(sorted(SERIES[name].values(), reverse=True)):
        steps = 4 * log2(coarser / finer)
        assert steps == pytest.approx(max(1, round(steps)), abs=0.25), (coarser, finer)


@pytest.mark.parametrize("name", SERIES)
def test_the_wires_fit_between_the_openings(name: str) -> None:
    """One inch holds ``mesh`` openings and as many wires, and wires take between a fifth and a half of it."""
    for mesh, opening_um in SERIES[name].items():
        wire_share = 1 - mesh * opening_um / 25400
        assert 0.2 < wire_share < 0.5, mesh


R40 = """100 106 112 118 125 132 140 150 160 170 180 190 200 212 224 236 250 265 280 300
315 335 355 375 400 425 450 475 500 530 560 600 630 670 710 750 800 850 900 950"""


def test_one_series_uses_preferred_numbers_and_the_other_does_not() -> None:
    """ISO 565 takes its openings from the preferred numbers R40 of ISO 3; the British series is older than they are."""
    preferred = {float(number) / scale for number in R40.split() for scale in (1, 10)}
    assert set(SERIES["ASTM E11"].values()) <= preferred
    assert len(set(SERIES["BSS 410"].values()) - preferred) > len(SERIES["BSS 410"]) / 2


def test_the_two_series_are_not_the_same() -> None:
    """60 mesh is 251 um in one and 250 um in the other, 30 mesh 500 and 600: the series must always be named."""
    assert SERIES["BSS 410"][30] == 500 and SERIES["ASTM E11"][30] == 600
    shared = SERIES["BSS 410"].keys() & SERIES["ASTM E11"].keys()
    assert shared and any(SERIES["BSS 410"][mesh] != SERIES["ASTM E11"][mesh] for mesh in shared)
    statuses = {row["series"]: row["status"] for row in read_table("sieves")}
    assert statuses == {"BSS 410": "seen", "ASTM E11": "memory"}
