"""How hard the slab pulls against what holds it: in-plane stress of drying and cooling, panel by panel, and how far joints open.

The whole floor is solved in its plane with its true thickness. Lines are parted where their cut is deep enough to be a joint; over
pads and strips they are not, so a line that runs over a pad leaves its panels tied together there, which is why it matters.

Concrete on the ground dries through its top. The mean drying of a section follows its volume over its surface, which there is its
depth: a deep part shortens far less than the floor in the same year and holds the floor beside it back.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.foundation import Foundation
from slabwright.solvers.partition import Cut
from slabwright.solvers.plane_stress import PlaneStress, PlaneStressSolution, split_grid
from slabwright.standards import aci_318_19
from slabwright.studies.joints.drying import Drying
from slabwright.units import INCH_M, STANDARD_GRAVITY_M_S2

Floats = NDArray[np.float64]

TEMP_DROP_K = 10.0
"""Cooling from set to the coldest in use; common practice, no source."""
EXPANSION_1_K = 9.9e-6
"""5.5e-6 per °F."""
RELAXATION = 0.4
"""Share of the elastic stress that creep leaves over a year; common practice, no source."""
SLIP_AT_M = 1.5e-3
"""Movement at which the friction is reached; common practice, no source."""
PASSIVE_N_M3 = 150 * 4.448222 / 0.3048**3
"""Lateral bearing per depth of sand, 150 psf per foot, on the faces of thickened parts."""
POISSON = 0.2
_MOST_CELLS = 12000
_DEPTHS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Restraint:
    """In-plane stress over the floor.

    Attributes
    ----------
    corners : ndarray
        Corners of each cell, shape (n, 4, 2). [m]
    index : ndarray
        Largest principal tension over the modulus of rupture, shape (n,). [-]
    opening_m : tuple of float
        Mean opening of each line. [m]
    rupture_pa : float
    friction : float
    strain : float
        Free shortening of the floor, relaxation not applied. [-]
    """

    corners: Floats
    index: Floats
    opening_m: tuple[float, ...]
    rupture_pa: float
    friction: float
    strain: float

    def largest_in(self, pieces: tuple[shapely.Polygon, ...]) -> tuple[float, ...]:
        """Largest index inside each panel; the nineteenth of twenty cells, so that one sharp corner does not speak for a panel."""
        middles = self.corners.mean(axis=1)
        found = []
        for piece in pieces:
            inside = shapely.contains_xy(piece, middles[:, 0], middles[:, 1])
            found.append(float(np.quantile(self.index[inside], 0.95)) if inside.any() else 0.0)
        return tuple(found)


def restraint(
    foundation: Foundation, cuts: tuple[Cut, ...], reaches_m: Sequence[float], strength_pa: float, *,
    drying: Drying, friction: float, parted: BaseGeometry | None = None, holes: BaseGeometry | None = None,
) -> Restraint:  # fmt: skip
    """Solve the floor in its plane.

    Parameters
    ----------
    foundation : Foundation
    cuts : tuple of Cut
        Lines; those askew to the grid of cells part it in steps.
    reaches_m : sequence of float
        Thickness up to which each line is a joint. [m]
    strength_pa : float
        Specified strength. [Pa]
    drying : Drying
    friction : float
        Coefficient of the underside. [-]
    parted : shapely geometry, optional
        Where the floor lies parted on what is below, no thicker than elsewhere.
    holes : shapely geometry, optional
        Boxes of isolation joints, open when the floor shrinks.
    """
    xs, ys, exists, thickness = _cells(foundation, cuts)
    _free(xs, ys, exists, thickness, foundation, parted, holes)
    cut_x, cut_y = _parted(xs, ys, exists, cuts, reaches_m, thickness)
    nodes, quads, cells = split_grid(xs, ys, exists, cut_x, cut_y)
    deep = thickness[cells[:, 0], cells[:, 1]]
    below = np.maximum(deep - foundation.floor.thickness_m, 0.0)
    slip = friction * 2400.0 * STANDARD_GRAVITY_M_S2 * deep + PASSIVE_N_M3 * below**2 / 2 / np.maximum(2 * below, 0.3)
    cooled = EXPANSION_1_K * TEMP_DROP_K
    modulus = aci_318_19.concrete_modulus_pa(strength_pa=strength_pa) * RELAXATION
    body = PlaneStress.of(nodes, quads, thickness_m=deep, e_pa=modulus, nu=POISSON, support_pa_m=slip / SLIP_AT_M, slip_pa=slip)
    depths = np.linspace(deep.min(), deep.max(), _DEPTHS)
    dried = np.interp(deep, depths, [drying.after_a_year(float(one)) for one in depths])
    solution = body.solve(free_strain=-(dried + cooled), tolerance=1e-3)
    rupture = aci_318_19.rupture_modulus_pa(strength_pa=strength_pa)
    return Restraint(
        corners=nodes[quads],
        index=np.maximum(solution.principal, 0.0) / rupture,
        opening_m=tuple(_opening(cells, nodes, quads, solution, cut) for cut in cuts),
        rupture_pa=rupture,
        friction=friction,
        strain=drying.after_a_year(foundation.floor.thickness_m) + cooled,
    )


def _cells(foundation: Foundation, cuts: tuple[Cut, ...]) -> tuple[Floats, Floats, NDArray[np.bool_], Floats]:
    """Grid lines through every corner and cut, filled to a step that keeps the number of cells in bounds."""
    low_x, low_y, high_x, high_y = foundation.region.bounds
    step = max(0.3, float(np.sqrt((high_x - low_x) * (high_y - low_y) / _MOST_CELLS)))
    corners = shapely.get_coordinates(foundation.region)
    lines = []
    for axis, (low, high) in enumerate(((low_x, high_x), (low_y, high_y))):
        fixed = [low, high, *corners[:, axis], *(cut.start[axis] for cut in cuts if abs(cut.start[axis] - cut.end[axis]) < 1e-4)]
        at = np.unique(np.round(fixed, 4))
        at = at[np.concatenate([[True], np.diff(at) > 0.02])]
        filled = [np.linspace(a, b, max(1, int(np.ceil((b - a) / step))) + 1)[:-1] for a, b in pairwise(at)]
        lines.append(np.concatenate([*filled, [at[-1]]]))
    xs, ys = lines
    middle_x, middle_y = np.meshgrid((xs[1:] + xs[:-1]) / 2, (ys[1:] + ys[:-1]) / 2, indexing="ij")
    middles = np.stack([middle_x.ravel(), middle_y.ravel()], axis=1)
    inside = np.asarray(shapely.contains_xy(foundation.region, middles[:, 0], middles[:, 1])).reshape(middle_x.shape)
    return xs, ys, inside, np.maximum(foundation.thickness_m(middles).reshape(middle_x.shape), 1e-3)


def _free(
    xs: Floats, ys: Floats, exists: NDArray[np.bool_], thickness: Floats, foundation: Foundation,
    parted: BaseGeometry | None, holes: BaseGeometry | None,
) -> None:  # fmt: skip
    """Take the boxes out of the cells, and what is parted from the floor out of its thickness."""
    middles = np.meshgrid((xs[1:] + xs[:-1]) / 2, (ys[1:] + ys[:-1]) / 2, indexing="ij")
    if parted is not None:
        thickness[shapely.contains_xy(parted, *middles)] = foundation.floor.thickness_m
    if holes is not None:
        exists &= ~shapely.contains_xy(holes, *middles)


def _parted(
    xs: Floats, ys: Floats, exists: NDArray[np.bool_], cuts: tuple[Cut, ...], reaches_m: Sequence[float], thickness: Floats
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    middle_x, middle_y = (xs[1:] + xs[:-1]) / 2, (ys[1:] + ys[:-1]) / 2
    middles = np.stack(np.meshgrid(middle_x, middle_y, indexing="ij"), axis=-1)
    p, q = exists.shape
    cut_x, cut_y = np.zeros((p - 1, q), dtype=bool), np.zeros((p, q - 1), dtype=bool)
    for cut, reach in zip(cuts, reaches_m, strict=True):
        shallow = thickness <= reach + INCH_M / 16
        cut_x |= _crossed(middles[:-1], middles[1:], cut) & shallow[:-1] & shallow[1:]
        cut_y |= _crossed(middles[:, :-1], middles[:, 1:], cut) & shallow[:, :-1] & shallow[:, 1:]
    return cut_x, cut_y


def _crossed(a: Floats, b: Floats, cut: Cut) -> NDArray[np.bool_]:
    """Whether the way from one cell's middle to the next crosses a line; a line askew to the grid parts it in steps."""
    start, end = np.array(cut.start), np.array(cut.end)
    run = end - start
    side_a, side_b = _cross(run, a - start), _cross(run, b - start)
    step = b - a
    side_start, side_end = _cross(step, start - a), _cross(step, end - a)
    return np.asarray((side_a * side_b < 0) & (side_start * side_end <= 0))


