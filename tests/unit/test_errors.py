"""One sentence for every name that is not known: what was given, and the nearest match or what there is."""

from __future__ import annotations

import pickle

import pytest

from glazekit.ground.errors import MOST_LISTED, DataError, UnknownMaterialError, unknown_name


def test_it_says_what_was_given_and_the_nearest() -> None:
    problem = unknown_name(DataError, "table", "bucket", ["oxides", "buckets"])
    assert isinstance(problem, DataError) and (problem.given, problem.hint) == ("bucket", "buckets")
    assert str(problem).split("'")[1::2] == ["bucket", "buckets"]


def test_with_nothing_near_it_says_what_there_is_or_what_to_do() -> None:
    names = [f"name {number:02d}" for number in range(MOST_LISTED + 3)]
    short, long = (str(unknown_name(DataError, "table", "?!", names[:count])) for count in (2, len(names)))
    assert short.endswith(", ".join(names[:2]))
    assert names[MOST_LISTED - 1] in long and names[MOST_LISTED] not in long and "3" in long.split(names[MOST_LISTED - 1])[1]
    told = unknown_name(DataError, "table", "?!", names, where="here: ", otherwise="look again")
    assert str(told).startswith("here: ") and str(told).endswith("look again") and told.hint is None


@pytest.mark.parametrize("given", ["", "two\nlines", "x" * 5000, "\ud800"])
def test_whatever_was_given_stays_one_short_line(given: str) -> None:
    said = str(unknown_name(DataError, "table", given, ["buckets"]))
    assert "\n" not in said and len(said) < 150


def test_it_can_be_sent() -> None:
    sent = pickle.loads(pickle.dumps(unknown_name(UnknownMaterialError, "material", "kaolim", ["kaolin"])))
    assert isinstance(sent, UnknownMaterialError) and sent.hint == "kaolin"
