"""Whether chute, hose or belt reaches every place from where trucks or the pump can stand."""

from dataclasses import dataclass

import numpy as np
import shapely

from slabwright.geometry.foundation import Foundation
from slabwright.model.supply import PlacingMethod, Plant
from slabwright.sources import practice
from slabwright.studies.placement.lanes import Lanes
from slabwright.units import FOOT_M

CHUTE_REACH_M = 18 * FOOT_M
CHUTE_REACH = practice("the chutes of a truck reach 18 ft (5.5 m) from its rear")
_FACING = {"south": (0.0, -1.0), "east": (1.0, 0.0), "north": (0.0, 1.0), "west": (-1.0, 0.0)}
_CELL_M = 0.2
_MOST_CELLS = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Farthest:
    """The place that is farthest from where anything can stand.

    Attributes
    ----------
    lane : int
    distance_m, reach_m : float
        [m]
    """

    lane: int
    distance_m: float
    reach_m: float


def farthest(foundation: Foundation, lanes: Lanes, plant: Plant) -> Farthest | None:
    """The place of the floor hardest to reach; None where the reach is not limited, or no side of the outline faces a standing.

    Parameters
    ----------
    foundation : Foundation
    lanes : Lanes
    plant : Plant
    """
    reach = plant.reach_m if plant.reach_m is not None else CHUTE_REACH_M if plant.method is PlacingMethod.CHUTE else None
    ring = np.array(shapely.geometry.polygon.orient(foundation.outline).exterior.coords)
    edges = ring[1:] - ring[:-1]
    outwards = np.stack([edges[:, 1], -edges[:, 0]], axis=1) / np.maximum(np.hypot(*edges.T), 1e-12)[:, None]
    facing = np.array([_FACING[side] for side in plant.sides or _FACING])
    stood_at = (outwards @ facing.T > 0.7).any(axis=1)
    if reach is None or not stood_at.any():
        return None
    stands = shapely.MultiLineString([ring[k : k + 2] for k in np.flatnonzero(stood_at)])
    low_x, low_y, high_x, high_y = foundation.region.bounds
    n_x, n_y = (min(int((high - low) / _CELL_M) + 2, _MOST_CELLS) for low, high in ((low_x, high_x), (low_y, high_y)))
    grid = np.meshgrid(np.linspace(low_x, high_x, n_x), np.linspace(low_y, high_y, n_y))
    points = np.stack(grid, axis=-1).reshape(-1, 2)
    points = points[shapely.contains_xy(foundation.region, points[:, 0], points[:, 1])]
    if not len(points):
        return None
    away = np.asarray(shapely.distance(shapely.points(points), stands))
    worst = int(away.argmax())
    return Farthest(lane=int(lanes.lane_of(points[worst : worst + 1, lanes.axis])[0]), distance_m=float(away[worst]), reach_m=reach)
