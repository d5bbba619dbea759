"""Single bars of given length: across inside corners, round block-outs, through joints, hairpins at posts."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon

from slabwright.errors import MissingInput
from slabwright.geometry.drawing import polygons_of
from slabwright.geometry.foundation import Foundation
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.model.steel import Bars, Face, Zone
from slabwright.standards.bars import bar
from slabwright.studies.bars.paths import Array, Path, Point
from slabwright.studies.bars.rules import Rules, rules_for
from slabwright.studies.bars.wanted import Wanted, depth_of
from slabwright.units import format_place


def corner_diagonals(job: Job, foundation: Foundation, asked: Bars) -> Iterator[Wanted]:
    """Diagonals across the inside corners of the form line and of block-outs, tied below the top bars of the edge."""
    rules = rules_for(job, asked)
    length = asked.length_m or 1.2
    over = [one for one in job.bars if one.zone is Zone.EDGE and one.face is Face.TOP and asked.face is Face.TOP]
    below = max((one.cover_m + bar(size=one.size).diameter_m for one in over), default=0.0)
    depth = max(depth_of(asked, rules, foundation.floor.thickness_m), below + rules.bar.diameter_m / 2)
    for at, away in inside_corners(foundation):
        across = (-away[1], away[0])
        for k in range(asked.n_bars or 2):
            beyond = asked.cover_m + rules.bar.diameter_m / 2 + k * 4 * rules.bar.diameter_m
            middle = (at[0] + beyond * away[0], at[1] + beyond * away[1])
            ends = [(middle[0] + s * length / 2 * across[0], middle[1] + s * length / 2 * across[1]) for s in (-1, 1)]
            path = Path((ends[0], ends[1]), depth, rules.bend_radius_m)
            where = f"corner at {format_place(at, job.family)}"
            yield Wanted(asked=0, zone=asked.zone, where=where, path=path, rules=rules, is_lapped=False)


def inside_corners(foundation: Foundation) -> Iterator[tuple[Point, Point]]:
    """Inside corners of the floor's edges and the direction into the concrete. [m]"""
    for piece in polygons_of(foundation.region):
        oriented = shapely.geometry.polygon.orient(piece)
        for ring in (oriented.exterior, *oriented.interiors):
            points = np.asarray(ring.coords)[:-1]
            for k in range(len(points)):
                before, after = points[k] - points[k - 1], points[(k + 1) % len(points)] - points[k]
                turn = float(before[0] * after[1] - before[1] * after[0])
                if turn < -1e-6 * np.hypot(*before) * np.hypot(*after):
                    into = before / np.hypot(*before) - after / np.hypot(*after)
                    if np.hypot(*into) > 0.2:
                        into /= np.hypot(*into)
                        yield (float(points[k][0]), float(points[k][1])), (float(into[0]), float(into[1]))


def block_out_bars(job: Job, foundation: Foundation, asked: Bars) -> Iterator[Wanted]:
    """Bars along every side of every block-out, on past its corners."""
    rules = rules_for(job, asked)
    depth = depth_of(asked, rules, foundation.floor.thickness_m)
    room = foundation.region.buffer(-min(asked.cover_m, 0.02))
    for number, ring in enumerate(foundation.floor.block_outs, start=1):
        hole = shapely.geometry.polygon.orient(Polygon(ring), -1.0)
        points = np.asarray(hole.exterior.coords)
        for a, b in pairwise(points):
            along = (b - a) / np.hypot(*(b - a))
            away = np.array([-along[1], along[0]])
            for k in range(asked.n_bars or 1):
                beyond = asked.cover_m + rules.bar.diameter_m / 2 + k * 4 * rules.bar.diameter_m
                ends = [a + beyond * away - rules.development_m * along, b + beyond * away + rules.development_m * along]
                piece = LineString(ends).intersection(room)
                for part in shapely.get_parts(piece):
                    if isinstance(part, LineString) and part.length > 0.3:
                        path = Path(tuple((float(x), float(y)) for x, y in part.coords), depth, rules.bend_radius_m)
                        yield Wanted(asked=0, zone=asked.zone, where=f"block-out {number}", path=path, rules=rules, is_lapped=False)


