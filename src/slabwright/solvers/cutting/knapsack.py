"""Integer knapsacks solved exactly by dynamic programming: what a stock length is worth at given piece values.

All weights, values and limits are whole numbers, so that a value computed here can carry a proof. The tables are
compiled; a bar of a few thousand units and sixty kinds of piece take about a millisecond.
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Flags = NDArray[np.uint8]


@njit(cache=True)
def best_values(weights: Ints, values: Ints, limits: Ints, capacity: int, is_exact: bool = False) -> tuple[Ints, Flags, Ints, Ints]:
    """Most that can be loaded into every capacity up to the largest, each kind of piece at most ``limits`` times.

    Parameters
    ----------
    weights, values, limits : (n,) integer arrays
        Weight above nought, value from nought, and how often each kind may be taken.
    capacity : int
    is_exact : bool
        True to fill every capacity to the last unit.

    Returns
    -------
    best : (capacity + 1,) integer array
        Largest value within each capacity; far below nought where it cannot be filled exactly.
    taken : (n_chunks, capacity + 1) array of 0 and 1
        Whether a chunk is taken at a capacity; with the next two it is read back by :func:`best_counts`.
    chunk_kind, chunk_size : (n_chunks,) integer arrays
        Kind of piece of each chunk and how many pieces it holds.

    Notes
    -----
    Each limit is split into chunks of 1, 2, 4, ... pieces, which turns the bounded problem into one of single
    items in ``O(capacity * sum(log(limit)))`` steps.
    """
    chunk_kind = np.empty(64 * weights.size, np.int64)
    chunk_size = np.empty(64 * weights.size, np.int64)
    n_chunks = 0
    for kind in range(weights.size):
        left = min(limits[kind], capacity // weights[kind])
        size = 1
        while left > 0 and (values[kind] > 0 or is_exact):
            size = min(size, left)
            chunk_kind[n_chunks] = kind
            chunk_size[n_chunks] = size
            n_chunks += 1
            left -= size
            size *= 2
    best = np.zeros(capacity + 1, np.int64)
    if is_exact:
        best[1:] = -(2**61)
    taken = np.zeros((n_chunks, capacity + 1), np.uint8)
    for chunk in range(n_chunks):
        weight = chunk_size[chunk] * weights[chunk_kind[chunk]]
        value = chunk_size[chunk] * values[chunk_kind[chunk]]
        for room in range(capacity, weight - 1, -1):
            candidate = best[room - weight] + value
            if candidate > best[room]:
                best[room] = candidate
                taken[chunk, room] = 1
    return best, taken, chunk_kind[:n_chunks].copy(), chunk_size[:n_chunks].copy()


@njit(cache=True)
def best_counts(weights: Ints, taken: Flags, chunk_kind: Ints, chunk_size: Ints, capacity: int) -> Ints:
    """How many pieces of each kind make the best load of one capacity, from the tables of :func:`best_values`."""
    counts = np.zeros(weights.size, np.int64)
    room = capacity
    for chunk in range(chunk_kind.size - 1, -1, -1):
        if taken[chunk, room]:
            kind = chunk_kind[chunk]
            counts[kind] += chunk_size[chunk]
            room -= chunk_size[chunk] * weights[kind]
    return counts


@njit(cache=True)
def loads_worth(weights: Ints, values: Ints, limits: Ints, capacity: int, worth: int, most: int) -> tuple[Ints, bool]:
    """Every load to which no further piece can be added and whose value is at least ``worth``.

    Parameters
    ----------
    weights, values, limits : (n,) integer arrays
        Sorted so that heavier pieces come first, for speed only.
    capacity, worth : int
    most : int
        Give up when more loads than this are found.

    Returns
    -------
    loads : (n_loads, n) integer array
    complete : bool
        False where the search was given up.
    """
    n = weights.size
    suffix = np.zeros((n + 1, capacity + 1), np.int64)
    for kind in range(n - 1, -1, -1):
        suffix[kind] = best_values(weights[kind:], values[kind:], limits[kind:], capacity)[0]
    lightest = np.min(weights)
    found = np.zeros((most, n), np.int64)
    n_found = 0
    counts = np.zeros(n, np.int64)
    room, value, kind = capacity, 0, 0
    down = True
    while True:
        if down:
            if kind == n or value + suffix[kind, room] < worth:
                if kind == n and value >= worth and _is_full(weights, limits, counts, room, lightest):
                    if n_found == most:
                        return found, False
                    found[n_found] = counts
                    n_found += 1
                down = False
                continue
            take = min(limits[kind], room // weights[kind])
            counts[kind] = take
            room -= take * weights[kind]
            value += take * values[kind]
            kind += 1
        else:
            kind -= 1
            while kind >= 0 and counts[kind] == 0:
                kind -= 1
            if kind < 0:
                return found[:n_found].copy(), True
            counts[kind] -= 1
            room += weights[kind]
            value -= values[kind]
            kind += 1
            down = True


@njit(cache=True)
def _is_full(weights: Ints, limits: Ints, counts: Ints, room: int, lightest: int) -> bool:
    if room < lightest:
        return True
    for kind in range(weights.size):  # noqa: SIM110 - compiled code has no generators
        if counts[kind] < limits[kind] and weights[kind] <= room:
            return False
    return True
