"""What meets what: bars, pipes and bolts too near to each other or to the outside, mesh and bars in reach of the saw."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.overlay import Area
from slabwright.model.ground import Pipe, PipeKind, Wrap
from slabwright.model.steel import Bars, Face, Zone
from slabwright.pause import pause
from slabwright.studies.bars.order import Placed
from slabwright.studies.bars.paths import Point
from slabwright.studies.bars.verify import Lap
from slabwright.studies.bars.windows import LAP_CLEARANCE_M
from slabwright.studies.steel_clashes.solids import Array, Capsule, Kind, distance_m

_TOUCH_M = 0.002
_STEP_M = 0.6
_AROUND = 8
_RISES = (0.0, math.radians(45.0), math.radians(90.0))
COVER_PLAY_M = 0.003
"""Cover found less by this is rounding of the drawing. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meet:
    """Two things too near to each other, with the remedy.

    Attributes
    ----------
    what : str
        Kind of meeting, such as ``bolt against bar``.
    one, other : str
    at : (x, y, depth)
        Of the worst place. [m]
    found_m, needed_m : float
        Clear distance or cover there. [m]
    remedy : str
    places : int
        How many places are like it.
    """

    what: str
    one: str
    other: str
    at: tuple[float, float, float]
    found_m: float
    needed_m: float
    remedy: str
    places: int = 1

    @property
    def short_m(self) -> float:
        """What is missing. [m]"""
        return self.needed_m - self.found_m


def gathered(meets: Iterable[Meet]) -> tuple[Meet, ...]:
    """Meetings of the same two things as one, at the worst place, with their number."""
    groups: dict[tuple[str, ...], list[Meet]] = {}
    for meet in meets:
        groups.setdefault((meet.what, *sorted((meet.one, meet.other))), []).append(meet)
    return tuple(replace(max(mine, key=lambda meet: meet.short_m), places=len(mine)) for mine in groups.values())


def near_each_other(pieces: Sequence[Capsule], clear_m: float) -> Iterator[Meet]:
    """Pairs of bars, pipes and bolts with too little concrete between them, the nearest place of each pair.

    Bars of one set lie as their spacing says and lap; bars that cross and touch are tied. Two bars of different sets
    that run into each other, or lie side by side too close, are told.

    Parameters
    ----------
    pieces : sequence of Capsule
    clear_m : float
        Least clear distance. [m]
    """
    reach = max((one.radius_m for one in pieces), default=0.0) + clear_m
    tree = shapely.STRtree([_in_plan(one) for one in pieces])
    lines = tree.geometries
    first, second = tree.query(lines, predicate="dwithin", distance=2 * reach)
    worst: dict[tuple[int, int], tuple[float, tuple[float, float, float], Capsule, Capsule]] = {}
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        one, other = pieces[i], pieces[j]
        if one.owner >= other.owner or (one.kind is Kind.BAR and one.group == other.group) or not _may_clash(one, other):
            continue
        pause()
        clear, at = distance_m(one, other)
        needed = -_TOUCH_M if _crosses(one, other) else clear_m
        key = (one.owner, other.owner)
        if clear < needed - 1e-6 and (key not in worst or clear < worst[key][0]):
            worst[key] = (clear, at, one, other)
    for clear, at, one, other in worst.values():
        needed = 0.0 if _crosses(one, other) else clear_m
        yield Meet(
            what=f"{other.kind.value} against {one.kind.value}" if other.kind is not Kind.BAR else "bar against bar",
            one=one.name, other=other.name, at=at, found_m=clear, needed_m=needed, remedy=_remedy(other, needed - clear),
        )  # fmt: skip


def _in_plan(one: Capsule) -> shapely.Geometry:
    """A line, or a point for what stands upright."""
    a, b = one.start[:2], one.end[:2]
    return shapely.Point(a) if math.dist(a, b) < 1e-9 else LineString([a, b])


def _may_clash(one: Capsule, other: Capsule) -> bool:
    return not (one.kind is not Kind.BAR and one.kind is other.kind)


def _crosses(one: Capsule, other: Capsule) -> bool:
    """Bars across one another may touch: they are tied."""
    if one.kind is not Kind.BAR or other.kind is not Kind.BAR:
        return False
    u, v = np.subtract(one.end, one.start), np.subtract(other.end, other.start)
    lengths = float(np.linalg.norm(u) * np.linalg.norm(v))
    return lengths < 1e-12 or abs(float(u @ v)) < 0.9 * lengths


