"""Properties to which every oxide adds its share by moles: p = offset + sum of factor(oxide) x share(oxide).

Expansion, and what the fit needs besides: when the cooling glass sets and begins to pull on the body, and how stiff it is then.
"""

from dataclasses import dataclass
from functools import cache

from glazekit.glass.change import with_change
from glazekit.glass.composition import MODEL_OXIDES, Composition, Glaze, composition_of
from glazekit.glass.domain import Seen, reasons_for
from glazekit.glass.properties import interval_rule, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.estimate import Estimate
from glazekit.ground.tables import read_table, sidecar
from glazekit.materials.stock import Stock


@cache
def factors_of(name: str) -> tuple[float, ...]:
    """The fitted factors of a property in the order of ``MODEL_OXIDES``; an oxide without a row in its table adds nothing. Raises
    DataError for a property that is no sum, and for an oxide that no composition holds."""
    about = property_named(name)
    if about.model != "sum":
        raise DataError(f"{about.quantity} is not a sum over oxides")
    _, column, *_ = sidecar(about.factor_table)["columns"]  # the oxide, then its factor
    by_oxide = {row["oxide"]: row[column] for row in read_table(about.factor_table)}
    if strange := set(by_oxide) - set(MODEL_OXIDES):
        raise DataError(f"{about.factor_table}.csv has a factor for {', '.join(sorted(strange))}, which no composition holds")
    return tuple(by_oxide.get(oxide, 0.0) for oxide in MODEL_OXIDES)


def sum_value(name: str, glass: Composition) -> float:
    """The property of a composition, without its interval and also outside the data [unit of the property]."""
    shares = zip(factors_of(name), glass.fractions, strict=True)
    return sum([factor * share for factor, share in shares]) + property_named(name).offset


def sum_half_width(name: str, glass: Composition) -> float:
    """Half of the 90 % interval of a sum: max(floor, constant + per_alkali x alkali + per_lime x lime), shares by moles."""
    rule = interval_rule(property_named(name).interval, "absolute")
    grows = rule.get("per_alkali", 0.0) * glass["R2O"] + rule.get("per_lime", 0.0) * glass["CaO"]
    return max(rule.get("floor", 0.0), rule["constant"] + grows)


def sum_of(name: str, glass: Composition, seen: Seen = ()) -> Estimate:
    """The estimate of a property for a composition, without a reference."""
    value, half = sum_value(name, glass), sum_half_width(name, glass)
    return reasons_for(glass, seen).estimate(property_named(name), value, value - half, value + half)


def ask_sum(
    name: str,
    glaze: Glaze,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> Estimate:
    """Any property of properties.csv that is a sum, by its name; parameters, errors and limits as ``expansion``.

    >>> ask_sum("elastic_modulus", {"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).unit
    'GPa'
    """
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    mine = sum_of(name, glass, seen)
    if reference is None:
        return mine
    fired = composition_of(reference, include_additions=include_additions, stock=stock)
    return with_change(mine, glass, sum_of(name, fired), fired, name, lambda each: sum_value(name, each))


def expansion(
    glaze: Glaze,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> Estimate:
    """Thermal expansion of the cold glass: a = sum of factor(oxide) x share by moles(oxide).

    Parameters
    ----------
    glaze : a Recipe, a UnityFormula, or oxide -> mol % with a sum of 100.
    reference : a glaze you have fired; the estimate then carries the ``change`` against it.
    include_additions : of a recipe, None counts the additions whose oxides were measured in glass; True all, as if they
        dissolved; False none.
    stock : where materials are looked up; the course's when None.
    seen : what the fired glaze shows: "matte", "opaque", "crystals", "underfired".

    Returns an Estimate [1e-6 per K] with its 90 % interval. Outside the measured glasses it has no value; where these are few, or
    the fired glaze is no clear glass, ``in_range`` is False and ``note`` says why.

    Raises GlazekitError as ``composition_of``.

    >>> clear = {"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}
    >>> 5 < expansion(clear).value < 8, expansion(clear, reference=clear).change.value
    (True, 0.0)

    Limits: for clear glass without crystals. It cannot decide crazing; the tile decides.
    Source: factors and intervals fitted to open measurements, data/expansion_factors.csv and data/property_intervals.csv.
    """
    return ask_sum("expansion", glaze, reference, include_additions=include_additions, stock=stock, seen=seen)


def glass_transition(
    glaze: Glaze,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> Estimate:
    """Glass transition temperature: T = sum of factor(oxide) x share by moles(oxide), in kelvin, less 273.15.

    Returns an Estimate [°C] with its 90 % interval; parameters, errors, the rule outside the measured glasses as ``expansion``.

    >>> 450 < glass_transition({"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).value < 800
    True

    Limits: the viscosity model's own temperature of setting may differ from it by 30 °C.
    Source: factors and intervals fitted to open measurements, data/glass_transition_factors.csv.
    """
    return ask_sum("glass_transition", glaze, reference, include_additions=include_additions, stock=stock, seen=seen)


def elastic_modulus(
    glaze: Glaze,
    reference: Glaze | None = None,
    *,
    include_additions: bool | None = None,
    stock: Stock | None = None,
    seen: Seen = (),
) -> Estimate:
    """Elastic modulus (the stiffness of the fired glass): E = sum of factor(oxide) x share by moles(oxide).

    Returns an Estimate [GPa] with its 90 % interval; parameters, errors, the rule outside the measured glasses as ``expansion``.

    >>> 60 < elastic_modulus({"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 3, "CaO": 14}).value < 90
    True

    Source: factors and intervals fitted to open measurements, data/elastic_modulus_factors.csv.
    """
    return ask_sum("elastic_modulus", glaze, reference, include_additions=include_additions, stock=stock, seen=seen)


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one oxide adds to the expansion.

    Parameters: oxide, its symbol; mol_pct, its share of the glass [mol %]; factor_1e6_per_k, what it adds inside mixed glasses
    for each share by moles, by the fit [1e-6 per K]; contribution_1e6_per_k, factor x share [1e-6 per K].

    Limits: a factor is no property of the oxide alone. Silica glass has about 0.55e-6 per K
    (from memory), a quarter of silica's factor.
    """

    oxide: str
    mol_pct: float
    factor_1e6_per_k: float
    contribution_1e6_per_k: float


def expansion_contributions(
    glaze: Glaze, *, include_additions: bool | None = None, stock: Stock | None = None
) -> tuple[Contribution, ...]:
    """What each oxide adds, in the order of the data; the rows sum to the expansion exactly.

    Parameters and errors as ``expansion``. Rows are given for glazes outside the measured ones too; there their sum is no
    estimate, so ask ``expansion`` before showing it.

    >>> [row.oxide for row in expansion_contributions({"SiO2": 80, "Na2O": 20})]
    ['SiO2', 'Na2O']
    """
    glass = composition_of(glaze, include_additions=include_additions, stock=stock)
    return tuple(
        Contribution(oxide, 100 * share, factor, factor * share)
        for oxide, share, factor in zip(MODEL_OXIDES, glass.fractions, factors_of("expansion"), strict=True)
        if share
    )
