"""Numbers and events that the texts of lesson 10 tell are those the package computes: nothing is typed twice unchecked."""

import re
from math import radians, sin

import pytest
from told import block, numbers, sentence
from wording import text_of

import glazekit as gk
from glazekit.exercises.bank import exercise, prediction
from glazekit.glass.composition import composition_of
from glazekit.glass.domain import reasons_for
from glazekit.glass.melt import viscosity
from glazekit.glass.run import slope_run
from glazekit.glass.sums import expansion
from glazekit.ground.numbers import ROOM_C
from glazekit.kiln.cones import cone_temperatures
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.lab.parts.firing_plan import changed, cooled

NAME = "10_melt_and_running"
PLAN = schedule_from_text(text_of("parts.firing_plan.class_firing"))
OVERBOARD, LATE_BOAT = gk.demo_recipe("Overboard").to_100(), gk.demo_recipe("Late Boat")


def with_line(recipe, name, grams):
    return gk.Recipe("changed", [*recipe.base, gk.Line(name, grams)])


def viscosity_of(recipe, temp_c=PLAN.peak_c):
    return viscosity(recipe, temp_c).value


def test_silica_is_called_slow_to_melt_and_not_the_slowest():
    """Quartz turns liquid near 1713 °C as cristobalite, alumina near 2054 °C; and alumina in silica's place stiffens the melt."""
    glass = {"SiO2": 72.0, "Al2O3": 8.0, "CaO": 14.0, "K2O": 6.0}
    with_alumina = viscosity(glass | {"SiO2": 70.0, "Al2O3": 10.0}, PLAN.peak_c).value
    assert with_alumina > viscosity(glass, PLAN.peak_c).value > viscosity(glass | {"SiO2": 70.0, "CaO": 16.0}, PLAN.peak_c).value
    told_of_silica = [text_of("lesson_06.panel.chart_map.more_silica"), prediction("6f").reply("stiff")]
    told_of_silica.append(block("06_silica_and_alumina_chart", "more-silica-same-heat"))
    assert all("melt" in told and "slowest" not in told for told in told_of_silica)


def test_the_cone_table_of_10_4_is_the_one_on_record_with_its_rates():
    rows = {row.rate_c_per_h: row.temp_c for row in cone_temperatures("6")}
    said = exercise("10.4").text
    fast, middle, slow = (f"{number:g}" for number in (rows[150], rows[60], rows[15]))
    assert numbers(sentence(said, "table")) == ["6", fast, "100", "150", middle, "60", slow, "15"]
    display = float(numbers(sentence(said, "display"))[0])
    assert rows[15] < display < rows[150], "the question turns on the rate"
    rate, reads, row = map(float, numbers(exercise("10.4").twin))
    assert row == rows[rate] < reads and rate == 15


def test_the_peak_of_the_class_firing_is_cone_6_at_its_last_rate():
    (row,) = (row for row in cone_temperatures("6") if row.rate_c_per_h == PLAN.last_heating_rate_c_per_h)
    assert row.temp_c == PLAN.peak_c and row.status == "seen"
    assert numbers(text_of("lesson_06.panel.chart_map.class_peak")) == ["6", "100", f"{row.rate_c_per_h:g}"]


def test_the_pulls_of_10_3_are_sines():
    pulls = re.findall(
        r"([01](?:\.\d+)?)(?: at)? (?:at )?(\d+)(?: degrees)?", exercise("10.3").text.split("pull along a slope is")[1]
    )
    assert [(float(pull), int(angle)) for pull, angle in pulls] == [
        (pytest.approx(sin(radians(a)), abs=0.005), a) for a in (30, 45, 60)
    ]


def test_the_plan_of_10_1_starts_in_this_courses_room():
    one = exercise("10.1")
    room, first_top, second_top = map(float, numbers(one.text))
    assert room == ROOM_C and numbers(one.first_step) == [f"{first_top:g}", f"{ROOM_C:g}"]
    second_climb, minutes_an_hour = map(float, numbers(re.sub(r"\{.*?\}", "", one.twin)))
    assert second_climb == second_top - first_top and minutes_an_hour == 60


