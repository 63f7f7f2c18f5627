"""How fast the estimates are: a slider must feel immediate, with several of them on one page."""

from __future__ import annotations

from test_speed import SIX, best_seconds

import glazekit as gk

FIRING = [(0.0, 20.0), (12.0, 1222.0), (12.2, 1222.0), (20.2, 20.0)]


def test_expansion_and_viscosity_of_a_recipe_under_60_microseconds() -> None:
    """From the six materials on; the tables are read before the clock starts."""

    def both() -> None:
        gk.expansion(SIX)
        gk.viscosity(SIX, 1222)

    both()
    seconds = best_seconds(both, times=1000)
    print(f"expansion and viscosity of six materials: {seconds * 1e6:.1f} us")
    assert seconds < 60e-6


def test_the_run_over_a_whole_firing_under_30_milliseconds() -> None:
    gk.slope_run(SIX, FIRING, 0.5, reference=SIX)
    seconds = best_seconds(lambda: gk.slope_run(SIX, FIRING, 0.5, reference=SIX), times=3)
    print(f"run over a whole firing, with a reference: {seconds * 1e3:.1f} ms")
    assert seconds < 30e-3
