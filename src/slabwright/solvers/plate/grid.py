"""A rectilinear grid over a polygon: its lines, its cells, and the pieces of the cells that something cuts.

Lines follow every edge that is parallel to an axis; what runs askew cuts cells, and a cut cell is integrated over its
pieces. Lengths are in any one unit (metres in this house).
"""

from bisect import insort
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from slabwright.errors import GeometryError, OutOfRange
from slabwright.solvers.plate.reference import Flags, Floats, Longs, gauss_points, reference, tensor_points

_GROWTH = 0.6
_SLIVER = 1e-6


@dataclass(frozen=True, slots=True)
class Focus:
    """A place where the grid is to be fine: cells of ``size`` there, growing with the distance."""

    x: float
    y: float
    size: float


def graded_lines(
    exact: Iterable[float], fixed: Iterable[float], size: float, foci: Sequence[tuple[float, float]], merge: float, coarser: float = 1.0
) -> Floats:
    """Grid lines of one axis, evenly graded between fixed positions.

    Parameters
    ----------
    exact : iterable of float
        Positions that must be lines, among them the two ends of the axis.
    fixed : iterable of float
        Positions that should be lines; those outside are left out.
    size : float
        Largest interval.
    foci : sequence of (position, size)
        Intervals are of that size there and grow by some 0.6 of the distance.
    merge : float
        A fixed position closer than this to another line is left out.
    coarser : float
        Makes every interval that many times longer, as far as the fixed positions allow.

    Returns
    -------
    (n,) float64
        Ascending.
    """
    kept = sorted(set(exact))
    for position in sorted(set(fixed)):
        if kept[0] < position < kept[-1] and min(abs(position - line) for line in kept) > merge:
            insort(kept, position)
    centres = np.array([position for position, _ in foci])
    sizes = np.array([small for _, small in foci])
    lines = [np.array([kept[0]])]
    for a, b in pairwise(kept):
        t = np.linspace(a, b, 65)
        local = np.full(65, size)
        if len(foci):
            local = np.minimum(local, (sizes + _GROWTH * np.abs(t[:, None] - centres)).min(axis=1))
        density = np.concatenate([[0.0], np.cumsum(np.diff(t) * 2.0 / (local[1:] + local[:-1]))])
        n = max(1, int(np.ceil(density[-1] / coarser - 1e-6)))
        lines.append(np.interp(np.arange(1, n + 1) * density[-1] / n, density, t))
        lines[-1][-1] = b
    return np.concatenate(lines)


@dataclass(frozen=True, eq=False)
class Pieces:
    """Quadrature over parts of cells: which cell, where in its unit square, and the area each point stands for."""

    cell: Longs
    at: Floats
    area: Floats


