"""A map over the floor's own base: filled bands between round levels, contour lines, the concrete around."""

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.contours import band_between, contours_of
from slabwright.geometry.drawing import area_of, outline_items, polygons_of
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.results.picture import Hatch, Item, Layer, Line
from slabwright.studies.grade.surface import Nodes
from slabwright.units import INCH_M, Family

Floats = NDArray[np.float64]

_US_STEPS = (INCH_M / 8, INCH_M / 4, INCH_M / 2, INCH_M, 2 * INCH_M)
_SI_STEPS = (0.002, 0.005, 0.010, 0.020, 0.050)
_MOST_BANDS = 10


def round_levels(low_m: float, high_m: float, family: Family) -> tuple[float, ...]:
    """Contour values that cover a range: steps of 1/8 to 2 in., or 2 to 50 mm. [m]"""
    steps = _US_STEPS if family is Family.US else _SI_STEPS
    step = next((one for one in steps if (high_m - low_m) / one <= _MOST_BANDS), steps[-1])
    first, last = int(np.floor(low_m / step + 1e-9)), int(np.ceil(high_m / step - 1e-9))
    return tuple(step * number for number in range(first, max(last, first + 1) + 1))


def ground_items(foundation: Foundation) -> list[Item]:
    """Form line, and edge, strips and pads as hatched concrete."""
    items: list[Item] = []
    for part in foundation.parts:
        if part.kind is not PartKind.FLOOR:
            seen = shapely.intersection(part.skirt, foundation.region)
            items += [area_of(piece, Layer.CONCRETE_HIDDEN, hatch=Hatch.SPARSE) for piece in polygons_of(seen)]
    return items + outline_items(foundation)


def map_items(foundation: Foundation, nodes: Nodes, values: Floats, levels: tuple[float, ...]) -> list[Item]:
    """Filled bands between the levels over the floor's own base, and the contour lines.

    Parameters
    ----------
    foundation : Foundation
    nodes : Nodes
    values : (rows, columns) float
    levels : tuple of float
    """
    skirts = shapely.union_all([part.skirt for part in foundation.parts if part.kind is not PartKind.FLOOR])
    own = shapely.difference(foundation.region, skirts)
    contours = contours_of(nodes.xs, nodes.ys, values)
    items: list[Item] = []
    for number, (low, high) in enumerate(pairwise(levels)):
        for piece in polygons_of(shapely.intersection(band_between(contours, low, high), own)):
            items.append(area_of(piece, Layer.MAP, value=(number + 0.5) / (len(levels) - 1)))
    for level in levels[1:-1]:
        for points in contours.lines(level):
            for piece in shapely.get_parts(shapely.intersection(shapely.LineString(points), own)):
                if piece.length > 0.2:
                    items.append(
                        Line(layer=Layer.CONTOUR, points=tuple((float(x), float(y)) for x, y in shapely.get_coordinates(piece)), weight=0.6)
                    )
    return items


def carried_out(values: Floats) -> Floats:
    """A table with NaN filled as at the nearest cell that is known."""
    from scipy.ndimage import distance_transform_edt

    nearest = distance_transform_edt(np.isnan(values), return_distances=False, return_indices=True)
    return np.asarray(values[tuple(np.asarray(nearest))])
