"""The cheapest way to cover one line with pieces that lap, when laps may lie only in given windows."""

import numpy as np
from numba import njit
from numpy.typing import NDArray

from slabwright.solvers.cutting.knapsack import Ints

NEVER = np.int64(2**62)


def windows_as_arrays(length: int, windows: tuple[tuple[int, int], ...]) -> tuple[Ints, Ints]:
    """For every position of a line, the first and the last position of the window it lies in; -1 outside all.

    Parameters
    ----------
    length : int
    windows : tuple of (first, last)
        Not touching one another; cut off at the ends of the line.
    """
    first = np.full(length + 1, -1, np.int64)
    last = np.full(length + 1, -1, np.int64)
    for low, high in windows:
        low, high = max(low, 0), min(high, length)
        if low < high:
            first[low : high + 1] = low
            last[low : high + 1] = high
    return first, last


@njit(cache=True)
def cheapest_row(length: int, lap: int, pieces: Ints, costs: Ints, first: Ints, last: Ints) -> tuple[Ints, Ints, Ints]:
    """Least cost of covering a line from its start to every position, the last piece ending there.

    Parameters
    ----------
    length, lap : int
        Length of the line and least lap of two pieces.
    pieces, costs : (n,) integer arrays
        Lengths that may be used, and what each costs.
    first, last : (length + 1,) integer arrays
        From :func:`windows_as_arrays`: both ends of a lap lie in one window.

    Returns
    -------
    least : (length + 1,) integer array
        :data:`NEVER` where no row ends.
    piece : (length + 1,) integer array
        Which piece ends at each position.
    before : (length + 1,) integer array
        Where the piece before it ends; -1 for the first piece.

    Notes
    -----
    A piece from ``s`` to ``e`` follows one that ends at ``f`` when ``s + lap <= f < e`` and ``s`` and ``f`` share a
    window. The least over all such ``f`` is kept as a running minimum: while a window is being passed on a stack of
    candidates, afterwards as an array of minima from each position to the end of its window.
    """
    least = np.full(length + 1, NEVER, np.int64)
    piece = np.full(length + 1, -1, np.int64)
    before = np.full(length + 1, -1, np.int64)
    best_onward = np.full(length + 1, -1, np.int64)
    stack = np.empty(length + 1, np.int64)
    n_stack = 0
    for end in range(1, length + 1):
        for kind in range(pieces.size):
            start = end - pieces[kind]
            if start < 0:
                continue
            if start == 0:
                follows, cost = -1, costs[kind]
            else:
                if last[start] < start + lap:
                    continue
                if last[start] < end:
                    follows = best_onward[start + lap]
                else:
                    follows = _first_from(stack, n_stack, start + lap)
                if follows < 0 or least[follows] >= NEVER:
                    continue
                cost = least[follows] + costs[kind]
            if cost < least[end]:
                least[end], piece[end], before[end] = cost, kind, follows
        if last[end] < 0:
            continue
        while n_stack > 0 and least[stack[n_stack - 1]] >= least[end]:
            n_stack -= 1
        stack[n_stack] = end
        n_stack += 1
        if end == last[end]:
            lowest = end
            for position in range(end, first[end] - 1, -1):
                if least[position] < least[lowest]:
                    lowest = position
                best_onward[position] = lowest
            n_stack = 0
    return least, piece, before


@njit(cache=True)
def _first_from(stack: Ints, n_stack: int, position: int) -> int:
    """The lowest entry of an ascending stack at or after a position; -1 where there is none."""
    low, high = 0, n_stack
    while low < high:
        middle = (low + high) // 2
        if stack[middle] < position:
            low = middle + 1
        else:
            high = middle
    return stack[low] if low < n_stack else -1


def row_of(length: int, pieces: NDArray[np.int64], piece: Ints, before: Ints) -> tuple[tuple[int, int], ...]:
    """Start and end of every piece of the cheapest row, in order, from the answer of :func:`cheapest_row`."""
    placed = []
    end = length
    while end > 0:
        placed.append((end - int(pieces[piece[end]]), end))
        end = int(before[end])
    return tuple(reversed(placed))