@dataclass(frozen=True, eq=False)
class Grid:
    """Lines, the cells that hold some of the polygon, and the quadrature of those that are cut.

    Attributes
    ----------
    x, y : (nx + 1,), (ny + 1,) float64
    outline : shapely.Polygon
    active : (nx, ny) bool
    index : (nx, ny) int64
        Number of each active cell, -1 elsewhere.
    cut : Pieces
        Of the active cells that outline or break lines cross.
    """

    x: Floats
    y: Floats
    outline: shapely.Polygon
    active: Flags
    index: Longs
    cut: Pieces

    @classmethod
    def over(cls, outline: shapely.Polygon, x: Floats, y: Floats, breaks: Sequence[BaseGeometry] = (), order: int = 2) -> "Grid":
        """Cells of a polygon between given lines.

        Parameters
        ----------
        outline : shapely.Polygon
            May have holes.
        x, y : array
            Lines that bound it.
        breaks : sequence of geometry
            Lines or rings across which thickness or soil jump; those askew to the grid cut cells too.
        order : int
            Of the elements, for the quadrature.

        Raises
        ------
        GeometryError
            If the outline crosses itself or has no area.
        """
        if not outline.is_valid or outline.area <= 0.0:
            raise GeometryError(f"outline: {shapely.is_valid_reason(outline)}; it must be a simple polygon with an area.")
        shapely.prepare(outline)
        centre_x, centre_y = np.meshgrid((x[1:] + x[:-1]) / 2.0, (y[1:] + y[:-1]) / 2.0, indexing="ij")
        active = shapely.contains_xy(outline, centre_x, centre_y)
        crossed_outline = _crossed(outline.boundary, x, y)
        crossed = set(crossed_outline).union(*(_crossed(one, x, y) for one in breaks))
        whole = {cell for cell in crossed if active[cell] and cell not in set(crossed_outline)}
        lines = np.array([line for one in breaks for line in shapely.get_parts(one.boundary if one.geom_type.endswith("Polygon") else one)])
        parts = []
        for i, j in sorted(crossed):
            box = shapely.box(x[i], y[j], x[i + 1], y[j + 1])
            part = box if (i, j) in whole else box.intersection(outline)
            active[i, j] = part.area > _SLIVER * box.area
            if active[i, j]:
                parts.append(((i, j), _divided(part, lines)))
        index = np.full(active.shape, -1, np.int64)
        index[active] = np.arange(np.count_nonzero(active))
        return cls(x, y, outline, active, index, _quadrature(parts, index, x, y, order))

    def cells(self) -> tuple[Longs, Longs]:
        """Lattice indices of the active cells, in the order of their numbers."""
        i, j = np.nonzero(self.active)
        return i, j

    def locate(self, points: Floats) -> tuple[Longs, Floats]:
        """Active cell of each point and its place in the cell's unit square.

        Parameters
        ----------
        points : (n, 2) float64

        Raises
        ------
        OutOfRange
            If a point lies off the plate.
        """
        points = np.atleast_2d(np.asarray(points, dtype=float))
        cells, places = self.around(points)
        first, many = (cells >= 0).argmax(axis=0), np.arange(len(points))
        cell, at = cells[first, many], places[first, many]
        doubtful = np.nonzero((cell < 0) | np.isin(cell, self.cut.cell))[0]
        away = shapely.distance(self.outline, shapely.points(points[doubtful]))
        if (away > 1e-6 * max(np.ptp(self.x), np.ptp(self.y))).any():
            x, y = points[doubtful[np.argmax(away)]]
            raise OutOfRange(f"point ({x:.4g}, {y:.4g}) lies off the plate.")
        for lost in np.nonzero(cell < 0)[0]:
            cell[lost], at[lost] = self._nearest(*points[lost])
        return cell, at

    def _nearest(self, x: float, y: float) -> tuple[int, tuple[float, float]]:
        """For a point on the rim whose own cell holds too little of the plate: a neighbour, and the place beside it."""
        i, j = self.cells()
        away_x = np.maximum(np.maximum(self.x[i] - x, x - self.x[i + 1]), 0.0)
        away_y = np.maximum(np.maximum(self.y[j] - y, y - self.y[j + 1]), 0.0)
        cell = int(np.argmin(np.hypot(away_x, away_y)))
        a, b = i[cell], j[cell]
        return cell, ((x - self.x[a]) / (self.x[a + 1] - self.x[a]), (y - self.y[b]) / (self.y[b + 1] - self.y[b]))

    def around(self, points: Floats) -> tuple[Longs, Floats]:
        """Cells that meet at each point, a hair to each side: (4, n) with -1 off the plate, and places (4, n, 2)."""
        hair = 1e-9 * max(np.ptp(self.x), np.ptp(self.y))
        cells, places = np.empty((4, len(points)), np.int64), np.empty((4, len(points), 2))
        for k, (dx, dy) in enumerate(((-hair, -hair), (-hair, hair), (hair, -hair), (hair, hair))):
            i = np.searchsorted(self.x, points[:, 0] + dx, side="right") - 1
            j = np.searchsorted(self.y, points[:, 1] + dy, side="right") - 1
            off = (i < 0) | (j < 0) | (i > len(self.x) - 2) | (j > len(self.y) - 2)
            i, j = np.where(off, 0, i), np.where(off, 0, j)
            cells[k] = np.where(off, -1, self.index[i, j])
            places[k, :, 0] = (points[:, 0] - self.x[i]) / (self.x[i + 1] - self.x[i])
            places[k, :, 1] = (points[:, 1] - self.y[j]) / (self.y[j + 1] - self.y[j])
        return cells, places

    def pieces_of(self, region: BaseGeometry, order: int) -> Pieces:
        """Quadrature over the part of the plate inside a region."""
        region = region.intersection(self.outline)
        shapely.prepare(region)
        i0, j0, i1, j1 = self._window(region.bounds) if not region.is_empty else (0, 0, 0, 0)
        i, j = np.nonzero(self.active[i0:i1, j0:j1])
        i, j = i + i0, j + j0
        boxes = shapely.box(self.x[i], self.y[j], self.x[i + 1], self.y[j + 1])
        whole = shapely.covers(region, boxes)
        tensor, weight = tensor_points(order)
        cells = self.index[i, j]
        sides = (self.x[i + 1] - self.x[i]) * (self.y[j + 1] - self.y[j])
        some = shapely.intersects(region, boxes) & ~whole
        cut = shapely.intersection(boxes[some], region)
        parts = [((a, b), [part]) for a, b, part in zip(i[some], j[some], cut, strict=True) if part.area > 0.0]
        pieces = _quadrature(parts, self.index, self.x, self.y, order)
        n = int(whole.sum())
        return Pieces(
            np.concatenate([np.repeat(cells[whole], len(tensor)), pieces.cell]),
            np.concatenate([np.tile(tensor, (n, 1)), pieces.at]),
            np.concatenate([(sides[whole][:, None] * weight).ravel(), pieces.area]),
        )

    def rectangle(self, bounds: tuple[float, float, float, float], order: int) -> Pieces:
        """Quadrature over a rectangle along the axes that lies on the plate, exact for the shape functions."""
        points, weights = gauss_points(order + 1)
        i0, j0, i1, j1 = self._window(bounds)
        cells, at, length = [], [], []
        for lines, first, last, low, high in ((self.x, i0, i1, bounds[0], bounds[2]), (self.y, j0, j1, bounds[1], bounds[3])):
            ends = np.clip(lines[first : last + 1], low, high)
            pieces = np.diff(ends)
            spots = ends[:-1, None] + pieces[:, None] * points
            at.append(((spots - lines[first:last, None]) / np.diff(lines[first : last + 1])[:, None]).ravel())
            length.append((pieces[:, None] * weights).ravel())
            cells.append(np.repeat(np.arange(first, last), len(points)))
        cell = self.index[cells[0][:, None], cells[1]].ravel()
        places = np.stack([axis.ravel() for axis in np.meshgrid(at[0], at[1], indexing="ij")], axis=1)
        area = np.outer(length[0], length[1]).ravel()
        return Pieces(cell[cell >= 0], places[cell >= 0], area[cell >= 0])

    def shares_along(self, axis: int, low: Floats, high: Floats, order: int) -> Floats:
        """How a force spread evenly from low to high (m,) along an axis goes to the node lines across it: (m, order*n + 1)."""
        points, weights = gauss_points(order + 1)
        lines = (self.x, self.y)[axis]
        ends = np.clip(lines, low[:, None], high[:, None])
        pieces, sides = np.diff(ends), np.diff(lines)
        at = (ends[:, :-1, None] + pieces[..., None] * points - lines[:-1, None]) / sides[:, None]
        values = np.vander(at.ravel(), order + 1, increasing=True) @ reference(order).value.T
        shares = np.einsum("mc,g,mcga->mca", pieces / (high - low)[:, None], weights, values.reshape(*at.shape, -1))
        found = np.zeros((len(low), order * len(sides) + 1))
        for a in range(order + 1):
            found[:, a : a + order * len(sides) : order] += shares[..., a]
        return found

    def _window(self, bounds: tuple[float, float, float, float]) -> tuple[int, int, int, int]:
        low_x, low_y, high_x, high_y = bounds
        return (
            max(0, int(np.searchsorted(self.x, low_x, side="right")) - 1),
            max(0, int(np.searchsorted(self.y, low_y, side="right")) - 1),
            min(len(self.x) - 1, int(np.searchsorted(self.x, high_x, side="left"))),
            min(len(self.y) - 1, int(np.searchsorted(self.y, high_y, side="left"))),
        )

    def along(self, line: Sequence[tuple[float, float]]) -> Floats:
        """Ends of the pieces into which the grid lines cut a run of straight lines, as (n, 2, 2)."""
        pieces = []
        for start, end in pairwise(line):
            t = _crossings(np.asarray(start, float), np.asarray(end, float), self.x, self.y)
            ends = np.asarray(start, float) + t[:, None] * (np.asarray(end, float) - np.asarray(start, float))
            pieces.append(np.stack([ends[:-1], ends[1:]], axis=1))
        return np.concatenate(pieces)


