"""The line a bar follows: straight legs with rounded bends, at one depth; cut into pieces by length along the bar."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

Point = tuple[float, float]
Array = NDArray[np.float64]
_STRAIGHT_RAD = math.radians(2.0)


@dataclass(frozen=True, eq=False)
class Path:
    """Centre line of a bar or of a run of lapped bars.

    Attributes
    ----------
    corners : tuple of points
        Where its legs would meet without rounding; a closed path repeats its first point. [m]
    depth_m : float
        Below the top of the floor. [m]
    bend_radius_m : float
        Of the centre line in every bend. [m]
    """

    corners: tuple[Point, ...]
    depth_m: float
    bend_radius_m: float

    @cached_property
    def points(self) -> Array:
        """(n, 2) array of the corners. [m]"""
        return np.asarray(self.corners, float)

    @property
    def is_closed(self) -> bool:
        """True for a ring."""
        return bool(np.allclose(self.points[0], self.points[-1])) and len(self.corners) > 3

    @cached_property
    def sharp_m(self) -> Array:
        """Distance of each corner from the start along the unrounded legs. [m]"""
        legs = np.hypot(*np.diff(self.points, axis=0).T)
        return np.concatenate(([0.0], np.cumsum(legs)))

    @cached_property
    def turns_rad(self) -> Array:
        """Angle turned at each corner, positive to the left; at the ends of an open path nought. [rad]"""
        directions = np.diff(self.points, axis=0)
        headings = np.arctan2(directions[:, 1], directions[:, 0])
        turns = (np.diff(headings) + math.pi) % (2 * math.pi) - math.pi
        first = (headings[0] - headings[-1] + math.pi) % (2 * math.pi) - math.pi if self.is_closed else 0.0
        return np.concatenate(([first], turns, [first if self.is_closed else 0.0]))

    @cached_property
    def _half_m(self) -> Array:
        """What each bend saves on either side of its middle. [m]"""
        half = np.abs(self.turns_rad) / 2
        return self.bend_radius_m * (np.tan(half) - half)

    @cached_property
    def along_m(self) -> Array:
        """Distance of the middle of each bend from the start along the bar itself; a ring starts in the middle of one. [m]"""
        half = self._half_m
        passed = np.concatenate(([0.0], half[0] + 2 * np.cumsum(half[1:]) - half[1:]))
        return self.sharp_m - passed

    @property
    def length_m(self) -> float:
        """Along the bar; round a ring. [m]"""
        return float(self.along_m[-1])

    def set_back_m(self, corner: int) -> float:
        """From a corner to where its bend begins, along the bar from the middle of the bend. [m]"""
        return float(self.bend_radius_m * abs(self.turns_rad[corner]) / 2)

    def of(self, points: Sequence[Array]) -> "Path":
        """Another path at the same depth with the same bends."""
        return Path(tuple((float(x), float(y)) for x, y in points), self.depth_m, self.bend_radius_m)

    def between(self, start_m: float, end_m: float) -> "Path":
        """The part between two places that lie on straight legs.

        Parameters
        ----------
        start_m, end_m : float
            Along the bar; on a ring the end may lie beyond the start of the next round. [m]
        """
        points = [self.at(start_m)]
        rounds = range(int(start_m // self.length_m), int(end_m // self.length_m) + 1) if self.is_closed else (0,)
        for turn in rounds:
            for corner in range(len(self.corners) - 1 if self.is_closed else len(self.corners)):
                place = float(self.along_m[corner]) + turn * self.length_m
                if start_m + 1e-9 < place < end_m - 1e-9 and abs(self.turns_rad[corner]) > _STRAIGHT_RAD:
                    points.append(self.corners[corner])
        points.append(self.at(end_m))
        return Path(tuple(points), self.depth_m, self.bend_radius_m)

    def at(self, along_m: float) -> Point:
        """The point at a distance along the bar, which lies on a straight leg. [m]"""
        place = along_m % self.length_m if self.is_closed else min(max(along_m, 0.0), self.length_m)
        leg = int(np.clip(np.searchsorted(self.along_m, place, "right") - 1, 0, len(self.corners) - 2))
        beyond = place - self.along_m[leg] + self._half_m[leg]
        share = float(np.clip(beyond / (self.sharp_m[leg + 1] - self.sharp_m[leg]), 0.0, 1.0))
        x, y = self.points[leg] + share * (self.points[leg + 1] - self.points[leg])
        return float(x), float(y)

    def crossed_m(self, lines: Sequence[shapely.LineString]) -> list[float]:
        """Where straight lines cross it, along the bar; a line that runs along a leg does not cross it. [m]"""
        if not lines:
            return []
        a, run = self.points[:-1, None], np.diff(self.points, axis=0)[:, None]
        ends = shapely.get_coordinates(lines).reshape(-1, 2, 2)
        c, other = ends[None, :, 0], (ends[:, 1] - ends[:, 0])[None]
        across = _cross(run, other)
        with np.errstate(divide="ignore", invalid="ignore"):
            on_leg, on_line = _cross(c - a, other) / across, _cross(c - a, run) / across
        met = (np.abs(across) > 1e-12) & (on_leg >= 0.0) & (on_leg <= 1.0) & (on_line >= 0.0) & (on_line <= 1.0)
        length = np.hypot(*run[:, 0].T)
        return [
            float(self.along_m[leg] - self._half_m[leg] + on_leg[leg, k] * length[leg]) for leg, k in zip(*np.nonzero(met), strict=True)
        ]

    def outside_legs_m(self, bar_diameter_m: float) -> tuple[float, ...]:
        """Each leg over the outside of the bar, as a bar list states it. [m]"""
        legs = []
        n = len(self.corners)
        for number, (a, b) in enumerate(pairwise(self.corners)):
            turns = [abs(float(self.turns_rad[k])) for k in (number, number + 1) if 0 < k < n - 1]
            legs.append(math.dist(a, b) + sum(bar_diameter_m / 2 * math.tan(turn / 2) for turn in turns))
        return tuple(legs)

    def rounded(self, steps: int = 6) -> tuple[Point, ...]:
        """The centre line with its bends drawn as short chords. [m]"""
        drawn: list[Point] = [self.corners[0]]
        for number in range(1, len(self.corners) - 1):
            turn = float(self.turns_rad[number])
            if abs(turn) < _STRAIGHT_RAD:
                continue
            drawn += _arc(self.points[number - 1], self.points[number], turn, self.bend_radius_m, steps)
        drawn.append(self.corners[-1])
        return tuple(drawn)


def _cross(one: Array, other: Array) -> Array:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _arc(before: Array, corner: Array, turn: float, radius: float, steps: int) -> Sequence[Point]:
    heading = math.atan2(*(corner - before)[::-1])
    side = math.copysign(1.0, turn)
    start = corner - radius * math.tan(abs(turn) / 2) * np.array([math.cos(heading), math.sin(heading)])
    centre = start + side * radius * np.array([-math.sin(heading), math.cos(heading)])
    angles = [heading + turn * step / steps for step in range(steps + 1)]
    return [(float(centre[0] + side * radius * math.sin(a)), float(centre[1] - side * radius * math.cos(a))) for a in angles]


def offset_ring(ring: Array, inward_m: float) -> tuple[Point, ...]:
    """A counter-clockwise ring moved inwards, corners mitred; closed.

    Parameters
    ----------
    ring : (n, 2) array
        Corners, the first not repeated. [m]
    inward_m : float
        [m]
    """
    n = len(ring)
    directions = np.roll(ring, -1, axis=0) - ring
    directions /= np.hypot(directions[:, 0], directions[:, 1])[:, None]
    normals = np.column_stack([-directions[:, 1], directions[:, 0]])
    moved = []
    for corner in range(n):
        before, after = normals[corner - 1], normals[corner]
        scale = 1.0 + float(before @ after)
        moved.append(tuple(ring[corner] + inward_m * (before + after) / scale))
    return (*[(float(x), float(y)) for x, y in moved], (float(moved[0][0]), float(moved[0][1])))
