"""Any simple polygon, cut by lines along two directions at right angles and along corner bisectors, with the gap to a bound.

Lines run from side to side of the outline along its main direction and across it. Each direction is solved as in
:mod:`rectangle`, a line costing its true length inside the outline, once freely and once with a line of one direction through
every re-entrant corner. A corner that no line serves may still be split by its bisector. Among the layouts so found the one
with the fewest faults is taken: sharp corners, slivers, and re-entrant corners without a line, where the floor is sure to
crack. The bound ignores faults and bisectors, which only add to it.
"""

from itertools import product

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible
from slabwright.solvers.partition.corners import re_entrant
from slabwright.solvers.partition.layout import LOST_WEIGHT, Cut, CutRules, Floats, Layout, pieces_of
from slabwright.solvers.partition.rectangle import _Axis, _joined

_SHARP_RAD = np.deg2rad(60.0)
_FAULT_COST = 1e2
"""Cost of one sharp corner or sliver, in length: dear against line, cheap against lost length."""
_CORNER_FAULTS = 2
"""Faults that a re-entrant corner without a line counts for."""


def cut_skewed(region: shapely.Polygon, rules: CutRules, *, dead: BaseGeometry | None = None, step: float | None = None) -> Layout:
    """Lines along and across the main direction of a region, and bisectors of its re-entrant corners.

    Parameters
    ----------
    region : shapely.Polygon
        Any simple polygon, with holes.
    rules : CutRules
        Sizes are those of whole pieces; pieces cut off by the outline may be narrower.
    dead : shapely geometry, optional
        Where length is lost.
    step : float, optional
        Distance of candidate lines; a fortieth of the largest size if not given.

    Raises
    ------
    Infeasible
        If no spacing meets the rules.
    """
    dead = dead if dead is not None else shapely.Polygon()
    angle = main_direction(region)
    turned = affinity.rotate(region, -angle, origin=(0, 0), use_radians=True)
    turned_dead = affinity.rotate(dead, -angle, origin=(0, 0), use_radians=True)
    step = step if step is not None else rules.max_size / 40
    best: Layout | None = None
    floor = np.inf
    corners = tuple(re_entrant(turned.exterior))
    forced = (None, 0, 1) if corners else (None,)
    for shift, through in product((0.0, 0.5), forced):
        axes = [_axis(turned, turned_dead, axis, rules, step, shift, corners if axis == through else ()) for axis in (0, 1)]
        for shrink in (1.0, 0.95, 0.9, 0.85, 0.8):
            tighter = [_tightened(axis, shrink * rules.max_size) for axis in axes]
            cost, chosen = _joined(tighter[0], tighter[1], rules.max_aspect)
            if chosen is None:
                continue
            floor = min(floor, cost)
            found = _with_bisectors(turned, turned_dead, _clipped(turned, turned_dead, axes, chosen), corners, rules)
            if best is None or found.cost < best.cost - 1e-9:
                best = found
    if best is None:
        raise Infeasible(f"no spacing of lines leaves pieces of at most {rules.max_size:g} with an aspect of at most {rules.max_aspect:g}.")
    back = [affinity.rotate(shapely.LineString([cut.start, cut.end]), angle, origin=(0, 0), use_radians=True).coords for cut in best.cuts]
    cuts = tuple(
        Cut((float(line[0][0]), float(line[0][1])), (float(line[1][0]), float(line[1][1])), cut.lost)
        for line, cut in zip(back, best.cuts, strict=True)
    )
    return Layout(cuts=cuts, pieces=pieces_of(region, cuts), cost=best.cost, bound=min(floor, best.cost))


def main_direction(region: shapely.Polygon) -> float:
    """Direction along which most of the outline runs, from 0 to a right angle. [rad]"""
    sides = np.diff(shapely.get_coordinates(region.exterior), axis=0)
    angles = np.arctan2(sides[:, 1], sides[:, 0]) % (np.pi / 2)
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    aligned = np.cos(4 * (angles[:, None] - angles[None, :])) > np.cos(4 * np.deg2rad(0.5))
    return float(angles[np.argmax(aligned @ lengths)])


def _with_bisectors(
    region: shapely.Polygon, dead: BaseGeometry, cuts: tuple[Cut, ...], corners: tuple[tuple[Floats, Floats], ...], rules: CutRules
) -> Layout:
    """A layout with the bisector of each corner that no line serves, where that saves more than it costs."""
    best = _valued(region, cuts, corners, rules)
    for corner, inwards in corners:
        if _is_served(corner, best.cuts):
            continue
        far = 2.0 * np.hypot(*np.ptp(np.array(region.bounds).reshape(2, 2), axis=0)) / np.hypot(*inwards)
        ray = shapely.LineString([corner, corner + far * inwards]).intersection(region)
        line = min(shapely.get_parts(ray), key=lambda part: part.distance(shapely.Point(corner)))
        if line.geom_type != "LineString" or line.length < 1e-6:
            continue
        (x1, y1), (x2, y2) = line.coords[0], line.coords[-1]
        split = _valued(region, (*best.cuts, Cut((x1, y1), (x2, y2), line.intersection(dead).length)), corners, rules)
        best = min(best, split, key=lambda one: one.cost)
    return best


