"""Each pipe as the plumber needs it: where it goes through, two ties, how much the floor moves on it, its rim."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.foundation import Foundation, Part, PartKind
from slabwright.model.ground import Pipe, PipeKind, Wrap
from slabwright.model.loads import Wall
from slabwright.units import LENGTH, Family, format_quantity

Place = tuple[float, float]

SHRINKAGE = 0.0005
"""Shortening of a floor against a pipe that stands still; common practice, no source. [-]"""
GIVE = {Wrap.FOAM: 0.5, Wrap.SLEEVE: 1.0, Wrap.TAPE: 0.25, Wrap.NONE: 0.0}
"""Fraction of a wrap's thickness by which it lets the pipe move: foam squeezed to half, the gap of a sleeve whole; no source."""
GRIPPED = (PipeKind.WATER, PipeKind.WASTE, PipeKind.GAS, PipeKind.CONDUIT, PipeKind.RADON)
"""Pipes that stand in the ground while the floor shrinks past them; drains are meant to be gripped."""
_LEAST_TURN = math.sin(math.radians(30))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A dimension square from a wall's face or a side of the slab. [m]"""

    to: str
    foot: Place
    distance_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """One pipe, conduit or drain.

    Attributes
    ----------
    pipe : Pipe
    at : Place
        Where it rises, or the end of its run. [m]
    outside_m : float
        How far that is outside the form line; 0 within. [m]
    through, beside : tuple of Part
        Edge, strips and pads whose bottom its run or riser meets in plan; those whose sloped side only.
    rises_in : PartKind
    gripped_m : float
        Concrete round the riser. [m]
    moves_m : float
        How far the floor shortens there. [m]
    ties : tuple of Tie
        Two, square to different lines, where there are two.
    rim_below_m : float or None
        Rim below the finished floor level at walls, for drains. [m]
    """

    pipe: Pipe
    at: Place
    outside_m: float
    through: tuple[Part, ...]
    beside: tuple[Part, ...]
    rises_in: PartKind
    gripped_m: float
    moves_m: float
    ties: tuple[Tie, ...]
    rim_below_m: float | None

    @property
    def is_drain(self) -> bool:
        """Whether the floor drains into it."""
        return self.pipe.kind in (PipeKind.DRAIN, PipeKind.CHANNEL)

    @property
    def gives_m(self) -> float:
        """Movement that its wrap takes. [m]"""
        return GIVE[self.pipe.wrap] * self.pipe.wrap_thickness_m

    @property
    def half_m(self) -> float:
        """Half of its outside diameter with its wrap. [m]"""
        return 0.5 * self.pipe.diameter_m + self.pipe.wrap_thickness_m


def service_of(pipe: Pipe, foundation: Foundation, walls: Sequence[Wall], panels: Sequence[shapely.Polygon]) -> Service:
    """Read one pipe off the plan."""
    at = pipe.run[-1]
    point = shapely.Point(at)
    line: BaseGeometry = shapely.LineString(pipe.run) if len(pipe.run) > 1 else point
    shape = line.buffer(0.5 * pipe.diameter_m)
    thick = float(foundation.thickness_m([at])[0])
    deep = [part for part in foundation.parts if part.kind is not PartKind.FLOOR]
    owner = int(foundation.part_at([at])[0])
    panel = next((one for one in panels if one.covers(point)), None)
    drop = float(foundation.drop_m([at])[0])
    drains = pipe.kind in (PipeKind.DRAIN, PipeKind.CHANNEL)
    return Service(
        pipe=pipe,
        at=at,
        outside_m=float(foundation.outline.distance(point)),
        through=tuple(one for one in deep if _meets(one.bottom, shape)),
        beside=tuple(one for one in deep if _meets(one.skirt, shape) and not _meets(one.bottom, shape)),
        rises_in=foundation.parts[owner].kind if owner >= 0 else PartKind.FLOOR,
        gripped_m=thick if pipe.riser else 0.0,
        moves_m=SHRINKAGE * float(panel.centroid.distance(point)) if panel is not None and pipe.riser else 0.0,
        ties=_ties(at, foundation, walls),
        rim_below_m=drop - (pipe.rim_m or 0.0) if drains else None,
    )


def _meets(area: BaseGeometry, shape: BaseGeometry) -> bool:
    return bool(area.intersection(shape).area > 1e-6)


def said(value_m: float, family: Family) -> str:
    """A length in words, in whole millimetres or centimetres where metric."""
    if family is Family.SI:
        value_m = round(value_m, 3 if abs(value_m) < 1 else 2)
    return format_quantity(value_m, LENGTH, family)


def _ties(at: Place, foundation: Foundation, walls: Sequence[Wall]) -> tuple[Tie, ...]:
    """The nearest line, and the nearest that is well turned against it; walls before sides of the slab."""
    point = shapely.Point(at)
    found = sorted(_lines(foundation, walls), key=lambda one: (one[2].distance(point) * (1.0 if one[1] else 1.5), one[0]))
    ties: list[tuple[Tie, Place]] = []
    for name, thickness, line in found:
        foot = line.interpolate(line.project(point))
        (x1, y1), (x2, y2) = line.coords[0], line.coords[-1]
        along = ((x2 - x1) / line.length, (y2 - y1) / line.length)
        square = abs((foot.x - at[0]) * along[0] + (foot.y - at[1]) * along[1]) < 1e-6
        turned = all(abs(along[0] * other[1] - along[1] * other[0]) > _LEAST_TURN for _, other in ties)
        gap = foot.distance(point) - 0.5 * thickness
        if square and turned and gap > 0:
            share = 0.5 * thickness / foot.distance(point)
            face = (foot.x + share * (at[0] - foot.x), foot.y + share * (at[1] - foot.y))
            ties.append((Tie(to=name, foot=face, distance_m=gap), along))
        if len(ties) == 2:
            break
    return tuple(tie for tie, _ in ties)


def _lines(foundation: Foundation, walls: Sequence[Wall]) -> Iterator[tuple[str, float, shapely.LineString]]:
    for wall in walls:
        for start, end in pairwise(wall.line):
            yield f"face of wall {wall.name}", wall.thickness_m, shapely.LineString((start, end))
    for start, end in pairwise(shapely.get_coordinates(foundation.outline.exterior)):
        yield f"{_side(start, end)} side of the slab", 0.0, shapely.LineString((start, end))


def _side(start: Sequence[float], end: Sequence[float]) -> str:
    """The outline runs counter-clockwise, so outside lies to the right."""
    out_x, out_y = end[1] - start[1], -(end[0] - start[0])
    if abs(out_x) >= abs(out_y):
        return "east" if out_x > 0 else "west"
    return "north" if out_y > 0 else "south"
