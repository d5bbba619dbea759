"""Section forces from displacements: taken where they are best, carried to the nodes, averaged where they are one.

Strains of an element of order p are best at its p by p Gauss points. From there they are carried to the nodes by the
polynomial through them, and averaged between neighbours of one thickness; at a step in thickness each side keeps its
own. Moments are about each section's own middle surface.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from slabwright.solvers.plate.element import Elements, shapes_at
from slabwright.solvers.plate.internal import section_forces_of, strains_at
from slabwright.solvers.plate.loads import Gradient, free_resultants
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Floats, Ints

N_X, N_Y, N_XY, M_X, M_Y, M_XY, Q_X, Q_Y = range(8)


class Recovery(NamedTuple):
    """What recovery needs beside the elements; made once for a mesh.

    Attributes
    ----------
    thickness : (ne, p*p) float64
        At the sample points.
    nodal_thickness : (ne, (p+1)**2) float64
    spread : ((p+1)**2, p*p) float64
        From sample points to nodes.
    neighbours : (n_nodes, 4) int32
        Elements that meet at each node, -1 where fewer.
    """

    thickness: Floats
    nodal_thickness: Floats
    spread: Floats
    neighbours: Ints


def prepare(mesh: Mesh) -> Recovery:
    """Tables for a mesh."""
    elements, p = mesh.elements, mesh.order
    sample = elements.reference.sample
    at = np.array([(s, t) for s in sample for t in sample])
    thickness = np.repeat(elements.thickness[elements.start[:-1], None], len(at), axis=1)
    whole = np.diff(elements.start) == (p + 1) ** 2
    varied = np.nonzero((elements.plain == 0) & whole)[0]
    if len(varied):
        thickness[varied] = mesh.plate.thickness_at(mesh.places(at)[varied].reshape(-1, 2)).reshape(len(varied), -1)
    for e in np.nonzero(~whole)[0]:
        own = slice(elements.start[e], elements.start[e + 1])
        nearest = np.linalg.norm(elements.at[own][:, None] - at, axis=2).argmin(axis=0)
        thickness[e] = elements.thickness[own][nearest]
    nodes = np.linspace(0.0, 1.0, p + 1)
    line = np.vander(nodes, p, increasing=True) @ np.linalg.inv(np.vander(sample, increasing=True))
    spread: Floats = np.kron(line, line).astype(float)
    neighbours = np.full((mesh.layout.n // elements.n_fields, 4), -1, np.int32)
    _meet(elements.nodes, neighbours)
    return Recovery(thickness, np.asarray(thickness @ spread.T, dtype=float), spread, neighbours)


def section_forces(mesh: Mesh, recovery: Recovery, x: Floats, gradients: tuple[Gradient, ...] = ()) -> Floats:
    """Nodal section forces of every element: (ne, (p+1)**2, 8) in the order N_X ... Q_Y.

    Parameters
    ----------
    mesh : Mesh
    recovery : Recovery
    x : (n,) float64
        Displacements.
    gradients : tuple of Gradient
        Free strains among the loads; they carry no stress of their own.
    """
    sampled = sampled_forces(mesh, recovery, x, gradients)
    carried = np.einsum("ns,esk->enk", recovery.spread, sampled)
    return _averaged(mesh.elements, recovery.nodal_thickness, recovery.neighbours, carried)


def sampled_forces(mesh: Mesh, recovery: Recovery, x: Floats, gradients: tuple[Gradient, ...] = ()) -> Floats:
    """The same at the sample points, element by element, before any averaging: (ne, p*p, 8)."""
    sampled = np.zeros((len(mesh.elements.side), recovery.thickness.shape[1], 8))
    _sample(mesh.elements, recovery.thickness, x, sampled)
    elements = mesh.elements
    for gradient in gradients:
        force, moment = free_resultants(recovery.thickness, gradient)
        for axis in (0, 1):
            rigid = elements.modulus * (1.0 + elements.poisson) * elements.bend[:, axis, None]
            sampled[..., N_X + axis] -= rigid * force if elements.flush else 0.0
            sampled[..., M_X + axis] -= rigid * moment
    return sampled


@njit(cache=True)
def _meet(nodes: Ints, neighbours: Ints) -> None:
    for e in range(nodes.shape[0]):
        for a in range(nodes.shape[1]):
            for k in range(4):
                if neighbours[nodes[e, a], k] < 0:
                    neighbours[nodes[e, a], k] = e
                    break


@njit(cache=True, nogil=True)
def _sample(elements: Elements, thickness: Floats, x: Floats, out: Floats) -> None:
    points = elements.reference.sample
    p = len(points)
    strain = np.empty(8)
    for e in range(len(elements.side)):
        for i in range(p):
            for j in range(p):
                shape = shapes_at(elements, e, points[i], points[j])
                strains_at(elements, e, shape, x, strain)
                k = i * p + j
                section_forces_of(elements, thickness[e, k], elements.bend[e], elements.slip[e], strain, out[e, k])


@njit(cache=True, nogil=True)
def _averaged(elements: Elements, thickness: Floats, neighbours: Ints, carried: Floats) -> Floats:
    """Means over the elements that meet at a node with one thickness; strips of folds stay by themselves."""
    out = np.empty_like(carried)
    nodes = elements.nodes
    for e in range(nodes.shape[0]):
        folded = elements.bend[e, 0] * elements.bend[e, 1] < 1.0
        for a in range(nodes.shape[1]):
            out[e, a] = 0.0
            count = 0
            for k in range(4):
                other = neighbours[nodes[e, a], k]
                if other < 0 or (elements.bend[other, 0] * elements.bend[other, 1] < 1.0) != folded:
                    continue
                for b in range(nodes.shape[1]):
                    if nodes[other, b] == nodes[e, a]:
                        if abs(thickness[other, b] - thickness[e, a]) <= 1e-3 * thickness[e, a]:
                            out[e, a] += carried[other, b]
                            count += 1
                        break
            out[e, a] /= count
    return out
