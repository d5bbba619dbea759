"""Internal forces from displacements, without any matrix.

Each element's forces are integrals of stresses over virtual strains. As strains are formed first, a rigid movement
leaves nothing but the rounding of the strains themselves: the balance of forces is far sharper than a product with
the stiffness matrix could tell, which is what makes it worth checking.
"""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numba import njit

from slabwright.solvers.plate.element import FICTITIOUS, Elements, shapes_at
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Flags, Floats, Longs

_WORKERS = 2


def applied(mesh: Mesh, x: Floats, contact: Flags) -> Floats:
    """Nodal forces that displacements of shape (n,) or (m, n) need: plate, ground and the springs in contact."""
    cases = np.atleast_2d(x)
    cuts = np.linspace(0, len(mesh.elements.side), _WORKERS + 1).astype(int)

    def share(part: int) -> Floats:
        out = np.zeros_like(cases)
        _apply(mesh.elements, cuts[part], cuts[part + 1], cases, contact, out)
        return out

    with ThreadPoolExecutor(_WORKERS) as pool:
        out = sum(pool.map(share, range(_WORKERS)), mesh.ground * cases)
    return out.reshape(np.shape(x))


@njit(cache=True, nogil=True)
def _apply(elements: Elements, e0: int, e1: int, x: Floats, contact: Flags, out: Floats) -> None:
    points, weights = elements.reference.gauss, elements.reference.weight
    n = len(points)
    whole = np.ones(2)
    for e in range(e0, e1):
        first = elements.start[e]
        for q in range(first, elements.start[e + 1]):
            shape = shapes_at(elements, e, elements.at[q, 0], elements.at[q, 1])
            area = elements.area[q]
            for case in range(len(x)):
                _add_stress(elements, e, shape, elements.thickness[q], area, elements.bend[e], elements.slip[e], x[case], out[case])
                if contact[q]:
                    _add_soil(elements, e, shape, elements.spring[q] * area, elements.layer[q] * area, x[case], out[case])
        if not elements.plain[e]:
            area = elements.side[e, 0] * elements.side[e, 1] * FICTITIOUS
            for i in range(n):
                for j in range(n):
                    shape = shapes_at(elements, e, points[i], points[j])
                    share = area * weights[i] * weights[j]
                    for case in range(len(x)):
                        _add_stress(elements, e, shape, elements.thickness[first], share, whole, whole, x[case], out[case])


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


@njit(cache=True, nogil=True)
def _add_stress(
    elements: Elements, e: int, shape: Floats, thickness: float, area: float, bend: Floats, slip: Floats, x: Floats, out: Floats
) -> None:
    strain, force = np.empty(8), np.empty(8)
    strains_at(elements, e, shape, x, strain)
    section_forces_of(elements, thickness, bend, slip, strain, force)
    force *= area
    middle = thickness / 2.0 - elements.depth if elements.flush else 0.0
    m = elements.n_fields
    for k in range(3):
        strain[k] = force[3 + k] + middle * force[k]
    for a in range(shape.shape[1]):
        first = elements.nodes[e, a] * m
        out[first] += shape[1, a] * force[6] + shape[2, a] * force[7]
        out[first + 1] += shape[1, a] * strain[0] + shape[2, a] * strain[2] + shape[3, a] * force[6]
        out[first + 2] += shape[2, a] * strain[1] + shape[1, a] * strain[2] + shape[4, a] * force[7]
        if m == 5:
            out[first + 3] += shape[1, a] * force[0] + shape[2, a] * force[2]
            out[first + 4] += shape[2, a] * force[1] + shape[1, a] * force[2]


@njit(cache=True, nogil=True)
def _add_soil(elements: Elements, e: int, shape: Floats, spring: float, layer: float, x: Floats, out: Floats) -> None:
    m = elements.n_fields
    value = slope_x = slope_y = 0.0
    for a in range(shape.shape[1]):
        w = x[elements.nodes[e, a] * m]
        value += shape[0, a] * w
        slope_x += shape[1, a] * w
        slope_y += shape[2, a] * w
    for a in range(shape.shape[1]):
        share = spring * value * shape[0, a] + layer * (slope_x * shape[1, a] + slope_y * shape[2, a])
        out[elements.nodes[e, a] * m] += share


@njit(cache=True, nogil=True)
def deflections(elements: Elements, x: Floats) -> Floats:
    """Deflection at every quadrature point."""
    found = np.zeros(len(elements.area))
    for e in range(len(elements.side)):
        for q in range(elements.start[e], elements.start[e + 1]):
            shape = shapes_at(elements, e, elements.at[q, 0], elements.at[q, 1])
            for a in range(shape.shape[1]):
                found[q] += shape[0, a] * x[elements.nodes[e, a] * elements.n_fields]
    return found


@njit(cache=True, nogil=True)
def interpolated(elements: Elements, x: Floats, cell: Longs, at: Floats) -> Floats:
    """Deflection at places of cells."""
    found = np.zeros(len(cell))
    for k in range(len(cell)):
        shape = shapes_at(elements, cell[k], at[k, 0], at[k, 1])
        for a in range(shape.shape[1]):
            found[k] += shape[0, a] * x[elements.nodes[cell[k], a] * elements.n_fields]
    return found


@njit(cache=True, nogil=True)
def interpolated_nodal(elements: Elements, nodal: Floats, cell: Longs, at: Floats) -> Floats:
    """Nodal values (ne, nodes, m) at places of cells: (n, m)."""
    found = np.zeros((len(cell), nodal.shape[2]))
    for k in range(len(cell)):
        shape = shapes_at(elements, cell[k], at[k, 0], at[k, 1])
        for a in range(shape.shape[1]):
            found[k] += shape[0, a] * nodal[cell[k], a]
    return found


@njit(cache=True, nogil=True)
def soil_forces(elements: Elements, force: Floats, n: int) -> Floats:
    """Nodal forces of a force at every quadrature point; points without force cost nothing."""
    out = np.zeros(n)
    for e in range(len(elements.side)):
        for q in range(elements.start[e], elements.start[e + 1]):
            if force[q] != 0.0:
                shape = shapes_at(elements, e, elements.at[q, 0], elements.at[q, 1])
                for a in range(shape.shape[1]):
                    out[elements.nodes[e, a] * elements.n_fields] += force[q] * shape[0, a]
    return out
