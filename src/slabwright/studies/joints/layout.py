"""Lines proposed for a floor: candidates, the solver that fits its outline, and the order in which rules yield."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible
from slabwright.solvers.partition import Cut, CutRules, Layout, cut_rectangle, cut_rectilinear, cut_skewed
from slabwright.standards.aci_302_1r import MOST_THICKNESSES
from slabwright.studies.joints.ground import CLEARANCE_M, JointGround
from slabwright.studies.joints.isolation import interrupted
from slabwright.studies.joints.whole_steps import in_whole_steps

Floats = NDArray[np.float64]

_PROOF_TIME_S = 6.0
_HAIR_M = 1e-6
TEE_COST_M = 2.0
"""Line that a joint dying against another is worth avoiding; a choice, no source."""
_DETOUR = 1.3
"""How much more line than usual a layout without tees may take before tees are proposed instead; a choice, no source."""
MOST_LINES, MOST_LINES_WITH_TEES = 28, 20
"""Candidate lines each way on floors with corners; more proves a finer optimum and takes longer, with tees much longer."""
_FINE_LINES = 4000
"""Above this many grid lines a rectangle's candidates are thinned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One set of rules to try.

    Attributes
    ----------
    thicknesses : float
        Spacing limit in slab thicknesses.
    aspect : float or None
        None for that of the job.
    tees : bool
    dead : bool
        False to ignore what lies under the floor.
    """

    thicknesses: float
    aspect: float | None = None
    tees: bool = False
    dead: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A layout, the rules it was found under and the region that was cut (corners grown clear of strips)."""

    trial: Trial
    layout: Layout
    region: shapely.Polygon
    served: tuple[tuple[float, float], ...]
    unserved: tuple[tuple[float, float], ...]


def propose(ground: JointGround) -> Proposal:
    """The best layout; where no layout meets all rules, the least of them yields.

    Raises
    ------
    Infeasible
        If even the widest rules leave no layout.
    """
    asked = ground.spacing.n_thicknesses
    first = _first(ground, asked)
    if first is not None:
        return first
    widest = max(asked, MOST_THICKNESSES)
    trials = []
    if asked < widest:
        trials.append(Trial(thicknesses=widest, tees=True))
    trials.append(Trial(thicknesses=widest, tees=True, aspect=2.0))
    trials.append(Trial(thicknesses=max(asked, 48.0), tees=True, aspect=2.5))
    failure: Infeasible | None = None
    for trial in trials:
        try:
            return attempt(ground, trial)
        except Infeasible as error:
            failure = error
    assert failure is not None
    raise failure


def _first(ground: JointGround, thicknesses: float) -> Proposal | None:
    """At the spacing asked for: without tees where that costs no more than a detour, else with the fewest."""
    strict = Trial(thicknesses=thicknesses)
    if not is_rectilinear(ground.region):  # there a tee is one fault among others, and the solver weighs them
        return _or_none(ground, replace(strict, tees=ground.wishes.allow_tees))
    loose = Trial(thicknesses=thicknesses, tees=True)
    without = None if ground.wishes.allow_tees else _or_none(ground, strict)
    if without is not None and (
        without.layout.length < _DETOUR * _usual_length_m(ground, thicknesses) or _plain_rectangle(ground, ground.region)
    ):
        return without
    with_tees = _or_none(ground, loose)
    if without is None or with_tees is None:
        return without or with_tees
    return with_tees if _DETOUR * with_tees.layout.length < without.layout.length else without


def _usual_length_m(ground: JointGround, thicknesses: float) -> float:
    """Line that a square grid at the spacing of each part of the floor takes: twice its area over the spacing. [m]"""
    area = length = 0.0
    for part in ground.floor.thickness_regions:
        inside = shapely.Polygon(part.within).intersection(ground.region).area
        area += inside
        length += 2 * inside / min(ground.cap_m, thicknesses * part.thickness_m)
    return length + 2 * (ground.region.area - area) / min(ground.cap_m, thicknesses * ground.floor.thickness_m)