def _valued(region: shapely.Polygon, cuts: tuple[Cut, ...], corners: tuple[tuple[Floats, Floats], ...], rules: CutRules) -> Layout:
    pieces = pieces_of(region, cuts)
    faults = sum(_faults(piece, region, rules) for piece in pieces)
    faults += _CORNER_FAULTS * sum(not _is_served(corner, cuts) for corner, _ in corners)
    cost = sum(cut.length + LOST_WEIGHT * cut.lost for cut in cuts) + _FAULT_COST * faults
    return Layout(cuts=cuts, pieces=pieces, cost=cost, bound=0.0)


def _is_served(corner: Floats, cuts: tuple[Cut, ...]) -> bool:
    return any(shapely.LineString([cut.start, cut.end]).distance(shapely.Point(corner)) < 1e-6 for cut in cuts)


def _axis(
    region: shapely.Polygon, dead: BaseGeometry, axis: int, rules: CutRules, step: float, shift: float,
    through: tuple[tuple[Floats, Floats], ...],
) -> _Axis:  # fmt: skip
    low, high = region.bounds[axis], region.bounds[axis + 2]
    corners = np.unique(np.round(shapely.get_coordinates(region)[:, axis], 7))
    grid = np.arange(low + (0.5 + shift) * step, high, step)
    at = np.unique(np.concatenate([[low, high], grid, corners]))
    chords = [_chord(region, axis, float(one)) for one in at]
    lost = np.array([chord.intersection(dead).length for chord in chords])
    cost = np.array([chord.length for chord in chords]) + LOST_WEIGHT * lost
    cost[[0, -1]] = lost[[0, -1]] = 0.0
    across = region.bounds[3 - axis] - region.bounds[1 - axis]
    must = np.zeros(len(at), dtype=bool)
    for corner, _ in through:
        must |= np.abs(at - corner[axis]) < 1e-6
    return _Axis(axis, high - low, across, at, cost, lost, must, rules)


def _tightened(axis: _Axis, largest: float) -> _Axis:
    tight = object.__new__(_Axis)
    tight.__dict__.update(axis.__dict__)
    tight.spacings = axis.spacings[axis.spacings <= largest + 1e-9]
    return tight


def _chord(region: shapely.Polygon, axis: int, at: float) -> shapely.MultiLineString:
    """The line at a place inside the region; what runs along its rim is no line."""
    low, high = region.bounds[1 - axis] - 1.0, region.bounds[3 - axis] + 1.0
    ends = [(at, low), (at, high)] if axis == 0 else [(low, at), (high, at)]
    parts = shapely.get_parts(shapely.LineString(ends).intersection(region))
    inside = [
        part for part in parts if part.geom_type == "LineString" and part.length > 1e-9 and part.centroid.distance(region.boundary) > 1e-6
    ]
    return shapely.MultiLineString(inside)


def _clipped(region: shapely.Polygon, dead: BaseGeometry, axes: list[_Axis], chosen: "tuple[np.ndarray, np.ndarray]") -> tuple[Cut, ...]:
    cuts = []
    for axis, picks in zip(axes, chosen, strict=True):
        for index in picks:
            for part in shapely.get_parts(_chord(region, axis.axis, float(axis.at[index]))):
                (x1, y1), (x2, y2) = part.coords[0], part.coords[-1]
                cuts.append(Cut((x1, y1), (x2, y2), part.intersection(dead).length))
    return tuple(cuts)


def _faults(piece: shapely.Polygon, region: shapely.Polygon, rules: CutRules) -> int:
    """Sharp corners that the lines made, plus one for a sliver."""
    points = shapely.get_coordinates(piece.exterior.simplify(1e-6))[:-1]
    before, after = np.roll(points, 1, axis=0) - points, np.roll(points, -1, axis=0) - points
    cosine = np.sum(before * after, axis=1) / (np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1))
    own = {(round(x, 5), round(y, 5)) for x, y in shapely.get_coordinates(region)}
    made = np.array([(round(float(x), 5), round(float(y), 5)) not in own for x, y in points])
    sharp = int(np.sum(made & (np.arccos(np.clip(cosine, -1, 1)) < _SHARP_RAD - 1e-9)))
    narrow = 2 * piece.area / max(piece.length, 1e-12) < rules.max_size / 8
    return sharp + int(narrow)
