"""The saw's evening."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.early_age.sawing import MOVE_H, Line, evening, saws_needed

LINES = (
    Line(name="J1", length_m=45.0, placed_first_h=0.0, placed_last_h=2.0),
    Line(name="J2", length_m=90.0, placed_first_h=0.0, placed_last_h=1.0),
    Line(name="J3", length_m=45.0, placed_first_h=1.0, placed_last_h=2.0),
)


def test_one_saw_cuts_one_line_after_the_other():
    """45 m/h, window 6 to 12 h: J1 from 8 to 9, two minutes between, J2 two hours, J3 one; J3 late by hand at 12:04 against 13."""
    cuts = evening(LINES, from_h=6.0, until_h=12.0, n_saws=1, speed_m_h=45.0)

    assert pytest.approx([8.0, 9.0 + MOVE_H, 11.0 + 2 * MOVE_H]) == [cut.start_h for cut in cuts]
    assert pytest.approx([9.0, 11.0 + MOVE_H, 12.0 + 2 * MOVE_H]) == [cut.end_h for cut in cuts]
    assert [False, False, False] == [cut.late for cut in cuts]
    assert 1 == saws_needed(LINES, from_h=6.0, until_h=12.0, speed_m_h=45.0)
    assert 2 == saws_needed(LINES, from_h=6.0, until_h=10.5, speed_m_h=45.0)
    assert saws_needed(LINES, from_h=6.0, until_h=7.0, speed_m_h=45.0) is None


@given(
    st.lists(st.tuples(st.floats(1, 60), st.floats(0, 6), st.floats(0, 4)), min_size=1, max_size=15),
    st.integers(1, 4),
    st.floats(10, 90),
)
def test_no_saw_cuts_two_lines_at_once_and_none_cuts_too_soon(rows, n_saws, speed):
    """Whatever the floor."""
    lines = [Line(name=f"J{i}", length_m=m, placed_first_h=p, placed_last_h=p + d) for i, (m, p, d) in enumerate(rows)]
    cuts = evening(lines, from_h=5.0, until_h=12.0, n_saws=n_saws, speed_m_h=speed)

    for line, cut in zip(lines, cuts, strict=True):
        assert cut.start_h >= line.placed_last_h + 5.0 - 1e-9
        assert pytest.approx(line.length_m / speed) == cut.end_h - cut.start_h
    for saw in range(1, n_saws + 1):
        own = sorted((cut for cut in cuts if cut.saw == saw), key=lambda cut: cut.start_h)
        assert all(later.start_h >= earlier.end_h for earlier, later in pairwise(own))