def _or_none(ground: JointGround, trial: Trial) -> Proposal | None:
    try:
        return attempt(ground, trial)
    except Infeasible:
        return None


def attempt(ground: JointGround, trial: Trial, region: shapely.Polygon | None = None) -> Proposal:
    """The best layout under one set of rules, with corners served by lines or, where a strip runs into one, by bars.

    A region given is cut as it is; otherwise the floor's own and those with corners grown clear of strips are tried.

    Raises
    ------
    Infeasible
        If there is none.
    """
    regions = [region if region is not None else ground.region]
    if trial.tees and region is None and is_rectilinear(ground.region):
        regions += [
            grown for parts in (ground.dead_parts, tuple(shapely.get_parts(ground.dead))) if (grown := _grown(ground, parts)) is not None
        ]
    found = [one for region in regions if (one := _failing_softly(ground, region, trial)) is not None]
    if not found:
        raise Infeasible("no lines meet the rules for this floor.")
    return min(found, key=lambda one: one.layout.lost + 0.02 * one.layout.length + 0.3 * len(one.unserved))


def _failing_softly(ground: JointGround, region: shapely.Polygon, trial: Trial) -> Proposal | None:
    try:
        layout = _solved(ground, region, trial)
    except Infeasible:
        return None
    if region is not ground.region:
        layout = _clipped(layout, ground)
    if not is_rectilinear(region):
        layout = in_whole_steps(layout, region, _rules(ground, trial), ground, trial.thicknesses)
    layout = replace(layout, cuts=interrupted(layout.cuts, ground.posts))
    served, unserved = _corners(ground, layout)
    return Proposal(trial=trial, layout=layout, region=region, served=served, unserved=unserved)


def _rules(ground: JointGround, trial: Trial) -> CutRules:
    largest = min(ground.cap_m, trial.thicknesses * ground.thickest_m()) + 1e-6
    return CutRules(
        max_size=largest,
        max_aspect=trial.aspect or ground.greatest_aspect(),
        min_size=min(ground.edge_skirt_m + CLEARANCE_M, ground.least_width_share() * largest),
        sharp_rad=ground.least_corner_rad(),
    )


def _solved(ground: JointGround, region: shapely.Polygon, trial: Trial) -> Layout:
    dead = ground.dead if trial.dead else shapely.Polygon()
    rules = _rules(ground, trial)
    if not is_rectilinear(region):
        return cut_skewed(
            region,
            rules,
            dead=dead,
            islands=ground.islands,
            keep=tuple(Cut(line[0], line[1]) for line in ground.wishes.pinned),
            forbid=tuple(shapely.LineString(line) for line in ground.wishes.forbidden),
            size_at=(lambda x, y: ground.spacing_at(x, y, trial.thicknesses)) if ground.floor.thickness_regions else None,
            least_share=ground.least_width_share(),
            tee_cost=TEE_COST_M if trial.tees else np.inf,
            step=ground.step_m,
            time_limit_s=_PROOF_TIME_S,
        )
    if _plain_rectangle(ground, region):
        return _rectangle(ground, region, rules, dead)
    return cut_rectilinear(
        region,
        tuple(_few(ground, region, axis, trial) for axis in (0, 1)),  # type: ignore[arg-type]
        rules,
        dead=dead,
        islands=ground.islands,
        keep=tuple(Cut(line[0], line[1]) for line in ground.wishes.pinned),
        forbid=shapely.union_all([shapely.LineString(line) for line in ground.wishes.forbidden]) if ground.wishes.forbidden else None,
        size_at=lambda x, y: ground.spacing_at(x, y, trial.thicknesses),
        least_share=ground.least_width_share(),
        tee_cost=TEE_COST_M if trial.tees else np.inf,
        time_limit_s=_PROOF_TIME_S,
    )


