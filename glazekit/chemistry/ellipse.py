"""The ellipse of a cloud of points: where nine of ten of them lie on the silica and alumina chart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, fsum, log, pi, sin, sqrt

from glazekit.ground.errors import RangeError


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Mean and covariance of two quantities, drawn as an ellipse.

    Parameters
    ----------
    centre_x, centre_y : means.
    variance_x, variance_y, covariance : of the cloud.
    level : share of the points that lie inside when the cloud is bell shaped.

    >>> cloud = Ellipse(3.5, 0.4, variance_x=0.04, variance_y=0.01, covariance=0.0)
    >>> [round(half, 3) for half in cloud.half_axes], cloud.angle_deg, cloud.contains(3.9, 0.4), cloud.contains(3.5, 0.7)
    ([0.429, 0.215], 0.0, True, False)

    Limits: two numbers and an angle cannot show a bent or lopsided cloud.
    """

    centre_x: float
    centre_y: float
    variance_x: float
    variance_y: float
    covariance: float
    level: float = 0.90

    @property
    def half_axes(self) -> tuple[float, float]:
        """Long and short half axis: the square roots of -2 ln(1 - level) times the eigenvalues of the covariance."""
        middle = (self.variance_x + self.variance_y) / 2
        apart = sqrt(((self.variance_x - self.variance_y) / 2) ** 2 + self.covariance**2)
        reach = -2 * log(1 - self.level)
        return sqrt(reach * (middle + apart)), sqrt(reach * max(0.0, middle - apart))

    @property
    def half_spans(self) -> tuple[float, float]:
        """How far the ellipse reaches to either side of its centre, in x and in y.

        >>> cloud = Ellipse(0, 0, variance_x=0.04, variance_y=0.01, covariance=0.0)
        >>> cloud.half_spans == cloud.half_axes
        True
        """
        reach = -2 * log(1 - self.level)
        return sqrt(reach * self.variance_x), sqrt(reach * self.variance_y)

    @property
    def angle_deg(self) -> float:
        """Direction of the long axis, counted from x towards y [degrees]."""
        return degrees(atan2(2 * self.covariance, self.variance_x - self.variance_y)) / 2

    def points(self, count: int = 60) -> tuple[tuple[float, float], ...]:
        """Points round the edge, to be joined by a line; the first is not repeated at the end."""
        long, short = self.half_axes
        tilt = self.angle_deg * pi / 180
        edge = []
        for i in range(count):
            along, across = long * cos(2 * pi * i / count), short * sin(2 * pi * i / count)
            x = self.centre_x + along * cos(tilt) - across * sin(tilt)
            y = self.centre_y + along * sin(tilt) + across * cos(tilt)
            edge.append((x, y))
        return tuple(edge)

    def contains(self, x: float, y: float) -> bool:
        """Does a point lie inside or on the edge."""
        dx, dy = x - self.centre_x, y - self.centre_y
        determinant = self.variance_x * self.variance_y - self.covariance**2
        if determinant <= 0:
            return dx == dy == 0
        squared = (self.variance_y * dx * dx - 2 * self.covariance * dx * dy + self.variance_x * dy * dy) / determinant
        return squared <= -2 * log(1 - self.level)


def ellipse_of(x: Sequence[float], y: Sequence[float], level: float = 0.90) -> Ellipse:
    """The ellipse of drawn points; variances divide by one less than their number.

    Raises RangeError for fewer than two points.
    """
    count = len(x)
    if count < 2:
        raise RangeError(f"an ellipse needs at least two points; there is {count}" if count else "an ellipse needs points")
    centre_x, centre_y = fsum(x) / count, fsum(y) / count
    dx, dy = [value - centre_x for value in x], [value - centre_y for value in y]
    return Ellipse(
        centre_x,
        centre_y,
        fsum(a * a for a in dx) / (count - 1),
        fsum(b * b for b in dy) / (count - 1),
        fsum(a * b for a, b in zip(dx, dy, strict=True)) / (count - 1),
        level,
    )
