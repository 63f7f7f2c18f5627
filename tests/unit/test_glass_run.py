"""Running: classes, not millimetres; the whole firing; the reference tile."""

from __future__ import annotations

import csv
from dataclasses import fields

import pytest

import glazekit as gk
from glazekit.glass.composition import composition_of
from glazekit.glass.run import film_run_mm, run_class
from glazekit.ground.estimate import RUN_CLASSES, RunClass
from glazekit.ground.tables import data_dir

CLEAR = {"SiO2": 64.0, "Al2O3": 8.0, "B2O3": 5.0, "Na2O": 4.0, "K2O": 3.0, "CaO": 16.0}
RUNNY = {"SiO2": 58.0, "Al2O3": 5.0, "B2O3": 10.0, "Na2O": 7.0, "K2O": 3.0, "CaO": 17.0}
NEAR = CLEAR | {"Na2O": 4.5, "CaO": 15.5}
FIRING = [(0.0, 20.0), (12.0, 1222.0), (12.2, 1222.0), (20.2, 20.0)]


def run_mm(glass: dict[str, float], coat_mm: float = 0.5, angle_deg: float = 45, firing: object = FIRING) -> float:
    return film_run_mm(composition_of(glass), firing, coat_mm, angle_deg)  # type: ignore[arg-type]


def test_twice_the_thickness_runs_four_times_as_far_and_the_sine_counts() -> None:
    assert run_mm(CLEAR, coat_mm=0.6) == pytest.approx(4 * run_mm(CLEAR, coat_mm=0.3))
    assert run_mm(CLEAR, angle_deg=30) == pytest.approx(0.5 * run_mm(CLEAR, angle_deg=90))
    assert run_mm(CLEAR, angle_deg=0) == 0


def test_cutting_a_firing_into_pieces_changes_nothing() -> None:
    in_pieces = [
        (0.0, 20.0),
        (6.0, 621.0),
        (9.0, 921.5),
        (12.0, 1222.0),
        (12.1, 1222.0),
        (12.2, 1222.0),
        (16.2, 621.0),
        (20.2, 20.0),
    ]
    assert run_mm(CLEAR, firing=in_pieces) == pytest.approx(run_mm(CLEAR), rel=1e-3)


def test_heating_and_cooling_both_count() -> None:
    up, soak, down = FIRING[:2], FIRING[1:3], FIRING[2:]
    parts = [run_mm(CLEAR, firing=part) for part in (up, soak, down)]
    assert all(part > 0 for part in parts) and sum(parts) == pytest.approx(run_mm(CLEAR))
    assert parts[1] < parts[0] + parts[2]


def test_a_firing_that_never_melts_it_leaves_it_where_it_is() -> None:
    answer = gk.slope_run(CLEAR, [(0, 20), (5, 590), (9, 20)], 0.5)
    assert run_mm(CLEAR, firing=[(0, 20), (5, 590), (9, 20)]) == 0
    assert answer.name == "" and not answer.in_range and answer.why[0] == "outside_not_molten"


def test_class_bounds_stand_in_the_table() -> None:
    with (data_dir() / "glass_constants.csv").open(encoding="utf-8", newline="") as stream:
        value = {row["constant"]: float(row["value"]) for row in csv.DictReader(stream)}
    bounds = [value["run_moves_mm"], value["run_runs_mm"], value["run_off_mm"]]
    for low, bound, high in zip(RUN_CLASSES, bounds, RUN_CLASSES[1:], strict=False):
        assert run_class(bound * 0.999) == low and run_class(bound) == high


def test_the_class_at_both_ends_of_the_interval_stands_beside_it() -> None:
    answer = gk.slope_run(CLEAR, FIRING, 0.5)
    order = {name: at for at, name in enumerate(RUN_CLASSES)}
    assert order[answer.low_name] <= order[answer.name] <= order[answer.high_name]
    assert answer.low_name != answer.high_name, "a band this wide spans more than one class"
    at_peak, colder = gk.viscosity(CLEAR, 1222).half_width, gk.viscosity(CLEAR, 1072).half_width
    slower = 4**0.5  # stable glazes run up to four times less than a film, so the stiff end alone reaches lower
    assert 10**at_peak * slower < answer.factor_band < 10**colder * slower, "part of the run happens below the peak"
    least_mm = run_mm(CLEAR) / 10**colder / 4
    assert order[answer.low_name] <= order[run_class(run_mm(CLEAR) / 4)] and least_mm < 2


