"""The concrete as one watertight body, joined from the floor, the blocks below it and the concrete outside the form line.

The joining is done by a library for exact-minded booleans on closed meshes, in double precision. The take-off does not
rest on it: the body is for drawing, exchange and as a second opinion on every volume.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np
import shapely
from manifold3d import Error, Manifold, Mesh64, OpType, triangulate
from shapely import Polygon
from shapely.geometry.polygon import orient

from slabwright.errors import GeometryError
from slabwright.geometry.blocks import Array, Block
from slabwright.geometry.surface import least_thickness_m, polygons_in

if TYPE_CHECKING:
    from slabwright.geometry.foundation import Foundation

_SPECK = 1e-12


def solid(foundation: "Foundation") -> Manifold:
    """The whole body, x and y in plan, z = 0 at the top of the floor and down to minus the depth. [m]

    Falls are left out: they shift each plumb line as a whole (see ``Foundation.drop_m``).

    Raises
    ------
    GeometryError
        If the pieces do not join to a closed body.
    """
    slab, beyond = foundation.parts[0].below, foundation.outside
    bodies = [_column(piece, plane, 0.0) for piece, plane in zip(slab.pieces, slab.planes, strict=True)]
    tall = np.array([0.0, 0.0, 1.0 + max(part.depth_m for part in foundation.parts)])
    room = _joined(_column(piece, tall, -1.0) for piece in polygons_in(foundation.region))
    roof_m = 0.5 * least_thickness_m(foundation.floor)
    for block in (block for part in foundation.parts for block in part.blocks):
        body = _hung(block, roof_m)
        if block.within is not None:
            body ^= _joined(_column(piece, tall, -1.0) for piece in polygons_in(block.within))
        inside = all(foundation.region.covers(facet.domain) for facet in block.facets)
        bodies.append(body if inside else body ^ room)
    bodies += [_column(piece, plane, top) for piece, plane, top in zip(beyond.pieces, beyond.planes, beyond.roofs[:, 2], strict=True)]
    whole = _joined(bodies)
    if whole.status() != Error.NoError or whole.is_empty():
        raise GeometryError(f"the parts do not join to a closed body ({whole.status().name}).")
    return _cleared(whole)


def _cleared(whole: Manifold) -> Manifold:
    """The body without sheets of no thickness that coincident walls may leave."""
    bodies = [body for body in whole.decompose() if body.volume() > _SPECK * whole.volume()]
    return bodies[0] if len(bodies) == 1 else Manifold.compose(bodies)


def _joined(bodies: Iterable[Manifold]) -> Manifold:
    return Manifold.batch_boolean(list(bodies), OpType.Add)


def _hung(block: Block, roof_m: float) -> Manifold:
    """A convex block from its faces up to a level within the floor."""
    corners = [_lowered(shapely.get_coordinates(facet.domain), np.asarray(facet.plane)) for facet in block.facets]
    under = np.concatenate(corners)
    over = np.column_stack([under[:, :2], np.full(len(under), -roof_m)])
    return Manifold.hull_points(np.concatenate([under, over]))


def _column(polygon: Polygon, plane: Array, top_m: float) -> Manifold:
    """A straight column over a polygon, from a level top down to the plane of its underside."""
    turned = orient(polygon)
    rings = [np.asarray(ring.coords)[:-1] for ring in (turned.exterior, *turned.interiors)]
    points, n = np.concatenate(rings), sum(map(len, rings))
    lid = triangulate(rings)
    here = np.arange(n)
    there = np.concatenate([np.roll(ring, -1) for ring in np.split(here, np.cumsum([len(ring) for ring in rings])[:-1])])
    walls = np.concatenate([np.column_stack([here + n, there + n, there]), np.column_stack([here + n, there, here])])
    triangles = np.concatenate([lid, lid[:, ::-1] + n, walls]).astype(np.uint64)
    vertices = np.concatenate([np.column_stack([points, np.full(n, -top_m)]), _lowered(points, plane)])
    return Manifold(Mesh64(vert_properties=vertices, tri_verts=triangles))


def _lowered(points: Array, plane: Array) -> Array:
    """Plan points on the plane of an underside."""
    return np.column_stack([points, -(points @ plane[:2] + plane[2])])
