"""The bar list: bars alike under one mark, their shapes and dimensions, and the cut plan by mark."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.model.steel import Zone
from slabwright.standards.iso_3766 import Shape
from slabwright.studies.bars.order import Batch, Placed
from slabwright.units import INCH_M

LETTERS = "abcdefg"
_PREFIX = {
    Zone.EDGE: "E", Zone.PADS: "P", Zone.STRIPS: "S", Zone.FLOOR: "F", Zone.RE_ENTRANT: "C", Zone.BLOCK_OUTS: "B",
    Zone.JOINT_DOWELS: "D", Zone.TIES: "T",
}  # fmt: skip
SAME_LEG_M = INCH_M / 2
"""Bars of one cut length whose legs differ by no more go under one mark; common practice, no source. [m]"""
_QUARTER = math.radians(90)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Bars alike.

    Attributes
    ----------
    mark : str
        ``E1``: the letter says where, the number counts.
    size : str
    zone : Zone
    shape : str
        Shape code of ISO 3766; ``99`` for one that has none and is drawn.
    legs_m : tuple of float
        Dimensions a, b, c ... over the outside. [m]
    turns_rad : tuple of float
        Between the legs, positive to the left. [rad]
    bend_diameter_m, diameter_m : float
        Inside of the bends; of the bar. [m]
    cut_m : float
        Length to cut. [m]
    bars : tuple of Placed
    mass_kg : float
        Of all. [kg]
    """

    mark: str
    size: str
    zone: Zone
    shape: str
    legs_m: tuple[float, ...]
    turns_rad: tuple[float, ...]
    bend_diameter_m: float
    diameter_m: float
    cut_m: float
    bars: tuple[Placed, ...]
    mass_kg: float

    @property
    def places(self) -> tuple[str, ...]:
        """Where its bars lie, each place once."""
        return tuple(dict.fromkeys(one.wanted.where for one in self.bars))


def marks(batches: Sequence[Batch]) -> tuple[Mark, ...]:
    """Bars of one zone, size, shape and cut length under one mark, legs alike to half an inch; zone by zone, the longest first."""
    alike: dict[tuple[str, str, tuple[float, ...], int], list[tuple[tuple[float, ...], Placed]]] = defaultdict(list)
    for batch in batches:
        for one in batch.placed:
            legs, turns = _shape_of(one)
            alike[one.wanted.zone.value, batch.size, turns, round(one.cut_m / batch.unit_m)].append((legs, one))
    groups = [group for bars in alike.values() for group in _within_tolerance(bars)]
    order = list(_PREFIX)
    found: list[Mark] = []
    count: dict[str, int] = defaultdict(int)
    for legs, bars in sorted(groups, key=lambda group: (order.index(group[1][0].wanted.zone), -group[1][0].cut_m)):
        first = bars[0]
        _, turns = _shape_of(first)
        letter = _PREFIX[first.wanted.zone]
        count[letter] += 1
        rules = first.wanted.rules
        found.append(
            Mark(
                mark=f"{letter}{count[letter]}",
                size=rules.bar.name,
                zone=first.wanted.zone,
                shape=_code(turns),
                legs_m=legs if turns else (first.cut_m,),
                turns_rad=turns,
                bend_diameter_m=rules.bend_diameter_m,
                diameter_m=rules.bar.diameter_m,
                cut_m=first.cut_m,
                bars=tuple(bars),
                mass_kg=len(bars) * first.cut_m * rules.bar.mass_kg_m,
            )
        )
    return tuple(found)


def _within_tolerance(bars: Sequence[tuple[tuple[float, ...], Placed]]) -> list[tuple[tuple[float, ...], list[Placed]]]:
    """Bars of one cut length in groups whose legs differ by no more than they may, with the middle of the legs of each."""
    groups: list[list[tuple[tuple[float, ...], Placed]]] = []
    for one in sorted(bars, key=lambda bar: tuple(round(leg, 4) for leg in bar[0])):
        if not groups or any(abs(leg - first) > SAME_LEG_M for leg, first in zip(one[0], groups[-1][0][0], strict=True)):
            groups.append([])
        groups[-1].append(one)
    found = []
    for group in groups:
        columns = list(zip(*(legs for legs, _ in group), strict=True))
        found.append((tuple((min(column) + max(column)) / 2 for column in columns), [bar for _, bar in group]))
    return found


def _shape_of(one: Placed) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Legs and turns, from whichever end gives the smaller list, so that a bar and its mirror image are one mark."""
    hooks = one.wanted.hooks
    inner = [round(float(turn), 3) for turn in one.path.turns_rad[1:-1] if abs(float(turn)) > math.radians(2)]
    turns = (*[round(_QUARTER, 3)] * (hooks > 0), *inner, *[round(_QUARTER, 3)] * (hooks > 1))
    legs = one.outside_legs_m
    ways = [
        (legs, turns),
        (legs[::-1], turns[::-1]),
        (legs, tuple(-turn for turn in turns)),
        (legs[::-1], tuple(-turn for turn in turns[::-1])),
    ]
    return min(ways, key=lambda way: (tuple(-turn for turn in way[1]), tuple(round(leg, 4) for leg in way[0])))


def _code(turns: tuple[float, ...]) -> str:
    if not turns:
        return Shape.STRAIGHT.value
    quarter = all(abs(abs(turn) - _QUARTER) < 0.01 for turn in turns)
    if quarter and len(turns) == 1:
        return Shape.L_BAR.value
    if quarter and len(turns) == 2 and turns[0] * turns[1] > 0:
        return Shape.U_BAR.value
    return "99"


@dataclass(frozen=True, slots=True)
class CutRow:
    """One way of cutting one stock bar: how many bars are cut so, into which marks, and what is left.

    Attributes
    ----------
    size : str
    stock_m : float
        [m]
    times : int
    pieces : tuple of (mark, length, count)
        [m]
    left_m : float
        [m]
    """

    size: str
    stock_m: float
    times: int
    pieces: tuple[tuple[str, float, int], ...]
    left_m: float


def cut_rows(batches: Sequence[Batch], found: Sequence[Mark]) -> tuple[CutRow, ...]:
    """The cut plan with marks in place of lengths; a pattern is split where it serves several marks."""
    rows: dict[tuple[str, float, tuple[tuple[str, float, int], ...], float], int] = defaultdict(int)
    for batch in batches:
        waiting: dict[int, list[str]] = defaultdict(list)
        for mark in found:
            if mark.size == batch.size:
                for one in mark.bars:
                    if one.wanted.rules.stock_m == batch.stock_m:
                        waiting[round(one.cut_m / batch.unit_m)].append(mark.mark)
        for pattern in batch.plan.cut.patterns:
            for _ in range(pattern.times):
                taken: dict[tuple[str, float], int] = defaultdict(int)
                used = 0
                for n, length in zip(pattern.counts, batch.plan.lengths, strict=True):
                    for _ in range(n):
                        taken[waiting[length].pop(0), length * batch.unit_m] += 1
                        used += length
                stock = batch.stock_m[pattern.stock]
                pieces = tuple(sorted((mark, length, n) for (mark, length), n in taken.items()))
                rows[batch.size, stock, pieces, round(stock - used * batch.unit_m, 6)] += 1
    return tuple(
        CutRow(size, stock, times, pieces, max(0.0, left))
        for (size, stock, pieces, left), times in sorted(rows.items(), key=lambda one: (one[0][0], -one[1], one[0][2]))
    )