def _remedy(other: Capsule, short_m: float) -> str:
    move = f"{1000 * short_m:.0f} mm ({short_m / 0.0254:.2g} in.)"
    if other.kind is Kind.BOLT:
        return f"Move the bolt along its wall, or tie the bar {move} aside."
    if other.kind is Kind.PIPE:
        return f"Tie the bar {move} aside before the pipe is wrapped, or move the pipe."
    return f"Set one of the two {move} higher or aside, or leave out the one that the other replaces."


def too_near_outside(placed: Sequence[Placed], sets: Sequence[Bars], foundation: Foundation) -> Iterator[Meet]:
    """Bars with less concrete around them than their set asks for: measured in all directions, along the whole bar.

    Parameters
    ----------
    placed : sequence of Placed
    sets : sequence of Bars
    foundation : Foundation
    """
    for one in placed:
        if one.wanted.zone is Zone.JOINT_DOWELS:
            continue
        asked = sets[one.wanted.asked]
        radius = one.wanted.rules.bar.diameter_m / 2
        least, at = _least_cover(_along(one), one.path.depth_m, radius, asked.cover_m, foundation)
        if least < asked.cover_m - COVER_PLAY_M:
            yield Meet(
                what="cover", one=f"{asked.size} in the {asked.zone.value}, {one.wanted.where}", other="outside of the concrete",
                at=(float(at[0]), float(at[1]), one.path.depth_m), found_m=least, needed_m=asked.cover_m,
                remedy="Shorten or shift the bar, or bend its end into the concrete.",
            )  # fmt: skip


def _along(one: Placed) -> Array:
    """Points along a bar; the first and last a radius inside its ends, which are cut square."""
    line, radius = LineString(one.path.rounded()), one.wanted.rules.bar.diameter_m / 2
    n = max(2, math.ceil(line.length / _STEP_M) + 1)
    places = np.linspace(radius, max(radius, line.length - radius), n)
    return np.asarray(shapely.get_coordinates(shapely.line_interpolate_point(line, places)))


def _away() -> Array:
    """Directions away from a bar and downwards, as unit vectors; one of those that go straight down is enough."""
    turns = [2.0 * math.pi * k / _AROUND for k in range(_AROUND)]
    level = [(math.cos(rise), turn, math.sin(rise)) for rise in _RISES for turn in (turns if math.cos(rise) > 1e-6 else turns[:1])]
    return np.array([(flat * math.cos(turn), flat * math.sin(turn), down) for flat, turn, down in level])


_AWAY = _away()


def _least_cover(points: Array, depth: float, radius: float, wanted: float, foundation: Foundation) -> tuple[float, Array]:
    """Smallest cover among points of a bar, looked for in steps up to what is wanted; top cover counts too."""
    best = np.zeros(len(points))
    for cover in np.linspace(wanted, 0.0, 7)[:-1]:
        short = best == 0.0
        if not short.any():
            break
        far = radius + cover - 1e-4
        looked_at = points[short, None] + far * _AWAY[:, :2]
        underside, _ = _underside_m(looked_at.reshape(-1, 2), foundation)
        good = underside.reshape(looked_at.shape[:2]) >= depth + far * _AWAY[:, 2] - 1e-6
        best[short] = np.where(good.all(axis=1), cover, 0.0)
    best = np.minimum(best, depth - radius - _underside_m(points, foundation)[1])
    worst = int(np.argmin(best))
    return float(best[worst]), points[worst]


def _underside_m(points: Array, foundation: Foundation) -> tuple[Array, Array]:
    """Depth of the underside and of the top of the concrete at points; pads stand lower outside the form line. [m]"""
    thickness = foundation.thickness_m(points)
    top = np.zeros(len(points))
    outside = ~shapely.contains_xy(foundation.outline, points[:, 0], points[:, 1]) & (thickness > 0.0)
    if outside.any():
        for part in foundation.parts:
            if part.kind is PartKind.PAD:
                mine = outside & shapely.contains_xy(part.bottom, points[:, 0], points[:, 1])
                top[mine] = part.outside_top_m
    return thickness + top, top


def names_through(pieces: Sequence[Capsule], mesh: Area, depth_m: float) -> dict[Kind, tuple[str, ...]]:
    """Pipes and rows of bolts that pass through the mesh, each once, by kind.

    Parameters
    ----------
    pieces : sequence of Capsule
    mesh : Polygon or MultiPolygon
        What it covers. [m]
    depth_m : float
        Of the mesh below the top of the floor. [m]
    """
    found: dict[Kind, dict[str, None]] = {Kind.PIPE: {}, Kind.BOLT: {}}
    for one in pieces:
        high, low = sorted((one.start[2], one.end[2]))
        if one.kind is Kind.BAR or not high - one.radius_m <= depth_m <= low + one.radius_m:
            continue
        if LineString([one.start[:2], one.end[:2]]).buffer(one.radius_m).intersects(mesh):
            found[one.kind][one.name] = None
    return {kind: tuple(names) for kind, names in found.items()}


