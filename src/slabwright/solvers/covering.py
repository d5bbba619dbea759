"""Covering a breadth with lapped rows, placed where they cost least."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from slabwright.errors import Infeasible, OutOfRange

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class RowCover:
    """Rows that cover a breadth.

    Attributes
    ----------
    chosen : tuple of int
        Which of the rows offered, in order.
    cost : float
    """

    chosen: tuple[int, ...]
    cost: float


def fewest_rows(breadth: float, width: float, lap: float) -> int:
    """Fewest rows of one width that cover a breadth with laps between them.

    Parameters
    ----------
    breadth, width, lap : float
        In one unit.

    Raises
    ------
    OutOfRange
        If a row is not wider than its lap, or a length has no meaning.

    Notes
    -----
    ``ceil((breadth - lap) / (width - lap))``, at least one; a breadth that is met exactly does not take a row more for
    the last digit of a float.
    """
    _check(breadth, width, lap)
    steps = (breadth - lap) / (width - lap)
    return max(1, int(np.ceil(steps - 1e-9 * max(1.0, steps))))


def cover_with_rows(
    low: float,
    high: float,
    *,
    lap: float,
    starts: Sequence[float],
    widths: Sequence[float],
    row_costs: Sequence[float],
    seam_costs: Sequence[float],
) -> RowCover:
    """Place lapped rows over a breadth at least cost, exactly, by dynamic programming.

    Parameters
    ----------
    low, high : float
        The breadth to be covered.
    lap : float
        Each row overlaps the one before by this or more, and reaches beyond it.
    starts, widths : (n,) sequences of float
        Where rows may begin, and how wide each is.
    row_costs, seam_costs : (n,) sequences of float
        Cost of each row, and of the seam with the row before it.

    Raises
    ------
    OutOfRange
        If no row is wider than its lap.
    Infeasible
        If no choice of rows covers the breadth.
    """
    _check(high - low, max(widths, default=0.0), lap)
    tolerance = _TOLERANCE * max(1.0, high - low)
    rows = np.array([starts, widths, row_costs, seam_costs], np.float64)
    order = np.lexsort((rows[0] + rows[1], rows[0]))
    rows = np.ascontiguousarray(rows[:, order])
    total, before = _cheapest(rows[0], rows[1], rows[2], rows[3], low, lap, tolerance)
    ends = np.flatnonzero((rows[0] + rows[1] >= high - tolerance) & np.isfinite(total))
    if not ends.size:
        raise Infeasible(f"no choice of the rows offered covers {low:g} to {high:g} with laps of {lap:g}.")
    chosen = [int(ends[np.argmin(total[ends])])]
    cost = float(total[chosen[0]])
    while before[chosen[-1]] >= 0:
        chosen.append(int(before[chosen[-1]]))
    return RowCover(tuple(int(order[one]) for one in reversed(chosen)), cost)


def _check(breadth: float, width: float, lap: float) -> None:
    if not (breadth > 0.0 and width > 0.0 and lap >= 0.0):
        raise OutOfRange(f"breadth and row width must be above nought and the lap not below (got {breadth:g}, {width:g}, {lap:g}).")
    if width <= lap:
        raise OutOfRange(f"a row of width {width:g} is not wider than its lap of {lap:g}; use a wider row or a shorter lap.")


@njit(cache=True)
def _cheapest(
    starts: Floats, widths: Floats, row_costs: Floats, seam_costs: Floats, low: float, lap: float, tolerance: float
) -> tuple[Floats, Ints]:
    total = np.full(starts.size, np.inf)
    before = np.full(starts.size, -1, np.int64)
    widest = np.max(widths)
    oldest = 0
    for here in range(starts.size):
        if starts[here] <= low + tolerance:
            total[here] = row_costs[here]
        while starts[oldest] + widest - lap < starts[here] - tolerance:
            oldest += 1
        for other in range(oldest, here):
            reach = starts[other] + widths[other]
            if reach - lap < starts[here] - tolerance or reach >= starts[here] + widths[here] - tolerance:
                continue
            cost = total[other] + seam_costs[here] + row_costs[here]
            if cost < total[here] - 1e-12 * abs(cost):
                total[here] = cost
                before[here] = other
    return total, before
