"""Long work comes up for air, so that whoever waits for something else is heard, and may end it.

The work calls :func:`pause` some times a second, where stopping does no harm, and knows nothing of who listens.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import get_ident

_listening: list[tuple[int, Callable[[], None]]] = []


def pause() -> None:
    """Hear who listens to this thread, if anybody does; what the listener raises ends the work."""
    if _listening and _listening[-1][0] == get_ident():
        ear = _listening.pop()
        try:
            ear[1]()
        finally:
            _listening.append(ear)


@contextmanager
def heard_by(listener: Callable[[], None]) -> Iterator[None]:
    """Have a listener called at the pauses of the work done within, in the same thread.

    Parameters
    ----------
    listener : callable
        What it raises to end the work should be no :class:`Exception`: work may answer one of those by going on.
    """
    ear = (get_ident(), listener)
    _listening.append(ear)
    try:
        yield
    finally:
        _listening.remove(ear)
