"""Whether a ring of points closes a simple shape; if not, which edges cross and where."""

import math
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

Point = tuple[float, float]
Ring = tuple[Point, ...]

_TOLD = 5
_BATCH = 50
_SAME_M = 1e-6


def faults_of_ring(ring: Ring) -> list[str]:
    """Everything that keeps a ring from being the outline of a shape, in words; points are counted from 1.

    Parameters
    ----------
    ring : tuple of points
        Corners in order, the first not repeated at the end. [m]
    """
    if len(ring) < 3:
        return [f"has {len(ring)} points; a shape takes at least three."]
    if repeated := _repeated(ring):
        return repeated
    shape = shapely.Polygon(ring)
    extent_m = math.dist(shape.bounds[:2], shape.bounds[2:])
    if shape.convex_hull.area <= 1e-9 * extent_m**2:
        return ["encloses no area; its points lie on one line. Give the corners in order, going round."]
    crossings = [] if shape.is_valid else _crossings(ring)
    if crossings:
        return [*crossings[:_TOLD], *(["crosses itself at more places."] if len(crossings) > _TOLD else [])]
    if not shape.is_valid:
        return [f"is no simple shape: {shapely.is_valid_reason(shape).lower()}. Give the corners in order, going round."]
    return []


def _repeated(ring: Ring) -> list[str]:
    faults = []
    for number, (first, second) in enumerate(pairwise((*ring, ring[0])), start=1):
        if math.dist(first, second) < _SAME_M:
            after = number % len(ring) + 1
            faults.append(f"points {number} and {after} are the same, at {place(first)}; leave one out.")
    more = [f"{len(faults) - _TOLD:,} more points are doubled."] if len(faults) > _TOLD else []
    return faults[:_TOLD] + more


def _crossings(ring: Ring) -> list[str]:
    """The first pairs of edges that meet, neighbours at their common corner aside.

    A spatial index finds them a batch of edges at a time, so that a long tangle is not searched to its end.
    """
    corners, count = np.asarray(ring), len(ring)
    edges: Any = shapely.linestrings(np.stack([corners, np.roll(corners, -1, axis=0)], axis=1))
    tree, found = shapely.STRtree(edges), list[str]()
    for start in range(0, count, _BATCH):
        first, second = tree.query(edges[start : start + _BATCH], predicate="intersects")
        for one, other in zip((first + start).tolist(), second.tolist(), strict=True):
            if other <= one or len(found) > _TOLD:
                continue
            meeting = shapely.intersection(edges[one], edges[other])
            neighbours = other == one + 1 or (one == 0 and other == count - 1)
            if neighbours and meeting.geom_type == "Point":
                continue
            spot, verb = meeting.representative_point(), "crosses" if meeting.geom_type == "Point" else "lies on"
            found.append(
                f"edge {_edge(one, count)} {verb} edge {_edge(other, count)} at {place((spot.x, spot.y))}; "
                f"an outline may not meet itself. Check the order of points {one + 1} and {other + 1}."
            )
        if len(found) > _TOLD:
            break
    return found


def _edge(number: int, count: int) -> str:
    return f"{number + 1}–{(number + 1) % count + 1}"


def place(point: Point) -> str:
    """A plan point in both families of units, as a message names it."""
    x, y = point
    return f"({x / 0.3048:.2f} ft, {y / 0.3048:.2f} ft) = ({x:.3f} m, {y:.3f} m)"
