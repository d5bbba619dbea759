"""Where a wheel may stand, and the places it is put: few in open floor, close beside joints and edges, alike ones once."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.model.loads import Wall, Wheel
from slabwright.solvers.plate import Patch
from slabwright.solvers.plate.reference import Floats, Longs
from slabwright.sources import practice
from slabwright.studies.floor.body import Body

CLOSE_IN_RADII = 0.5
FAR_IN_RADII = 1.25
"""Steps between places, in radii of relative stiffness: beside a joint or a thick part, and in open floor."""
SIGHT_IN_RADII = 3.0
"""Two places that see joints and thick parts at the same distances this far round are alike."""
ROUTE_RULE = practice("what rolls goes wherever no wall stops it")
MOST_PLACES = 120
_GRAIN_IN_RADII = 0.25
_RAYS = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))


@dataclass(frozen=True, eq=False)
class Route:
    """Where a wheel may stand.

    Attributes
    ----------
    free : geometry
        Floor that its middle may be over.
    places : (n, 2) float64
        Of one wheel, no two alike. [m]
    n_alike : int
        Places of the whole lattice, the alike ones counted.
    """

    free: BaseGeometry
    places: Floats
    n_alike: int

    def where(self, group: Sequence[Patch]) -> Floats:
        """Places of the middle of a group with one of its wheels at each place and the others on free floor too."""
        found = []
        for patch in group:
            middles = self.places - patch.at
            fits = np.ones(len(middles), bool)
            for other in group:
                spots = middles + other.at
                fits &= shapely.intersects_xy(self.free, spots[:, 0], spots[:, 1])
            found.append(middles[fits])
        return np.unique(np.round(np.concatenate(found), 6), axis=0)


def route_of(wheel: Wheel, body: Body, walls: Sequence[Wall], side_m: float) -> Route:
    """Places of one wheel on the floor it may go over: not off its edge, not through walls."""
    area = body.region if not wheel.within else body.region.intersection(shapely.Polygon(wheel.within))
    bands = [shapely.LineString(wall.line).buffer(wall.thickness_m / 2.0, cap_style="flat", join_style="mitre") for wall in walls]
    free: BaseGeometry = area.difference(shapely.union_all(bands)).buffer(-0.501 * side_m, join_style="mitre")
    if free.is_empty:
        return Route(free, np.empty((0, 2)), 0)
    free = free.buffer(1e-6, join_style="mitre").difference(_beside_skewed_sides(area, side_m))
    shapely.prepare(free)
    x, y = (_line(body, free, axis, side_m) for axis in (0, 1))
    lattice = np.stack([grid.ravel() for grid in np.meshgrid(x, y, indexing="ij")], axis=1)
    lattice = lattice[shapely.intersects_xy(free, lattice[:, 0], lattice[:, 1])]
    _, first = np.unique(_seen(lattice, body), axis=0, return_index=True)
    chosen = np.sort(first)
    if len(chosen) > MOST_PLACES:
        chosen = chosen[np.linspace(0, len(chosen) - 1, MOST_PLACES).astype(int)]
    return Route(free, lattice[chosen], len(lattice))


def _beside_skewed_sides(area: BaseGeometry, side_m: float) -> BaseGeometry:
    """Where the middle of a square along the axes may not be, for one of its corners to stay on the floor beside a skewed side."""
    reach = 0.5 * side_m * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    bands = []
    for part in shapely.get_parts(area.boundary):
        points = shapely.get_coordinates(part)
        for start, end in pairwise(points):
            if np.min(np.abs(end - start)) > 1e-6:
                bands.append(shapely.MultiPoint(np.concatenate([start + reach, end + reach])).convex_hull)
    return shapely.union_all(bands)


def _line(body: Body, free: BaseGeometry, axis: int, side_m: float) -> Floats:
    """Positions along one axis: beside each joint and thick part, and graded between."""
    bounds = free.bounds
    low, high = bounds[axis], bounds[axis + 2]
    stations = {low + 2e-6, high - 2e-6}
    for start, end in body.joints:
        if abs(start[axis] - end[axis]) < body.floor_m:
            stations |= {start[axis] - 0.505 * side_m, start[axis] + 0.505 * side_m}
    radius = body.relative_stiffness_m
    kept = sorted(one for one in stations if low < one < high)
    found = [np.array(kept)]
    for a, b in pairwise(kept):
        if b - a > 3.0 * CLOSE_IN_RADII * radius:
            inner = (a + CLOSE_IN_RADII * radius, b - CLOSE_IN_RADII * radius)
            found.append(np.linspace(*inner, max(2, int(np.ceil((inner[1] - inner[0]) / (FAR_IN_RADII * radius))) + 1)))
        elif b - a > CLOSE_IN_RADII * radius:
            found.append(np.array([(a + b) / 2.0]))
    return np.unique(np.concatenate(found))


def _seen(places: Floats, body: Body) -> Longs:
    """What each place sees: thickness, and distances to joints and thick parts along the axes, mirrored into one order."""
    reach, grain = SIGHT_IN_RADII * body.relative_stiffness_m, _GRAIN_IN_RADII * body.relative_stiffness_m
    things = shapely.union_all([shapely.MultiLineString(list(body.joints)), body.thick.boundary, body.region.boundary])
    sharp = np.round(body.depth_at(places) / 0.01).astype(int)
    distances = []
    origins = shapely.points(places)
    for ray in _RAYS:
        rays = shapely.linestrings(np.stack([places, places + reach * np.array(ray)], axis=1))
        hit = shapely.intersection(rays, things)
        away = np.where(shapely.is_empty(hit), reach, shapely.distance(origins, hit))
        distances.append(np.round(np.nan_to_num(away, nan=reach) / grain).astype(int))
    east_west = np.sort(np.stack(distances[:2]), axis=0)
    north_south = np.sort(np.stack(distances[2:]), axis=0)
    return np.stack([sharp, *east_west, *north_south], axis=1)
