"""What holds each post down: pad, edge, skirt, floor and soil, each weighed on its own line."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.foundation import Foundation, Part, PartKind
from slabwright.geometry.overlay import as_array
from slabwright.geometry.soffit import integrals
from slabwright.geometry.takeoff import Volumes
from slabwright.model.job import Job
from slabwright.standards import slab_collapse
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.edge_section import EdgeSection
from slabwright.studies.bearing.stand import Stand
from slabwright.units import FORCE, STANDARD_GRAVITY_M_S2, Family, format_quantity

_WATER_N_M3 = 1000.0 * STANDARD_GRAVITY_M_S2


@dataclass(frozen=True, slots=True, kw_only=True)
class BallastLine:
    """One part of the ballast of a post.

    Attributes
    ----------
    part : str
    how : str
        How it was reckoned, and what ties it to the post.
    weight_n : float
        [N]
    counted : bool
        False where it is shown and not relied on.
    """

    part: str
    how: str
    weight_n: float
    counted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HangingFloor:
    """The floor where it hangs from a pad that is lifted.

    Attributes
    ----------
    moment_nm_m, weight_pa : float
        Bending strength with tension at the top; own weight. [N·m/m], [Pa]
    reach_m : float
        How far it hangs as a cantilever under 1.2 times its own weight. [m]
    hangs_by : str
    """

    moment_nm_m: float
    weight_pa: float
    reach_m: float
    hangs_by: str

    @classmethod
    def of(cls, moment_nm_m: float, weight_pa: float, hangs_by: str) -> "HangingFloor":
        """The floor with the reach that its strength gives."""
        reach = math.sqrt(2 * moment_nm_m / (1.2 * weight_pa))
        return cls(moment_nm_m=moment_nm_m, weight_pa=weight_pa, reach_m=reach, hangs_by=hangs_by)


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeReach:
    """Edge that hangs on a pad. [m]

    Attributes
    ----------
    before_m, after_m : float
        Counted along the form line, both ways round.
    hang_m : float
        Longest that the edge can hang on one side.
    """

    before_m: float
    after_m: float
    hang_m: float

    @property
    def length_m(self) -> float:
        """Both sides. [m]"""
        return self.before_m + self.after_m


def edge_reaches(foundation: Foundation, section: EdgeSection | None) -> dict[str, EdgeReach]:
    """For each pad that meets the edge: half the edge to its neighbours, as far as it can hang."""
    edge = next((part for part in foundation.parts if part.kind is PartKind.EDGE), None)
    if edge is None or section is None:
        return {}
    ring = foundation.outline.exterior
    spans = [(part.name, *span) for part in foundation.parts if part.kind is PartKind.PAD and (span := _span(part, edge, ring)) is not None]
    spans.sort(key=lambda one: one[1])
    total = ring.length
    found = {}
    for k, (name, start, end) in enumerate(spans):
        if len(spans) == 1:
            gap_before = gap_after = total - (end - start)
        else:
            gap_before = (start - spans[k - 1][2]) % total
            gap_after = (spans[(k + 1) % len(spans)][1] - end) % total
        hang = section.hang_m
        found[name] = EdgeReach(before_m=min(gap_before / 2, hang), after_m=min(gap_after / 2, hang), hang_m=hang)
    return found


def _span(pad: Part, edge: Part, ring: shapely.LinearRing) -> tuple[float, float] | None:
    """Stretch of the form line that a pad takes up, as distances along it; the end may lie beyond the start point."""
    meet = pad.bottom.intersection(edge.bottom)
    if meet.area < 1e-6:
        return None
    points = shapely.get_coordinates(meet)
    places = np.sort(np.array([ring.project(shapely.Point(point)) for point in points]))
    gaps = np.diff(np.append(places, places[0] + ring.length))
    widest = int(np.argmax(gaps))
    start = float(places[(widest + 1) % len(places)])
    end = float(places[widest])
    return start, end if end >= start else end + ring.length


def skirt_volumes_m3(foundation: Foundation, volumes: Volumes) -> dict[str, float]:
    """Concrete of the sloped sides round each pad, beyond floor, edge and the pad's own upright body. [m³]"""
    pads = [(number, part) for number, part in enumerate(foundation.parts) if part.kind is PartKind.PAD]
    if not any(pad.run > 0 for pad in foundation.pads):
        return {}
    bare = foundation.parts[0].below
    for kind in (PartKind.STRIP, PartKind.EDGE):
        blocks = [(number, faces) for number, part in enumerate(foundation.parts) if part.kind is kind for faces in part.faces]
        bare = bare.lowered(blocks)
    planes = np.array([(0.0, 0.0, part.depth_m) for _, part in pads])
    below, which, above = bare.deeper(as_array([part.bottom for _, part in pads]), planes)
    upright = np.bincount(which, weights=integrals(below, planes[which] - bare.planes[above]), minlength=len(pads))
    inside = {one.part.name: one.inside_m3 for one in volumes.parts if one.part.kind is PartKind.PAD}
    return {part.name: max(0.0, inside[part.name] - float(upright[k])) for k, (_, part) in enumerate(pads)}


