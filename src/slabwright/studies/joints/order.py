"""In which order to saw: the line that halves the longest uncut run comes first, so that the slab never has to choose."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from slabwright.solvers.partition import Cut, measured, pieces_of


def saw_order(cuts: Sequence[Cut], extent: tuple[float, float, float, float]) -> tuple[int, ...]:
    """Numbers of the lines in the order of sawing.

    Parameters
    ----------
    cuts : sequence of Cut
    extent : tuple
        Least x, least y, greatest x, greatest y of the floor. [m]

    Returns
    -------
    tuple of int
        Halves before thirds: each next line is the one nearest the middle of the longest run still uncut. Stretches of one straight
        line are cut together.
    """
    left = {axis: sorted({_key(cut, axis) for cut in cuts if cut.vertical is (axis == 0)}) for axis in (0, 1)}
    runs: list[tuple[int, float, float]] = [(0, extent[0], extent[2]), (1, extent[1], extent[3])]
    order: list[int] = []
    while any(left.values()):
        usable = [run for run in runs if any(run[1] < at < run[2] for at in left[run[0]])]
        if not usable:  # a line on the very edge of a run
            axis = 0 if left[0] else 1
            chosen = left[axis][0]
        else:
            axis, low, high = max(usable, key=lambda run: run[2] - run[1])
            chosen = min((at for at in left[axis] if low < at < high), key=lambda at: abs(at - (low + high) / 2))
            runs.remove((axis, low, high))
            runs += [(axis, low, chosen), (axis, chosen, high)]
        left[axis].remove(chosen)
        order += [number for number, cut in enumerate(cuts) if cut.vertical is (axis == 0) and _key(cut, axis) == chosen]
    return tuple(order)


def saw_order_by_halves(region: shapely.Polygon, cuts: Sequence[Cut]) -> tuple[int, ...]:
    """The same for lines of any direction: each next line is the one that best halves the longest part still uncut.

    Parameters
    ----------
    region : shapely.Polygon
    cuts : sequence of Cut

    Returns
    -------
    tuple of int
    """
    parts, left, order = [region], list(range(len(cuts))), list[int]()
    while left:
        best: tuple[float, int] | None = None
        for part in sorted(parts, key=_longest, reverse=True):
            halves = [(_longest_left(part, cuts[number]), number) for number in left]
            best = min((one for one in halves if one[0] < _longest(part) + 1e-9), default=None)
            if best is not None:
                break
        chosen = best[1] if best is not None else max(left, key=lambda number: cuts[number].length)
        parts = [piece for part in parts for piece in pieces_of(part, (cuts[chosen],))]
        left.remove(chosen)
        order.append(chosen)
    return tuple(order)


def _longest(part: shapely.Polygon) -> float:
    return float(measured([part], part).long[0])


def _longest_left(part: shapely.Polygon, cut: Cut) -> float:
    """Longest side of what a line leaves of a part; infinite where it does not part it."""
    halves = pieces_of(part, (cut,))
    return max(map(_longest, halves)) if len(halves) > 1 else math.inf


def _key(cut: Cut, axis: int) -> float:
    return round((cut.start[axis] + cut.end[axis]) / 2, 3)


@dataclass(frozen=True, slots=True)
class Turn:
    """One line as it is sawn.

    Attributes
    ----------
    saw : int
        Number of the saw, from 1.
    backwards : bool
        Whether the saw begins at the end of the line rather than its start, the nearer to where it stopped.
    start_h, end_h : float
        After the first cut. [h]
    """

    saw: int
    backwards: bool
    start_h: float
    end_h: float


def saw_turns(cuts: Sequence[Cut], speed_m_h: float, n_saws: int, move_h: float = 1 / 30) -> tuple[Turn, ...]:
    """Who saws which line from which end, each saw taking the next line when it is free.

    Parameters
    ----------
    cuts : sequence of Cut
        Lines in their order. [m]
    speed_m_h : float
        Of one saw. [m/h]
    n_saws : int
    move_h : float
        Between two lines: two minutes, common practice, no source. [h]
    """
    free, stands = [0.0] * max(n_saws, 1), list[tuple[float, float] | None]([None] * max(n_saws, 1))
    turns = []
    for cut in cuts:
        saw = free.index(min(free))
        here = stands[saw]
        backwards = here is not None and math.dist(here, cut.end) < math.dist(here, cut.start)
        begin, free[saw] = free[saw], free[saw] + cut.length / speed_m_h + move_h
        turns.append(Turn(saw + 1, backwards, begin, free[saw]))
        stands[saw] = cut.start if backwards else cut.end
    return tuple(turns)
