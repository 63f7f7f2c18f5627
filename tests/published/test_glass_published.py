"""The glass models against the world outside: old cones, a standard glass, a magma model, a formula with a closed form."""

from __future__ import annotations

from collections.abc import Mapping
from math import log, log10, pi, sin

import pytest
from case_files import rows_of

import glazekit as gk
from glazekit.glass.composition import composition_of
from glazekit.glass.melt import melt_curve, viscosity_half_width
from glazekit.glass.properties import constant
from glazekit.glass.run import film_run_mm
from glazekit.ground.tables import read_table
from glazekit.sheets.footnotes import estimates_for

CONES = {int(row["cone"]): row for row in rows_of("seger_cones_1886")}
WORKED = rows_of("viscosity_worked")
CONSTANTS = {row["parameter"]: float(row["value"]) for row in rows_of("grd_2008")}
MOLAR_MASS = {"SiO2": 60.084, "Al2O3": 101.961, "MgO": 40.304, "CaO": 56.077, "Na2O": 61.979, "K2O": 94.196}


def mol_pct(amounts: Mapping[str, float]) -> dict[str, float]:
    total = sum(amounts.values())
    return {oxide: 100 * amount / total for oxide, amount in amounts.items()}


def cone_glass(cone: int) -> dict[str, float]:
    return mol_pct({oxide: float(CONES[cone][oxide]) for oxide in ("K2O", "CaO", "Fe2O3", "Al2O3", "SiO2")})


def worked_glass(row: Mapping[str, str]) -> dict[str, float]:
    words = row["composition_wt_pct"].split()
    wt_pct = dict(zip(words[::2], map(float, words[1::2]), strict=True))
    return mol_pct({oxide: share / MOLAR_MASS[oxide] for oxide, share in wt_pct.items()})


# -- Seger's cones ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("log10_pa_s", [3.5, 4, 5])
def test_cones_4_to_6_of_1886_need_more_and_more_heat_for_the_same_viscosity(log10_pa_s: float) -> None:
    needed = [gk.temp_of_viscosity(cone_glass(cone), log10_pa_s) for cone in (4, 5, 6)]
    temps = [one.value for one in needed]
    assert all(one.in_range for one in needed) and temps == sorted(temps) and len(set(temps)) == 3
    assert all(one.low < one.value < one.high for one in needed)


@pytest.mark.parametrize("cone", [7, 8, 9, 10])
def test_cones_7_to_10_are_refused_with_a_reason(cone: int) -> None:
    for answer in (gk.temp_of_viscosity(cone_glass(cone), 4), gk.viscosity(cone_glass(cone), 1250)):
        assert answer.value is answer.low is answer.high is None and not answer.in_range and len(answer.note) > 30


def test_the_bare_curves_of_cones_4_to_10_rise_too() -> None:
    temps = [melt_curve(composition_of(cone_glass(cone))).temp_c(4) for cone in range(4, 11)]
    assert temps == sorted(temps) and len(set(temps)) == 7


def bends_c(cone: int) -> float:
    """Where today's cone of that number bends at 60 °C an hour [°C]."""
    rows = read_table("cone_temperatures")
    return float(next(row["temp_c"] for row in rows if (row["cone"], row["rate_c_per_h"]) == (str(cone), 60)))


def test_the_border_of_raw_glazes_comes_from_cones_that_bend() -> None:
    """A cone that bends is no clear glass: the least of the cones 4 to 10, less its 90 % half width."""
    least = []
    for cone in range(4, 11):
        glass, temp_c = composition_of(cone_glass(cone)), bends_c(cone)
        least.append(melt_curve(glass).log10_pa_s(temp_c) - viscosity_half_width(glass, temp_c))
    assert constant("melt_raw_log10_pa_s") == pytest.approx(min(least), abs=0.01)


@pytest.mark.parametrize("cone", [3, 4, 5, 6])
def test_a_bending_cone_is_no_clear_glass(cone: int) -> None:
    told = gk.viscosity(cone_glass(cone), bends_c(cone))
    assert told.value is not None and not told.in_range and told.why[0] == "not_molten"
    assert "not_molten" not in gk.viscosity(cone_glass(cone), bends_c(cone) + 120).why


def test_recipes_of_the_course_at_their_own_cone_are_what_the_lessons_say() -> None:
    """Late Boat, made for cone 10, never melts through at cone 6; the other clears do at their own."""
    firing = [(0.0, 20.0), (11.0, 1222.0), (11.2, 1222.0), (22.0, 20.0)]
    late = gk.demo_recipe("Late Boat")
    run = gk.slope_run(late, firing, 0.2)
    assert gk.viscosity(late, bends_c(6)).why[0] == run.why[0] == "not_molten" and not run.in_range
    for told in estimates_for(late, gk.course_stock(), peak_c=bends_c(6)):
        assert told.why[0] == "not_molten" and not told.in_range
    for name, cone in (("Gangway Clear", 6), ("Gantry Clear", 10), ("Drizzle Rail", 10), ("Late Boat", 10)):
        assert gk.viscosity(gk.demo_recipe(name), bends_c(cone)).in_range, name
    assert gk.viscosity(gk.demo_recipe("Gantry Clear"), 1150).why[0] == "not_molten"


