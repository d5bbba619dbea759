"""Setting out joints on a floor with skewed sides: every end by its distance along a named side, as a tape reads it.

Along a curve no tape reads straight. Lines that end on one are measured square to themselves, from the outermost points of the floor.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from slabwright.geometry.corners import corner_places
from slabwright.results.picture import DimensionLine, Item, Layer, Note
from slabwright.solvers.partition.corners import sides_apart
from slabwright.units import LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.joints.study import JointLine

Point = tuple[float, float]
_STEP_M = 2.0
"""Shorter than this a side may be a step of a curve; a choice, no source."""
_ON = 1e-3
"""How far in m a line may end from the side or joint it is taken to end on."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of the floor, the floor to its left.

    Attributes
    ----------
    first, second : str
        Letters of its corners: capitals on the outline, small letters round an opening.
    start, end : tuple
        [m]
    is_step : bool
        Whether it is a step of a curve, which no tape is laid along.
    """

    first: str
    second: str
    start: Point
    end: Point
    is_step: bool = False

    @property
    def name(self) -> str:
        """Both letters."""
        return f"{self.first}–{self.second}"

    @property
    def length_m(self) -> float:
        """From corner to corner. [m]"""
        return math.dist(self.start, self.end)

    def holds(self, at: Point) -> bool:
        """Whether a point lies on it."""
        return bool(shapely.LineString([self.start, self.end]).distance(shapely.Point(at)) < _ON)


def sides_of(region: shapely.Polygon) -> tuple[Side, ...]:
    """All sides of a floor and of the openings in it, named by their corners."""
    found = []
    for number, ring in enumerate((region.exterior, *region.interiors)):
        letters = list(corner_places([(float(x), float(y)) for x, y in ring.coords[:-1]]).items())
        if number:
            letters = [(f"{letter.lower()}{number if number > 1 else ''}", place) for letter, place in reversed(letters)]
        sides = sides_apart(np.array([place for _, place in letters]), 2 * _STEP_M)[1]
        closed = pairwise([*letters, letters[0]])
        found += [Side(a[0], b[0], a[1], b[1], not is_side) for (a, b), is_side in zip(closed, sides, strict=True)]
    return tuple(found)


def station(at: Point, sides: Sequence[Side], joints: Sequence["JointLine"], family: Family) -> str:
    """Where a joint ends, in words.

    Parameters
    ----------
    at : tuple
        [m]
    sides : sequence of Side
    joints : sequence of JointLine
        Among which it may end.
    family : Family
    """
    on_side = _station_on_side(at, sides, family)
    if on_side:
        return on_side
    if any(side.is_step and side.holds(at) for side in sides):
        across, up = (format_quantity(one, LENGTH, family) for one in at)
        return f"the curve, x {across}, y {up}"
    for joint in joints:
        ends = [joint.start, joint.end]
        if at not in ends and shapely.LineString(ends).distance(shapely.Point(at)) < _ON:
            origin = min(ends, key=lambda end: (not _station_on_side(end, sides, family), math.dist(end, at)))
            run = format_quantity(math.dist(origin, at), LENGTH, family)
            return f"on {joint.name}, {run} from its end at {_station_on_side(origin, sides, family) or 'the middle'}"
    return "in the floor"


def _station_on_side(at: Point, sides: Sequence[Side], family: Family) -> str:
    for side in sides:
        if side.holds(at) and not side.is_step:
            if math.dist(side.start, at) < _ON:
                return f"corner {side.first}"
            if math.dist(side.end, at) < _ON:
                return f"corner {side.second}"
            return f"{side.name}, {format_quantity(math.dist(side.start, at), LENGTH, family)} from {side.first}"
    return ""


def setting_out(region: shapely.Polygon, joints: Sequence["JointLine"]) -> list[Item]:
    """Letters at the corners, running dimensions along every side outside the floor, and along joints that carry others."""
    low_x, low_y, high_x, high_y = region.bounds
    offset = 0.055 * max(high_x - low_x, high_y - low_y)
    sides = sides_of(region)
    ends = [end for joint in joints for end in (joint.start, joint.end)]
    items: list[Item] = []
    for side in sides:
        before = next(one for one in sides if one.second == side.first)
        if side.is_step and before.is_step:
            continue
        items.append(Note(layer=Layer.SETTING_OUT, at=_beside(side, sides, 0.45 * offset), text=side.first, bold=True, boxed=True))
        if side.is_step:
            continue
        away = 1.0 if side.first.isupper() else 0.6
        stops = _stops(side.start, side.end, [end for end in ends if side.holds(end)])
        items += [DimensionLine(start=b, end=a, offset_m=away * offset) for a, b in pairwise(stops)]
        if len(stops) > 2 and side.first.isupper():
            items.append(DimensionLine(start=side.end, end=side.start, offset_m=2 * offset))
    items += _square_to_lines(region, sides, joints, offset)
    for joint in joints:
        inner = [end for end in ends if end not in (joint.start, joint.end) and _is_between(joint, end)]
        if inner and not any(side.holds(end) for side in sides for end in inner):
            stops = _stops(joint.start, joint.end, inner)
            items += [DimensionLine(start=a, end=b, offset_m=0.3 * offset) for a, b in pairwise(stops)]
    return items


def _square_to_lines(
    region: shapely.Polygon, sides: Sequence[Side], joints: Sequence["JointLine"], offset: float
) -> Iterator[DimensionLine]:
    """Running dimensions square to each family of parallel lines of which one ends on no straight side."""
    straight = [side for side in sides if not side.is_step]
    left = [joint for joint in joints if not any(side.holds(end) for side in straight for end in (joint.start, joint.end))]
    left = [joint for joint in left if any(side.is_step and side.holds(joint.start) for side in sides)]
    rim = shapely.get_coordinates(region.exterior)
    level_m = 3 * offset if straight else offset
    while left:
        along = np.subtract(left[0].end, left[0].start) / math.dist(left[0].start, left[0].end)
        square = np.array([along[1], -along[0]])
        if square[0] + 1e-3 * square[1] < 0:
            along, square = -along, -square

        def is_alike(joint: "JointLine", square: "np.ndarray[tuple[int], np.dtype[np.float64]]" = square) -> bool:
            return bool(abs(np.subtract(joint.end, joint.start) @ square) < _ON * max(1.0, math.dist(joint.start, joint.end)))

        places = [float(np.array(joint.start) @ square) for joint in joints if is_alike(joint)]
        left = [joint for joint in left if not is_alike(joint)]
        across, level = rim @ square, float((rim @ along).min())
        ends = [float(across.min()), float(across.max())]
        stops = [tuple(one * square + level * along) for one in sorted({round(one, 4) for one in [*ends, *places]})]
        yield from (DimensionLine(start=b, end=a, offset_m=level_m) for a, b in pairwise(stops))
        yield DimensionLine(start=stops[-1], end=stops[0], offset_m=level_m + offset)


def _stops(start: Point, end: Point, between: Sequence[Point]) -> list[Point]:
    """Points of a line in their order, those nearly alike once."""
    kept = [start]
    for point in sorted([*between, end], key=lambda one: math.dist(start, one)):
        if math.dist(kept[-1], point) > _ON:
            kept.append(point)
    return kept


def _is_between(joint: "JointLine", at: Point) -> bool:
    return bool(shapely.LineString([joint.start, joint.end]).distance(shapely.Point(at)) < _ON)


def _beside(side: Side, sides: Sequence[Side], distance_m: float) -> Point:
    """A place outside the first corner of a side, on the line that halves its angle."""
    before = next(one for one in sides if one.second == side.first)
    onward = np.subtract(side.end, side.start) / side.length_m
    back = np.subtract(before.start, before.end) / before.length_m
    outward = -(onward + back)
    if np.hypot(*outward) < 0.05:
        outward = np.array([onward[1], -onward[0]])
    if onward[0] * back[1] - onward[1] * back[0] < 0:  # more than half a turn inside
        outward = -outward
    x, y = np.add(side.start, distance_m * outward / np.hypot(*outward))
    return float(x), float(y)
