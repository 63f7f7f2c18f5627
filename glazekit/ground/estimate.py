"""Estimates: a number that a model guessed never travels without its interval, its unit and how far it can be trusted."""

from dataclasses import dataclass, replace
from decimal import Decimal

LEVEL = 0.90
"""Every interval holds the truth nine times in ten, measured on publications the fit had never seen."""
RUN_CLASSES = ("stays", "moves", "runs", "runs off")
"""How far a glaze runs down a tile, from nowhere to the slab below it."""


@dataclass(frozen=True, slots=True)
class Change:
    """How much a property differs from that of a reference glaze, with an interval measured for differences.

    ``value`` [``unit``] is the change against the glaze called ``reference``; the truth lies from ``low`` to ``high`` in a share
    ``level`` of cases. ``swapped_mol_pct`` tells how far apart the two glazes are: half the sum of the differences of all mole
    percentages [mol %]. ``in_range`` is False where the model is weak for one of the two; ``source``, ``status`` are a key in
    data/sources.toml and one of ``STATUSES``.

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
    in_range: bool = True

    @property
    def direction_known(self) -> bool:
        """Does the interval lie on one side of nothing?"""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True)
class Direction:
    """Which way a property goes against a reference glaze, where there is no number: ``sign`` +1 for more, -1 for less. ``words``
    : what that means, such as "expands less". ``right_pct`` : how often such a direction was right in an average one of
    ``publications`` that the fit had never seen [%], where the measured glasses were taken to end earlier than they do."""

    sign: int
    words: str
    reference: str
    right_pct: float
    publications: int
    source: str
    status: str


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
    why : keys of the reasons that ``note`` tells.
    direction : where there is no number, which way it goes against a reference glaze; None where nobody knows.

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
    why: tuple[str, ...] = ()
    direction: Direction | None = None

    @property
    def half_width(self) -> float | None:
        """Half of the interval [unit]; None without a value."""
        return None if self.low is None or self.high is None else (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class RunClass:
    """How far a molten coat creeps down a slope, as a class; millimetres stay inside.

    ``name`` is "stays", "moves", "runs" or "runs off", "" where the model may not speak; ``low_name`` and ``high_name`` are the
    classes at both ends of the interval of the viscosity. The run may be ``factor_band`` times larger or smaller; ``ratio`` is
    (low, value, high) of the run to that of the reference tile, None without one. The rest is as in ``Estimate``.
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
    why: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FitChance:
    """Whether a body pulls its glaze after cooling, as chances; never a verdict.

    ``tension_chance`` is the chance that the cold glaze is pulled, so that it can craze [0 to 1], None where the model may not
    speak; ``stress_mpa`` the pull (more than 0) or squeeze (less than 0) [MPa]; ``less_than_reference`` the chance that it is
    pulled less than the reference glaze on the same body [0 to 1], None without one. ``squeeze_chance`` is the chance that it is
    squeezed so much that flakes may fly off [0 to 1]. No chance passes ``most``, or falls below 1 - ``most``: an interval that
    holds nine in ten tells nothing of what lies far outside it. The rest is as in ``Estimate``.
    """

    tension_chance: float | None
    stress_mpa: Estimate
    less_than_reference: float | None
    in_range: bool
    note: str
    source: str
    status: str
    reference: str = ""
    squeeze_chance: float | None = None
    most: float = (1 + LEVEL) / 2
    why: tuple[str, ...] = ()


def say_estimate(estimate: Estimate) -> str:
    """An estimate in words, the same on every screen and sheet: number, interval, unit, status and what to mind.

    >>> say_estimate(Estimate("glass transition", None, None, None, "°C", "", "sciglass_open", "fitted", note="iron is outside"))
    'glass transition: no number; iron is outside'
    """
    if estimate.value is None or estimate.low is None or estimate.high is None:
        return f"{estimate.quantity}: no number{_note(estimate)}"
    places = _decimals(estimate.high - estimate.low)
    number, low, high = (_fixed(value, places) for value in (estimate.value, estimate.low, estimate.high))
    interval = f"({_level(estimate.level)}: {low} to {high})"
    return f"{estimate.quantity}: {number} {interval} {estimate.unit}, {_status(estimate)}{_note(estimate)}"


def say_change(change: Change) -> str:
    """A change in words: sign, interval, unit, the glaze compared with.

    >>> print(say_change(Change(0.312, -0.1, 0.72, "×10⁻⁶ per K", "Gangway Clear", 4.2, "sciglass_open", "fitted")))
    +0.31 (90 %: −0.1 to +0.7) ×10⁻⁶ per K, compared with Gangway Clear, fitted
    """
    if change.low == change.high == 0:
        return f"no change: the same glaze as {change.reference}"
    places = _decimals(change.high - change.low)
    value = _fixed(change.value, places + 1 if places else 0, sign="+")
    low, high = (_fixed(edge, places, sign="+") for edge in (change.low, change.high))
    interval = f"({_level(change.level)}: {low} to {high})"
    return f"{value} {interval} {change.unit}, compared with {change.reference}, {_status(change)}"