# -- a standard glass -------------------------------------------------------------------------------------------------------


def test_the_standard_glass_710_as_far_as_the_curve_is_remembered() -> None:
    """A comparison, not a proof: curve and composition are from memory. It has no alumina, so the box refuses it; the bare
    curve stays inside the model's own interval for 1 to 7, where the model was measured."""
    rows = [row for row in WORKED if row["what"] == "standard_710" and 1 <= float(row["log10_pa_s"]) <= 7]
    assert len(rows) >= 5 and {row["status"] for row in rows} == {"memory"}
    glass = worked_glass(rows[0])
    assert gk.viscosity(glass, 1200).value is None and "alumina" in gk.viscosity(glass, 1200).note
    curve = melt_curve(composition_of(glass))
    numbers = {
        row["parameter"]: row["value"]
        for row in read_table("property_intervals")
        if row["property"] == "viscosity" and row["kind"] == "absolute"
    }
    for row in rows:
        temp_c = float(row["temp_c"])
        steps = min(max((1200 - temp_c) / 100, numbers["steps_min"]), numbers["steps_max"])
        half = numbers["constant"] + numbers["per_100_k_colder"] * steps
        print(f"{temp_c:.0f} °C: remembered {row['log10_pa_s']}, model {curve.log10_pa_s(temp_c):.2f}")
        assert abs(curve.log10_pa_s(temp_c) - float(row["log10_pa_s"])) < half


# -- a published model of magmas --------------------------------------------------------------------------------------------


def magma_log10_pa_s(glass: Mapping[str, float], temp_c: float) -> float:
    """Giordano, Russell & Dingwell 2008 for a dry melt, from its published constants."""
    k = CONSTANTS
    x = {oxide: glass.get(oxide, 0.0) for oxide in ("SiO2", "TiO2", "Al2O3", "FeO", "MnO", "MgO", "CaO", "Na2O", "K2O", "P2O5")}
    fm, nk, ta, v = x["FeO"] + x["MnO"] + x["MgO"], x["Na2O"] + x["K2O"], x["TiO2"] + x["Al2O3"], 0.0
    b = (
        k["b1"] * (x["SiO2"] + x["TiO2"])
        + k["b2"] * x["Al2O3"]
        + k["b3"] * (x["FeO"] + x["MnO"] + x["P2O5"])
        + k["b4"] * x["MgO"]
        + k["b5"] * x["CaO"]
        + k["b6"] * (x["Na2O"] + v)
        + k["b7"] * (v + log(1 + v))
        + k["b11"] * (x["SiO2"] + x["TiO2"]) * fm
        + k["b12"] * (x["SiO2"] + ta + x["P2O5"]) * nk
        + k["b13"] * x["Al2O3"] * nk
    )
    c = (
        k["c1"] * x["SiO2"]
        + k["c2"] * ta
        + k["c3"] * fm
        + k["c4"] * x["CaO"]
        + k["c5"] * nk
        + k["c6"] * log(1 + v)
        + k["c11"] * (x["Al2O3"] + fm + x["CaO"] - x["P2O5"]) * (nk + v)
    )
    return k["A"] + b / (temp_c + 273.15 - c)


MAGMA = [row for row in WORKED if row["what"] == "grd_2008"]


@pytest.mark.parametrize("row", MAGMA, ids=lambda row: f"{row['glass'].split()[0]} {row['glass'].split()[1]} {row['temp_c']}")
def test_the_magma_model_here_gives_the_worked_values(row: Mapping[str, str]) -> None:
    """The cross-check is worth something only if it is the published model."""
    assert magma_log10_pa_s(worked_glass(row), float(row["temp_c"])) == pytest.approx(float(row["log10_pa_s"]), abs=0.002)


MAGMAS_WT_PCT = {  # round compositions of common lavas with the iron left out: what the magma model was made for
    "basalt": {"SiO2": 54, "Al2O3": 16, "MgO": 9, "CaO": 14, "Na2O": 5, "K2O": 2},
    "phonotephrite": {"SiO2": 53, "Al2O3": 17, "MgO": 6, "CaO": 13, "Na2O": 5, "K2O": 6},
    "andesite": {"SiO2": 61, "Al2O3": 16, "MgO": 6, "CaO": 10, "Na2O": 5, "K2O": 2},
    "trachyte": {"SiO2": 60, "Al2O3": 16, "MgO": 3, "CaO": 8, "Na2O": 6, "K2O": 7},
    "dacite": {"SiO2": 66, "Al2O3": 14, "MgO": 4, "CaO": 8, "Na2O": 5, "K2O": 3},
}


