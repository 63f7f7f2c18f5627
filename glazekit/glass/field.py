"""Viscosity and expansion over the silica-alumina plane, for the learner's own fluxes, boron and all the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from glazekit.chemistry.unity import UnityFormula
from glazekit.glass.composition import MODEL_OXIDES, Composition
from glazekit.glass.constants import constant
from glazekit.glass.domain import box_limits, trace_of
from glazekit.glass.known_part import KnownPart, Limit, known_part
from glazekit.glass.melt import melt_curve
from glazekit.glass.sums import sum_value
from glazekit.materials.oxides import OXIDES

Rows = tuple[tuple[float, ...], ...]
"""Values row by row: one row for each alumina, in it one value for each silica."""
Linear = tuple[float, float, float]
"""An amount of moles that grows evenly: per mole of silica, per mole of alumina, and without either."""


@dataclass(frozen=True, slots=True)
class FluxSet:
    """What stays while silica and alumina change: fluxes, boron and everything else, per mole of flux.

    Parameters
    ----------
    amounts : moles of ``MODEL_OXIDES`` per mole of flux, silica and alumina 0 [mol].
    left_out : (oxide, moles per mole of flux) of oxides the models do not know [mol].

    >>> from glazekit.chemistry.unity import unity_from_moles
    >>> clear = FluxSet.of(unity_from_moles({"Na2O": 0.2, "CaO": 0.8, "Al2O3": 0.4, "SiO2": 3.6}))
    >>> clear.at(3.6, 0.4)["SiO2"], clear.at(4.6, 0.4)["CaO"] == 0.8 / 6
    (0.72, True)
    """

    amounts: tuple[float, ...]
    left_out: tuple[tuple[str, float], ...] = ()

    @classmethod
    def of(cls, unity: UnityFormula) -> FluxSet:
        """The flux set of a glaze; iron counts as Fe2O3, as in ``composition_of``."""
        moles = {oxide: amount for oxide, amount in unity.pairs if oxide not in ("SiO2", "Al2O3")}
        if iron_two := moles.pop("FeO", 0.0):
            moles["Fe2O3"] = moles.get("Fe2O3", 0.0) + iron_two / 2
        known = tuple(moles.pop(oxide, 0.0) for oxide in MODEL_OXIDES)
        return cls(known, tuple(moles.items()))

    def at(self, silica: float, alumina: float) -> Composition:
        """The composition of one spot of the plane [moles per mole of flux]."""
        total = silica + alumina + sum(self.amounts)
        shares = [amount / total for amount in self.amounts]
        shares[0], shares[1] = silica / total, alumina / total
        return Composition("", tuple(shares))

    def limits(self, temp_c: float | None = None, silica: float = 10.0, alumina: float = 2.0) -> Iterator[Limit]:
        """The limits of the measured glasses as straight lines of the plane.

        Parameters
        ----------
        temp_c : add the limits of the viscosity at this temperature [°C].
        silica, alumina : the farthest spot of interest [moles per mole of flux].
        """
        rest = Composition("", self.amounts)  # moles, not shares: sums over oxides are the same sums
        total = (1.0, 1.0, sum(self.amounts))
        all_of_it = (1.0, 1.0, total[2] + sum(moles for _, moles in self.left_out))
        for oxide, moles in self.left_out:
            most = trace_of(oxide)
            words = f"{OXIDES[oxide].name} more than {100 * most:.3g} mol %, which nobody measured"
            yield _no_more((0.0, 0.0, moles), most, all_of_it, words)
        for name, low, high, of in box_limits():
            amount = of(_ONLY_SILICA), of(_ONLY_ALUMINA), of(rest)
            yield _no_more(amount, high, total, f"{name} more than {100 * high:.3g} mol %")
            if low > 0:
                yield _no_less(amount, low, total, f"{name} less than {100 * low:.3g} mol %")
        if temp_c is None:
            return
        slack_min, hot = constant("melt_slack_min"), constant("melt_hot_c")
        fluxes = rest.alkali + rest.earths
        yield _no_less((0.0, -1.0, fluxes), slack_min, total, f"fluxes less alumina under {100 * slack_min:g} mol %")
        if rest.alkali < constant("melt_alkali_free") * (silica + alumina + total[2]):
            least = constant("melt_silica_min")
            yield _no_less((1.0, 0.0, 0.0), least, total, f"no alkali and silica less than {100 * least:g} mol %")
        if temp_c > hot:
            yield Limit(0.0, 0.0, -1.0, f"hotter than {hot:g} °C, where the measurements end")

    def known_part(self, silica: tuple[float, float], alumina: tuple[float, float], temp_c: float | None = None) -> KnownPart:
        """What the measured glasses cover of a window, and what lies beyond.

        Parameters
        ----------
        silica, alumina : lowest and highest of the window [moles per mole of flux].
        temp_c : for the viscosity at this temperature [°C]; None for the expansion.

        Limits: for glazes with hardly any alkali it is a little smaller than what ``viscosity`` accepts.
        """
        return known_part(self.limits(temp_c, silica[1], alumina[1]), silica, alumina)


def viscosity_field(fluxes: FluxSet, temp_c: float, silica: Sequence[float], alumina: Sequence[float]) -> Rows:
    """log10(viscosity / Pa.s) over the plane, without the cap and also outside the data: draw it with ``known_part``.

    Parameters
    ----------
    fluxes : what stays.
    temp_c : temperature of the melt [°C].
    silica, alumina : where the values are wanted [moles per mole of flux]; not both 0 where there is nothing else.

    Limits: one number for each spot, without its interval; say the interval beside the drawing.
    """
    return tuple(tuple(melt_curve(fluxes.at(x, y)).log10_pa_s(temp_c) for x in silica) for y in alumina)


def expansion_field(fluxes: FluxSet, silica: Sequence[float], alumina: Sequence[float]) -> Rows:
    """Thermal expansion over the plane [1e-6 per K]; parameters and limits as ``viscosity_field``."""
    return tuple(tuple(sum_value("expansion", fluxes.at(x, y)) for x in silica) for y in alumina)


def _only(oxide: str) -> Composition:
    return Composition("", tuple(float(name == oxide) for name in MODEL_OXIDES))


_ONLY_SILICA, _ONLY_ALUMINA = _only("SiO2"), _only("Al2O3")


def _no_more(amount: Linear, share: float, total: Linear, words: str) -> Limit:
    """Where ``amount`` is more than its share of the total, share x total - amount is less than 0."""
    silica, alumina, rest = (share * of_all - mine for mine, of_all in zip(amount, total, strict=True))
    return Limit(silica, alumina, rest, words)


def _no_less(amount: Linear, share: float, total: Linear, words: str) -> Limit:
    """Where ``amount`` is less than its share of the total, amount - share x total is less than 0."""
    silica, alumina, rest = (mine - share * of_all for mine, of_all in zip(amount, total, strict=True))
    return Limit(silica, alumina, rest, words)
