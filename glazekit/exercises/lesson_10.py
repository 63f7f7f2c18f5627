"""Lesson 10, melt and running: hours of a schedule, thickness and slope, and two cures with their price."""

from collections.abc import Mapping
from math import radians, sin

from glazekit.chemistry.unity import oxide_moles, unity_formula
from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, counted, masses, on_top, one_box, powder, shown
from glazekit.glass.properties import constant
from glazekit.glass.run import film_speed_mm_s
from glazekit.ground.numbers import ROOM_C, show_number
from glazekit.kiln.schedule import Hold, Ramp, Schedule
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Recipe

RULES = Rules()


@RULES.add(
    "10.1",
    first_rate=Steps(60, 110, 10, course=100),
    second_rate=Steps(120, 200, 10, course=150),
    last_rate=Steps(50, 90, 10, course=60),
    peak_c=Steps(1210, 1240, 2, course=1222),
    hold_min=Steps(10, 25, 5, course=10),
)
def _hours(n: Numbers) -> Solution:
    """Three ramps and a hold, added up."""
    ramps = (Ramp(600.0, n["first_rate"]), Ramp(1120.0, n["second_rate"]), Ramp(n["peak_c"], n["last_rate"]))
    schedule = Schedule([*ramps, Hold(n["hold_min"])])
    first_h, second_h, last_h, hold_h = (leg.hours for leg in schedule.legs())
    wrong = {
        "hold_forgotten": schedule.hours - hold_h,
        "from_zero": schedule.hours + 600 / n["first_rate"] - first_h,
        "hold_in_hours": schedule.hours - hold_h + n["hold_min"],
        "one_rate": (n["peak_c"] - ROOM_C) / n["first_rate"] + hold_h,
    }
    words = shown(2, first_h=first_h, second_h=second_h, last_h=last_h, hold_h=hold_h)
    climbs = {"first_climb": 600 - ROOM_C, "last_climb": n["peak_c"] - 1120}
    return one_box("hours", schedule.hours, wrong, words | climbs)


@RULES.add(
    "10.2",
    thin_mm=Steps(0.3, 0.8, 0.1, course=0.6),
    thick_mm=Steps(0.5, 1.4, 0.1, course=0.9),
    keep=lambda n: 1.3 <= n["thick_mm"] / n["thin_mm"] <= 2.5,
)
def _thicker(n: Numbers) -> Solution:
    """Speed of a film goes with the square of its thickness."""
    times = n["thick_mm"] / n["thin_mm"]
    wrong = {"in_step": times, "cubed": times**3, "doubled": 2 * times, "upside_down": 1 / times**2}
    return one_box("times", times**2, wrong, {"ratio": round(times, 4)})


@RULES.add("10.3", angle_deg=Steps(30, 45, 15, course=45), ran_mm=Steps(6, 24, 1, course=10))
def _steeper(n: Numbers) -> Solution:
    """Speed goes with the pull along the slope, the sine of its angle."""
    angle, ran_mm = n["angle_deg"], n["ran_mm"]
    pull = sin(radians(angle))
    wrong = {"by_angle": ran_mm * 90 / angle, "upside_down": ran_mm * pull, "unchanged": ran_mm}
    return one_box("run_mm", ran_mm / pull, wrong, shown(2, pull=pull))


@RULES.add("10.5", kaolin_g=Steps(7, 20, 1, course=10))
def _clay_cure(n: Numbers) -> Solution:
    """Kaolin on top of 100 g of Overboard; it brings silica as well as alumina."""
    kaolin_g, written = n["kaolin_g"], demo_recipe("Overboard")
    before, own = counted(written.to_100()), oxide_moles(Recipe("clay", {"kaolin": kaolin_g}))
    cured = unity_formula(on_top(written.to_100(), "kaolin", kaolin_g))
    flux_mol, alumina_mol, silica_mol = before["flux"], before["Al2O3"], before["SiO2"]
    return Solution(
        right={"alumina": cured["Al2O3"], "silica": cured["SiO2"]},
        wrong={
            "as_written": {"alumina": unity_formula(on_top(written, "kaolin", kaolin_g))["Al2O3"]},
            "silica_forgotten": {"silica": silica_mol / flux_mol},
            "one_to_one": {"silica": (silica_mol + own["Al2O3"]) / flux_mol},
            "not_divided": {"alumina": alumina_mol + own["Al2O3"], "silica": silica_mol + own["SiO2"]},
        },
        words=shown(4, flux_mol=flux_mol, alumina_mol=alumina_mol, silica_mol=silica_mol, kaolin_mol=own["Al2O3"])
        | shown(1, ratio_was=silica_mol / alumina_mol, ratio=cured.silica_to_alumina_mol or 0.0)
        | masses(kaolin="kaolin"),
    )


@RULES.add("10.6", frit_g=Steps(20, 30, 1, course=25))
def _frit_cure(n: Numbers) -> Solution:
    """Frit on top of 100 g of Late Boat; it brings boron, and fluxes too."""
    frit_g, name, glaze = n["frit_g"], "calcium borosilicate frit", demo_recipe("Late Boat").to_100()
    before, own, cured = counted(glaze), counted(Recipe("frit", {name: frit_g})), unity_formula(on_top(glaze, name, frit_g))
    boron_mass, flux_mol = OXIDES["B2O3"].molar_mass_g_mol, before["flux"] + own["flux"]
    return Solution(
        right={"boron": cured["B2O3"], "alkali_pct": 100 * cured.alkali_share},
        wrong={
            "old_flux": {"boron": own["B2O3"] / before["flux"]},
            "all_boron": {"boron": frit_g / boron_mass / flux_mol},
            "not_divided": {"boron": own["B2O3"]},
            "share_unchanged": {"alkali_pct": 100 * before["K2O"] / before["flux"]},
            "the_rest": {"alkali_pct": 100 - 100 * cured.alkali_share},
        },
        words=shown(4, boron_mol=own["B2O3"], flux_was=before["flux"], flux_frit=own["flux"])
        | shown(4, alkali_was=before["K2O"], alkali_frit=own["Na2O"] + own["K2O"])
        | shown(2, boron_mass=boron_mass)
        | shown(0, boron_wt_pct=powder(name).oxide_wt_pct["B2O3"]),
    )


def home_figures() -> Mapping[str, str]:
    """Honey on a slope."""
    speeds = [film_speed_mm_s(constant("kitchen_honey_log10_pa_s"), sticks, 30) for sticks in (1, 2)]  # honey cancels out
    return {"times": show_number(speeds[1] / speeds[0], 0)}