def _crossings(start: Floats, end: Floats, x: Floats, y: Floats) -> Floats:
    """Parameters from 0 to 1 at which a segment meets grid lines."""
    step = end - start
    found = [np.array([0.0, 1.0])]
    for axis, lines in ((0, x), (1, y)):
        if abs(step[axis]) > 0.0:
            t = (lines - start[axis]) / step[axis]
            found.append(t[(t > 0.0) & (t < 1.0)])
    t = np.unique(np.concatenate(found))
    return t[np.concatenate([[True], np.diff(t) > 1e-12])]


def _crossed(geometry: BaseGeometry, x: Floats, y: Floats) -> list[tuple[int, int]]:
    """Cells whose inside a line runs through; a line on a grid line crosses none."""
    near = 1e-7 * min(np.diff(x).min(), np.diff(y).min())
    found = []
    for part in shapely.get_parts(geometry.boundary if geometry.geom_type.endswith("Polygon") else geometry):
        corners = shapely.get_coordinates(part)
        for start, end in pairwise(corners):
            if any(np.abs(lines - start[axis]).min() <= near and abs(start[axis] - end[axis]) <= near for axis, lines in ((0, x), (1, y))):
                continue
            t = _crossings(start, end, x, y)
            middles = start + ((t[1:] + t[:-1]) / 2.0)[:, None] * (end - start)
            i, j = np.searchsorted(x, middles[:, 0]) - 1, np.searchsorted(y, middles[:, 1]) - 1
            inside = (i >= 0) & (j >= 0) & (i < len(x) - 1) & (j < len(y) - 1)
            found += list(zip(i[inside].tolist(), j[inside].tolist(), strict=True))
    return found


