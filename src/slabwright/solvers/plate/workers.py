"""Threads for compiled code, which runs free of the interpreter's lock: two, kept for the life of the program.

Work is shared out on two levels: pieces that have nothing in common, such as two plates, or the parts of one kernel.
Sharing out both at once would only make threads wait for each other, so kernels are not parted while pieces are at work.
"""

from collections import Counter, deque
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from functools import cache
from threading import Lock, get_ident
from typing import Any, TypeVar

from slabwright.pause import pause

N_WORKERS = 2
_PATIENCE_S = 0.05
T = TypeVar("T")
P = TypeVar("P")


def side_by_side(work: Callable[[P], T], parts: Sequence[P]) -> list[T]:
    """``work`` on each of some parts; it must not wait for other work of these threads."""
    if len(parts) < 2 or _at_work.crowded:
        return [work(part) for part in parts]
    return list(_pool("plate").map(work, parts))


def at_once(*pieces: Callable[[], Any]) -> list[Any]:
    """Pieces of work that share nothing but what they read, two at a time; what they give, in their order.

    The caller's own thread begins with the first, which may part its work likewise: while the other thread is still at
    other pieces the caller works its parts one by one.
    """
    left, found = deque(enumerate(pieces)), dict[int, Any]()

    def another() -> tuple[int, Callable[[], Any]] | None:
        with suppress(IndexError):
            return left.popleft()
        return None

    def take(one: tuple[int, Callable[[], Any]] | None) -> None:
        with _at_work:
            while one is not None:
                number, piece = one
                found[number] = piece()
                one = another()

    mine = another()
    helpers = [_pool("plates", N_WORKERS - 1).submit(lambda: take(another())) for _ in range(min(N_WORKERS, len(pieces)) - 1)]
    try:
        take(mine)
    finally:
        left.clear()
    others = [helper for helper in helpers if not helper.cancel()]
    while wait(others, timeout=_PATIENCE_S).not_done:
        pause()
    for other in others:
        other.result()
    return [found[number] for number in range(len(pieces))]


class _AtWork:
    """Threads that work at pieces, each with how many it is in the midst of."""

    def __init__(self) -> None:
        self._lock, self._threads = Lock(), Counter[int]()

    @property
    def crowded(self) -> bool:
        return len(self._threads) >= N_WORKERS

    def __enter__(self) -> None:
        with self._lock:
            self._threads[get_ident()] += 1

    def __exit__(self, *_: object) -> None:
        with self._lock:
            self._threads[get_ident()] -= 1
            self._threads = +self._threads


_at_work = _AtWork()


@cache
def _pool(name: str, n_threads: int = N_WORKERS) -> ThreadPoolExecutor:
    return ThreadPoolExecutor(n_threads, thread_name_prefix=name)
