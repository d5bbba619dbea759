"""Areas and volumes of plain shapes, exact."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import arithmetic

FRUSTUM = arithmetic("frustum of a pyramid or cone, V = h/3 (A1 + A2 + sqrt(A1 A2))")
SHOELACE = arithmetic("area and centroid of a polygon from its corners")


@published("frustum-volume", FRUSTUM, validity="Ends parallel and similar, such as a square, round or evenly sloped pad.")
def frustum_volume_m3(*, bottom_area_m2: float, top_area_m2: float, height_m: float, working: Working | None = None) -> float:
    """Volume between two parallel ends of one shape, such as a pad with sloped sides.

    Parameters
    ----------
    bottom_area_m2, top_area_m2 : float
        [m²]
    height_m : float
        [m]

    Returns
    -------
    float
        [m³]

    Raises
    ------
    OutOfRange
        For an area or a height below nought.

    Notes
    -----
    An oblong pad whose four sides slope alike is no frustum of a pyramid: its ends are not similar. Use the prismoid.

    Examples
    --------
    >>> round(frustum_volume_m3(bottom_area_m2=16.0, top_area_m2=4.0, height_m=3.0), 9)
    28.0
    """
    if min(bottom_area_m2, top_area_m2, height_m) < 0:
        raise OutOfRange("areas and height must not be below nought.")
    return (working or Working()).line(
        "V = h/3*(A_1 + A_2 + sqrt(A_1*A_2))", "m³", h=(height_m, "m"), A_1=(bottom_area_m2, "m²"), A_2=(top_area_m2, "m²")
    )


@dataclass(frozen=True, slots=True)
class PolygonMeasures:
    """What a polygon measures.

    Attributes
    ----------
    area_m2 : float
        [m²]
    perimeter_m : float
        [m]
    centroid_x_m, centroid_y_m : float
        [m]
    counter_clockwise : bool
        Sense in which the corners were given.
    """

    area_m2: float
    perimeter_m: float
    centroid_x_m: float
    centroid_y_m: float
    counter_clockwise: bool


@published("polygon-area", SHOELACE, validity="Sides that do not cross each other; a hole is given as a second polygon.")
def polygon_measures(
    *, corners_m: Sequence[tuple[float, float]], hole_m: Sequence[tuple[float, float]] = (), working: Working | None = None
) -> PolygonMeasures:
    """Area, perimeter and centroid of a polygon, less one hole.

    Parameters
    ----------
    corners_m : sequence of (float, float)
        In order, either way round. [m]
    hole_m : sequence of (float, float)
        Corners of a hole within it; its sides count to the perimeter. [m]

    Returns
    -------
    PolygonMeasures

    Raises
    ------
    OutOfRange
        For fewer than three corners or no area.
    """
    area, x, y = _moments(corners_m)
    rings = [corners_m]
    if hole_m:
        hole_area, hole_x, hole_y = _moments(hole_m)
        (working or Working()).line("A = A_o - A_h", "m²", A_o=(abs(area), "m²"), A_h=(abs(hole_area), "m²"))
        sign = math.copysign(1.0, area) * math.copysign(1.0, hole_area)
        area, x, y = area - sign * hole_area, x - sign * hole_x, y - sign * hole_y
        rings.append(hole_m)
    if not abs(area) > 0.0:
        raise OutOfRange("the corners enclose no area; give them in order, going round.")
    perimeter = math.fsum(math.dist(one, other) for ring in rings for one, other in zip(ring, (*ring[1:], ring[0]), strict=True))
    return PolygonMeasures(abs(area), perimeter, x / area, y / area, area > 0.0)


def _moments(ring: Sequence[tuple[float, float]]) -> tuple[float, float, float]:
    """Signed area and its first moments; about the first corner, so that a plan far from the origin loses no digits."""
    if len(ring) < 3:
        raise OutOfRange(f"a polygon needs three corners or more (got {len(ring)}).")
    x0, y0 = ring[0]
    local = [(x - x0, y - y0) for x, y in ring]
    crosses = [(a * d - c * b, a + c, b + d) for (a, b), (c, d) in zip(local, (*local[1:], local[0]), strict=True)]
    area = 0.5 * math.fsum(cross for cross, _, _ in crosses)
    x = math.fsum(cross * mean for cross, mean, _ in crosses) / 6.0 + area * x0
    y = math.fsum(cross * mean for cross, _, mean in crosses) / 6.0 + area * y0
    return area, x, y
