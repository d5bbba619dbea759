"""Laps of bars measured between the ends of the bars as placed, and how far they lie from their neighbours' laps."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, Point

from slabwright.studies.bars.order import Placed

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
    """

    where: str
    size: str
    ends: tuple[tuple[float, float], tuple[float, float]]
    length_m: float
    required_m: float
    is_straight: bool
    is_apart: bool


def laps_of(placed: Sequence[Placed]) -> tuple[Lap, ...]:
    """Every lap, measured on the bars.

    Parameters
    ----------
    placed : sequence of Placed
    """
    lines: dict[int, list[Placed]] = defaultdict(list)
    for one in placed:
        lines[id(one.wanted)].append(one)
    found: list[tuple[Placed, tuple[tuple[float, float], tuple[float, float]], bool]] = []
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
    return tuple(
        Lap(
            where=one.wanted.where,
            size=one.wanted.rules.bar.name,
            ends=ends,
            length_m=math.dist(*ends),
            required_m=one.wanted.rules.lap_m,
            is_straight=straight,
            is_apart=not any(_beside(ends, other) for other in _neighbours(one, found)),
        )
        for one, ends, straight in found
    )


def _neighbours(
    one: Placed, found: Sequence[tuple[Placed, tuple[tuple[float, float], tuple[float, float]], bool]]
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    mine = one.wanted
    return [
        ends
        for other, ends, _ in found
        if other.wanted.asked == mine.asked
        and other.wanted.where == mine.where
        and other.wanted.chain == mine.chain
        and abs(other.wanted.rank - mine.rank) == 1
    ]


def _beside(one: tuple[tuple[float, float], tuple[float, float]], other: tuple[tuple[float, float], tuple[float, float]]) -> bool:
    """True where two parallel laps lie side by side over some length."""
    length = math.dist(*one)
    if length < 1e-9 or shapely.LineString(one).distance(shapely.LineString(other)) > 1.0:
        return False
    ux, uy = (one[1][0] - one[0][0]) / length, (one[1][1] - one[0][1]) / length
    places = sorted((x - one[0][0]) * ux + (y - one[0][1]) * uy for x, y in other)
    aside = max(abs(-(x - one[0][0]) * uy + (y - one[0][1]) * ux) for x, y in other)
    return aside < 1.0 and places[0] < length - _SAME_M and places[1] > _SAME_M and places[1] - places[0] > 0.5 * math.dist(*other)
