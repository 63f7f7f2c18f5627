"""All that the Chart map shows, reckoned in one place without a widget: ``reckon`` at a move, ``reckon_more`` at a pause."""

from dataclasses import dataclass, replace

from glazekit.chemistry.silica_alumina import Applies, applies_to_yours
from glazekit.chemistry.uncertainty import Ellipse, Weighing, sample_unity
from glazekit.chemistry.unity import UnityFormula, unity_formula
from glazekit.drawing.chart_window import Point, Window, near_window, whole_window
from glazekit.folder.fired import FiredTile
from glazekit.glass.composition import counted_formula
from glazekit.glass.field import FluxSet, Further, PropertyField, estimate_in_field, property_field
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe

CLOUD_DRAWS = 1000
BATCH_G = 100.0
SAME_RATIO = 0.005
"""Two ratios nearer to each other than this share are called the same."""
STILL_MOL = 0.005
"""A point that moved less, both ways, is said to have stayed [mol]."""
LONGEST_TRAIL = 24
STEP_MOL = (0.02, 0.004)
"""A shorter step, in silica and in alumina, moves the end of the trail along and leaves no dot [mol]."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What lies under the learner's hand: the glaze as the sliders stand, its ``card`` as they stood at first, what was
    ``moved`` in words, its ``trail``, oldest first; and what is laid on the chart.

    ``near`` shows the neighbourhood of the glaze alone. ``tiles`` is None where they are not wanted; ``without`` counts those of
    them without a formula. ``reference`` is what viscosity (at ``temp_c``, the peak [°C]) or expansion (None) is compared with;
    None where neither is wanted; ``include_additions`` which additions these count, as in ``composition_of``.
    """

    recipe: Recipe
    card: Recipe
    moved: list[str]
    trail: tuple[Point, ...]
    stock: Stock
    near: bool = False
    ratios: bool = True
    tiles: tuple[tuple[FiredTile, UnityFormula], ...] | None = None
    without: int = 0
    study: str = ""
    reference: UnityFormula | None = None
    reference_name: str = ""
    include_additions: bool | None = None
    temp_c: float | None = None


@dataclass(frozen=True, slots=True)
class Reckoned:
    """The glaze on the chart, as it follows from what was ``asked``; None for what was not wanted.

    ``start`` and ``glaze`` are silica and alumina on the card and now [moles per mole of flux]; ``way`` is where it went since:
    "more_silica" and "less_alumina" are ways to a higher ratio, "more_alumina" and "less_silica" to a lower one; "to_corner",
    "from_corner" and "still" keep it. ``further`` is how far the next line is. From the last pause come ``ellipse``, where nine
    of ten batches would lie weighed on this scale, and ``field``, the contours: ``cloud`` is the ellipse carried along to where
    the glaze is now, ``keep_clear`` where it was when the contours were drawn, old when of other fluxes, peak or window.
    """

    asked: Asked
    formula: UnityFormula
    start: Point
    glaze: Point
    way: str
    trail: tuple[Point, ...]
    window: Window
    applies: Applies | None
    estimate: Estimate | None
    further: Further | None
    ellipse: Ellipse | None
    scale_division_g: float
    cloud: tuple[Point, ...]
    field: PropertyField | None
    field_is_old: bool
    keep_clear: Point


