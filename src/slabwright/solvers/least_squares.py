"""Weighted least squares with narrow rows, as networks of measurements give them.

Every measurement touches a handful of unknowns, so the design matrix is held as two arrays of fixed width: the
columns each row touches and their coefficients. A column of -1 is a known quantity and drops out. What the
measurements leave free (the place and turn of a free network) is handed in as a basis of directions: as many
unknowns are held while solving, and the cofactor matrix is then referred to all unknowns alike (inner
constraints), so that no point is favoured.
"""

import math
from dataclasses import dataclass

import numpy as np
import scipy.linalg
import scipy.sparse
import scipy.sparse.linalg
from numpy.typing import NDArray

from slabwright.errors import Mechanism

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_SMALLEST_PIVOT = 1e-11


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """A sparse design matrix of fixed row width.

    Attributes
    ----------
    columns : (m, k) int
        Unknown each coefficient belongs to; -1 for none.
    coefficients : (m, k) float
    weights : (m,) float
        1 / variance of each measurement.
    n_unknowns : int
    """

    columns: Ints
    coefficients: Floats
    weights: Floats
    n_unknowns: int

    def matrix(self) -> "scipy.sparse.csr_array[np.float64]":
        """The same rows as a compressed matrix."""
        rows, slots = np.nonzero(self.columns >= 0)
        shape = (len(self.columns), self.n_unknowns)
        return scipy.sparse.csr_array((self.coefficients[rows, slots], (rows, self.columns[rows, slots])), shape=shape)

    def normal(self) -> "scipy.sparse.csc_array[np.float64]":
        """Normal matrix."""
        matrix = self.matrix()
        return scipy.sparse.csc_array(matrix.T @ matrix.multiply(self.weights[:, None]))


def step(rows: Rows, misclosure: Floats, held: Ints) -> Floats:
    """Correction of the unknowns that makes the weighted squares least.

    Parameters
    ----------
    rows : Rows
    misclosure : (m,) float
        Measured minus computed.
    held : (d,) int
        Unknowns that stay, one for each direction left free.

    Returns
    -------
    (n,) float
        Nought for held unknowns.

    Raises
    ------
    Mechanism
        If the measurements leave more free than what is held.
    """
    free = np.setdiff1d(np.arange(rows.n_unknowns), held)
    matrix = rows.matrix()[:, free]
    normal = scipy.sparse.csc_array(matrix.T @ matrix.multiply(rows.weights[:, None]))
    scale = np.sqrt(normal.diagonal())
    if len(free) and scale.min() <= 0.0:
        raise Mechanism("a point is touched by no measurement.")
    scaling = scipy.sparse.diags_array(1.0 / scale)
    try:
        factor = scipy.sparse.linalg.splu(
            scipy.sparse.csc_array(scaling @ normal @ scaling),
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            options={"SymmetricMode": True},
        )
    except RuntimeError:
        raise Mechanism("the measurements do not hold every point.") from None
    if len(free) and np.abs(factor.U.diagonal()).min() < _SMALLEST_PIVOT:
        raise Mechanism("the measurements do not hold every point.")
    correction = np.zeros(rows.n_unknowns)
    correction[free] = factor.solve((matrix.T @ (rows.weights * misclosure)) / scale) / scale
    return correction


def unknowns_to_hold(directions: Floats) -> Ints:
    """As many unknowns as there are free directions, chosen so that holding them is best conditioned.

    Parameters
    ----------
    directions : (n, d) float
        Basis of what the measurements leave free.
    """
    if directions.shape[1] == 0:
        return np.zeros(0, dtype=np.int64)
    *_, order = scipy.linalg.qr(directions.T, mode="economic", pivoting=True)
    return np.sort(np.asarray(order[: directions.shape[1]], dtype=np.int64))


def cofactors(rows: Rows, directions: Floats, constrained: Floats) -> Floats:
    """Cofactor matrix of the unknowns: their covariance for a unit error of weight 1.

    Where ``directions`` D are left free, the constraints ``constrained``' dx = 0 take their place:
    Q = (N + CC')^-1 - D (C'D)^-1 (D'C)^-1 D'. With C = D it is the cofactor matrix of least trace.

    Parameters
    ----------
    rows : Rows
    directions, constrained : (n, d) float

    Returns
    -------
    (n, n) float

    Raises
    ------
    Mechanism
        If the measurements leave more free than the directions named.
    """
    if not rows.n_unknowns:
        return np.zeros((0, 0))
    normal = rows.normal().toarray(order="F")
    stiffness = float(normal.trace()) / max(1, len(normal))
    constraints = constrained * math.sqrt(stiffness / np.square(constrained).sum(axis=0).max()) if constrained.size else constrained
    normal += constraints @ constraints.T
    scale = 1.0 / np.sqrt(np.diag(normal))
    normal *= scale
    normal *= scale[:, None]
    lower, info = scipy.linalg.lapack.dpotrf(normal, lower=1, clean=1, overwrite_a=1)
    if info:
        raise Mechanism("the measurements do not hold every point.")
    inverse, _ = scipy.linalg.lapack.dpotri(lower, lower=1, overwrite_c=1)
    inverse += np.tril(inverse, -1).T
    inverse *= scale
    inverse *= scale[:, None]
    if directions.size:
        free = directions @ np.linalg.inv(constraints.T @ directions)
        inverse -= free @ free.T
    return np.asarray(inverse)


def redundancies(rows: Rows, cofactor: Floats) -> Floats:
    """Share of an error of each measurement that shows in its own residual: 0 unchecked, 1 fully checked.

    Parameters
    ----------
    rows : Rows
    cofactor : (n, n) float
    """
    if not rows.n_unknowns:
        return np.ones(len(rows.weights))
    known = rows.columns < 0
    columns = np.where(known, 0, rows.columns)
    coefficients = np.where(known, 0.0, rows.coefficients)
    blocks = cofactor[columns[:, :, None], columns[:, None, :]]
    variance: Floats = np.einsum("ij,ijk,ik->i", coefficients, blocks, coefficients)
    return np.asarray(np.clip(1.0 - rows.weights * variance, 0.0, 1.0))


def loose_directions(rows: Rows, directions: Floats) -> Floats:
    """Directions that the measurements leave free beyond those named, as orthonormal columns.

    A dense look, for the case that a solution has failed.
    """
    normal = rows.normal().toarray()
    scale = np.sqrt(np.maximum(np.diag(normal), 1e-12 * max(normal.max(), 1e-300)))
    scaled = normal / scale[:, None] / scale
    values, vectors = np.linalg.eigh(scaled)
    null, _ = np.linalg.qr(vectors[:, values < 1e-10 * max(1.0, values.max())] / scale[:, None])
    if directions.shape[1]:
        basis, _ = np.linalg.qr(directions)
        null = null - basis @ (basis.T @ null)
    left, size, _ = np.linalg.svd(null, full_matrices=False)
    return np.asarray(left[:, size > 1e-6])
