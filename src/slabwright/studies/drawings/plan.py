"""The plan as a drawing: form line, what hangs below, what stands on it and runs through it, dimensions and cuts."""

import math
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon

from slabwright.geometry.blocks import Array
from slabwright.geometry.drawing import area_of, polygons_of, ring_of
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.underside import underside
from slabwright.model.concrete import Fall, Pad, PadShape
from slabwright.model.ground import Pipe, PipeKind
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.results.picture import Area, Circle, DimensionLine, Hatch, Item, Layer, Leader, Line, Note, Picture
from slabwright.studies.drawings.cuts import Cut
from slabwright.units import INCH_M, LENGTH, Family, format_quantity

_MOST_STATIONS = 26
_CLEAR_OF_MARKS_M = 0.8


def plan_picture(job: Job, foundation: Foundation, cuts: tuple[Cut, ...]) -> Picture:
    """Everything on one plan, from the back to the front."""
    items: list[Item] = [area_of(piece, Layer.CONCRETE_SEEN, hatch=Hatch.SOLID) for piece in polygons_of(foundation.region)]
    items += underside(foundation)
    for piece in polygons_of(foundation.region):
        rings = (piece.exterior, *piece.interiors)
        items += [Line(layer=Layer.CONCRETE_SEEN, points=ring_of(ring), closed=True, weight=1.8) for ring in rings]
    items += [item for wall in job.walls for item in _wall(wall.name, wall.line, wall.thickness_m)]
    items += [item for fall in job.floor.falls for item in _fall(fall, foundation, job.family)]
    items += [item for pipe in job.pipes for item in _pipe(pipe, job.family)]
    items += [_post(post) for post in job.posts]
    items += [_pad_name(pad) for pad in job.pads]
    items += [item for cut in cuts for item in _cut_mark(cut)]
    items += _dimensions(job, foundation)
    pads = f"{len(job.pads)} pads" if len(job.pads) != 1 else "1 pad"
    return Picture(
        key="plan",
        title="Plan",
        items=tuple(items),
        alt=f"Plan of the floor with {pads}, {len(job.posts)} posts and {len(job.pipes)} pipes or drains, dimensioned on two sides.",
        notes=_notes(job),
    )


def _wall(name: str, line: tuple[tuple[float, float], ...], thickness_m: float) -> list[Item]:
    body = LineString(line).buffer(0.5 * thickness_m, cap_style="flat", join_style="mitre")
    return [area_of(piece, Layer.WALL, label=name) for piece in polygons_of(body)] if isinstance(body, Polygon) else []


def _fall(fall: Fall, foundation: Foundation, family: Family) -> list[Item]:
    """An arrow down the slope, with the slope in the way the trade says it."""
    within = Polygon(fall.within) if fall.within is not None else foundation.outline
    low = LineString(fall.to) if len(fall.to) > 1 else shapely.Point(fall.to[0])
    corners = shapely.get_coordinates(within.exterior)
    far = max(corners, key=lambda corner: float(low.distance(shapely.Point(corner))))
    inner = 0.55 * far + 0.45 * np.asarray(within.centroid.coords[0])
    foot = np.asarray(shapely.get_coordinates(shapely.shortest_line(shapely.Point(inner), low))[1])
    tip = inner + 0.5 * (foot - inner)
    slope = f"{format_quantity(fall.slope * 12 * INCH_M, LENGTH, family)} per ft" if family is Family.US else f"1:{1 / fall.slope:.0f}"
    return [Leader(layer=Layer.TEXT, tip=(float(tip[0]), float(tip[1])), at=(float(inner[0]), float(inner[1])), text=f"falls {slope}")]


