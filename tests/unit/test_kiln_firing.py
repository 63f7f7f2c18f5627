"""Readings, firings and their entry in the book: as people note them, nothing dropped, nothing promoted."""

from __future__ import annotations

import pytest
from wording import numbers_in, text_of

from glazekit.folder.book import Book
from glazekit.ground.errors import BookError, GlazekitError
from glazekit.kiln.firing import ATMOSPHERES, Firing, FiringError, WitnessCone, blocked_in, compare_with_plan
from glazekit.kiln.heat_work import heat_work
from glazekit.kiln.readings import Reading, doubts_of, good_readings, long_gaps, readings_from_text
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.recipe.reading import demo_recipe, demo_recipes

PLAN = schedule_from_text("100/h to 620; 200/h to 1220; hold 30 min")
"""6 h to 620, 3 h more to 1220, half an hour there."""


def pairs(text: str, **how: object) -> list[tuple[float, float | None]]:
    return [(round(one.hours, 4), one.temp_c) for one in readings_from_text(text, **how)]  # type: ignore[arg-type]


class TestReadings:
    @pytest.mark.parametrize(
        "line",
        [
            "90 165",
            "90 min 165 °C",
            "90m; 165",
            "1:30 165",
            "1:30 h, 165C",
            "1.5 h 165",
            "1,5 h; 165,0",
            "1 h 30 165",
            "1h30min 165",
        ],
    )
    def test_one_moment_in_many_hands(self, line: str) -> None:
        assert pairs(line) == [(1.5, 165)]

    @pytest.mark.parametrize(("line", "meant"), [("1 h 45", (1, 45)), ("1 h 45 ?", (1.75, None))])
    def test_minutes_without_a_unit_need_a_temperature_behind_them(self, line: str, meant: tuple) -> None:
        assert pairs(line) == [meant]

    @pytest.mark.parametrize("missing", ["2:00", "2:00 ?", "2:00 -", "120 not read", "2 h, none"])
    def test_a_missing_reading_is_kept(self, missing: str) -> None:
        assert pairs(f"0 20\n{missing}\n180 300") == [(0, 20), (2, None), (3, 300)]

    def test_hours_may_be_bare(self) -> None:
        log = "0 20\n1,5 165"
        assert pairs(log, bare="h") == [(0, 20), (1.5, 165)]

    def test_times_of_the_day_pass_midnight(self) -> None:
        log = "21:30 18\n23:45 200\n0:15 250\n12:00 900"
        assert pairs(log, clock=True) == [(0, 18), (2.25, 200), (2.75, 250), (14.5, 900)]

    @pytest.mark.parametrize(
        ("table", "meant"),
        [
            ("minutes;temp_c\n0;20\n30;62,5\n60;", [(0, 20), (0.5, 62.5), (1, None)]),
            ("temp_c,hours\n20,0\n165,1.5", [(0, 20), (1.5, 165)]),
            ("clock\ttemp_c\n23:00\t20\n01:00\t200", [(0, 20), (2, 200)]),
            ("time,temp_c\n0:00,20\n1 h 30 min,165", [(0, 20), (1.5, 165)]),
        ],
    )
    def test_tables(self, table: str, meant: list) -> None:
        assert pairs(table) == meant

    @pytest.mark.parametrize(
        ("text", "says"),
        [
            ("", "empty"),
            ("0 20\nlunch", "line 2: 'lunch' is no reading; write a time and a temperature"),
            ("1:30 330 °F", "degrees Fahrenheit"),
            ("1:75 300", "line 1: the time '1:75' has 75 minutes"),
            ("60 120 180", "is no reading"),
            ("120 1,120", "1120 or 1.12"),
            ("time,temp_c,cone\n1,2,3", "column called 'cone'"),
            ("hours,minutes,temp_c\n1,2,3", "one column that tells the time"),
            ("minutes,temp_c\n1", "line 2: 1 cells"),
            ("clock,temp_c\n25:00,20", "no time of the day"),
            ("clock,temp_c\n90,20", "no time of the day"),
        ],
    )
    def test_anything_else_is_refused_in_words(self, text: str, says: str) -> None:
        with pytest.raises(GlazekitError) as caught:
            readings_from_text(text)
        assert says in str(caught.value)

    def test_doubts_are_said_and_the_good_ones_go_on(self) -> None:
        log = readings_from_text("0 20\n60 120\n61 1120\n120 220\n110 210\n180 9999\n240 ?\n300 520")
        doubts = doubts_of(log)
        assert [bool(doubt) for doubt in doubts] == [False, False, True, False, True, True, True, False]
        assert [numbers_in(doubts[at]) for at in (2, 4, 5, 6)] == [[60000], [], [9999], []]
        assert len(set(filter(None, doubts))) == 4, "each doubt has a sentence of its own"
        assert good_readings(log) == ((0, 20), (1, 120), (2, 220), (5, 520))
        assert long_gaps(log) == ((2, 5),)
        assert len(log) == 8, "nothing is dropped"


