"""What must hold for every batch and every slip."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from glazekit.ground.errors import GlazekitError
from glazekit.materials.stock import course_stock
from glazekit.recipe.batch import batch_sheet
from glazekit.recipe.recipe import Recipe
from glazekit.recipe.weighing import check_weighings, over_poured
from glazekit.water.bucket import bucket_correction
from glazekit.water.slip import (
    batch_volume_ml,
    dry_g_for_volume,
    dry_g_from_weighing,
    slip_density_g_ml,
    water_density_g_ml,
    water_ml_per_100g_from_density,
)

POWDERS = [material.name for material in course_stock() if not material.liquid]
AMOUNTS = st.floats(0, 1000).map(lambda amount: round(amount, 3))
LINES = st.lists(st.tuples(st.sampled_from(POWDERS), AMOUNTS), min_size=1, max_size=12)
DIVISIONS = st.sampled_from([0.001, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 50])
BASES = st.floats(1, 100_000).map(lambda mass: round(mass, 3))


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    base = draw(LINES.filter(lambda lines: sum(amount for _, amount in lines) > 0.01))
    return Recipe("any", base, draw(st.one_of(st.just([]), LINES)), draw(st.sampled_from(["parts", "percent_of_base"])))


@given(recipes(), BASES, DIVISIONS)
def test_the_base_sums_to_what_was_asked(recipe: Recipe, base_g: float, division_g: float) -> None:
    sheet = batch_sheet(recipe, base_g, division_g)
    asked = round(base_g / division_g) * division_g
    assert sheet.base_total_g == pytest.approx(base_g, abs=division_g * 0.5001)
    if abs(asked - base_g) < 1e-9:
        assert sheet.base_total_g == pytest.approx(base_g, abs=1e-7)
    else:
        assert any(warning.startswith(f"{base_g:.10g} g") for warning in sheet.warnings)


@given(recipes(), BASES, DIVISIONS)
def test_every_line_is_whole_divisions_inside_its_band(recipe: Recipe, base_g: float, division_g: float) -> None:
    for line in batch_sheet(recipe, base_g, division_g).lines:
        assert line.target_g / division_g == pytest.approx(round(line.target_g / division_g), abs=1e-5)
        assert 0 <= line.low_g <= line.target_g <= line.high_g
        assert line.high_g - line.target_g >= division_g / 2 - 1e-8


@given(recipes(), BASES, DIVISIONS)
def test_nothing_vanishes_silently(recipe: Recipe, base_g: float, division_g: float) -> None:
    sheet = batch_sheet(recipe, base_g, division_g)
    assert [line.material for line in sheet.lines] == [line.material for line in recipe.base + recipe.additions]
    lost = [line for line in sheet.lines if line.target_g == 0]
    for line in lost:
        assert any(warning.startswith(line.label) for warning in sheet.warnings)


@given(recipes(), st.floats(10, 10_000).map(round), st.floats(0.01, 100))
def test_how_a_recipe_is_written_does_not_change_the_batch(recipe: Recipe, base_g: int, factor: float) -> None:
    one, two = batch_sheet(recipe, base_g), batch_sheet(recipe.scaled(factor), base_g)
    for a, b in zip(one.lines, two.lines, strict=True):
        assert a.exact_g == pytest.approx(b.exact_g, rel=1e-9, abs=1e-9)


@given(recipes(), st.floats(10, 10_000).map(round), st.randoms())
def test_weighing_the_targets_is_done_in_any_order(recipe: Recipe, base_g: int, random: object) -> None:
    sheet = batch_sheet(recipe, base_g)
    readings = list(enumerate(line.target_g for line in sheet.lines))
    random.shuffle(readings)  # type: ignore[attr-defined]
    check = check_weighings(sheet, dict(readings))
    assert check.done
    assert check.running_total_g == pytest.approx(sheet.total_g)
    base_g = sum(line.reading_g for line in check.lines if line.line.part == "base")
    assert base_g == pytest.approx(sheet.base_total_g)


@given(recipes(), st.floats(50, 5000).map(round), st.data())
def test_a_rescue_makes_room_for_everything_in_the_cup(recipe: Recipe, base_g: int, data: st.DataObject) -> None:
    sheet = batch_sheet(recipe, base_g, 0.1)
    fine = [i for i, line in enumerate(sheet.lines) if line.exact_g > 5]
    assume(fine)
    weighed = data.draw(st.lists(st.sampled_from(fine), min_size=1, unique=True))
    readings = {i: round(sheet.lines[i].target_g * data.draw(st.floats(0.5, 2)), 1) for i in weighed}
    rescue = over_poured(sheet, readings)
    growth = rescue.sheet.base_g / sheet.base_g
    assert growth >= 1
    for still, old in zip(rescue.lines, sheet.lines, strict=True):
        assert still.in_cup_g <= still.line.high_g + 1e-6, "what is in the cup fits the new sheet"
        assert still.line.exact_g == pytest.approx(old.exact_g * growth), "in the same proportions"
        assert still.add_g >= 0
        assert still.in_cup_g + still.add_g == pytest.approx(still.line.target_g, abs=still.line.high_g - still.line.low_g)


POWDER_DENSITIES = st.floats(2.0, 4.5)
WATERS = st.floats(5, 1000)
TEMPERATURES = st.one_of(st.none(), st.floats(0, 40))


@given(WATERS, POWDER_DENSITIES, TEMPERATURES)
def test_density_and_back(water_ml: float, powder: float, temp_c: float | None) -> None:
    density = slip_density_g_ml(water_ml, powder, temp_c)
    assert water_ml_per_100g_from_density(density, powder, temp_c) == pytest.approx(water_ml)


@given(WATERS, POWDER_DENSITIES, st.floats(1, 50_000))
def test_a_whole_batch_weighed_gives_its_powder_back(water_ml: float, powder: float, dry_g: float) -> None:
    volume_ml = batch_volume_ml(dry_g, water_ml, powder)
    slip_g = dry_g * (1 + water_ml / 100)
    assert slip_g / volume_ml == pytest.approx(slip_density_g_ml(water_ml, powder))
    assert dry_g_from_weighing(slip_g, volume_ml, powder) == pytest.approx(dry_g)
    assert dry_g_for_volume(volume_ml, water_ml, powder) == pytest.approx(dry_g)


@given(st.floats(1.05, 2.2), st.floats(1.05, 2.2), st.floats(100, 50_000), TEMPERATURES)
def test_a_corrected_bucket_has_its_density(now: float, then: float, bucket_ml: float, temp_c: float | None) -> None:
    found = bucket_correction(now, then, bucket_ml, water_temp_c=temp_c)
    if found.action == "leave it":
        assert abs(now - then) < 0.006
        return
    water = 1.0 if temp_c is None else water_density_g_ml(temp_c)
    mass_g, volume_ml = now * bucket_ml + found.water_ml * water, bucket_ml + found.water_ml
    assert mass_g / volume_ml == pytest.approx(then)
    if found.recipe_g:
        assert (now * bucket_ml + found.recipe_g) / (bucket_ml + found.recipe_g / 2.6) == pytest.approx(then)


@given(st.floats(allow_nan=True, allow_infinity=True), st.floats(allow_nan=True, allow_infinity=True))
def test_any_two_numbers_give_a_slip_or_a_sentence(first: float, second: float) -> None:
    for reckon in (slip_density_g_ml, water_ml_per_100g_from_density, dry_g_from_weighing, batch_volume_ml):
        try:
            assert reckon(first, second) >= 0
        except GlazekitError as problem:
            assert str(problem)
