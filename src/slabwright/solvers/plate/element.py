"""Stiffness of one plate element, compiled.

Unknowns of a node: deflection w (down), rotations phi_x and phi_y with u(z) = u + (z - z_ref) phi_x, and, where the
middle surface is not level, the displacements u and v of the reference plane. Strains are u,x + (z - z_ref) phi_x,x
and so on; transverse shear is w,x + phi_x. A positive moment means tension at the bottom.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from slabwright.solvers.plate.reference import Bytes, Flags, Floats, Ints, Longs, Reference, polynomial

PLAIN, VARIED, CUT = 1, 0, 2
FICTITIOUS = 1e-7


class Elements(NamedTuple):
    """Everything the compiled kernels need to know of a plate.

    Attributes
    ----------
    reference : Reference
    n_fields : int
        3, or 5 with the in-plane displacements.
    side : (ne, 2) float64
        Element sides in x and y.
    nodes : (ne, (p+1)**2) int32
        Node numbers, y running fastest.
    kind : (ne,) uint8
        ``PLAIN``, a full rectangle of one thickness, integrated in closed form; ``VARIED``, a full rectangle integrated
        by its points; ``CUT``, one that holds only a part of the plate.
    bend : (ne, 2) float64
        Multipliers of the stiffness in x and y: 1, or next to nothing where a joint lets the plate fold.
    slip : (ne, 2) float64
        Multipliers of the shear stiffness in x and y.
    start : (ne + 1,) int64
        First quadrature point of each element.
    at : (nq, 2) float64
        Quadrature points in the unit square.
    area : (nq,) float64
        Weight: the area the point stands for.
    thickness : (nq,) float64
    spring, layer : (nq,) float64
        Soil: spring per area, and stiffness of the shear layer.
    modulus : float
        E / (1 - nu**2).
    poisson, shear_modulus : float
        The second includes the shear correction.
    depth : float
        Of the reference plane below the top; the middle surface lies at half the thickness if ``flush``.
    flush : bool
        False puts every middle surface at the reference plane.
    """

    reference: Reference
    n_fields: int
    side: Floats
    nodes: Ints
    kind: Bytes
    bend: Floats
    slip: Floats
    start: Longs
    at: Floats
    area: Floats
    thickness: Floats
    spring: Floats
    layer: Floats
    modulus: float
    poisson: float
    shear_modulus: float
    depth: float
    flush: bool


@njit(cache=True, nogil=True)
def element_matrix(elements: Elements, e: int, contact: Flags, out: Floats) -> None:
    """Stiffness of element ``e`` with the springs of the points in ``contact``.

    Rows run over nodes, then fields; filled are the blocks on and below the diagonal. A cut element keeps a trace of
    the whole rectangle, so that its nodes off the plate are held by something.
    """
    out[:, :] = 0.0
    even = elements.kind[e] == PLAIN and _evenly_held(elements, e, contact)
    if elements.kind[e] != VARIED:
        _rectangle(elements, e, even, out)
    if elements.kind[e] == CUT:
        out *= FICTITIOUS
    if elements.kind[e] != PLAIN:
        for q in range(elements.start[e], elements.start[e + 1]):
            _add_point(elements, e, q, out)
    if not even:
        for q in range(elements.start[e], elements.start[e + 1]):
            if contact[q]:
                _add_spring(elements, e, q, out)


@njit(cache=True, nogil=True)
def _evenly_held(elements: Elements, e: int, contact: Flags) -> bool:
    """Whether the soil under an element is one and touches it everywhere."""
    first = elements.start[e]
    for q in range(first, elements.start[e + 1]):
        if not contact[q] or elements.spring[q] != elements.spring[first] or elements.layer[q] != elements.layer[first]:
            return False
    return True


@njit(cache=True, nogil=True, inline="always")
def _rigidities(elements: Elements, thickness: float) -> tuple[float, float, float, float]:
    """Membrane, coupling and bending stiffness about the reference plane, and shear stiffness."""
    middle = thickness / 2.0 - elements.depth if elements.flush else 0.0
    membrane = elements.modulus * thickness
    coupling = membrane * middle
    bending = elements.modulus * thickness**3 / 12.0 + membrane * middle * middle
    return membrane, coupling, bending, elements.shear_modulus * thickness


@njit(cache=True, nogil=True)
def _rectangle(elements: Elements, e: int, on_soil: bool, out: Floats) -> None:
    """A full rectangle of one thickness, with the soil under its first point if all of it lies on such soil."""
    ref, nu, n_fields = elements.reference, elements.poisson, elements.n_fields
    a, b = elements.side[e]
    membrane, coupling, bending, shear = _rigidities(elements, elements.thickness[elements.start[e]])
    n = ref.mass.shape[0]
    twist = (1.0 - nu) / 2.0
    spring, layer = 0.0, 0.0
    if on_soil:
        spring, layer = elements.spring[elements.start[e]] * a * b, elements.layer[elements.start[e]]
    for i in range(n):
        for j in range(n):
            r = (i * n + j) * n_fields
            for k in range(n):
                for m in range(n):
                    c = (k * n + m) * n_fields
                    if c > r:
                        continue
                    xx = ref.stiffness[i, k] * ref.mass[j, m] * b / a
                    yy = ref.mass[i, k] * ref.stiffness[j, m] * a / b
                    xy = ref.mixed[i, k] * ref.mixed[m, j]
                    yx = ref.mixed[k, i] * ref.mixed[j, m]
                    b_xx, b_yy = xx + twist * yy, yy + twist * xx
                    b_xy, b_yx = nu * xy + twist * yx, nu * yx + twist * xy
                    out[r, c] = (shear + layer) * (xx + yy) + spring * ref.mass[i, k] * ref.mass[j, m]
                    out[r, c + 1] = shear * b * ref.mixed[i, k] * ref.mass[j, m]
                    out[r + 1, c] = shear * b * ref.mixed[k, i] * ref.mass[j, m]
                    out[r, c + 2] = shear * a * ref.mass[i, k] * ref.mixed[j, m]
                    out[r + 2, c] = shear * a * ref.mass[i, k] * ref.mixed[m, j]
                    out[r + 1, c + 1] = shear * a * b * ref.projected_mass[i, k] * ref.mass[j, m] + bending * b_xx
                    out[r + 2, c + 2] = shear * a * b * ref.mass[i, k] * ref.projected_mass[j, m] + bending * b_yy
                    out[r + 1, c + 2] = bending * b_xy
                    out[r + 2, c + 1] = bending * b_yx
                    if n_fields == 5:
                        out[r + 1, c + 3] = coupling * b_xx
                        out[r + 1, c + 4] = coupling * b_xy
                        out[r + 2, c + 3] = coupling * b_yx
                        out[r + 2, c + 4] = coupling * b_yy
                        out[r + 3, c + 1] = coupling * b_xx
                        out[r + 3, c + 2] = coupling * b_xy
                        out[r + 4, c + 1] = coupling * b_yx
                        out[r + 4, c + 2] = coupling * b_yy
                        out[r + 3, c + 3] = membrane * b_xx
                        out[r + 3, c + 4] = membrane * b_xy
                        out[r + 4, c + 3] = membrane * b_yx
                        out[r + 4, c + 4] = membrane * b_yy


@njit(cache=True, nogil=True)
def shapes_at(elements: Elements, e: int, s: float, t: float) -> Floats:
    """Shape functions, slopes in x and y, and projections in x and y of all nodes at one point."""
    ref = elements.reference
    n = ref.mass.shape[0]
    a, b = elements.side[e]
    found = np.empty((5, n * n))
    for i in range(n):
        value_x, slope_x, flat_x = polynomial(ref.value, i, s), polynomial(ref.slope, i, s) / a, polynomial(ref.projected, i, s)
        for j in range(n):
            value_y, slope_y, flat_y = polynomial(ref.value, j, t), polynomial(ref.slope, j, t) / b, polynomial(ref.projected, j, t)
            node = i * n + j
            found[0, node] = value_x * value_y
            found[1, node] = slope_x * value_y
            found[2, node] = value_x * slope_y
            found[3, node] = flat_x * value_y
            found[4, node] = value_x * flat_y
    return found


@njit(cache=True, nogil=True)
def _add_point(elements: Elements, e: int, q: int, out: Floats) -> None:
    """Share of one quadrature point, with the joint multipliers."""
    nu, n_fields = elements.poisson, elements.n_fields
    shape = shapes_at(elements, e, elements.at[q, 0], elements.at[q, 1])
    membrane, coupling, bending, shear = _rigidities(elements, elements.thickness[q])
    area = elements.area[q]
    m_x, m_y = elements.bend[e]
    shear_x, shear_y = shear * area * elements.slip[e, 0], shear * area * elements.slip[e, 1]
    least = min(m_x, m_y)
    across, twist = nu * least, (1.0 - nu) / 2.0 * least
    n_nodes = shape.shape[1]
    for i in range(n_nodes):
        r = i * n_fields
        for k in range(i + 1):
            c = k * n_fields
            xx, yy = shape[1, i] * shape[1, k], shape[2, i] * shape[2, k]
            xy, yx = shape[1, i] * shape[2, k], shape[2, i] * shape[1, k]
            b_xx, b_yy = area * (m_x * xx + twist * yy), area * (m_y * yy + twist * xx)
            b_xy, b_yx = area * (across * xy + twist * yx), area * (across * yx + twist * xy)
            out[r, c] += shear_x * xx + shear_y * yy
            out[r, c + 1] += shear_x * shape[1, i] * shape[3, k]
            out[r + 1, c] += shear_x * shape[3, i] * shape[1, k]
            out[r, c + 2] += shear_y * shape[2, i] * shape[4, k]
            out[r + 2, c] += shear_y * shape[4, i] * shape[2, k]
            out[r + 1, c + 1] += shear_x * shape[3, i] * shape[3, k] + bending * b_xx
            out[r + 2, c + 2] += shear_y * shape[4, i] * shape[4, k] + bending * b_yy
            out[r + 1, c + 2] += bending * b_xy
            out[r + 2, c + 1] += bending * b_yx
            if n_fields == 5:
                out[r + 1, c + 3] += coupling * b_xx
                out[r + 1, c + 4] += coupling * b_xy
                out[r + 2, c + 3] += coupling * b_yx
                out[r + 2, c + 4] += coupling * b_yy
                out[r + 3, c + 1] += coupling * b_xx
                out[r + 3, c + 2] += coupling * b_xy
                out[r + 4, c + 1] += coupling * b_yx
                out[r + 4, c + 2] += coupling * b_yy
                out[r + 3, c + 3] += membrane * b_xx
                out[r + 3, c + 4] += membrane * b_xy
                out[r + 4, c + 3] += membrane * b_yx
                out[r + 4, c + 4] += membrane * b_yy


@njit(cache=True, nogil=True)
def _add_spring(elements: Elements, e: int, q: int, out: Floats) -> None:
    """Soil under one quadrature point, on the deflections alone."""
    n_fields = elements.n_fields
    shape = shapes_at(elements, e, elements.at[q, 0], elements.at[q, 1])
    spring, layer = elements.spring[q] * elements.area[q], elements.layer[q] * elements.area[q]
    for i in range(shape.shape[1]):
        for k in range(i + 1):
            share = spring * shape[0, i] * shape[0, k]
            if layer > 0.0:
                share += layer * (shape[1, i] * shape[1, k] + shape[2, i] * shape[2, k])
            out[i * n_fields, k * n_fields] += share