def joint_dowels(job: Job, foundation: Foundation, asked: Bars, joints: Sequence[tuple[Point, Point]]) -> Iterator[Wanted]:
    """Dowels at right angles through construction joints, at half the thickness of the floor."""
    rules = rules_for(job, asked)
    length, spacing = asked.length_m or 0.45, asked.spacing_m or 0.3
    for number, (start, end) in enumerate(joints, start=1):
        a, b = np.asarray(start), np.asarray(end)
        run = float(np.hypot(*(b - a)))
        along = (b - a) / run
        across = np.array([-along[1], along[0]])
        n = max(1, math.ceil(run / spacing - 1e-6))
        for k in range(n):
            middle = a + (k + 0.5) * run / n * along
            ends = [middle - length / 2 * across, middle + length / 2 * across]
            path = Path(tuple((float(x), float(y)) for x, y in ends), foundation.floor.thickness_m / 2, rules.bend_radius_m)
            yield Wanted(asked=0, zone=asked.zone, where=f"joint {number}", path=path, rules=rules, is_lapped=False)


def thrust_ties(job: Job, foundation: Foundation, asked: Bars) -> Iterator[Wanted]:
    """Hairpins that tie the thrust of a post into the floor: round the post, both legs against the thrust."""
    rules = rules_for(job, asked)
    depth = depth_of(asked, rules, foundation.floor.thickness_m)
    if asked.length_m is None:
        raise MissingInput('[[bars]] as ties: say how long each is in all, length = "16 ft".')
    pads = {pad.at: pad.name for pad in foundation.pads}
    for post in job.posts:
        name = next((pad for at, pad in pads.items() if math.dist(at, post.at) < 1.0), post.name)
        if asked.only and name not in asked.only and post.name not in asked.only:
            continue
        for k in range(asked.n_bars or 1):
            path = _hairpin(post, foundation, asked.length_m, rules, depth, k)
            yield Wanted(asked=0, zone=asked.zone, where=f"post {post.name}", path=path, rules=rules, is_lapped=False)


def _hairpin(post: Post, foundation: Foundation, length_m: float, rules: Rules, depth_m: float, number: int) -> Path:
    push = _thrust(post, foundation)
    back = -push
    aside = np.array([-back[1], back[0]])
    half = max(max(post.base_x_m, post.base_y_m) / 2 + 0.1, 1.2 * rules.bend_radius_m) + number * 3 * rules.bar.diameter_m
    at = np.asarray(post.at)
    front = at + push * half
    room = foundation.region.buffer(-0.05)
    while half > 0.06 and not room.covers(shapely.Point(front)):
        front = front - 0.02 * push
        half -= 0.02
    width = max(max(post.base_x_m, post.base_y_m) / 2 + 0.1, 1.2 * rules.bend_radius_m) + number * 3 * rules.bar.diameter_m
    saved = 4 * rules.bend_radius_m * (1 - math.pi / 4)
    leg = (length_m + saved - 2 * width) / 2
    corners = [front + width * aside + leg * back, front + width * aside, front - width * aside, front - width * aside + leg * back]
    return Path(tuple((float(x), float(y)) for x, y in corners), depth_m, rules.bend_radius_m)


def _thrust(post: Post, foundation: Foundation) -> Array:
    """Direction in which the post pushes hardest; where no load says so, towards the nearest edge."""
    shears = [(one.shear_x_n, one.shear_y_n) for one in post.reactions.values()]
    worst = max(shears, key=lambda one: math.hypot(*one), default=(0.0, 0.0))
    if math.hypot(*worst) > 0.0:
        return np.asarray(worst) / math.hypot(*worst)
    ring = foundation.outline.exterior
    nearest = ring.interpolate(ring.project(shapely.Point(post.at)))
    towards = np.array([nearest.x - post.at[0], nearest.y - post.at[1]])
    return towards / np.hypot(*towards) if np.hypot(*towards) > 1e-9 else np.array([1.0, 0.0])
