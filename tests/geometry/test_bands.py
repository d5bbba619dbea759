"""Level bands of plan shapes, against figures read off by hand and against areas."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from slabwright.geometry.bands import level_length_m, levels, occupied, turned

U_SHAPE = Polygon([(0, 0), (10, 0), (10, 6), (7, 6), (7, 2), (3, 2), (3, 6), (0, 6)])


def test_a_u_shape_is_one_stretch_below_and_two_above():
    assert ((0.0, 10.0),) == occupied(U_SHAPE, 0.0, 1.0)
    assert ((0.0, 3.0), (7.0, 10.0)) == occupied(U_SHAPE, 3.0, 4.0)
    assert ((0.0, 10.0),) == occupied(U_SHAPE, 1.0, 5.0)
    assert () == occupied(U_SHAPE, 7.0, 8.0)


def test_levels_are_the_ordinates_of_corners():
    assert (0.0, 2.0, 6.0) == levels(U_SHAPE)
    assert (0.0, 3.0, 7.0, 10.0) == levels(turned(U_SHAPE))


def test_a_level_line_is_as_long_as_it_is_inside():
    """Along the bottom of the notch half counts as inside the base and half as the two arms."""
    assert pytest.approx([10.0, 6.0, 8.0, 5.0]) == list(level_length_m(U_SHAPE, [1.0, 4.0, 2.0, 0.0]))


@settings(max_examples=30, deadline=None)
@given(st.floats(1, 30), st.floats(1, 30), st.floats(0.1, 0.9), st.floats(0.1, 0.9))
def test_level_lengths_add_up_to_the_area(length, width, across, up):
    """The mean of many level lines times the height is the area of an L."""
    shape = box(0, 0, length, width).difference(box(across * length, up * width, length, width))
    ordinates = (np.arange(2000) + 0.5) / 2000 * width

    assert pytest.approx(shape.area, rel=2e-3) == float(level_length_m(shape, ordinates).mean()) * width