def test_no_millimetres_leave_the_room() -> None:
    assert not [field.name for field in fields(RunClass) if "mm" in field.name]


def test_the_ratio_to_the_reference_tile_has_its_own_narrower_interval() -> None:
    answer = gk.slope_run(NEAR, FIRING, 0.5, reference=CLEAR)
    low, ratio, high = answer.ratio
    assert ratio == pytest.approx(run_mm(NEAR) / run_mm(CLEAR)) and low < ratio < high
    assert high / ratio == pytest.approx(ratio / low) and high / ratio < answer.factor_band
    change = gk.viscosity(NEAR, 1222, reference=CLEAR).change
    assert high / ratio == pytest.approx(10 ** (change.high - change.value))


def test_a_glaze_against_itself_runs_just_as_far() -> None:
    assert gk.slope_run(CLEAR, FIRING, 0.5, reference=CLEAR).ratio == pytest.approx((1, 1, 1))


def test_past_half_the_glazed_length_there_is_no_ratio() -> None:
    far = gk.slope_run(RUNNY, FIRING, 0.8, reference=CLEAR)
    assert run_mm(RUNNY, 0.8) > 50 and far.name == "runs off" and far.ratio is None and "glazed length" in far.note
    assert far.in_range, "it runs off whatever the thinning coat does"
    short = gk.slope_run(CLEAR, FIRING, 0.8, length_mm=30)
    assert not short.in_range and "too high" in short.note


def test_what_the_viscosity_does_not_know_has_no_class() -> None:
    stiff = {"SiO2": 76.0, "Al2O3": 12.0, "Na2O": 8.0, "CaO": 4.0}
    answer = gk.slope_run(stiff, FIRING, 0.5, reference=CLEAR)
    assert answer.name == answer.low_name == answer.high_name == "" and answer.ratio is None and not answer.in_range
    assert answer.note == gk.viscosity(stiff, 1222).note != ""
    against = gk.slope_run(CLEAR, FIRING, 0.5, reference=stiff)
    assert against.name and against.ratio is None and "no comparison" in against.note
    assert gk.slope_run(CLEAR, [(0, 20), (9, 1450)], 0.5).name == "", "hotter than the measurements"


def test_what_the_fired_glaze_shows_greys_the_class() -> None:
    assert not gk.slope_run(CLEAR, FIRING, 0.5, seen=["matte"]).in_range and gk.slope_run(CLEAR, FIRING, 0.5).in_range


@pytest.mark.parametrize(
    ("firing", "said"),
    [
        ([], "two points"),
        ([(0, 20)], "two points"),
        ([(0, 20), (5, 1200), (4, 20)], "back in time"),
        ([(0, 20), (5, 2200)], "1500"),
        ([(0, 20), (float("nan"), 1200)], "time"),
        ([(0, 20), (5, float("inf"))], "temperature"),
    ],
)
def test_a_firing_that_cannot_be(firing: list[tuple[float, float]], said: str) -> None:
    with pytest.raises(gk.GlazekitError, match=said):
        gk.slope_run(CLEAR, firing, 0.5)


@pytest.mark.parametrize(
    "wrong", [{"coat_mm": 0}, {"coat_mm": 50}, {"angle_deg": 120}, {"length_mm": 0}, {"coat_mm": float("nan")}]
)
def test_a_slope_that_cannot_be(wrong: dict[str, float]) -> None:
    with pytest.raises(gk.GlazekitError, match=r"coat|angle|length"):
        gk.slope_run(CLEAR, FIRING, **({"coat_mm": 0.5} | wrong))


@pytest.mark.parametrize(
    ("name", "least", "most"), [("coat_mm", 0.05, 5.0), ("angle_deg", 0.0, 90.0), ("length_mm", 10.0, 1000.0)]
)
def test_a_slope_may_be_as_its_limits_say_and_no_more(name: str, least: float, most: float) -> None:
    for inside in (least, most):
        assert gk.slope_run(CLEAR, FIRING, **({"coat_mm": 0.5} | {name: inside})).name in RUN_CLASSES
    for outside in (least - 0.001, most + 0.001):
        with pytest.raises(gk.GlazekitError):
            gk.slope_run(CLEAR, FIRING, **({"coat_mm": 0.5} | {name: outside}))
