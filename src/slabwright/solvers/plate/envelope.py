"""A load moved over the plate: the worst of every position, from one factor and many right-hand sides."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numba import njit

from slabwright.solvers.plate.analysis import Analysis
from slabwright.solvers.plate.answer import Answer, Extreme
from slabwright.solvers.plate.element import Elements, shapes_at
from slabwright.solvers.plate.internal import section_forces_of
from slabwright.solvers.plate.lapack import one_thread_a_call
from slabwright.solvers.plate.loads import Gradient, Patch, moved_forces
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.recovery import sampled_forces
from slabwright.solvers.plate.reference import Flags, Floats, Ints
from slabwright.solvers.plate.workers import N_WORKERS, side_by_side

_POSITIONS_AT_ONCE = 64


@dataclass(frozen=True, eq=False)
class Envelope:
    """Greatest principal tensions of all positions at the sample points of every element.

    Attributes
    ----------
    mesh : Mesh
    positions : (m, 2) float64
        Of the moving load.
    points : (ne, p*p, 2) float64
        Where the tensions are.
    top, bottom : (ne, p*p) float64
    top_position, bottom_position : (ne, p*p) int32
        Which position causes each.
    """

    mesh: Mesh
    positions: Floats
    points: Floats
    top: Floats
    bottom: Floats
    top_position: Ints
    bottom_position: Ints

    def greatest_top(self, cells: Flags | None = None) -> tuple[Extreme, tuple[float, float]]:
        """Greatest tension at the top (of some cells), its place, and where the load then stands."""
        return self._greatest(self.top, self.top_position, cells)

    def greatest_bottom(self, cells: Flags | None = None) -> tuple[Extreme, tuple[float, float]]:
        """The same at the bottom."""
        return self._greatest(self.bottom, self.bottom_position, cells)

    def _greatest(self, values: Floats, cause: Ints, cells: Flags | None) -> tuple[Extreme, tuple[float, float]]:
        read = values if cells is None else np.where(cells[:, None], values, -np.inf)
        best = np.unravel_index(int(read.argmax()), read.shape)
        x, y = self.points[best]
        stands = self.positions[cause[best]]
        return Extreme(float(read[best]), float(x), float(y)), (float(stands[0]), float(stands[1]))


@one_thread_a_call()
def envelope(analysis: Analysis, base: Answer, group: Sequence[Patch], positions: Floats) -> Envelope:
    """Move a group of patches over a plate that already carries something.

    The plate is taken as it stands under the base loads: the contact set of ``base`` stays. That is exact while no
    position lifts or lowers more of the plate; solve the worst positions anew to see.

    Parameters
    ----------
    analysis : Analysis
    base : Answer
        What is always there; of either mesh of the analysis.
    group : sequence of Patch
        The moving patches, placed as they lie when the group stands at the origin.
    positions : (m, 2) float64
        Every patch must be on the plate at each.

    Raises
    ------
    OutOfRange
        If a patch is off the plate at some position.
    """
    level = analysis.level_of(base)
    mesh = level.mesh
    positions = np.asarray(positions, dtype=float)
    gradients = tuple(load for load in base.loads if isinstance(load, Gradient))
    standing = sampled_forces(mesh, level.recovery, base.x, gradients)
    shape = standing.shape[:2]
    top, bottom = np.full(shape, -np.inf), np.full(shape, -np.inf)
    top_position, bottom_position = np.zeros(shape, np.int32), np.zeros(shape, np.int32)
    cuts = np.linspace(0, shape[0], N_WORKERS + 1).astype(int)
    for first in range(0, len(positions), _POSITIONS_AT_ONCE):
        now = positions[first : first + _POSITIONS_AT_ONCE]
        forces = np.sum([moved_forces(patch, now, mesh) for patch in group], axis=0)
        x = np.ascontiguousarray(level.solver.increments(forces, base.contact).T)

        def widen(part: tuple[int, int], x: Floats = x, first: int = first) -> None:
            _widen(mesh.elements, level.recovery.thickness, x, standing, first, *part, top, bottom, top_position, bottom_position)

        side_by_side(widen, list(pairwise(cuts)))
    sample = mesh.elements.reference.sample
    points = mesh.places(np.array([(s, t) for s in sample for t in sample]))
    return Envelope(mesh, positions, points, top, bottom, top_position, bottom_position)


@njit(cache=True, nogil=True)
def _widen(
    elements: Elements, thickness: Floats, x: Floats, standing: Floats, first: int, e0: int, e1: int, top: Floats, bottom: Floats,
    top_position: Ints, bottom_position: Ints,
) -> None:  # fmt: skip
    """Take a block of positions, the columns of ``x``, into the envelope of elements e0 to e1."""
    points = elements.reference.sample
    p, n, m = len(points), x.shape[1], elements.n_fields
    strain, force = np.empty((8, n)), np.empty(8)
    one = np.empty(8)
    for e in range(e0, e1):
        for k in range(p * p):
            shape = shapes_at(elements, e, points[k // p], points[k % p])
            strain[:, :] = 0.0
            for a in range(shape.shape[1]):
                row = elements.nodes[e, a] * m
                dx, dy, flat_x, flat_y = shape[1, a], shape[2, a], shape[3, a], shape[4, a]
                for c in range(n):
                    w, turn_x, turn_y = x[row, c], x[row + 1, c], x[row + 2, c]
                    strain[3, c] += dx * turn_x
                    strain[4, c] += dy * turn_y
                    strain[5, c] += dy * turn_x + dx * turn_y
                    strain[6, c] += dx * w + flat_x * turn_x
                    strain[7, c] += dy * w + flat_y * turn_y
                if m == 5:
                    for c in range(n):
                        u, v = x[row + 3, c], x[row + 4, c]
                        strain[0, c] += dx * u
                        strain[1, c] += dy * v
                        strain[2, c] += dy * u + dx * v
            h = thickness[e, k]
            for c in range(n):
                for i in range(8):
                    one[i] = strain[i, c]
                section_forces_of(elements, h, elements.bend[e], elements.slip[e], one, force)
                for i in range(6):
                    force[i] += standing[e, k, i]
                high = _tension(force, h, 1.0)
                low = _tension(force, h, -1.0)
                if low > top[e, k]:
                    top[e, k], top_position[e, k] = low, first + c
                if high > bottom[e, k]:
                    bottom[e, k], bottom_position[e, k] = high, first + c


@njit(cache=True, nogil=True)
def _tension(force: Floats, thickness: float, face: float) -> float:
    """Principal tension at the bottom (face 1) or the top (face -1)."""
    x = force[0] / thickness + face * 6.0 * force[3] / thickness**2
    y = force[1] / thickness + face * 6.0 * force[4] / thickness**2
    xy = force[2] / thickness + face * 6.0 * force[5] / thickness**2
    return (x + y) / 2.0 + np.sqrt(((x - y) / 2.0) ** 2 + xy * xy)