def _plain_rectangle(ground: JointGround, region: shapely.Polygon) -> bool:
    return len(region.exterior.coords) == 5 and not region.interiors and not ground.floor.thickness_regions and not ground.wishes.pinned


def _rectangle(ground: JointGround, region: shapely.Polygon, rules: CutRules, dead: BaseGeometry) -> Layout:
    low_x, low_y, high_x, high_y = region.bounds
    shift = np.array([low_x, low_y])
    moved = shapely.transform(dead, lambda points: points - (low_x, low_y))
    spans = (high_x - low_x, high_y - low_y)
    candidates = []
    for axis, span in enumerate(spans):
        step = ground.step_m * max(1.0, np.ceil(span / ground.step_m / _FINE_LINES))
        fewest = int(np.ceil(span / rules.max_size))
        even = [span * k / n for n in range(max(fewest, 2), 2 * fewest + 2) if n <= 40 for k in range(1, n)]
        at = np.unique(
            np.round(
                np.concatenate(
                    [
                        np.arange(step, span, step),
                        even,
                        ground.islands.at[:, axis] - (low_x, low_y)[axis],
                        [end - (low_x, low_y)[axis] for end in _gap_ends(ground.dead_parts, axis)],
                    ]
                ),
                6,
            )
        )
        candidates.append(at[_allowed(at + (low_x, low_y)[axis], axis, ground)])
    layout = cut_rectangle(spans, (candidates[0], candidates[1]), rules, dead=moved, islands=ground.islands.moved(-shift))
    cuts = tuple(_moved(cut, shift) for cut in layout.cuts)
    pieces = tuple(shapely.transform(piece, lambda points: points + shift) for piece in layout.pieces)
    return replace(layout, cuts=cuts, pieces=pieces)


def _moved(cut: Cut, shift: Floats) -> Cut:
    start, end = np.asarray(cut.start) + shift, np.asarray(cut.end) + shift
    return Cut((float(start[0]), float(start[1])), (float(end[0]), float(end[1])), cut.lost)


def _gap_ends(parts: Sequence[BaseGeometry], axis: int) -> list[float]:
    """Positions just clear of each thing that lines should miss; a line along its very rim would count as lost."""
    return [bound for part in parts for bound in (part.bounds[axis] - _HAIR_M, part.bounds[axis + 2] + _HAIR_M)]


def _few(ground: JointGround, region: shapely.Polygon, axis: int, trial: Trial) -> Floats:
    """The lines a person would think of: even divisions between corners, moved clear of what lies under the floor.

    Corners, pinned lines, drains and isolated posts come first, then the fewest even divisions between neighbouring corners, lines and
    drains, then those of wider spans and up to posts, then one division more, then the ends of gaps; of each only what is not next to
    a line already there.
    """
    corners = np.round(shapely.get_coordinates(region)[:, axis], 6)
    firm = np.unique(np.concatenate([corners, _along(ground.wishes.pinned, axis), _along(ground.channels, axis)]))
    fixed = np.unique(np.concatenate([firm, ground.islands.at[:, axis]]))
    ends = np.array(_gap_ends(ground.dead_parts, axis)) if trial.dead else np.empty(0)
    tiers: list[list[float]] = [[], [], [], [float(end) for end in ends]]
    neighbours = set(pairwise(firm))
    for low, high in combinations(fixed, 2):
        span = high - low
        least = int(np.ceil(span / min(ground.cap_m, trial.thicknesses * ground.thickest_m()) - 1e-9))
        most = int(np.ceil(span / min(ground.cap_m, trial.thicknesses * ground.thinnest_m()) - 1e-9))
        for n in {least, most, most + 1}:
            rank = 2 if n > most else 0 if (low, high) in neighbours else 1
            tiers[rank] += [_clear(low + span * k / n, ends, ground.step_m / 6) for k in range(1, n)]
    at = list(fixed)
    for tier in tiers:
        for one in tier:
            if (
                len(at) < (MOST_LINES_WITH_TEES if trial.tees else MOST_LINES)
                and min(abs(one - other) for other in at) > 0.4 * ground.step_m
            ):
                at.append(one)
    chosen = np.sort(np.array(at))
    return chosen[_allowed(chosen, axis, ground)]


