"""Lengths of the roll over the base: fewest metres of seam, then fewest rolls, then fewest cuts."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon, box

from slabwright.geometry.bands import Interval, level_length_m, occupied, turned
from slabwright.geometry.overlay import Area
from slabwright.model.ground import Retarder
from slabwright.solvers.covering import cover_with_rows, fewest_rows
from slabwright.solvers.cutting.plan import Stock
from slabwright.solvers.cutting.runs import Extras, Run, RunPlan, lay_runs
from slabwright.studies.retarder.sheet import Ground, Liner
from slabwright.units import INCH_M

_STEP_M = 0.010
"""Sheet is cut to about this step, upwards, or to half inches where its roll is so many inches long. [m]"""
_STARTS_A_WIDTH = 24
_KEEP_OFF_M = 0.5
"""A seam over a pad or a pipe counts as so much seam more: moved where that costs nothing, never made longer for it."""
_ROLL = 10_000
_LAP = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPiece:
    """One piece of a roll in its place, opened out flat.

    Attributes
    ----------
    mark : str
    row : int
    outline : Polygon
        [m]
    length_m : float
        To cut. [m]
    roll : int
        Number of the roll it comes from, from 1.
    """

    mark: str
    row: int
    outline: Polygon
    length_m: float
    roll: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A cut from a roll that gives the liners of one or more holes side by side."""

    names: tuple[str, ...]
    length_m: float
    roll: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLayout:
    """The sheet as laid.

    Attributes
    ----------
    pieces : tuple of SheetPiece
    patches : tuple of Patch
    along_y : bool
    seam_m : float
        Between lengths and across them. [m]
    n_rolls, least_rolls : int
        To order, and the fewest for these lengths and liners; proven.
    n_cuts : int
    over_keep_off : int
        Pads and pipes with a seam over them.
    """

    pieces: tuple[SheetPiece, ...]
    patches: tuple[Patch, ...]
    along_y: bool
    seam_m: float
    n_rolls: int
    least_rolls: int
    n_cuts: int
    over_keep_off: int

    @property
    def rank(self) -> tuple[float, int, int, int]:
        """In the order of what counts: seam to the decimetre, rolls, cuts, seams in bad places."""
        return round(self.seam_m, 1), self.n_rolls, self.n_cuts, self.over_keep_off


def layouts(ground: Ground, sheet: Retarder) -> tuple[SheetLayout, ...]:
    """The better way of laying the lengths first, then the other.

    Raises
    ------
    OutOfRange
        If the roll is not wider than its lap.
    """
    return tuple(sorted((_laid(ground, sheet, along_y) for along_y in (False, True)), key=lambda one: (one.rank, one.along_y)))


def _laid(ground: Ground, sheet: Retarder, along_y: bool) -> SheetLayout:
    shape = turned(ground.flat) if along_y else ground.flat
    keep_off = [turned(one) if along_y else one for one in ground.keep_off]
    starts = _rows(shape, keep_off, sheet)
    spans = [(number, span) for number, low in enumerate(starts) for span in _spans(shape, sheet, low, is_first=number == 0)]
    shelves = _shelves(ground.liners, sheet)
    unit = unit_m(sheet)
    plan, lines = _cut(spans, shelves, sheet)
    rolls = _rolls_of(plan)
    numbers: dict[int, int] = {}
    pieces: list[SheetPiece] = []
    in_row = Counter(row for (row, _), parts in zip(spans, lines, strict=True) for _ in parts)
    for (row, span), parts in zip(spans, lines, strict=True):
        for start, end in parts:
            right = min(span[0] + end * unit, span[1])
            outline = box(max(right - (end - start) * unit, span[0]), starts[row], right, starts[row] + sheet.roll_width_m)
            place = sum(one.row == row for one in pieces) + 1
            pieces.append(
                SheetPiece(
                    mark=f"{row + 1}" if in_row[row] == 1 else f"{row + 1}.{place}",
                    row=row,
                    outline=_upright(outline) if along_y else outline,
                    length_m=(end - start) * unit,
                    roll=numbers.setdefault(rolls[end - start].pop(0), len(numbers) + 1),
                )
            )
    patches = tuple(
        Patch(names=names, length_m=length * unit, roll=numbers.setdefault(rolls[length].pop(0), len(numbers) + 1))
        for length, names in shelves
    )
    cross = sum(sheet.roll_width_m * (len(parts) - 1) for parts in lines)
    seams = [low + sheet.lap_m / 2 for low in starts[1:]]
    return SheetLayout(
        pieces=tuple(pieces),
        patches=patches,
        along_y=along_y,
        seam_m=float(level_length_m(shape, seams).sum()) + cross if seams else cross,
        n_rolls=plan.cut.n_stock,
        least_rolls=plan.cut.bound // _ROLL,
        n_cuts=sum(one.times * _cuts(one.counts, plan.lengths, sheet) for one in plan.cut.patterns),
        over_keep_off=sum(_hits(keep_off, low, sheet.lap_m) for low in starts[1:]),
    )


