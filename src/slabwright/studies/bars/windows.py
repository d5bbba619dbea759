"""Where along a line of steel its laps may lie: on straight legs, off the joints, by turns with its neighbours."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from slabwright.sources import practice
from slabwright.studies.bars.paths import Path
from slabwright.studies.bars.wanted import Wanted

Windows = tuple[tuple[int, int], ...]

LAP_CLEARANCE_M = 0.150
"""Distance of a lap from a joint that the bars cross, 6 in.: common practice, no source."""
OFF_JOINTS = practice("laps of bars clear of the joints that cross them, by 6 in. (150 mm)")
_STRAIGHT_RAD = math.radians(2.0)


@dataclass(frozen=True, slots=True)
class Line:
    """A run in whole units: how long, where it begins on its path, where its laps may lie."""

    wanted: Wanted
    length: int
    start_m: float
    windows: Windows


def units_down(length_m: float, unit_m: float) -> int:
    """Whole units within a length, a float's last digits aside."""
    return int(length_m / unit_m + 1e-6)


def units_up(length_m: float, unit_m: float) -> int:
    """Whole units that hold a length, a float's last digits aside."""
    return math.ceil(length_m / unit_m - 1e-6)


def line_of(
    one: Wanted, first: Wanted, period_m: float, unit_m: float, phase: float | None, cuts: Sequence[shapely.LineString] = ()
) -> Line | None:
    """A run with the windows of its laps: straight legs, of which neighbours take every other part by turns.

    Parameters
    ----------
    one, first : Wanted
        The line, and the first of those beside each other.
    period_m : float
        Of the turns: a line laps in one half of it, its neighbours in the other. [m]
    unit_m : float
        [m]
    phase : float or None
        Where along the line the turns begin, a fraction of a turn; None to let laps lie anywhere.
    cuts : sequence of shapely.LineString
        Joints that laps keep clear of.

    Returns
    -------
    Line or None
        None where a ring has no room for the lap that closes it.
    """
    path, lap_m = one.path, one.rules.lap_m
    clear = 2 * one.rules.bar.diameter_m
    taken = [
        (float(path.along_m[k]) - path.set_back_m(k) - clear, float(path.along_m[k]) + path.set_back_m(k) + clear)
        for k in range(len(path.corners))
        if abs(float(path.turns_rad[k])) > _STRAIGHT_RAD
    ]
    taken += [(at - LAP_CLEARANCE_M, at + LAP_CLEARANCE_M) for at in path.crossed_m(cuts)]
    turns = _own_turns(one, first, period_m, phase)
    if not path.is_closed:
        free = _without(turns, taken)
        is_free = free == [(0.0, path.length_m)]
        return Line(one, units_up(path.length_m, unit_m), 0.0, () if is_free else _in_units(free, path.length_m, unit_m))
    around = path.length_m
    free = _without(turns, [*taken, *((a + around, b + around) for a, b in taken)])
    widest = max(free, key=lambda window: window[1] - window[0], default=(0.0, 0.0))
    if widest[1] - widest[0] < lap_m + unit_m:
        return None
    start = widest[0]
    moved = [(a - start, b - start) for a, b in free] + [(a - start + around, b - start + around) for a, b in free]
    return Line(one, units_up(around + lap_m, unit_m), start, _in_units(moved, around + lap_m, unit_m))


def _own_turns(one: Wanted, first: Wanted, period_m: float, phase: float | None) -> list[tuple[float, float]]:
    """The parts of a line in which it may lap: all of it, or every other half period, its neighbours having the others.

    The periods divide a ring evenly. They are marked off on the first rank and carried over corner by corner, so that
    they lie side by side on rings of different length; on straight lines by where each begins.
    """
    path = one.path
    if phase is None:
        return [(0.0, path.length_m)]
    base = first.path
    step = base.length_m / math.ceil(base.length_m / period_m - 1e-9) if base.is_closed else period_m
    gap = one.rules.lap_m / 4
    marks = [(k + one.rank % 2 / 2 + phase) * step for k in range(-1, int(base.length_m / step) + 1)]
    if len(path.corners) == 2 == len(base.corners):
        ahead = _ahead_m(path, base)
        low, high = math.floor(ahead / step) - 1, math.ceil((ahead + path.length_m) / step)
        marks = [(k + one.rank % 2 / 2 + phase) * step - ahead for k in range(low, high + 1)]
        parts = [(max(0.0, mark), min(mark + step / 2 - gap, path.length_m)) for mark in marks]
        return [(a, b) for a, b in parts if b > a]
    parts = [(max(0.0, mark), min(mark + step / 2 - gap, base.length_m)) for mark in marks]
    parts = [(a, b) for a, b in parts if b > a]
    if len(base.along_m) != len(path.along_m):
        share = path.length_m / base.length_m
        return [(a * share, b * share) for a, b in parts]
    return [(float(a), float(b)) for a, b in (np.interp(part, base.along_m, path.along_m) for part in parts)]


def _ahead_m(path: Path, base: Path) -> float:
    """How far a straight line begins beyond another beside it, along that one. [m]"""
    along = base.points[1] - base.points[0]
    return float((path.points[0] - base.points[0]) @ along / np.hypot(*along))


def _without(parts: Sequence[tuple[float, float]], taken: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches less what is taken out of them."""
    free: list[tuple[float, float]] = []
    for a, b in parts:
        for start, end in sorted(taken):
            if start < b and end > a:
                if start > a:
                    free.append((a, start))
                a = max(a, end)
        if b > a:
            free.append((a, b))
    return free


def _in_units(windows: Sequence[tuple[float, float]], high: float, unit_m: float) -> Windows:
    kept = sorted((units_up(max(a, 0.0), unit_m), units_down(min(b, high), unit_m)) for a, b in windows if b > 0.0 and a < high)
    return tuple((a, b) for a, b in kept if b > a)