class TestPlannedAndFired:
    def test_by_hand(self) -> None:
        """At 3 h planned 320, read 290; at 9 h planned 1220, read 1120; 1215 is passed at 9.95 h instead of 8.975 h."""
        log = readings_from_text("hours,temp_c\n0,20\n1.5,165\n3,290\n5,500\n6.5,640\n8,900\n9,1120\n10,1220")
        found = compare_with_plan(Firing("kitty", "oxidation", PLAN, log))
        assert found.largest == (8, pytest.approx(120))
        assert found.hours_late == pytest.approx(9.95 - 8.975)
        assert (found.planned_peak_c, found.peak_c) == (1220, 1220)
        assert [numbers_in(line) for line in found.lines()] == [[1220, 0, 58, 1220], [120, 8, 0]]
        assert "late" in found.lines()[0]

    def test_a_kiln_on_its_plan(self) -> None:
        log = tuple(Reading(hours, temp) for hours, temp in PLAN.curve())
        found = compare_with_plan(Firing("kitty", "oxidation", PLAN, log))
        assert found.hours_late == pytest.approx(0) and found.largest[1] == pytest.approx(0)
        assert [numbers_in(line) for line in found.lines()[:2]] == [[1220, 1220], []]
        assert "on time" in found.lines()[0]

    def test_a_peak_nobody_read(self) -> None:
        found = compare_with_plan(Firing("kitty", "oxidation", PLAN, readings_from_text("0 20\n120 200\n240 9999\n500 1190")))
        assert found.hours_late is None
        said = found.lines()
        assert numbers_in(said[0]) == [1220, 1190] and "not read" in said[0]
        assert [4, 0, 9999] in map(numbers_in, said) and [number for number, _ in found.gaps] == [2]
        assert numbers_in(said[-1]) == [2, 0, 8, 20]

    def test_early_is_not_late(self) -> None:
        found = compare_with_plan(Firing("kitty", "oxidation", PLAN, readings_from_text("hours,temp_c\n0,20\n2,700\n4,1220")))
        assert found.hours_late < -4 and "early" in found.lines()[0]

    def test_a_peak_that_was_just_reached_counts(self) -> None:
        """Within 5 degrees of the plan's peak is there: 1215 for 1220."""
        for peak, reached in ((1215, True), (1214, False)):
            log = (Reading(0, 20), Reading(9, peak))
            assert (compare_with_plan(Firing("kitty", "oxidation", PLAN, log)).hours_late is not None) is reached

    def test_without_a_plan_or_readings(self) -> None:
        with pytest.raises(FiringError, match="no plan"):
            compare_with_plan(Firing("kitty", "oxidation", readings=readings_from_text("0 20\n60 120")))
        with pytest.raises(FiringError, match="two good readings"):
            compare_with_plan(Firing("kitty", "oxidation", PLAN, readings_from_text("0 20\n60 ?")))

    def test_the_fired_line_can_be_reckoned_with(self) -> None:
        log = readings_from_text("hours,temp_c\n0,20\n6,620\n9,1220\n9.5,1220\n12,700")
        fired = Firing("kitty", "oxidation", PLAN, log)
        assert fired.curve()[-1] == (12, 700)
        assert heat_work(fired.curve()).minutes_at_peak > heat_work(PLAN).minutes_at_peak, "the way down counts too"


