"""Set operations on plan shapes that do not fail on nearly touching sides.

In plain floating point an intersection of two polygons whose shared side differs in the last digit can come out
wrong without a word. Here every operation rounds its corners to a grid of powers of two, fine enough that a slab of a
hundred metres is held to half a picometre, on which the crossing of sides is decided exactly.
"""

import contextlib
import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

Geometries = NDArray[np.object_]
Integers = NDArray[np.int64]
Area = Polygon | MultiPolygon
LEAST_AREA_M2 = 1e-13
_GRID_BITS = 48


def shared(one: Geometries, other: Geometries | shapely.Geometry) -> tuple[Geometries, Integers]:
    """Polygons that shapes have in common, and the number of the shape in ``one`` each comes from.

    A shape that lies within the other is taken as it is.
    """
    shapely.prepare(other)
    cut = np.flatnonzero(~shapely.covers(other, one))
    whole = np.setdiff1d(np.arange(len(one)), cut)
    others = other[cut] if isinstance(other, np.ndarray) else other
    pieces, index = _polygons(shapely.intersection(one[cut], others, grid_size=_grid(one[cut], others)))
    return np.concatenate([one[whole], pieces]), np.concatenate([whole, cut[index]])


def without(one: Geometries, other: Geometries | shapely.Geometry) -> tuple[Geometries, Integers]:
    """Polygons left of shapes when others are taken out, and the number of the shape in ``one`` each comes from."""
    return _polygons(shapely.difference(one, other, grid_size=_grid(one, other)))


def together(shapes: Geometries) -> Area:
    """All shapes as one."""
    if len(shapes) <= 1:
        return as_area(shapes)
    return as_area(_polygons(as_array([shapely.union_all(shapes, grid_size=_grid(shapes))]))[0])


def covered_by(shapes: Geometries) -> Area:
    """The area that shapes cover which do not overlap; quick, but sides that only nearly meet may stay as slits without width."""
    with contextlib.suppress(shapely.GEOSException):
        quick = shapely.coverage_union_all(shapes)
        if quick.is_valid and math.isclose(quick.area, math.fsum(shapely.area(shapes)), rel_tol=1e-12):
            return as_area(_polygons(as_array([quick]))[0])
    return together(shapes)


def as_area(polygons: Iterable[Polygon]) -> Area:
    """Polygons that do not overlap, as one shape."""
    pieces = [piece for polygon in polygons for piece in shapely.get_parts(polygon)]
    return pieces[0] if len(pieces) == 1 else MultiPolygon(pieces)


def as_array(shapes: Sequence[shapely.Geometry]) -> Geometries:
    """Shapes as an array that the vectorised operations take."""
    array = np.empty(len(shapes), dtype=object)
    array[:] = shapes
    return array


def _grid(*shapes: Geometries | shapely.Geometry) -> float:
    largest = max(float(np.nanmax(np.abs(shapely.bounds(one)), initial=1.0)) for one in shapes)
    return math.ldexp(1.0, math.frexp(largest)[1] - _GRID_BITS)


def _polygons(geometries: Geometries) -> tuple[Geometries, Integers]:
    """Every polygon of a list of geometries that has an area, and the number of the geometry it comes from."""
    parts, index = shapely.get_parts(geometries, return_index=True)
    collections = shapely.get_type_id(parts) == shapely.GeometryType.GEOMETRYCOLLECTION
    if collections.any():
        inner, inner_index = shapely.get_parts(parts[collections], return_index=True)
        index = np.concatenate([index[~collections], index[collections][inner_index]])
        parts = np.concatenate([parts[~collections], inner])
    keep = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & (shapely.area(parts) > LEAST_AREA_M2)
    return parts[keep], index[keep].astype(np.int64)
