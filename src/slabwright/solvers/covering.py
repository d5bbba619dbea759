"""Covering a breadth with lapped rows of equal width, the rows placed where they cost least."""

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
        Which of the offered starts, in order.
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
    low: float, high: float, *, width: float, lap: float, starts: Sequence[float], row_costs: Sequence[float], seam_costs: Sequence[float]
) -> RowCover:
    """Place lapped rows over a breadth at least cost, exactly, by dynamic programming.

    Parameters
    ----------
    low, high : float
        The breadth to be covered.
    width, lap : float
        Of every row; each row overlaps the one before by the lap or more.
    starts : (n,) sequence of float
        Where rows may begin, ascending.
    row_costs, seam_costs : (n,) sequences of float
        Cost of a row that begins at a start, and of the seam with the row before it.

    Raises
    ------
    OutOfRange
        If a row is not wider than its lap.
    Infeasible
        If no choice of starts covers the breadth.
    """
    _check(high - low, width, lap)
    offered = np.asarray(starts, np.float64)
    total, before = _cheapest(
        offered, np.asarray(row_costs, np.float64), np.asarray(seam_costs, np.float64), low, width - lap, _TOLERANCE * max(1.0, high - low)
    )
    ends = np.flatnonzero((offered + width >= high - _TOLERANCE * max(1.0, high - low)) & np.isfinite(total))
    if not ends.size:
        raise Infeasible(f"rows of width {width:g} with laps of {lap:g} do not cover {low:g} to {high:g} from the starts offered.")
    last = int(ends[np.argmin(total[ends])])
    chosen = [last]
    while before[chosen[-1]] >= 0:
        chosen.append(int(before[chosen[-1]]))
    return RowCover(tuple(reversed(chosen)), float(total[last]))


def _check(breadth: float, width: float, lap: float) -> None:
    if not (breadth > 0.0 and width > 0.0 and lap >= 0.0):
        raise OutOfRange(f"breadth and row width must be above nought and the lap not below (got {breadth:g}, {width:g}, {lap:g}).")
    if width <= lap:
        raise OutOfRange(f"a row of width {width:g} is not wider than its lap of {lap:g}; use a wider row or a shorter lap.")


@njit(cache=True)
def _cheapest(starts: Floats, row_costs: Floats, seam_costs: Floats, low: float, reach: float, tolerance: float) -> tuple[Floats, Ints]:
    total = np.full(starts.size, np.inf)
    before = np.full(starts.size, -1, np.int64)
    oldest = 0
    for here in range(starts.size):
        if starts[here] <= low + tolerance:
            total[here] = row_costs[here]
        while starts[oldest] + reach < starts[here] - tolerance:
            oldest += 1
        for other in range(oldest, here):
            cost = total[other] + seam_costs[here] + row_costs[here]
            if cost < total[here] - 1e-12 * abs(cost):
                total[here] = cost
                before[here] = other
    return total, before
