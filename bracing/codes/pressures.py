"""Pressure as a field over a wall's outline, whatever standard gives it: its shape, its mean, its area and moments."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TypeVar

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.errors import InputError
from bracing.sums import Sum, formula, replayed
from bracing.units import PSF_PER_PSI, Inch, Mph, Pound, Psi

Many = TypeVar("Many", float, NDArray[np.float64])

Array = NDArray[np.float64]
Top = tuple[tuple[Inch, Inch], ...]
Zone = tuple[Inch, Inch, float]

# Three Gauss points are exact to degree 5; the highest integrand here is linear pressure × height³, degree 4.
_GAUSS_AT, _GAUSS_WEIGHT = np.polynomial.legendre.leggauss(3)


@frozen
class OutlineProperties:
    """Area and second moments of a wall's outline, exact for a polyline.

    Attributes:
        area: area [in²].
        width: length of the wall, B [in].
        s: mean height, area over B [in].
        x_bar: centroid from LEFT [in].
        z_bar: centroid above the foot [in].
        I_x: second moment of x about the centroid [in⁴].
        I_z: second moment of z about the centroid [in⁴].
        I_xz: product moment about the centroid [in⁴].
        highest: highest point above the foot [in].
    """

    area: float
    width: Inch
    s: Inch
    x_bar: Inch
    z_bar: Inch
    I_x: float
    I_z: float
    I_xz: float
    highest: Inch


@frozen
class PressureField:
    """One wind case over the wall: c(x, z) = (zone + slope (x - x_bar)) (1 + rise (z - z_bar)).

    Attributes:
        case: "A", "B left", "B right", "C left" or "C right"; left is heavier toward LEFT.
        gap: "closed" (nothing open under the wall) or "open".
        zones: (start, end, coefficient) along the wall, covering 0 to B [in, in, -].
        slope: change of the coefficient along the wall [1/in].
        x_bar: where the slope adds nothing [in].
        rise: relative change with height [1/in].
        z_bar: height of the resultant without the rise [in].
    """

    case: str
    gap: str
    zones: tuple[Zone, ...]
    slope: float
    x_bar: Inch
    rise: float
    z_bar: Inch

    def along(self, x: Inch | Array) -> Array:
        """Give the coefficient along the wall, without the rise.

        Args:
            x: distance from LEFT [in], one or an array of any shape; a zone's own end counts to it.

        Returns:
            Pressure per unit of velocity pressure [-], in the shape of `x`.
        """
        ends = np.array([end for _, end, _ in self.zones[:-1]])
        values = np.array([coefficient for _, _, coefficient in self.zones])
        at = np.asarray(x, dtype=np.float64)
        return np.asarray(along_wall(values[np.searchsorted(ends, at)], self.slope, at, x_bar=self.x_bar))

    def c(self, x: Inch | Array, z: Inch | Array) -> Array:
        """Give the pressure per unit of velocity pressure, G·Cf.

        Args:
            x: distance from LEFT [in], one or an array.
            z: height above the foot [in], one or an array that broadcasts with `x`.

        Returns:
            The pressure per unit of velocity pressure [-].
        """
        result: Array = self.along(x) * (1.0 + self.rise * (np.asarray(z) - self.z_bar))
        return result


@frozen(eq=False)
class Pressures:
    """Wind on a wall.

    Attributes:
        fields: every case over its outline, G·Cf.
        q: velocity pressure at its highest point of a gust of 1 mph; it grows with the gust squared [psf].
    """

    fields: tuple[PressureField, ...]
    q: float

    @property
    def per_mph2(self) -> Psi:
        """The same on a square inch, for each mph squared of the gust [psi]."""
        return self.q / PSF_PER_PSI

    def at(self, gust: Mph) -> float:
        """Give the velocity pressure at a gust: by the formula of `q`, where that is a Sum of one [psf].

        Args:
            gust: the gust [mph].
        """
        if isinstance(self.q, Sum) and "gust" in self.q.arguments:
            return replayed(self.q, gust=gust)
        return self.q * gust**2

    @property
    def mean(self) -> float:
        """Greatest mean of case A, G·Cf [-]."""
        return max(field.zones[0][2] for field in self.fields if field.case == "A")


@formula
def net_pressure(q: float, GCf: float) -> float:
    """Give the net pressure on the wall: p = q GCf.

    Args:
        q: velocity pressure [psf].
        GCf: net pressure for each unit of it [-].

    Returns:
        p [psf].

    Source: STATICS.

    Example:
        >>> net_pressure(2.0, 1.5)
        3.0
    """
    return q * GCf


@formula
def force_on(p: float, area: float) -> Pound:
    """Give the force of the wind on the wall: F = p area.

    Args:
        p: mean net pressure [psf].
        area: of the outline [ft^2].

    Returns:
        F [lb].

    Source: STATICS.

    Example:
        >>> force_on(3.0, 100.0)
        300.0
    """
    return p * area


@formula
def along_wall(GCf: Many, slope: float, x: Many, *, x_bar: Inch) -> Many:
    """Give the net pressure at a place along the wall: GCf = GCf + slope (x - x_bar).

    Args:
        GCf: of the zone it lies in [-].
        slope: change along the wall [1/in].
        x: the place from LEFT [in].
        x_bar: where the slope adds nothing [in].

    Returns:
        G Cf there [-].

    Source: STATICS, a straight line.

    Example:
        >>> along_wall(1.0, 0.01, 150.0, x_bar=100.0)
        1.5
    """
    return GCf + slope * (x - x_bar)


def gauss_points(top: Top, cuts: Sequence[Inch] = ()) -> tuple[Array, Array, Array]:
    """Give x, height and weight of points that integrate a piecewise polynomial along the wall exactly.

    Args:
        top: the outline, (x, z) [in].
        cuts: places besides the vertices where the integrand breaks [in].

    Returns:
        x [in], height of the outline there [in] and weight [in], each (n,).

    Source: STATICS.
    """
    xs, ws, hs = [], [], []
    for (x0, z0), (x1, z1) in pairwise(top):
        inner = sorted(cut for cut in cuts if x0 < cut < x1)
        for a, b in pairwise([x0, *inner, x1]):
            x = 0.5 * (a + b) + 0.5 * (b - a) * _GAUSS_AT
            xs.append(x)
            ws.append(0.5 * (b - a) * _GAUSS_WEIGHT)
            hs.append(z0 + (z1 - z0) * (x - x0) / (x1 - x0) if x1 > x0 else np.full(3, z0))
    return np.concatenate(xs), np.concatenate(hs), np.concatenate(ws)


def _check_outline(top: Top) -> None:
    where = "wall.top"
    steps = [x1 - x0 for (x0, _), (x1, _) in pairwise(top)]
    if not steps or top[0][0] != 0.0 or min(steps) < 0.0 or top[-1][0] <= 0.0:
        raise InputError.of(where, top, "points from x = 0 to the length, x never going back")
    if min(z for _, z in top) <= 0.0:
        raise InputError.of(where, top, "heights over zero")


@lru_cache(maxsize=256)
def outline_properties(top: Top) -> OutlineProperties:
    """Give area, centroid and second moments of a wall's outline.

    Integrals over the strips under the polyline, exact.

    Args:
        top: the outline of the top, (x, z) from LEFT to right [in].

    Returns:
        The properties [in, in², in⁴].

    Raises:
        InputError: x does not run from 0 without going back, or a height is not over zero.

    Source: STATICS

    Example:
        >>> wall = outline_properties(((0.0, 100.0), (300.0, 100.0)))
        >>> wall.area, wall.s, wall.x_bar, wall.z_bar, round(wall.I_x / (100.0 * 300.0**3 / 12.0), 6)
        (30000.0, 100.0, 150.0, 50.0, 1.0)
    """
    _check_outline(top)
    x, h, w = gauss_points(top)
    width = top[-1][0]
    area = float(w @ h)
    x_bar = float(w @ (x * h)) / area
    z_bar = float(w @ (h**2 / 2.0)) / area
    return OutlineProperties(
        area=area,
        width=width,
        s=area / width,
        x_bar=x_bar,
        z_bar=z_bar,
        I_x=float(w @ ((x - x_bar) ** 2 * h)),
        I_z=float(w @ (h**3 / 3.0)) - area * z_bar**2,
        I_xz=float(w @ ((x - x_bar) * h**2 / 2.0)),
        highest=max(z for _, z in top),
    )


def mean_coefficient(top: Top, field: PressureField) -> float:
    """Give the mean of a field over the area of the wall.

    c̄ = ∫c dA / A

    Args:
        top: the outline of the top, (x, z) [in].
        field: the field.

    Returns:
        The mean G·Cf [-].

    Source: STATICS

    Example:
        >>> top = ((0.0, 100.0), (300.0, 100.0))
        >>> zones = ((0.0, 100.0, 2.0), (100.0, 300.0, 1.0))
        >>> field = PressureField("C left", "open", zones, 0.0, 150.0, 0.0, 50.0)
        >>> round(mean_coefficient(top, field), 4)
        1.3333
    """
    x, h, w = gauss_points(top, [end for _, end, _ in field.zones])
    c, about = field.along(x), field.rise
    return float(w @ (c * (h + about * (h**2 / 2.0 - field.z_bar * h)))) / float(w @ h)
