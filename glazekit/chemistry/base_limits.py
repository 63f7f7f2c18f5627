"""Limits on how much of the base a material makes: fixed, at least, at most, plastic clay, and what is left on the shelf."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.unity import ByName
from glazekit.ground.errors import RecipeError, unknown_name
from glazekit.ground.numbers import within
from glazekit.materials.material import Material
from glazekit.materials.stock import Stock

PLASTIC_CLAY_PCT = 8.0
"""With less plastic clay than this in the base a slip settles hard (common practice, no source)."""
FIXED, AT_LEAST, AT_MOST = "exactly", "at least", "at most"
SLACK_PCT = 1e-9


@dataclass(frozen=True, slots=True)
class BaseLimit:
    """One limit on a recipe: the named materials together make exactly, at least or at most ``pct`` of the raw base by weight.

    ``because`` tells why, when the limit was not typed as such, e.g. "only 30 g on the shelf".

    >>> str(BaseLimit(AT_MOST, ("kaolin",), 20.0))
    'kaolin at most 20 %'
    """

    kind: str
    materials: tuple[str, ...]
    pct: float
    because: str = ""

    def __str__(self) -> str:
        what = "plastic clay" if len(self.materials) > 1 else self.materials[0]
        return f"{what} {self.kind} {self.pct:.4g} %" + (f" ({self.because})" if self.because else "")


def base_limits(
    materials: Sequence[Material],
    stock: Stock,
    shares: Mapping[str, ByName],
    min_plastic_clay_pct: float | None,
    available_g: ByName,
    base_g: float,
) -> tuple[BaseLimit, ...]:
    """Every limit as a ``BaseLimit``, names resolved, contradictions refused.

    Parameters: as for ``formulate``; shares, kind -> material -> exactly, at least or at most so much [% of the raw base].

    Raises RecipeError for a limit on a material that is not allowed or limits that contradict each other,
    RangeError for a percentage outside 0 to 100.
    """
    names = [material.name for material in materials]
    chosen = {
        kind: {_named(name, names, stock): _pct(pct, name) for name, pct in given.items()} for kind, given in shares.items()
    }
    because = {}
    for name, grams in available_g.items():
        if (known := stock.find(name).name) not in names:
            continue  # a shelf list may hold more than this recipe may use
        most = 100 * within(grams, 0, 1e9, f"what is left of {name}", "g") / within(base_g, 1, 100_000, "the base mass", "g")
        if most < chosen[AT_MOST].get(known, 100.0):
            chosen[AT_MOST][known] = most
            because[known] = f"only {grams:.4g} g on the shelf for {base_g:.5g} g of base"
    _check(chosen, names)
    limits = [
        BaseLimit(kind, (name,), pct, because.get(name, "") if kind == AT_MOST else "")
        for kind, given in chosen.items()
        for name, pct in given.items()
    ]
    if min_plastic_clay_pct:
        pct = _pct(min_plastic_clay_pct, "plastic clay")
        clays = tuple(material.name for material in materials if material.plastic_clay)
        if not clays:
            raise RecipeError(f"at least {pct:g} % plastic clay is asked for, but none of {', '.join(names)} is a plastic clay")
        limits.append(BaseLimit(AT_LEAST, clays, pct))
    return tuple(limits)


def _pct(pct: float, name: str) -> float:
    return within(pct, 0, 100, f"the share of {name}", "%")


def _named(name: str, names: Sequence[str], stock: Stock) -> str:
    known = stock.find(name).name if name in stock else name
    if known not in names:
        raise unknown_name(RecipeError, "allowed material", name, names, where="a limit: ")
    return known


def _check(chosen: Mapping[str, ByName], names: Sequence[str]) -> None:
    """Refuse percentages that no recipe can have, in words that say which."""
    fixed, least, most = chosen[FIXED], chosen[AT_LEAST], chosen[AT_MOST]
    for name in names:
        low, high = least.get(name, 0.0), most.get(name, 100.0)
        if low > high + SLACK_PCT:
            raise RecipeError(f"{name} is to be at least {low:g} % and at most {high:.4g} %; no share is both")
        if name in fixed and not low - SLACK_PCT <= fixed[name] <= high + SLACK_PCT:
            raise RecipeError(f"{name} is fixed at {fixed[name]:g} %, but limited to {low:g} to {high:.4g} %")
    lowest = fsum(fixed.get(name, least.get(name, 0.0)) for name in names)
    if lowest > 100 + SLACK_PCT:
        raise RecipeError(f"the fixed and least shares total {lowest:.4g} %, more than the whole base")
    highest = fsum(fixed.get(name, most.get(name, 100.0)) for name in names)
    if highest < 100 - SLACK_PCT:
        raise RecipeError(f"the fixed and greatest shares total {highest:.4g} %, less than the whole base")