def _cross(one: Floats, other: Floats) -> Floats:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _opening(cells: NDArray[np.int64], nodes: Floats, quads: NDArray[np.int64], solution: PlaneStressSolution, cut: Cut) -> float:
    """Mean gap across a line between the cells at its two sides, square to it; 0 for a line that is not parted."""
    run = (np.array(cut.end) - cut.start) / max(cut.length, 1e-9)
    square = np.array([-run[1], run[0]])
    number = np.full(cells.max(axis=0) + 1, -1, dtype=np.int64)
    number[cells[:, 0], cells[:, 1]] = np.arange(len(cells))
    middles, moved = nodes[quads].mean(axis=1), solution.displacement[quads]
    gaps = []
    for before, after, near, far in (
        (number[:-1], number[1:], (1, 2), (0, 3)),
        (number[:, :-1], number[:, 1:], (2, 3), (0, 1)),
    ):
        both = (before >= 0) & (after >= 0)
        first, second = before[both], after[both]
        on = _crossed(middles[first], middles[second], cut)
        first, second = first[on], second[on]
        ahead = np.sign(np.sum((middles[second] - middles[first]) * square, axis=1))
        gap = moved[second][:, far].mean(axis=1) - moved[first][:, near].mean(axis=1)
        gaps.append(ahead * (gap @ square))
    every = np.concatenate(gaps)
    return max(float(every.mean()), 0.0) if len(every) else 0.0
