"""Laps, cover and stacks of sheets in rows, read off their outlines and not off the solver's own arithmetic."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from slabwright.geometry.overlay import Area

_SAME_M = 1e-6


@dataclass(frozen=True, slots=True)
class Laps:
    """What the outlines of sheets say.

    Attributes
    ----------
    bare_m2 : float
        Part of the region under no sheet. [m²]
    least_lap_m : float
        Smallest lap between sheets of a row, and between rows; the sheet's own length where there is only one. [m]
    most_over_another : int
        Sheets over one another at one place.
    """

    bare_m2: float
    least_lap_m: float
    most_over_another: int


def laps_of(outlines: Sequence[Polygon], rows: Sequence[int], region: Area, *, along_y: bool) -> Laps:
    """Read laps, cover and stacks off the outlines of sheets.

    Parameters
    ----------
    outlines : sequence of Polygon
        Upright rectangles. [m]
    rows : sequence of int
        Which row each lies in, counted across.
    region : Polygon or MultiPolygon
        What has to be covered. [m]
    along_y : bool
        True where rows lie along y.
    """
    shapes = np.array(outlines)
    boxes = shapely.bounds(shapes)
    if along_y:
        boxes = boxes[:, [1, 0, 3, 2]]
    row_of = np.array(rows)
    bare = float(region.difference(shapely.union_all(shapely.buffer(shapes, _SAME_M, join_style="mitre"))).area)
    laps = [*_along(boxes, row_of), *_across(boxes, row_of)]
    return Laps(bare, min(laps, default=float(np.max(boxes[:, 2] - boxes[:, 0]))), _deepest(boxes))


def _along(boxes: NDArray[np.float64], rows: NDArray[np.int64]) -> list[float]:
    """Laps of neighbours in a row; parts of a row with a gap of concrete between them do not meet."""
    laps = []
    for row in np.unique(rows):
        mine = boxes[rows == row]
        for left, right in pairwise(mine[np.argsort(mine[:, 0])]):
            if right[0] < left[2] + _SAME_M:
                laps.append(float(left[2] - right[0]))
    return laps


def _across(boxes: NDArray[np.float64], rows: NDArray[np.int64]) -> list[float]:
    """Laps between sheets of one row and the next, where they pass each other."""
    laps = []
    for row in np.unique(rows)[:-1]:
        for low in boxes[rows == row]:
            above = boxes[rows == row + 1]
            shared = np.minimum(low[2], above[:, 2]) - np.maximum(low[0], above[:, 0])
            laps += [float(low[3] - one[1]) for one in above[(shared > _SAME_M) & (above[:, 1] < low[3] + _SAME_M)]]
    return laps


def _deepest(boxes: NDArray[np.float64]) -> int:
    """Most rectangles over one place: counted on the grid of all their sides."""
    xs, ys = (np.unique(np.round(np.concatenate((boxes[:, k], boxes[:, k + 2])), 6)) for k in (0, 1))
    count = np.zeros((xs.size + 1, ys.size + 1), np.int64)
    x0, y0, x1, y1 = (np.searchsorted(side, np.round(boxes[:, k], 6)) for k, side in ((0, xs), (1, ys), (2, xs), (3, ys)))
    for i, j, sign in ((x0, y0, 1), (x1, y0, -1), (x0, y1, -1), (x1, y1, 1)):
        np.add.at(count, (i, j), sign)
    return int(count.cumsum(axis=0).cumsum(axis=1).max())
