"""The blocks that hang below a floor: straight lengths of edge and strip, and pads, each with its plane faces.

A trench is cut in straight lengths. Each side of the outline, each straight piece of a strip and each pad is one
convex *block*: a level bottom and plane sloped faces that rise ``run`` across for every unit up. Neighbouring lengths
are mitred: both end on the line from corner to corner of their parallel offsets, at corners that point outwards and at
re-entrant ones alike, as two straight cuts meet. Where a line turns back by more than 120 degrees the mitre would run
away; the turn is then cut in two, like a bevel. The ends of a strip are cut square and upright.

Where blocks overlap the deeper one stands; nothing else is needed to join them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Polygon

from slabwright.geometry.overlay import Geometries, as_area, as_array, shared
from slabwright.model.concrete import Edge, Pad, PadShape, Strip

Array = NDArray[np.float64]
Plane = tuple[float, float, float]
CIRCLE_SIDES = 48
_LARGEST_TURN_RAD = math.radians(120.0) + 1e-9
_LEAST_AREA_M2 = 1e-12
_TOUCH_M = 1e-9


@dataclass(frozen=True, slots=True)
class Facet:
    """A plane piece of underside: depth = a x + b y + c over a polygon. [m]"""

    domain: Polygon
    plane: Plane


@dataclass(frozen=True, slots=True)
class Block:
    """One convex block below the top of the floor.

    Attributes
    ----------
    facets : tuple of Facet
        The bottom first, then its sloped faces.
    within : Polygon or MultiPolygon or None
        Where the block is cut off, if it would otherwise come out again beyond a narrow part of the floor.
    """

    facets: tuple[Facet, ...]
    within: Polygon | MultiPolygon | None = None

    @property
    def foot(self) -> Polygon:
        """Plan of the level bottom."""
        return self.facets[0].domain


@dataclass(frozen=True, slots=True)
class _Side:
    """A straight piece of a line; offsets count to its left. ``start_mitre`` and ``end_mitre`` move its ends per unit of offset."""

    start: Array
    end: Array
    normal: Array
    start_mitre: Array
    end_mitre: Array

    def band(self, near: float, far: float) -> Polygon | None:
        """Plan between two offsets, between the mitres; None where the mitres leave nothing."""
        along = np.array([self.normal[1], -self.normal[0]])
        length, rate = float((self.end - self.start) @ along), float((self.end_mitre - self.start_mitre) @ along)
        apex = -length / rate if abs(rate) > 1e-12 else math.inf
        low, high = (near, min(far, apex)) if rate < 0.0 or apex == math.inf else (max(near, apex), far)
        if high <= low:
            return None
        ring = [self.start + low * self.start_mitre, self.end + low * self.end_mitre]
        ring += [self.end + high * self.end_mitre, self.start + high * self.start_mitre]
        if apex in (low, high):
            del ring[0 if apex == low else 2]
        band = Polygon(ring)
        return band if band.area > _LEAST_AREA_M2 else None

    def rising(self, depth_m: float, offset_m: float, run: float) -> Plane:
        """Plane that is ``depth_m`` deep at an offset and rises towards larger offsets."""
        slope = 1.0 / run
        a, b = -slope * self.normal
        return float(a), float(b), depth_m + slope * (offset_m + float(self.normal @ self.start))


def edge_blocks(outline: Array, edge: Edge, rise_to_m: float) -> list[Block]:
    """The thickened perimeter: one block for each side of the outline.

    Parameters
    ----------
    outline : (n, 2) array
        Form line, counter-clockwise, first point not repeated. [m]
    edge : Edge
    rise_to_m : float
        Depth at which the sloped face ends: the least thickness of the floor. [m]
    """
    blocks = []
    form_line = Polygon(outline)
    shapely.prepare(form_line)
    reach = edge.width_m + edge.run * max(0.0, edge.depth_m - rise_to_m)
    for side in _sides(outline, closed=True):
        foot = side.band(0.0, edge.width_m)
        if foot is None:
            continue
        facets = [Facet(foot, (0.0, 0.0, edge.depth_m))]
        if reach > edge.width_m and (slope := side.band(edge.width_m, reach)) is not None:
            facets.append(Facet(slope, side.rising(edge.depth_m, edge.width_m, edge.run)))
        blocks.append(Block(tuple(facets), _seen_from(side, side.band(0.0, reach), form_line)))
    return blocks


def _seen_from(side: _Side, plan: Polygon | None, form_line: Polygon) -> Polygon | MultiPolygon | None:
    """The part of a block's plan that hangs together with its side, where the outline cuts it in pieces; else None."""
    if plan is None or form_line.covers(plan):
        return None
    pieces, _ = shared(as_array([plan]), form_line)
    foot = LineString([side.start, side.end])
    near = [piece for piece in pieces if piece.distance(foot) <= _TOUCH_M]
    return None if len(near) == len(pieces) else as_area(near)


