"""Bars that run on: along the edge, along strips, over the floor."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum

import numpy as np
import shapely
from shapely import LineString

from slabwright.errors import MissingInput
from slabwright.geometry.bands import occupied, turned
from slabwright.geometry.foundation import Foundation
from slabwright.model.job import Job
from slabwright.model.steel import Bars, Face, Zone
from slabwright.standards.bars import bar
from slabwright.standards.iso_3766 import bar_cut_length
from slabwright.standards.take_off_bars import bar_spacing
from slabwright.studies.bars.paths import Array, Path, offset_ring
from slabwright.studies.bars.rules import Rules, rules_for
from slabwright.studies.bars.wanted import Wanted, depth_of
from slabwright.studies.bars.windows import LAP_CLEARANCE_M

_APART = 1.25
"""Laps of neighbours beside corners lie so many laps apart, besides what the bars lie apart themselves."""


class Corners(Enum):
    """How the bars of the edge pass its corners."""

    BENT = "bars bent round the corners where they come to lie"
    ALIKE = "bars bent alike round the corners, straight bars between"
    CORNER_BARS = "straight bars, corner bars lapped on both legs"


_LONGER = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Laps by which one leg of bars bent alike may be longer still, so that their laps keep clear of joints; a choice, no source."""
_MOST_PARTS = 3
"""Bars bent alike are whole ones, halves or thirds; a choice, no source."""


def edge_bars(
    job: Job, foundation: Foundation, asked: Bars, corners: Corners, cuts: Sequence[LineString] = (), choice: int = 0
) -> Iterator[Wanted]:
    """Bars round the form line, bent round its corners or with corner bars; cut where the form line turns inwards.

    Of the ways to bend them alike the one that, after so many choices better, keeps most laps at their tips clear of joints.
    """
    edge = foundation.edge
    if edge is None:
        raise MissingInput("[[bars]] in the edge need an [edge]; add one or leave the bars out.")
    rules = rules_for(job, asked, concrete_below_m=edge.depth_m - asked.cover_m)
    depth = max(depth_of(asked, rules, edge.depth_m), _below_floor_bars_m(job, asked) + rules.bar.diameter_m / 2)
    ring = np.asarray(foundation.outline.exterior.coords)[:-1]
    offsets = _across(asked, rules, edge.width_m, "edge")
    shift = 0.5 * (_APART * rules.lap_m + offsets[1] - offsets[0]) if len(offsets) > 1 else 0.0
    wholes: list[Wanted] = []
    for rank, offset in enumerate(offsets):
        path = Path(offset_ring(ring, offset), depth, rules.bend_radius_m)
        far = edge.width_m - asked.cover_m - rules.bar.diameter_m / 2 - offset
        for chain, piece in enumerate(_between_inside_corners(path, rules, far)):
            wholes.append(Wanted(asked=0, zone=asked.zone, where="edge", path=piece, rules=rules, rank=rank, chain=chain))
    if corners is Corners.ALIKE:
        ways = (_all_bent_alike(wholes, shift + more * rules.lap_m, part) for part in range(1, _MOST_PARTS + 1) for more in _LONGER)
        yield from sorted(ways, key=lambda made: _n_crossed(made, cuts))[choice] if cuts else next(ways)
    else:
        for whole in wholes:
            yield from (whole,) if corners is Corners.BENT else _with_corner_bars(whole)


def _all_bent_alike(wholes: Sequence[Wanted], shift_m: float, part: int) -> list[Wanted]:
    return [one for whole in wholes for one in _bent_alike(whole, shift_m if whole.rank % 2 else -shift_m, part)]


def _n_crossed(made: Sequence[Wanted], cuts: Sequence[LineString]) -> int:
    """Laps at the tips of the bars round corners that a joint crosses or comes too near to."""
    n = 0
    for one in made:
        if not one.is_lapped:
            far, lap = one.path.length_m, one.rules.lap_m
            tips = [(-LAP_CLEARANCE_M, lap + LAP_CLEARANCE_M), (far - lap - LAP_CLEARANCE_M, far + LAP_CLEARANCE_M)]
            n += sum(low < at < high for at in one.path.crossed_m(cuts) for low, high in tips)
    return n


def _below_floor_bars_m(job: Job, asked: Bars) -> float:
    """Depth below which top bars of the edge are tied, where bars of the floor lie over them both ways. [m]"""
    over = [one for one in job.bars if one.zone is Zone.FLOOR and one.face is Face.TOP and asked.face is Face.TOP]
    return max((one.cover_m + 2 * bar(size=one.size).diameter_m for one in over), default=0.0)