def reckon(asked: Asked, before: Reckoned | None) -> Reckoned | None:
    """What follows at once from a move; None for a glaze without alumina, which has no place on the chart. Ring and contours are
    taken on from ``before``, what was shown before the move, until the learner pauses."""
    formula = unity_formula(asked.recipe, stock=asked.stock)
    if not formula["Al2O3"]:
        return None
    counted = counted_formula(asked.recipe, asked.include_additions, asked.stock)
    glaze, start = _point(formula), _point(unity_formula(asked.card, stock=asked.stock))
    window = (near_window if asked.near else whole_window)([start, glaze])
    field = before.field if before and asked.reference else None
    if field and (field.temp_c is None) != (asked.temp_c is None):
        field = None  # of the other property
    estimate = further = None
    if asked.reference:
        step = field.step if field and field.levels else None
        estimate, further = estimate_in_field(
            asked.recipe, counted, asked.reference, asked.temp_c, step, asked.stock, asked.include_additions
        )
    return Reckoned(
        asked,
        formula,
        start=start,
        glaze=glaze,
        way=_way(start, glaze),
        trail=longer_trail(asked.trail, glaze),
        window=window,
        applies=applies_to_yours(formula, asked.recipe.cone, asked.study) if asked.study else None,
        estimate=estimate,
        further=further,
        ellipse=before.ellipse if before else None,
        scale_division_g=before.scale_division_g if before else 0.0,
        cloud=_carried(before.ellipse, glaze) if before and before.ellipse else (),
        field=field,
        field_is_old=bool(field and not field.is_of(FluxSet.of(counted), asked.temp_c, window.silica, window.alumina)),
        keep_clear=before.keep_clear if before else glaze,
    )


def reckon_more(now: Reckoned, scale_division_g: float) -> Reckoned | None:
    """The same with what takes its time: where nine of ten batches would lie, weighed in steps of ``scale_division_g`` [g], and
    the contours, unless those of ``now`` are of its fluxes, peak and window."""
    asked, window = now.asked, now.window
    weighing = Weighing(BATCH_G, scale_division_g)
    ellipse = sample_unity(asked.recipe, draws=CLOUD_DRAWS, weighing=weighing, stock=asked.stock).ellipse
    now = replace(now, ellipse=ellipse, scale_division_g=scale_division_g)
    if asked.reference and (now.field_is_old or not now.field):
        counted = counted_formula(asked.recipe, asked.include_additions, asked.stock)
        field = property_field(FluxSet.of(counted), asked.temp_c, window.silica, window.alumina)
        now = replace(now, field=field, keep_clear=now.glaze)
    return reckon(asked, now)


def longer_trail(trail: tuple[Point, ...], glaze: Point) -> tuple[Point, ...]:
    """The trail with the point at its end; small steps move its end along.

    >>> longer_trail(((3.5, 0.4), (3.6, 0.4)), (3.7, 0.4))
    ((3.5, 0.4), (3.6, 0.4), (3.7, 0.4))
    >>> longer_trail(((3.5, 0.4), (3.6, 0.4), (3.61, 0.4)), (3.615, 0.4))
    ((3.5, 0.4), (3.6, 0.4), (3.615, 0.4))
    """
    silica, alumina = here = round(glaze[0], 5), round(glaze[1], 5)
    *_, before, last = None, None, *trail
    if before and abs(silica - before[0]) < STEP_MOL[0] and abs(alumina - before[1]) < STEP_MOL[1]:
        return (*trail[:-1], here)
    return trail if last == here else (*trail, here)[-LONGEST_TRAIL:]


def _point(formula: UnityFormula) -> Point:
    return formula["SiO2"], formula["Al2O3"]


def _carried(ellipse: Ellipse, glaze: Point) -> tuple[Point, ...]:
    """Edge of an ellipse round another middle."""
    silica, alumina = glaze[0] - ellipse.centre_x, glaze[1] - ellipse.centre_y
    return tuple((x + silica, y + alumina) for x, y in ellipse.points(40))


def _way(start: Point, glaze: Point) -> str:
    """Key of the verdict."""
    (old_silica, old_alumina), (silica, alumina) = start, glaze
    was, is_ = old_silica * alumina, silica * old_alumina  # as old ratio to new, free of a division by 0
    if abs(is_ - was) >= SAME_RATIO * was:
        grown = silica * alumina >= old_silica * old_alumina  # what grew counts, where it grew by more than the other shrank
        if is_ > was:
            return "more_silica" if grown else "less_alumina"
        return "more_alumina" if grown else "less_silica"
    if abs(silica - old_silica) < STILL_MOL and abs(alumina - old_alumina) < STILL_MOL:
        return "still"
    return "to_corner" if silica < old_silica else "from_corner"