def test_both_models_agree_loosely_on_lavas() -> None:
    """Two models from different data, each wrong by about 0.3 to 0.5 on measured melts of this kind: on average they may differ
    by 0.5, and by 1 for a single melt."""
    gaps = []
    for wt_pct in MAGMAS_WT_PCT.values():
        glass = mol_pct({oxide: share / MOLAR_MASS[oxide] for oxide, share in wt_pct.items()})
        for temp_c in (1100, 1200, 1300):
            ours = gk.viscosity(glass, temp_c)
            assert ours.value is not None
            gaps.append(ours.value - magma_log10_pa_s(glass, temp_c))
    print(f"gap ours - magma model: mean {sum(gaps) / len(gaps):+.2f}, largest {max(map(abs, gaps)):.2f}")
    assert sum(map(abs, gaps)) / len(gaps) < 0.5 and max(map(abs, gaps)) < 1


def test_on_the_standard_glass_ours_is_nearer_than_the_magma_model() -> None:
    """A glass of the glass-maker's kind is outside what the magma model was made for; there it is one step too stiff."""
    rows = [row for row in WORKED if row["what"] == "standard_710" and 1 <= float(row["log10_pa_s"]) <= 5]
    glass = worked_glass(rows[0])
    curve = melt_curve(composition_of(glass))
    for row in rows:
        temp_c, remembered = float(row["temp_c"]), float(row["log10_pa_s"])
        assert abs(curve.log10_pa_s(temp_c) - remembered) < abs(magma_log10_pa_s(glass, temp_c) - remembered)


# -- the thin film ----------------------------------------------------------------------------------------------------------

GLASS = composition_of({"SiO2": 64, "Al2O3": 8, "B2O3": 5, "Na2O": 4, "K2O": 3, "CaO": 16})


@pytest.mark.parametrize("row", rows_of("course_melts"), ids=lambda row: row["glaze"])
def test_eleven_glazes_melt_and_run_as_separate_code_found(row: Mapping[str, str]) -> None:
    """Refitting the coefficients moves log10(viscosity) by 0.05 on average, at most by about 0.26; so may these."""
    words = row["unity_formula"].split()
    moles = dict(zip(words[::2], map(float, words[1::2]), strict=True))
    glass, peak_c = composition_of(mol_pct(moles)), float(row["peak_c"])
    curve = melt_curve(glass)
    assert curve.log10_pa_s(peak_c) == pytest.approx(float(row["log10_pa_s"]), abs=0.26)
    assert curve.temp_c(4) == pytest.approx(float(row["temp_c_at_log10_4"]), abs=25)
    up_h, down_h = (peak_c - 20) / 100, (peak_c - 20) / 150
    firing = [(0, 20), (up_h, peak_c), (up_h + 0.2, peak_c), (up_h + 0.2 + down_h, 20)]
    assert log10(film_run_mm(glass, firing, 0.5, 45)) == pytest.approx(log10(float(row["run_mm"])), abs=0.26)


@pytest.mark.parametrize(("coat_mm", "angle_deg", "minutes"), [(0.5, 45, 12), (1.0, 90, 60), (0.3, 10, 5)])
def test_a_film_of_constant_viscosity_runs_as_the_closed_form_says(coat_mm: float, angle_deg: float, minutes: float) -> None:
    """x = rho g h^2 sin(theta) t / (3 eta), with rho 2500 kg/m3 and g 9.80665 m/s2, at one temperature all the time."""
    eta = 10 ** melt_curve(GLASS).log10_pa_s(1222)
    closed_m = 2500 * 9.80665 * (coat_mm / 1000) ** 2 * sin(angle_deg * pi / 180) * minutes * 60 / (3 * eta)
    hold = [(0.0, 1222.0), (minutes / 60, 1222.0)]
    assert film_run_mm(GLASS, hold, coat_mm, angle_deg) == pytest.approx(1000 * closed_m, rel=1e-9)


def test_a_ramp_agrees_with_a_fine_sum_of_short_holds() -> None:
    """The integral over a ramp against the same run added up second by second."""
    curve = melt_curve(GLASS)
    seconds = 4 * 3600
    temps = [700 + 600 * (second + 0.5) / seconds for second in range(seconds)]
    summed_m = sum(2500 * 9.80665 * 0.0005**2 * sin(pi / 4) / (3 * 10 ** curve.log10_pa_s(temp)) for temp in temps)
    assert film_run_mm(GLASS, [(0, 700), (4, 1300)], 0.5, 45) == pytest.approx(1000 * summed_m, rel=1e-4)


def test_the_soak_alone_is_a_trap() -> None:
    """Most of the run happens on the way up and down, as a fine sum over the whole firing shows too."""
    whole = [(0, 20), (12.02, 1222), (12.22, 1222), (20.23, 20)]
    soak = [(0, 1222), (0.2, 1222)]
    assert film_run_mm(GLASS, soak, 0.5, 45) < 0.5 * film_run_mm(GLASS, whole, 0.5, 45)
