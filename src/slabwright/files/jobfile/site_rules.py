"""Whether the parts of a job fit together on the ground: what cannot be, and what is doubtful."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.files.jobfile.outline import place
from slabwright.files.jobfile.positions import Path
from slabwright.model.concrete import Pad, PadShape
from slabwright.model.ground import Embed, Pipe
from slabwright.model.job import Job
from slabwright.units import LENGTH, format_quantity

Fault = tuple[Path, str]
Places = Mapping[tuple[str, int], Path]

_TOUCH_M = 0.001
_MANY_POINTS = 2000


def faults_of(job: Job, places: Places, unsound: frozenset[str] = frozenset()) -> list[Fault]:
    """What cannot be built as stated; sections named in ``unsound`` were not read and are not judged.

    Returns
    -------
    list of (path, str)
        Where, and what was found and what to do.
    """
    plan = _Plan(job, unsound)
    return [*_holes(plan), *_parts(plan), *_depths(plan), *_pads(plan, places), *_posts(plan, places), *_services(plan, places)]


def doubts_of(job: Job, places: Places, unsound: frozenset[str] = frozenset()) -> list[Fault]:
    """What can be built and is probably not meant."""
    plan = _Plan(job, unsound)
    return [*_size(plan), *_overhangs(plan, places), *_pipes_in_pads(plan, places), *_walls_and_grade(plan)]


def bottom_of(pad: Pad) -> shapely.Polygon:
    """Plan of a pad's bottom."""
    if pad.shape is PadShape.CIRCLE:
        return shapely.Point(pad.at).buffer(pad.size_x_m / 2, quad_segs=32)
    (x, y), cos, sin = pad.at, math.cos(pad.rotation_rad), math.sin(pad.rotation_rad)
    half_x, half_y = pad.size_x_m / 2, pad.size_y_m / 2
    corners = ((-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y))
    return shapely.Polygon([(x + a * cos - b * sin, y + a * sin + b * cos) for a, b in corners])


@dataclass(frozen=True)
class _Plan:
    """A job with its shapes on plan, made when first asked for."""

    job: Job
    unsound: frozenset[str]

    @cached_property
    def outline(self) -> shapely.Polygon:
        outline = shapely.Polygon(self.job.floor.outline)
        shapely.prepare(outline)
        return outline

    @cached_property
    def concrete(self) -> BaseGeometry:
        """Everything that is concrete on plan: floor without its holes, and pads outside the form line."""
        holes = shapely.union_all([shapely.Polygon(ring) for ring in self.job.floor.block_outs])
        return shapely.union_all([self.outline.difference(holes), *self.bottoms])

    @cached_property
    def bottoms(self) -> list[shapely.Polygon]:
        return [bottom_of(pad) for pad in self.job.pads]

    def sound(self, *sections: str) -> bool:
        return not self.unsound.intersection(sections)

    def text(self, length_m: float) -> str:
        return format_quantity(length_m, LENGTH, self.job.family)


def _holes(plan: _Plan) -> Iterator[Fault]:
    holes = [shapely.Polygon(ring) for ring in plan.job.floor.block_outs]
    around = plan.outline.buffer(_TOUCH_M) if holes else plan.outline
    shapely.prepare(around)
    near = shapely.STRtree(holes)
    for number, hole in enumerate(holes):
        path: Path = ("floor", "block_outs", number)
        if not plan.outline.intersects(hole):
            yield path, "lies outside the floor; move it inside the outline or leave it out."
        elif not around.contains(hole):
            yield path, "crosses the outline; a block-out lies inside the floor. Draw a notch as part of the outline instead."
        for other in near.query(hole, predicate="intersects").tolist():
            if other < number and holes[other].intersection(hole).area > _TOUCH_M**2:
                yield path, f"overlaps block-out {other + 1}; make one of the two."


def _parts(plan: _Plan) -> Iterator[Fault]:
    floor = plan.job.floor
    for number, region in enumerate(floor.thickness_regions):
        if plan.outline.intersection(shapely.Polygon(region.within)).area == 0:
            yield ("floor", "regions", number, "within"), "lies outside the floor; give corners inside the outline."
    for number, fall in enumerate(floor.falls):
        if fall.within is not None and plan.outline.intersection(shapely.Polygon(fall.within)).area == 0:
            yield ("floor", "falls", number, "within"), "lies outside the floor; give corners inside the outline."
        for index, point in enumerate(fall.to):
            if plan.outline.distance(shapely.Point(point)) > 0.3:
                path: Path = ("floor", "falls", number, "to", index) if len(fall.to) > 1 else ("floor", "falls", number, "to")
                yield path, f"{place(point)} lies outside the floor; a floor falls to a point or a line on it."


