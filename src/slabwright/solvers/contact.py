"""Pressure under a rigid rectangle on ground that carries no tension, for any load inside it.

The pressure is a plane cut off at nought. Which plane balances a given load is found by Newton's method on a strictly
convex function; every integral is exact. Along the axis in which the pressure falls steepest the integral is written
out; across it the integrand is a polynomial of degree 3 at most between the two lines where the edge of contact meets
the sides, and two Gauss points on each piece integrate that exactly.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slabwright.errors import NotConverged, OutOfRange

Array = NDArray[np.float64]
_GAUSS = np.array([-1.0, 1.0]) / np.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Contact:
    """Pressure under rectangles, one per case.

    Attributes
    ----------
    mean, along_x, along_y : array
        Pressure at the middle of the plane, whether in contact or not, and its slopes. [Pa], [Pa/m]
    half_x, half_y : array
        Half the sides. [m]
    """

    mean: Array
    along_x: Array
    along_y: Array
    half_x: Array
    half_y: Array

    @property
    def highest(self) -> Array:
        """Greatest pressure, at the most loaded corner. [Pa]"""
        value: Array = self.mean + np.abs(self.along_x) * self.half_x + np.abs(self.along_y) * self.half_y
        return value

    @property
    def lowest(self) -> Array:
        """Least pressure, 0 where a corner lifts off. [Pa]"""
        value: Array = np.maximum(0.0, self.mean - np.abs(self.along_x) * self.half_x - np.abs(self.along_y) * self.half_y)
        return value

    @property
    def share(self) -> Array:
        """Part of the rectangle in contact, 0 to 1."""
        area: Array = self.beyond(0, 0)[2] / (4 * self.half_x * self.half_y)
        return area

    def at(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Pressure at points counted from the middle. [Pa]"""
        value: Array = np.maximum(0.0, self.mean + self.along_x * np.asarray(x) + self.along_y * np.asarray(y))
        return value

    def beyond(self, axis: int, side: int, distance: ArrayLike = 0.0) -> tuple[Array, Array, Array]:
        """Force, moment and area of the contact beyond a line square to an axis.

        Parameters
        ----------
        axis : int
            0 for a line at a value of x, 1 at a value of y.
        side : int
            1 for the part on the positive side, -1 on the negative, 0 for all (the line then is the middle).
        distance : array
            Of the line from the middle, towards that side. [m]

        Returns
        -------
        force, moment, area : array
            Force, its moment about the line (positive where it acts beyond), contact area. [N], [N·m], [m²]
        """
        slopes, halves = (self.along_x, self.along_y), (self.half_x, self.half_y)
        slope, other = slopes[axis], slopes[1 - axis]
        half, across = halves[axis], halves[1 - axis]
        if side == 0:
            low, high, line = -half, half, np.zeros_like(half)
        else:
            slope = slope * side
            line = np.minimum(np.asarray(distance, dtype=float) + np.zeros_like(half), half)
            low, high = line, half
        length, square, cube = high - low, (high**2 - low**2) / 2, (high**3 - low**3) / 3
        force, moment, area = (np.array(one) for one in np.broadcast_arrays(
            2 * across * (self.mean * length + slope * square), 2 * across * (self.mean * square + slope * cube), 2 * across * length
        ))  # fmt: skip
        lifted = np.broadcast_to(self.lowest <= 0, force.shape)
        if np.any(lifted):
            given = (np.broadcast_to(one, force.shape)[lifted] for one in (self.mean, slope, other, low, high, across))
            exact = _moments(*given)
            force[lifted], moment[lifted], area[lifted] = exact[0], exact[1], exact[3]
        return force, moment - line * force, area


def contact_pressure(
    load: ArrayLike, eccentricity_x: ArrayLike, eccentricity_y: ArrayLike, side_x: ArrayLike, side_y: ArrayLike
) -> Contact:
    """Pressure under rigid rectangles, arrays of cases at once.

    Parameters
    ----------
    load : array
        Downward, above nought. [N]
    eccentricity_x, eccentricity_y : array
        Of the load from the middle. [m]
    side_x, side_y : array
        Of the rectangle. [m]

    Returns
    -------
    Contact

    Raises
    ------
    OutOfRange
        If a load is not downward or acts on or outside the rectangle's sides.
    NotConverged
        If the balance is not found.
    """
    p, ex, ey, bx, by = np.broadcast_arrays(
        *(np.asarray(value, dtype=float) for value in (load, eccentricity_x, eccentricity_y, side_x, side_y))
    )
    if not np.all(p > 0):
        raise OutOfRange("the load on a footing must act downward; a footing that is lifted has no pressure.")
    u, v = np.asarray(ex / bx), np.asarray(ey / by)  # within ±1/2
    if np.any(np.abs(u) >= 0.5) or np.any(np.abs(v) >= 0.5):
        raise OutOfRange("the load acts outside the footing, so it tips; move the post or widen the footing.")
    q = np.asarray(p / (bx * by))
    mean, slope_x, slope_y = np.array(q), np.array(12.0 * q * u), np.array(12.0 * q * v)
    partial = np.abs(u) + np.abs(v) > (1.0 + 1e-12) / 6.0
    if np.any(partial):
        plane = _balanced_planes(u[partial], v[partial])
        mean[partial], slope_x[partial], slope_y[partial] = q[partial] * plane
    return Contact(mean, slope_x / bx, slope_y / by, bx / 2, by / 2)


