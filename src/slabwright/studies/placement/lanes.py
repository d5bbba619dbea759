"""Where the concrete goes, in which order: lanes of floor across the slab, and the piece of ring beside each."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.units import FOOT_M

Floats = NDArray[np.float64]

LANE_M = 15 * FOOT_M
"""Depth of floor that is struck off in one go; common practice, no source."""
_CELL_M = 0.15
_ENDS = (("west", "east"), ("south", "north"))


def lanes_in(length_m: float) -> int:
    """How many lanes a floor of that long side is cut into."""
    return max(1, round(length_m / LANE_M))


class Kind(Enum):
    """What a placement fills."""

    RING = "edge and pads"
    FLOOR = "floor"


@dataclass(frozen=True, slots=True)
class Region:
    """One placement: the ring or the floor of a lane, numbered from the end at which placing begins."""

    kind: Kind
    lane: int
    volume_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lanes:
    """The floor cut across its long side.

    Attributes
    ----------
    bounds : ndarray
        Where lanes begin and end along the long side, shape (n + 1,), in the order of placing: rising or falling. [m]
    axis : int
        0 where lanes follow one another along x.
    ring_m3, floor_m3 : ndarray
        Concrete of each lane, shape (n,). [m³]
    """

    bounds: Floats
    axis: int
    ring_m3: Floats
    floor_m3: Floats

    @property
    def n_lanes(self) -> int:
        """Number of lanes."""
        return len(self.floor_m3)

    @classmethod
    def of(cls, foundation: Foundation) -> "Lanes":
        """Lanes of about 15 ft, their volumes read off the depth field and held to its exact totals."""
        low_x, low_y, high_x, high_y = foundation.region.bounds
        axis = 0 if high_x - low_x >= high_y - low_y else 1
        low, high = (low_x, high_x) if axis == 0 else (low_y, high_y)
        n = lanes_in(high - low)
        bounds = np.linspace(low, high, n + 1)
        points, area = _cells(foundation)
        thickness = foundation.thickness_m(points)
        inside = np.asarray(shapely.contains_xy(foundation.region, points[:, 0], points[:, 1]))
        slab = np.where(inside, np.minimum(thickness, foundation.floor.thickness_m), 0.0)
        lane = np.clip(np.searchsorted(bounds, points[:, axis]) - 1, 0, n - 1)
        floor: Floats = np.asarray(np.bincount(lane, slab * area, minlength=n), dtype=float)
        ring: Floats = np.asarray(np.bincount(lane, (thickness - slab) * area, minlength=n), dtype=float)
        volumes = foundation.volumes()
        floor_total = volumes.of_kind_m3(PartKind.FLOOR)
        ring_total = volumes.total_m3 - floor_total
        return cls(
            bounds=bounds,
            axis=axis,
            floor_m3=floor * floor_total / floor.sum(),
            ring_m3=ring * ring_total / ring.sum() if ring.sum() > 0 else ring,
        )

    @property
    def first(self) -> str:
        """Side of the plan at which placing begins."""
        return _ENDS[self.axis][int(self.bounds[0] > self.bounds[-1])]

    @property
    def last(self) -> str:
        """Side of the plan at which placing ends."""
        return _ENDS[self.axis][int(self.bounds[0] < self.bounds[-1])]

    def flipped(self) -> "Lanes":
        """The same lanes, begun at the other end."""
        return Lanes(bounds=self.bounds[::-1], axis=self.axis, ring_m3=self.ring_m3[::-1], floor_m3=self.floor_m3[::-1])

    def lane_of(self, along_m: Floats) -> NDArray[np.intp]:
        """Number of the lane at places along the long side, the first and the last reaching on beyond their ends."""
        rising = np.sort(self.bounds)
        found = np.clip(np.searchsorted(rising, along_m) - 1, 0, self.n_lanes - 1)
        return np.asarray(found if self.bounds[0] < self.bounds[-1] else self.n_lanes - 1 - found)

    def order(self, ahead: int) -> tuple[Region, ...]:
        """Placements in order: the ring so many lanes ahead of the floor; as many as there are lanes is the whole ring first."""
        regions: list[Region] = []
        next_ring = 0
        for lane in range(self.n_lanes):
            while next_ring <= min(lane + ahead, self.n_lanes - 1):
                regions.append(Region(Kind.RING, next_ring, float(self.ring_m3[next_ring])))
                next_ring += 1
            regions.append(Region(Kind.FLOOR, lane, float(self.floor_m3[lane])))
        return tuple(region for region in regions if region.volume_m3 > 1e-9)


def dug_more_m3(foundation: Foundation, lanes: Lanes, over: Mapping[str, float]) -> Floats:
    """What edge and pads of each lane take more than drawn, as they were dug, shape (n,). [m³]

    Parameters
    ----------
    foundation : Foundation
    lanes : Lanes
    over : Mapping[str, float]
        Fraction dug more than drawn of ``edge`` and of ``pads``; one that was not measured is as drawn.
    """
    points, _ = _cells(foundation)
    deep = np.maximum(foundation.thickness_m(points) - foundation.floor.thickness_m, 0.0)
    pads = [shapely.union(part.skirt, part.bottom) for part in foundation.parts if part.kind is PartKind.PAD]
    in_pad = np.asarray(shapely.contains_xy(shapely.union_all(pads), points[:, 0], points[:, 1]))
    lane = lanes.lane_of(points[:, lanes.axis])
    drawn = np.bincount(lane, deep, minlength=lanes.n_lanes)
    more = np.bincount(lane, deep * np.where(in_pad, over.get("pads", 0.0), over.get("edge", 0.0)), minlength=lanes.n_lanes)
    return np.asarray(lanes.ring_m3 * np.divide(more, drawn, out=np.zeros(lanes.n_lanes), where=drawn > 0))


def _cells(foundation: Foundation) -> tuple[Floats, float]:
    """Middles of a fine grid over the slab and a little beyond, where pads may stand outside the forms."""
    low_x, low_y, high_x, high_y = foundation.region.bounds
    beyond = 1.0
    n_x = max(8, int((high_x - low_x + 2 * beyond) / _CELL_M))
    n_y = max(8, int((high_y - low_y + 2 * beyond) / _CELL_M))
    xs = np.linspace(low_x - beyond, high_x + beyond, n_x + 1)
    ys = np.linspace(low_y - beyond, high_y + beyond, n_y + 1)
    grid = np.stack(np.meshgrid((xs[1:] + xs[:-1]) / 2, (ys[1:] + ys[:-1]) / 2, indexing="ij"), axis=-1).reshape(-1, 2)
    return grid, float((xs[1] - xs[0]) * (ys[1] - ys[0]))
