"""What the joint layout is made from: where lines are lost, where they may run, how far apart."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.concrete import Floor
from slabwright.model.ground import PipeKind
from slabwright.model.job import Job, MinimumRules
from slabwright.model.loads import Post
from slabwright.model.supply import JointWishes
from slabwright.solvers.partition import Islands
from slabwright.solvers.partition.corners import re_entrant
from slabwright.standards import aci_302_1r
from slabwright.studies.joints.drying import Drying
from slabwright.studies.joints.isolation import islands, parted_pads
from slabwright.studies.joints.spacing import Spacing, spacing_of
from slabwright.units import INCH_M

Floats = NDArray[np.float64]

CLEARANCE_M = 3 * INCH_M
"""Distance a line keeps from the skirt of a pad or strip: common practice, no source."""
PIPE_CLEARANCE_M = 2 * INCH_M
"""Distance a line keeps from a pipe or bolt: common practice, no source."""
SMALL_BLOCK_OUT_M = 1.2
"""A block-out with no side longer than this is left to bars at its corners; common practice, no source."""
_US_STEP_M = 6 * INCH_M
_SI_STEP_M = 0.100
_SI_SETTING_STEP_M = 0.010


@dataclass(frozen=True, slots=True, kw_only=True)
class JointGround:
    """The floor as the joint layout sees it.

    Attributes
    ----------
    region : Polygon
        Outline less large block-outs. [m]
    dead_parts : tuple of geometry
        Where a line is lost: skirts of pads and strips with their clearance, pipes, bolts.
    dead : geometry
        All of them.
    posts : tuple of Post
        Those that isolation joints part from the floor.
    islands : Islands
        Their boxes, at whose corners lines end.
    corners : tuple of points
        Re-entrant corners of the outline and of large block-outs.
    spacing : Spacing
        How far apart joints may stand, and by which rule.
    edge_skirt_m : float
        Width of the edge in plan, sloped face included. [m]
    step_m, setting_step_m : float
        Grid on which lines are offered, and to which those of a skewed floor are set out. [m]
    """

    region: shapely.Polygon
    dead_parts: tuple[BaseGeometry, ...]
    dead: BaseGeometry
    posts: tuple[Post, ...]
    islands: Islands
    corners: tuple[tuple[float, float], ...]
    floor: Floor
    wishes: JointWishes
    spacing: Spacing
    edge_skirt_m: float
    step_m: float
    setting_step_m: float
    channels: tuple[tuple[tuple[float, float], ...], ...]

    @classmethod
    def of(cls, job: Job, foundation: Foundation) -> "JointGround":
        """Read a job and its shape."""
        holes = [ring for ring in job.floor.block_outs if max(np.ptp(np.asarray(ring), axis=0)) > SMALL_BLOCK_OUT_M]
        region = shapely.Polygon(foundation.outline.exterior.coords, holes)
        us = job.codes.minimums is MinimumRules.US_CODES
        edge = job.edge
        thinnest = min([job.floor.thickness_m, *(part.thickness_m for part in job.floor.thickness_regions)])
        posts = tuple(post for post in job.posts if post.isolated and region.covers(shapely.Point(post.at)))
        middles = islands(posts)
        open_boxes = shapely.union_all(shapely.buffer(shapely.points(middles.at), middles.reach))
        dead = tuple(one.difference(open_boxes) for one in _dead(foundation, job))
        dead = tuple(one for one in dead if not one.is_empty)
        return cls(
            region=region,
            dead_parts=dead,
            dead=shapely.union_all(dead) if dead else shapely.Polygon(),
            posts=posts,
            islands=middles,
            corners=tuple(re_entrant_corners(region)),
            floor=job.floor,
            wishes=job.joints,
            spacing=spacing_of(job, Drying.of(job)),
            edge_skirt_m=0.0 if edge is None else edge.width_m + edge.run * max(edge.depth_m - thinnest, 0.0),
            step_m=_US_STEP_M if us else _SI_STEP_M,
            setting_step_m=INCH_M if us else _SI_SETTING_STEP_M,
            channels=tuple(pipe.run for pipe in job.pipes if pipe.kind is PipeKind.CHANNEL and len(pipe.run) > 1),
        )

    @property
    def cap_m(self) -> float:
        """Greatest spacing whatever the thickness. [m]"""
        return self.spacing.cap_m

    def spacing_at(self, x: float, y: float, thicknesses: float | None = None) -> float:
        """Greatest joint spacing at a point; over a pad or strip that of the thickest floor, whose panel it belongs to. [m]"""
        over = shapely.contains_xy(self.dead, x, y)
        thickness = self.thickest_m() if over else floor_thickness_m(self.floor, x, y)
        return min(self.cap_m, (thicknesses or self.spacing.n_thicknesses) * thickness)

    def greatest_aspect(self) -> float:
        """Longest over shortest side that a panel may have: what the job asks for, else the rule."""
        return self.wishes.max_aspect or aci_302_1r.GREATEST_ASPECT

    def least_corner_rad(self) -> float:
        """Corner of a panel below which it is sharp: what the job asks for, else the rule. [rad]"""
        return self.wishes.min_corner_rad or aci_302_1r.LEAST_CORNER_RAD

    def least_width_share(self) -> float:
        """Width of a panel over the spacing there, below which it is a sliver: what the job asks for, else the rule."""
        return self.wishes.min_width_share or aci_302_1r.LEAST_WIDTH_SHARE

    def thinnest_m(self) -> float:
        """Thinnest part of the floor. [m]"""
        return min([self.floor.thickness_m, *(part.thickness_m for part in self.floor.thickness_regions)])

    def thickest_m(self) -> float:
        """Thickest part of the floor, edge and pads not counted. [m]"""
        return max([self.floor.thickness_m, *(part.thickness_m for part in self.floor.thickness_regions)])


def floor_thickness_m(floor: Floor, x: float, y: float) -> float:
    """Thickness of the floor at a point, edge and pads not counted. [m]"""
    point = shapely.Point(x, y)
    for part in floor.thickness_regions:
        if shapely.Polygon(part.within).covers(point):
            return part.thickness_m
    return floor.thickness_m


def re_entrant_corners(region: shapely.Polygon) -> list[tuple[float, float]]:
    """Corners at which the concrete spans more than half a turn."""
    rings = [(region.exterior, False), *((hole, True) for hole in region.interiors)]
    return [(float(x), float(y)) for ring, is_hole in rings for (x, y), _, _ in re_entrant(ring, is_hole=is_hole)]


def _dead(foundation: Foundation, job: Job) -> tuple[BaseGeometry, ...]:
    parted = parted_pads(job, foundation)
    thick = [part for part in foundation.parts if part.kind in (PartKind.PAD, PartKind.STRIP) and part not in parted]
    shapes: list[BaseGeometry] = [part.skirt.buffer(CLEARANCE_M - 1e-6) for part in thick]
    for pipe in job.pipes:
        if pipe.riser and pipe.kind not in (PipeKind.CHANNEL, PipeKind.DRAIN):
            shapes.append(shapely.Point(pipe.run[-1]).buffer(pipe.diameter_m / 2 + pipe.wrap_thickness_m + PIPE_CLEARANCE_M))
    for embed in job.embeds:
        if embed.max_spacing_m is None:
            shapes += [shapely.Point(at).buffer(embed.diameter_m / 2 + PIPE_CLEARANCE_M) for at in embed.line]
    return tuple(shapes)
