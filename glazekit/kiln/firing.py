"""A firing as an object that tiles point to: kiln, plan, readings, cones, air; what never goes in; how it kept to its plan."""

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from glazekit.ground.cone import Cone
from glazekit.ground.errors import GlazekitError, quoted, unknown_name
from glazekit.kiln.readings import Reading, doubts_of, good_readings, long_gaps
from glazekit.kiln.schedule import Curve, Schedule
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe

ATMOSPHERES = ("oxidation", "reduction", "neutral")
FUELS = ("electric", "gas", "wood", "oil")
FLAME = ("gas", "wood", "oil")
"""Fuels whose flame can take oxygen from the glaze, whatever was planned."""
REACHED_C = 5.0
"""A kiln within this of the planned peak has reached it: displays differ by as much (course practice) [C]."""
CONE_STATES = ("standing", "leaning", "down", "flat")
"""How a witness cone looks when the kiln is opened; it is read as down from "down" on."""


class FiringError(GlazekitError):
    """A firing that does not hold together."""


def _check_air(atmosphere: str, fuel: str) -> None:
    for what, value, allowed in (("atmosphere", atmosphere, ATMOSPHERES), ("fuel", fuel, (*FUELS, ""))):
        if value not in allowed:
            raise FiringError(f"the {what} is {quoted(value)}; allowed are {', '.join(one for one in allowed if one)}")


@dataclass(frozen=True, slots=True)
class WitnessCone:
    """One cone beside the ware. ``shelf`` is where it stood, such as "top"; ``cone`` a single number; ``state`` one of
    ``CONE_STATES``. Raises FiringError for another state or an empty shelf, NumberError for a text that is no cone."""

    shelf: str
    cone: str
    state: str

    def __post_init__(self) -> None:
        cone = Cone.parse(self.cone)
        if cone.low != cone.high:
            raise FiringError(f"a witness cone is one cone; {cone} is a range")
        if not self.shelf.strip():
            raise FiringError(f"cone {cone}: say on which shelf it stood")
        if self.state not in CONE_STATES:
            begin = f"cone {cone} on the shelf {quoted(self.shelf)}: "
            raise unknown_name(FiringError, "look of a cone", self.state, CONE_STATES, where=begin)
        object.__setattr__(self, "cone", str(cone))
        object.__setattr__(self, "shelf", self.shelf.strip())