def _with_corner_bars(whole: Wanted) -> Iterator[Wanted]:
    """Straight legs that end where the bends begin, and at each bend a corner bar that laps both."""
    path, rules = whole.path, whole.rules
    n = len(path.corners) - 1
    leg_m = rules.bend_radius_m + rules.lap_m
    for leg in range(n):
        start, end = path.points[leg], path.points[leg + 1]
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        cut = [rules.bend_radius_m if path.is_closed or 0 < k < n else 0.0 for k in (leg, leg + 1)]
        if length - sum(cut) > 2 * rules.bar.diameter_m:
            ends = (start + cut[0] * along, end - cut[1] * along)
            yield replace(whole, path=path.of(ends), chain=100 * whole.chain + leg)
    for corner in range(0 if path.is_closed else 1, n):
        at = path.points[corner]
        before, after = path.points[corner - 1 if corner else n - 1] - at, path.points[corner + 1] - at
        reach = [min(leg_m, float(np.hypot(*way))) for way in (before, after)]
        tips = [at + far * way / np.hypot(*way) for far, way in zip(reach, (before, after), strict=True)]
        yield replace(whole, path=path.of((tips[0], at, tips[1])), is_lapped=False)


def _bent_alike(whole: Wanted, shift_m: float, part: int) -> Iterator[Wanted]:
    """Bars of few lengths bent round the corners, the longer leg ahead or behind by turns of the ranks, straight bars between.

    Round each corner goes the longest that fits between its neighbours: the part given of the shortest stock, a half, a third, else
    one that just laps.
    """
    path, rules = whole.path, whole.rules
    n, lap = len(path.corners) - 1, rules.lap_m
    corners = range(0 if path.is_closed else 1, n)
    sides = np.hypot(*np.diff(path.points, axis=0).T)
    reach = {k: _reach_m(path, sides, k, rules, shift_m, part) for k in corners}
    for side in range(n):
        start, along = path.points[side], (path.points[side + 1] - path.points[side]) / sides[side]
        ahead = reach[side][1] if side in reach else 0.0
        behind = reach[(side + 1) % n][0] if (side + 1) % n in reach else 0.0
        is_end = side not in reach or (side + 1) % n not in reach
        if sides[side] - ahead - behind > (0.0 if is_end else -lap) + 1e-6:
            ends = (max(0.0, ahead - lap), min(sides[side], sides[side] - behind + lap))
            yield replace(whole, path=path.of([start + end * along for end in ends]), chain=100 * whole.chain + side)
    for corner, (behind, ahead) in reach.items():
        at = path.points[corner]
        before, after = path.points[corner - 1 if corner else n - 1] - at, path.points[corner + 1] - at
        tips = [at + far * way / np.hypot(*way) for far, way in ((behind, before), (ahead, after))]
        yield replace(whole, path=path.of((tips[0], at, tips[1])), is_lapped=False)


def _reach_m(path: Path, sides: Array, corner: int, rules: Rules, shift_m: float, part: int) -> tuple[float, float]:
    """How far the bar round a corner reaches behind it and ahead, a part of a bar or less. [m]"""
    n, turns = len(sides), np.abs(path.turns_rad)
    room = [rules.bend_radius_m * math.tan(float(turn) / 2) for turn in turns]
    ways = ((corner - 1, corner - 1 if corner else n - 1), (corner, corner + 1))
    ends = [not path.is_closed and far in (0, n) for _, far in ways]
    most = [sides[side] if is_end else sides[side] - room[far] for (side, far), is_end in zip(ways, ends, strict=True)]
    for fewer in range(part, _MOST_PARTS + 1):
        both = _legs_m(rules, float(turns[corner]), rules.stock_m[0] / fewer)
        legs = [both / 2 - shift_m, both / 2 + shift_m]
        for end in (0, 1):
            if ends[end] and most[end] < legs[end]:
                legs = [most[0], both - most[0]] if end == 0 else [both - most[1], most[1]]
        if all(
            (is_end and leg >= far) or rules.lap_m + room[corner] <= leg <= far for leg, far, is_end in zip(legs, most, ends, strict=True)
        ):
            return legs[0], legs[1]
    just = rules.bend_radius_m + rules.lap_m
    return min(just, sides[corner - 1]), min(just, sides[corner])


def _legs_m(rules: Rules, turn_rad: float, bar_m: float) -> float:
    """Both legs, to the corner of the centre line, of a bar that is cut this long and bent once. [m]"""
    if abs(turn_rad - math.pi / 2) > 1e-6:
        return bar_m + 2 * rules.bend_radius_m * (math.tan(turn_rad / 2) - turn_rad / 2)
    leg, diameter = bar_m / 2, rules.bar.diameter_m
    cut = bar_cut_length(legs_m=(leg, leg), bar_diameter_m=diameter, bend_diameter_m=rules.bend_diameter_m).cut_m
    return 2 * bar_m - cut - diameter


