"""Laps of bars measured between the ends of the bars as placed, and how far they lie from their neighbours' laps."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, Point

from slabwright.model.steel import Zone
from slabwright.studies.bars.order import Placed
from slabwright.studies.bars.windows import LAP_CLEARANCE_M

Ends = tuple[tuple[float, float], tuple[float, float]]
_SAME_M = 1e-3


@dataclass(frozen=True, slots=True)
class Lap:
    """One lap as placed.

    Attributes
    ----------
    where : str
    size : str
    ends : tuple of points
        Start of the later bar and end of the earlier. [m]
    length_m, required_m : float
        [m]
    is_straight : bool
        Both ends lie on one straight leg of both bars.
    is_apart : bool
        No lap of a neighbouring bar lies beside it.
    crossed : str
        The joint that crosses the bars at the lap or too near to it; empty where none does.
    depth_m : float
        Of the bars below the top. [m]
    """

    where: str
    size: str
    ends: Ends
    length_m: float
    required_m: float
    is_straight: bool
    is_apart: bool
    crossed: str = ""
    depth_m: float = 0.0


def laps_of(placed: Sequence[Placed], cuts: Mapping[str, LineString] | None = None) -> tuple[Lap, ...]:
    """Every lap, measured on the bars.

    Parameters
    ----------
    placed : sequence of Placed
    cuts : mapping of str to LineString, optional
        Joints by their names.
    """
    lines: dict[int, list[Placed]] = defaultdict(list)
    for one in placed:
        lines[id(one.wanted)].append(one)
    found: list[tuple[Placed, Ends, bool]] = []
    for mine in lines.values():
        ordered = sorted(mine, key=lambda one: one.start_m)
        pairs = list(pairwise(ordered))
        if mine[0].wanted.path.is_closed and mine[0].wanted.is_lapped:
            pairs.append((ordered[-1], ordered[0]))
        for before, after in pairs:
            end, start = before.path.corners[-1], after.path.corners[0]
            last_leg, first_leg = LineString(before.path.corners[-2:]), LineString(after.path.corners[:2])
            straight = last_leg.distance(Point(start)) < _SAME_M and first_leg.distance(Point(end)) < _SAME_M
            found.append((before, (start, end), straight))
    found += _laps_of_bent(placed)
    return tuple(
        Lap(
            where=one.wanted.where,
            size=one.wanted.rules.bar.name,
            ends=ends,
            length_m=math.dist(*ends),
            required_m=one.wanted.rules.lap_m,
            is_straight=straight,
            is_apart=not any(_beside(ends, other) for other in _neighbours(one, found)),
            crossed=next((name for name, cut in (cuts or {}).items() if _is_crossed(ends, cut)), ""),
            depth_m=one.wanted.path.depth_m,
        )
        for one, ends, straight in found
    )


def _is_crossed(ends: Ends, cut: LineString) -> bool:
    """Whether a joint crosses the bars at their lap, or nearer to it than the clearance."""
    (x1, y1), (x2, y2) = ends
    length = math.dist(*ends)
    if length < _SAME_M:
        return False
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    far = LAP_CLEARANCE_M - _SAME_M
    return bool(LineString([(x1 - far * ux, y1 - far * uy), (x2 + far * ux, y2 + far * uy)]).crosses(cut))


def _laps_of_bent(placed: Sequence[Placed]) -> list[tuple[Placed, Ends, bool]]:
    """The lap at each tip of the bars round the corners of the edge: the longest with a bar that it lies along."""
    lines: dict[tuple[int, str, int], list[Placed]] = defaultdict(list)
    for one in placed:
        if one.wanted.zone is Zone.EDGE:
            lines[one.wanted.asked, one.wanted.where, one.wanted.rank].append(one)
    found: list[tuple[Placed, Ends, bool]] = []
    for mine in lines.values():
        legs = [(other, leg) for other in mine for leg in _end_legs(other)]
        for one in mine:
            for leg in _end_legs(one) if not one.wanted.is_lapped else ():
                shared = [both for other, theirs in legs if other is not one and (both := _shared(leg, theirs)) is not None]
                if shared:
                    found.append((one, *max(shared, key=lambda both: math.dist(*both[0]))))
    return found


def _shared(mine: "_EndLeg", theirs: "_EndLeg") -> tuple[Ends, bool] | None:
    """From tip to tip of two legs that face each other on one line, and whether both are clear of bends; None where they do not meet."""
    (x0, y0), (ux, uy) = mine.base, mine.along
    tip, base = ((x - x0) * ux + (y - y0) * uy for x, y in (theirs.tip, theirs.base))
    aside = max(abs((y - y0) * ux - (x - x0) * uy) for x, y in (theirs.tip, theirs.base))
    if aside > _SAME_M or not -_SAME_M < tip < mine.length_m - _SAME_M or base < mine.length_m - _SAME_M:
        return None
    return (theirs.tip, mine.tip), tip >= mine.bend_m - _SAME_M and base - mine.length_m >= theirs.bend_m - _SAME_M


@dataclass(frozen=True, slots=True)
class _EndLeg:
    """The straight leg at one end of a bar: from its bend, or its other end, to its tip."""

    base: tuple[float, float]
    tip: tuple[float, float]
    along: tuple[float, float]
    length_m: float
    bend_m: float


def _end_legs(one: Placed) -> Iterator[_EndLeg]:
    corners, turns = one.path.corners, one.path.turns_rad
    for tip, base, turn in ((corners[-1], corners[-2], turns[-2]), (corners[0], corners[1], turns[1])):
        length = math.dist(tip, base)
        along = ((tip[0] - base[0]) / length, (tip[1] - base[1]) / length)
        yield _EndLeg(base, tip, along, length, one.path.bend_radius_m * math.tan(abs(float(turn)) / 2) if len(corners) > 2 else 0.0)


def _neighbours(one: Placed, found: Sequence[tuple[Placed, Ends, bool]]) -> list[Ends]:
    mine = one.wanted
    return [
        ends
        for other, ends, _ in found
        if other.wanted.asked == mine.asked
        and other.wanted.where == mine.where
        and (other.wanted.chain == mine.chain or mine.zone is Zone.EDGE)
        and abs(other.wanted.rank - mine.rank) == 1
    ]


def _beside(one: Ends, other: Ends) -> bool:
    """True where two parallel laps lie side by side over some length."""
    length = math.dist(*one)
    if length < 1e-9 or shapely.LineString(one).distance(shapely.LineString(other)) > 1.0:
        return False
    ux, uy = (one[1][0] - one[0][0]) / length, (one[1][1] - one[0][1]) / length
    places = sorted((x - one[0][0]) * ux + (y - one[0][1]) * uy for x, y in other)
    aside = max(abs(-(x - one[0][0]) * uy + (y - one[0][1]) * ux) for x, y in other)
    return aside < 1.0 and places[0] < length - _SAME_M and places[1] > _SAME_M and places[1] - places[0] > 0.5 * math.dist(*other)
