"""Any simple polygon, cut by lines along two directions at right angles: near best, with the gap to a bound.

Lines run from side to side of the outline along its main direction and across it. Each direction is solved as in
:mod:`rectangle`, a line costing its true length inside the outline; among the best few layouts the one with the fewest sharp
corners and slivers is taken. The bound ignores sharp corners and slivers.
"""

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible
from slabwright.solvers.partition.layout import LOST_WEIGHT, Cut, CutRules, Layout, pieces_of
from slabwright.solvers.partition.rectangle import _Axis, _joined

_SHARP_RAD = np.deg2rad(60.0)
_FAULT_COST = 1e2
"""Cost of one sharp corner or sliver, in length: dear against line, cheap against lost length."""


def cut_skewed(region: shapely.Polygon, rules: CutRules, *, dead: BaseGeometry | None = None, step: float | None = None) -> Layout:
    """Lines along and across the main direction of a region.

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
    for shift in (0.0, 0.5):
        axes = [_axis(turned, turned_dead, axis, rules, step, shift) for axis in (0, 1)]
        for shrink in (1.0, 0.95, 0.9, 0.85, 0.8):
            tighter = [_tightened(axis, shrink * rules.max_size) for axis in axes]
            cost, chosen = _joined(tighter[0], tighter[1], rules.max_aspect)
            if chosen is None:
                continue
            floor = min(floor, cost)
            cuts = _clipped(turned, turned_dead, axes, chosen)
            pieces = pieces_of(turned, cuts)
            faults = sum(_faults(piece, turned, rules) for piece in pieces)
            total = sum(cut.length + LOST_WEIGHT * cut.lost for cut in cuts) + _FAULT_COST * faults
            if best is None or total < best.cost - 1e-9:
                best = Layout(cuts=cuts, pieces=pieces, cost=total, bound=min(floor, total))
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


def _axis(region: shapely.Polygon, dead: BaseGeometry, axis: int, rules: CutRules, step: float, shift: float) -> _Axis:
    low, high = region.bounds[axis], region.bounds[axis + 2]
    corners = np.unique(np.round(shapely.get_coordinates(region)[:, axis], 7))
    grid = np.arange(low + (0.5 + shift) * step, high, step)
    at = np.unique(np.concatenate([[low, high], grid, corners]))
    chords = [_chord(region, axis, float(one)) for one in at]
    lost = np.array([chord.intersection(dead).length for chord in chords])
    cost = np.array([chord.length for chord in chords]) + LOST_WEIGHT * lost
    cost[[0, -1]] = lost[[0, -1]] = 0.0
    across = region.bounds[3 - axis] - region.bounds[1 - axis]
    return _Axis(axis, high - low, across, at, cost, lost, np.zeros(len(at), dtype=bool), rules)


def _tightened(axis: _Axis, largest: float) -> _Axis:
    tight = object.__new__(_Axis)
    tight.__dict__.update(axis.__dict__)
    tight.spacings = axis.spacings[axis.spacings <= largest + 1e-9]
    return tight


def _chord(region: shapely.Polygon, axis: int, at: float) -> BaseGeometry:
    low, high = region.bounds[1 - axis] - 1.0, region.bounds[3 - axis] + 1.0
    ends = [(at, low), (at, high)] if axis == 0 else [(low, at), (high, at)]
    return shapely.LineString(ends).intersection(region)


def _clipped(region: shapely.Polygon, dead: BaseGeometry, axes: list[_Axis], chosen: "tuple[np.ndarray, np.ndarray]") -> tuple[Cut, ...]:
    cuts = []
    for axis, picks in zip(axes, chosen, strict=True):
        for index in picks:
            for part in shapely.get_parts(_chord(region, axis.axis, float(axis.at[index]))):
                if part.geom_type == "LineString" and part.length > 1e-9:
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
