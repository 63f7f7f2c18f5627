"""The record of directions beyond the box, and the border between raw and molten, measured afresh."""

from __future__ import annotations

import numpy as np
import pytest

from glazekit.calibration.appraisal import cleaned, fit_model, predict_unseen
from glazekit.calibration.directions import BORDERS, beyond, molten_limit, share_of
from glazekit.glass.properties import constant, properties
from glazekit.ground.tables import read_table

ROWS = {(row["property"], row["what"]): row for row in read_table("beyond_box")}


def test_every_border_is_recorded_for_every_property_that_has_it() -> None:
    asked = {(about.name, what) for about in properties() for what, _, _ in BORDERS if what != "slack" or about.model == "melt"}
    assert set(ROWS) == asked
    for what, side, inner in BORDERS:
        for row in (row for (_, of), row in ROWS.items() if of == what):
            assert (row["side"], row["inner_mol_pct"], row["status"]) == (side, inner, "fitted")


@pytest.mark.parametrize(
    ("name", "border"), [("expansion", BORDERS[0]), ("expansion", BORDERS[1]), ("glass_transition", BORDERS[2])]
)
def test_the_shipped_record_is_freshly_measured(name: str, border: tuple[str, str, float]) -> None:
    found, row = beyond(name, *border), ROWS[name, border[0]]
    assert (len(found.pairs.said), found.publications) == (row["pairs"], row["publications"])
    assert found.right_pct == pytest.approx(row["right_pct"], abs=0.06)


def test_no_fit_sees_what_lies_beyond_the_smaller_box_or_in_its_own_publication() -> None:
    sample = cleaned("expansion")
    out = share_of(sample, "Al2O3") > 0.12
    seen = []

    def spy(part):  # type: ignore[no-untyped-def]
        seen.append((share_of(part, "Al2O3").max(), set(part.group)))
        return fit_model(part)

    said = predict_unseen(sample, fit=spy, hidden=out)
    assert len(seen) == 5 and all(most <= 0.12 for most, _ in seen) and np.isfinite(said).all()
    everyone = set(sample.group)
    assert set().union(*(everyone - groups for _, groups in seen)) == everyone


def test_raw_begins_where_nearly_all_measured_glazes_hold_crystals() -> None:
    assert molten_limit() == pytest.approx(constant("melt_unmolten_log10_pa_s"), abs=0.05)