def strip_blocks(strip: Strip, rise_to_m: float) -> list[Block]:
    """An interior strip: one block for each straight piece of its line."""
    half = 0.5 * strip.width_m
    reach = half + strip.run * max(0.0, strip.depth_m - rise_to_m)
    blocks = []
    there = _sides(np.asarray(strip.line, dtype=float), closed=False)
    for side in there:
        foot = side.band(-half, half)
        if foot is None:
            continue
        facets = [Facet(foot, (0.0, 0.0, strip.depth_m))]
        if reach > half:
            back = _Side(side.end, side.start, -side.normal, -side.end_mitre, -side.start_mitre)
            for face in (side, back):
                if (slope := face.band(half, reach)) is not None:
                    facets.append(Facet(slope, face.rising(strip.depth_m, half, strip.run)))
        blocks.append(Block(tuple(facets)))
    return blocks


def pad_block(pad: Pad, rise_to_m: float) -> Block:
    """A pad: its bottom and a plane face for each side.

    A circle is cast with 48 sides, sized so that the area at every level, and so the volume of the pad standing alone,
    is that of the circle exactly; its rim lies within 0.15 % of the radius of the true one.
    """
    ring, run = _pad_ring(pad), pad.run
    if pad.shape is PadShape.CIRCLE:
        run *= _circle_ratio()
    facets = [Facet(Polygon(ring), (0.0, 0.0, pad.depth_m))]
    reach = run * max(0.0, pad.depth_m - rise_to_m)
    if reach > 0.0:
        for side in _sides(ring, closed=True):
            if (slope := side.band(0.0, reach)) is not None:
                facets.append(Facet(slope, side.rising(pad.depth_m, 0.0, run)))
    return Block(tuple(facets))


def _circle_ratio() -> float:
    """Inner radius of the equal-area polygon per radius of the circle."""
    return math.sqrt(math.pi / (CIRCLE_SIDES * math.tan(math.pi / CIRCLE_SIDES)))


def _pad_ring(pad: Pad) -> Array:
    """Bottom of a pad, clockwise, so that offsets to the left run outwards."""
    if pad.shape is PadShape.CIRCLE:
        radius = 0.5 * pad.size_x_m * _circle_ratio() / math.cos(math.pi / CIRCLE_SIDES)
        turn = -2.0 * np.pi * np.arange(CIRCLE_SIDES) / CIRCLE_SIDES
        local = radius * np.column_stack([np.cos(turn), np.sin(turn)])
    else:
        x, y = 0.5 * pad.size_x_m, 0.5 * pad.size_y_m
        local = np.array([[-x, -y], [-x, y], [x, y], [x, -y]])
    c, s = math.cos(pad.rotation_rad), math.sin(pad.rotation_rad)
    turned: Array = local @ np.array([[c, s], [-s, c]]) + np.asarray(pad.at)
    return turned


def _sides(line: Array, *, closed: bool) -> list[_Side]:
    """Straight pieces of a line with the mitres between them; a turn too sharp to mitre gets a piece of no length."""
    points = line[np.append(True, np.any(np.diff(line, axis=0) != 0.0, axis=1))]
    ends = np.roll(points, -1, axis=0) if closed else points[1:]
    starts = points if closed else points[:-1]
    along = (ends - starts) / np.linalg.norm(ends - starts, axis=1, keepdims=True)
    normals = np.column_stack([-along[:, 1], along[:, 0]])
    pieces: list[tuple[Array, Array, Array]] = []
    for number, (start, end, normal) in enumerate(zip(starts, ends, normals, strict=True)):
        if number or closed:
            pieces += [(start, start, bevel) for bevel in _bevels(normals[number - 1], normal, closed=closed)]
        pieces.append((start, end, normal))
    mitres = [_mitre(pieces[k - 1][2], pieces[k][2]) for k in range(len(pieces))]
    mitres.append(mitres[0])
    if not closed:
        mitres[0], mitres[-1] = pieces[0][2], pieces[-1][2]
    return [_Side(*piece, mitres[k], mitres[k + 1]) for k, piece in enumerate(pieces)]


def _bevels(before: Array, after: Array, *, closed: bool) -> Sequence[Array]:
    """Directions of the cuts that break a sharp turn; none for a turn that can be mitred.

    Round a ring only turns to the right open outwards; along a strip both do, one on each flank.
    """
    turn = math.atan2(before[0] * after[1] - before[1] * after[0], float(before @ after))
    if abs(turn) <= _LARGEST_TURN_RAD or (closed and turn > 0.0):
        return ()
    c, s = math.cos(0.5 * turn), math.sin(0.5 * turn)
    return (np.array([c * before[0] - s * before[1], s * before[0] + c * before[1]]),)


def _mitre(before: Array, after: Array) -> Array:
    """Movement of a corner per unit of parallel offset of its two sides."""
    mitre: Array = (before + after) / max(1.0 + float(before @ after), 1e-12)
    return mitre


def flattened(facets: Sequence[Facet]) -> tuple[Geometries, Array]:
    """Domains and planes of facets as arrays."""
    domains = as_array([facet.domain for facet in facets])
    shapely.prepare(domains)
    return domains, np.array([facet.plane for facet in facets], dtype=float).reshape(-1, 3)
