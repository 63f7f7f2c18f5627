"""Viscosity or expansion over the silica-alumina plane, for the learner's own fluxes, boron and all the rest.

A temperature asks for the viscosity of the melt at it, None for the expansion.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil, floor
from operator import itemgetter

from glazekit.chemistry.unity import UnityFormula
from glazekit.glass.composition import MODEL_OXIDES, Composition, composition_of, gathered
from glazekit.glass.domain import box, trace_of
from glazekit.glass.known_part import Border, KnownPart, Span, known_part
from glazekit.glass.level_lines import LevelLine, level_lines
from glazekit.glass.melt import melt_curve, viscosity
from glazekit.glass.properties import constant
from glazekit.glass.sums import expansion, sum_value
from glazekit.ground.estimate import Change, Estimate
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe

COLUMNS, ROWS = 36, 32
"""Cells of the grid."""
STEPS_VISCOSITY, STEPS_EXPANSION = (0.5, 0.25), (1.0, 0.5, 0.2)
"""Distance from line to line, the widest that gives enough lines [log10(Pa.s)], [1e-6 per K]."""
ENOUGH_LINES = 4
MOST_SILICA = 6.0
"""How far to look for the next line [mol]."""


@dataclass(frozen=True, slots=True)
class FluxSet:
    """What stays while silica and alumina change, fluxes, boron and everything else: (oxide, moles per mole of flux) [mol].

    >>> from glazekit.chemistry.unity import unity_from_moles
    >>> clear = FluxSet.of(unity_from_moles({"Na2O": 0.2, "CaO": 0.8, "Al2O3": 0.4, "SiO2": 3.6}))
    >>> clear.at(3.6, 0.4)["SiO2"], clear.at(4.6, 0.4)["CaO"] == 0.8 / 6
    (0.72, True)
    """

    pairs: tuple[tuple[str, float], ...]

    @classmethod
    def of(cls, unity: UnityFormula) -> "FluxSet":
        """The flux set of a glaze; iron counts as Fe2O3, as in ``composition_of``."""
        moles = gathered(dict(unity.pairs))
        return cls(tuple((oxide, amount) for oxide, amount in moles.items() if oxide not in ("SiO2", "Al2O3")))

    @property
    def rounded(self) -> tuple[tuple[str, float], ...]:
        """The pairs to four decimals."""
        return tuple((oxide, round(moles, 4)) for oxide, moles in self.pairs)

    def unity(self, silica: float, alumina: float) -> UnityFormula:
        """The glaze of one spot of the plane [moles per mole of flux]."""
        return UnityFormula((*self.pairs, ("Al2O3", alumina), ("SiO2", silica)))

    def at(self, silica: float, alumina: float) -> Composition:
        """The same as the models see it."""
        return composition_of(self.unity(silica, alumina))

    def value(self, temp_c: float | None, silica: float, alumina: float) -> float:
        """Viscosity [log10(Pa.s)] or expansion [1e-6 per K] of one spot, without the cap and also outside the data."""
        glass = self.at(silica, alumina)
        return sum_value("expansion", glass) if temp_c is None else melt_curve(glass).log10_pa_s(temp_c)

    def known_part(self, silica: Span, alumina: Span, temp_c: float | None = None) -> KnownPart:
        """What the measured glasses cover of a window, and what lies beyond. Limits: for glazes with hardly any alkali it is a
        little smaller than what ``viscosity`` accepts."""
        return known_part(self._borders(temp_c, silica[1] + alumina[1]), silica, alumina)

    def _borders(self, temp_c: float | None, farthest: float) -> Iterator[Border]:
        """The limits of the measured glasses as straight borders of the plane; ``farthest``: most silica + alumina [mol]."""
        rest = self._moles()
        left_out = {oxide: moles for oxide, moles in self.pairs if oxide not in MODEL_OXIDES}
        everything = sum(rest.fractions) + sum(left_out.values())
        for oxide, moles in left_out.items():
            most = trace_of(oxide)
            words = f"{OXIDES[oxide].name} more than {100 * most:.3g} mol %, which nobody measured"
            yield Border(most, most, most * everything - moles, words)
        for edge in box():
            of = itemgetter(edge.what)
            yield self._border(of, edge.high, f"{edge.said} more than {100 * edge.high:.3g} mol %", more=True)
            if edge.low > 0:
                yield self._border(of, edge.low, f"{edge.said} less than {100 * edge.low:.3g} mol %")
        if temp_c is None:
            return
        slack, hot = constant("melt_slack_min"), constant("melt_hot_c")
        words = f"fluxes less alumina under {100 * slack:g} mol %"
        yield self._border(lambda moles: moles["R2O"] + moles["RO"] - moles["Al2O3"], slack, words)
        if rest["R2O"] < constant("melt_alkali_free") * (farthest + sum(rest.fractions)):
            least = constant("melt_silica_min")
            yield self._border(itemgetter("SiO2"), least, f"no alkali and silica less than {100 * least:g} mol %")
        if temp_c > hot:
            yield Border(0.0, 0.0, -1.0, f"hotter than {hot:g} °C, where the measurements end")

    def _moles(self, silica: float = 0.0, alumina: float = 0.0) -> Composition:
        """Moles in place of shares: sums over oxides are the same sums."""
        moles = {**dict(self.pairs), "SiO2": silica, "Al2O3": alumina}
        return Composition("", tuple(moles.get(oxide, 0.0) for oxide in MODEL_OXIDES))

    def _border(self, of: Callable[[Composition], float], share: float, words: str, more: bool = False) -> Border:
        """Where a sum over oxides is that share of all moles; beyond it lies less, or ``more``."""

        def room(moles: Composition) -> float:
            spare = of(moles) - share * sum(moles.fractions)
            return -spare if more else spare

        rest = room(self._moles())
        return Border(room(self._moles(silica=1)) - rest, room(self._moles(alumina=1)) - rest, rest, words)


@dataclass(frozen=True, slots=True)
class PropertyField:
    """Lines of equal value of one property over a window of the plane.

    Parameters: fluxes, temp_c, silica, alumina, what it is of, as in ``property_field``; step, levels, distance from line to
    line, and the round values that lie in the known part [log10(Pa.s)], [1e-6 per K]; lines, of each level, which outside
    ``known`` mean nothing; known, what the measured glasses cover.

    Limits: a line has no interval of its own; say that of the glaze beside the drawing.
    """

    fluxes: FluxSet
    temp_c: float | None
    silica: Span
    alumina: Span
    step: float
    levels: tuple[float, ...]
    lines: tuple[tuple[LevelLine, ...], ...]
    known: KnownPart

    def is_of(self, fluxes: FluxSet, temp_c: float | None, silica: Span, alumina: Span) -> bool:
        """Is it of this property, and of flux sets that differ by less than one sees?"""
        asked = (fluxes.rounded, temp_c, silica, alumina)
        return (self.fluxes.rounded, self.temp_c, self.silica, self.alumina) == asked


def property_field(fluxes: FluxSet, temp_c: float | None, silica: Span, alumina: Span) -> PropertyField:
    """Lines through values on a grid, and the known part. ``temp_c`` : temperature of the melt [°C], None for the expansion;
    ``silica``, ``alumina`` : the window [mol per mol flux]."""
    known = fluxes.known_part(silica, alumina, temp_c)
    ends = [fluxes.value(temp_c, *corner) for corner in known.corners]
    step, levels = _levels(ends, STEPS_EXPANSION if temp_c is None else STEPS_VISCOSITY)
    across, up = _ruler(silica, COLUMNS), _ruler(alumina, ROWS)
    lines = level_lines(across, up, [[fluxes.value(temp_c, x, y) for x in across] for y in up], levels)
    return PropertyField(fluxes, temp_c, silica, alumina, step, levels, lines, known)


Further = tuple[float, Change]
"""How much more silica takes a glaze from line to line [mol], and what that change is good for."""


def estimate_in_field(
    recipe: Recipe,
    unity: UnityFormula,
    reference: UnityFormula,
    temp_c: float | None,
    step: float | None,
    stock: Stock,
    include_additions: bool | None = None,
) -> tuple[Estimate, Further | None]:
    """Estimate of a glaze against its reference; and how far the next line is from it, by halving: None outside the data.
    ``recipe``, ``unity`` : the glaze, and its formula with what is counted of the additions; ``temp_c`` as in ``property_field``;
    ``step`` : distance from line to line [log10(Pa.s)], [1e-6 per K], None where no lines are drawn."""
    mine = _estimate(recipe, temp_c, reference, stock, include_additions)
    if mine.value is None or step is None:
        return mine, None
    fluxes, silica, alumina = FluxSet.of(unity), unity["SiO2"], unity["Al2O3"]
    upwards = 1 if temp_c is not None else -1  # more silica raises the viscosity and lowers the expansion
    short, enough = silica, silica + MOST_SILICA
    while enough - short > 0.005:
        middle = (short + enough) / 2
        if upwards * (fluxes.value(temp_c, middle, alumina) - mine.value) > step:
            enough = middle
        else:
            short = middle
    change = _estimate(fluxes.unity(enough, alumina), temp_c, unity, stock).change
    return mine, (enough - silica, change) if change else None


def _estimate(
    glaze: Recipe | UnityFormula, temp_c: float | None, reference: UnityFormula, stock: Stock, counted: bool | None = None
) -> Estimate:
    if temp_c is None:
        return expansion(glaze, reference, include_additions=counted, stock=stock)
    return viscosity(glaze, temp_c, reference, include_additions=counted, stock=stock)


def _ruler(span: Span, pieces: int) -> tuple[float, ...]:
    low, high = span
    return tuple(low + (high - low) * k / pieces for k in range(pieces + 1))


def _levels(ends: list[float], steps: tuple[float, ...]) -> tuple[float, tuple[float, ...]]:
    """Round values between the least and the most, and how far apart: as far as still gives enough of them.

    >>> _levels([1.2, 4.1], (0.5, 0.25))
    (0.5, (1.5, 2.0, 2.5, 3.0, 3.5, 4.0))
    """
    if not ends:
        return steps[0], ()
    for step in steps:
        levels = tuple(round(k * step, 6) for k in range(ceil(min(ends) / step), floor(max(ends) / step) + 1))
        if len(levels) >= ENOUGH_LINES:
            break
    return step, levels