def _between_inside_corners(path: Path, rules: Rules, far_m: float) -> Iterator[Path]:
    """The ring itself, or its chains from one inside corner to the next.

    A bar bent round an inside corner would be pulled out of it. There both legs run on to the far side of the other and
    turn along it by one lap, so that they cross.
    """
    inside = [k for k in range(len(path.corners) - 1) if float(path.turns_rad[k]) < -math.radians(10)]
    if not inside:
        yield path
        return
    points = path.points[:-1]
    n = len(points)
    for first, last in zip(inside, [*inside[1:], inside[0]], strict=True):
        chain = [points[(first + k) % n] for k in range(((last - first) % n or n) + 1)]
        start = _anchored(chain[1], chain[0], points[(first - 1) % n], rules, far_m)
        end = _anchored(chain[-2], chain[-1], points[(last + 1) % n], rules, far_m)
        corners = [*start, *chain[1:-1], *reversed(end)]
        yield Path(tuple((float(x), float(y)) for x, y in corners), path.depth_m, path.bend_radius_m)


def _anchored(before: Array, corner: Array, other: Array, rules: Rules, far_m: float) -> list[Array]:
    """End of a leg beyond an inside corner: on to the far side of the other strip, then along it. From the tip inwards."""
    onward = (corner - before) / np.hypot(*(corner - before))
    aside = (other - corner) / np.hypot(*(other - corner))
    turn = corner + max(0.0, far_m) * onward
    return [turn + max(rules.lap_m, 2 * rules.bend_radius_m) * aside, turn]


def _across(asked: Bars, rules: Rules, width_m: float, where: str) -> list[float]:
    """Offsets of the bars of one face across a strip, from its side. [m]"""
    n = asked.n_bars
    first = asked.cover_m + rules.bar.diameter_m / 2
    if n is None and asked.spacing_m is not None:
        n = bar_spacing(width_m=width_m, cover_m=first, largest_spacing_m=asked.spacing_m).n_bars
    if n is None:
        raise MissingInput(f"[[bars]] in the {where}: say how many bars lie in its section, count = 2.")
    if n == 1:
        return [width_m / 2]
    if width_m - 2 * first < 0:
        raise MissingInput(
            f"[[bars]] in the {where}: the cover leaves no room in a width of {width_m:.2f} m; make it smaller or the {where} wider."
        )
    return [first + k * (width_m - 2 * first) / (n - 1) for k in range(n)]


def strip_bars(job: Job, foundation: Foundation, asked: Bars) -> Iterator[Wanted]:
    """Bars along each interior strip, straight to its ends."""
    for strip in foundation.strips:
        if asked.only and strip.name not in asked.only:
            continue
        rules = rules_for(job, asked, concrete_below_m=strip.depth_m - asked.cover_m)
        depth = depth_of(asked, rules, strip.depth_m)
        line = LineString(strip.line)
        for rank, offset in enumerate(_across(asked, rules, strip.width_m, "strips")):
            moved = line.offset_curve(strip.width_m / 2 - offset, join_style="mitre")
            inside = moved.intersection(foundation.region.buffer(-asked.cover_m, join_style="mitre"))
            for piece in shapely.get_parts(inside):
                if isinstance(piece, LineString) and piece.length > 4 * rules.bar.diameter_m:
                    path = Path(tuple((float(x), float(y)) for x, y in piece.coords), depth, rules.bend_radius_m)
                    yield Wanted(asked=0, zone=asked.zone, where=strip.name, path=path, rules=rules, rank=rank)


def floor_bars(job: Job, foundation: Foundation, asked: Bars) -> Iterator[Wanted]:
    """Bars both ways over the floor, at a spacing."""
    if asked.spacing_m is None:
        raise MissingInput('[[bars]] in the floor: say how far apart they lie, spacing = "18 in".')
    rules = rules_for(job, asked, concrete_below_m=foundation.floor.thickness_m - asked.cover_m)
    depth = depth_of(asked, rules, foundation.floor.thickness_m)
    inward = rules.bar.diameter_m if asked.face is Face.TOP else -rules.bar.diameter_m
    region = foundation.region.buffer(-asked.cover_m, join_style="mitre")
    if region.is_empty:
        raise MissingInput("[[bars]] in the floor: the cover leaves no floor; make it smaller.")
    for layer, shape in enumerate((region, turned(region))):
        low, high = shape.bounds[1] + rules.bar.diameter_m / 2, shape.bounds[3] - rules.bar.diameter_m / 2
        n = bar_spacing(width_m=high - low, cover_m=0.0, largest_spacing_m=asked.spacing_m).n_bars
        for rank in range(n):
            y = low + rank * (high - low) / max(1, n - 1)
            thin = min(max(y, low + 1e-3), high - 1e-3)
            for start, end in occupied(shape, thin - 1e-3, thin + 1e-3):
                ends = [(start, y), (end, y)] if layer == 0 else [(y, start), (y, end)]
                path = Path((ends[0], ends[1]), depth + layer * inward, rules.bend_radius_m)
                yield Wanted(asked=0, zone=asked.zone, where="floor", path=path, rules=rules, rank=rank, chain=layer)
