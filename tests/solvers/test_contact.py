"""Pressure under a rigid rectangle balances every load inside it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.solvers.contact import contact_pressure
from slabwright.solvers.contact_plane import balanced_plane, contact_share

inside = st.floats(-0.495, 0.495)
side = st.floats(0.2, 8.0)


@settings(max_examples=150, deadline=None)
@given(inside, inside, side, side)
def test_pressure_integrates_to_load_and_moments(u, v, bx, by):
    """Force and both moments of the pressure equal those of the load, wherever it acts inside."""
    found = contact_pressure(1e4, u * bx, v * by, bx, by)
    force, moment_x, _ = found.beyond(0, 0)
    _, moment_y, _ = found.beyond(1, 0)

    assert pytest.approx(1e4, rel=1e-9) == force
    assert pytest.approx(1e4 * u * bx, abs=1e-6 * bx) == moment_x
    assert pytest.approx(1e4 * v * by, abs=1e-6 * by) == moment_y


@settings(max_examples=60, deadline=None)
@given(inside, inside, side, side, st.floats(-0.5, 0.5))
def test_the_two_sides_of_a_line_add_up(u, v, bx, by, cut):
    """Whatever the line, the force left of it and right of it make the load."""
    found = contact_pressure(1.0, u * bx, v * by, bx, by)
    for axis, length in ((0, bx), (1, by)):
        right = found.beyond(axis, 1, cut * length)
        left = found.beyond(axis, -1, -cut * length)

        assert pytest.approx(1.0, rel=1e-9) == right[0] + left[0]


@settings(max_examples=60, deadline=None)
@given(inside, inside, side, side)
def test_a_mirrored_load_mirrors_the_pressure(u, v, bx, by):
    one = contact_pressure(1.0, u * bx, v * by, bx, by)
    other = contact_pressure(1.0, -v * by, u * bx, by, bx)

    assert pytest.approx(float(one.highest), rel=1e-8) == float(other.highest)
    assert pytest.approx(float(one.share), rel=1e-7) == float(other.share)


def test_a_load_in_the_middle_presses_evenly():
    """A load without moment equals the concentric one."""
    found = contact_pressure(np.array([16.0, 16.0]), 0.0, [0.0, 1e-12], 2.0, 4.0)

    assert pytest.approx([2.0, 2.0]) == found.highest
    assert pytest.approx([2.0, 2.0]) == found.lowest
    assert pytest.approx([1.0, 1.0]) == found.share


def test_exact_integration_agrees_with_a_fine_grid():
    """A million points under a biaxially loaded rectangle."""
    found = contact_pressure(1.0, 0.3, 0.55, 1.0, 2.0)
    x = (np.arange(1000) + 0.5) / 1000 - 0.5
    y = 2 * x
    pressure = found.at(x[:, None], y[None, :])
    cell = 1e-3 * 2e-3
    beyond = pressure[x > 0.1]

    assert pytest.approx(1.0, abs=1e-5) == pressure.sum() * cell
    assert pytest.approx(float(found.beyond(0, 1, 0.1)[0]), abs=1e-5) == beyond.sum() * cell
    assert pytest.approx(float(found.beyond(0, 1, 0.1)[1]), abs=1e-5) == (beyond * (x[x > 0.1, None] - 0.1)).sum() * cell


@pytest.mark.parametrize(("load", "x"), [(0.0, 0.0), (-1.0, 0.0), (1.0, 0.5), (1.0, -0.7)])
def test_a_load_up_or_outside_is_refused(load, x):
    with pytest.raises(OutOfRange):
        contact_pressure(load, x, 0.0, 1.0, 1.0)


@settings(max_examples=150, deadline=None)
@given(inside, inside)
def test_one_rectangle_alone_agrees_with_arrays_of_them(u, v):
    """Polygon moments about the loaded corner against Gauss points across the middle: two ways to the same plane."""
    plane, found = balanced_plane(u, v), contact_pressure(1.0, u, v, 1.0, 1.0)
    highest = plane[0] + (abs(plane[1]) + abs(plane[2])) / 2

    assert pytest.approx(float(found.highest), rel=1e-8) == highest
    assert pytest.approx((float(found.mean), float(found.along_x), float(found.along_y)), rel=1e-7, abs=1e-8) == plane
    assert pytest.approx(float(found.share), rel=1e-7) == contact_share(plane)


@pytest.mark.parametrize("near", [0.4999, 0.49999999])
def test_one_rectangle_alone_balances_a_load_close_to_its_corner(near):
    """A corner pyramid: legs of four times the distance to each side, six times the load over their product at the peak."""
    mean, along_x, along_y = balanced_plane(near, near)

    assert pytest.approx(6 / (4 * (0.5 - near)) ** 2, rel=1e-6) == mean + (along_x + along_y) / 2


def test_one_rectangle_alone_refuses_a_load_on_its_side():
    with pytest.raises(OutOfRange, match="outside the footing"):
        balanced_plane(0.5, 0.0)
