"""Chairs under the mesh: where each stands and how high it is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from slabwright.geometry.foundation import Foundation
from slabwright.geometry.overlay import Area, shared

_DEEPER_M = 0.025
_LEAST_RUN_M = 1e-6
_RIM_M = 0.05
"""Chairs along a rim stand under the outermost wire. [m]"""


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
    """Chairs in lines, no further apart than the spacing and half of it from the ends of a line; more along a rim they leave free.

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
    points += _along_rims(region, spacing_m, points)
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
    west, low, east, high = region.bounds
    n_lines = max(1, int(np.ceil((high - low) / spacing_m - 1e-6)))
    step = (high - low) / n_lines
    points = []
    for line in range(n_lines):
        y = low + (line + 0.5) * step
        cut = shapely.LineString([(west - 1.0, y), (east + 1.0, y)])
        for piece in shapely.get_parts(region.intersection(cut)):
            start, _, end, _ = piece.bounds
            if end - start < _LEAST_RUN_M:
                continue
            n = max(1, int(np.ceil((end - start) / spacing_m - 1e-6)))
            points += [(start + (k + 0.5) * (end - start) / n, y) for k in range(n)]
    return points


def _along_rims(region: Area, spacing_m: float, points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Chairs along edges of the mesh that lines of chairs leave further than the diagonal of half a spacing."""
    inner = shapely.buffer(region, -_RIM_M, join_style="mitre")
    rims = [ring for part in shapely.get_parts(inner) for ring in (part.exterior, *part.interiors) if ring.length > 0]
    near = spacing_m / math.sqrt(2)
    tree = shapely.STRtree(shapely.points(points))
    more: list[tuple[float, float]] = []
    for ring in rims:
        steps = np.linspace(0.0, ring.length, max(3, math.ceil(4 * ring.length / spacing_m)), endpoint=False)
        spots = shapely.line_interpolate_point(ring, steps)
        held = np.unique(tree.query(spots, predicate="dwithin", distance=near)[0])
        for spot in np.delete(spots, held):
            if all(math.dist((spot.x, spot.y), one) > near for one in more):
                more.append((float(spot.x), float(spot.y)))
    return more


def least_depth_m(foundation: Foundation, region: Area) -> float:
    """Depth of the concrete where it is least under the mesh. [m]

    Parameters
    ----------
    foundation : Foundation
    region : Polygon or MultiPolygon
        What the mesh covers. [m]
    """
    soffit = foundation.soffit
    pieces, index = shared(soffit.pieces, region)
    corners, owner = shapely.get_coordinates(pieces, return_index=True)
    planes = soffit.planes[index[owner]]
    return float(np.min(planes[:, 0] * corners[:, 0] + planes[:, 1] * corners[:, 1] + planes[:, 2]))


def _floor_thickness_m(foundation: Foundation, points: Sequence[tuple[float, float]]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Thickness of the floor slab itself at points, its regions of another thickness counted."""
    from shapely import Polygon, contains_xy

    at = np.asarray(points, float)
    thickness = np.full(len(at), foundation.floor.thickness_m)
    for region in foundation.floor.thickness_regions:
        thickness[contains_xy(Polygon(region.within), at[:, 0], at[:, 1])] = region.thickness_m
    return thickness
