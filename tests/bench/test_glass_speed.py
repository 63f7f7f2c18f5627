"""How fast the estimates are: a slider must feel immediate, with several of them on one page."""

from __future__ import annotations

from itertools import count

from stopwatch import calm_s
from test_speed import SIX

import glazekit as gk


def test_expansion_and_viscosity_of_a_recipe_under_200_microseconds() -> None:
    """From the six materials on; the tables are read before the clock starts. Nobody feels it."""

    def both() -> None:
        gk.expansion(SIX)
        gk.viscosity(SIX, 1222)

    both()
    seconds = calm_s(both, times=1000)
    print(f"expansion and viscosity of six materials: {seconds * 1e6:.1f} us")
    assert seconds < 200e-6


def test_the_run_over_a_whole_firing_under_30_milliseconds() -> None:
    """Each time a firing not seen before, since the last ones are remembered."""
    held_h = count(1)

    def run() -> None:
        hold_h = next(held_h) / 60
        gk.slope_run(SIX, [(0.0, 20.0), (12.0, 1222.0), (12 + hold_h, 1222.0), (20 + hold_h, 20.0)], 0.5, reference=SIX)

    run()
    seconds = calm_s(run, times=3)
    print(f"run over a whole firing, with a reference: {seconds * 1e3:.1f} ms")
    assert 0.5e-3 < seconds < 30e-3, "below half a millisecond it would not have been summed at all"
