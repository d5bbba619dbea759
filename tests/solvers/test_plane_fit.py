"""Plane through levels, against the four levels of a rectangle worked by hand."""

import numpy as np
import pytest

from slabwright.solvers.plane_fit import plane_of_heights
from slabwright.sources import arithmetic

CORNERS = np.array([[0.0, 0.0], [12.0, 0.0], [12.0, 8.0], [0.0, 8.0]])


@pytest.mark.published(arithmetic("least-squares plane through the corners of a rectangle: the residuals are plus and minus d/4"))
def test_one_corner_high_is_shared_by_the_four():
    """A corner 20 mm high leaves 5 mm at every corner, by turns up and down, and 5 mm in the middle."""
    plane = plane_of_heights(CORNERS, np.array([0.0, 0.0, 0.02, 0.0]))
    assert pytest.approx([-0.005, 0.005, -0.005, 0.005], abs=1e-12) == plane.residuals * np.sign(plane.residuals[1])
    assert pytest.approx(0.005, abs=1e-12) == plane.at(CORNERS.mean(axis=0)[None])[0]


def test_a_plane_is_given_back():
    """Heights of a plane have no residual, and the plane holds away from the places too."""
    heights = 0.1 + CORNERS @ np.array([0.01, -0.02])
    plane = plane_of_heights(CORNERS, heights)
    assert pytest.approx(np.zeros(4), abs=1e-12) == plane.residuals
    assert pytest.approx(0.1 + 0.3 - 0.2, abs=1e-12) == plane.at(np.array([[30.0, 10.0]]))[0]
