"""The silica and alumina chart: the old studies, lines of equal ratio, and whether any of it applies to this glaze."""

from dataclasses import dataclass
from functools import cache
from math import fsum

from glazekit.chemistry.unity import UnityFormula
from glazekit.ground.cone import Cone
from glazekit.ground.errors import DataError, looked_up
from glazekit.ground.numbers import show_number
from glazekit.ground.tables import read_table

SAME_FLUXES, LIKE_FLUXES = 0.10, 0.25
"""Share of the fluxes that would have to change places to make two sets equal: up to the first they are alike, beyond the
second they are not (a rule of this course)."""
NO_BORON, SOME_BORON = 0.02, 0.10
"""Boron oxide up to the first counts as none, beyond the second the chart is another one [mol] (a rule of this course)."""
SAME_CONE, LIKE_CONE = 1, 3
"""Cones apart: up to the first the firing is alike, beyond the second it is not (a rule of this course)."""


@dataclass(frozen=True, slots=True)
class StudyPoint:
    """One glaze of a study: alumina and silica in moles per mole of flux, and what is known of its melting, if anything."""

    name: str
    alumina_mol: float
    silica_mol: float
    melted: str
    status: str


@dataclass(frozen=True, slots=True)
class Study:
    """A study of silica and alumina at constant fluxes, as in data/silica_alumina_maps.csv, with its glazes. ``potash_mol`` and
    ``lime_mol`` were held [moles per mole of flux]; ``cone`` is None when it was not fired to a cone."""

    name: str
    potash_mol: float
    lime_mol: float
    cone: Cone | None
    fired: str
    shows: str
    points: tuple[StudyPoint, ...]
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class RatioLine:
    """A line of equal silica to alumina through the origin, and the habit of teachers that goes with it ("" for none)."""

    silica_to_alumina: float
    habit: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Applies:
    """Whether a study can be read for a glaze: "yes", "partly" or "no", and a sentence each on fluxes, boron and cone."""

    word: str
    reasons: tuple[str, ...]


@cache
def studies() -> tuple[Study, ...]:
    """The studies of the tables."""
    points = [
        (row["map"], StudyPoint(row["point"], row["al2o3_mol"], row["sio2_mol"], row["melted"], row["status"]))
        for row in read_table("silica_alumina_points")
    ]
    found = []
    for row in read_table("silica_alumina_maps"):
        held = (row["k2o_mol"], row["cao_mol"])
        cone = Cone.parse(row["cone"]) if row["cone"] else None
        own = tuple(point for name, point in points if name == row["map"])
        found.append(Study(row["map"], *held, cone, row["fired"], row["shows"], own, row["source"], row["status"]))
    return tuple(found)


def study(name: str) -> Study:
    """The study of this name; a DataError, with the nearest name, when there is none."""
    return looked_up({found.name: found for found in studies()}, name, DataError, "study")


@cache
def ratio_lines() -> tuple[RatioLine, ...]:
    """The lines of equal silica to alumina.

    >>> [line.silica_to_alumina for line in ratio_lines() if line.habit]
    [5.0, 8.0, 10.0]
    """
    return tuple(RatioLine(**row) for row in read_table("ratio_lines"))


def applies_to_yours(unity: UnityFormula, cone: Cone | str | None, name: str = "Stull 1912") -> Applies:
    """Can this study be read for a glaze: are fluxes, boron and firing near enough to what was held constant?

    Parameters: unity, of the glaze's base; cone, what it is fired to, None when not known; name, of the study.

    >>> from glazekit.chemistry.unity import unity_from_moles
    >>> glaze = unity_from_moles({"K2O": 0.28, "CaO": 0.72, "Al2O3": 0.45, "SiO2": 4.0})
    >>> applies_to_yours(glaze, "10").word, applies_to_yours(glaze, "6").word
    ('yes', 'no')

    Limits: "yes" means that the study is about glazes like this one, not that it foretells this one.
    """
    found = study(name)
    meant = Cone.parse(cone) if isinstance(cone, str) else cone
    words, reasons = zip(_fluxes(found, unity), _boron(unity), _firing(found, meant), strict=True)
    return Applies("no" if "no" in words else "partly" if "partly" in words else "yes", reasons)


def _fluxes(study: Study, unity: UnityFormula) -> tuple[str, str]:
    alkali, lime = unity.alkali_share, unity["CaO"]
    rest = max(0.0, 1 - alkali - lime)
    moved = round(fsum((abs(alkali - study.potash_mol), abs(lime - study.lime_mol), rest)) / 2, 6)
    held = f"The fluxes were potash {study.potash_mol:.1f} and lime {study.lime_mol:.1f}"
    others = f", others {show_number(rest)}" if rest >= 0.005 else ""
    yours = f"yours are soda, potash and lithia together {show_number(alkali)}, lime {show_number(lime)}{others}"
    if moved > LIKE_FLUXES:
        return "no", f"{held}; {yours}: another mixture."
    if moved > SAME_FLUXES:
        return "partly", f"{held}; {yours}: a related mixture."
    if alkali and unity["K2O"] < alkali / 2:
        return "partly", f"{held}; {yours}, and little of it is potash: a related mixture."
    return "yes", f"{held}; {yours}: much the same."


def _boron(unity: UnityFormula) -> tuple[str, str]:
    boron = unity["B2O3"]
    if boron <= NO_BORON:
        return "yes", "There was no boron in it, and there is none to speak of in yours."
    word = "no" if boron > SOME_BORON else "partly"
    return word, f"There was no boron in it; yours has {show_number(boron)}, which melts early and moves every border."


def _firing(study: Study, cone: Cone | None) -> tuple[str, str]:
    if study.cone is None:
        return "partly", f"It was fired {study.fired}, not to a cone, so your cone cannot be compared."
    if cone is None:
        return "partly", f"It was fired {study.fired}; the cone of yours is not known."
    apart = study.cone.steps_to(cone)
    word = "yes" if apart <= SAME_CONE else "partly" if apart <= LIKE_CONE else "no"
    near = {"yes": "much the same heat", "partly": f"{apart} cones apart", "no": f"{apart} cones apart, another firing"}[word]
    return word, f"It was fired {study.fired}; yours goes to cone {cone}: {near}."
