"""Long work is heard at its pauses, by one listener at a time, and ended by what the listener raises."""

from threading import Thread

import pytest

from slabwright.pause import heard_by, pause
from slabwright.solvers.plate import Plate, Weight, solve


class Enough(BaseException):
    """The work is not wanted any more."""


def test_nobody_listens_before_and_after():
    heard = []
    pause()
    with heard_by(lambda: heard.append(1)):
        pause()
    pause()
    assert [1] == heard


def test_what_a_listener_does_is_not_heard_by_itself():
    heard = []

    def listener() -> None:
        heard.append(1)
        pause()

    with heard_by(listener):
        pause()
        pause()
    assert [1, 1] == heard


def test_another_thread_is_not_heard():
    heard = []
    with heard_by(lambda: heard.append(1)):
        other = Thread(target=pause)
        other.start()
        other.join()
    assert [] == heard


def test_a_plate_is_left_in_the_middle_and_solved_afterwards():
    plate = Plate(outline=[(0, 0), (3, 0), (3, 2), (0, 2)], thickness=0.12, modulus=30e9, poisson=0.15, spring=40e6)

    def enough() -> None:
        raise Enough

    with pytest.raises(Enough), heard_by(enough):
        solve(plate, [Weight(unit_weight=24e3)])
    assert pytest.approx(24e3 * 0.12 * 6.0) == solve(plate, [Weight(unit_weight=24e3)]).reaction.force
