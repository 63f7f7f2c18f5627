"""The flux mixer: the sharing itself, as the browser does it, and what the kernel accepts."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import traitlets

import glazekit.lab.browser
from glazekit.lab.browser import FluxMix

SCRIPT = Path(glazekit.lab.browser.__file__).with_name("mixer.js")
NAMES = ("Na2O", "K2O", "MgO", "CaO", "ZnO")


def _node() -> str:
    found = shutil.which("node")
    if found:
        return found
    driver = pytest.importorskip("playwright._impl._driver")  # Playwright brings a JavaScript engine along
    return str(driver.compute_driver_executable()[0])


def run(calls: list[list[Any]], function: str = "moved") -> list[Any]:
    """Call a function of mixer.js with each of these argument lists."""
    code = f"""
import {{ readFileSync }} from "node:fs";
const mixer = await import("data:text/javascript," + encodeURIComponent(readFileSync({json.dumps(str(SCRIPT))}, "utf8")));
const calls = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(calls.map(call => mixer.{function}(...call))));
"""
    done = subprocess.run(
        [_node(), "--input-type=module", "-e", code],
        input=json.dumps(calls),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return json.loads(done.stdout)


def _cases(count: int) -> list[list[Any]]:
    chance = random.Random(4)
    cases = []
    for _ in range(count):
        parts = [chance.choice((0, 0, 1, chance.random())) for _ in NAMES]
        parts = parts if sum(parts) else [1] * len(NAMES)
        shares = {name: part / sum(parts) for name, part in zip(NAMES, parts, strict=True)}
        locked = [name for name in NAMES if chance.random() < 0.4]
        cases.append([shares, locked, chance.choice(NAMES), chance.choice((0, 1, 1.5, -0.2, chance.random()))])
    return cases


def test_shares_stay_1_locked_ones_stay_and_the_rest_keep_their_proportions() -> None:
    """500 random mixes against exact fractions."""
    cases = _cases(500)
    for (shares, locked, name, wish), result in zip(cases, run(cases), strict=True):
        open_ = [other for other in NAMES if other != name and other not in locked]
        if name in locked:
            assert result == {"refused": "this_locked"}
            continue
        if not open_:
            assert result == {"refused": "no_other"}
            continue
        new = result["shares"]
        assert sum(new.values()) == pytest.approx(1, abs=1e-12) and min(new.values()) >= 0
        exact = {other: Fraction(share) for other, share in shares.items()}
        room = max(Fraction(0), 1 - sum(exact[other] for other in locked))
        to = min(max(Fraction(wish), Fraction(0)), room)
        assert new[name] == pytest.approx(float(to), abs=1e-12)
        assert result["stopped"] == (wish > float(room) + 1e-9)
        for other in locked:
            assert new[other] == shares[other]
        before = sum(exact[other] for other in open_)
        for other in open_:
            share = exact[other] / before if before > Fraction(1, 10**9) else Fraction(1, len(open_))
            assert new[other] == pytest.approx(float(share * (room - to)), abs=1e-12)


def test_shares_as_people_type_them() -> None:
    texts = ["0.25", "0,25", ".25", "25 %", "1", "a third", "", "0.2.5", "-0.1"]
    assert run([[text] for text in texts], "typed") == [0.25, 0.25, 0.25, 0.25, 1, None, None, None, None]


@pytest.fixture
def mix() -> FluxMix:
    return FluxMix([(name, name) for name in NAMES], {"K2O": 0.3, "CaO": 0.7}, {})


def test_a_sound_value_is_taken(mix: FluxMix) -> None:
    mix.value = {"shares": {**dict.fromkeys(NAMES, 0.0), "K2O": 1}, "locked": ["K2O"]}
    assert mix.shares["K2O"] == 1 and mix.value["locked"] == ["K2O"]


@pytest.mark.parametrize(
    "value",
    [
        {"shares": {**dict.fromkeys(NAMES, 0.0), "K2O": 0.9}, "locked": []},
        {"shares": {**dict.fromkeys(NAMES, 0.0), "K2O": 1.1, "CaO": -0.1}, "locked": []},
        {"shares": {"K2O": 1.0}, "locked": []},
        {"shares": {**dict.fromkeys(NAMES, 0.0), "K2O": float("nan")}, "locked": []},
        {"shares": {**dict.fromkeys(NAMES, 0.0), "K2O": 1}, "locked": ["gold"]},
        {"shares": None, "locked": []},
        {},
    ],
)
def test_anything_else_is_refused_and_the_old_value_stays(mix: FluxMix, value: dict[str, Any]) -> None:
    with pytest.raises(traitlets.TraitError, match="shares"):
        mix.value = value
    assert mix.shares == {**dict.fromkeys(NAMES, 0.0), "K2O": 0.3, "CaO": 0.7}
