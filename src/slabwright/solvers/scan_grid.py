"""Millions of scanned points to a surface on a grid: counted in blocks, cleaned of what stands on the ground.

Every point falls into a cell of the plan and a thin layer of height; only the counts and sums of the layers are kept,
so that memory does not grow with the number of points. The ground in a cell is the lowest layer that holds a fair
share of its points: lower ones are stray returns, higher ones are boots, tools and boards.
"""

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from slabwright.errors import OutOfRange
from slabwright.solvers.least_squares import Floats

_MOST_BINS = 24_000_000
"""Cells times layers that are kept at once: 8 bytes each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Extent and fineness of the grid, in the unit of the points.

    Attributes
    ----------
    x_low, y_low : float
    cell : float
        Side of a cell.
    n_x, n_y : int
    z_low, z_high : float
        Heights outside are counted as too low or too high.
    layer : float
        Thickness of a layer.
    """

    x_low: float
    y_low: float
    cell: float
    n_x: int
    n_y: int
    z_low: float
    z_high: float
    layer: float

    @property
    def n_layers(self) -> int:
        return max(1, round((self.z_high - self.z_low) / self.layer))

    @classmethod
    def over(
        cls, low: tuple[float, float], high: tuple[float, float], *, cell: float, z_low: float, z_high: float, layer: float
    ) -> "Frame":
        """A frame over a rectangle; the cells are made larger where the grid would grow too great."""
        size = [b - a for a, b in zip(low, high, strict=True)]
        cell = max(cell, float(np.sqrt(size[0] * size[1] * (z_high - z_low) / layer / _MOST_BINS)))
        n_x, n_y = (max(1, int(np.ceil(extent / cell - 1e-9))) for extent in size)
        return cls(x_low=low[0], y_low=low[1], cell=cell, n_x=n_x, n_y=n_y, z_low=z_low, z_high=z_high, layer=layer)

    def centres(self) -> tuple[Floats, Floats]:
        """x of the columns and y of the rows."""
        columns, rows = (np.arange(n, dtype=np.float64) + 0.5 for n in (self.n_x, self.n_y))
        return self.x_low + self.cell * columns, self.y_low + self.cell * rows


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """The cleaned surface.

    Attributes
    ----------
    frame : Frame
    height : (n_y, n_x) float
        Mean height of the ground points; NaN where no ground was seen.
    scatter : (n_y, n_x) float
        Standard deviation of the ground points within a cell, trend included.
    n_points : (n_y, n_x) int
        Ground points in each cell.
    standing : (n_y, n_x) bool
        Cells left out because what was seen there stands proud of the ground around.
    proud : (n_y, n_x) float
        By how much; nought elsewhere.
    n_outside, n_low, n_high, n_above_ground, n_below_ground : int
        Points outside the plan, below and above the range of heights, and within it but above or below the ground.
    """

    frame: Frame
    height: Floats
    scatter: Floats
    n_points: NDArray[np.int64]
    standing: NDArray[np.bool_]
    proud: Floats
    n_outside: int
    n_low: int
    n_high: int
    n_above_ground: int
    n_below_ground: int


