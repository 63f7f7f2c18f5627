"""Twenty glazes of the trade through the front door: what is said of each, against what an old hand expects of its kind.

The recipes are invented, of generic materials. golden_kinds.csv was written by hand, from what kind of glaze each is and with the
reason; golden_said.csv is what the models say, by key, so that any change of it is seen and signed anew.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from case_files import CASES, rows_of

from glazekit.cli import main

KINDS = {row["recipe"]: row for row in rows_of("golden_kinds")}
SAID = rows_of("golden_said")
REFERENCE = "Gangway Clear"


def ask(name: str, capsys: pytest.CaptureFixture[str], peak_c: str = "") -> list[dict[str, Any]]:
    """The estimates of a recipe as the command tells them, at its own peak when no other is asked for."""
    peak_c = peak_c or KINDS[name]["peak_c"]
    words = ["sheet", str(CASES / "golden_recipes.csv"), "--recipe", name, "--peak", peak_c, "--json"]
    assert main([*words, "--reference", REFERENCE]) == 0
    estimates: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["estimates"]
    assert len(estimates) == 3
    return estimates


def said_of(name: str, estimates: list[dict[str, Any]]) -> list[dict[str, str]]:
    """Rows as golden_said.csv has them."""
    quantities = ("expansion", "glass_transition", "viscosity")
    return [
        {
            "recipe": name,
            "property": quantity,
            "has_number": "no" if told["value"] is None else "yes",
            "in_range": "yes" if told["in_range"] else "no",
            "keys": " ".join(told["why"]),
            "direction": told["direction"]["words"] if told["direction"] else "",
        }
        for quantity, told in zip(quantities, estimates, strict=True)
    ]


def test_there_are_twenty_of_many_kinds() -> None:
    assert len(KINDS) == len({row["recipe"] for row in rows_of("golden_recipes")}) == 20
    assert all(len(row["reason"].split()) > 4 for row in KINDS.values())


@pytest.mark.parametrize("name", KINDS)
def test_nothing_is_claimed_where_there_is_no_clear_glass(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    kind, estimates = KINDS[name], ask(name, capsys)
    assert len(estimates) > 2
    for told in estimates:
        assert told["in_range"] == (kind["glass"] == "clear"), (told["quantity"], told["why"])
        assert (told["value"] is None) == (kind["glass"] == "unmeasured")
        assert kind["must_say"] in ("", *told["why"]), told["why"]
        if not told["in_range"]:
            assert told["why"] and told["note"] and told["note"] in told["words"]
        if kind["glass"] == "raw":
            assert told["why"][0] == kind["must_say"], "said before anything else"


@pytest.mark.parametrize("name", ["Celadon", "Raw stoneware clear"])
def test_a_raw_clear_of_cone_10_is_no_glass_at_cone_3(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    for told in ask(name, capsys, "1150"):
        assert not told["in_range"] and told["why"][0] == "not_molten"


@pytest.mark.parametrize("name", KINDS)
def test_what_is_said_is_what_was_signed(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert said_of(name, ask(name, capsys)) == [row for row in SAID if row["recipe"] == name]


def test_directions_go_the_way_potters_know(capsys: pytest.CaptureFixture[str]) -> None:
    """A shino has three times the alkali of an everyday clear: it crazes, and potters know it."""
    expansion = ask("Shino", capsys)[0]
    assert expansion["value"] is None and expansion["direction"]["sign"] == 1 and expansion["direction"]["reference"] == REFERENCE
