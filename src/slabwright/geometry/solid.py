"""The concrete as one watertight body, joined from the floor, the blocks below it and the concrete outside the form line.

The joining is done by a library for exact-minded booleans on closed meshes, in double precision. The take-off does not
rest on it: the body is for drawing, exchange and as a second opinion on every volume.
"""

from collections.abc import Sequence

import numpy as np
import shapely
from manifold3d import Error, Manifold, Mesh64, OpType, triangulate
from shapely import Polygon
from shapely.geometry.polygon import orient

from slabwright.errors import GeometryError
from slabwright.geometry.blocks import Array, Block
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.overlay import Area, as_area, as_array, without
from slabwright.geometry.surface import least_thickness_m

_SPECK = 1e-12
_AGREEMENT = 1e-9


def solid(foundation: Foundation) -> Manifold:
    """The whole body, x and y in plan, z = 0 at the top of the floor and down to minus the depth. [m]

    Falls are left out: they shift each plumb line as a whole (see ``Foundation.drop_m``).

    Raises
    ------
    GeometryError
        If the pieces do not join to a closed body of the volume that the take-off has.
    """
    bodies = [*_slab(foundation), _below(foundation), *_outside(foundation)]
    wanted_m3 = foundation.volumes().total_m3
    for join in (_together, _one_by_one):
        whole = join(bodies)
        if whole.status() == Error.NoError and abs(whole.volume() - wanted_m3) <= _AGREEMENT * wanted_m3:
            return _cleared(whole)
    raise GeometryError("the parts do not join to a closed body; look for sides that all but touch.")


def _slab(foundation: Foundation) -> list[Manifold]:
    """The floor by itself."""
    slab = foundation.parts[0].below
    return [_column(piece, plane) for piece, plane in zip(slab.pieces, slab.planes, strict=True)]


def _below(foundation: Foundation) -> Manifold:
    """All blocks, cut once along the form line and the block-outs; they reach halfway into the floor."""
    roof_m = 0.5 * least_thickness_m(foundation.floor)
    hung = []
    for block in (block for part in foundation.parts for block in part.blocks):
        body = _hung(block, roof_m)
        hung.append(body if block.within is None else body ^ _room(block.within, foundation))
    return _together(hung) ^ _room(foundation.region, foundation)


def _outside(foundation: Foundation) -> list[Manifold]:
    """Pads that stand out beyond the form line, straight up from their bottoms to the top of the concrete outside."""
    bodies, cut_out = [], as_area(without(as_array([foundation.outline]), foundation.region)[0])
    for part in foundation.parts:
        if part.kind is PartKind.PAD and not foundation.outline.covers(part.bottom):
            body = _column(part.blocks[0].foot, np.array([0.0, 0.0, part.depth_m]), part.outside_top_m)
            bodies.append(body - _room(cut_out, foundation) if cut_out.intersects(part.bottom) else body)
    return bodies


def _room(plan: Area, foundation: Foundation) -> Manifold:
    """All space over and under a plan."""
    deep = np.array([0.0, 0.0, 1.0 + max(part.depth_m for part in foundation.parts)])
    return _together([_column(piece, deep, -1.0) for piece in shapely.get_parts(plan)])


def _together(bodies: Sequence[Manifold]) -> Manifold:
    return Manifold.batch_boolean(list(bodies), OpType.Add)


def _one_by_one(bodies: Sequence[Manifold]) -> Manifold:
    """The slower way, which copes with walls that coincide in several bodies at once."""
    whole = Manifold()
    for body in bodies:
        whole += body
        whole.volume()
    return whole


def _cleared(whole: Manifold) -> Manifold:
    """The body without sheets of no thickness that coincident walls may leave."""
    bodies = [body for body in whole.decompose() if abs(body.volume()) > _SPECK * whole.volume()]
    return bodies[0] if len(bodies) == 1 else Manifold.compose(bodies)


def _hung(block: Block, roof_m: float) -> Manifold:
    """A convex block from its faces up to a level within the floor."""
    corners = [_lowered(shapely.get_coordinates(facet.domain), np.asarray(facet.plane)) for facet in block.facets]
    under = np.concatenate(corners)
    over = np.column_stack([under[:, :2], np.full(len(under), -roof_m)])
    return Manifold.hull_points(np.concatenate([under, over]))


def _column(polygon: Polygon, plane: Array, top_m: float = 0.0) -> Manifold:
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