def _balanced_planes(u: Array, v: Array) -> Array:
    """Planes (mean, slope, slope) over the unit square whose part above nought balances a unit load at (u, v)."""
    sign_u, sign_v = np.where(u < 0, -1.0, 1.0), np.where(v < 0, -1.0, 1.0)
    u, v = np.abs(u), np.abs(v)
    swapped = v > u
    u, v = np.where(swapped, v, u), np.where(swapped, u, v)
    plane = _first_planes(u, v)
    target = np.stack([np.ones_like(u), u, v])
    energy, gradient, hessian = _energy(plane, target)
    for _ in range(100):
        size = np.abs(gradient).max(axis=0)
        if np.all(size < 1e-12):
            break
        step = -np.linalg.solve(hessian.transpose(2, 0, 1), gradient.T[:, :, None])[:, :, 0].T
        slope = np.sum(gradient * step, axis=0)
        length = np.where(size < 1e-12, 0.0, 1.0)
        for _ in range(40):
            trial = plane + length * step
            new = _energy(trial, target)
            # close to the balance the energy no longer tells; there the gradient does
            worse = (new[0] > energy + 1e-4 * length * slope) & (np.abs(new[1]).max(axis=0) > 0.5 * size) & (length > 0)
            if not np.any(worse):
                break
            length = np.where(worse, length / 2, length)
        plane, (energy, gradient, hessian) = trial, new
    else:
        raise NotConverged("the pressure under a footing was not found; the load acts almost on its side.")
    mean, first, second = plane
    along_u, along_v = np.where(swapped, second, first), np.where(swapped, first, second)
    return np.stack([mean, sign_u * along_u, sign_v * along_v])


def _first_planes(u: Array, v: Array) -> Array:
    """Planes to start from: the corner pyramid, exact where it ends within both sides, else the one-way wedge."""
    leg_u, leg_v = 4.0 * (0.5 - u), 4.0 * (0.5 - v)
    corner = (leg_u <= 1.0) & (leg_v <= 1.0)
    peak = 6.0 / (leg_u * leg_v)
    pyramid = np.stack([peak * (1.0 - 0.5 / leg_u - 0.5 / leg_v), peak / leg_u, peak / leg_v])
    reach = np.minimum(1.0, 3.0 * (0.5 - u))
    wedge = np.stack([2.0 / reach * (1.0 - 0.5 / reach), 2.0 / reach**2, 12.0 * v])
    return np.where(corner, pyramid, wedge)


def _energy(plane: Array, target: Array) -> tuple[Array, Array, Array]:
    """Half the integral of the squared pressure less the work of the load; gradient and Hessian."""
    mean, first, second = plane
    half = np.full_like(mean, 0.5)
    # The axis of the steeper slope is integrated in closed form.
    flip = np.abs(second) > np.abs(first)
    steep, gentle = np.where(flip, second, first), np.where(flip, first, second)
    n, m_steep, m_gentle, area, s1, g1, s2, sg, g2 = _moments(mean, steep, gentle, -half, half, half)
    m_first, m_second = np.where(flip, m_gentle, m_steep), np.where(flip, m_steep, m_gentle)
    x1, y1 = np.where(flip, g1, s1), np.where(flip, s1, g1)
    xx, yy = np.where(flip, g2, s2), np.where(flip, s2, g2)
    gradient = np.stack([n, m_first, m_second]) - target
    hessian = np.array([[area, x1, y1], [x1, xx, sg], [y1, sg, yy]])
    squared = mean * n + first * m_first + second * m_second
    return squared / 2 - np.sum(plane * target, axis=0), gradient, hessian


def _moments(mean: Array, slope: Array, other: Array, low: Array, high: Array, across: Array) -> tuple[Array, ...]:
    """Integrals of the pressure and of the contact over ``low <= s <= high``, ``-across <= t <= across``.

    Returns force, first moments of force along s and t, area, and the area's moments s, t, ss, st, tt.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        crossings = [np.where(other != 0, -(mean + slope * end) / other, across) for end in (low, high)]
    marks = np.sort(np.stack([-across, *(np.clip(one, -across, across) for one in crossings), across]), axis=0)
    middle, radius = (marks[1:] + marks[:-1]) / 2, (marks[1:] - marks[:-1]) / 2
    t = (middle[:, None] + radius[:, None] * _GAUSS.reshape((1, 2) + (1,) * mean.ndim)).reshape((6, *mean.shape))
    weight = np.repeat(radius, 2, axis=0)
    level = mean + other * t
    start, end = _contact_range(level, slope, low, high)
    length, square, cube = end - start, (end**2 - start**2) / 2, (end**3 - start**3) / 3
    force = level * length + slope * square
    force_s = level * square + slope * cube
    parts = (force, force_s, t * force, length, square, t * length, cube, t * square, t**2 * length)
    return tuple(np.sum(weight * part, axis=0) for part in parts)


def _contact_range(level: Array, slope: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Where ``level + slope*s`` is above nought between low and high; equal ends where nowhere."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        zero = np.where(slope != 0, -level / slope, np.where(level > 0, -np.inf, np.inf))
    zero = np.clip(zero, low, high)
    rising = slope >= 0
    return np.where(rising, zero, low), np.where(rising, high, zero)
