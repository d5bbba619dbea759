"""From lines of steel to bars: laps placed, pieces cut from stock, all zones of one size together."""

import contextlib
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise

import numpy as np
import shapely

from slabwright.errors import Infeasible, MissingInput
from slabwright.model.steel import Zone
from slabwright.model.supply import Prices
from slabwright.solvers.cutting.lapping import NEVER, cheapest_row, windows_as_arrays
from slabwright.solvers.cutting.plan import Stock
from slabwright.solvers.cutting.runs import Row, Run, RunPlan, lay_runs, offered_lengths
from slabwright.standards.iso_3766 import bar_cut_length
from slabwright.studies.bars.offers import Offer, extras_beside, length_text
from slabwright.studies.bars.paths import Path
from slabwright.studies.bars.wanted import Wanted
from slabwright.studies.bars.windows import LAP_CLEARANCE_M, Line, Windows, line_of, units_down, units_up
from slabwright.units import INCH_M, LENGTH, Family, format_quantity

Cuts = Sequence[shapely.LineString]
Laid = tuple[dict[int, tuple[float, Row]], RunPlan, bool]

_MOST_CLOSERS = 8
_GAP = 0.002
_NEAR = 0.01
"""An order so near its bound is not tried with one length alone, which is seldom better; a choice, no source."""
_WORTH = 0.02
"""Share of steel, or one bar, that keeping laps clear of joints may take; a choice, no source."""
_PHASES = (0.0, 0.25, 0.5, 0.75)


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
    offer : Offer
        The stock lengths, with their prices.
    placed : tuple of Placed
    plan : RunPlan
    unit_m : float
        Step of the plan. [m]
    is_staggered : bool
        True where laps of neighbours were kept apart.
    alone : int
        Stock bars if every line were laid and cut by itself, whole bars and a closer: the count by hand.
    """

    offer: Offer
    placed: tuple[Placed, ...]
    plan: RunPlan
    unit_m: float
    is_staggered: bool
    alone: int

    @property
    def size(self) -> str:
        """Of its bars."""
        return self.offer.size

    @property
    def stock_m(self) -> tuple[float, ...]:
        """Lengths that can be bought. [m]"""
        return self.offer.stock_m

    @property
    def n_stock(self) -> dict[float, int]:
        """Bars to buy of each stock length. [m]"""
        count: dict[float, int] = dict.fromkeys(self.stock_m, 0)
        for one in self.plan.cut.patterns:
            count[self.stock_m[one.stock]] += one.times
        return {length: n for length, n in count.items() if n}

    @property
    def mass_kg(self) -> float:
        """Of the bars to buy. [kg]"""
        return sum(length * n for length, n in self.n_stock.items()) * self.placed[0].wanted.rules.bar.mass_kg_m

    @property
    def money(self) -> Decimal | None:
        """What the bars to buy cost; None where the job does not price every length."""
        return self.offer.bill(self.n_stock)


def batches(
    wanted: Sequence[Wanted], family: Family, prices: Prices | None = None, known: dict[object, Batch] | None = None,
    cuts: Cuts = (),
) -> tuple[Batch, ...]:  # fmt: skip
    """Lay and cut every line of steel, size by size: at the least money where every stock length has a price, else at the least length.

    Parameters
    ----------
    wanted : sequence of Wanted
    family : Family
    prices : Prices, optional
        Of the job.
    known : dict, optional
        Lines laid before, and how; added to. The same lines are not laid twice.
    cuts : sequence of shapely.LineString
        Joints that laps keep clear of, where that takes little more steel.

    Raises
    ------
    MissingInput
        Where a bar is longer than any stock and may not be lapped, or a lap as long as the stock.
    """
    groups: dict[tuple[str, tuple[float, ...]], list[Wanted]] = defaultdict(list)
    for one in wanted:
        groups[one.rules.bar.name, one.rules.stock_m].append(one)
    known = {} if known is None else known
    found = []
    for (size, stock), lines in sorted(groups.items(), key=lambda one: one[0]):
        question = (size, stock, tuple(one.place for one in lines))
        if question not in known:
            known[question] = _batch(Offer.of(size, stock, family, prices), lines, family, cuts)
        found.append(known[question])
    return tuple(found)


def _batch(offer: Offer, lines: list[Wanted], family: Family, cuts: Cuts) -> Batch:
    unit = INCH_M / 2 if family is Family.US else 0.010
    stock = offer.stock(unit)
    longest = max(one.length for one in stock)
    whole = min([longest, *(one.length for one in _cheaper(stock))])
    single: list[Wanted] = []
    runs: list[Wanted] = []
    for one in lines:
        is_whole = not one.is_lapped or (not one.path.is_closed and _whole_units(one, unit) <= whole)
        (single if is_whole else runs).append(one)
    loose: dict[int, int] = defaultdict(int)
    for one in single:
        length = _whole_units(one, unit)
        if length > longest:
            raise MissingInput(
                f"{offer.size} in {one.where} is {length_text(_cut_m(one), family)} long, longer than any stock length, and has no lap; "
                "name a longer stock length in [[bars]] or make it shorter."
            )
        loose[length] += 1
    try:
        laid, plan, is_staggered = _least(runs, stock, dict(loose), unit, cuts)
    except Infeasible:
        lap = format_quantity(max(one.rules.lap_m for one in runs), LENGTH, family)
        raise MissingInput(
            f"{offer.size}: bars of {length_text(longest * unit, family)} with laps of {lap} do not reach along every line with their "
            "laps clear of bends. Change lap or stock in [[bars]]."
        ) from None
    placed = [
        Placed(wanted=one, path=one.path, cut_m=_whole_units(one, unit) * unit, start_m=0.0, end_m=one.path.length_m) for one in single
    ]
    for one in runs:
        placed += _pieces(one, laid[id(one)], unit)
    return Batch(
        offer=offer,
        placed=tuple(placed),
        plan=plan,
        unit_m=unit,
        is_staggered=is_staggered,
        alone=_alone(runs, single, stock, unit),
    )


def _whole_units(one: Wanted, unit: float) -> int:
    """Length to cut for a line that is one bar: downwards, but upwards for one that has to lap others at its ends."""
    is_between = one.zone is Zone.EDGE and one.is_lapped
    return units_up(one.path.length_m, unit) if is_between else units_down(_cut_m(one), unit)


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


def _cheaper(stock: Sequence[Stock]) -> list[Stock]:
    """Stock lengths that cost less for their length than the longest."""
    longest = max(stock, key=lambda one: one.length)
    return [one for one in stock if one.price * longest.length < longest.price * one.length * (1 - 1e-4)]


def _least(runs: Sequence[Wanted], stock: Sequence[Stock], loose: dict[int, int], unit: float, cuts: Cuts) -> Laid:
    """The cheapest way found, with a bound that holds for laps anywhere clear of bends.

    Neighbours' laps are kept apart by turns; which turns cost least depends on the bars, so several are tried until one
    costs no more than the bound allows: those that suit each stock length, half as long ones, with all lengths or that one alone.
    Laps keep clear of joints where that takes little more steel.
    """
    sides = _sides(runs)
    rows, free = _solved([_clear_of_bends(one, unit) for one in runs], stock, loose, unit)
    is_lone = all(len(side) == 1 for side in sides)
    ways: list[Laid] = [(rows, free, True)] if is_lone else []
    crossed = [one.path.crossed_m(cuts) for one in runs]

    def n_over(way: Laid) -> int:
        return sum(_n_over(one, at, *way[0][id(one)], unit) for one, at in zip(runs, crossed, strict=True) if at)

    by_length = sorted(stock, key=lambda one: -one.length)
    spare = max(by_length[0].price, _WORTH * free.cut.bound) if any(crossed) else 0
    for kept in (cuts, ()) if any(crossed) else ((),):
        clear = [way[1].cut.cost for way in ways if way[2] and not n_over(way)]
        if min(clear, default=NEVER) <= free.cut.bound:
            break
        for offered, suited, parts in [
            *((stock, one, parts) for parts in (1, 2) for one in by_length),
            *(((one,), one, parts) for parts in (1, 2) for one in by_length if len(stock) > 1 and max(loose, default=0) <= one.length),
        ]:
            if offered is not stock and ways and min(way[1].cut.cost for way in ways) <= (1 + _NEAR) * free.cut.bound:
                break
            with contextlib.suppress(Infeasible):
                lines, is_staggered = _in_turns(sides, offered, suited.length * unit, parts, unit, kept)
                rows, plan = _solved(lines, offered, loose, unit, free.cut.bound if offered is stock else None)
                patterns = tuple(replace(one, stock=stock.index(offered[one.stock])) for one in plan.cut.patterns)
                ways.append((rows, replace(plan, cut=replace(plan.cut, patterns=patterns)), is_staggered))
                if plan.cut.cost <= free.cut.bound or min(clear, default=NEVER) <= free.cut.bound + spare:
                    break
    sound = [way for way in ways if way[2]] or ways
    most = min(way[1].cut.cost for way in sound) + spare
    near = [way for way in sound if way[1].cut.cost <= most]
    rows, plan, is_staggered = min(near, key=lambda way: (n_over(way), way[1].cut.cost, way[1].cost))
    return rows, replace(plan, bound=free.bound, cut=replace(plan.cut, bound=free.cut.bound)), is_staggered


def _n_over(one: Wanted, crossed_m: Sequence[float], start_m: float, row: Row, unit: float) -> int:
    """Laps of a line that lie at a joint."""
    around = [0.0, one.path.length_m] if one.path.is_closed else [0.0]
    places = [at + turn for at in crossed_m for turn in around]
    laps = [(start_m + after[0] * unit, start_m + before[1] * unit) for before, after in pairwise(row)]
    if one.path.is_closed:
        laps.append((start_m, start_m + one.rules.lap_m))
    return sum(any(low - LAP_CLEARANCE_M < at - 1e-6 and at + 1e-6 < high + LAP_CLEARANCE_M for at in places) for low, high in laps)


def _sides(runs: Sequence[Wanted]) -> list[list[Wanted]]:
    """Lines that lie beside each other."""
    sides: dict[tuple[int, str, int, int], list[Wanted]] = defaultdict(list)
    for one in runs:
        sides[one.asked, one.where, one.chain, round(one.path.length_m / 0.5) if one.zone is Zone.FLOOR else 0].append(one)
    return list(sides.values())


def _clear_of_bends(one: Wanted, unit: float) -> Line:
    line = line_of(one, one, math.inf, unit, None)
    if line is None:
        raise Infeasible(f"the laps in the {one.where} find no straight length clear of bends.")
    return line


def _in_turns(
    sides: Sequence[Sequence[Wanted]], stock: Sequence[Stock], suited_m: float, parts: int, unit: float, cuts: Cuts
) -> tuple[list[Line], bool]:
    """Every run with its windows, neighbours by turns, then clear of joints, where some row can; and whether all take turns."""
    lines: list[Line] = []
    is_staggered = True
    for side in sides:
        period = (suited_m - side[0].rules.lap_m) / parts
        ways = [(phase, kept) for kept in ((cuts, ()) if cuts else ((),)) for phase in (_PHASES if len(side) > 1 else ())]
        for phase, kept in [*ways, (None, cuts)]:
            found = [line_of(one, side[0], period, unit, phase, kept) for one in side]
            mine = [line for line in found if line is not None and _can_be_laid(line, stock, unit)]
            if len(mine) == len(side):
                lines += mine
                is_staggered = is_staggered and (len(side) == 1 or phase is not None)
                break
        else:
            is_staggered = is_staggered and len(side) == 1
            lines += [_clear_of_bends(one, unit) for one in side]
    return lines, is_staggered


def _can_be_laid(line: Line, stock: Sequence[Stock], unit: float) -> bool:
    """True where some row of whole and cut bars has all its laps in the windows."""
    lap, longest = units_up(line.wanted.rules.lap_m, unit), max(one.length for one in stock)
    pieces = np.arange(max(2 * lap, longest // 8), longest + 1, max(1, longest // 40), dtype=np.int64)
    pieces = np.append(pieces, longest)
    windows = windows_as_arrays(line.length, line.windows or ((0, line.length),))
    return bool(cheapest_row(line.length, lap, pieces, np.ones_like(pieces), *windows)[0][line.length] < NEVER)


def _solved(
    lines: Sequence[Line], stock: Sequence[Stock], loose: dict[int, int], unit: float, least_stock: int | None = None
) -> tuple[dict[int, tuple[float, Row]], RunPlan]:
    members: dict[tuple[int, int, Windows], list[Line]] = defaultdict(list)
    for line in lines:
        members[line.length, units_up(line.wanted.rules.lap_m, unit), line.windows].append(line)
    asked = [Run(length=length, lap=lap, count=len(mine), windows=windows) for (length, lap, windows), mine in members.items()]
    longest = max(one.length for one in stock)
    shortest = min(longest, max([2 * run.lap for run in asked] + [longest // 8]))
    closers = asked if len(asked) <= _MOST_CLOSERS else ()
    offered = {run.length for run in asked if run.length <= longest}
    offered |= set(offered_lengths(closers, stock, step=max(1, round(longest / 40)), shortest=shortest))
    plan = lay_runs(
        asked,
        stock,
        sorted(offered),
        loose=sorted(loose.items()),
        extras=extras_beside(stock),
        least_stock=least_stock,
        gap=_GAP,
        node_limit=0,
    )
    found: dict[int, tuple[float, Row]] = {}
    for rows, mine in zip(plan.rows, members.values(), strict=True):
        found.update((id(line.wanted), (line.start_m, row)) for row, line in zip(rows, mine, strict=True))
    return found, plan


def _pieces(one: Wanted, laid: tuple[float, Row], unit: float) -> list[Placed]:
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
        lap = units_up(one.rules.lap_m, unit)
        reach = one.path.length_m / unit - (0 if one.path.is_closed else lap)
        n += math.ceil(reach / (longest - lap) - 1e-6)
    by_zone: dict[Zone, list[int]] = defaultdict(list)
    for one in single:
        by_zone[one.zone].append(_whole_units(one, unit))
    for lengths in by_zone.values():
        each = [longest // length for length in lengths]
        n += math.ceil(sum(1 / k for k in each) - 1e-6)
    return n
