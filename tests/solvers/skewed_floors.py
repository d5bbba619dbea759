"""Floors with skewed sides, invented for the tests; feet."""

import math

import shapely
from shapely import affinity


def _bent(angle_deg: float) -> list[tuple[float, float]]:
    """Two wings 36 ft long outside and 24 wide; the second turns left by the angle."""
    a = math.radians(angle_deg)
    run, (c, s) = 24 * math.tan(a / 2), (math.cos(a), math.sin(a))
    end = (run + 36 * c, 36 * s)
    return [(-36, 0), (run, 0), end, (end[0] - 24 * s, end[1] + 24 * c), (0, 24), (-36, 24)]


FLOORS = {
    "parallelogram": shapely.Polygon([(0, 0), (40, 0), (50, 28), (10, 28)]),
    "trapezoid": shapely.Polygon([(0, 0), (48, 0), (40, 28), (6, 28)]),
    "ell with a skewed side": shapely.Polygon([(0, 0), (56, 0), (52, 22), (28, 22), (28, 44), (0, 44)]),
    "wing at 30 degrees": shapely.Polygon(_bent(30)),
    "wing at 45 degrees": shapely.Polygon(_bent(45)),
    "hexagon": shapely.Polygon([(22 * math.cos(math.pi / 3 * k), 22 * math.sin(math.pi / 3 * k)) for k in range(6)]),
    "skewed notch": shapely.Polygon([(0, 0), (20, 0), (22, 8), (32, 8), (32, 0), (58, 0), (54, 34), (0, 34)]),
    "opening": shapely.Polygon([(0, 0), (52, 0), (48, 36), (0, 36)], [[(20, 12), (29, 12), (29, 21), (20, 21)]]),
    "cut corner": shapely.Polygon([(0, 0), (40, 0), (40, 22), (32, 30), (0, 30)]),
    "turned ell": affinity.rotate(shapely.Polygon([(0, 0), (60, 0), (60, 24), (32, 24), (32, 40), (0, 40)]), 17, origin=(0, 0)),
}
