"""From lines of steel to bars: laps placed, pieces cut from stock, all zones of one size together."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slabwright.errors import Infeasible, MissingInput
from slabwright.model.steel import Zone
from slabwright.solvers.cutting.lapping import NEVER, cheapest_row, windows_as_arrays
from slabwright.solvers.cutting.plan import Stock
from slabwright.solvers.cutting.runs import Extras, Run, RunPlan, lay_runs, offered_lengths
from slabwright.standards.iso_3766 import bar_cut_length
from slabwright.studies.bars.paths import Path
from slabwright.studies.bars.wanted import Wanted
from slabwright.units import INCH_M, Family

Line = tuple[tuple[int, int], ...]
Windows = tuple[tuple[int, int], ...]

_LEAST_STOCK_M = 0.3
"""Below it a stock length is a slip of the pen; a choice, no source. [m]"""
_STOCK = 100_000
_LAP = 200
_CUT = 20
_MOST_CLOSERS = 8
_PHASES = (0.0, 0.25, 0.5, 0.75)
_STRAIGHT_RAD = math.radians(2.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One bar in its place.

    Attributes
    ----------
    wanted : Wanted
        The line it is a part of.
    path : Path
    cut_m : float
        Length to cut. [m]
    start_m, end_m : float
        Along its line. [m]
    """

    wanted: Wanted
    path: Path
    cut_m: float
    start_m: float
    end_m: float

    @property
    def outside_legs_m(self) -> tuple[float, ...]:
        """Legs as the bar list states them. [m]"""
        hook = (self.wanted.rules.hook_leg_m,)
        hooks = self.wanted.hooks
        return (*hook * (hooks > 0), *self.path.outside_legs_m(self.wanted.rules.bar.diameter_m), *hook * (hooks > 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Bars of one size, cut together.

    Attributes
    ----------
    size : str
    stock_m : tuple of float
        [m]
    placed : tuple of Placed
    plan : RunPlan
    unit_m : float
        Step of the plan. [m]
    is_staggered : bool
        True where laps of neighbours were kept apart.
    alone : int
        Stock bars if every line were laid and cut by itself, whole bars and a closer: the count by hand.
    """

    size: str
    stock_m: tuple[float, ...]
    placed: tuple[Placed, ...]
    plan: RunPlan
    unit_m: float
    is_staggered: bool
    alone: int

    @property
    def n_stock(self) -> dict[float, int]:
        """Bars to buy of each stock length. [m]"""
        count: dict[float, int] = dict.fromkeys(self.stock_m, 0)
        for one in self.plan.cut.patterns:
            count[self.stock_m[one.stock]] += one.times
        return {length: n for length, n in count.items() if n}


def batches(wanted: Sequence[Wanted], family: Family) -> tuple[Batch, ...]:
    """Lay and cut every line of steel, size by size.

    Parameters
    ----------
    wanted : sequence of Wanted
    family : Family

    Raises
    ------
    MissingInput
        Where a bar is longer than any stock and may not be lapped, or a lap as long as the stock.
    """
    groups: dict[tuple[str, tuple[float, ...]], list[Wanted]] = defaultdict(list)
    for one in wanted:
        groups[one.rules.bar.name, one.rules.stock_m].append(one)
    return tuple(_batch(size, stock, lines, family) for (size, stock), lines in sorted(groups.items(), key=lambda one: one[0]))


def _batch(size: str, stock_m: tuple[float, ...], lines: list[Wanted], family: Family) -> Batch:
    unit = INCH_M / 2 if family is Family.US else 0.010
    if min(stock_m) < _LEAST_STOCK_M:
        raise MissingInput(f"{size}: a stock length of {min(stock_m):.3f} m is no bar; write in [[bars]] stock what the yard sells.")
    stock = [Stock(int(length / unit + 1e-6), round(_STOCK * length / max(stock_m))) for length in stock_m]
    longest = max(one.length for one in stock)
    single = [one for one in lines if not one.is_lapped or (not one.path.is_closed and _down(one.path.length_m, unit) <= longest)]
    runs = [one for one in lines if one not in single]
    loose: dict[int, int] = defaultdict(int)
    for one in single:
        length = _down(_cut_m(one), unit)
        if length > longest:
            raise MissingInput(
                f"{size} in {one.where} is {_cut_m(one):.2f} m long, longer than any stock length, and has no lap; "
                "name a longer stock length in [[bars]] or make it shorter."
            )
        loose[length] += 1
    try:
        laid, plan, is_staggered = _laid(runs, stock, dict(loose), unit)
    except Infeasible as error:
        raise MissingInput(f"{size}: {error} Change lap or stock in [[bars]].") from None
    placed = [
        Placed(wanted=one, path=one.path, cut_m=_down(_cut_m(one), unit) * unit, start_m=0.0, end_m=one.path.length_m) for one in single
    ]
    for one in runs:
        placed += _pieces(one, laid[id(one)], unit)
    return Batch(
        size=size,
        stock_m=stock_m,
        placed=tuple(placed),
        plan=plan,
        unit_m=unit,
        is_staggered=is_staggered,
        alone=_alone(runs, single, stock, unit),
    )


def _down(length_m: float, unit: float) -> int:
    return int(length_m / unit + 1e-6)


def _up(length_m: float, unit: float) -> int:
    return math.ceil(length_m / unit - 1e-6)


def _cut_m(one: Wanted) -> float:
    """Length to cut for a single bar, hooks and bends reckoned. [m]"""
    if one.hooks or len(one.path.corners) > 2:
        bends = {round(abs(float(turn)), 6) for turn in one.path.turns_rad[1:-1]}
        if bends <= {round(math.pi / 2, 6)}:
            rules = one.rules
            return bar_cut_length(
                legs_m=one.outside_legs_m, bar_diameter_m=rules.bar.diameter_m, bend_diameter_m=rules.bend_diameter_m
            ).cut_m
    return one.path.length_m


@dataclass(frozen=True, slots=True)
class _Line:
    """A run in whole units: how long, where it begins on its path, where its laps may lie."""

    wanted: Wanted
    length: int
    start_m: float
    windows: Windows


def _laid(
    runs: Sequence[Wanted], stock: Sequence[Stock], loose: dict[int, int], unit: float
) -> tuple[dict[int, tuple[float, Line]], RunPlan, bool]:
    """Rows of every run, by identity, with the plan: laps clear of bends, and of neighbours' laps where that can be."""
    sides: dict[tuple[int, str, int, int], list[Wanted]] = defaultdict(list)
    for one in runs:
        sides[one.asked, one.where, one.chain, round(one.path.length_m / 0.5) if one.zone is Zone.FLOOR else 0].append(one)
    lines: list[_Line] = []
    is_staggered = True
    for side in sides.values():
        phases: tuple[float | None, ...] = (*_PHASES, None) if len(side) > 1 else (None,)
        for phase in phases:
            found = [_line(one, side[0], max(each.length for each in stock) * unit, unit, phase) for one in side]
            if all(line is not None and _can_be_laid(line, stock, unit) for line in found) or phase is None:
                break
        is_staggered = is_staggered and (phase is not None or len(side) == 1)
        if None in found:
            raise Infeasible(f"the laps in the {side[0].where} find no straight length clear of bends.")
        lines += [line for line in found if line is not None]
    found_rows, plan = _solved(lines, stock, loose, unit)
    return found_rows, plan, is_staggered


def _can_be_laid(line: _Line, stock: Sequence[Stock], unit: float) -> bool:
    """True where some row of whole and cut bars has all its laps in the windows."""
    lap, longest = _up(line.wanted.rules.lap_m, unit), max(one.length for one in stock)
    pieces = np.arange(max(2 * lap, longest // 8), longest + 1, max(1, longest // 40), dtype=np.int64)
    pieces = np.append(pieces, longest)
    windows = windows_as_arrays(line.length, line.windows or ((0, line.length),))
    return bool(cheapest_row(line.length, lap, pieces, np.ones_like(pieces), *windows)[0][line.length] < NEVER)


def _solved(
    lines: Sequence[_Line], stock: Sequence[Stock], loose: dict[int, int], unit: float
) -> tuple[dict[int, tuple[float, Line]], RunPlan]:
    members: dict[tuple[int, int, Windows], list[_Line]] = defaultdict(list)
    for line in lines:
        members[line.length, _up(line.wanted.rules.lap_m, unit), line.windows].append(line)
    asked = [Run(length=length, lap=lap, count=len(mine), windows=windows) for (length, lap, windows), mine in members.items()]
    longest = max(one.length for one in stock)
    shortest = min(longest, max([2 * run.lap for run in asked] + [longest // 8]))
    closers = asked if len(asked) <= _MOST_CLOSERS else ()
    offered = offered_lengths(closers, stock, step=max(1, round(longest / 40)), shortest=shortest)
    plan = lay_runs(asked, stock, offered, loose=sorted(loose.items()), extras=Extras(lap=_LAP, cut=_CUT), gap=0.002, node_limit=0)
    found: dict[int, tuple[float, Line]] = {}
    for rows, mine in zip(plan.rows, members.values(), strict=True):
        found.update((id(line.wanted), (line.start_m, row)) for row, line in zip(rows, mine, strict=True))
    return found, plan


def _line(one: Wanted, first: Wanted, stock_m: float, unit: float, phase: float | None) -> _Line | None:
    """A run with the windows of its laps: straight legs, of which neighbours take every other part by turns.

    None where a ring has no room for the lap that closes it.
    """
    path, lap_m = one.path, one.rules.lap_m
    clear = 2 * one.rules.bar.diameter_m
    bends = [
        (float(path.along_m[k]) - path.set_back_m(k) - clear, float(path.along_m[k]) + path.set_back_m(k) + clear)
        for k in range(len(path.corners))
        if abs(float(path.turns_rad[k])) > _STRAIGHT_RAD
    ]
    turns = _own_turns(one, first, stock_m - lap_m, phase)
    if not path.is_closed:
        free = _without(turns, bends)
        is_free = free == [(0.0, path.length_m)]
        return _Line(one, _up(path.length_m, unit), 0.0, () if is_free else _in_units(free, path.length_m, unit))
    around = path.length_m
    free = _without(turns, [*bends, *((a + around, b + around) for a, b in bends)])
    widest = max(free, key=lambda window: window[1] - window[0], default=(0.0, 0.0))
    if widest[1] - widest[0] < lap_m + unit:
        return None
    start = widest[0]
    moved = [(a - start, b - start) for a, b in free] + [(a - start + around, b - start + around) for a, b in free]
    return _Line(one, _up(around + lap_m, unit), start, _in_units(moved, around + lap_m, unit))


def _own_turns(one: Wanted, first: Wanted, period_m: float, phase: float | None) -> list[tuple[float, float]]:
    """The parts of a line in which it may lap: all of it, or every other half period, its neighbours having the others.

    The periods divide a ring evenly. They are marked off on the first rank and carried over corner by corner, so that
    they lie side by side on rings of different length.
    """
    path = one.path
    if phase is None:
        return [(0.0, path.length_m)]
    base = first.path
    step = base.length_m / math.ceil(base.length_m / period_m - 1e-9) if base.is_closed else period_m
    gap = one.rules.lap_m / 4
    marks = [(k + one.rank % 2 / 2 + phase) * step for k in range(-1, int(base.length_m / step) + 1)]
    parts = [(max(0.0, mark), min(mark + step / 2 - gap, base.length_m)) for mark in marks]
    parts = [(a, b) for a, b in parts if b > a]
    if len(base.along_m) != len(path.along_m):
        share = path.length_m / base.length_m
        return [(a * share, b * share) for a, b in parts]
    return [(float(a), float(b)) for a, b in (np.interp(part, base.along_m, path.along_m) for part in parts)]


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


def _in_units(windows: Sequence[tuple[float, float]], high: float, unit: float) -> Windows:
    kept = sorted((_up(max(a, 0.0), unit), _down(min(b, high), unit)) for a, b in windows if b > 0.0 and a < high)
    return tuple((a, b) for a, b in kept if b > a)


def _pieces(one: Wanted, laid: tuple[float, Line], unit: float) -> list[Placed]:
    start_m, row = laid
    total = one.path.length_m + (one.rules.lap_m if one.path.is_closed else 0.0)
    placed = []
    for start, end in row:
        stop = min(end * unit, total)
        begin = max(0.0, stop - (end - start) * unit) if end == row[-1][1] else start * unit
        path = one.path.between(start_m + begin, start_m + stop)
        placed.append(Placed(wanted=one, path=path, cut_m=(end - start) * unit, start_m=start_m + begin, end_m=start_m + stop))
    return placed


def _alone(runs: Sequence[Wanted], single: Sequence[Wanted], stock: Sequence[Stock], unit: float) -> int:
    """Longest bars if each line were laid by itself from whole bars, single bars cut one after another."""
    longest = max(one.length for one in stock)
    n = 0
    for one in runs:
        lap = _up(one.rules.lap_m, unit)
        reach = one.path.length_m / unit - (0 if one.path.is_closed else lap)
        n += math.ceil(reach / (longest - lap) - 1e-6)
    by_zone: dict[Zone, list[int]] = defaultdict(list)
    for one in single:
        by_zone[one.zone].append(_down(_cut_m(one), unit))
    for lengths in by_zone.values():
        each = [longest // length for length in lengths]
        n += math.ceil(sum(1 / k for k in each) - 1e-6)
    return n
