"""Split a batch over the processor's cores: compiled work that releases the interpreter needs threads, not processes."""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")


def in_threads(work: Callable[[int, int], T], n_members: int, *, least: int = 16) -> Sequence[T]:
    """Run ``work(first, last)`` over ``n_members`` in one contiguous share per core.

    Parameters
    ----------
    work : callable
        Takes the first member and the one after the last; must release the interpreter to gain from threads.
    n_members : int
    least : int
        Members below which a share is not worth a thread.
    """
    n_shares = max(1, min(os.cpu_count() or 1, n_members // least))
    if n_shares == 1:
        return [work(0, n_members)]
    edges = [n_members * share // n_shares for share in range(n_shares + 1)]
    with ThreadPoolExecutor(n_shares) as pool:
        return list(pool.map(work, edges[:-1], edges[1:]))
