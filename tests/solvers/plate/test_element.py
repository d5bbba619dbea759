"""Patch tests of the element: states that a plate can be in exactly must come back exactly."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.solvers.plate.description import Plate, Region
from slabwright.solvers.plate.element import VARIED, element_matrix
from slabwright.solvers.plate.internal import applied
from slabwright.solvers.plate.mesh import build
from slabwright.solvers.plate.recovery import M_X, M_XY, M_Y, Q_X, Q_Y, prepare, section_forces

UNEVEN_X = np.array([0.0, 0.3, 1.1, 1.2, 2.5, 4.0])
UNEVEN_Y = np.array([0.0, 0.9, 1.0, 1.8, 3.0])
SKEWED = [(0.0, 0.0), (4.0, 0.2), (3.3, 3.0), (0.4, 2.4)]
STRAIGHT = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]
MODULUS, POISSON, THICKNESS = 30e9, 0.2, 0.15
STIFFNESS = MODULUS * THICKNESS**3 / 12.0 / (1.0 - POISSON**2)


def mesh_of(order, outline=STRAIGHT, **changes):
    given_ = {"outline": outline, "thickness": THICKNESS, "modulus": MODULUS, "poisson": POISSON, "spring": 1e6} | changes
    return build(Plate(**given_), UNEVEN_X, UNEVEN_Y, order=order)


def nodal_field(mesh, *fields):
    """Displacements from functions of x and y, one per field."""
    p = mesh.order
    places = mesh.places(np.array([(s, t) for s in np.linspace(0, 1, p + 1) for t in np.linspace(0, 1, p + 1)]))
    m = mesh.elements.n_fields
    x = np.zeros(mesh.n_unknowns)
    for k, field in enumerate(fields):
        x[mesh.elements.nodes * m + k] = field(places[..., 0], places[..., 1])
    return x


def inner_nodes(mesh):
    """Nodes that touch no cut cell and lie on no rim."""
    p = mesh.order
    lattice = np.zeros_like(mesh.number, dtype=bool)
    lattice[1:-1, 1:-1] = True
    touched = np.unique(mesh.elements.nodes[np.unique(mesh.grid.cut.cell)])
    inner = mesh.number[lattice]
    i, j = mesh.grid.cells()
    whole = np.zeros_like(mesh.number, dtype=int)
    for a, b in zip(i, j, strict=True):
        whole[p * a : p * (a + 1) + 1, p * b : p * (b + 1) + 1] += 1
    return np.setdiff1d(inner[inner >= 0], touched)


STATES = {
    "bent in x": (lambda x, y: 0.5e-3 * x**2, lambda x, y: -1e-3 * x, lambda x, y: 0 * x, (-1e-3, 0.0, 0.0)),
    "bent in y": (lambda x, y: 0.5e-3 * y**2, lambda x, y: 0 * x, lambda x, y: -1e-3 * y, (0.0, -1e-3, 0.0)),
    "twisted": (lambda x, y: 1e-3 * x * y, lambda x, y: -1e-3 * y, lambda x, y: -1e-3 * x, (0.0, 0.0, -2e-3)),
}


@pytest.mark.parametrize("outline", [STRAIGHT, SKEWED], ids=["straight", "cut"])
@pytest.mark.parametrize("order", [1, 2, 3])
@pytest.mark.parametrize("state", STATES)
def test_constant_moments_are_reproduced(state, order, outline):
    """Quadratic deflection with matching rotations: moments constant, no shear, no force on inner nodes; to 1e-10.

    The bilinear element holds w only at its nodes; its interpolated shear strain is still nothing.
    """
    mesh = mesh_of(order, outline)
    w, turn_x, turn_y, (k_x, k_y, k_xy) = STATES[state]
    x = nodal_field(mesh, w, turn_x, turn_y)
    forces = section_forces(mesh, prepare(mesh), x)
    expected = STIFFNESS * np.array([k_x + POISSON * k_y, k_y + POISSON * k_x, (1 - POISSON) / 2 * k_xy])
    size = STIFFNESS * 1e-3

    assert np.abs(forces[..., [M_X, M_Y, M_XY]] - expected).max() < 1e-10 * size
    assert np.abs(forces[..., [Q_X, Q_Y]]).max() < 1e-9 * size / THICKNESS
    inner = inner_nodes(mesh)
    assert len(inner)
    nodal = applied(mesh, x, np.zeros(len(mesh.elements.area), bool)).reshape(-1, 3)
    assert np.abs(nodal[inner]).max() < 1e-10 * size * 10.0


@pytest.mark.parametrize("order", [1, 2, 3])
def test_constant_shear_is_reproduced(order):
    """w = g x without rotation: Q_x = kappa G h g everywhere."""
    mesh = mesh_of(order, SKEWED)
    x = nodal_field(mesh, lambda x, y: 1e-3 * x, lambda x, y: 0 * x, lambda x, y: 0 * x)
    forces = section_forces(mesh, prepare(mesh), x)
    shear = 5 / 6 * MODULUS / (2 * (1 + POISSON)) * THICKNESS * 1e-3

    assert np.abs(forces[..., Q_X] - shear).max() < 1e-10 * shear
    assert np.abs(forces[..., [M_X, M_Y, Q_Y]]).max() < 1e-10 * shear


@pytest.mark.parametrize("order", [1, 2, 3])
def test_six_rigid_movements_need_no_force(order):
    mesh = mesh_of(order, SKEWED, regions=[Region(within=[(1.1, 1.0), (2.5, 1.0), (2.5, 1.8), (1.1, 1.8)], thickness=0.4)])
    zero = lambda x, y: 0 * x  # noqa: E731 - a field
    one = lambda x, y: 0 * x + 1e-3  # noqa: E731
    depth = mesh.elements.depth
    movements = [
        (one, zero, zero, zero, zero),
        (lambda x, y: -1e-3 * x, one, zero, zero, zero),
        (lambda x, y: -1e-3 * y, zero, one, zero, zero),
        (zero, zero, zero, one, zero),
        (zero, zero, zero, zero, one),
        (zero, zero, zero, lambda x, y: -1e-3 * y, lambda x, y: 1e-3 * x),
    ]
    assert 5 == mesh.elements.n_fields
    assert 0 < depth
    for movement in movements:
        x = nodal_field(mesh, *movement)
        forces = applied(mesh, x, np.zeros(len(mesh.elements.area), bool)) - mesh.ground * x
        assert np.abs(forces).max() < 1e-12 * MODULUS * 1e-3


@pytest.mark.parametrize("order", [1, 2, 3])
def test_bending_along_a_step_is_exact_with_the_stiffness_about_one_reference(order):
    """Thickness steps across y, curvature and stretch along x, no Poisson effect: inner nodes stay free of force."""
    regions = [Region(within=[(0.0, 1.0), (4.0, 1.0), (4.0, 1.8), (0.0, 1.8)], thickness=0.5)]
    mesh = mesh_of(order, poisson=0.0, regions=regions)
    x = nodal_field(mesh, lambda x, y: 0.5e-3 * x**2, lambda x, y: -1e-3 * x, lambda x, y: 0 * x, lambda x, y: 2e-4 * x, lambda x, y: 0 * x)
    nodal = (applied(mesh, x, np.zeros(len(mesh.elements.area), bool)) - mesh.ground * x).reshape(-1, 5)

    assert np.abs(nodal[inner_nodes(mesh)]).max() < 1e-10 * MODULUS * 0.5**3 * 1e-3


@pytest.mark.parametrize("flush", [True, False])
@pytest.mark.parametrize("order", [1, 2, 3])
def test_the_closed_form_of_a_rectangle_equals_its_quadrature(order, flush):
    regions = [Region(within=[(1.1, 1.0), (2.5, 1.0), (2.5, 1.8), (1.1, 1.8)], thickness=0.4)]
    mesh = mesh_of(order, flush=flush, regions=regions)
    general = mesh.elements._replace(kind=np.full_like(mesh.elements.kind, VARIED))
    n = mesh.elements.nodes.shape[1] * mesh.elements.n_fields
    contact = np.ones(len(mesh.elements.area), bool)
    for e in range(len(mesh.elements.side)):
        closed, summed = np.empty((n, n)), np.empty((n, n))
        element_matrix(mesh.elements, e, contact, closed)
        element_matrix(general, e, contact, summed)
        assert np.abs(closed - summed).max() < 1e-13 * np.abs(closed).max()


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_internal_forces_equal_the_product_with_the_matrix(seed):
    """Two separate computations of the same thing."""
    mesh = mesh_of(2, SKEWED, regions=[Region(within=[(1.1, 1.0), (2.5, 1.0), (2.5, 1.8), (1.1, 1.8)], thickness=0.4)])
    contact = np.random.default_rng(seed).random(len(mesh.elements.area)) > 0.5
    x = np.random.default_rng(seed + 1).standard_normal(mesh.n_unknowns)
    m, n_nodes = mesh.elements.n_fields, mesh.elements.nodes.shape[1]
    expected, matrix = mesh.ground * x, np.empty((n_nodes * m, n_nodes * m))
    for e, nodes in enumerate(mesh.elements.nodes):
        element_matrix(mesh.elements, e, contact, matrix)
        lower = np.tril(matrix)
        rows = (nodes[:, None] * m + np.arange(m)).ravel()
        np.add.at(expected, rows, (lower + np.tril(lower, -1).T) @ x[rows])

    assert np.allclose(expected, applied(mesh, x, contact), rtol=1e-9, atol=1e-9 * np.abs(expected).max())