@dataclass(frozen=True, slots=True)
class Firing:
    """A firing: what was asked, what was read, what the cones say.

    Parameters
    ----------
    kiln : nickname of the kiln.
    atmosphere : one of ``ATMOSPHERES``.
    planned : the schedule; None when nobody wrote one down.
    readings : looks at the display, as noted; doubtful ones included.
    cones : witness cones, shelf by shelf.
    cone_seen : the cone reached, when it is known without witness cones; else empty.
    fuel : one of ``FUELS``, or empty.
    fired_on : date in words; may be empty.
    note : may be empty.
    other : what a book entry says beyond this, kept as given.

    >>> cones = (WitnessCone("top", "6", "down"), WitnessCone("low", "5", "down"))
    >>> fired = Firing("kitty", "oxidation", schedule_from_text("150/h to 1120; 60/h to 1222"), cones=cones)
    >>> fired.shelf_cones(), fired.cone_reached()
    ({'top': '6', 'low': '5'}, '5-6')

    Raises FiringError for a kiln without a name or an atmosphere or fuel that is none.
    """

    kiln: str
    atmosphere: str
    planned: Schedule | None = None
    readings: tuple[Reading, ...] = ()
    cones: tuple[WitnessCone, ...] = ()
    cone_seen: str = ""
    fuel: str = ""
    fired_on: str = ""
    note: str = ""
    other: tuple[tuple[str, Any], ...] = ()

    def __post_init__(self) -> None:
        if not self.kiln.strip():
            raise FiringError("the kiln has no name; a nickname will do")
        _check_air(self.atmosphere, self.fuel)
        object.__setattr__(self, "readings", tuple(self.readings))
        object.__setattr__(self, "cones", tuple(self.cones))
        if self.cone_seen:
            object.__setattr__(self, "cone_seen", str(Cone.parse(self.cone_seen)))

    def curve(self) -> tuple[tuple[float, float], ...]:
        """The corners of the line that was fired, from the good readings: (hours [h], temperature [C]). Raises FiringError with
        fewer than two good readings; the plan's line is ``planned.curve()``, and is only a plan."""
        good = good_readings(self.readings)
        if len(good) < 2:
            raise FiringError("two good readings or more are needed for a line; what was planned is another thing")
        return good

    @property
    def peak_c(self) -> float | None:
        """The highest good reading [C]; None without one. Between two readings the kiln may have been hotter."""
        return max((temp_c for _, temp_c in good_readings(self.readings)), default=None)

    def shelf_cones(self) -> dict[str, str]:
        """Shelf -> the highest witness cone that is down there; a shelf with none down is not named."""
        found: dict[str, str] = {}
        for one in self.cones:
            if one.state in ("down", "flat") and (one.shelf not in found or Cone.parse(found[one.shelf]) < Cone.parse(one.cone)):
                found[one.shelf] = one.cone
        return found

    def cone_reached(self) -> str:
        """The cone reached, a range when shelves differ; empty when nobody knows."""
        if self.cone_seen:
            return self.cone_seen
        cones = sorted(Cone.parse(cone) for cone in self.shelf_cones().values())
        return str(Cone(cones[0].low, cones[-1].high)) if cones else ""

    def to_entry(self) -> dict[str, Any]:
        """The fields of a book entry of the kind "firing": ``book.add("firing", **firing.to_entry())``. Raises FiringError when
        no cone is known to be down: the book asks for one."""
        reached = self.cone_reached()
        if not reached:
            raise FiringError("no cone is down; say which cone was reached, the book keeps no firing without one")
        entry: dict[str, Any] = dict(self.other)
        entry |= {"kiln": self.kiln, "cone_seen": reached, "atmosphere": self.atmosphere}
        entry |= {name: value for name in ("fuel", "fired_on", "note") if (value := getattr(self, name))}
        if self.planned:
            entry["schedule"] = self.planned.text()
        if self.readings:
            entry["readings"] = [[one.hours, one.temp_c] for one in self.readings]
        if self.peak_c is not None:
            entry["peak_c"] = self.peak_c
        if self.cones:
            entry["witness_cones"] = [[one.shelf, one.cone, one.state] for one in self.cones]
        return entry

    @classmethod
    def from_entry(cls, data: Mapping[str, Any]) -> "Firing":
        """The firing a book entry tells of. What is no schedule or reading in it stays in ``other``, as it was written.

        >>> Firing.from_entry({"kiln": "kitty", "cone_seen": "6", "atmosphere": "oxidation", "schedule": "as last time"}).other
        (('schedule', 'as last time'),)
        """
        rest = dict(data)
        known: dict[str, Any] = {}
        for name, (field, read) in _READ.items():
            with suppress(TypeError, ValueError, AttributeError):
                if rest.get(name):
                    known[field] = read(rest[name])
                    rest.pop(name)
        for name in ("kiln", "atmosphere", "cone_seen", "fuel", "fired_on"):
            known[name] = rest.pop(name, "")
        if isinstance(rest.get("note"), str):
            known["note"] = rest.pop("note")
        if good_readings(known.get("readings", ())):
            rest.pop("peak_c", None)
        firing = cls(**known, other=tuple(rest.items()))
        seen = replace(firing, cone_seen="").cone_reached()
        return replace(firing, cone_seen="") if seen == firing.cone_seen else firing


_READ: Mapping[str, tuple[str, Callable[[Any], Any]]] = {
    "schedule": ("planned", schedule_from_text),
    "readings": ("readings", lambda pairs: tuple(Reading(hours, temp_c) for hours, temp_c in pairs)),
    "witness_cones": ("cones", lambda cones: tuple(WitnessCone(*one) for one in cones)),
}
"""Field of a book entry -> field of the firing, and what reads it."""


@dataclass(frozen=True, slots=True)
class Blocked:
    """A recipe that must not go into this firing, and why, in words."""

    recipe: str
    why: str