class ScanGrid:
    """Collects points block by block; then :meth:`ground` reads the surface."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self._counts = np.zeros((frame.n_y * frame.n_x, frame.n_layers), dtype=np.uint32)
        self._sums = np.zeros((frame.n_y * frame.n_x, frame.n_layers), dtype=np.float32)
        self._outside = np.zeros(3, dtype=np.int64)

    @property
    def n_seen(self) -> int:
        """Points added so far, whether they fell inside or not."""
        return int(self._counts.sum(dtype=np.int64) + self._outside.sum())

    @property
    def n_out_of_height(self) -> int:
        """Points added so far that lie on the plan, but below or above the range of heights."""
        return int(self._outside[1:].sum())

    def add(self, x: Floats, y: Floats, z: Floats) -> None:
        """Count a block of points, three arrays of one length; numbers that are not finite count as outside."""
        frame = self.frame
        _count(
            np.asarray(x), np.asarray(y), np.asarray(z), frame.x_low, frame.y_low, 1.0 / frame.cell, frame.n_x, frame.n_y,
            frame.z_low, frame.n_layers / (frame.z_high - frame.z_low), self._counts, self._sums, self._outside,
        )  # fmt: skip

    def ground(self, *, thickness: float, share: float = 0.08, least: int = 3, object_size: float, object_height: float) -> Ground:
        """Read the ground.

        Parameters
        ----------
        thickness : float
            Height range within which the returns of one flat patch of ground scatter.
        share : float
            Part of a cell's points that the ground must hold, so that a few stray low returns are not taken for it.
        least : int
            Points the ground of a cell must hold.
        object_size : float
            What is narrower than this and stands proud is left out.
        object_height : float
            By how much it must stand proud.

        Raises
        ------
        OutOfRange
            If no cell holds ground.
        """
        frame = self.frame
        window = max(1, round(thickness / (frame.z_high - frame.z_low) * frame.n_layers))
        height, scatter, kept, above, below = _lowest_layers(self._counts, self._sums, window, share, least)
        seen = kept > 0
        if not seen.any():
            raise OutOfRange("no cell of the plan holds enough points; check place, units and axes of the scan.")
        step = (frame.z_high - frame.z_low) / frame.n_layers
        height = np.where(seen, frame.z_low + step * height, np.nan).reshape(frame.n_y, frame.n_x)
        standing, proud = _standing(height, max(1, round(object_size / frame.cell)), object_height)
        number = kept.reshape(height.shape)
        outside, low, high = (int(count) for count in self._outside)
        return Ground(
            frame=frame,
            height=np.where(standing, np.nan, height),
            scatter=np.where(seen, step * scatter, np.nan).reshape(height.shape),
            n_points=np.where(standing, 0, number),
            standing=standing,
            proud=proud,
            n_outside=outside,
            n_low=low,
            n_high=high,
            n_above_ground=int(above.sum()) + int(number[standing].sum()),
            n_below_ground=int(below.sum()),
        )


def _standing(height: Floats, size: int, least: float) -> tuple[NDArray[np.bool_], Floats]:
    """Cells that stand proud of the opening of the surface: what a flat disc of the object's size cannot reach from below."""
    import scipy.ndimage

    known = np.isfinite(height)
    nearest = scipy.ndimage.distance_transform_edt(~known, return_distances=False, return_indices=True)
    filled = height[tuple(nearest)]
    rows, columns = np.ogrid[-size : size + 1, -size : size + 1]
    disc = rows**2 + columns**2 <= (size / 2.0 + 0.5) ** 2
    padded = np.pad(filled, size, mode="reflect", reflect_type="odd") if min(filled.shape) > size else np.pad(filled, size, mode="edge")
    opened = scipy.ndimage.grey_opening(padded, footprint=disc)[size:-size, size:-size]
    proud = np.where(known, filled - opened, 0.0)
    standing = proud > least
    return standing, np.where(standing, proud, 0.0)


@njit(cache=True, fastmath=True)
def _count(x, y, z, x_low, y_low, per_cell, n_x, n_y, z_low, per_layer, counts, sums, outside):  # type: ignore[no-untyped-def]
    n_layers = counts.shape[1]
    for i in range(x.shape[0]):
        column, row, level = (x[i] - x_low) * per_cell, (y[i] - y_low) * per_cell, (z[i] - z_low) * per_layer
        if not (0.0 <= column < n_x and 0.0 <= row < n_y):
            outside[0] += 1
        elif level < 0.0:
            outside[1] += 1
        elif level < n_layers:
            cell, layer = int(row) * n_x + int(column), int(level)
            counts[cell, layer] += 1
            sums[cell, layer] += np.float32(level - layer)
        else:
            outside[2] += 1


@njit(cache=True)
def _lowest_layers(counts, sums, window, share, least):  # type: ignore[no-untyped-def]
    """Mean, scatter and number of the ground's points in each cell, in layers, and the points above and below it.

    From below, the first window of layers that holds its share; then shifted up while it gains points.
    """
    n_cells, n_layers = counts.shape
    mean, scatter = np.zeros(n_cells), np.zeros(n_cells)
    kept, above, below = np.zeros(n_cells, np.int64), np.zeros(n_cells, np.int64), np.zeros(n_cells, np.int64)
    for cell in range(n_cells):
        total = 0
        for layer in range(n_layers):
            total += counts[cell, layer]
        wanted = max(least, int(np.ceil(share * total)))
        if total < wanted:
            above[cell] = total
            continue
        held = 0
        start = -1
        for layer in range(n_layers):
            held += counts[cell, layer]
            if layer >= window:
                held -= counts[cell, layer - window]
            if held >= wanted:
                start = max(0, layer - window + 1)
                break
        if start < 0:
            above[cell] = total
            continue
        best, best_start = held, start
        for shift in range(1, window + 1):
            top = start + shift + window - 1
            if top >= n_layers:
                break
            held += counts[cell, top] - counts[cell, start + shift - 1]
            if held > best:
                best, best_start = held, start + shift
        moment, square, n = 0.0, 0.0, 0
        for layer in range(best_start, min(n_layers, best_start + window)):
            count = counts[cell, layer]
            if count:
                inner = sums[cell, layer] / count
                moment += count * (layer + inner)
                square += count * ((layer + inner) ** 2 + 1.0 / 12.0)
                n += count
        mean[cell] = moment / n
        scatter[cell] = np.sqrt(max(0.0, square / n - mean[cell] ** 2))
        kept[cell] = n
        for layer in range(best_start):
            below[cell] += counts[cell, layer]
        above[cell] = total - n - below[cell]
    return mean, scatter, kept, above, below