def _depths(plan: _Plan) -> Iterator[Fault]:
    job = plan.job
    thin = f"the floor is {plan.text(job.floor.thickness_m)} thick"
    if job.edge is not None and job.edge.depth_m < job.floor.thickness_m - 1e-9:
        yield (
            ("edge", "depth"),
            f"{plan.text(job.edge.depth_m)} is shallower than the floor; {thin}. Depth counts from the top of the floor.",
        )
    for number, strip in enumerate(job.strips):
        if strip.depth_m < job.floor.thickness_m - 1e-9:
            yield ("strips", number, "depth"), f"{plan.text(strip.depth_m)} is shallower than the floor; {thin}. Depth counts from the top."
        if not plan.outline.intersects(shapely.LineString(strip.line)):
            yield ("strips", number, "line"), "lies outside the floor; give points inside the outline."
    if job.mesh is not None and job.mesh.cover_m >= job.floor.thickness_m:
        yield ("mesh", "cover"), f"{plan.text(job.mesh.cover_m)} is below the floor; {thin}. Cover counts from the top."


def _pads(plan: _Plan, places: Places) -> Iterator[Fault]:
    job = plan.job
    told = set[Path]()
    first_at: dict[tuple[int, int], str] = {}
    for number, (pad, bottom) in enumerate(zip(job.pads, plan.bottoms, strict=True)):
        path = places["pads", number]
        depth: Path = (*path[:2], "depth")
        if pad.depth_m < job.floor.thickness_m - 1e-9 and depth not in told:
            told.add(depth)
            thin = f"the floor is {plan.text(job.floor.thickness_m)} thick"
            yield depth, f"{plan.text(pad.depth_m)} is shallower than the floor; {thin}. Depth counts from the top of the floor."
        if not plan.outline.contains(bottom) and plan.outline.intersection(bottom).area < _TOUCH_M**2:
            yield path, f"pad {pad.name} at {place(pad.at)} lies outside the floor; move it so that it meets the outline."
        top: Path = (*path[:2], "outside_top")
        if pad.outside_top_m is not None and pad.outside_top_m >= pad.depth_m and top not in told:
            told.add(top)
            yield (
                top,
                f"{plan.text(pad.outside_top_m)} is below the pad's bottom; keep it above {plan.text(pad.depth_m)}.",
            )
        spot = (round(pad.at[0] / _TOUCH_M), round(pad.at[1] / _TOUCH_M))
        if spot in first_at:
            yield path, f"pad {pad.name} stands at the same place as pad {first_at[spot]}, {place(pad.at)}; leave one out."
        first_at.setdefault(spot, pad.name)


def _posts(plan: _Plan, places: Places) -> Iterator[Fault]:
    if not plan.sound("pads", "strips", "walls", "edge", "posts"):
        return
    supports = shapely.union_all([*plan.bottoms, *_supporting_bands(plan)])
    shapely.prepare(supports)
    first_at: dict[tuple[int, int], str] = {}
    for number, post in enumerate(plan.job.posts):
        path, spot = places["posts", number], shapely.Point(post.at)
        if supports.is_empty or supports.distance(spot) > _TOUCH_M:
            yield (
                path,
                f"post {post.name} at {place(post.at)} has no pad below it and stands on no wall, strip or edge; "
                f"add a pad there ([[pads]] with the same at), or move the post.",
            )
        corner = (round(post.at[0] / _TOUCH_M), round(post.at[1] / _TOUCH_M))
        if corner in first_at:
            yield path, f"post {post.name} stands at the same place as post {first_at[corner]}, {place(post.at)}; leave one out."
        first_at.setdefault(corner, post.name)


def _supporting_bands(plan: _Plan) -> Iterator[BaseGeometry]:
    job = plan.job
    for wall in job.walls:
        yield shapely.LineString(wall.line).buffer(wall.thickness_m / 2, cap_style="square")
    for strip in job.strips:
        yield shapely.LineString(strip.line).buffer(strip.width_m / 2, cap_style="square")
    if job.edge is not None:
        yield plan.outline.difference(plan.outline.buffer(-job.edge.width_m))


