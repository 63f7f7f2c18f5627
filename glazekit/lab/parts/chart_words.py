"""All that the Chart map says, from what was reckoned: status line, list of what is drawn, old studies, words on the drawing."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from glazekit.chemistry.silica_alumina import StudyPoint, ratio_lines, study
from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.chart import ChartMark, ChartPaper, ChartSheet
from glazekit.drawing.chart_window import Contours
from glazekit.drawing.strokes import INK, SIGNS
from glazekit.folder.fired import FiredTile
from glazekit.glass.field import PropertyField
from glazekit.ground.estimate import Change, say_against, say_change, say_estimate
from glazekit.ground.numbers import plain_text, show_number
from glazekit.ground.tables import read_table
from glazekit.lab.parts.chart_reckoning import BATCH_G, Reckoned
from glazekit.lab.parts.formula_words import show_change, show_mol
from glazekit.words.texts import Words

VERDICTS = {"yes": ("ok", "word_yes"), "partly": ("under", "word_partly"), "no": ("stop", "word_no")}
"""Does a study apply: its sign and its text."""
PEAK_C = 1222
"""The peak that stands in the box at first: that of an invented kiln [°C]."""
SHAPES = {"gloss": "circle", "satin": "triangle", "matte": "square"}
"""Surface that was seen on a tile -> its shape; a plus sign for anything else."""


@dataclass(frozen=True, slots=True)
class Told:
    """Words of the Chart map: where the glaze is and where it went; what is drawn, a short line each, and ``more`` of it, to be
    folded; what the old study is, whether it can be read for this glaze, and why ("" without one); the drawing, what lies still
    and what moves, with its words."""

    status: str
    legend: tuple[str, ...]
    more: tuple[str, ...]
    about: str
    applies: str
    reasons: tuple[str, ...]
    paper: ChartPaper
    sheet: ChartSheet


def tell_chart(now: Reckoned, words: Words) -> Told:
    """The one place where what was reckoned becomes words."""
    silica, alumina = map(show_mol, now.glaze)
    ratio = show_number(now.formula.silica_to_alumina_mol or 0, 1)
    where = words("where", name=now.asked.recipe.name, silica=silica, alumina=alumina, ratio=ratio)
    status = "\n".join([*_moves(now, where, words), *_property(now, words)])
    sheet = ChartSheet(now.window, words("picture"), status, now.glaze, where, now.cloud, now.trail)
    legend, more = (*_legend(now, words), *_contour_legend(now, words)), (*_more(now, words), *_more_of_contours(now, words))
    return Told(status, legend, more, *_study(now, words), _paper(now, words), sheet)


def _paper(now: Reckoned, words: Words) -> ChartPaper:
    tiles = (_tile_mark(tile, formula) for tile, formula in now.asked.tiles or ())
    marks = (*_study_marks(now.asked.study, words("melted_first")), *tiles)
    ratios = tuple((line.silica_to_alumina, bool(line.habit)) for line in ratio_lines()) if now.asked.ratios else ()
    axes, contours = (words("axis_silica"), words("axis_alumina")), None
    if now.field:
        labelled = zip(_line_labels(now.field, words), now.field.lines, strict=True)
        lines = tuple((label, line) for label, found in labelled for line in found)
        contours = Contours(lines, now.field.known.corners, words("outside"), now.keep_clear)
    return ChartPaper(now.window, words("paper"), words("paper_words"), *axes, ratios, marks, contours)


def _moves(now: Reckoned, where: str, words: Words) -> Iterator[str]:
    """Where the glaze is, and where it went since the card."""
    if not now.asked.moved:
        yield f"{where} {words('as_card')}"
        return
    yield where
    (old_silica, old_alumina), (silica, alumina) = now.start, now.glaze
    since = words(
        "since",
        changes=", ".join(now.asked.moved),
        silica=show_change(silica - old_silica),
        alumina=show_change(alumina - old_alumina),
        old=show_number(old_silica / old_alumina, 1) if old_alumina else "∞",
        new=show_number(silica / alumina, 1),
    )
    cone = now.asked.recipe.cone
    yield f"{since} {words(now.way, heat=words('at_cone', cone=cone) if cone else words('at_the_same_heat'))}"


def _legend(now: Reckoned, words: Words) -> Iterator[str]:
    """What is drawn, contours apart, a short line each."""
    yield words("mark_glaze")
    if now.ellipse:
        yield words("mark_cloud", mass=f"{BATCH_G:g}")
    if now.asked.ratios:
        yield words("mark_lines")
    if now.asked.tiles is not None:
        without = " " + words("without", count=now.asked.without) if now.asked.without else ""
        yield words("mark_tiles", count=len(now.asked.tiles)) + without


def _more(now: Reckoned, words: Words) -> Iterator[str]:
    """What can be asked further of the marks, folded; and that surfaces change with the fire."""
    if now.ellipse:
        across, up = map(show_mol, now.ellipse.half_spans)
        yield words("more_cloud", step=plain_text(now.scale_division_g), across=across, up=up)
    if now.asked.ratios:
        yield words("more_lines")
        yield words("more_habit", ratios=", ".join(f"{line.silica_to_alumina:g}" for line in ratio_lines() if line.habit))
    for row in read_table("surface_fields"):
        yield words("more_surfaces", **row)


def _study(now: Reckoned, words: Words) -> tuple[str, str, tuple[str, ...]]:
    """What the old study is, whether it can be read for this glaze, and why."""
    if not now.applies:
        return "", "", ()
    found = study(now.asked.study)
    about = words("about", potash=f"{found.potash_mol:g}", lime=f"{found.lime_mol:g}", fired=found.fired, shows=found.shows)
    first = words("grid_first") if any(point.melted for point in found.points) else ""
    grid = words("grid", count=len(found.points), first=first)
    sign, word = VERDICTS[now.applies.word]
    applies = f"{SIGNS[sign]} {words('applies', study=found.name, word=words(word))}"
    return f"{about} {grid} {words(f'status_{found.status}')}", applies, now.applies.reasons


@cache
def _study_marks(name: str, melted_first: str) -> tuple[ChartMark, ...]:
    """The glazes of a study as crosses, ringed where the source says that they melted first."""
    if not name:
        return ()

    def said(point: StudyPoint) -> str:
        place = f"{name}, {point.name}: silica {point.silica_mol:g}, alumina {point.alumina_mol:g}"
        return f"{place}, {melted_first}" if point.melted else place

    return tuple(
        ChartMark((point.silica_mol, point.alumina_mol), said(point), "cross", bold=bool(point.melted))
        for point in study(name).points
    )


def _tile_mark(tile: FiredTile, formula: UnityFormula) -> ChartMark:
    place, said = (formula["SiO2"], formula["Al2O3"]), f"{tile.label}: {tile.seen}"
    return ChartMark(place, said, SHAPES.get(tile.looks.get("surface", ""), "plus"), INK, 5.5)


def _line_labels(field: PropertyField, words: Words) -> tuple[str, ...]:
    """The number of each contour with its unit."""
    if field.temp_c is None:
        return tuple(words("line_expands", value=f"{level:g}") for level in field.levels)
    return tuple(words("line_stiff", pa_s=show_pa_s(level)) for level in field.levels)


def _property(now: Reckoned, words: Words) -> Iterator[str]:
    """First the change against the reference, then the number with its interval."""
    estimate, is_viscosity = now.estimate, now.asked.temp_c is not None
    if not estimate:
        return
    if estimate.change:
        change = replace(estimate.change, reference=now.asked.reference_name)
        yield _times_as(change, words) if is_viscosity else words("change", change=say_change(change))
    elif estimate.direction:
        yield words("by_direction", way=say_against(estimate, now.asked.reference_name))
    powers = (estimate.value, estimate.low, estimate.high)
    if is_viscosity and None not in powers:
        value, low, high = (show_pa_s(power) for power in powers if power is not None)
        yield words("alone_pa_s", estimate=say_estimate(estimate), value=value, low=low, high=high)
    else:
        yield words("alone", estimate=say_estimate(estimate))


def _contour_legend(now: Reckoned, words: Words) -> Iterator[str]:
    """What the contours and the hatching are."""
    if now.field and now.estimate:
        temp_c, step = now.asked.temp_c, now.field.step
        if now.field.levels:
            key = "mark_expands" if temp_c is None else "mark_stiff"
            yield words(key, peak=f"{temp_c or 0:g}", times=show_pa_s(step), step=f"{step:g}")
        yield words("mark_outside" if now.field.known.beyond else "all_inside")


def _more_of_contours(now: Reckoned, words: Words) -> Iterator[str]:
    """What the contours mean, how far they can be trusted, how far it is to the next one, and why some of it is grey."""
    field, estimate = now.field, now.estimate
    if not field or not estimate:
        return
    kind, show = ("expands", _signed) if now.asked.temp_c is None else ("stiff", show_pa_s)
    half, status = estimate.half_width, estimate.status
    if field.levels:
        yield words(f"more_{kind}")
        sharp = {} if half is None else {"factor": show_pa_s(half), "half": f"{half:.1f}"}
        yield words(f"trust_{kind}" if sharp else "trust_elsewhere", status=status, **sharp)
        if now.further:
            silica, change = show_number(now.further[0], 1), now.further[1]
            by, low, high = map(show, (change.value, change.low, change.high))
            yield words(f"further_{kind}", silica=silica, times=by, by=by, low=low, high=high, status=change.status)
    if now.asked.temp_c == PEAK_C:
        yield words("class_peak", peak=PEAK_C)
    if field.known.beyond:
        yield words("more_outside", beyond="; ".join(field.known.beyond))


def show_pa_s(log10_pa_s: float) -> str:
    """A viscosity in Pa·s, or how many times another, two figures.

    >>> show_pa_s(2.5), show_pa_s(3.5), show_pa_s(4), show_pa_s(0.5)
    ('320', '3200', '10 000', '3.2')
    """
    value = float(f"{10**log10_pa_s:.2g}")
    return f"{value:,.0f}".replace(",", " " if value >= 10_000 else "") if value >= 10 else f"{value:g}"


def _times_as(change: Change, words: Words) -> str:
    """How many times as stiff, or as runny, as the reference."""
    if change.low == change.high:
        return words("same", reference=change.reference)
    stiffer = change.value >= 0
    powers = (change.value, change.low, change.high) if stiffer else (-change.value, -change.high, -change.low)
    times, low, high = map(show_pa_s, powers)
    key = "times_stiff" if stiffer else "times_runny"
    return words(key, times=times, low=low, high=high, reference=change.reference, status=change.status)


def _signed(change: float) -> str:
    return f"{change:+.1f}".replace("-", "−")
