"""The soffit: the underside of the concrete as plane pieces that lie side by side, each with the part that forms it.

It is built by letting one part after another down from the floor: where the new part is deeper it takes over, and the
volume between the old and the new underside is what that part adds. Every figure of the take-off is an integral over
the pieces and exact to rounding.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.blocks import Array, Facet, flattened
from slabwright.geometry.overlay import Geometries, Integers, as_array, covered_by, shared, without

_SAME_DEPTH_M = 1e-12


@dataclass(frozen=True, eq=False)
class Soffit:
    """Plane pieces of underside that do not overlap.

    Attributes
    ----------
    pieces : (n,) array of Polygon
    planes : (n, 3) array
        Depth below the top of the floor, ``a x + b y + c``. [m]
    roofs : (n, 3) array
        The plane from which thickness counts as added: the underside of the floor, or the top of concrete outside the
        form line. [m]
    owners : (n,) array of int
        Number of the part that forms each piece.
    added_m3 : Mapping from part number to float
        What each part added when it was let down. [m³]
    """

    pieces: Geometries
    planes: Array
    roofs: Array
    owners: Integers
    added_m3: Mapping[int, float]

    @classmethod
    def flat(cls, facets: Sequence[Facet], owner: int = 0) -> "Soffit":
        """The starting underside: pieces that already lie side by side."""
        pieces, planes = flattened(facets)
        return cls(pieces, planes, planes.copy(), np.full(len(pieces), owner, dtype=np.int64), {})

    def lowered(self, blocks: Sequence[tuple[int, Sequence[Facet]]]) -> "Soffit":
        """The underside after blocks are let down into it, in as many turns as they overlap each other.

        Parameters
        ----------
        blocks : sequence of (int, sequence of Facet)
            The number of the part a block belongs to, and its faces, which lie side by side.
        """
        if not blocks:
            return self
        pieces, planes = flattened([facet for _, faces in blocks for facet in faces])
        block_of = np.repeat(np.arange(len(blocks)), [len(faces) for _, faces in blocks])
        owners = np.array([owner for owner, _ in blocks], dtype=np.int64)[block_of]
        soffit, turns = self, _turns(pieces, block_of)
        for turn in range(int(turns.max()) + 1):
            now = turns == turn
            soffit = soffit._lowered_once(pieces[now], planes[now], owners[now])
        return soffit

    def deeper(self, facets: Geometries, planes: Array) -> tuple[Geometries, Integers, Integers]:
        """Where facets lie below this underside: polygons, the number of the facet and of the piece above each."""
        new, old = self.tree.query(facets, predicate="intersects")
        common, index = shared(facets[new], self.pieces[old])
        new, old = new[index], old[index]
        below, index = where_positive(common, planes[new] - self.planes[old])
        return below, new[index], old[index]

    def _lowered_once(self, facets: Geometries, planes: Array, owners: Integers) -> "Soffit":
        below, new, old = self.deeper(facets, planes)
        added = dict(self.added_m3)
        for owner, volume in zip(owners[new].tolist(), integrals(below, planes[new] - self.planes[old]).tolist(), strict=True):
            added[owner] = added.get(owner, 0.0) + volume
        kept, index = _left(self.pieces, below, old)
        return Soffit(
            np.concatenate([kept, below]),
            np.concatenate([self.planes[index], planes[new]]),
            np.concatenate([self.roofs[index], self.roofs[old]]),
            np.concatenate([self.owners[index], owners[new]]),
            added,
        )

    def only(self, chosen: NDArray[np.bool_]) -> "Soffit":
        """Some of the pieces."""
        return Soffit(self.pieces[chosen], self.planes[chosen], self.roofs[chosen], self.owners[chosen], self.added_m3)

    @cached_property
    def tree(self) -> shapely.STRtree:
        """Finds pieces by place."""
        return shapely.STRtree(self.pieces)

    def areas_m2(self) -> Array:
        """Plan area of each piece. [m²]"""
        return np.asarray(shapely.area(self.pieces), dtype=float)

    def true_areas_m2(self) -> Array:
        """Area of each piece along its slope. [m²]"""
        steepness: Array = np.sqrt(1.0 + self.planes[:, 0] ** 2 + self.planes[:, 1] ** 2)
        return self.areas_m2() * steepness

    def volume_m3(self, beyond_m: float = 0.0) -> float:
        """Volume below the plane that lies ``beyond_m`` under the roofs. [m³]"""
        gain = self.planes - self.roofs - np.array([0.0, 0.0, beyond_m])
        deeper, index = where_positive(self.pieces, gain)
        return float(integrals(deeper, gain[index]).sum())


def integrals(polygons: Geometries, planes: Array) -> Array:
    """Integral of ``a x + b y + c`` over each polygon: its area times the value at its centroid."""
    if not len(polygons):
        return np.zeros(0)
    centres = shapely.get_coordinates(shapely.centroid(polygons))
    values: Array = np.asarray(shapely.area(polygons)) * (np.sum(planes[:, :2] * centres, axis=1) + planes[:, 2])
    return values


def where_positive(polygons: Geometries, planes: Array) -> tuple[Geometries, Integers]:
    """Parts of polygons on which ``a x + b y + c`` is above nought, and the number of the polygon each comes from."""
    if not len(polygons):
        return polygons, np.zeros(0, dtype=np.int64)
    points, number = shapely.get_coordinates(polygons, return_index=True)
    values = np.sum(planes[number, :2] * points, axis=1) + planes[number, 2]
    starts = np.searchsorted(number, np.arange(len(polygons)))
    high, low = np.maximum.reduceat(values, starts), np.minimum.reduceat(values, starts)
    whole = (low >= -_SAME_DEPTH_M) & (high > _SAME_DEPTH_M)
    cut = np.flatnonzero((low < -_SAME_DEPTH_M) & (high > _SAME_DEPTH_M))
    halves = as_array([_half_plane(polygon, plane) for polygon, plane in zip(polygons[cut], planes[cut], strict=True)])
    pieces, index = shared(polygons[cut], halves)
    return np.concatenate([polygons[whole], pieces]), np.concatenate([np.flatnonzero(whole), cut[index]])


def _half_plane(polygon: shapely.Polygon, plane: Array) -> shapely.Polygon:
    """A rectangle that covers the positive side of a plane as far as the polygon reaches."""
    west, south, east, north = polygon.bounds
    middle = np.array([0.5 * (west + east), 0.5 * (south + north)])
    reach = east - west + north - south
    steepness = float(np.hypot(plane[0], plane[1]))
    up = plane[:2] / steepness
    across = np.array([-up[1], up[0]])
    foot = middle - (float(plane[:2] @ middle) + plane[2]) / steepness * up
    foot = foot + float((middle - foot) @ across) * across
    return shapely.Polygon(
        [foot - reach * across, foot + reach * across, foot + reach * across + 2 * reach * up, foot - reach * across + 2 * reach * up]
    )


def _left(pieces: Geometries, taken: Geometries, number: Integers) -> tuple[Geometries, Integers]:
    """What is left of each piece when the polygons that carry its number are taken out."""
    changed = np.unique(number)
    order = np.argsort(number, kind="stable")
    groups = np.split(taken[order], np.searchsorted(number[order], changed)[1:])
    taken_together = as_array([covered_by(group) for group in groups[: len(changed)]])
    left, index = without(pieces[changed], taken_together)
    whole = np.ones(len(pieces), dtype=bool)
    whole[changed] = False
    return np.concatenate([pieces[whole], left]), np.concatenate([np.flatnonzero(whole), changed[index]])


def _turns(polygons: Geometries, block_of: Integers) -> Integers:
    """Number polygons so that no two of one number overlap; neighbours that only touch may share one."""
    one, other = shapely.STRtree(polygons).query(polygons)
    later = block_of[one] > block_of[other]
    one, other = one[later], other[later]
    close = shapely.intersects(polygons[one], polygons[other])
    one, other = one[close], other[close]
    overlap = np.unique(shared(polygons[one], polygons[other])[1])
    turns = np.zeros(len(polygons), dtype=np.int64)
    clashes: dict[int, list[int]] = {}
    for a, b in zip(one[overlap], other[overlap], strict=True):
        clashes.setdefault(int(a), []).append(int(b))
    for a in sorted(clashes):
        used = {int(turns[b]) for b in clashes[a]}
        turns[a] = next(turn for turn in range(len(used) + 1) if turn not in used)
    return turns