CONES = (
    WitnessCone("top", "5", "flat"),
    WitnessCone("top", "6", "down"),
    WitnessCone("top", "7", "leaning"),
    WitnessCone("bottom", "5", "down"),
    WitnessCone("bottom", "6", "standing"),
)


class TestCones:
    def test_each_shelf_tells_its_own(self) -> None:
        fired = Firing("kitty", "oxidation", cones=CONES)
        assert fired.shelf_cones() == {"top": "6", "bottom": "5"} and fired.cone_reached() == "5-6"

    def test_a_cone_that_melted_flat_is_down_too(self) -> None:
        cones = (WitnessCone("top", "5", "flat"), WitnessCone("low", "6", "leaning"))
        assert Firing("kitty", "oxidation", cones=cones).shelf_cones() == {"top": "5"}

    def test_06_is_lower_than_1(self) -> None:
        cones = (WitnessCone("top", "06", "down"), WitnessCone("top", "1", "down"))
        assert Firing("kitty", "oxidation", cones=cones).shelf_cones() == {"top": "1"}

    @pytest.mark.parametrize(
        ("make", "says"),
        [
            (lambda: WitnessCone("top", "5-6", "down"), "a witness cone is one cone"),
            (lambda: WitnessCone("", "6", "down"), "on which shelf"),
            (lambda: WitnessCone("top", "6", "gone"), "'gone'; there are standing, leaning, down, flat"),
            (lambda: WitnessCone("top", "6", "stand"), "'standing'"),
            (lambda: Firing(" ", "oxidation"), "the kiln has no name"),
            (lambda: Firing("kitty", "smoky"), "the atmosphere is 'smoky'; allowed are oxidation, reduction, neutral"),
            (lambda: Firing("kitty", "oxidation", fuel="coal"), "the fuel is 'coal'"),
            (lambda: Firing("kitty", "oxidation", cone_seen="hot"), "is not a cone"),
        ],
    )
    def test_what_cannot_be(self, make, says: str) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(GlazekitError, match=says):
            make()