def _upright(outline: Polygon) -> Polygon:
    x0, y0, x1, y1 = outline.bounds
    return box(y0, x0, y1, x1)


def _rows(shape: Area, keep_off: Sequence[Area], sheet: Retarder) -> list[float]:
    """Where lengths begin: least seam, seams off pads and pipes, lengths as even as may be."""
    low, high = shape.bounds[1], shape.bounds[3]
    width, lap = sheet.roll_width_m, sheet.lap_m
    n = fewest_rows(high - low, width, lap)
    if n == 1:
        return [low - 0.5 * (width - (high - low))]
    slack = n * (width - lap) + lap - (high - low)
    step = width / _STARTS_A_WIDTH
    starts = {low - slack + k * step for k in range(int((high - low + slack) / step) + 1)}
    starts |= {low + k * (width - lap) for k in range(n)} | {high - width - k * (width - lap) for k in range(n)}
    starts |= {low - slack / 2 + k * (width - lap) for k in range(n)}
    offered = sorted(start for start in starts if start < high - lap)
    seams = level_length_m(shape, [start + lap / 2 for start in offered])
    bad = np.array([_hits(keep_off, start, lap) for start in offered])
    material = np.array([sum(b - a for a, b in _spans(shape, sheet, start, is_first=start <= low)) for start in offered])
    found = cover_with_rows(
        low,
        high,
        lap=lap,
        starts=offered,
        widths=[width] * len(offered),
        row_costs=(0.01 * material).tolist(),
        seam_costs=(seams + _KEEP_OFF_M * bad).tolist(),
    )
    return [offered[number] for number in found.chosen]


def _spans(shape: Area, sheet: Retarder, low: float, *, is_first: bool) -> tuple[Interval, ...]:
    """What a length must cover: the shape in its band, but for the lap, which the length before covers."""
    return occupied(shape, low + (0.0 if is_first else sheet.lap_m), low + sheet.roll_width_m)


def _hits(keep_off: Sequence[Area], low: float, lap: float) -> int:
    """Pads and pipes over which a seam runs."""
    return sum(one.bounds[1] < low + lap and one.bounds[3] > low for one in keep_off)


def _shelves(liners: Sequence[Liner], sheet: Retarder) -> list[tuple[int, tuple[str, ...]]]:
    """Cuts of the roll for liners: alike ones side by side across its width, too wide ones in lapped halves."""
    alike: dict[tuple[int, float], list[str]] = {}
    for liner in liners:
        long, short = max(liner.length_m, liner.width_m), min(liner.length_m, liner.width_m)
        along, across = (short, long) if long <= sheet.roll_width_m else (long, short)
        n = 1 if across <= sheet.roll_width_m else fewest_rows(across, sheet.roll_width_m, sheet.lap_m)
        m = 1 if along <= sheet.roll_length_m else fewest_rows(along, sheet.roll_length_m, sheet.lap_m)
        length = (along + (m - 1) * sheet.lap_m) / m
        alike.setdefault((_units(length, sheet), round(min(across, sheet.roll_width_m), 4)), []).extend([liner.name] * n * m)
    shelves = []
    for (length, across), names in sorted(alike.items()):
        beside = max(1, int(sheet.roll_width_m / across + 1e-6))
        shelves += [(length, tuple(names[k : k + beside])) for k in range(0, len(names), beside)]
    return shelves


