"""Where the models may speak: the box of the measured glasses, what is thinly measured, signs of crystals, what was seen."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from math import inf
from typing import NamedTuple

from glazekit.glass.composition import Composition, Reason
from glazekit.glass.properties import Property, constant
from glazekit.ground.errors import RangeError, unknown_name
from glazekit.ground.estimate import LEVEL, Estimate
from glazekit.ground.tables import Row, read_table
from glazekit.materials.oxides import OXIDES

SEEN = {
    "matte": "it is matte: a matte glaze is full of crystals, and the model is for clear glass",
    "opaque": "it is opaque: what makes it white has not dissolved, and the model counts it as glass",
    "crystals": "crystals are seen in it, and the model is for clear glass",
    "underfired": "it is underfired: part of it has not melted, and the model counts it as glass",
}
"""What may be told about the fired glaze, and why the models are then weak."""
Seen = Iterable[str]
"""What the fired glaze shows: words of ``SEEN``, or one of them."""
SIGNS = {
    "low_silica": "silica to alumina is low: it is likely to be matte, full of crystals",
    "lime_matte": "much lime and little silica: it is likely to be a lime matte, full of crystals",
    "magnesia_matte": "much magnesia and little silica: it is likely to be a magnesia matte, full of crystals",
    "baria_matte": "much baria or strontia and little silica: it is likely to be matte, full of crystals",
    "zinc_crystals": "much zinc and little alumina: zinc silicate is likely to crystallise, and what stays is another glass",
    "zinc_opaque": "much zinc and alumina: it is likely to be opaque, full of fine crystals",
    "iron_crystals": "much iron: part of it is likely to crystallise out as the kiln cools, rust-red (kaki)",
    "unmixing": "much silica for its alumina, boron and phosphorus: it is likely to part into two glasses, and milky (chun)",
    "spodumene": "lithia with alumina: beta-spodumene may crystallise; it hardly expands, so that flakes may fly off (shivering)",
}
"""A sign of data/crystal_signs.csv -> what it is likely to mean."""
_ROUNDING = 1e-9
_SAID = {"R2O": "lithia + soda + potash", "R2O+RO": "all fluxes together"}


@dataclass(frozen=True, slots=True)
class Reasons:
    """Why a model should not be believed: reasons to give no number, reasons to show it grey, and notes on a good one too.

    The rule, one for all properties: outside the box of the measured glasses, or with more than a trace of an oxide the model
    does not know, there is no number; of what such an oxide leaves over nothing is said. Where the box holds few measurements,
    or the fired glaze is not a clear glass, the number stands grey with its reason.
    """

    outside: tuple[Reason, ...] = ()
    weak: tuple[Reason, ...] = ()
    notes: tuple[Reason, ...] = ()

    @property
    def words(self) -> str:
        """All of them as one line, the gravest first."""
        return "; ".join(reason.words for reason in (*self.outside, *self.weak, *self.notes))

    @property
    def keys(self) -> tuple[str, ...]:
        """Their keys in the same order; those of a reason to give no number begin with ``outside_``."""
        return tuple(reason.key for reason in (*self.outside, *self.weak, *self.notes))

    def estimate(
        self,
        about: Property,
        value: float | None,
        low: float | None,
        high: float | None,
        *,
        quantity: str = "",
        unit: str = "",
        note: str = "",
    ) -> Estimate:
        """A guess under this rule, with the reasons in words; ``quantity`` and ``unit`` where they are not the property's own."""
        if self.outside:
            value = low = high = None
        good = not (self.outside or self.weak)
        named, unit, said = quantity or about.quantity, unit or about.unit, "; ".join(filter(None, (note, self.words)))
        return Estimate(named, value, low, high, unit, about.basis, *about.trust, LEVEL, good, said, why=self.keys)


def reasons_for(glass: Composition, seen: Seen = ()) -> Reasons:
    """What speaks against believing any of the models for this glass.

    ``seen`` : what the fired glaze shows, words of ``SEEN``. Raises RangeError for another word.

    >>> from glazekit.glass.composition import composition_of
    >>> sand = reasons_for(composition_of({"SiO2": 90, "Na2O": 10}))
    >>> print(sand.outside[0].words)
    silica 90 mol % is more than the 82 mol % of the measured glasses
    """
    if unknown := unmeasured(glass):  # shares of what is left over would say nothing of the glaze
        return Reasons(unknown, (*_seen(seen), *glass.doubts), glass.notes)
    outside, weak, edges, shares = [], list(glass.doubts), [], glass.shares()
    for edge in box():
        share = shares[edge.what]
        if not edge.low <= share <= edge.high:
            side, limit = ("less", edge.low) if share < edge.low else ("more", edge.high)
            said = f"{edge.said} {100 * share:.4g} mol % is {side} than the {100 * limit:.3g} mol % of the measured glasses"
            outside.append(Reason(f"outside_{edge.what}_{side}", said))
        elif share > edge.high - edge.near:
            said = f"{edge.said} {100 * share:.3g} mol % lies at the edge: nothing was measured above {100 * edge.high:.3g} mol %"
            edges.append(Reason(f"edge_{edge.what}", said))
        if share > edge.thin:
            said = f"{edge.said} {100 * share:.3g} mol %: few glasses with more than {100 * edge.thin:.2g} mol % were measured"
            weak.append(Reason(f"few_{edge.what}", said))
    return Reasons(tuple(outside), (*_seen(seen), *crystal_reasons(glass), *weak), (*edges, *_notes(glass)))


