"""The saw's evening."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.early_age.sawing import MOVE_H, Line, evening, saws_needed


def lines(until_h):
    """Placed in two hours, ready 6 h after their last concrete, late ``until_h`` after their first."""
    placed = (("J1", 45.0, 0.0, 2.0), ("J2", 90.0, 0.0, 1.0), ("J3", 45.0, 1.0, 2.0))
    return tuple(Line(name=name, length_m=m, ready_h=last + 6.0, latest_h=first + until_h) for name, m, first, last in placed)


def test_one_saw_cuts_one_line_after_the_other():
    """45 m/h, by hand: J2 alone may be cut at 7 and takes two hours; two minutes between; then J1 and J3, an hour each."""
    cuts = evening(lines(12.0), n_saws=1, speed_m_h=45.0)

    assert ["J2", "J1", "J3"] == [cut.line.name for cut in cuts]
    assert pytest.approx([7.0, 9.0 + MOVE_H, 10.0 + 2 * MOVE_H]) == [cut.start_h for cut in cuts]
    assert pytest.approx([9.0, 10.0 + MOVE_H, 11.0 + 2 * MOVE_H]) == [cut.end_h for cut in cuts]
    assert [False, False, False] == [cut.late for cut in cuts]
    assert 1 == saws_needed(lines(12.0), speed_m_h=45.0)
    assert 2 == saws_needed(lines(10.0), speed_m_h=45.0)
    assert saws_needed(lines(7.0), speed_m_h=45.0) is None


@given(
    st.lists(st.tuples(st.floats(1, 60), st.floats(0, 6), st.floats(0, 4)), min_size=1, max_size=15),
    st.integers(1, 4),
    st.floats(10, 90),
)
def test_no_saw_cuts_two_lines_at_once_and_none_cuts_too_soon(rows, n_saws, speed):
    """Whatever the floor."""
    wanted = [Line(name=f"J{i}", length_m=m, ready_h=p + d, latest_h=p + 12.0) for i, (m, p, d) in enumerate(rows)]
    cuts = evening(wanted, n_saws=n_saws, speed_m_h=speed)

    for cut in cuts:
        assert cut.start_h >= cut.line.ready_h - 1e-9
        assert pytest.approx(cut.line.length_m / speed) == cut.end_h - cut.start_h
    for saw in range(1, n_saws + 1):
        own = sorted((cut for cut in cuts if cut.saw == saw), key=lambda cut: cut.start_h)
        assert all(later.start_h >= earlier.end_h for earlier, later in pairwise(own))
