"""Properties to which every oxide adds its share by moles: one way to ask for expansion, glass transition and stiffness."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from glazekit.glass.change import with_change
from glazekit.glass.composition import Composition, Glaze, composition_of
from glazekit.glass.domain import reasons_for
from glazekit.glass.factors import Factors, absolute_half_width, factors
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock


@dataclass(frozen=True, slots=True)
class AdditiveProperty:
    """A property p = offset + sum of factor(oxide) x share by moles(oxide).

    Parameters
    ----------
    quantity, unit, basis : as in ``Estimate``.
    rule : its name in property_intervals.csv.
    table, column : where its factors stand.
    offset : added to the sum, such as -273.15 from kelvin to °C.
    """

    quantity: str
    unit: str
    basis: str
    rule: str
    table: str
    column: str
    offset: float = 0.0

    @property
    def factors(self) -> Factors:
        """The fitted factors."""
        return factors(self.table, self.column)

    def of(self, glass: Composition, seen: Iterable[str] = ()) -> Estimate:
        """The estimate for a composition, without a reference."""
        model, reasons = self.factors, reasons_for(glass, seen)
        if reasons.outside:
            value = low = high = None
        else:
            value = model.of(glass) + self.offset
            half = absolute_half_width(self.rule, glass)
            low, high = value - half, value + half
        return Estimate(
            self.quantity,
            value,
            low,
            high,
            self.unit,
            self.basis,
            model.source,
            model.status,
            in_range=not (reasons.outside or reasons.weak),
            note=reasons.words,
        )

    def asked(
        self, glaze: Glaze, reference: Glaze | None, include_additions: bool, stock: Stock | None, seen: Iterable[str]
    ) -> Estimate:
        """The estimate for a glaze, with the change against a reference when one is given."""
        glass = composition_of(glaze, include_additions=include_additions, stock=stock)
        mine = self.of(glass, seen)
        if reference is None:
            return mine
        fired = composition_of(reference, include_additions=include_additions, stock=stock)
        return with_change(mine, glass, self.of(fired), fired, self.rule)
