"""The concrete as a body with the steel in it, and what is measured between two points of it."""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from slabwright.geometry.foundation import Foundation
from slabwright.studies import bars, mesh
from slabwright.study import answer_of
from slabwright.units import LENGTH, VOLUME, Family, format_quantity
from slabwright.web.plan_views import MeasureView, MeshView, SteelView

Point = tuple[float, float]
_DIGITS = 4


def body_view(foundation: Foundation, outcomes: dict[str, Any], family: Family) -> MeshView:
    """Triangles of the concrete, and bars and mesh as far as they are known."""
    body = foundation.solid()
    found = body.to_mesh64()
    return MeshView(
        positions=[round(float(one), 5) for one in found.vert_properties[:, :3].ravel()],
        triangles=[int(one) for one in found.tri_verts.ravel()],
        volume=format_quantity(body.volume(), VOLUME, family),
        steel=[*_bars(answer_of(outcomes, bars.STUDY)), *_mesh(answer_of(outcomes, mesh.STUDY))],
    )


def measured(foundation: Foundation, start: Point, end: Point, heights: tuple[float, float], family: Family) -> MeasureView:
    """Distances between two points and the thickness at each.

    Parameters
    ----------
    foundation : Foundation
    start, end : tuple of float
        On the plan. [m]
    heights : tuple of float
        Of both, up from the top of the floor. [m]
    family : Family
    """
    (x1, y1), (x2, y2) = start, end
    up = heights[1] - heights[0]
    first, second = (abs(float(one)) for one in foundation.thickness_m([start, end]))
    flat = math.hypot(x2 - x1, y2 - y1)
    lengths = (flat, abs(x2 - x1), abs(y2 - y1), up, math.hypot(flat, up), first, second)
    distance, along_x, along_y, height, straight, *thickness = (format_quantity(round(one, _DIGITS), LENGTH, family) for one in lengths)
    return MeasureView(
        distance=distance, along_x=along_x, along_y=along_y, height=height, straight=straight, thickness=(thickness[0], thickness[1])
    )


def _bars(result: Any) -> Iterator[SteelView]:
    """Bars by size, their upright hooks with them."""
    by_name: dict[str, list[Any]] = {}
    for one in result.placed if result is not None else ():
        by_name.setdefault(one.wanted.rules.bar.name, []).append(one)
    for name, placed in by_name.items():
        yield SteelView(name=name, kind="bars", diameter_m=placed[0].wanted.rules.bar.diameter_m, lines=[_bar_line(one) for one in placed])


def _bar_line(one: Any) -> list[float]:
    z = -one.path.depth_m
    points = [(x, y, z) for x, y in one.path.rounded()]
    up = one.wanted.rules.hook_leg_m
    if one.wanted.hooks > 0:
        points.insert(0, (*points[0][:2], z + up))
    if one.wanted.hooks > 1:
        points.append((*points[-1][:2], z + up))
    return [round(float(value), _DIGITS) for point in points for value in point]


def _mesh(result: Any) -> Iterator[SteelView]:
    """Wires of every sheet, trimmed as laid; the wires along the sheets lie below those across."""
    if result is None or result.layout is None or result.region is None:
        return
    style, layout = result.mesh, result.layout
    ways = (
        (layout.along_y, style.wire_spacing_m, style.wire_diameter_m, result.underside_m - style.wire_diameter_m / 2),
        (
            not layout.along_y,
            style.cross_wire_spacing_m,
            style.cross_wire_diameter_m,
            result.underside_m - style.wire_diameter_m - style.cross_wire_diameter_m / 2,
        ),
    )
    for along_y, spacing, diameter, depth in ways:
        lines = [line for one in layout.placed for line in _wires(one.outline, result.region, spacing, depth, along_y=along_y)]
        yield SteelView(name=style.name, kind="mesh", diameter_m=diameter, lines=lines)


def _wires(outline: Any, region: Any, spacing: float, depth: float, *, along_y: bool) -> Iterator[list[float]]:
    left, bottom, right, top = outline.bounds
    low, high, start, end = (left, right, bottom, top) if along_y else (bottom, top, left, right)
    count = max(round((high - low) / spacing), 1)
    for at in low + (high - low - (count - 1) * spacing) / 2 + spacing * np.arange(count):
        ends = [(at, start), (at, end)] if along_y else [(start, at), (end, at)]
        for piece in shapely.get_parts(shapely.intersection(shapely.intersection(shapely.LineString(ends), outline), region)):
            if piece.length > spacing / 4:
                yield [round(float(value), _DIGITS) for x, y in piece.coords for value in (x, y, -depth)]
