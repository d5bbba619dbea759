"""A plate pulled in its own plane: thickness, free strain and a sliding support vary over it, cracks part it.

Bilinear quadrilaterals, two unknowns a node. The support resists displacement by springs spread over the area up to a limit,
beyond which it slides. Units are any consistent set; SI is meant by the names.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_array, csc_array, diags_array
from scipy.sparse.linalg import splu

from slabwright.errors import Mechanism, NotConverged, OutOfRange

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_POINTS = np.array([-1.0, 1.0]) / np.sqrt(3.0)
_XI, _ETA = (grid.ravel() for grid in np.meshgrid(_POINTS, _POINTS, indexing="ij"))
_UNHELD = "nothing holds the body in its plane: give it a support or hold some nodes."
_SIGN_XI, _SIGN_ETA = np.array([-1.0, 1.0, 1.0, -1.0]), np.array([-1.0, -1.0, 1.0, 1.0])


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneStressSolution:
    """Displacements and stresses of one solve.

    Attributes
    ----------
    displacement : ndarray
        Shape (nodes, 2). [m]
    stress : ndarray
        sigma_x, sigma_y, tau_xy at the middle of each element, tension positive, shape (elements, 3). [Pa]
    sliding : ndarray of bool
        Elements whose support has reached its limit.
    residual : float
        Unbalanced force over the largest force.
    iterations : int
    """

    displacement: Floats
    stress: Floats
    sliding: NDArray[np.bool_]
    residual: float
    iterations: int

    @property
    def principal(self) -> Floats:
        """Largest principal stress of each element. [Pa]"""
        middle = (self.stress[:, 0] + self.stress[:, 1]) / 2
        half = np.hypot((self.stress[:, 0] - self.stress[:, 1]) / 2, self.stress[:, 2])
        return np.asarray(middle + half)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneStress:
    """A body ready to be solved.

    Attributes
    ----------
    nodes : ndarray
        Shape (n, 2). [m]
    quads : ndarray of int
        Corners of each element counter-clockwise, shape (m, 4).
    thickness_m : ndarray
        Of each element. [m]
    e_pa, nu : float
        Young's modulus and Poisson's ratio. [Pa], [-]
    support_pa_m : ndarray
        Stiffness of the support per area under each element. [Pa/m]
    slip_pa : ndarray
        Its largest resistance per area; infinite for none. [Pa]
    """

    nodes: Floats
    quads: Ints
    thickness_m: Floats
    e_pa: float
    nu: float
    support_pa_m: Floats
    slip_pa: Floats

    @classmethod
    def of(
        cls,
        nodes: ArrayLike,
        quads: ArrayLike,
        *,
        thickness_m: ArrayLike = 1.0,
        e_pa: float,
        nu: float,
        support_pa_m: ArrayLike = 0.0,
        slip_pa: ArrayLike = np.inf,
    ) -> "PlaneStress":
        """A body from plain arrays; a single number serves every element."""
        corners = np.asarray(quads, dtype=np.int64)
        spread = [np.broadcast_to(np.asarray(value, float), (len(corners),)).copy() for value in (thickness_m, support_pa_m, slip_pa)]
        if not (e_pa > 0 and 0 <= nu < 0.5 and np.all(spread[0] > 0) and np.all(spread[1] >= 0)):
            raise OutOfRange(
                "a plate needs a modulus and thicknesses above nought, a Poisson's ratio from 0 to 0.5, and no negative support."
            )
        return cls(
            nodes=np.asarray(nodes, float),
            quads=corners,
            thickness_m=spread[0],
            e_pa=e_pa,
            nu=nu,
            support_pa_m=spread[1],
            slip_pa=spread[2],
        )

    def solve(
        self,
        *,
        free_strain: ArrayLike = 0.0,
        nodal_force_n: ArrayLike | None = None,
        held: ArrayLike | None = None,
        tolerance: float = 1e-6,
        max_iterations: int = 60,
    ) -> PlaneStressSolution:
        """Displacements and stresses under a free strain and forces.

        Parameters
        ----------
        free_strain : array_like
            Strain each element would take if it were free, the same in both directions; negative for shrinkage. [-]
        nodal_force_n : array_like, optional
            Shape (n, 2). [N]
        held : array_like, optional
            Displacement that a node is held at, NaN where it is free, shape (n, 2). [m]
        tolerance : float
            Relative change of the support's resistance at which iteration stops.
        max_iterations : int

        Raises
        ------
        Mechanism
            If nothing holds the body.
        NotConverged
            If the sliding support does not settle.
        """
        b, weight = _strain_operators(self.nodes, self.quads)
        d: Floats = self.e_pa / (1 - self.nu**2) * np.array([[1, self.nu, 0], [self.nu, 1, 0], [0, 0, (1 - self.nu) / 2]])
        flow = np.einsum("ij,mpja->mpia", d, (weight * self.thickness_m[:, None])[:, :, None, None] * b)
        stiffness = b.reshape(len(b), -1, 8).transpose(0, 2, 1) @ flow.reshape(len(b), -1, 8)
        strain = np.broadcast_to(np.asarray(free_strain, float), (len(self.quads),))
        push = strain[:, None] * flow[:, :, :2].sum(axis=(1, 2))
        dofs: Ints = (2 * self.quads[:, :, None] + np.arange(2, dtype=np.int64)).reshape(len(self.quads), 8)
        force: Floats = np.asarray(np.bincount(dofs.ravel(), push.ravel(), minlength=2 * len(self.nodes)), dtype=float)
        if nodal_force_n is not None:
            force += np.asarray(nodal_force_n, float).ravel()
        fixed = np.full(2 * len(self.nodes), np.nan) if held is None else np.asarray(held, float).ravel()
        area = weight.sum(axis=1)
        body = _assembled(stiffness, dofs, len(fixed))
        return self._iterate(body, force, fixed, area, (b, d, strain), tolerance, max_iterations)

    def _iterate(
        self,
        body: csc_array,
        force: Floats,
        fixed: Floats,
        area: Floats,
        law: tuple[Floats, Floats, Floats],
        tolerance: float,
        max_iterations: int,
    ) -> PlaneStressSolution:
        """Secant springs: where the resistance passes its limit the spring is softened until it gives just the limit."""
        spring = self.support_pa_m.copy()
        for iteration in range(1, max_iterations + 1):
            lumped = np.bincount(self.quads.ravel(), np.repeat(spring * area / 4, 4), minlength=len(self.nodes))
            system = (body + diags_array(np.repeat(lumped, 2))).tocsc()
            u = _held_solution(system, force, fixed).reshape(-1, 2)
            moved = np.linalg.norm(u[self.quads].mean(axis=1), axis=1)
            wanted = np.minimum(self.support_pa_m, self.slip_pa / np.maximum(moved, 1e-30))
            change = float(np.max(np.abs(wanted - spring) * moved, initial=0.0)) / max(float(np.max(wanted * moved, initial=0.0)), 1e-30)
            if change <= tolerance or not np.any(np.isfinite(self.slip_pa)):
                return self._solution(u, system, force, fixed, law, spring < self.support_pa_m * (1 - 1e-9), iteration)
            spring = wanted
        raise NotConverged(
            f"the sliding support did not settle in {max_iterations} iterations (change {change:.1e}, wanted {tolerance:.1e})."
        )

    def _solution(
        self,
        u: Floats,
        system: csc_array,
        force: Floats,
        fixed: Floats,
        law: tuple[Floats, Floats, Floats],
        sliding: NDArray[np.bool_],
        iterations: int,
    ) -> PlaneStressSolution:
        b, d, strain = law
        free = np.isnan(fixed)
        unbalanced = (system @ u.ravel() - force)[free]
        elastic = np.einsum("mpia,ma->mi", b, u[self.quads].reshape(len(self.quads), 8)) / b.shape[1]
        elastic[:, :2] -= strain[:, None]
        scale = max(float(np.abs(force).max(initial=0.0)), float(np.abs(system @ u.ravel()).max(initial=0.0)), 1e-30)
        return PlaneStressSolution(
            displacement=u,
            stress=elastic @ d.T,
            sliding=sliding,
            residual=float(np.abs(unbalanced).max(initial=0.0)) / scale,
            iterations=iterations,
        )


def split_grid(xs: ArrayLike, ys: ArrayLike, inside: ArrayLike, cut_x: ArrayLike, cut_y: ArrayLike) -> tuple[Floats, Ints, Ints]:
    """Nodes and elements of a rectilinear grid that is parted along some of its inner edges.

    Parameters
    ----------
    xs, ys : array_like
        Grid lines, ascending; shapes (p + 1,), (q + 1,).
    inside : array_like of bool
        Cells that exist, shape (p, q).
    cut_x : array_like of bool
        Edges between cells (i, j) and (i + 1, j) that are parted, shape (p - 1, q).
    cut_y : array_like of bool
        Edges between cells (i, j) and (i, j + 1) that are parted, shape (p, q - 1).

    Returns
    -------
    nodes : ndarray
        Shape (n, 2).
    quads : ndarray of int
        Shape (m, 4), in the order of ``cells``.
    cells : ndarray of int
        Index (i, j) of each element, shape (m, 2).
    """
    from scipy.sparse.csgraph import connected_components

    xs, ys = np.asarray(xs, float), np.asarray(ys, float)
    exists, part_x, part_y = (np.asarray(value, bool) for value in (inside, cut_x, cut_y))
    number = np.full(exists.shape, -1, dtype=np.int64)
    number[exists] = np.arange(exists.sum())
    join_x = exists[:-1] & exists[1:] & ~part_x
    join_y = exists[:, :-1] & exists[:, 1:] & ~part_y
    left, right = number[:-1][join_x], number[1:][join_x]
    below, above = number[:, :-1][join_y], number[:, 1:][join_y]
    # corners of a cell: 0 south-west, 1 south-east, 2 north-east, 3 north-west; whole edges are joined, so two corners at once
    pairs = np.concatenate(
        [
            np.stack([4 * a + i, 4 * b + j], axis=1)
            for a, b, i, j in ((left, right, 1, 0), (left, right, 2, 3), (below, above, 3, 0), (below, above, 2, 1))
        ]
    )
    n_corners = 4 * int(exists.sum())
    graph = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(n_corners, n_corners))
    _, node = connected_components(graph, directed=False)
    cells = np.argwhere(exists)
    quads = node.reshape(-1, 4).astype(np.int64)
    nodes = np.zeros((int(node.max()) + 1, 2))
    i, j = cells.T
    for corner, (di, dj) in enumerate(((0, 0), (1, 0), (1, 1), (0, 1))):
        nodes[quads[:, corner]] = np.stack([xs[i + di], ys[j + dj]], axis=1)
    return nodes, quads, cells


def _strain_operators(nodes: Floats, quads: Ints) -> tuple[Floats, Floats]:
    """Strain-displacement operators (m, 4, 3, 8) and area weights (m, 4) at the four points of each element."""
    corners = nodes[quads]
    d_xi = _SIGN_XI * (1 + _SIGN_ETA * _ETA[:, None]) / 4
    d_eta = _SIGN_ETA * (1 + _SIGN_XI * _XI[:, None]) / 4
    jacobian = np.stack([np.einsum("pa,mai->mpi", d_xi, corners), np.einsum("pa,mai->mpi", d_eta, corners)], axis=2)
    determinant = np.linalg.det(jacobian)
    if np.any(determinant <= 0):
        raise OutOfRange("an element is turned over or has no area; list its corners counter-clockwise.")
    gradient = np.linalg.solve(jacobian, np.broadcast_to(np.stack([d_xi, d_eta], axis=1), (len(quads), 4, 2, 4)))
    b = np.zeros((len(quads), 4, 3, 8))
    b[:, :, 0, 0::2] = b[:, :, 2, 1::2] = gradient[:, :, 0]
    b[:, :, 1, 1::2] = b[:, :, 2, 0::2] = gradient[:, :, 1]
    return b, determinant


def _assembled(blocks: Floats, dofs: Ints, n: int) -> csc_array:
    rows, columns = np.repeat(dofs, 8, axis=1).ravel(), np.tile(dofs, (1, 8)).ravel()
    return coo_array((blocks.reshape(len(dofs), -1).ravel(), (rows, columns)), shape=(n, n)).tocsc()


def _held_solution(system: csc_array, force: Floats, fixed: Floats) -> Floats:
    free = np.isnan(fixed)
    u = np.where(free, 0.0, fixed)
    if not free.any():
        return u
    right = (force - system @ u)[free]
    try:
        factor = splu(system[free][:, free].tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    except RuntimeError as singular:
        raise Mechanism(_UNHELD) from singular
    pivots = np.abs(factor.U.diagonal())
    if pivots.min() < 1e-13 * pivots.max():  # rounding hides an exact nought
        raise Mechanism(_UNHELD)
    u[free] = factor.solve(right)
    return u
