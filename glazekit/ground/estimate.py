"""Estimates: a number that a model guessed never travels without its interval, its unit and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass

LEVEL = 0.90
"""Every interval holds the truth nine times in ten, measured on publications the fit had never seen."""


@dataclass(frozen=True, slots=True)
class Change:
    """How much a property differs from that of a reference glaze, with an interval measured for differences.

    Parameters
    ----------
    value, low, high : the change and its interval [unit].
    unit : such as "GPa".
    reference : name of the glaze compared with.
    swapped_mol_pct : how far apart the two glazes are: half the sum of the differences of all mole percentages [mol %].
    source, status : key in data/sources.toml; one of ``STATUSES``.
    level : share of cases in which the truth lies from ``low`` to ``high``.

    Limits: it is its own measured quantity and never the difference of two Estimates, whose errors are mostly shared.
    """

    value: float
    low: float
    high: float
    unit: str
    reference: str
    swapped_mol_pct: float
    source: str
    status: str
    level: float = LEVEL

    @property
    def direction_known(self) -> bool:
        """Does the interval lie on one side of nothing?"""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A property as a model guesses it.

    Parameters
    ----------
    quantity : in words, such as "thermal expansion".
    value, low, high : the guess and its interval [unit]; None where the model may not speak, and ``note`` says why.
    unit, basis : what one unit is; over what the property holds, such as "room temperature to 300 °C".
    source, status : key in data/sources.toml; one of ``STATUSES``.
    level : share of cases in which the truth lies from ``low`` to ``high``.
    in_range : False where the number is given but the model is weak; show it grey, with ``note``.
    note : reasons in words; "" when there is nothing to say.
    change : against a reference glaze; None without one.

    >>> guess = Estimate("thermal expansion", 6.51, 5.4, 7.6, "×10⁻⁶ per K", "", "sciglass_open", "fitted")
    >>> print(say_estimate(guess))
    thermal expansion: 6.5 (90 %: 5.4 to 7.6) ×10⁻⁶ per K, fitted

    Limits: it has no ``float()``, so that the number cannot slip away alone.
    """

    quantity: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    basis: str
    source: str
    status: str
    level: float = LEVEL
    in_range: bool = True
    note: str = ""
    change: Change | None = None

    @property
    def half_width(self) -> float | None:
        """Half of the interval [unit]; None without a value."""
        return None if self.low is None or self.high is None else (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class RunClass:
    """How far a molten coat creeps down a slope, as a class; millimetres stay inside.

    Parameters
    ----------
    name : "stays", "moves", "runs" or "runs off"; "" where the model may not speak.
    low_name, high_name : the classes at both ends of the interval of the stiffness.
    factor_band : the run may be this many times larger or smaller.
    ratio : (low, value, high) of the run to that of the reference tile; None without a reference.
    reference : name of the reference glaze, or "".
    in_range, note, source, status, level : as in ``Estimate``.
    """

    name: str
    low_name: str
    high_name: str
    factor_band: float
    ratio: tuple[float, float, float] | None
    in_range: bool
    note: str
    source: str
    status: str
    reference: str = ""
    level: float = LEVEL


@dataclass(frozen=True, slots=True)
class FitChance:
    """Whether a body pulls its glaze after cooling, as chances; never a verdict.

    Parameters
    ----------
    tension_chance : chance that the cold glaze is pulled, so that it can craze [0 to 1]; None where the model may not speak.
    stress_mpa : the pull (more than 0) or squeeze (less than 0) [MPa].
    less_than_reference : chance that it is pulled less than the reference glaze on the same body [0 to 1]; None without one.
    reference : name of the reference glaze, or "".
    in_range, note, source, status : as in ``Estimate``.
    """

    tension_chance: float | None
    stress_mpa: Estimate
    less_than_reference: float | None
    in_range: bool
    note: str
    source: str
    status: str
    reference: str = ""


def say_estimate(estimate: Estimate) -> str:
    """An estimate in words, the same on every screen and sheet: number, interval, unit, status and what to mind.

    >>> say_estimate(Estimate("glass transition", None, None, None, "°C", "", "sciglass_open", "fitted", note="iron is outside"))
    'glass transition: no number; iron is outside'
    """
    note = f"; {estimate.note}" if estimate.note else ""
    if estimate.value is None or estimate.low is None or estimate.high is None:
        return f"{estimate.quantity}: no number{note}"
    places = _decimals(estimate.high - estimate.low)
    number, low, high = (_fixed(value, places) for value in (estimate.value, estimate.low, estimate.high))
    status = estimate.status if estimate.in_range else f"{estimate.status}, uncertain"
    return f"{estimate.quantity}: {number} ({_level(estimate.level)}: {low} to {high}) {estimate.unit}, {status}{note}"


def say_change(change: Change) -> str:
    """A change in words: sign, interval, unit, the glaze compared with.

    >>> print(say_change(Change(0.312, -0.1, 0.72, "×10⁻⁶ per K", "Gangway Clear", 4.2, "sciglass_open", "fitted")))
    +0.31 (90 %: -0.1 to +0.7) ×10⁻⁶ per K, compared with Gangway Clear, fitted
    """
    if change.low == change.high == 0:
        return f"no change: the same glaze as {change.reference}"
    places = _decimals(change.high - change.low)
    value = _fixed(change.value, places + 1 if places else 0, sign="+")
    low, high = (_fixed(edge, places, sign="+") for edge in (change.low, change.high))
    interval = f"({_level(change.level)}: {low} to {high})"
    return f"{value} {interval} {change.unit}, compared with {change.reference}, {change.status}"


def _level(level: float) -> str:
    return f"{100 * level:.0f} %"


def _decimals(width: float) -> int:
    """Decimals worth printing in an interval of this width."""
    return 0 if width >= 6 else 1 if width >= 0.3 else 2


def _fixed(value: float, places: int, sign: str = "-") -> str:
    """Rounded, and nothing is ever printed as -0."""
    rounded = round(value, places) + 0.0
    return f"{rounded:{sign}.{places}f}" if rounded else f"{0:.{places}f}"
