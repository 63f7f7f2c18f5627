"""Swaps mole by mole keep what they count, and put alumina and silica right."""

from __future__ import annotations

import pytest

import glazekit as gk
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.ground.errors import RecipeError


def test_moles_balance() -> None:
    """Recipe before and after: the counted oxide, alumina and silica are the same."""
    swap = mole_swap("potash feldspar", "nepheline syenite", 20)
    before = gk.analyse(gk.Recipe("before", {"potash feldspar": 20, "kaolin": 30, "quartz": 30}))
    after = gk.analyse(
        gk.Recipe(
            "after",
            {
                "nepheline syenite": swap.into_g,
                "kaolin": 30 + swap.correction_g.get("kaolin", 0.0),
                "quartz": 30 + swap.correction_g.get("quartz", 0.0),
            },
        )
    )
    old, new = dict(before.oxide_mol), dict(after.oxide_mol)
    assert new["Al2O3"] == pytest.approx(old["Al2O3"])
    assert new["SiO2"] == pytest.approx(old["SiO2"])
    assert new["Na2O"] + new["K2O"] == pytest.approx(old["K2O"])
    assert swap.counted == ("Na2O", "K2O")


@pytest.mark.parametrize(("out", "into"), [("quartz", "whiting"), ("whiting", "kaolin")])
def test_nothing_in_common_to_count(out: str, into: str) -> None:
    with pytest.raises(RecipeError, match=r"\bflux\b"):
        mole_swap(out, into, 5)


def test_what_puts_right_must_be_able_to() -> None:
    with pytest.raises(RecipeError, match="Al2O3"):
        mole_swap("whiting", "talc", 5, clay="quartz")