def in_reach_of_the_saw(
    placed: Sequence[Placed],
    sets: Sequence[Bars],
    joints: Sequence[tuple[tuple[float, float], tuple[float, float], float]],
    mesh_cover_m: float | None,
) -> Iterator[Meet]:
    """Top steel that a saw-cut would touch, each set once at the joint where it is worst.

    Parameters
    ----------
    placed : sequence of Placed
    sets : sequence of Bars
    joints : sequence of (start, end, depth of cut)
        [m]
    mesh_cover_m : float or None
        Top cover of the mesh. [m]
    """
    if joints and mesh_cover_m is not None:
        start, end, depth = max(joints, key=lambda joint: joint[2])
        if depth > mesh_cover_m + 1e-6:
            at = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, mesh_cover_m)
            yield Meet(
                what="saw against mesh", one="mesh", other="saw-cut", at=at, found_m=mesh_cover_m, needed_m=depth,
                remedy="Lower the mesh, or let the engineer agree to a mesh that is cut or left out at the joints.",
            )  # fmt: skip
    for number, asked in enumerate(sets):
        if asked.face is not Face.TOP or asked.zone is Zone.JOINT_DOWELS:
            continue
        for start, end, depth in joints:
            if depth <= asked.cover_m + 1e-6:
                continue
            cut = LineString([start, end])
            hit = next((one for one in placed if one.wanted.asked == number and LineString(one.path.corners).intersects(cut)), None)
            if hit is not None:
                place = LineString(hit.path.corners).intersection(cut).centroid
                yield Meet(
                    what="saw against bar", one=f"{asked.size} in the {asked.zone.value}", other="saw-cut",
                    at=(place.x, place.y, hit.path.depth_m), found_m=asked.cover_m, needed_m=depth,
                    remedy="Lower the bar below the cut, or stop the cut short of it.",
                )  # fmt: skip
                break


def at_joints(laps: Sequence[Lap], joints: Mapping[str, tuple[Point, Point]]) -> Iterator[Meet]:
    """Laps of bars that a joint crosses, or comes nearer to than it should.

    Parameters
    ----------
    laps : sequence of Lap
    joints : mapping
        Ends of each joint by its name. [m]
    """
    for lap in laps:
        if lap.crossed:
            middle = LineString(lap.ends).interpolate(0.5, normalized=True)
            clear = LineString(lap.ends).distance(LineString(joints[lap.crossed]))
            yield Meet(
                what="joint at a lap", one=f"{lap.size} in {lap.where}", other=lap.crossed, at=(middle.x, middle.y, lap.depth_m),
                found_m=clear, needed_m=LAP_CLEARANCE_M, remedy="Shift the bars along until the lap is clear of the joint.",
            )  # fmt: skip


def bare_pipes(pipes: Sequence[Pipe], foundation: Foundation) -> Iterator[Meet]:
    """Pipes gripped by the concrete: no wrap where they rise through it."""
    for pipe in pipes:
        if pipe.riser and pipe.kind is not PipeKind.CHANNEL and pipe.wrap is Wrap.NONE:
            x, y = pipe.run[-1]
            if float(foundation.thickness_m([(x, y)])[0]) > 0.0:
                yield Meet(
                    what="pipe without wrap", one=pipe.name, other="concrete", at=(x, y, 0.0), found_m=0.0, needed_m=0.0064,
                    remedy="Wrap it in foam or set a sleeve, so that floor and pipe move apart.",
                )  # fmt: skip


def pipes_in_beams(pipes: Sequence[Pipe], foundation: Foundation) -> Iterator[tuple[Pipe, str]]:
    """Pipes that pass or rise through edge, strips or pads, with the part they weaken."""
    for pipe in pipes:
        line = LineString(pipe.run) if len(pipe.run) > 1 else shapely.Point(pipe.run[0])
        for part in foundation.parts:
            if part.kind is PartKind.FLOOR:
                continue
            rises = pipe.riser and part.bottom.covers(shapely.Point(pipe.run[-1]))
            passes = len(pipe.run) > 1 and pipe.depth_m is not None and pipe.depth_m < part.depth_m and line.intersects(part.bottom)
            if rises or passes:
                yield pipe, part.name if part.kind is PartKind.EDGE else f"{part.kind.value} {part.name}"
