"""Filled bands between contour levels, as polygons."""

from itertools import pairwise
from typing import Any

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]


def contours_of(x: Floats, y: Floats, values: Floats) -> Any:
    """Contours of values on a lattice: bands by :func:`band_between`, lines by its method ``lines``.

    Parameters
    ----------
    x, y : (nx,), (ny,) float
        [m]
    values : (ny, nx) float
        Masked where nothing is known.
    """
    return contourpy.contour_generator(x, y, values, fill_type=contourpy.FillType.OuterOffset, line_type=contourpy.LineType.Separate)


def band_between(contours: Any, low: float, high: float) -> BaseGeometry:
    """Where values lie between two levels."""
    rings, offsets = contours.filled(low, high)
    pieces = [
        shapely.Polygon(points[cuts[0] : cuts[1]], [points[a:b] for a, b in pairwise(cuts[1:])])
        for points, cuts in zip(rings, offsets, strict=True)
    ]
    return shapely.union_all([shapely.make_valid(one) for one in pieces])