def _pipe(pipe: Pipe, family: Family) -> list[Item]:
    items: list[Item] = []
    if len(pipe.run) > 1:
        items.append(Line(layer=Layer.PIPE, points=pipe.run, dashed=pipe.kind is not PipeKind.CHANNEL, label=pipe.name))
    riser = pipe.run[-1] if pipe.kind is not PipeKind.CHANNEL else pipe.run[len(pipe.run) // 2]
    if pipe.riser and pipe.kind is not PipeKind.CHANNEL:
        items.append(Circle(layer=Layer.PIPE, centre=riser, radius_m=0.5 * pipe.diameter_m, label=pipe.name))
    text = f"{pipe.name}, {format_quantity(pipe.diameter_m, LENGTH, family)}"
    return [*items, Leader(layer=Layer.TEXT, tip=riser, at=(riser[0] + 0.8, riser[1] + 0.7), text=text)]


def _post(post: Post) -> Area:
    c, s = math.cos(post.rotation_rad), math.sin(post.rotation_rad)
    corners = [(0.5 * a * post.base_x_m, 0.5 * b * post.base_y_m) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    ring = tuple((post.at[0] + c * x - s * y, post.at[1] + s * x + c * y) for x, y in corners)
    return Area(layer=Layer.POST, outline=ring, hatch=Hatch.SOLID, label=post.name)


def _pad_name(pad: Pad) -> Note:
    """Beside the post, in the upper part of the pad."""
    return Note(layer=Layer.TEXT, at=(pad.at[0], pad.at[1] + 0.36 * pad.size_y_m), text=pad.name, bold=True)


def _cut_mark(cut: Cut) -> list[Item]:
    """Two short strokes with the letter of the cut; across the floor they stand outside it."""
    start, end = np.asarray(cut.start), np.asarray(cut.end)
    along = (end - start) / np.hypot(*(end - start))
    items: list[Item] = []
    for tip, way in ((start, along), (end, -along)):
        inner = tip + 0.35 * way
        items.append(Line(layer=Layer.DIMENSION, points=(_point(tip), _point(inner)), weight=3.0))
        items.append(Note(layer=Layer.TEXT, at=_point(tip - 0.3 * way), text=cut.mark, bold=True))
    return items


def _dimensions(job: Job, foundation: Foundation) -> list[Item]:
    """Along the south and the west: the whole, the corners of the outline, the middles of the pads."""
    west, south, east, north = foundation.outline.bounds
    gap = max(0.045 * max(east - west, north - south), 0.5)
    corners = shapely.get_coordinates(foundation.outline.exterior)
    middles = np.array([pad.at for pad in job.pads]).reshape(-1, 2)
    items: list[Item] = []
    for axis, (low, high, at) in enumerate(((west, east, south), (south, north, west))):
        rows = [_stations(middles[:, axis], low, high), _stations(corners[:, axis], low, high), [low, high]]
        shown = [row for k, row in enumerate(rows) if len(row) > 1 and row not in rows[k + 1 :]]
        for level, row in enumerate(shown, start=1):
            ends = pairwise(row) if axis == 0 else ((b, a) for a, b in pairwise(row))
            for a, b in ends:
                start, end = ((a, at), (b, at)) if axis == 0 else ((at, a), (at, b))
                items.append(DimensionLine(start=start, end=end, offset_m=-_CLEAR_OF_MARKS_M - level * gap))
    return items


def _stations(places: Array, low: float, high: float) -> list[float]:
    """Places to dimension, ends included; none where there are too many to read."""
    row = sorted({round(float(place), 4) for place in places if low < place < high} | {round(low, 4), round(high, 4)})
    return row if 2 < len(row) <= _MOST_STATIONS else []


def _notes(job: Job) -> tuple[str, ...]:
    """Sizes of pads and strips, alike ones together."""
    kinds: dict[str, list[str]] = {}
    for pad in job.pads:
        sides = [format_quantity(size, LENGTH, job.family) for size in (pad.size_x_m, pad.size_y_m)]
        plan = f"{sides[0]} across" if pad.shape is PadShape.CIRCLE else " x ".join(sides)
        kinds.setdefault(f"{plan}, {format_quantity(pad.depth_m, LENGTH, job.family)} deep", []).append(pad.name)
    notes = [f"{_listed(names)}: {text}." for text, names in kinds.items()]
    for strip in job.strips:
        size = " x ".join(format_quantity(one, LENGTH, job.family) for one in (strip.width_m, strip.depth_m))
        notes.append(f"Strip {strip.name}: {size} deep.")
    if job.edge is not None:
        size = " x ".join(format_quantity(one, LENGTH, job.family) for one in (job.edge.width_m, job.edge.depth_m))
        notes.append(f"Edge: {size} deep.")
    return tuple(notes)


def _listed(names: list[str]) -> str:
    return ", ".join(names) if len(names) <= 4 else f"{names[0]} to {names[-1]}"


def _point(place: Array) -> tuple[float, float]:
    return float(place[0]), float(place[1])
