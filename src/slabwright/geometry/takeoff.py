"""What is read off the shape for the order: volumes by part, contact areas, form faces, digging and base."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.polygon import orient

from slabwright.geometry.blocks import Array
from slabwright.geometry.foundation import Foundation, Part, PartKind
from slabwright.geometry.section import Run
from slabwright.geometry.soffit import integrals
from slabwright.model.concrete import Pad, PadShape

Point = tuple[float, float]
_HAIR_M = 1e-6


@dataclass(frozen=True, slots=True)
class PartVolume:
    """What one part adds to the concrete.

    Attributes
    ----------
    part : Part
    inside_m3 : float
        Within the form line, beyond the parts attributed before it. [m³]
    outside_m3 : float
        Outside the form line. [m³]
    """

    part: Part
    inside_m3: float
    outside_m3: float


@dataclass(frozen=True, slots=True)
class Volumes:
    """Concrete by part, overlaps counted once."""

    parts: tuple[PartVolume, ...]

    @property
    def total_m3(self) -> float:
        """All concrete. [m³]"""
        return math.fsum(one.inside_m3 + one.outside_m3 for one in self.parts)

    @property
    def outside_m3(self) -> float:
        """Concrete outside the form line. [m³]"""
        return math.fsum(one.outside_m3 for one in self.parts)

    def of_kind_m3(self, kind: PartKind) -> float:
        """What all parts of a kind add within the form line. [m³]"""
        return math.fsum(one.inside_m3 for one in self.parts if one.part.kind is kind)


@dataclass(frozen=True, slots=True)
class ContactArea:
    """Underside of one part against base or ground: level, and along its slopes. [m²]"""

    part: Part
    level_m2: float
    sloped_m2: float


@dataclass(frozen=True, slots=True)
class FormFace:
    """A stretch of form, at the form line or round a block-out.

    Attributes
    ----------
    start, end : Point
        [m]
    start_height_m, end_height_m : float
        From the top of the floor down to the underside, or to the concrete that stands outside. [m]
    block_out : bool
    """

    start: Point
    end: Point
    start_height_m: float
    end_height_m: float
    block_out: bool

    @property
    def length_m(self) -> float:
        """[m]"""
        return math.dist(self.start, self.end)

    @property
    def area_m2(self) -> float:
        """[m²]"""
        return 0.5 * self.length_m * (self.start_height_m + self.end_height_m)


@dataclass(frozen=True, slots=True)
class RectangleReckoning:
    """What a reckoning with plain rectangles gives: no slopes, no mitres, overlaps counted twice, nothing outside. [m³]"""

    floor_m3: float
    strips_m3: float
    edge_m3: float
    pads_m3: float

    @property
    def total_m3(self) -> float:
        """[m³]"""
        return self.floor_m3 + self.strips_m3 + self.edge_m3 + self.pads_m3


def volumes(foundation: Foundation) -> Volumes:
    """Volume by part; see :class:`~slabwright.geometry.foundation.Foundation` for the order."""
    slab = foundation.parts[0].below
    inside = {**foundation.soffit.added_m3, 0: float(integrals(slab.pieces, slab.planes).sum())}
    outside = foundation.outside.added_m3
    return Volumes(tuple(PartVolume(part, inside.get(k, 0.0), outside.get(k, 0.0)) for k, part in enumerate(foundation.parts)))


def rectangle_only(foundation: Foundation) -> RectangleReckoning:
    """The concrete as lengths times widths times depths below the floor, edge along the form line, pads straight down."""
    floor, edge = foundation.floor, foundation.edge
    slab = foundation.parts[0].below
    strips = sum(
        sum(math.dist(a, b) for a, b in pairwise(strip.line)) * strip.width_m * max(0.0, strip.depth_m - floor.thickness_m)
        for strip in foundation.strips
    )
    ring = foundation.outline.length * edge.width_m * max(0.0, edge.depth_m - floor.thickness_m) if edge is not None else 0.0
    pads = sum(_plan_area_m2(pad) * max(0.0, pad.depth_m - floor.thickness_m) for pad in foundation.pads)
    return RectangleReckoning(float(integrals(slab.pieces, slab.planes).sum()), strips, ring, pads)


def _plan_area_m2(pad: Pad) -> float:
    return pad.size_x_m * pad.size_y_m * (math.pi / 4.0 if pad.shape is PadShape.CIRCLE else 1.0)


def contact_areas(foundation: Foundation) -> tuple[ContactArea, ...]:
    """Underside of each part, as far as it is the deepest; the floor counts as level."""
    level, sloped = np.zeros(len(foundation.parts)), np.zeros(len(foundation.parts))
    for soffit in (foundation.soffit, foundation.outside):
        is_level = np.all(soffit.planes[:, :2] == 0.0, axis=1) | (soffit.owners == 0)
        areas = soffit.true_areas_m2()
        np.add.at(level, soffit.owners[is_level], areas[is_level])
        np.add.at(sloped, soffit.owners[~is_level], areas[~is_level])
    return tuple(ContactArea(part, float(level[k]), float(sloped[k])) for k, part in enumerate(foundation.parts))


def form_faces(foundation: Foundation) -> tuple[FormFace, ...]:
    """Every stretch of form with its height, along the form line and round the block-outs.

    Read a thousandth of a millimetre within the concrete, so that a step right at a form shows on the side it belongs to.
    """
    faces = _faces_along(foundation, np.asarray(foundation.outline.exterior.coords), block_out=False)
    for ring in foundation.floor.block_outs:
        corners = np.asarray(orient(shapely.Polygon(ring), sign=-1.0).exterior.coords)
        faces += _faces_along(foundation, corners, block_out=True)
    return tuple(faces)


def _faces_along(foundation: Foundation, ring: Array, *, block_out: bool) -> list[FormFace]:
    """Forms along a ring that has the concrete on its left."""
    faces: list[FormFace] = []
    for start, end in pairwise(ring):
        length = float(np.hypot(*(end - start)))
        if length <= _HAIR_M:
            continue
        along = (end - start) / length
        inward = _HAIR_M * np.array([-along[1], along[0]])
        within = foundation.section(_point(start + inward), _point(end + inward))
        beyond = foundation.section(_point(start - inward), _point(end - inward)) if not block_out else None
        stood = [(run.along_m[0], run.along_m[-1], run.top_m) for run in beyond.runs] if beyond is not None else []
        for run in within.runs:
            for low, high, low_height, high_height in _heights(run, stood):
                ends = _point(start + low * along), _point(start + high * along)
                faces.append(FormFace(*ends, low_height, high_height, block_out))
    return faces


def _point(place: Array) -> Point:
    return float(place[0]), float(place[1])


def _heights(run: Run, stood: list[tuple[float, float, float]]) -> Iterator[tuple[float, float, float, float]]:
    """Stretches of even or evenly changing height: where concrete stands outside, the form ends on top of it."""
    breaks = np.unique(np.concatenate([run.along_m, [place for low, high, _ in stood for place in (low, high)]]))
    breaks = breaks[(breaks >= run.along_m[0]) & (breaks <= run.along_m[-1])]
    for low, high in pairwise(breaks.tolist()):
        if high - low <= 2.0 * _HAIR_M:
            continue
        middle = 0.5 * (low + high)
        k = int(np.searchsorted(run.along_m, middle)) - 1
        rate = (run.bottom_m[k + 1] - run.bottom_m[k]) / (run.along_m[k + 1] - run.along_m[k])
        tops = [top for a, b, top in stood if a < middle < b]
        heights = [min([float(run.bottom_m[k] + rate * (place - run.along_m[k])), *tops]) for place in (low, high)]
        yield low, high, heights[0], heights[1]


def upright_m2(foundation: Foundation) -> float:
    """Upright faces cut in the ground: sides of pads, edges and strips, but not what forms hold. [m²]"""
    mesh = foundation.solid().to_mesh64()
    corners = np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts).astype(np.int64)]
    normals = 0.5 * np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(normals, axis=1)
    upright = np.abs(normals[:, 2]) <= 1e-9 * areas
    return max(0.0, float(areas[upright].sum()) - math.fsum(face.area_m2 for face in form_faces(foundation)))
