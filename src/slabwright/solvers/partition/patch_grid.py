"""Cells between the candidate lines of one four-sided grid, the stretches between them, and the pieces they can make."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.solvers.partition.layout import EVENNESS_WEIGHT, CutRules, Floats, SizeAt
from slabwright.solvers.partition.panels import faults_of, measured
from slabwright.solvers.partition.patch import Patch

Whole = NDArray[np.int64]
_LEAST_AREA = 1e-6
_WIDER = 1.45
"""How much longer than the side of a piece an edge of its block may be, which is askew to that side or clipped by the rim."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """Blocks that may be pieces: their cells, the stretches inside them, faults and unevenness."""

    cells: list[Whole]
    stretches: list[Whole]
    faults: Floats
    unevenness: Floats


@dataclass(frozen=True, slots=True)
class PatchGrid:
    """Cells between the candidate lines of one patch, and the stretches between neighbouring cells."""

    patch: Patch
    corners: Floats
    cell: Whole
    between: tuple[Whole, Whole]
    starts: Floats
    ends: Floats
    on_line: Whole

    @property
    def n_cells(self) -> int:
        """Cells inside the wing."""
        return int((self.cell >= 0).sum())

    @classmethod
    def of(cls, patch: Patch, first: Floats, second: Floats, offset_cells: int, offset_stretches: int) -> "PatchGrid":
        """Cross a patch with lines at shares of its two ways; cells and stretches are numbered from the offsets."""
        corners = patch.points(first[:, None], second[None, :])
        shape = (len(first) - 1, len(second) - 1)
        i, j = (one.ravel() for one in np.indices(shape))
        inside = np.ones(len(i), dtype=bool)
        if not patch.fits:
            inside = shapely.area(shapely.intersection(_quads(corners, i, i + 1, j, j + 1), patch.wing)) > _LEAST_AREA
        cell = np.full(shape, -1, dtype=np.int64)
        cell[i[inside], j[inside]] = offset_cells + np.arange(inside.sum())
        across, along = np.full((shape[0] - 1, shape[1]), -1, dtype=np.int64), np.full((shape[0], shape[1] - 1), -1, dtype=np.int64)
        starts: list[Floats] = []
        ends: list[Floats] = []
        on_line: list[Whole] = []
        n_before = 0
        for way, between in ((0, across), (1, along)):
            both = (cell[:-1] >= 0) & (cell[1:] >= 0) if way == 0 else (cell[:, :-1] >= 0) & (cell[:, 1:] >= 0)
            a, b = np.nonzero(both)
            start = corners[a + 1, b] if way == 0 else corners[a, b + 1]
            end = corners[a + 1, b + 1]
            numbers = a + 1 if way == 0 else b + 1
            if not patch.fits:
                start, end, lives = _clipped(start, end, patch.wing)
                a, b, start, end, numbers = a[lives], b[lives], start[lives], end[lives], numbers[lives]
            between[a, b] = offset_stretches + n_before + np.arange(len(a))
            n_before += len(a)
            starts.append(start)
            ends.append(end)
            on_line.append(np.column_stack([np.full(len(a), way), numbers]))
        return cls(
            patch, corners, cell, (across, along), np.concatenate(starts), np.concatenate(ends), np.concatenate(on_line).astype(np.int64)
        )  # fmt: skip

    def pieces(self, rules: CutRules, region: shapely.Polygon, size_at: SizeAt | None, least_share: float) -> Pieces:
        """Every block that may be a piece, with its faults."""
        sizes = self._sizes(rules, size_at)
        block = self._blocks(float(sizes[self.cell >= 0].max()))
        shapes = _quads(self.corners, *block.T)
        if not self.patch.fits:
            shapely.prepare(self.patch.wing)
            clipped = ~shapely.contains_properly(self.patch.wing, shapes)
            shapes[clipped] = shapely.intersection(shapes[clipped], self.patch.wing)
        parts, of_block = shapely.get_parts(shapes, return_index=True)
        solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > _LEAST_AREA)
        parts, of_block = parts[solid], of_block[solid]
        found = measured(parts, region, rules.sharp_rad)
        size = np.array([sizes[i : i2 + 1, j : j2 + 1].min() for i, i2, j, j2 in block - [0, 1, 0, 1]])[of_block]
        of_each = np.bincount(of_block, faults_of(found, rules, size, least_share), minlength=len(block))
        fits = np.bincount(of_block, found.long > size + 1e-6, minlength=len(block)) == 0
        fits &= np.bincount(of_block, minlength=len(block)) > 0
        block, of_each, area = block[fits], of_each[fits], shapely.area(shapes[fits])
        cells, stretches = [], []
        across, along = self.between
        for i, i2, j, j2 in block:
            cells.append(_real(self.cell[i:i2, j:j2].ravel()))
            stretches.append(_real(np.concatenate([across[i : i2 - 1, j:j2].ravel(), along[i:i2, j : j2 - 1].ravel()])))
        return Pieces(cells, stretches, of_each, EVENNESS_WEIGHT * area**1.5)

    def _sizes(self, rules: CutRules, size_at: SizeAt | None) -> Floats:
        sizes = np.full(self.cell.shape, rules.max_size)
        if size_at is not None:
            middle = (self.corners[:-1, :-1] + self.corners[1:, :-1] + self.corners[1:, 1:] + self.corners[:-1, 1:]) / 4
            for i, j in np.argwhere(self.cell >= 0):
                sizes[i, j] = min(rules.max_size, size_at(float(middle[i, j, 0]), float(middle[i, j, 1])))
        return sizes

    def _blocks(self, largest: float) -> Whole:
        """First and last line each way of blocks short enough, shape (n, 4)."""
        n, m = self.corners.shape[0] - 1, self.corners.shape[1] - 1
        i, i2 = np.triu_indices(n + 1, 1)
        j, j2 = np.triu_indices(m + 1, 1)
        i, i2 = (np.repeat(one, len(j)) for one in (i, i2))
        j, j2 = (np.tile(one, len(i) // len(j)) for one in (j, j2))
        reach = largest * _WIDER + 1e-6
        c = self.corners
        short = np.ones(len(i), dtype=bool)
        for a, b in ((c[i, j], c[i2, j]), (c[i, j2], c[i2, j2]), (c[i, j], c[i, j2]), (c[i2, j], c[i2, j2])):
            short &= np.hypot(*(b - a).T) <= reach
        some = np.pad(np.cumsum(np.cumsum(self.cell >= 0, axis=0), axis=1), ((1, 0), (1, 0)))
        short &= some[i2, j2] - some[i, j2] - some[i2, j] + some[i, j] > 0
        return np.column_stack([i, i2, j, j2])[short]


def _real(numbers: Whole) -> Whole:
    return numbers[numbers >= 0]


def _quads(corners: Floats, i: Whole, i2: Whole, j: Whole, j2: Whole) -> "np.ndarray[tuple[int], np.dtype[np.object_]]":
    ring = np.stack([corners[i, j], corners[i2, j], corners[i2, j2], corners[i, j2]], axis=1)
    return np.asarray(shapely.polygons(ring), dtype=object)


def _clipped(starts: Floats, ends: Floats, wing: shapely.Polygon) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Stretches inside a wing; those on its rim or outside do not live."""
    lines = np.asarray(shapely.intersection(shapely.linestrings(np.stack([starts, ends], axis=1)), wing), dtype=object)
    lives = np.asarray(shapely.length(lines) > 1e-6)
    kept_starts, kept_ends = starts.copy(), ends.copy()
    run = ends - starts
    for k in np.flatnonzero(lives):
        points = shapely.get_coordinates(lines[k])
        ahead = (points - starts[k]) @ run[k]
        kept_starts[k], kept_ends[k] = points[np.argmin(ahead)], points[np.argmax(ahead)]
    lives &= np.asarray(shapely.distance(shapely.points((kept_starts + kept_ends) / 2), wing.boundary)) > 1e-6
    return kept_starts, kept_ends, lives
