"""The factorisation against SciPy's own sparse solver, on plates of every shape."""

import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from slabwright.errors import Mechanism
from slabwright.solvers.plate.cholesky import Factor, Layout
from slabwright.solvers.plate.description import Plate, Region
from slabwright.solvers.plate.dissection import dissect
from slabwright.solvers.plate.element import element_matrix
from slabwright.solvers.plate.mesh import build

L_SHAPE = [(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (2.5, 2.0), (2.5, 5.0), (0.0, 5.0)]


def assembled(mesh, contact):
    """The stiffness as a SciPy matrix."""
    m, n_nodes = mesh.elements.n_fields, mesh.elements.nodes.shape[1]
    rows, columns, values = [np.arange(mesh.n_unknowns)], [np.arange(mesh.n_unknowns)], [mesh.ground]
    matrix = np.empty((n_nodes * m, n_nodes * m))
    for e, nodes in enumerate(mesh.elements.nodes):
        element_matrix(mesh.elements, e, contact, matrix)
        lower = np.tril(matrix)
        unknowns = (nodes[:, None] * m + np.arange(m)).ravel()
        rows.append(np.repeat(unknowns, len(unknowns)))
        columns.append(np.tile(unknowns, len(unknowns)))
        values.append((lower + np.tril(lower, -1).T).ravel())
    return coo_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))).tocsc()


def mesh_of(order, n=9, **changes):
    regions = [Region(within=[(0.0, 0.0), (6.0, 0.0), (6.0, 0.5), (0.0, 0.5)], thickness=0.5)]
    given = {"outline": L_SHAPE, "thickness": 0.12, "modulus": 30e9, "poisson": 0.15, "spring": 40e6, "regions": regions} | changes
    return build(Plate(**given), np.linspace(0, 6, n + 1), np.linspace(0, 5, n + 1), order=order)


@pytest.mark.parametrize("order", [1, 2, 3])
@pytest.mark.parametrize("flush", [True, False])
def test_solutions_equal_those_of_a_general_sparse_solver(order, flush):
    mesh = mesh_of(order, flush=flush)
    contact = np.ones(len(mesh.elements.area), bool)
    loads = np.random.default_rng(7).standard_normal((3, mesh.n_unknowns))
    found = Factor(mesh.layout, mesh.elements, contact, mesh.ground).solve(loads)
    expected = spsolve(assembled(mesh, contact), loads.T).T

    assert np.abs(found - expected).max() < 1e-6 * np.abs(expected).max()


@pytest.mark.parametrize("top_depth", [0, 1, 2, 3])
@pytest.mark.parametrize("leaf_cells", [1, 4, 9])
def test_any_cutting_gives_the_same_solution(top_depth, leaf_cells):
    """However many subtrees are worked side by side, and however small the leaves."""
    mesh = mesh_of(2, outline=[(0.2, 0.0), (6.0, 0.4), (5.5, 5.0), (0.0, 4.0)])
    contact = np.ones(len(mesh.elements.area), bool)
    loads = np.random.default_rng(3).standard_normal(mesh.n_unknowns)
    expected = Factor(mesh.layout, mesh.elements, contact, mesh.ground).solve(loads)

    tree, number = dissect(mesh.grid.active, 2, leaf_cells, top_depth)
    tree = tree._replace(cells=mesh.grid.index.ravel()[tree.cells].astype(np.int32))
    renumbered = np.empty(number.max() + 1, np.int32)
    there = number >= 0
    renumbered[mesh.number[there]] = number[there]
    elements = mesh.elements._replace(nodes=renumbered[mesh.elements.nodes])
    m = elements.n_fields
    moved = np.empty_like(loads).reshape(-1, m)
    moved[renumbered] = loads.reshape(-1, m)
    ground = np.empty_like(loads).reshape(-1, m)
    ground[renumbered] = mesh.ground.reshape(-1, m)
    found = Factor(Layout(tree, m), elements, contact, ground.ravel()).solve(moved.ravel()).reshape(-1, m)[renumbered].ravel()

    assert np.abs(found - expected).max() < 1e-6 * np.abs(expected).max()


def test_every_node_is_eliminated_once_and_after_its_children():
    active = np.random.default_rng(5).random((23, 17)) > 0.3
    tree, number = dissect(active, 2)
    touched = np.zeros_like(number, dtype=bool)
    for i, j in np.argwhere(active):
        touched[2 * i : 2 * i + 3, 2 * j : 2 * j + 3] = True

    assert np.array_equal(touched, number >= 0)
    assert np.array_equal(np.arange(touched.sum()), np.sort(number[number >= 0]))
    parents = np.repeat(np.arange(len(tree.depth)), 2)
    children = tree.children.ravel()
    assert (children[children >= 0] < parents[children >= 0]).all()
    for b in range(len(tree.depth)):
        border = tree.border[tree.border_start[b] : tree.border_start[b + 1]]
        assert (np.diff(border) > 0).all()
        assert (border >= tree.own[b + 1]).all()


def test_what_nothing_holds_is_told():
    mesh = mesh_of(2)
    with pytest.raises(Mechanism, match="held by nothing"):
        Factor(mesh.layout, mesh.elements, np.zeros(len(mesh.elements.area), bool), -1e-3 * np.abs(mesh.ground) - 1.0)
