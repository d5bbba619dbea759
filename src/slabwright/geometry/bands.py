"""A plan shape seen in level bands: where it is occupied between two ordinates, how long a level line in it is."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, box

from slabwright.geometry.overlay import Area

Interval = tuple[float, float]
_SAME_M = 1e-7


def turned(area: Area) -> Area:
    """The shape with x and y exchanged; turning twice gives it back."""
    return shapely.transform(area, lambda points: points[:, ::-1])


def levels(area: Area) -> tuple[float, ...]:
    """Ordinates of all its corners, each once, ascending. [m]"""
    ordinates = np.unique(np.round(shapely.get_coordinates(area)[:, 1], 7))
    return tuple(float(one) for one in ordinates)


def occupied(area: Area, low: float, high: float) -> tuple[Interval, ...]:
    """The stretches of x that the shape takes up anywhere between two ordinates.

    Parameters
    ----------
    area : Polygon or MultiPolygon
    low, high : float
        [m]

    Returns
    -------
    tuple of (from, to)
        Ascending; stretches that touch are one. [m]
    """
    west, _, east, _ = area.bounds
    parts = shapely.get_parts(shapely.intersection(area, box(west - 1.0, low, east + 1.0, high)))
    spans = sorted((part.bounds[0], part.bounds[2]) for part in parts if isinstance(part, Polygon) and part.area > 1e-9)
    merged: list[Interval] = []
    for start, end in spans:
        if merged and start <= merged[-1][1] + _SAME_M:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return tuple(merged)


def level_length_m(area: Area, ordinates: Sequence[float]) -> NDArray[np.float64]:
    """Length of a level line within the shape at each ordinate; along a side of the shape, half of that side. [m]"""
    west, _, east, _ = area.bounds
    lengths = np.zeros(len(ordinates))
    for shift in (-_SAME_M, _SAME_M):
        lines = shapely.linestrings([[(west - 1.0, y + shift), (east + 1.0, y + shift)] for y in ordinates])
        lengths += 0.5 * shapely.length(shapely.intersection(lines, area))
    return lengths