def test_the_two_tiles_of_the_story():
    fluid, dry = gk.unity_formula(OVERBOARD), gk.unity_formula(LATE_BOAT)
    said = block(NAME, "what-you-saw")
    first, second = sentence(said, "Overboard has"), sentence(said, "Late Boat has")
    assert numbers(first) == [f"{fluid['SiO2']:.2f}", f"{fluid['Al2O3']:.2f}"] and "and boron" in first
    class_cone = str(gk.demo_recipe("Overboard").cone)
    assert numbers(second) == [f"{dry['SiO2']:.2f}", f"{dry['Al2O3']:.2f}", class_cone] and "no boron" in second
    assert fluid["B2O3"] > 0.2 and dry["B2O3"] == 0
    assert viscosity_of(LATE_BOAT) - viscosity_of(OVERBOARD) > 2


def test_what_the_story_breaks():
    said = block(NAME, "break-it")
    reasons = reasons_for(composition_of(gk.demo_recipe("Mooring White"))).outside
    assert sentence(said, "more alumina") == sentence(said, "less flux")
    assert any(one.key == "outside_Al2O3_more" for one in reasons)
    assert any(one.key == "outside_R2O+RO_less" for one in reasons)
    (coat,) = map(float, numbers(sentence(said, "the coat")))
    thin, usual = (slope_run(OVERBOARD, cooled(PLAN.curve()), mm) for mm in (coat, 0.3))
    assert thin.name != usual.name and thin.low_name != thin.high_name


def test_frit_opens_the_late_boat_and_quartz_does_not():
    assert sentence(exercise("10.6").right_text, "More quartz") == sentence(exercise("10.6").right_text, "stiffer")
    frit, quartz = (viscosity_of(with_line(LATE_BOAT, name, 25)) for name in ("calcium borosilicate frit", "quartz"))
    assert frit < viscosity_of(LATE_BOAT) < quartz


def test_kaolin_stiffens_and_moves_ratio_and_fit_as_well():
    cured = with_line(OVERBOARD, "kaolin", 10)
    assert viscosity_of(cured) > viscosity_of(OVERBOARD)
    before, after = gk.unity_formula(OVERBOARD), gk.unity_formula(cured)
    assert after.silica_to_alumina_mol < before.silica_to_alumina_mol
    assert expansion(cured).value != pytest.approx(expansion(OVERBOARD).value, abs=0.05), "its fit moves, as 10d says"
    told = prediction("10d").reply("run").casefold()
    assert {"gloss", "cracks"} <= set(re.findall("[a-z]+", told))


def test_the_guess_about_two_firings_is_about_the_classs_own_peak():
    assert numbers(prediction("10a").text)[:2] == [f"{PLAN.peak_c:g}", f"{PLAN.last_heating_rate_c_per_h:g}"]
    on_the_tray = numbers(text_of("lesson_10.panel.slope_tray.class_firing"))
    assert on_the_tray == [f"{PLAN.peak_c:g}", f"{PLAN.steps[-1].minutes:g}"]


@pytest.mark.parametrize("name", ["Overboard", "Gangway Clear", "Late Boat"])
def test_leaving_the_hold_out_hardly_helps_and_twenty_degrees_do_more(name):
    """What the page says of the trap: class the same, and a lower peak stiffens more than the hold is worth."""
    from glazekit.glass.run import film_run_mm

    glass = composition_of(gk.demo_recipe(name))
    run, no_hold, cooler = (
        film_run_mm(glass, cooled(plan.curve()), 0.3, 45)
        for plan in (PLAN, changed(PLAN, hold_min=0.0), changed(PLAN, peak_by_c=-20.0))
    )
    assert cooler < no_hold < run and no_hold > 0.8 * run
    assert (
        slope_run(gk.demo_recipe(name), cooled(PLAN.curve()), 0.3).name
        == slope_run(gk.demo_recipe(name), cooled(changed(PLAN, hold_min=0.0).curve()), 0.3).name
    )
