"""The ellipse of a cloud of points: where nine of ten of them lie on the silica and alumina chart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, log, pi, sin, sqrt
from statistics import covariance, fmean

from glazekit.ground.errors import RangeError

REACH = -2 * log(1 - 0.90)
"""Squared distance from the centre, in units of the covariance, within which nine in ten points of a bell-shaped cloud lie."""


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Mean and covariance of two quantities, drawn as an ellipse.

    Parameters
    ----------
    centre_x, centre_y : means.
    variance_x, variance_y, covariance : of the cloud.

    >>> cloud = Ellipse(0, 0, variance_x=0.04, variance_y=0.01, covariance=0.0)
    >>> [round(span, 3) for span in cloud.half_spans]
    [0.429, 0.215]

    Limits: two numbers and an angle cannot show a bent or lopsided cloud.
    """

    centre_x: float
    centre_y: float
    variance_x: float
    variance_y: float
    covariance: float

    @property
    def half_spans(self) -> tuple[float, float]:
        """How far the ellipse reaches to either side of its centre, in x and in y: root of variance times reach."""
        return sqrt(REACH * self.variance_x), sqrt(REACH * self.variance_y)

    def points(self, count: int = 60) -> tuple[tuple[float, float], ...]:
        """Points round the edge, to be joined by a line; the first is not repeated at the end.

        A circle, drawn with the triangular root of the covariance (A.-L. Cholesky): y goes along with x as far as they vary
        together, and has the rest of its variance for itself.
        """
        half_x, half_y = self.half_spans
        with_x = REACH * self.covariance / half_x if half_x else 0.0
        alone = sqrt(max(0.0, half_y**2 - with_x**2))
        turns = [2 * pi * i / count for i in range(count)]
        return tuple(
            (self.centre_x + half_x * cos(turn), self.centre_y + with_x * cos(turn) + alone * sin(turn)) for turn in turns
        )


def ellipse_of(x: Sequence[float], y: Sequence[float]) -> Ellipse:
    """The ellipse of drawn points; variances divide by one less than their number.

    Raises RangeError for fewer than two points.
    """
    if len(x) < 2:
        raise RangeError(f"there are {len(x)} points; an ellipse needs at least two")
    return Ellipse(fmean(x), fmean(y), covariance(x, x), covariance(y, y), covariance(x, y))
