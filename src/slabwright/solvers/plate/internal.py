"""Internal forces from displacements, without any matrix.

Each element's forces are integrals of stresses over virtual strains. As strains are formed first, a rigid movement
leaves nothing but the rounding of the strains themselves: the balance of forces is far sharper than a product with
the stiffness matrix could tell, which is what makes it worth checking.
"""

import numpy as np
from numba import njit

from slabwright.solvers.plate.element import CUT, FICTITIOUS, Elements, shapes_at
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Flags, Floats
from slabwright.solvers.plate.workers import N_WORKERS, side_by_side


def applied(mesh: Mesh, x: Floats, contact: Flags) -> Floats:
    """Nodal forces that displacements of shape (n,) or (m, n) need: plate, ground and the springs in contact."""
    cases = np.atleast_2d(x)
    cuts = np.linspace(0, len(mesh.elements.side), N_WORKERS + 1).astype(int)

    def share(part: int) -> Floats:
        out = np.zeros_like(cases)
        _apply(mesh.elements, cuts[part], cuts[part + 1], cases, contact, out)
        return out

    out = sum(side_by_side(share, range(N_WORKERS)), mesh.ground * cases)
    return out.reshape(np.shape(x))


@njit(cache=True, nogil=True)
def _apply(elements: Elements, e0: int, e1: int, x: Floats, contact: Flags, out: Floats) -> None:
    """Forces of elements e0 to e1; the cases run innermost, side by side."""
    weights, table = elements.reference.weight, elements.reference.table
    n_nodes, m, n_cases, n = elements.nodes.shape[1], elements.n_fields, len(x), len(elements.reference.weight)
    own, force = np.empty((n_nodes, m, n_cases)), np.empty((n_nodes, m, n_cases))
    strain, soil, shape = np.empty((8, n_cases)), np.empty((3, n_cases)), np.empty((5, n_nodes))
    whole = np.ones(2)
    for e in range(e0, e1):
        for a in range(n_nodes):
            first = elements.nodes[e, a] * m
            for i in range(m):
                for c in range(n_cases):
                    own[a, i, c] = x[c, first + i]
        force[:, :, :] = 0.0
        start = elements.start[e]
        for q in range(start, elements.start[e + 1]):
            if elements.kind[e] == CUT:
                shape = shapes_at(elements, e, elements.at[q, 0], elements.at[q, 1])
            else:
                _scaled(table[q - start], elements.side[e], shape)
            area = elements.area[q]
            spring, layer = (elements.spring[q] * area, elements.layer[q] * area) if contact[q] else (0.0, 0.0)
            _add_point_forces(
                elements, shape, elements.thickness[q], area, elements.bend[e], elements.slip[e], spring, layer, own, strain, soil, force
            )
        if elements.kind[e] == CUT:
            area = elements.side[e, 0] * elements.side[e, 1] * FICTITIOUS
            for i in range(n):
                for j in range(n):
                    _scaled(table[i * n + j], elements.side[e], shape)
                    share = area * weights[i] * weights[j]
                    _add_point_forces(elements, shape, elements.thickness[start], share, whole, whole, 0.0, 0.0, own, strain, soil, force)
        for a in range(n_nodes):
            first = elements.nodes[e, a] * m
            for i in range(m):
                for c in range(n_cases):
                    out[c, first + i] += force[a, i, c]


@njit(cache=True, nogil=True)
def _scaled(table: Floats, side: Floats, shape: Floats) -> None:
    """Shapes at a point of the full quadrature, for an element of given sides; see :func:`shapes_at`."""
    for a in range(shape.shape[1]):
        shape[0, a], shape[3, a], shape[4, a] = table[0, a], table[3, a], table[4, a]
        shape[1, a], shape[2, a] = table[1, a] / side[0], table[2, a] / side[1]


