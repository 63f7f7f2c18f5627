"""How fast a panel follows a slider: a refresh, saving included, costs the kernel less than 10 ms."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from itertools import count
from pathlib import Path
from statistics import median

import pytest
from stopwatch import calm_s

from glazekit.lab import open_page

MOVES = {
    "batch bench": lambda panel, i: setattr(panel.rows.rows[0].reading, "value", f"{25 + i / 100:.2f}"),
    "recipe bench": lambda panel, i: setattr(panel.batch, "value", str(500 + i)),
    "water log": lambda panel, i: setattr(panel.dry, "value", str(100 + i)),
    "syringe check": lambda panel, i: setattr(panel.full, "value", f"{148 + i / 10:.1f}"),
    "suction sketch": lambda panel, i: setattr(panel.dip, "value", f"{6 + i / 10:.1f}"),
    "oxide scales": lambda panel, i: setattr(panel.grams, "value", str(20 + i)),
    "gas meter": lambda panel, i: setattr(panel.recipe, "value", ("Overboard", "Anchor Chain", "Late Boat")[i % 3]),
    "mole swap": lambda panel, i: setattr(panel.grams, "value", str(7 + i)),
    "swap bench": lambda panel, i: setattr(panel.recipe, "value", ("Gangway Clear", "Handrail Clear", "Bulkhead Liner")[i % 3]),
    "new bag": lambda panel, i: setattr(panel.boxes.boxes["SiO2"], "value", f"{97 + i / 10:.1f}"),
    "two-strip sketch": lambda panel, i: setattr(panel.temp, "value", str(20 + i)),
    "leave one out": lambda panel, i: setattr(panel.missing, "value", ("", "quartz", "kaolin")[i % 3]),
}


def each_move_s(move: Callable[[int], object]) -> float:
    """What one of forty moves costs, each unlike the one before: the median."""
    moves = count(1)
    return calm_s(lambda: move(next(moves)), rounds=40, pick=median)


@pytest.mark.parametrize("name", MOVES)
def test_a_refresh_takes_less_than_10_ms(name: str, tmp_path: Path) -> None:
    panel = open_page("01", tmp_path).panel(name)
    seconds = each_move_s(lambda i: MOVES[name](panel, i))
    print(f"{name}: {seconds * 1000:.2f} ms")
    assert seconds < 0.010


FLUXES = ({"K2O": 0.3, "CaO": 0.7}, {"Na2O": 0.2, "MgO": 0.1, "CaO": 0.7}, {"Na2O": 0.6, "CaO": 0.4})


def _mix(panel, i: int) -> None:
    panel.mix.value = {"shares": {**dict.fromkeys(panel.mix.shares, 0.0), **FLUXES[i % 2]}, "locked": []}


LIVE = {
    "unity bench": lambda panel, i: setattr(panel.glaze.sliders["kaolin"].slider, "value", 5 + i / 2),
    "chart map": lambda panel, i: setattr(panel.glaze.sliders["kaolin"].slider, "value", 5 + i / 2),
    "flux mixer": _mix,
    "firing sketch": lambda panel, i: setattr(panel.plan.sliders["peak"].slider, "value", 1200 + i),
    "slope tray": lambda panel, i: setattr(panel.glaze.sliders["quartz"].slider, "value", 5 + i / 2),
    "fit gauge": lambda panel, i: setattr(panel.glaze.sliders["quartz"].slider, "value", 5 + i / 2),
    "shopping bench": lambda panel, i: setattr(panel.wanted["SiO2"], "value", f"{3 + i / 100:.2f}"),
}


@pytest.mark.parametrize("name", LIVE)
def test_a_live_bench_follows_within_10_ms(name: str, tmp_path: Path) -> None:
    """As in a running lesson: what is heavy, and saving, waits until the learner pauses; everything else counts."""

    async def move() -> float:
        panel = open_page("05", tmp_path).panel(name)
        return each_move_s(lambda i: LIVE[name](panel, i))

    seconds = asyncio.run(move())
    print(f"{name}: {seconds * 1000:.2f} ms")
    assert seconds < 0.010


def test_the_ring_of_the_chart_follows_a_pause_within_100_ms(tmp_path: Path) -> None:
    chart = open_page("06", tmp_path).panel("chart map")
    seconds = calm_s(chart.settle, rounds=7, pick=median)
    print(f"ring: {seconds * 1000:.1f} ms")
    assert seconds < 0.100
