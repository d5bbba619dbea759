"""Threads for compiled code, which runs free of the interpreter's lock: two, kept for the life of the program.

Work is shared out on two levels: pieces that have nothing in common, such as two plates, or the parts of one kernel.
Sharing out both at once would only make threads wait for each other, so kernels are not parted while pieces are at work.
"""

from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from functools import cache
from threading import Lock
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
    """Pieces of work that share nothing but what they read, two at a time; what they give, in their order."""
    left, found = deque(enumerate(pieces)), dict[int, Any]()

    def take() -> None:
        with _at_work:
            while left:
                try:
                    number, piece = left.popleft()
                except IndexError:
                    return
                found[number] = piece()

    others = [_pool("plates").submit(take) for _ in range(min(N_WORKERS, len(pieces)) - 1)]
    try:
        take()
    finally:
        left.clear()
    while wait(others, timeout=_PATIENCE_S).not_done:
        pause()
    for other in others:
        other.result()
    return [found[number] for number in range(len(pieces))]


class _AtWork:
    """How many threads work at pieces."""

    def __init__(self) -> None:
        self._lock, self._n = Lock(), 0

    @property
    def crowded(self) -> bool:
        return self._n >= N_WORKERS

    def __enter__(self) -> None:
        with self._lock:
            self._n += 1

    def __exit__(self, *_: object) -> None:
        with self._lock:
            self._n -= 1


_at_work = _AtWork()


@cache
def _pool(name: str) -> ThreadPoolExecutor:
    return ThreadPoolExecutor(N_WORKERS, thread_name_prefix=name)