def ballast_of(
    stand: Stand, desk: Desk, reach: EdgeReach | None, section: EdgeSection | None, skirt_m3: float, floor: HangingFloor | None
) -> tuple[BallastLine, ...]:
    """The ballast of one post, surest part first."""
    job, outline = desk.job, desk.foundation.outline
    gravity = stand.density_kg_m3 * STANDARD_GRAVITY_M_S2
    lines = [BallastLine(part="pad", how="its bottom straight up to the floor", weight_n=stand.weight_n, counted=True)]
    if reach is not None and section is not None and reach.length_m > 0:
        lines.append(
            BallastLine(
                part="edge", how=f"below the floor, half way to the next pad each way; it hangs as {section.hangs_by}",
                weight_n=reach.length_m * section.below_floor_m2 * gravity, counted=True,
            )
        )  # fmt: skip
    if skirt_m3 > 0:
        lines.append(BallastLine(part="skirt", how="sloped sides cast with the pad", weight_n=skirt_m3 * gravity, counted=True))
    if floor is not None and floor.reach_m > 0 and not stand.post.isolated:
        lines.append(_floor_line(stand, floor, outline))
    soil = _soil_above_n(stand, job, outline)
    if soil > 0:
        lines.append(BallastLine(part="soil", how="straight above concrete outside the forms", weight_n=soil, counted=False))
    water = _buoyancy_n(stand, job)
    if water > 0:
        lines.append(BallastLine(part="groundwater", how="buoyancy of the part below it", weight_n=-water, counted=True))
    return tuple(lines)


def _floor_line(stand: Stand, floor: HangingFloor, outline: shapely.Polygon) -> BallastLine:
    """The floor that hangs on a pad, no more than it holds before it folds along yield lines."""
    x, y = stand.sides_m
    hangs = _cross_m2(stand, floor.reach_m, outline) * floor.weight_pa
    fan = slab_collapse.lifted_floor(moment_nm_m=floor.moment_nm_m, weight_pa=floor.weight_pa, pad_radius_m=math.sqrt(x * y / math.pi))
    disc = shapely.Point(stand.pad.at).buffer(fan.radius_m)
    folds = fan.load_n * float((disc & outline).area / disc.area)
    unit = "lb" if stand.family is Family.US else "kN"
    limit = f"it would fold along yield lines at {format_quantity(folds, FORCE, stand.family, unit=unit, digits=2)}"
    how = f"straight out from its sides as far as {floor.hangs_by} can hang, {limit}; a joint cut nearer frees it"
    return BallastLine(part="floor", how=how, weight_n=min(hangs, folds), counted=False)


def _cross_m2(stand: Stand, reach_m: float, outline: shapely.Polygon) -> float:
    """Floor straight out from the four sides of a pad, within the form line; its corners hang on nothing. [m²]"""
    x, y = stand.sides_m
    if outline.exterior.distance(shapely.Point(stand.pad.at)) > math.hypot(x, y) / 2 + reach_m:
        return 2 * reach_m * (x + y)
    cross = shapely.box(-x / 2 - reach_m, -y / 2, x / 2 + reach_m, y / 2) | shapely.box(-x / 2, -y / 2 - reach_m, x / 2, y / 2 + reach_m)
    around = shapely.transform(cross - shapely.box(-x / 2, -y / 2, x / 2, y / 2), lambda points: _placed(points, stand))
    return float(around.intersection(outline).area)


def _placed(points: NDArray[np.float64], stand: Stand) -> NDArray[np.float64]:
    cos, sin = math.cos(stand.pad.rotation_rad), math.sin(stand.pad.rotation_rad)
    found: NDArray[np.float64] = points @ np.array([[cos, sin], [-sin, cos]]) + np.array(stand.pad.at)
    return found


def _soil_above_n(stand: Stand, job: Job, outline: shapely.Polygon) -> float:
    """Soil on the concrete outside the form line, up to outside grade. [N]"""
    top = stand.pad.outside_top_m
    if top is None or top <= stand.grade_m:
        return 0.0
    x, y = stand.sides_m
    foot = shapely.transform(shapely.box(-x / 2, -y / 2, x / 2, y / 2), lambda points: _placed(points, stand))
    outside = float(foot.difference(outline).area)
    return outside * (top - stand.grade_m) * job.soil.unit_weight_kg_m3 * STANDARD_GRAVITY_M_S2


def _buoyancy_n(stand: Stand, job: Job) -> float:
    """Uplift of water on the part of the pad below groundwater. [N]"""
    water = job.place.groundwater_depth_m
    if water is None:
        return 0.0
    wet = max(0.0, stand.pad.depth_m - stand.grade_m - water)
    x, y = stand.sides_m
    return x * y * wet * _WATER_N_M3


def counted_n(lines: Sequence[BallastLine]) -> float:
    """Ballast that is relied on. [N]"""
    return sum(line.weight_n for line in lines if line.counted)
