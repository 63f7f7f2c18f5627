"""Where the models may speak: the box of the measured glasses, what is thinly measured in it, and what the potter saw."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from operator import ge, gt, le

from glazekit.glass.composition import MODEL_OXIDES, Composition
from glazekit.glass.constants import constant
from glazekit.ground.errors import RangeError, unknown_name
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import OXIDES

SEEN = {
    "matte": "it is matte: a matte glaze is full of crystals, and the model is for clear glass",
    "opaque": "it is opaque: what makes it white has not dissolved, and the model counts it as glass",
    "crystals": "crystals are seen in it, and the model is for clear glass",
    "underfired": "it is underfired: part of it has not melted, and the model counts it as glass",
}
"""What may be told about the fired glaze, and why the models are then weak."""

_ROUNDING = 1e-9
_NEVER = 2.0  # no share is ever larger

_SUMS: dict[str, tuple[str, Callable[[Composition], float]]] = {
    "R2O": ("lithia + soda + potash", lambda glass: glass.alkali),
    "R2O+RO": ("all fluxes together", lambda glass: glass.alkali + glass.earths),
}


@dataclass(frozen=True, slots=True)
class Reasons:
    """Why a model should not be believed.

    Parameters
    ----------
    outside : reasons to give no number at all.
    weak : reasons to show the number grey.
    notes : to be said beside a good number too.

    The rule, one for all properties: outside the box of the measured glasses, or with more than a trace of an oxide the model
    does not know, there is no number. Where the box holds few measurements, or the fired glaze is not a clear glass, the number
    stands grey with its reason.
    """

    outside: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """All of them as one line, the gravest first."""
        return "; ".join((*self.outside, *self.weak, *self.notes))


def reasons_for(glass: Composition, seen: Iterable[str] = ()) -> Reasons:
    """What speaks against believing any of the models for this glass.

    Parameters
    ----------
    glass : the composition.
    seen : what the fired glaze shows, words of ``SEEN``.

    Raises RangeError for a word that is not in ``SEEN``.

    >>> from glazekit.glass.composition import composition_of
    >>> sand = reasons_for(composition_of({"SiO2": 90, "Na2O": 10}))
    >>> print(sand.outside[0])
    silica 90 mol % is more than the 82 mol % of the measured glasses
    """
    box = _box()
    outside: tuple[str, ...] = ()
    if glass.left_out or not (all(map(ge, glass.fractions, box.low)) and all(map(le, glass.fractions, box.high))):
        outside = (*_unknown(glass), *_beyond(glass, box))
    for _, low, high, said, total in box.sums:
        share = total(glass)
        if not low <= share <= high:
            outside = (*outside, _words(said, share, low, high))
    weak = glass.doubts
    if any(map(gt, glass.fractions, box.thin)):
        weak = (*weak, *_thin(glass, box))
    if seen:
        weak = (*weak, *_seen(seen))
    notes = _notes(glass)
    return Reasons(outside, weak, notes) if outside or weak or notes else _NONE


_NONE = Reasons()


@dataclass(frozen=True, slots=True)
class _Box:
    """data/glass_box.csv in the order of ``MODEL_OXIDES`` [mole fractions]."""

    low: tuple[float, ...]
    high: tuple[float, ...]
    thin: tuple[float, ...]
    sums: tuple[tuple[str, float, float, str, Callable[[Composition], float]], ...]


@cache
def _box() -> _Box:
    rows = {row["what"]: row for row in read_table("glass_box")}
    oxides = [rows[oxide] for oxide in MODEL_OXIDES]
    thin = (row["thin_above_mol_pct"] for row in oxides)
    return _Box(
        low=tuple(row["min_mol_pct"] / 100 - _ROUNDING for row in oxides),
        high=tuple(row["max_mol_pct"] / 100 + _ROUNDING for row in oxides),
        thin=tuple(_NEVER if share is None else share / 100 + _ROUNDING for share in thin),
        sums=tuple(
            (what, rows[what]["min_mol_pct"] / 100 - _ROUNDING, rows[what]["max_mol_pct"] / 100 + _ROUNDING, said, total)
            for what, (said, total) in _SUMS.items()
        ),
    )


def trace_of(oxide: str) -> float:
    """Most that a glass may hold of an oxide without measurements, of all moles [mole fraction]."""
    return constant("lead_trace" if oxide == "PbO" else "trace") / 100


def box_limits() -> Iterator[tuple[str, float, float, Callable[[Composition], float]]]:
    """The box of the measured glasses: name, least and largest share [mole fractions], and how the share is read."""
    box = _box()
    for i, oxide in enumerate(MODEL_OXIDES):
        yield OXIDES[oxide].name, box.low[i], box.high[i], lambda glass, i=i: glass.fractions[i]  # type: ignore[misc]
    for _, low, high, said, total in box.sums:
        yield said, low, high, total


def _unknown(glass: Composition) -> tuple[str, ...]:
    """Oxides without measurements, when there is more than a trace of one, or of all of them together."""
    too_much = sum(mol_pct for _, mol_pct in glass.left_out) > constant("trace")
    return tuple(
        f"{OXIDES[oxide].name} {mol_pct:.2g} mol % is not among the measured oxides"
        for oxide, mol_pct in glass.left_out
        if too_much or mol_pct > 100 * trace_of(oxide)
    )


def _notes(glass: Composition) -> tuple[str, ...]:
    """What the numbers depend on; traces that are not counted are told, not dropped in silence."""
    if not glass.left_out or _unknown(glass):  # more than a trace is a reason of its own
        return glass.notes
    traces = ", ".join(f"{OXIDES[oxide].name} {mol_pct:.2g} mol %" for oxide, mol_pct in glass.left_out)
    return (*glass.notes, f"not counted, because not measured: {traces}")


def _beyond(glass: Composition, box: _Box) -> tuple[str, ...]:
    return tuple(
        _words(OXIDES[oxide].name, share, low, high)
        for oxide, share, low, high in zip(MODEL_OXIDES, glass.fractions, box.low, box.high, strict=True)
        if not low <= share <= high
    )


def _thin(glass: Composition, box: _Box) -> tuple[str, ...]:
    return tuple(
        f"{OXIDES[oxide].name} {100 * share:.3g} mol %: few glasses with more than {100 * thin:.2g} mol % were measured"
        for oxide, share, thin in zip(MODEL_OXIDES, glass.fractions, box.thin, strict=True)
        if share > thin
    )


def _seen(seen: Iterable[str]) -> tuple[str, ...]:
    told = (seen,) if isinstance(seen, str) else tuple(seen)
    for word in told:
        if word not in SEEN:
            raise unknown_name(RangeError, "look", word, SEEN)
    return tuple(SEEN[word] for word in SEEN if word in told)


def _words(said: str, share: float, low: float, high: float) -> str:
    if share > high:
        return f"{said} {100 * share:.4g} mol % is more than the {100 * high:.3g} mol % of the measured glasses"
    return f"{said} {100 * share:.4g} mol % is less than the {100 * low:.3g} mol % of the measured glasses"