class TestBook:
    FIRED = Firing(
        "kitty",
        "oxidation",
        PLAN,
        readings_from_text("0 20\n120 ?\n540 1216"),
        CONES,
        fuel="electric",
        fired_on="3 May",
        note="vent open to 600",
    )

    def test_there_and_back_through_the_files(self, tmp_path) -> None:  # type: ignore[no-untyped-def]
        Book(tmp_path).add("firing", **self.FIRED.to_entry())
        (entry,) = Book(tmp_path).entries("firing")
        assert (entry.data["cone_seen"], entry.data["peak_c"]) == ("5-6", 1216)
        assert entry.data["readings"][1] == [2, None]
        assert Firing.from_entry(entry.data) == self.FIRED

    def test_a_tile_can_point_to_it(self, tmp_path) -> None:  # type: ignore[no-untyped-def]
        book = Book(tmp_path)
        firing = book.add("firing", **self.FIRED.to_entry())
        tile = book.add("tile", label="W-1", body="stoneware", application="pour", bucket="clear", firing=firing.id)
        assert Firing.from_entry(book.entry(tile.data["firing"]).data).kiln == "kitty"

    def test_an_old_entry_keeps_what_it_says(self) -> None:
        old = {
            "kiln": "kitty",
            "cone_seen": "6",
            "atmosphere": "oxidation",
            "schedule": "as last time",
            "peak_c": 1222,
            "moon": "full",
        }
        fired = Firing.from_entry(old)
        assert (fired.planned, fired.readings, fired.cone_reached()) == (None, (), "6")
        assert fired.to_entry() == old

    def test_damaged_readings_stay_as_they_are(self) -> None:
        old = {
            "kiln": "kitty",
            "cone_seen": "6",
            "atmosphere": "oxidation",
            "readings": [[0, 20], "x"],
            "witness_cones": [["top"]],
        }
        assert Firing.from_entry(old).to_entry() == old

    def test_the_cone_seen_is_not_overruled_by_the_witness_cones(self) -> None:
        entry = self.FIRED.to_entry() | {"cone_seen": "6"}
        assert Firing.from_entry(entry).cone_reached() == "6"

    def test_no_firing_without_a_cone(self) -> None:
        with pytest.raises(FiringError, match="no cone is down"):
            Firing("kitty", "oxidation", cones=(WitnessCone("top", "6", "leaning"),)).to_entry()

    def test_the_book_checks_the_fuel(self, tmp_path) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(BookError, match="fuel is 'steam'; allowed are electric, gas, wood, oil"):
            Book(tmp_path).add("firing", kiln="kitty", cone_seen="6", atmosphere="oxidation", fuel="steam")


class TestAir:
    def test_zinc_never_goes_where_there_is_a_flame(self) -> None:
        satin, clear = demo_recipe("Timetable Satin"), demo_recipe("Gangway Clear")
        for atmosphere, fuel in (("reduction", ""), ("oxidation", "gas"), ("neutral", "wood")):
            (stopped,) = blocked_in([satin, clear], atmosphere, fuel)
            assert stopped.recipe == "Timetable Satin" and "zinc oxide" in stopped.why.casefold()
        assert blocked_in([satin, clear], "oxidation", "electric") == ()
        by_rule, by_fume = (blocked_in([satin], air, "gas")[0].why for air in ("oxidation", "reduction"))
        assert by_rule != by_fume, "an oxidising flame is a house rule, reduction the loss of a flux"

    def test_exactly_the_demo_recipes_with_zinc_are_stopped(self) -> None:
        with_zinc = {one.name for one in demo_recipes() if any("zinc" in name for name in one.materials())}
        assert {one.recipe for one in blocked_in(demo_recipes(), "reduction")} == with_zinc and with_zinc

    def test_every_atmosphere_has_its_note_and_reduction_its_warning(self) -> None:
        notes = {air: text_of(f"lesson_10.panel.firing_log.about_{air}") for air in ATMOSPHERES}
        assert len(set(notes.values())) == len(ATMOSPHERES) and all(notes.values())
        for warning in ("Carbon monoxide", "ventilation on", "never left alone"):
            assert warning in notes["reduction"]
        with pytest.raises(FiringError, match="allowed are oxidation"):
            blocked_in([], "smoky")

    def test_a_misspelt_fuel_is_asked_about_and_lets_nothing_pass(self) -> None:
        for fuel in ("Gas", "coal", "propane"):
            with pytest.raises(FiringError, match="allowed are electric, gas, wood, oil"):
                blocked_in([demo_recipe("Timetable Satin")], "oxidation", fuel)


def test_a_kiln_that_cools_faster_than_planned_is_not_behind_its_plan() -> None:
    """Planned: 100 °C in the 1st hour, held for 1 h, 50 °C less in the 3rd. Fired: 10 °C behind on the way up, cold early."""
    plan = schedule_from_text("start at 20; 100/h to 120; hold 60 min; 50/h down to 70")
    fired = Firing("kitty", "oxidation", plan, readings_from_text("0:00 20\n0:30 60\n1:00 120\n2:00 120\n2:30 40"))
    largest = compare_with_plan(fired).largest
    assert largest == (0.5, pytest.approx(10))
