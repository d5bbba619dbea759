"""A map over the floor's own base: filled bands between round levels, contour lines, the concrete around."""

from itertools import pairwise
from typing import Any

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.results.picture import Area, Hatch, Item, Layer, Line
from slabwright.studies.grade.surface import Nodes
from slabwright.units import INCH_M, Family

Floats = NDArray[np.float64]
Ring = tuple[tuple[float, float], ...]

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
            for piece in _polygons(shapely.intersection(part.skirt, foundation.region)):
                items.append(_area(piece, Layer.CONCRETE_HIDDEN, hatch=Hatch.SPARSE))
    for piece in _polygons(foundation.region):
        items.append(Line(layer=Layer.CONCRETE_CUT, points=_ring(piece.exterior), closed=True))
        items += [Line(layer=Layer.CONCRETE_CUT, points=_ring(hole), closed=True) for hole in piece.interiors]
    return items


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
    fill = contourpy.FillType.OuterOffset
    generator: Any = contourpy.contour_generator(nodes.xs, nodes.ys, values, fill_type=fill)
    items: list[Item] = []
    for number, (low, high) in enumerate(pairwise(levels)):
        for piece in _polygons(shapely.intersection(_band(generator, low, high), own)):
            items.append(_area(piece, Layer.MAP, value=(number + 0.5) / (len(levels) - 1)))
    for level in levels[1:-1]:
        for points in generator.lines(level):
            for piece in shapely.get_parts(shapely.intersection(shapely.LineString(points), own)):
                if piece.length > 0.2:
                    items.append(Line(layer=Layer.CONTOUR, points=tuple(map(_point, shapely.get_coordinates(piece))), weight=0.6))
    return items


def _band(generator: Any, low: float, high: float) -> shapely.Geometry:
    rings, offsets = generator.filled(low, high)
    polygons = [
        shapely.Polygon(points[cuts[0] : cuts[1]], [points[a:b] for a, b in pairwise(cuts[1:])])
        for points, cuts in zip(rings, offsets, strict=True)
    ]
    return shapely.union_all([shapely.make_valid(polygon) for polygon in polygons])


def carried_out(values: Floats) -> Floats:
    """A table with NaN filled as at the nearest cell that is known."""
    nearest = distance_transform_edt(np.isnan(values), return_distances=False, return_indices=True)
    return np.asarray(values[tuple(np.asarray(nearest))])


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    return [piece for piece in shapely.get_parts(shape) if isinstance(piece, shapely.Polygon) and piece.area > 1e-4]


def _area(piece: shapely.Polygon, layer: Layer, *, hatch: Hatch = Hatch.NONE, value: float | None = None) -> Area:
    holes = tuple(_ring(hole) for hole in piece.interiors)
    return Area(layer=layer, outline=_ring(piece.exterior), holes=holes, hatch=hatch, value=value, outlined=value is None)


def _ring(ring: shapely.Geometry) -> Ring:
    return tuple(map(_point, shapely.get_coordinates(ring)[:-1]))


def _point(place: Floats) -> tuple[float, float]:
    return float(place[0]), float(place[1])
