"""Best plane through heights at places."""

from dataclasses import dataclass

import numpy as np

from slabwright.errors import OutOfRange
from slabwright.solvers.least_squares import Floats


@dataclass(frozen=True, slots=True, eq=False)
class PlaneOfHeights:
    """height = level + slope_x (x - centre_x) + slope_y (y - centre_y).

    Attributes
    ----------
    centre : (2,) float
        Middle of the places.
    level, slope_x, slope_y : float
    residuals : (n,) float
        Height minus plane.
    """

    centre: Floats
    level: float
    slope_x: float
    slope_y: float
    residuals: Floats

    def at(self, points: Floats) -> Floats:
        """Heights of the plane at points, (n, 2) to (n,)."""
        away = np.asarray(points, dtype=float) - self.centre
        return np.asarray(self.level + away @ np.array([self.slope_x, self.slope_y]))


def plane_of_heights(points: Floats, heights: Floats) -> PlaneOfHeights:
    """Least-squares plane; level or tilted one way only where the places do not tell more.

    Parameters
    ----------
    points : (n, 2) float
    heights : (n,) float

    Raises
    ------
    OutOfRange
        Without a height.
    """
    points, heights = np.asarray(points, dtype=float), np.asarray(heights, dtype=float)
    if not len(heights):
        raise OutOfRange("a plane needs a height.")
    centre = points.mean(axis=0)
    terms = np.column_stack([np.ones(len(points)), points - centre])
    (level, slope_x, slope_y), *_ = np.linalg.lstsq(terms, heights, rcond=1e-9)
    residuals = heights - terms @ np.array([level, slope_x, slope_y])
    return PlaneOfHeights(centre, float(level), float(slope_x), float(slope_y), residuals)
