"""How sure a unity formula is: weighings and analyses are drawn many times, and the formula is reckoned each time."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from math import cos, log, pi, sin, sqrt
from random import Random
from statistics import NormalDist, covariance, fmean, median, quantiles
from types import MappingProxyType

from glazekit.chemistry.unity import UnityFormula, flux_symbols, unity_formula, weighed_lines
from glazekit.ground.errors import RangeError, RecipeError
from glazekit.ground.estimate import LEVEL
from glazekit.ground.numbers import show_number, within
from glazekit.materials.material import Material, OxideSpread, analysis_spread
from glazekit.materials.oxides import ALKALIS
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.batch import BASE_LIMITS_G, DIVISION_LIMITS_G, band_g
from glazekit.recipe.recipe import Recipe

BELL_POINTS = 1001
"""The bell curve is drawn from this many equally likely points, which is several times faster than drawing it outright."""
DRAWS_LIMITS = (20, 200_000)
REACH = -2 * log(1 - LEVEL)
"""Squared distance from the centre, in units of the covariance, within which nine in ten points of a bell-shaped cloud lie."""
Drawn = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """A number with the interval it lies in: nine draws in ten, as many left out below as above.

    >>> str(Spread("silica to alumina", 8.34, 7.9, 8.81, unit="moles per mole"))
    'silica to alumina 8.34 (90 % of draws: 7.90 to 8.81) moles per mole'
    """

    quantity: str
    median: float
    low: float
    high: float
    unit: str = ""

    def __str__(self) -> str:
        low, high = show_number(self.low), show_number(self.high)
        text = f"{self.quantity} {show_number(self.median)} ({100 * LEVEL:g} % of draws: {low} to {high})"
        return f"{text} {self.unit}".rstrip()


def spread_of(quantity: str, draws: Sequence[float], unit: str = "") -> Spread:
    """Median and interval of drawn numbers; between two draws the line between them counts.

    >>> spread_of("x", [5, 1, 4, 2, 3]).median
    3

    Raises RangeError for fewer than two draws.
    """
    if len(draws) < 2:
        raise RangeError(f"{quantity}: there are {len(draws)} draws; a spread needs at least two")
    twentieths = quantiles(draws, n=20, method="inclusive")
    return Spread(quantity, median(draws), twentieths[0], twentieths[-1], unit)


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Mean and covariance of a cloud of two quantities, drawn as an ellipse.

    >>> cloud = Ellipse(0, 0, variance_x=0.04, variance_y=0.01, covariance=0.0)
    >>> [round(span, 3) for span in cloud.half_spans]
    [0.429, 0.215]

    Limits: two numbers and an angle cannot show a bent or lopsided cloud.
    """

    centre_x: float
    centre_y: float
    variance_x: float
    variance_y: float
    covariance: float

    @property
    def half_spans(self) -> tuple[float, float]:
        """How far the ellipse reaches to either side of its centre, in x and in y: root of variance times reach."""
        return sqrt(REACH * self.variance_x), sqrt(REACH * self.variance_y)

    def points(self, count: int = 60) -> tuple[tuple[float, float], ...]:
        """Points round the edge, to be joined by a line; the first is not repeated at the end. A circle, drawn with the
        triangular root of the covariance (A.-L. Cholesky): y goes along with x as far as they vary together, and has the rest of
        its variance for itself."""
        half_x, half_y = self.half_spans
        with_x = REACH * self.covariance / half_x if half_x else 0.0
        alone = sqrt(max(0.0, half_y**2 - with_x**2))
        turns = [2 * pi * i / count for i in range(count)]
        return tuple(
            (self.centre_x + half_x * cos(turn), self.centre_y + with_x * cos(turn) + alone * sin(turn)) for turn in turns
        )


def ellipse_of(x: Sequence[float], y: Sequence[float]) -> Ellipse:
    """The ellipse of drawn points; variances divide by one less than their number. Raises RangeError for fewer than two
    points."""
    if len(x) < 2:
        raise RangeError(f"there are {len(x)} points; an ellipse needs at least two")
    return Ellipse(fmean(x), fmean(y), covariance(x, x), covariance(y, y), covariance(x, y))


@dataclass(frozen=True, slots=True)
class Weighing:
    """How the batch is weighed: any reading in the sheet's band is as likely as any other. Parameters: base_g, mass of the base,
    less exact for a small batch; scale_division_g, smallest step the scale shows [g]."""

    base_g: float = 100.0
    scale_division_g: float = 0.1

    def __post_init__(self) -> None:
        within(self.base_g, *BASE_LIMITS_G, "the base mass", "g")
        within(self.scale_division_g, *DIVISION_LIMITS_G, "the scale's division", "g")


