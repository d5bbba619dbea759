"""Chairs under the mesh: where each stands and how high it is."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slabwright.geometry.bands import occupied
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.overlay import Area

_DEEPER_M = 0.025


@dataclass(frozen=True, slots=True)
class Chair:
    """One support.

    Attributes
    ----------
    at : tuple
        [m]
    height_m : float
        From what it stands on to the underside of the mesh. [m]
    is_over_thickening : bool
        Over edge, strip or pad: it stands on a cage or is a stand.
    """

    at: tuple[float, float]
    height_m: float
    is_over_thickening: bool


def chairs(foundation: Foundation, region: Area, *, spacing_m: float, underside_m: float) -> tuple[Chair, ...]:
    """Chairs in lines, no further apart than the spacing and half of it from the edge of the mesh.

    Parameters
    ----------
    foundation : Foundation
    region : Polygon or MultiPolygon
        What the mesh covers. [m]
    spacing_m : float
        [m]
    underside_m : float
        Depth of the underside of the mesh below the top of the floor. [m]
    """
    points = _grid(region, spacing_m)
    if not points:
        return ()
    depths = foundation.thickness_m(points)
    floor = _floor_thickness_m(foundation, points)
    return tuple(
        Chair(point, float(depth - underside_m), bool(depth > thin + _DEEPER_M))
        for point, depth, thin in zip(points, depths, floor, strict=True)
        if depth > underside_m
    )


def _grid(region: Area, spacing_m: float) -> list[tuple[float, float]]:
    _, low, _, high = region.bounds
    n_lines = max(1, int(np.ceil((high - low) / spacing_m - 1e-6)))
    step = (high - low) / n_lines
    points = []
    for line in range(n_lines):
        y = low + (line + 0.5) * step
        for start, end in occupied(region, y - 0.01 * step, y + 0.01 * step):
            n = max(1, int(np.ceil((end - start) / spacing_m - 1e-6)))
            points += [(start + (k + 0.5) * (end - start) / n, y) for k in range(n)]
    return points


def _floor_thickness_m(foundation: Foundation, points: Sequence[tuple[float, float]]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Thickness of the floor slab itself at points, its regions of another thickness counted."""
    from shapely import Polygon, contains_xy

    at = np.asarray(points, float)
    thickness = np.full(len(at), foundation.floor.thickness_m)
    for region in foundation.floor.thickness_regions:
        thickness[contains_xy(Polygon(region.within), at[:, 0], at[:, 1])] = region.thickness_m
    return thickness
