"""Lines of a skewed floor moved to whole inches or centimetres along the sides they end on, where every rule still holds after it.

The solver divides sides alike, and a third of a skewed side is seldom a number that a person can hold. So each end is moved along
what it lies on; ends at one place move together. What would break a rule there moves less, or stays.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from slabwright.solvers.partition import Cut, CutRules, Layout, faults_of, measured, pieces_of
from slabwright.solvers.partition.layout import Floats
from slabwright.solvers.partition.wings import from_side_to_side
from slabwright.studies.joints.ground import JointGround
from slabwright.studies.joints.setting_out import Side, sides_of

Point = tuple[float, float]
_ON_M = 1e-3
_MOST_ROUNDS = 12


@dataclass(slots=True)
class _Place:
    """Where lines end: on a side, or on a line that carries them, at a distance from its origin."""

    ends: list[tuple[int, int]]
    origin: Point
    onward: Point
    distance_m: float
    carrier: int | None
    choice: int = 0

    def choices_m(self, step_m: float) -> tuple[float, float, float, float]:
        """The nearest whole step, the next nearest, the nearest half, and where it lay."""
        low, high = step_m * math.floor(self.distance_m / step_m), step_m * math.ceil(self.distance_m / step_m)
        near, far = (low, high) if self.distance_m - low <= high - self.distance_m else (high, low)
        return near, far, step_m / 2 * round(2 * self.distance_m / step_m), self.distance_m


def in_whole_steps(layout: Layout, region: shapely.Polygon, rules: CutRules, ground: JointGround, thicknesses: float) -> Layout:
    """The layout with its lines at whole steps, as many as keep what it keeps.

    Parameters
    ----------
    layout : Layout
        Lines without breaks.
    region : shapely.Polygon
    rules : CutRules
        Under which it was found.
    ground : JointGround
    thicknesses : float
        Spacing limit in thicknesses.
    """
    if not layout.cuts:
        return layout
    held = frozenset(number for number, cut in enumerate(layout.cuts) if _is_held(cut, ground))
    layout = _round_ends_moved(layout, region, rules, ground, thicknesses, held)
    places = _places(layout.cuts, sides_of(region), held)
    step = ground.setting_step_m
    for _ in range(_MOST_ROUNDS):
        cuts = _moved(layout.cuts, places, step)
        bad = _worse(layout, cuts, region, rules, ground, thicknesses)
        if bad is None:
            return layout
        if not bad:
            return replace(layout, cuts=_with_loss(cuts, ground), pieces=pieces_of(region, cuts))
        fails = shapely.union_all(bad).buffer(_ON_M)
        near = [one for one in places if one.choice < 3 and any(fails.intersects(shapely.Point(_end(cuts, *end))) for end in one.ends)]
        if not near:
            return layout
        for one in near:
            one.choice += 1
    return layout


def _is_held(cut: Cut, ground: JointGround) -> bool:
    """Whether a line must stay where it is: pinned, or through the middle of an isolated post."""
    line = shapely.LineString([cut.start, cut.end])
    pinned = any(line.distance(shapely.LineString(wish)) < _ON_M for wish in ground.wishes.pinned)
    return pinned or any(line.distance(shapely.Point(at)) < _ON_M for at in ground.islands.at)


def _end(cuts: Sequence[Cut], number: int, end: int) -> Point:
    return cuts[number].end if end else cuts[number].start


def _places(cuts: Sequence[Cut], sides: Sequence[Side], held: frozenset[int]) -> list[_Place]:
    """Places that may move, those on sides first: not corners, nor ends of lines that stay, nor points of a curve."""
    groups: dict[Point, list[tuple[int, int]]] = {}
    for number in range(len(cuts)):
        for end in (0, 1):
            x, y = _end(cuts, number, end)
            groups.setdefault((round(x, 3), round(y, 3)), []).append((number, end))
    found = []
    for ends in groups.values():
        at = _end(cuts, *ends[0])
        if any(number in held for number, _ in ends) or any(side.is_step and side.holds(at) for side in sides):
            continue
        on = [side for side in sides if side.holds(at)]
        carriers = [k for k, cut in enumerate(cuts) if k not in {number for number, _ in ends} and _carries(cut, at)]
        if len(on) == 1:
            origin, onward, carrier = on[0].start, on[0].end, None
        elif not on and len(carriers) == 1:
            carrier = carriers[0]
            origin, onward = cuts[carrier].start, cuts[carrier].end
        else:
            continue
        found.append(_Place(ends, origin, onward, math.dist(origin, at), carrier))
    return sorted(found, key=lambda one: one.carrier is not None)


def _carries(cut: Cut, at: Point) -> bool:
    is_end = min(math.dist(at, cut.start), math.dist(at, cut.end)) < _ON_M
    return not is_end and bool(shapely.LineString([cut.start, cut.end]).distance(shapely.Point(at)) < _ON_M)


def _moved(cuts: tuple[Cut, ...], places: Sequence[_Place], step_m: float) -> tuple[Cut, ...]:
    """Lines with their ends at the chosen places."""
    moved = [[np.array(cut.start), np.array(cut.end)] for cut in cuts]
    for place in places:
        origin, onward = (np.array(place.origin), np.array(place.onward)) if place.carrier is None else moved[place.carrier]
        along = (onward - origin) / max(float(np.hypot(*(onward - origin))), 1e-9)
        at = origin + place.choices_m(step_m)[place.choice] * along
        for number, end in place.ends:
            moved[number][end] = at
    return tuple(
        replace(cut, start=(float(a[0]), float(a[1])), end=(float(b[0]), float(b[1]))) for cut, (a, b) in zip(cuts, moved, strict=True)
    )


def _with_loss(cuts: tuple[Cut, ...], ground: JointGround) -> tuple[Cut, ...]:
    return tuple(replace(cut, lost=float(shapely.LineString([cut.start, cut.end]).intersection(ground.dead).length)) for cut in cuts)


def _worse(
    layout: Layout, cuts: tuple[Cut, ...], region: shapely.Polygon, rules: CutRules, ground: JointGround, thicknesses: float
) -> list[shapely.Geometry] | None:
    """Panels that keep the rules less well than the one they were, and lines that lose more; None where the panels are not the same."""
    pieces = pieces_of(region, cuts)
    if len(pieces) != len(layout.pieces):
        return None
    middles = np.array([shapely.point_on_surface(one) for one in pieces], dtype=object)
    holds = np.asarray(shapely.contains(np.array(layout.pieces, dtype=object)[:, None], middles[None, :]))
    if not np.all(holds.sum(axis=0) == 1) or not np.all(holds.sum(axis=1) == 1):
        return None
    was = [layout.pieces[k] for k in np.argmax(holds, axis=0)]
    sizes = np.array([min(rules.max_size, ground.spacing_at(at.x, at.y, thicknesses)) for at in middles])
    before, after = measured(was, region, rules.sharp_rad), measured(pieces, region, rules.sharp_rad)
    worse = faults_of(after, rules, sizes, ground.least_width_share()) > faults_of(before, rules, sizes, ground.least_width_share())
    worse |= after.long > np.maximum(sizes, before.long) + 1e-6
    found: list[shapely.Geometry] = [pieces[k] for k in np.flatnonzero(worse)]
    for old, new in zip(layout.cuts, cuts, strict=True):
        line = shapely.LineString([new.start, new.end])
        if line.intersection(ground.dead).length > shapely.LineString([old.start, old.end]).intersection(ground.dead).length + 1e-6:
            found.append(line)
    return found


def _round_ends_moved(
    layout: Layout, region: shapely.Polygon, rules: CutRules, ground: JointGround, thicknesses: float, held: frozenset[int]
) -> Layout:
    """Lines that end on a curve moved alongside, one by one, to whole steps along the straight side they begin at, or from the rim."""
    sides = sides_of(region)
    rim: Floats = shapely.get_coordinates(region.exterior)
    for number, cut in enumerate(layout.cuts):
        steps = [any(side.is_step and side.holds(end) for side in sides) for end in (cut.start, cut.end)]
        on_rim = all(region.exterior.distance(shapely.Point(end)) < _ON_M for end in (cut.start, cut.end))
        if number in held or not any(steps) or not on_rim:
            continue
        along = np.subtract(cut.end, cut.start) / math.dist(cut.start, cut.end)
        square = np.array([along[1], -along[0]])
        end = np.array(cut.end if steps[0] else cut.start)
        side = next((one for one in sides if not one.is_step and one.holds((float(end[0]), float(end[1])))), None)
        way, origin = square, rim[np.argmin(rim @ square)]
        if side is not None:
            way, origin = np.subtract(side.end, side.start) / side.length_m, np.array(side.start)
        from_m = float((end - origin) @ way)
        for step in (ground.setting_step_m, ground.setting_step_m / 2):
            shift = (step * round(from_m / step) - from_m) * way
            start, onward = np.array(cut.start) + shift, np.array(cut.end) + shift
            made = from_side_to_side(region, (float(start[0]), float(start[1])), (float(onward[0]), float(onward[1])))
            if len(made) != 1:
                continue
            cuts = (*layout.cuts[:number], made[0], *layout.cuts[number + 1 :])
            if _worse(layout, cuts, region, rules, ground, thicknesses) == []:
                layout = replace(layout, cuts=_with_loss(cuts, ground), pieces=pieces_of(region, cuts))
                break
    return layout
