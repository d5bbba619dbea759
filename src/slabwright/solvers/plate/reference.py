"""The reference element: shape functions of the unit interval and their integrals.

An element of order p is the product of two intervals with p + 1 equidistant nodes each. Its transverse shear strain
in x is interpolated from p Gauss points along x (and in y from p along y): the classical cure of shear locking for
rectangles. As w,x has degree p - 1 along x already, only the rotation is touched: in the shear strain it enters by
*projected* shape functions, the interpolant of the shape functions at the p Gauss points.
"""

from functools import cache
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Longs = NDArray[np.int64]
Flags = NDArray[np.bool_]
Bytes = NDArray[np.uint8]


class Reference(NamedTuple):
    """Polynomials and integrals on the unit interval for one order.

    Attributes
    ----------
    value, slope, projected : (p + 1, p + 1) float64
        Coefficients of shape function a in powers 0..p of the coordinate: itself, its derivative, its projection.
    mass, stiffness, mixed, projected_mass : (p + 1, p + 1) float64
        Integrals of N N, N' N', N'_a N_b, and of projected by projected.
    gauss, weight : (p + 1,) float64
        Full quadrature.
    sample : (p,) float64
        Gauss points where strains of this element are best.
    table : ((p + 1)**2, 5, (p + 1)**2) float64
        At each point of the full quadrature of the unit square, for each node: shape function, slopes in x and y,
        projections in x and y.
    """

    value: Floats
    slope: Floats
    projected: Floats
    mass: Floats
    stiffness: Floats
    mixed: Floats
    projected_mass: Floats
    gauss: Floats
    weight: Floats
    sample: Floats
    table: Floats


@cache
def gauss_points(n: int) -> tuple[Floats, Floats]:
    """Gauss-Legendre points and weights on the unit interval."""
    points, weights = np.polynomial.legendre.leggauss(n)
    return (points + 1.0) / 2.0, weights / 2.0


@cache
def tensor_points(order: int) -> tuple[Floats, Floats]:
    """Full quadrature of the unit square: points (n, 2) and weights (n,)."""
    points, weights = gauss_points(order + 1)
    return np.array([(s, t) for s in points for t in points]), np.outer(weights, weights).ravel()


@cache
def reference(order: int) -> Reference:
    """Tables of one order."""
    n = order + 1
    nodes = np.linspace(0.0, 1.0, n)
    value: Floats = np.linalg.inv(np.vander(nodes, increasing=True)).T.astype(float)
    slope = np.zeros_like(value)
    slope[:, :-1] = value[:, 1:] * np.arange(1, n)
    gauss, weight = gauss_points(n)
    sample, sample_weight = gauss_points(order)
    at_sample = np.vander(sample, n, increasing=True) @ value.T
    lagrange = np.linalg.inv(np.vander(sample, increasing=True)).T
    projected = np.zeros_like(value)
    projected[:, :order] = at_sample.T @ lagrange
    powers = np.vander(gauss, n, increasing=True)
    shapes, slopes = powers @ value.T, powers @ slope.T
    flat = powers @ projected.T
    pairs = ((shapes, shapes), (slopes, shapes), (shapes, slopes), (flat, shapes), (shapes, flat))
    return Reference(
        value=value,
        slope=slope,
        projected=projected,
        mass=(shapes * weight[:, None]).T @ shapes,
        stiffness=(slopes * weight[:, None]).T @ slopes,
        mixed=(slopes * weight[:, None]).T @ shapes,
        projected_mass=(at_sample * sample_weight[:, None]).T @ at_sample,
        gauss=gauss,
        weight=weight,
        sample=sample,
        table=np.stack([np.kron(one, other) for one, other in pairs], axis=1),
    )


def shape_values(order: int, at: Floats) -> Floats:
    """Shape functions of an element's nodes at places (k, 2) of its unit square: (k, (order+1)**2)."""
    table = reference(order).value.T
    x, y = (np.vander(at[:, axis], order + 1, increasing=True) @ table for axis in (0, 1))
    return (x[:, :, None] * y[:, None, :]).reshape(len(at), -1)


def shape_slopes(order: int, at: Floats, side: Floats) -> tuple[Floats, Floats]:
    """Their slopes in x and y, for elements of sides (k, 2)."""
    ref = reference(order)
    powers = [np.vander(at[:, axis], order + 1, increasing=True) for axis in (0, 1)]
    value, slope = [one @ ref.value.T for one in powers], [one @ ref.slope.T for one in powers]
    in_x = (slope[0][:, :, None] * value[1][:, None, :]).reshape(len(at), -1) / side[:, :1]
    in_y = (value[0][:, :, None] * slope[1][:, None, :]).reshape(len(at), -1) / side[:, 1:]
    return in_x, in_y


@njit(cache=True, inline="always")
def polynomial(coefficients: Floats, a: int, t: float) -> float:
    """Value of polynomial ``a`` of a table at t."""
    total = 0.0
    for k in range(coefficients.shape[1] - 1, -1, -1):
        total = total * t + coefficients[a, k]
    return total