def blocked_in(recipes: Iterable[Recipe], atmosphere: str, fuel: str = "", stock: Stock | None = None) -> tuple[Blocked, ...]:
    """Which recipes must not go into a firing: zinc never goes into reduction, and by a house rule not into a flame.

    Parameters: recipes, to be loaded; atmosphere, one of ``ATMOSPHERES``; fuel, one of ``FUELS`` or ""; stock, of the materials.

    >>> zinc = Recipe("Zinc White", {"quartz": 60, "zinc oxide": 40})
    >>> [one.recipe for one in blocked_in([zinc], "oxidation", "gas")], blocked_in([zinc], "oxidation", "electric")
    (['Zinc White'], ())

    Raises FiringError for another atmosphere or fuel, UnknownMaterialError for a name not in the stock.
    Limits: the stops of this course, not every danger; the trained kiln team and local rules decide.
    """
    _check_air(atmosphere, fuel)
    if atmosphere != "reduction" and fuel not in FLAME:
        return ()
    found = []
    for recipe in recipes:
        lines = cautions_for(replace(recipe, atmosphere=f"{atmosphere}, {fuel}"), stock, moment="firing")
        found += [Blocked(recipe.name, line.text) for line in lines if line.level == "stop" and line.materials]
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Comparison:
    """A firing beside its plan. The highest temperature planned and the highest good reading [C]; ``largest``, the time [h] at
    which it was furthest behind the plan and by how much [C], before the cooling begins, where cooler is no longer behind, None
    without a good reading then; ``hours_late``, how much later than planned it came within 5 C of the planned peak [h], below 0
    when early, None when it never did; ``doubtful``, each reading that is missing or doubtful with the reason; ``gaps``, from
    and to [h], as ``long_gaps``."""

    planned_peak_c: float
    peak_c: float
    largest: tuple[float, float] | None
    hours_late: float | None
    doubtful: tuple[tuple[Reading, str], ...]
    gaps: tuple[tuple[float, float], ...]

    def lines(self) -> tuple[str, ...]:
        """What there is to say, a sentence each."""
        said, late = [], self.hours_late
        if late is None:
            said.append(f"The planned peak, {self.planned_peak_c:g} °C, was not read; the highest reading is {self.peak_c:g} °C.")
        else:
            when = f"{clock(abs(late))} {'late' if late > 0 else 'early'}" if round(late, 2) else "on time"
            said.append(f"The peak of {self.planned_peak_c:g} °C came {when}; the highest reading is {self.peak_c:g} °C.")
        if self.largest and round(self.largest[1]) > 0:
            said.append(f"Furthest behind the plan: {self.largest[1]:.0f} °C, {clock(self.largest[0])} into the firing.")
        elif self.largest:
            said.append("No reading was behind the plan.")
        said += [f"Reading at {clock(reading.hours)}: {doubt}; it is not used." for reading, doubt in self.doubtful]
        said += [f"No good reading between {clock(start)} and {clock(end)}." for start, end in self.gaps]
        return tuple(said)


def clock(hours: float) -> str:
    """Hours as hours and minutes.

    >>> clock(11.13), clock(0.25)
    ('11 h 08', '0 h 15')
    """
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d}"


def compare_with_plan(firing: Firing) -> Comparison:
    """Put what the kiln did beside what was planned. Between two good readings the kiln is taken to have changed steadily.
    Doubtful readings are listed, and left out of the figures.

    >>> from glazekit.kiln.readings import readings_from_text
    >>> from glazekit.kiln.schedule_text import schedule_from_text
    >>> plan = schedule_from_text("100/h to 620; hold 60 min")
    >>> log = readings_from_text("0:00 20, 3:00 300, 5:00 ?, 7:00 620".replace(", ", chr(10)))
    >>> for line in compare_with_plan(Firing("kitty", "oxidation", plan, log)).lines(): print(line)
    The peak of 620 °C came 0 h 59 late; the highest reading is 620 °C.
    Furthest behind the plan: 20 °C, 3 h 00 into the firing.
    Reading at 5 h 00: no temperature written; it is not used.
    No good reading between 0 h 00 and 3 h 00.
    No good reading between 3 h 00 and 7 h 00.

    Raises FiringError without a plan or with fewer than two good readings.
    Limits: the display is not the ware; what the ware got is on the witness cones.
    """
    if firing.planned is None:
        raise FiringError("this firing has no plan to compare with")
    curve, plan = firing.curve(), firing.planned
    heats_until_h = max(hours for hours, temp_c in plan.curve() if temp_c == plan.peak_c)
    behind = [(hours, plan.temp_at(hours) - temp_c) for hours, temp_c in curve if hours <= heats_until_h]
    goal_c = plan.peak_c - REACHED_C
    planned_h, fired_h = first_time_at(plan.curve(), goal_c), first_time_at(curve, goal_c)
    return Comparison(
        planned_peak_c=plan.peak_c,
        peak_c=max(temp_c for _, temp_c in curve),
        largest=max(behind, key=lambda lag: lag[1], default=None),
        hours_late=None if planned_h is None or fired_h is None else fired_h - planned_h,
        doubtful=tuple((one, doubt) for one, doubt in zip(firing.readings, doubts_of(firing.readings), strict=True) if doubt),
        gaps=long_gaps(firing.readings),
    )


def first_time_at(curve: Curve, temp_c: float) -> float | None:
    """When a line first reaches a temperature on its way up [h]; None when it never does.

    >>> first_time_at(((0, 20), (2, 120)), 70)
    1.0
    """
    if curve[0][1] >= temp_c:
        return curve[0][0]
    for (start_h, start_c), (end_h, end_c) in pairwise(curve):
        if start_c < temp_c <= end_c:
            return start_h + (end_h - start_h) * (temp_c - start_c) / (end_c - start_c)
    return None