def _divided(part: BaseGeometry, lines: NDArray[np.object_]) -> list[BaseGeometry]:
    """A part of a cell, divided by the break lines that cross it."""
    crossing = shapely.intersection(lines[shapely.intersects(lines, part)], part) if len(lines) else lines
    if not len(crossing):
        return [part]
    shapes = list(shapely.get_parts(shapely.polygonize([shapely.unary_union([part.boundary, *crossing])])))
    inside = [shape for shape in shapes if part.contains(shape.representative_point())]
    return inside or [part]


def _quadrature(parts: Sequence[tuple[tuple[int, int], Sequence[BaseGeometry]]], index: Longs, x: Floats, y: Floats, order: int) -> Pieces:
    """Gauss points over the triangles of each part, exact for the products of shape functions."""
    points, weights = gauss_points(order + 2)
    u, v = (grid.ravel() for grid in np.meshgrid(points, points, indexing="ij"))
    weight = np.outer(weights, weights).ravel() * (1.0 - u)
    barycentric = np.stack([u, v * (1.0 - u), (1.0 - u) * (1.0 - v)])
    cells, at, area = [], [], []
    for (i, j), shapes in parts:
        for shape in shapes:
            for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(shape)):
                corners = shapely.get_coordinates(triangle)[:3]
                places = barycentric.T @ corners
                cells.append(np.full(len(places), index[i, j]))
                at.append((places - (x[i], y[j])) / (x[i + 1] - x[i], y[j + 1] - y[j]))
                area.append(2.0 * triangle.area * weight)
    if not cells:
        return Pieces(np.empty(0, np.int64), np.empty((0, 2)), np.empty(0))
    return Pieces(np.concatenate(cells), np.concatenate(at), np.concatenate(area))