@njit(cache=True, nogil=True)
def _add_point_forces(
    elements: Elements, shape: Floats, thickness: float, area: float, bend: Floats, slip: Floats, spring: float, layer: float, own: Floats,
    strain: Floats, soil: Floats, force: Floats,
) -> None:  # fmt: skip
    """Share of one quadrature point in the nodal forces of all cases; ``strain`` and ``soil`` are room to work in."""
    n_nodes, m, n_cases = own.shape
    strain[:, :] = 0.0
    soil[:, :] = 0.0
    value, slope_x, slope_y = soil[0], soil[1], soil[2]
    for a in range(n_nodes):
        dx, dy, flat_x, flat_y = shape[1, a], shape[2, a], shape[3, a], shape[4, a]
        for c in range(n_cases):
            w, turn_x, turn_y = own[a, 0, c], own[a, 1, c], own[a, 2, c]
            strain[3, c] += dx * turn_x
            strain[4, c] += dy * turn_y
            strain[5, c] += dy * turn_x + dx * turn_y
            strain[6, c] += dx * w + flat_x * turn_x
            strain[7, c] += dy * w + flat_y * turn_y
        if m == 5:
            for c in range(n_cases):
                u, v = own[a, 3, c], own[a, 4, c]
                strain[0, c] += dx * u
                strain[1, c] += dy * v
                strain[2, c] += dy * u + dx * v
        if spring > 0.0 or layer > 0.0:
            for c in range(n_cases):
                value[c] += shape[0, a] * own[a, 0, c]
                slope_x[c] += dx * own[a, 0, c]
                slope_y[c] += dy * own[a, 0, c]
    nu = elements.poisson
    middle = thickness / 2.0 - elements.depth if elements.flush else 0.0
    least = min(bend[0], bend[1])
    stretch = elements.modulus * thickness * area
    rigid = elements.modulus * thickness**3 / 12.0 * area
    twist = (1.0 - nu) / 2.0 * least
    for c in range(n_cases):
        n_x, n_y, n_xy = strain[0, c] + middle * strain[3, c], strain[1, c] + middle * strain[4, c], strain[2, c] + middle * strain[5, c]
        n_x, n_y = stretch * (bend[0] * n_x + nu * least * n_y), stretch * (bend[1] * n_y + nu * least * n_x)
        n_xy *= stretch * twist
        m_x = rigid * (bend[0] * strain[3, c] + nu * least * strain[4, c])
        m_y = rigid * (bend[1] * strain[4, c] + nu * least * strain[3, c])
        strain[3, c], strain[4, c], strain[5, c] = m_x + middle * n_x, m_y + middle * n_y, rigid * twist * strain[5, c] + middle * n_xy
        strain[0, c], strain[1, c], strain[2, c] = n_x, n_y, n_xy
        strain[6, c] *= elements.shear_modulus * thickness * slip[0] * area
        strain[7, c] *= elements.shear_modulus * thickness * slip[1] * area
        value[c] *= spring
        slope_x[c] *= layer
        slope_y[c] *= layer
    for a in range(n_nodes):
        dx, dy, flat_x, flat_y = shape[1, a], shape[2, a], shape[3, a], shape[4, a]
        for c in range(n_cases):
            force[a, 0, c] += dx * (strain[6, c] + slope_x[c]) + dy * (strain[7, c] + slope_y[c]) + shape[0, a] * value[c]
            force[a, 1, c] += dx * strain[3, c] + dy * strain[5, c] + flat_x * strain[6, c]
            force[a, 2, c] += dy * strain[4, c] + dx * strain[5, c] + flat_y * strain[7, c]
        if m == 5:
            for c in range(n_cases):
                force[a, 3, c] += dx * strain[0, c] + dy * strain[2, c]
                force[a, 4, c] += dy * strain[1, c] + dx * strain[2, c]


@njit(cache=True, nogil=True)
def strains_at(elements: Elements, e: int, shape: Floats, x: Floats, strain: Floats) -> None:
    """u,x v,y and u,y + v,x of the reference plane; the same of the rotations; and the two shear strains."""
    m = elements.n_fields
    strain[:] = 0.0
    for a in range(shape.shape[1]):
        first = elements.nodes[e, a] * m
        w, turn_x, turn_y = x[first], x[first + 1], x[first + 2]
        strain[3] += shape[1, a] * turn_x
        strain[4] += shape[2, a] * turn_y
        strain[5] += shape[2, a] * turn_x + shape[1, a] * turn_y
        strain[6] += shape[1, a] * w + shape[3, a] * turn_x
        strain[7] += shape[2, a] * w + shape[4, a] * turn_y
        if m == 5:
            u, v = x[first + 3], x[first + 4]
            strain[0] += shape[1, a] * u
            strain[1] += shape[2, a] * v
            strain[2] += shape[2, a] * u + shape[1, a] * v


@njit(cache=True, nogil=True)
def section_forces_of(elements: Elements, thickness: float, bend: Floats, slip: Floats, strain: Floats, found: Floats) -> None:
    """N_x N_y N_xy, M_x M_y M_xy about the section's own middle, Q_x Q_y."""
    nu = elements.poisson
    middle = thickness / 2.0 - elements.depth if elements.flush else 0.0
    least = min(bend[0], bend[1])
    for part in range(2):
        rigid = elements.modulus * (thickness if part == 0 else thickness**3 / 12.0)
        lever = middle if part == 0 else 1.0
        base = 1.0 if part == 0 else 0.0
        along = base * strain[0] + lever * strain[3]
        across = base * strain[1] + lever * strain[4]
        twist = base * strain[2] + lever * strain[5]
        found[3 * part] = rigid * (bend[0] * along + nu * least * across)
        found[3 * part + 1] = rigid * (bend[1] * across + nu * least * along)
        found[3 * part + 2] = rigid * (1.0 - nu) / 2.0 * least * twist
    found[6] = elements.shear_modulus * thickness * slip[0] * strain[6]
    found[7] = elements.shear_modulus * thickness * slip[1] * strain[7]
