"""What must hold for the contours of any glaze: lines carry their value, the colder the stiffer, the known part is convex."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import glazekit as gk
from glazekit.chemistry.unity import UnityFormula, unity_from_moles
from glazekit.glass.field import FluxSet, property_field

FLUXES = {"Li2O": 0.4, "Na2O": 1.0, "K2O": 1.0, "MgO": 0.6, "CaO": 2.0, "SrO": 0.4, "BaO": 0.4, "ZnO": 0.6}
OTHERS = {"B2O3": 0.8, "TiO2": 0.2, "ZrO2": 0.2, "Fe2O3": 0.1, "P2O5": 0.05, "MnO": 0.05}
GLAZES = st.fixed_dictionaries({oxide: st.floats(0, most) for oxide, most in (FLUXES | OTHERS).items()})
SILICA, ALUMINA = (1.0, 6.0), (0.05, 0.75)


def formula(moles: dict[str, float]) -> UnityFormula:
    """Fluxes brought to 1, the rest as drawn."""
    total = sum(moles[oxide] for oxide in FLUXES)
    assume(total > 0.5)
    fluxes = {oxide: moles[oxide] / total for oxide in FLUXES}
    return unity_from_moles({**moles, **fluxes, "SiO2": 3.0, "Al2O3": 0.4})


@settings(max_examples=25, deadline=None)
@given(GLAZES, st.sampled_from([1000, 1222, 1300]))
def test_the_public_functions_give_the_value_of_a_line_all_along_it(moles: dict[str, float], temp_c: int) -> None:
    unity = formula(moles)
    for peak_c, ask in ((temp_c, lambda glaze: gk.viscosity(glaze, temp_c)), (None, gk.expansion)):
        field = property_field(FluxSet.of(unity), peak_c, SILICA, ALUMINA)
        for level, lines in zip(field.levels, field.lines, strict=True):
            for line in lines:
                for silica, alumina in line[:: max(1, len(line) // 6)]:
                    estimate = ask(unity_from_moles({**unity.moles, "SiO2": silica, "Al2O3": alumina}))
                    if estimate.value is not None:
                        assert estimate.value == pytest.approx(level, abs=0.06)
                        assert estimate.low < level < estimate.high  # every line has its interval


@settings(max_examples=25, deadline=None)
@given(GLAZES)
def test_the_colder_the_stiffer_everywhere(moles: dict[str, float]) -> None:
    fluxes = FluxSet.of(formula(moles))
    for silica, alumina in product([1.0, 1.8, 2.7, 3.5, 4.3, 5.2, 6.0], [0.05, 0.19, 0.33, 0.47, 0.61, 0.75]):
        assert fluxes.value(1100, silica, alumina) > fluxes.value(1222, silica, alumina)


@settings(max_examples=60, deadline=None)
@given(GLAZES, st.sampled_from([None, 1222]))
def test_the_known_part_is_convex_and_between_two_known_glazes_all_are_known(moles: dict[str, float], temp_c: int | None) -> None:
    unity = formula(moles)
    part = FluxSet.of(unity).known_part(SILICA, ALUMINA, temp_c)
    turns = []
    for a, b, c in zip(part.corners, part.corners[1:] + part.corners[:1], part.corners[2:] + part.corners[:2], strict=True):
        turns.append((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))
    assert all(turn > -1e-9 for turn in turns)
    for a, b in zip(part.corners, part.corners[2:] + part.corners[:2], strict=True):
        silica, alumina = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        glaze = unity_from_moles({**unity.moles, "SiO2": silica, "Al2O3": alumina})
        estimate = gk.expansion(glaze) if temp_c is None else gk.viscosity(glaze, temp_c)
        if min(abs(turn) for turn in turns) > 1e-6:  # not a splinter whose middle lies on its edge
            assert estimate.value is not None, estimate.note