def unit_m(sheet: Retarder) -> float:
    """The step that lengths are cut to; a roll is a whole number of them. [m]"""
    halves = sheet.roll_length_m / (INCH_M / 2)
    step = INCH_M / 2 if abs(halves - round(halves)) < 1e-6 else _STEP_M
    return sheet.roll_length_m / max(1, round(sheet.roll_length_m / step))


def _units(length_m: float, sheet: Retarder) -> int:
    return math.ceil(length_m / unit_m(sheet) - 1e-6)


def _roll_units(sheet: Retarder) -> int:
    return round(sheet.roll_length_m / unit_m(sheet))


def _cut(
    spans: Sequence[tuple[int, Interval]], shelves: Sequence[tuple[int, tuple[str, ...]]], sheet: Retarder
) -> tuple[RunPlan, list[tuple[tuple[int, int], ...]]]:
    """Lengths longer than a roll are lapped as seldom as can be; all are cut from the fewest rolls."""
    roll, lap = _roll_units(sheet), _units(sheet.lap_m, sheet)
    lengths = [_units(high - low, sheet) for _, (low, high) in spans]
    long = sorted({length for length in lengths if length > roll})
    runs = [Run(length=length, lap=lap, count=lengths.count(length)) for length in long]
    loose: dict[int, int] = {}
    for length in [length for length in lengths if length <= roll] + [length for length, _ in shelves]:
        loose[length] = loose.get(length, 0) + 1
    step = max(1, roll // 40)
    offered = {roll, *range(max(2 * lap, roll // 10) // step * step + step, roll, step)}
    offered |= {
        rest for length in long for k in range(1, length // (roll - lap) + 1) if 2 * lap < (rest := length - k * (roll - lap)) <= roll
    }
    plan = lay_runs(runs, [Stock(roll, _ROLL)], sorted(offered), loose=sorted(loose.items()), extras=Extras(lap=_LAP, cut=1), gap=0.0002)
    laid = {run.length: list(rows) for run, rows in zip(runs, plan.rows, strict=True)}
    return plan, [laid[length].pop(0) if length > roll else ((0, length),) for length in lengths]


def _rolls_of(plan: RunPlan) -> dict[int, list[int]]:
    """For each piece length the rolls it is cut from."""
    found: dict[int, list[int]] = {}
    roll = 0
    for pattern in plan.cut.patterns:
        for _ in range(pattern.times):
            for n, length in zip(pattern.counts, plan.lengths, strict=True):
                found.setdefault(length, []).extend([roll] * n)
            roll += 1
    return found


def _cuts(counts: Sequence[int], lengths: Sequence[int], sheet: Retarder) -> int:
    used = sum(n * length for n, length in zip(counts, lengths, strict=True))
    return sum(counts) - (used == _roll_units(sheet))


def tape_m(layout: SheetLayout, ground: Ground) -> float:
    """Tape on all seams, round liners and round pipes. [m]"""
    liners = sum(2 * (liner.length_m + liner.width_m) for liner in ground.liners)
    pipes = sum(2 * math.pi * (pipe.diameter_m / 2 + 0.1) for pipe in ground.risers)
    return layout.seam_m + liners + pipes


def bought_m2(layout: SheetLayout, sheet: Retarder) -> float:
    """Area of the rolls ordered. [m²]"""
    return layout.n_rolls * sheet.roll_length_m * sheet.roll_width_m