def _services(plan: _Plan, places: Places) -> Iterator[Fault]:
    if plan.sound("pipes"):
        for number, pipe in enumerate(plan.job.pipes):
            if pipe.riser and plan.outline.distance(shapely.Point(pipe.run[-1])) > _TOUCH_M:
                path = _point_path(places["pipes", number], "run", pipe)
                yield path, f"{pipe.name} rises at {place(pipe.run[-1])}, outside the floor; the last point of a run is where it comes up."
    if plan.sound("embeds", "pads"):
        for number, embed in enumerate(plan.job.embeds):
            for index, point in enumerate(embed.line):
                if plan.concrete.distance(shapely.Point(point)) > _TOUCH_M:
                    path = (*places["embeds", number], "line") + ((index,) if len(embed.line) > 1 else ())
                    yield path, f"{embed.name} at {place(point)} lies outside the concrete; move it onto floor, edge or pad."


def _point_path(path: Path, key: str, thing: Pipe | Embed) -> Path:
    points = thing.run if isinstance(thing, Pipe) else thing.line
    return (*path, key, len(points) - 1) if len(points) > 1 else (*path, key)


def _size(plan: _Plan) -> Iterator[Fault]:
    points, area_m2 = len(plan.job.floor.outline), plan.outline.area
    if points > _MANY_POINTS:
        yield ("floor", "outline"), f"has {points:,} points; a form line rarely has 200. Every drawing and count will be slow."
    if not 2.0 <= area_m2 <= 50_000.0:
        yield (
            ("floor", "outline"),
            f"encloses {area_m2 / 0.09290304:,.4g} ft² ({area_m2:,.4g} m²), unusual for a slab. Check the numbers and their units.",
        )


def _overhangs(plan: _Plan, places: Places) -> Iterator[Fault]:
    reaches: dict[Path, list[tuple[str, float]]] = {}
    for number, (pad, bottom) in enumerate(zip(plan.job.pads, plan.bottoms, strict=True)):
        if pad.outside_top_m is not None or plan.outline.contains(bottom) or not plan.outline.intersects(bottom):
            continue
        outside = bottom.difference(plan.outline)
        if outside.area > _TOUCH_M * bottom.length:
            reach_m = max(plan.outline.distance(shapely.Point(corner)) for corner in shapely.get_coordinates(outside))
            reaches.setdefault(places["pads", number], []).append((pad.name, reach_m))
    for path, pads in reaches.items():
        names = ", ".join(name for name, _ in pads[:8]) + (" and others" if len(pads) > 8 else "")
        verb = "pad {} reaches" if len(pads) == 1 else "pads {} reach up to"
        reach = plan.text(max(reach_m for _, reach_m in pads))
        yield (
            path,
            f"{verb.format(names)} {reach} outside the form line; write outside_top for how high that part is cast, or move them in.",
        )


def _pipes_in_pads(plan: _Plan, places: Places) -> Iterator[Fault]:
    if not plan.sound("pipes", "pads"):
        return
    near = shapely.STRtree(plan.bottoms)
    for number, pipe in enumerate(plan.job.pipes):
        line = shapely.Point(pipe.run[0]) if len(pipe.run) == 1 else shapely.LineString(pipe.run)
        for index in sorted(near.query(line, predicate="dwithin", distance=pipe.diameter_m / 2).tolist()):
            pad = plan.job.pads[index]
            if len(pipe.run) > 1 and pipe.depth_m is not None and pipe.depth_m >= pad.depth_m:
                continue
            yield (
                (*places["pipes", number], "run"),
                f"{pipe.name} runs through pad {pad.name}; keep pipes out of pads, or ask the engineer for a sleeve and more steel.",
            )


def _walls_and_grade(plan: _Plan) -> Iterator[Fault]:
    job = plan.job
    for number, wall in enumerate(job.walls):
        if not plan.outline.buffer(wall.thickness_m).contains(shapely.LineString(wall.line)):
            yield ("walls", number, "line"), f"wall {wall.name} leaves the floor; check its points."
    if job.edge is not None and job.edge.top_above_grade_m >= job.edge.depth_m >= job.floor.thickness_m:
        high, deep = plan.text(job.edge.top_above_grade_m), plan.text(job.edge.depth_m)
        yield ("edge", "top_above_grade"), f"the floor stands {high} above grade and the edge is {deep} deep: it ends above the ground."
