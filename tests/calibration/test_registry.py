"""One row a property: every table that speaks of properties speaks of those of properties.csv."""

from __future__ import annotations

import pytest

from glazekit.glass.properties import interval_rule, properties, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.tables import read_table, table_names

NAMES = {each.name for each in properties()}


@pytest.mark.parametrize("table", ["property_intervals", "property_accuracy", "change_accuracy"])
def test_tables_hold_exactly_the_properties_of_the_registry(table: str) -> None:
    assert {row["property"] for row in read_table(table)} == NAMES


@pytest.mark.parametrize("name", sorted(NAMES))
def test_a_property_has_its_numbers_and_both_its_intervals(name: str) -> None:
    about = property_named(name)
    assert about.factor_table in table_names() and len(read_table(about.factor_table)) > 15
    for kind in ("absolute", "change"):
        assert interval_rule(about.interval, kind)["constant"] > 0


@pytest.mark.parametrize(("asked", "near"), [("expansio", "expansion"), ("elastic modulus", "elastic_modulus")])
def test_an_unknown_property_is_told_with_the_nearest(asked: str, near: str) -> None:
    with pytest.raises(DataError, match=f"'{near}'"):
        property_named(asked)