@dataclass(frozen=True, slots=True)
class Sample:
    """A recipe's formula, drawn many times.

    Parameters: recipe, formula, what was drawn, and its formula when nothing is off; draws, oxide -> moles per mole of flux in
    every draw; statuses, how far the widths of the analyses can be trusted: every status word among them, none if exact.

    >>> sample = sample_unity(Recipe("small", {"whiting": 40, "kaolin": 60}), draws=400)
    >>> round(sample.formula["SiO2"], 2), sample.spread("SiO2").low < 1.16 < sample.spread("SiO2").high
    (1.16, True)
    """

    recipe: Recipe
    formula: UnityFormula
    draws: Mapping[str, Drawn] = field(repr=False)
    statuses: tuple[str, ...] = ()

    def column(self, oxide: str) -> Drawn:
        """Moles of an oxide in every draw; zeros for an oxide the glaze has not."""
        self.formula[oxide]  # an unknown oxide is told apart from an absent one
        count = len(next(iter(self.draws.values())))
        return self.draws.get(oxide, (0.0,) * count)

    def spread(self, oxide: str) -> Spread:
        """Median and interval of an oxide [moles per mole of flux]."""
        return spread_of(oxide, self.column(oxide), "moles per mole of flux")

    @property
    def silica_to_alumina(self) -> Spread:
        """Moles of silica for each mole of alumina. Raises RecipeError for a glaze without alumina."""
        if not self.formula["Al2O3"]:
            raise RecipeError(f"{self.recipe.name} has no alumina, so there is no silica to alumina")
        pairs = zip(self.column("SiO2"), self.column("Al2O3"), strict=True)
        return spread_of("silica to alumina", [silica / alumina for silica, alumina in pairs])

    @property
    def alkali_share(self) -> Spread:
        """Share of the fluxes that is lithia, soda and potash [0 to 1]."""
        return spread_of("alkali share", _sums(self.column(oxide) for oxide in ALKALIS), "of the fluxes")

    @property
    def ellipse(self) -> Ellipse:
        """Where nine of ten draws lie on the chart: silica across, alumina up."""
        return ellipse_of(self.column("SiO2"), self.column("Al2O3"))


def sample_unity(
    recipe: Recipe,
    *,
    seed: int = 1,
    draws: int = 2000,
    weighing: Weighing | None = Weighing(),
    widths: Callable[[Material], Sequence[OxideSpread]] | None = analysis_spread,
    include_additions: bool = False,
    stock: Stock | None = None,
) -> Sample:
    """Draw the weighings and analyses of a recipe and reckon the unity formula of every draw.

    mass evenly from the lowest to the highest;  wt % = figure + half width / 1.645 x (bell curve), never below 0

    Parameters: seed, the same gives the same draws on every machine; draws, how many; weighing, how it is weighed, None for
    weighings without any error; widths, material -> widths of its analysis, None for analyses without any error;
    include_additions, stock, as for ``unity_formula``.

    Limits: the figures of one analysis are drawn independently, though in a real bag more quartz means less of all the rest. The
    same bag is used for every line that names it. Rounding of the targets to the scale is not counted.

    Raises as ``unity_formula``; RecipeError when the scale is so coarse that a draw has no flux left.
    """
    within(draws, *DRAWS_LIMITS, "the number of draws")
    formula = unity_formula(recipe, include_additions=include_additions, stock=stock)
    chance = Random(seed)
    used = _weighed(recipe, weighing, draws, include_additions, stock or course_stock(), chance)
    moles: dict[str, list[float]] = {}
    statuses: dict[str, None] = {}
    for material, masses in used.items():
        own = widths(material) if widths else ()
        statuses |= dict.fromkeys(one.status for one in own)
        width_of = {one.oxide: one.half_width_wt_pct for one in own}
        for (oxide, per_g), (_, wt_pct) in zip(material.moles_per_g, material.oxides, strict=True):
            brought = _brought(masses, per_g, width_of.get(oxide, 0.0) / wt_pct if wt_pct else 0.0, chance)
            moles[oxide] = [a + b for a, b in zip(moles[oxide], brought, strict=True)] if oxide in moles else brought
    flux = _sums(moles[oxide] for oxide in flux_symbols() if oxide in moles)
    if min(flux) <= 0:
        raise RecipeError(
            f"{recipe.name}: weighed so coarsely, a batch may get no flux at all; use a larger batch or a finer scale"
        )
    drawn = {oxide: tuple(n / divisor for n, divisor in zip(moles[oxide], flux, strict=True)) for oxide, _ in formula.pairs}
    return Sample(recipe, formula, MappingProxyType(drawn), tuple(statuses))


def _weighed(
    recipe: Recipe, weighing: Weighing | None, draws: int, include_additions: bool, stock: Stock, chance: Random
) -> dict[Material, list[float]]:
    """Grams of each material in every draw; two lines of one material are weighed twice and come from one bag."""
    scale = weighing.base_g / recipe.base_sum if weighing else 1.0
    used: dict[Material, list[float]] = {}
    base_lines = len(weighed_lines(recipe, stock=stock))
    for number, line in enumerate(weighed_lines(recipe, include_additions=include_additions, stock=stock)):
        if not line.material.oxides or not line.mass_g:
            continue
        target_g = line.mass_g * scale
        masses = [target_g] * draws
        if weighing:
            low_g, high_g = band_g(target_g, "base" if number < base_lines else "addition", weighing.scale_division_g)
            span_g, evenly = high_g - low_g, chance.random
            masses = [low_g + span_g * evenly() for _ in range(draws)]
        used[line.material] = _sums([used[line.material], masses]) if line.material in used else masses
    return used


def _brought(masses: Sequence[float], moles_per_g: float, relative_half_width: float, chance: Random) -> list[float]:
    """Moles of one oxide that one material brings in every draw."""
    if not relative_half_width:
        return [mass * moles_per_g for mass in masses]
    figures = [moles_per_g * max(0.0, 1 + relative_half_width * place) for place in _bell()]
    evenly = chance.random  # the one draw that Python promises to keep the same from version to version
    return [mass * figures[int(evenly() * BELL_POINTS)] for mass in masses]


@cache
def _bell() -> Drawn:
    """Equally likely points of a bell curve of which 90 in 100 lie between -1 and 1."""
    bell = NormalDist(sigma=1 / NormalDist().inv_cdf((1 + LEVEL) / 2))
    return tuple(bell.inv_cdf((i + 0.5) / BELL_POINTS) for i in range(BELL_POINTS))


def _sums(columns: Iterable[Sequence[float]]) -> list[float]:
    return list(map(sum, zip(*columns, strict=True)))
