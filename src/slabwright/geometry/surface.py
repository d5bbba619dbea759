"""The floor by itself: its outline, the parts of its own thickness, its falls, and the underside they make."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.polygon import orient

from slabwright.errors import GeometryError
from slabwright.geometry.blocks import Array, Facet, Plane
from slabwright.geometry.overlay import Area, as_area, as_array, shared, together, without
from slabwright.model.concrete import Fall, Floor

MOST_CORNERS = 2000
_GULLY_PLANES = 64
_LEAST_AREA_M2 = 1e-6


def outline_of(floor: Floor) -> Polygon:
    """The form line as a polygon, counter-clockwise.

    Raises
    ------
    GeometryError
        For fewer than three corners or more than 2,000, an outline that crosses itself or has no area.
    """
    if len(floor.outline) > MOST_CORNERS:
        raise GeometryError(f"the outline has {len(floor.outline):,} corners; draw curves with fewer, {MOST_CORNERS:,} at most.")
    return _ring(floor.outline, "the outline")


def region_of(floor: Floor, outline: Polygon) -> Area:
    """The floor in plan: the outline less its block-outs.

    Raises
    ------
    GeometryError
        For a block-out that leaves nothing of the floor.
    """
    holes = [_ring(ring, f"block-out {number}") for number, ring in enumerate(floor.block_outs, start=1)]
    region = as_area(without(as_array([outline]), together(as_array(holes)))[0]) if holes else outline
    if region.area <= _LEAST_AREA_M2:
        raise GeometryError("the block-outs leave nothing of the floor; check their corners against the outline.")
    return region


@dataclass(frozen=True, slots=True)
class _Piece:
    """A part of the floor of one thickness that falls one way."""

    plan: Polygon
    thickness_m: float
    fall: Fall | None = None


def floor_facets(floor: Floor, region: Area) -> list[Facet]:
    """The underside of the floor as plane pieces that lie side by side.

    Where thickness regions overlap, or falls do, the one listed later holds. With the base parallel to the falls the
    thickness is even; left flat, the floor is as thick as designed along the low line or gully and grows from there.
    """
    pieces = [_Piece(plan, floor.thickness_m) for plan in shapely.get_parts(region)]
    for number, part in enumerate(floor.thickness_regions, start=1):
        pieces = _changed(pieces, _ring(part.within, f"thickness region {number}"), thickness_m=part.thickness_m)
    if not floor.base_parallel:
        for number, fall in enumerate(floor.falls, start=1):
            pieces = _changed(pieces, _ring(fall.within or floor.outline, f"fall {number}"), fall=fall)
    return [facet for piece in pieces for facet in _faces(piece)]


def _changed(pieces: list[_Piece], within: Polygon, **change: Any) -> list[_Piece]:
    plans = as_array([piece.plan for piece in pieces])
    outside = [replace(pieces[k], plan=plan) for plan, k in zip(*without(plans, within), strict=True)]
    inside = [replace(pieces[k], plan=plan, **change) for plan, k in zip(*shared(plans, within), strict=True)]
    return outside + inside


def least_thickness_m(floor: Floor) -> float:
    """Thickness of the thinnest part of the floor, as designed. [m]

    Raises
    ------
    GeometryError
        For a thickness of nought or less.
    """
    least = min([floor.thickness_m, *(part.thickness_m for part in floor.thickness_regions)])
    if not least > 0.0:
        raise GeometryError(f"the floor is {least:g} m thick; it needs a thickness above nought.")
    return least


def drop_m(floor: Floor, points: Array) -> Array:
    """How far the top of the floor lies below its highest level at points, for its falls. [m]"""
    drop = np.zeros(len(points))
    for fall in floor.falls:
        within = Polygon(fall.within if fall.within is not None else floor.outline)
        shapely.prepare(within)
        inside = shapely.intersects_xy(within, points[:, 0], points[:, 1])
        highest = _away(fall, np.asarray(within.exterior.coords)).max()
        drop[inside] = fall.slope * (highest - _away(fall, points[inside]))
    return drop


def _away(fall: Fall, points: Array) -> Array:
    """Plan distance from the gully, or from the low line carried on past its ends. [m]"""
    if len(fall.to) == 1:
        return np.asarray(np.hypot(*(points - np.asarray(fall.to[0])).T))
    start, normal = _low_line(fall)
    return np.asarray(np.abs((points - start) @ normal))


def _low_line(fall: Fall) -> tuple[Array, Array]:
    points = np.asarray(fall.to, dtype=float)
    along = points[-1] - points[0]
    length = float(np.hypot(*along))
    if length <= 0.0:
        raise GeometryError("a fall needs one point, or a line from one point to another.")
    normal = np.array([-along[1], along[0]]) / length
    if np.abs((points - points[0]) @ normal).max() > 1e-6:
        raise GeometryError('a fall runs to one straight line; give each straight piece of a channel a fall of its own with "within".')
    return points[0], normal


def _faces(piece: _Piece) -> list[Facet]:
    """The underside of a piece: level, or plane faces that go down away from the low line or gully.

    Round a gully the floor is laid in 64 planes whose mean slope is that of the cone.
    """
    if piece.fall is None:
        return [Facet(piece.plan, (0.0, 0.0, piece.thickness_m))]
    faces = []
    for sector, low, up in _sectors(piece.fall, piece.plan):
        plane: Plane = (float(up[0]), float(up[1]), piece.thickness_m - float(up @ low))
        faces += [Facet(plan, plane) for plan in shared(as_array([piece.plan]), sector)[0]]
    return faces


def _sectors(fall: Fall, plan: Polygon) -> list[tuple[Polygon, Array, Array]]:
    """Where each plane of a fall reigns, a point on its low line, and its gradient away from there."""
    low = np.asarray(fall.to[0], dtype=float)
    corners = shapely.get_coordinates(plan)
    reach = 4.0 * float(np.hypot(*(corners - low).T).max())
    sectors = []
    if len(fall.to) == 1:
        half = math.pi / _GULLY_PLANES
        for middle in 2.0 * half * np.arange(_GULLY_PLANES):
            right, left = (low + reach * np.array([math.cos(middle + s * half), math.sin(middle + s * half)]) for s in (-1, 1))
            up = fall.slope * half / math.sin(half) * np.array([math.cos(middle), math.sin(middle)])
            sectors.append((Polygon([low, right, left]), low, up))
    else:
        start, normal = _low_line(fall)
        along = np.array([normal[1], -normal[0]])
        for side in (normal, -normal):
            ring = [start - reach * along, start + reach * along, start + reach * (along + side), start + reach * (side - along)]
            sectors.append((Polygon(ring), start, fall.slope * side))
    return sectors


def _ring(points: tuple[tuple[float, float], ...], name: str) -> Polygon:
    if len(set(points)) < 3:
        raise GeometryError(f"{name} has {len(set(points))} corners; it needs three or more.")
    polygon = Polygon(points)
    if not np.all(np.isfinite(shapely.get_coordinates(polygon))):
        raise GeometryError(f"{name} has a corner that is no number.")
    if not polygon.is_valid:
        raise GeometryError(
            f"{name}: {shapely.is_valid_reason(polygon)}; its sides may not cross or touch. Check the order of its corners."
        )
    if polygon.area <= _LEAST_AREA_M2:
        raise GeometryError(f"{name} has no area; check its corners.")
    return orient(polygon)
