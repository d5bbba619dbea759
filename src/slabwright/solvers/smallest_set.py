"""The cheapest few types that serve everybody: choose at most n of many types so that each member has one that fits.

Types that another serves as well for no more are dropped first and members alike are taken together, neither of which
can change the optimum. What is left is searched through exhaustively where that is quick, and otherwise handed to a
mixed-integer solver with its optimality gap closed; either way the answer is proven.
"""

from dataclasses import dataclass
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from slabwright.errors import Infeasible, NotConverged

Array = NDArray[np.float64]
_EXHAUSTIVE = 400_000


@dataclass(frozen=True, slots=True)
class SmallestSet:
    """Chosen types.

    Attributes
    ----------
    types : tuple of int
        Columns chosen, ascending.
    choice : tuple of int
        For each member the column that serves it.
    cost : float
        Sum over the members.
    """

    types: tuple[int, ...]
    choice: tuple[int, ...]
    cost: float


def smallest_set(cost: Array, n_types: int) -> SmallestSet:
    """Choose at most ``n_types`` columns so that the sum over rows of the least chosen cost is smallest.

    Parameters
    ----------
    cost : (members, types) array
        What a type costs for a member; infinite where it does not fit.
    n_types : int
        At most.

    Returns
    -------
    SmallestSet

    Raises
    ------
    Infeasible
        If some member fits no type, or no set of that size serves everybody.
    NotConverged
        If the solver cannot prove an answer.
    """
    cost = np.asarray(cost, dtype=float)
    unserved = np.flatnonzero(~np.isfinite(cost).any(axis=1))
    if n_types < 1 or unserved.size:
        raise Infeasible(f"no type fits member {unserved[0] if unserved.size else 0}.")
    rows, counts = np.unique(cost, axis=0, return_counts=True)
    kept = _undominated(rows)
    small = rows[:, kept]
    n = min(n_types, kept.size)
    picked = _searched(small, counts, n) if comb(kept.size, n) * rows.shape[0] <= _EXHAUSTIVE * 40 else _solved(small, counts, n)
    if picked is None:
        raise Infeasible(f"no {n_types} types serve everybody.")
    chosen = np.sort(kept[list(picked)])
    serve = cost[:, chosen]
    best = serve.argmin(axis=1)
    used = np.unique(best)
    return SmallestSet(
        types=tuple(int(chosen[k]) for k in used),
        choice=tuple(int(chosen[k]) for k in best),
        cost=float(serve[np.arange(len(cost)), best].sum()),
    )


def _undominated(cost: Array) -> NDArray[np.int64]:
    """Columns for which no other is at most as dear for every row; the first of equals stays."""
    kept: list[int] = []
    for column in np.argsort(np.where(np.isfinite(cost), cost, 1e300).sum(axis=0), kind="stable"):
        if not np.isfinite(cost[:, column]).any():
            continue
        if not any(np.all(cost[:, other] <= cost[:, column]) for other in kept):
            kept.append(int(column))
    return np.array(sorted(kept), dtype=np.int64)


def _searched(cost: Array, counts: NDArray[np.int64], n: int) -> tuple[int, ...] | None:
    """Every set of n columns, in blocks."""
    weights = counts.astype(float)
    best, found = np.inf, None
    block: list[tuple[int, ...]] = []
    for one in combinations(range(cost.shape[1]), n):
        block.append(one)
        if len(block) == 4096:
            best, found = _better(cost, weights, block, best, found)
            block = []
    if block:
        best, found = _better(cost, weights, block, best, found)
    return found


def _better(
    cost: Array, weights: Array, block: list[tuple[int, ...]], best: float, found: tuple[int, ...] | None
) -> tuple[float, tuple[int, ...] | None]:
    sets = np.array(block)
    least = cost[:, sets[:, 0]]
    for place in range(1, sets.shape[1]):
        least = np.minimum(least, cost[:, sets[:, place]])
    total = weights @ least
    number = int(np.argmin(total))
    return (float(total[number]), block[number]) if total[number] < best else (best, found)


def _solved(cost: Array, counts: NDArray[np.int64], n: int) -> tuple[int, ...] | None:
    """Mixed-integer programme: each row served once, only by chosen columns, at most n of them."""
    from scipy.sparse import coo_array, vstack

    from slabwright.solvers.highs import solve_whole

    fits = np.isfinite(cost)
    row, column = np.nonzero(fits)
    n_pairs, n_rows, n_columns = row.size, cost.shape[0], cost.shape[1]
    pairs = np.arange(n_pairs)
    objective = np.concatenate([cost[row, column] * counts[row], np.zeros(n_columns)])
    shape = (n_pairs, n_pairs + n_columns)
    served = coo_array((np.ones(n_pairs), (row, pairs)), shape=(n_rows, shape[1]))
    opened = coo_array(
        (
            np.concatenate([np.ones(n_pairs), -np.ones(n_pairs)]),
            (np.concatenate([pairs, pairs]), np.concatenate([pairs, n_pairs + column])),
        ),
        shape=shape,
    )
    limit = coo_array((np.ones(n_columns), (np.zeros(n_columns, dtype=int), n_pairs + np.arange(n_columns))), shape=(1, shape[1]))
    least = np.concatenate([np.ones(n_rows), np.full(n_pairs, -np.inf), [0.0]])
    most = np.concatenate([np.ones(n_rows), np.zeros(n_pairs), [n]])
    is_whole = np.arange(n_pairs + n_columns) >= n_pairs
    found = solve_whole(objective, vstack([served, opened, limit]), least, most, high=1.0, whole=is_whole)
    if found.values is None and found.is_settled:
        return None
    if found.values is None or not found.is_settled:
        raise NotConverged("the smallest set of types was not proven.")
    return tuple(int(k) for k in np.flatnonzero(found.values[n_pairs:] > 0.5))