class Edge(NamedTuple):
    """A row of data/glass_box.csv: how little and how much was measured, and from where on only few times [mole fractions]."""

    what: str
    said: str
    low: float
    high: float
    thin: float

    @property
    def near(self) -> float:
        """So close below the upper border the edge is told: a twentieth of it [mole fraction]."""
        return self.high / 20


@cache
def box() -> tuple[Edge, ...]:
    """The box of the measured glasses."""

    def edge(row: Row) -> Edge:
        what, thin = row["what"], row["thin_above_mol_pct"]
        low, high = row["min_mol_pct"] / 100 - _ROUNDING, row["max_mol_pct"] / 100 + _ROUNDING
        said = _SAID.get(what) or OXIDES[what].name
        return Edge(what, said, low, high, inf if thin is None else thin / 100 + _ROUNDING)

    return tuple(edge(row) for row in read_table("glass_box"))


def trace_of(oxide: str) -> float:
    """Most that a glass may hold of an oxide without measurements, of all moles [mole fraction]."""
    return constant("lead_trace" if oxide == "PbO" else "trace") / 100


def unmeasured(glass: Composition) -> tuple[Reason, ...]:
    """Oxides without measurements, when there is more than a trace of one, or of all of them together."""
    too_much = sum(mol_pct for _, mol_pct in glass.left_out) > constant("trace")
    return tuple(
        Reason(f"outside_unmeasured_{oxide}", f"{OXIDES[oxide].name} {mol_pct:.2g} mol % is not among the measured oxides")
        for oxide, mol_pct in glass.left_out
        if too_much or mol_pct > 100 * trace_of(oxide)
    )


def _notes(glass: Composition) -> tuple[Reason, ...]:
    """What the numbers depend on; traces that are not counted are told, not dropped in silence."""
    if not glass.left_out:
        return glass.notes
    traces = ", ".join(f"{OXIDES[oxide].name} {mol_pct:.2g} mol %" for oxide, mol_pct in glass.left_out)
    return (*glass.notes, Reason("traces_left_out", f"not counted, because not measured: {traces}"))


def _seen(seen: Seen) -> tuple[Reason, ...]:
    told = (seen,) if isinstance(seen, str) else tuple(seen)
    for word in told:
        if word not in SEEN:
            raise unknown_name(RangeError, "look", word, SEEN)
    return tuple(Reason(f"seen_{word}", SEEN[word]) for word in SEEN if word in told)


def crystal_reasons(glass: Composition) -> tuple[Reason, ...]:
    """Every sign of crystals that a composition shows; each makes an estimate grey.

    >>> from glazekit.glass.composition import composition_of
    >>> matte = composition_of({"CaO": 26.6, "K2O": 4.7, "Al2O3": 12.8, "SiO2": 55.9})
    >>> [reason.key for reason in crystal_reasons(matte)]
    ['crystals_low_silica', 'crystals_lime_matte']

    Limits: borders of habit. A fast cooling may keep such a glaze clear, a slow one may fill another with crystals.
    """
    shares = glass.shares()
    flux = shares["R2O+RO"] - shares["MnO"]
    found = set()
    for (sign, _), limits in _crystal_signs().items():
        for part, low, high in limits:
            if not low <= _amount(shares, part, flux) <= high:
                break
        else:
            found.add(sign)
    return tuple(Reason(f"crystals_{sign}", said) for sign, said in SIGNS.items() if sign in found)


@cache
def _crystal_signs() -> dict[tuple[str, int], list[tuple[str, float, float]]]:
    """Sign and case -> (part, least, most)."""
    found: dict[tuple[str, int], list[tuple[str, float, float]]] = {}
    for row in read_table("crystal_signs"):
        limits = row["part"], -inf if row["low"] is None else row["low"], inf if row["high"] is None else row["high"]
        found.setdefault((row["sign"], row["case"]), []).append(limits)
    return found


def _amount(shares: dict[str, float], part: str, flux: float) -> float:
    """Moles for each mole of flux, or silica to alumina; nothing is 0 of no flux too, anything else of nothing without bound."""
    above, under = (shares["SiO2"], shares["Al2O3"]) if part == "silica_to_alumina" else (shares.get(part, 0.0), flux)
    if "+" in part:
        above = sum([shares[oxide] for oxide in part.split("+")])
    return above / under if under > 0 else inf if above else 0.0