def _along(lines: Sequence[Sequence[tuple[float, float]]], axis: int) -> list[float]:
    """Positions of the given lines that run across this axis."""
    return [line[0][axis] for line in lines if abs(line[0][axis] - line[-1][axis]) < 1e-6]


def _clear(at: float, ends: Floats, step: float) -> float:
    """A position on the dimension grid, or the end of a gap where one lies within a step of it."""
    near = ends[np.abs(ends - at) < step] if len(ends) else ends
    return float(near[np.argmin(np.abs(near - at))]) if len(near) else round(at / step) * step


def _allowed(at: Floats, axis: int, ground: JointGround) -> NDArray[np.bool_]:
    lines = [line[0][axis] for line in ground.wishes.forbidden if abs(line[0][axis] - line[1][axis]) < 1e-6]
    return np.all([np.abs(at - one) > 0.05 for one in lines], axis=0) if lines else np.ones(len(at), dtype=bool)


def is_rectilinear(region: shapely.Polygon) -> bool:
    """Whether every side runs along x or y."""
    for ring in (region.exterior, *region.interiors):
        if np.any(np.min(np.abs(np.diff(shapely.get_coordinates(ring), axis=0)), axis=1) > 1e-6):
            return False
    return True


def _grown(ground: JointGround, parts: Sequence[BaseGeometry]) -> shapely.Polygon | None:
    """The region with each re-entrant corner that a strip or pad runs into moved clear of it; None where there is none."""
    added = []
    for x, y in ground.corners:
        for part in parts:
            if part.buffer(1e-6).covers(shapely.Point(x, y)):
                low_x, low_y, high_x, high_y = part.buffer(_HAIR_M, join_style="mitre").bounds
                outside = [
                    box
                    for box in (
                        shapely.box(x, y, high_x, ground.region.bounds[3]),
                        shapely.box(low_x, y, x, ground.region.bounds[3]),
                        shapely.box(x, ground.region.bounds[1], high_x, y),
                        shapely.box(low_x, ground.region.bounds[1], x, y),
                    )
                    if high_x - low_x < high_y - low_y and box.area > 1e-9 and box.intersection(ground.region).area < 1e-9
                ]
                added += outside[:1]
    if not added:
        return None
    grown = shapely.union_all([ground.region, *added])
    return grown if isinstance(grown, shapely.Polygon) else None


def _clipped(layout: Layout, ground: JointGround) -> Layout:
    cuts = []
    for cut in layout.cuts:
        for part in shapely.get_parts(shapely.LineString([cut.start, cut.end]).intersection(ground.region.buffer(-1e-7))):
            if part.length > 0.05:
                (x1, y1), (x2, y2) = part.coords[0], part.coords[-1]
                start, end = (round(x1, 6), round(y1, 6)), (round(x2, 6), round(y2, 6))
                cuts.append(Cut(start, end, part.intersection(ground.dead).length))
    pieces = tuple(
        one
        for piece in layout.pieces
        for one in shapely.get_parts(piece.intersection(ground.region))
        if isinstance(one, shapely.Polygon) and one.area > 1e-3
    )
    return replace(layout, cuts=tuple(cuts), pieces=pieces)


def _corners(ground: JointGround, layout: Layout) -> tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]]:
    lines: Sequence[BaseGeometry] = [shapely.LineString([cut.start, cut.end]) for cut in layout.cuts]
    on = [any(line.distance(shapely.Point(corner)) < 1e-3 for line in lines) for corner in ground.corners]
    served = tuple(corner for corner, yes in zip(ground.corners, on, strict=True) if yes)
    return served, tuple(corner for corner, yes in zip(ground.corners, on, strict=True) if not yes)
