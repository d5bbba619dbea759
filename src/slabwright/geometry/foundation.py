"""The foundation: one depth field made of floor, edge, strips and pads, and everything that can be read from it."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from slabwright.errors import GeometryError
from slabwright.geometry.blocks import Array, Block, Facet, edge_blocks, flattened, pad_block, strip_blocks
from slabwright.geometry.depth_field import DepthField
from slabwright.geometry.overlay import Area, Integers, as_array, shared, together, without
from slabwright.geometry.soffit import Soffit
from slabwright.geometry.surface import drop_m, floor_facets, least_thickness_m, outline_of, region_of
from slabwright.model.concrete import Edge, Floor, Pad, Strip

if TYPE_CHECKING:
    from manifold3d import Manifold

    from slabwright.geometry.section import Section
    from slabwright.geometry.takeoff import Volumes

Point = tuple[float, float]


class PartKind(Enum):
    """What a part of the foundation is; the order is that in which volumes are attributed."""

    FLOOR = "floor"
    STRIP = "strip"
    EDGE = "edge"
    PAD = "pad"


@dataclass(frozen=True, kw_only=True, eq=False)
class Part:
    """One part of the foundation.

    Attributes
    ----------
    name : str
    kind : PartKind
    depth_m : float
        From the top of the floor to its lowest underside. [m]
    bottom : Polygon or MultiPolygon
        Plan of its level bottom: of a pad all of it, of the others what lies within the floor.
    outside_top_m : float
        Depth of the top of its concrete outside the form line. [m]
    blocks : tuple of Block
        Uncut; empty for the floor.
    faces : tuple of tuple of Facet
        Undersides within the floor, block by block.
    below : Soffit
        The underside of the floor slab, from which it hangs.
    """

    name: str
    kind: PartKind
    depth_m: float
    bottom: Area
    outside_top_m: float = 0.0
    blocks: tuple[Block, ...] = field(default=(), repr=False)
    faces: tuple[tuple[Facet, ...], ...] = field(repr=False)
    below: Soffit = field(repr=False)

    @cached_property
    def skirt(self) -> Area:
        """Plan of where the part is deeper than the floor, its sloped faces included; empty for the floor."""
        if not self.blocks:
            return MultiPolygon()
        return together(self.below.deeper(*flattened([facet for faces in self.faces for facet in faces]))[0])


@dataclass(frozen=True, kw_only=True, eq=False)
class Foundation:
    """A monolithic slab: thickness is the greatest of floor, edge, strips and pads at each place, less the block-outs.

    Depths count from the top of the floor straight above, so falls move each plumb line as a whole and change no
    thickness. Volumes are attributed in one order: the floor slab; what strips add below it; what the edge adds below
    both; what pads add below all three; last the concrete of pads outside the form line.

    Attributes
    ----------
    floor, edge, strips, pads
        As given.
    outline : Polygon
        Form line, counter-clockwise.
    region : Polygon or MultiPolygon
        The floor in plan: outline less block-outs.
    parts : tuple of Part
        Floor, strips, edge, pads, in the order of attribution.
    """

    floor: Floor
    edge: Edge | None
    strips: tuple[Strip, ...]
    pads: tuple[Pad, ...]
    outline: Polygon
    region: Area
    parts: tuple[Part, ...]

    @classmethod
    def of(cls, floor: Floor, edge: Edge | None = None, strips: Sequence[Strip] = (), pads: Sequence[Pad] = ()) -> "Foundation":
        """Build the shape.

        Raises
        ------
        GeometryError
            For an outline that crosses itself, a block-out that leaves nothing, a part with nothing under the floor.
        """
        outline = outline_of(floor)
        region = region_of(floor, outline)
        shapely.prepare(outline)
        shapely.prepare(region)
        least = least_thickness_m(floor)
        facets = tuple(floor_facets(floor, region))
        below = Soffit.flat(facets)
        parts = [Part(name="floor", kind=PartKind.FLOOR, depth_m=floor.thickness_m, bottom=region, faces=(facets,), below=below)]
        for strip in strips:
            parts.append(_part(strip.name, PartKind.STRIP, strip.depth_m, strip_blocks(strip, least), region, below))
        if edge is not None:
            ring = np.asarray(outline.exterior.coords)[:-1]
            parts.append(_part("edge", PartKind.EDGE, edge.depth_m, edge_blocks(ring, edge, least), region, below))
        grade = edge.top_above_grade_m if edge is not None else 0.0
        for pad in pads:
            whole = _part(pad.name, PartKind.PAD, pad.depth_m, [pad_block(pad, least)], region, below)
            top = pad.outside_top_m if pad.outside_top_m is not None else grade
            parts.append(replace(whole, bottom=whole.blocks[0].foot, outside_top_m=top))
        return cls(floor=floor, edge=edge, strips=tuple(strips), pads=tuple(pads), outline=outline, region=region, parts=tuple(parts))

    def thickness_m(self, points: NDArray[np.float64] | Sequence[Point]) -> Array:
        """Thickness of concrete at points; 0 in block-outs and where there is none.

        Outside the form line the concrete of a pad counts from its own top there.

        Parameters
        ----------
        points : (n, 2) array
            [m]

        Returns
        -------
        (n,) array
            [m]
        """
        return self.field.at(np.asarray(points, dtype=float))[0]

    def part_at(self, points: NDArray[np.float64] | Sequence[Point]) -> Integers:
        """Number in :attr:`parts` of the part that is deepest at each point; -1 where there is no concrete."""
        return self.field.at(np.asarray(points, dtype=float))[1]

    def drop_m(self, points: NDArray[np.float64] | Sequence[Point]) -> Array:
        """How far the top lies below the finished floor level at points, where the floor falls to a drain. [m]"""
        return drop_m(self.floor, np.asarray(points, dtype=float).reshape(-1, 2))

    @cached_property
    def field(self) -> DepthField:
        """Thickness as triangles; made once."""
        facets = [facet for part in self.parts for block in part.faces for facet in block]
        polygons, planes = flattened(facets)
        owners = np.repeat(np.arange(len(self.parts)), [sum(map(len, part.faces)) for part in self.parts])
        beyond = self.outside
        return DepthField.of(
            np.concatenate([polygons, beyond.pieces]),
            np.concatenate([planes, beyond.planes - beyond.roofs]),
            np.concatenate([owners, beyond.owners]),
        )

    @cached_property
    def soffit(self) -> Soffit:
        """The underside within the form line, as plane pieces side by side."""
        soffit = self.parts[0].below
        for kind in (PartKind.STRIP, PartKind.EDGE, PartKind.PAD):
            soffit = soffit.lowered(
                [(number, faces) for number, part in enumerate(self.parts) if part.kind is kind for faces in part.faces]
            )
        return soffit

    @cached_property
    def outside(self) -> Soffit:
        """The underside of pads outside the form line; its roofs are the tops of that concrete.

        There the sides of a pad are cut upright, straight up from its bottom: a slope would only be bought.
        """
        blocks: list[tuple[int, list[Facet]]] = []
        ground: list[Facet] = []
        taken: Area = self.outline
        for number, part in sorted(enumerate(self.parts), key=lambda one: one[1].outside_top_m):
            if part.kind is not PartKind.PAD or self.outline.covers(part.bottom):
                continue
            foot = as_array([part.bottom])
            blocks.append((number, [Facet(piece, (0.0, 0.0, part.depth_m)) for piece in without(foot, self.outline)[0]]))
            ground += [Facet(piece, (0.0, 0.0, part.outside_top_m)) for piece in without(foot, taken)[0]]
            taken = together(as_array([taken, part.bottom]))
        soffit = Soffit.flat(ground, owner=-1).lowered(blocks)
        return soffit.only(soffit.owners >= 0)

    def volumes(self) -> "Volumes":
        """Volume by part, overlaps counted once."""
        from slabwright.geometry.takeoff import volumes

        return volumes(self)

    def below_m3(self, beyond_m: float) -> float:
        """Concrete within the form line that reaches more than ``beyond_m`` below the underside of the floor. [m³]"""
        return self.soffit.volume_m3(beyond_m)

    def section(self, start: Point, end: Point) -> "Section":
        """The concrete along a straight cut, with exact breakpoints."""
        from slabwright.geometry.section import section

        return section(self, start, end)

    def solid(self) -> "Manifold":
        """The whole as one watertight body below a level top at z = 0; falls are left out, see :meth:`drop_m`."""
        from slabwright.geometry.solid import solid

        return solid(self)


def _part(name: str, kind: PartKind, depth_m: float, blocks: list[Block], region: Area, below: Soffit) -> Part:
    faces = tuple(facets for block in blocks if (facets := _cut_to(region, block)))
    if not faces:
        what = f"{kind.value} {name}" if name != kind.value else f"the {name}"
        raise GeometryError(f"{what} has nothing under the floor; check its place and its size.")
    bottom = together(as_array([facet.domain for facets in faces for facet in facets if facet.plane[:2] == (0.0, 0.0)]))
    return Part(name=name, kind=kind, depth_m=depth_m, bottom=bottom, blocks=tuple(blocks), faces=faces, below=below)


def _cut_to(region: Area, block: Block) -> tuple[Facet, ...]:
    plans, planes = flattened(block.facets)
    if block.within is None and shapely.covers(region, plans).all():
        return block.facets
    pieces, index = shared(plans, region)
    if block.within is not None:
        pieces, kept = shared(pieces, block.within)
        index = index[kept]
    return tuple(Facet(piece, tuple(plane)) for piece, plane in zip(pieces, planes[index], strict=True))
