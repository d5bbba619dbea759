"""What the sheet has to cover, opened out flat: floor, the way down into the trench and up its side, liners of pads.

Along the edge the sheet goes down the slope, along the bottom and up the outer side to the grade. Opened out flat that
is longer than the plan, so the form line is moved outwards by what the trench takes more. Pads and interior strips are
lined each with a piece of its own that laps the sheet on the floor all round: a sheet slit in the middle and let down
would be short at the bottom by the same measure.
"""

import math
from dataclasses import dataclass

import shapely

from slabwright.geometry.drawing import polygons_of
from slabwright.geometry.foundation import Foundation, Part, PartKind
from slabwright.geometry.overlay import Area, as_area
from slabwright.model.concrete import Edge, Pad, PadShape, Strip
from slabwright.model.ground import Pipe, PipeKind, Retarder


@dataclass(frozen=True, slots=True, kw_only=True)
class Liner:
    """A piece of sheet for one hole in the base.

    Attributes
    ----------
    name : str
        Of the pad or strip.
    length_m, width_m : float
        Opened out flat, laps on the floor included. [m]
    hole : Polygon or MultiPolygon
        Plan of the hole. [m]
    """

    name: str
    length_m: float
    width_m: float
    hole: Area


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What has to be covered.

    Attributes
    ----------
    flat : Polygon or MultiPolygon
        Floor and edge opened out flat. [m]
    edge_extra_m : float
        What the edge takes beyond its plan, from the form line outwards. [m]
    liners : tuple of Liner
    keep_off : tuple of polygons
        Holes and pipes that seams should miss. [m]
    risers : tuple of Pipe
        Pipes that come up through the sheet.
    """

    flat: Area
    edge_extra_m: float
    liners: tuple[Liner, ...]
    keep_off: tuple[Area, ...]
    risers: tuple[Pipe, ...]


def ground_of(foundation: Foundation, sheet: Retarder, pipes: tuple[Pipe, ...]) -> Ground:
    """Open the base out flat.

    Parameters
    ----------
    foundation : Foundation
    sheet : Retarder
    pipes : tuple of Pipe
    """
    floor = foundation.region
    parts = {part.name: part for part in foundation.parts}
    edge = foundation.edge
    extra = 0.0
    if edge is not None and sheet.under_edge:
        extra = edge_extra_m(edge, foundation.floor.thickness_m)
        floor = as_area(polygons_of(shapely.buffer(floor, extra, join_style="mitre")))
    elif edge is not None:
        kinds = (PartKind.EDGE, PartKind.PAD)
        stops = shapely.union_all([part.skirt for part in foundation.parts if part.kind in kinds])
        floor = as_area(polygons_of(shapely.difference(floor, stops)))
    lined: list[Strip | Pad] = [*foundation.strips, *(foundation.pads if sheet.under_edge or edge is None else ())]
    liners = tuple(liner for one in lined if (liner := _liner(one, parts[one.name], foundation, sheet.lap_m)) is not None)
    risers = tuple(pipe for pipe in pipes if _comes_up(pipe) and floor.covers(shapely.Point(pipe.run[-1])))
    around = [shapely.Point(pipe.run[-1]).buffer(pipe.diameter_m / 2 + sheet.lap_m) for pipe in risers]
    holes = [part.skirt for part in foundation.parts if part.kind is PartKind.PAD]
    return Ground(flat=floor, edge_extra_m=extra, liners=liners, keep_off=(*around, *holes), risers=risers)


def _comes_up(pipe: Pipe) -> bool:
    """A channel is set into the floor; the sheet runs on below it."""
    return pipe.riser and pipe.kind is not PipeKind.CHANNEL


def edge_extra_m(edge: Edge, floor_thickness_m: float) -> float:
    """What a sheet that follows the trench is longer than the plan: along the slope, and up the outer side to grade.

    Parameters
    ----------
    edge : Edge
    floor_thickness_m : float
        [m]
    """
    drop = edge.depth_m - floor_thickness_m
    return slope_extra_m(drop, edge.run) + max(0.0, edge.depth_m - edge.top_above_grade_m)


def slope_extra_m(drop_m: float, run: float) -> float:
    """How much longer the way down a slope is than its plan. [m]"""
    return drop_m * (math.hypot(1.0, run) - run)


def _liner(one: Strip | Pad, part: Part, foundation: Foundation, lap_m: float) -> Liner | None:
    """The liner of a hole; none where it is no deeper than what lies around it."""
    drop = part.depth_m - foundation.floor.thickness_m
    if drop <= 0 or part.skirt.is_empty:
        return None
    around = 2 * (drop * math.hypot(1.0, one.run) + lap_m)
    if isinstance(one, Pad):
        sides = (one.size_x_m, one.size_x_m) if one.shape is PadShape.CIRCLE else (one.size_x_m, one.size_y_m)
    else:
        length = shapely.LineString(one.line).length
        sides = (length, one.width_m)
        return Liner(name=one.name, length_m=length + 2 * lap_m, width_m=one.width_m + around, hole=part.skirt)
    long, short = max(sides), min(sides)
    return Liner(name=one.name, length_m=long + around, width_m=short + around, hole=part.skirt)
