"""The depth field: thickness of concrete at any number of points, and which part makes it.

Every face of every part is cut into triangles that carry the plane of its underside; a grid of cells lists the
triangles that reach into each. At a point the deepest triangle that holds it gives the thickness.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.blocks import Array
from slabwright.geometry.overlay import Geometries, Integers

_TOUCH_M = 1e-9
_MOST_CELLS_A_SIDE = 512
_AT_ONCE = 4096
"""Points whose work stays in the processor's cache."""


@dataclass(frozen=True, slots=True)
class DepthField:
    """Triangles with planes, and a grid that finds them.

    Attributes
    ----------
    faces : (3, 4, n) array
        Coefficients ``a``, ``b``, ``c`` of ``a x + b y + c``, which is the thickness over each triangle and, from within positive, the
        distance of each of its three sides. [m]
    owners : (n,) array of int
    corner, cell_m : (2,) arrays
        South-west corner of the grid and the size of a cell. [m]
    shape : tuple of int
        Cells along x and y.
    first, items : arrays of int
        Triangles of cell ``k`` are ``items[first[k]:first[k + 1]]``.
    """

    faces: Array
    owners: Integers
    corner: Array
    cell_m: Array
    shape: tuple[int, int]
    first: Integers
    items: Integers

    @classmethod
    def of(cls, polygons: Geometries, planes: Array, owners: Integers) -> "DepthField":
        """A field from polygons, which may overlap, each with its plane and its owner's number."""
        triangles, index = shapely.get_parts(shapely.constrained_delaunay_triangles(polygons), return_index=True)
        corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
        twice = _cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        corners = np.where((twice < 0.0)[:, None, None], corners[:, ::-1], corners)[np.abs(twice) > 0.0]
        index = index[np.abs(twice) > 0.0]
        along = np.roll(corners, -1, axis=1) - corners
        along /= np.linalg.norm(along, axis=2, keepdims=True)
        inward = np.stack([-along[..., 1], along[..., 0]], axis=2)
        sides = np.concatenate([inward, -np.sum(inward * corners, axis=2, keepdims=True)], axis=2)
        low, high = corners.min(axis=1) - _TOUCH_M, corners.max(axis=1) + _TOUCH_M
        corner, cell_m, shape = _grid(low, high)
        first, items = _listed(low, high, corner, cell_m, shape)
        return cls(
            np.ascontiguousarray(np.concatenate([planes[index][:, None], sides], axis=1).T),
            owners[index].astype(np.int64),
            corner,
            cell_m,
            shape,
            first,
            items,
        )

    def at(self, points: NDArray[np.float64]) -> tuple[Array, Integers]:
        """Thickness and owner at points.

        Parameters
        ----------
        points : (n, 2) array
            [m]

        Returns
        -------
        thickness : (n,) array
            0 where no triangle holds the point. [m]
        owner : (n,) array of int
            Number of the part that is deepest there; -1 where there is none.
        """
        there = np.asarray(points, dtype=float).reshape(-1, 2)
        thickness, owner = np.zeros(len(there)), np.full(len(there), -1, dtype=np.int64)
        for k in range(0, len(there), _AT_ONCE):
            self._deepest(there[k : k + _AT_ONCE], thickness[k : k + _AT_ONCE], owner[k : k + _AT_ONCE])
        return thickness, owner

    def _deepest(self, there: Array, thickness: Array, owner: Integers) -> None:
        """Fill in thickness and owner: of all triangles of each point's cell that hold it, the deepest."""
        place = (there - self.corner) / self.cell_m
        is_near = (place >= 0.0) & (place <= self.shape)
        live = np.flatnonzero(is_near[:, 0] & is_near[:, 1])
        column, row = np.minimum(place[live].astype(np.int64), np.array(self.shape) - 1).T
        cell = row * self.shape[0] + column
        count = self.first[cell + 1] - self.first[cell]
        live, cell, count = live[count > 0], cell[count > 0], count[count > 0]
        if not len(live):
            return
        begins = np.cumsum(count) - count
        triangle = self.items[np.arange(count.sum()) + np.repeat(self.first[cell] - begins, count)]
        x, y = np.repeat(there[live], count, axis=0).T
        across, up, plain = self.faces[:, :, triangle]
        depth, *sides = across * x + up * y + plain
        is_held = (sides[0] >= -_TOUCH_M) & (sides[1] >= -_TOUCH_M) & (sides[2] >= -_TOUCH_M)
        depth = np.where(is_held, depth, 0.0)
        thickness[live] = np.maximum(np.maximum.reduceat(depth, begins), 0.0)
        deepest = np.flatnonzero((depth > 0.0) & (depth == np.repeat(thickness[live], count)))[::-1]  # of equals the first is written last
        owner[np.repeat(live, count)[deepest]] = self.owners[triangle[deepest]]


def _cross(a: Array, b: Array) -> Array:
    product: Array = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return product


def _grid(low: Array, high: Array) -> tuple[Array, Array, tuple[int, int]]:
    """A grid over all triangles with about two cells for each."""
    corner, size = low.min(axis=0), high.max(axis=0) - low.min(axis=0)
    side = np.sqrt(size.prod() / (2.0 * len(low) + 64.0))
    columns, rows = np.clip(np.ceil(size / side), 1, _MOST_CELLS_A_SIDE).astype(int)
    return corner, size / np.array([columns, rows]), (int(columns), int(rows))


def _listed(low: Array, high: Array, corner: Array, cell_m: Array, shape: tuple[int, int]) -> tuple[Integers, Integers]:
    """For each cell the triangles whose bounding box reaches into it."""
    limit = np.array(shape) - 1
    start = np.clip(((low - corner) / cell_m).astype(np.int64), 0, limit)
    stop = np.clip(((high - corner) / cell_m).astype(np.int64), 0, limit)
    wide = stop - start + 1
    count = wide[:, 0] * wide[:, 1]
    triangle = np.repeat(np.arange(len(low)), count)
    turn = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    cell = (start[triangle, 1] + turn // wide[triangle, 0]) * shape[0] + start[triangle, 0] + turn % wide[triangle, 0]
    order = np.argsort(cell, kind="stable")
    first = np.searchsorted(cell[order], np.arange(shape[0] * shape[1] + 1))
    return first.astype(np.int64), triangle[order].astype(np.int64)
