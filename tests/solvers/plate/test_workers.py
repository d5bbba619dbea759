"""Work shared out between threads comes back in order, and a failure is not lost."""

from functools import partial
from threading import Barrier, Event, get_ident

import pytest

from slabwright.errors import Mechanism
from slabwright.solvers.plate.workers import at_once, side_by_side


def test_pieces_come_back_in_their_order():
    assert [n * n for n in range(9)] == at_once(*(partial(pow, n, 2) for n in range(9)))
    assert [7] == at_once(lambda: 7)


def test_two_pieces_are_worked_at_once():
    """Each waits until the other has begun."""
    meeting = Barrier(2, timeout=10.0)

    def piece() -> int:
        meeting.wait()
        return get_ident()

    assert 2 == len(set(at_once(piece, piece)))


def test_kernels_are_not_parted_while_two_pieces_are_at_work():
    begun, ended = Barrier(2, timeout=10.0), Barrier(2, timeout=10.0)

    def piece() -> bool:
        begun.wait()
        threads = side_by_side(lambda _: get_ident(), [0, 1, 2])
        ended.wait()
        return {get_ident()} == set(threads)

    assert [True, True] == at_once(piece, piece)
    assert get_ident() not in side_by_side(lambda _: get_ident(), [0, 1, 2])


@pytest.mark.parametrize("failing", [0, 1, 3])
def test_what_a_piece_raises_is_raised(failing):
    def piece(n: int) -> int:
        if n == failing:
            raise Mechanism("held by nothing")
        return n

    with pytest.raises(Mechanism, match="held by nothing"):
        at_once(*(partial(piece, n) for n in range(4)))
    assert [0, 1] == at_once(partial(max, 0, 0), partial(max, 0, 1))


def test_a_piece_parts_its_own_work_without_waiting_for_the_other_thread():
    """The first is the caller's, who works its parts alone while the other piece goes on; alone at nested work he still parts kernels."""
    through = Event()

    def parted() -> list[int]:
        threads = at_once(get_ident, get_ident, get_ident)
        through.set()
        return threads

    assert [[get_ident()] * 3, True] == at_once(parted, partial(through.wait, 10.0))
    assert get_ident() not in at_once(lambda: at_once(lambda: side_by_side(lambda _: get_ident(), [0, 1])))[0][0]