def say_against(estimate: Estimate, reference: str = "") -> str:
    """The change against the reference glaze, or where there is no number the direction; "" without either.

    ``reference`` : what to call it, if not by its own name.

    >>> say_against(Estimate("thermal expansion", None, None, None, "", "", "", "fitted", direction=Direction(
    ...     -1, "expands less", "Gangway Clear", 96.5, 62, "sciglass_open", "fitted")))
    'by direction alone it expands less than Gangway Clear: right 96 times in 100, in 62 publications, fitted'
    """
    if estimate.change:
        return say_change(replace(estimate.change, reference=reference or estimate.change.reference))
    if (way := estimate.direction) is None:
        return ""
    record = f"right {int(way.right_pct)} times in 100, in {way.publications} publications, {way.status}"
    return f"by direction alone it {way.words} than {reference or way.reference}: {record}"


def say_run(run: RunClass) -> str:
    """A run in words: the class, the classes at both ends of its interval, status and what to mind.

    >>> print(say_run(RunClass("runs", "moves", "runs off", 4.3, None, True, "", "sciglass_open", "fitted")))
    runs (90 %: moves to runs off), fitted
    """
    if not run.name:
        return f"no grade{_note(run)}"
    ends = "no other grade" if run.low_name == run.high_name else f"{run.low_name} to {run.high_name}"
    return f"{run.name} ({_level(run.level)}: {ends}), {_status(run)}{_note(run)}"


def say_run_ratio(run: RunClass) -> str:
    """How a run compares with that of the reference tile, in words; "" without a reference.

    >>> run = RunClass("runs", "moves", "runs off", 4.3, (3.47, 22.2, 141), True, "", "", "fitted", "Gangway Clear")
    >>> print(say_run_ratio(run))
    22 times as much (90 %: 3.5 to 140), compared with Gangway Clear, fitted
    """
    if not run.reference:
        return ""
    if run.ratio is None:
        return f"no comparison with {run.reference}"
    low, times, high = run.ratio
    if low == high:
        return f"as much: the same glaze as {run.reference}"
    interval = f"({_level(run.level)}: {_two_digits(low)} to {_two_digits(high)})"
    return f"{_two_digits(times)} times as much {interval}, compared with {run.reference}, {_status(run)}"


def say_chance(fit: FitChance) -> str:
    """The chance of a pull in words, with its status and what to mind.

    >>> pull = Estimate("stress in the cold glaze", None, None, None, "MPa", "", "sciglass_open", "fitted")
    >>> print(say_chance(FitChance(0.876, pull, None, True, "", "sciglass_open", "fitted")))
    chance of a pull: about 88 in 100, fitted
    """
    if fit.tension_chance is None:
        return f"chance of a pull: no number{_note(fit)}"
    return f"chance of a pull: {_in_100(fit.tension_chance, fit.most)}, {_status(fit)}{_note(fit)}"


def say_squeeze(fit: FitChance) -> str:
    """The chance of too much squeeze in words, with its status."""
    if fit.squeeze_chance is None:
        return "chance of too much squeeze: no number"
    return f"chance of too much squeeze: {_in_100(fit.squeeze_chance, fit.most)}, {_status(fit)}"


def say_chance_against(fit: FitChance) -> str:
    """The chance to be pulled less than the reference glaze on the same body, in words; "" without a reference."""
    if not fit.reference:
        return ""
    if fit.less_than_reference is None:
        return f"no comparison with {fit.reference}"
    chance = _in_100(fit.less_than_reference, fit.most)
    return f"chance to be pulled less than {fit.reference}: {chance}, {_status(fit)}"


def _status(told: Estimate | Change | RunClass | FitChance) -> str:
    return told.status if told.in_range else f"{told.status}, uncertain"


def _note(told: Estimate | RunClass | FitChance) -> str:
    return f"; {told.note}" if told.note else ""


def _in_100(chance: float, most: float) -> str:
    """A chance in so many of a hundred; at both ends no more than its evidence tells."""
    times, top = round(100 * chance), int(100 * most + 1e-9)
    if chance >= most:
        return f"at least {top} in 100"
    return f"at most {100 - top} in 100" if chance <= 1 - most else f"about {times} in 100"


def _two_digits(ratio: float) -> str:
    """A ratio with the two digits that count: 140, 22, 3.5, 0.093."""
    return f"{ratio:.1f}" if 0.995 <= ratio < 9.95 else f"{Decimal(f'{ratio:.2g}'):f}"


def _level(level: float) -> str:
    return f"{100 * level:.0f} %"


def _decimals(width: float) -> int:
    """Decimals worth printing in an interval of this width."""
    return 0 if width >= 6 else 1 if width >= 0.3 else 2


def _fixed(value: float, places: int, sign: str = "-") -> str:
    """Rounded, with a true minus, and nothing is ever printed as −0."""
    rounded = round(value, places) + 0.0
    return f"{rounded:{sign}.{places}f}".replace("-", "−") if rounded else f"{0:.{places}f}"
