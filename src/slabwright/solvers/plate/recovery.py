"""Section forces from displacements: strains taken where they are best, carried to the nodes, averaged where they are one.

Strains of an element of order p are best at its p by p Gauss points. From there they are carried to the nodes by the
polynomial through them; forces follow with the thickness at the node, and are averaged between neighbours of one
thickness. At a step in thickness each side keeps its own. Moments are about each section's own middle surface.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from slabwright.solvers.plate.element import CUT, VARIED, Elements, shapes_at
from slabwright.solvers.plate.internal import strains_at
from slabwright.solvers.plate.loads import Gradient, free_moment
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Floats, Ints

N_X, N_Y, N_XY, M_X, M_Y, M_XY, Q_X, Q_Y = range(8)
_INSET = 1e-6
"""How far inside its element a node's thickness is read, so that a step belongs to one side."""


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
    steps = np.linspace(0.0, 1.0, p + 1)
    corners = np.array([(s, t) for s in steps for t in steps])
    line = np.vander(steps, p, increasing=True) @ np.linalg.inv(np.vander(sample, increasing=True))
    spread: Floats = np.kron(line, line).astype(float)
    neighbours = np.full((mesh.layout.n // elements.n_fields, 4), -1, np.int32)
    _meet(elements.nodes, neighbours)
    return Recovery(_thickness(mesh, at), _thickness(mesh, corners + _INSET * (0.5 - corners)), spread, neighbours)


def _thickness(mesh: Mesh, at: Floats) -> Floats:
    """Thickness at the same places of every element: (ne, len(at)). In cut cells that of the nearest place on the plate."""
    elements = mesh.elements
    thickness = np.repeat(elements.thickness[elements.start[:-1], None], len(at), axis=1)
    varied = np.nonzero(elements.kind == VARIED)[0]
    if len(varied):
        thickness[varied] = mesh.plate.thickness_at(mesh.places(at)[varied].reshape(-1, 2)).reshape(len(varied), -1)
    for e in np.nonzero(elements.kind == CUT)[0]:
        own = slice(elements.start[e], elements.start[e + 1])
        nearest = np.linalg.norm(elements.at[own][:, None] - at, axis=2).argmin(axis=0)
        thickness[e] = elements.thickness[own][nearest]
    return thickness


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
    strains = np.einsum("ns,esk->enk", recovery.spread, _strains(mesh, x))
    forces = _forces(mesh.elements, recovery.nodal_thickness, strains, gradients)
    return _averaged(mesh.elements, recovery.nodal_thickness, recovery.neighbours, forces)


def sampled_forces(mesh: Mesh, recovery: Recovery, x: Floats, gradients: tuple[Gradient, ...] = ()) -> Floats:
    """The same at the sample points, element by element, before any averaging: (ne, p*p, 8)."""
    return _forces(mesh.elements, recovery.thickness, _strains(mesh, x), gradients)


def _strains(mesh: Mesh, x: Floats) -> Floats:
    found = np.empty((len(mesh.elements.side), mesh.order**2, 8))
    _sample(mesh.elements, x, found)
    return found


def _forces(elements: Elements, thickness: Floats, strain: Floats, gradients: tuple[Gradient, ...]) -> Floats:
    """Section forces (ne, k, 8) from strains of the reference plane, with the thickness of each place."""
    found = np.empty_like(strain)
    nu, bend = elements.poisson, elements.bend[:, None, :]
    least = bend.min(axis=2)
    middle = thickness / 2.0 - elements.depth if elements.flush else np.zeros_like(thickness)
    for first, rigid in ((N_X, elements.modulus * thickness), (M_X, elements.modulus * thickness**3 / 12.0)):
        own = strain[..., 3:6] if first == M_X else strain[..., :3] + middle[..., None] * strain[..., 3:6]
        found[..., first] = rigid * (bend[..., 0] * own[..., 0] + nu * least * own[..., 1])
        found[..., first + 1] = rigid * (bend[..., 1] * own[..., 1] + nu * least * own[..., 0])
        found[..., first + 2] = rigid * (1.0 - nu) / 2.0 * least * own[..., 2]
    shear = elements.shear_modulus * thickness[..., None] * elements.slip[:, None, :]
    found[..., Q_X:] = shear * strain[..., 6:]
    for gradient in gradients:
        moment = elements.modulus * (1.0 + nu) * free_moment(thickness, gradient)
        found[..., M_X] -= bend[..., 0] * moment
        found[..., M_Y] -= bend[..., 1] * moment
    return found


@njit(cache=True)
def _meet(nodes: Ints, neighbours: Ints) -> None:
    for e in range(nodes.shape[0]):
        for a in range(nodes.shape[1]):
            for k in range(4):
                if neighbours[nodes[e, a], k] < 0:
                    neighbours[nodes[e, a], k] = e
                    break


@njit(cache=True, nogil=True)
def _sample(elements: Elements, x: Floats, out: Floats) -> None:
    points = elements.reference.sample
    p = len(points)
    for e in range(len(elements.side)):
        for i in range(p):
            for j in range(p):
                strains_at(elements, e, shapes_at(elements, e, points[i], points[j]), x, out[e, i * p + j])


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
