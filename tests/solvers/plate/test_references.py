"""The solver beside a general finite element library: the same plates with other elements, and the same floors as solids.

Deflections down, bonded soil, Reissner-Mindlin plates with kappa 5/6.
"""

import numpy as np
import pytest
from tests.solvers.plate.solids import PlateByLibrary, Solid

from slabwright.solvers.plate import Patch, Plate, Region, solve

E, NU, SPRING, FLOOR = 30e9, 0.15, 30e6, 0.1


def lines(cuts, sizes):
    """Grid lines through cuts with cells of at most the given sizes between them."""
    pieces = [np.linspace(a, b, int(np.ceil((b - a) / h - 1e-9)) + 1) for a, b, h in zip(cuts, cuts[1:], sizes, strict=False)]
    return np.unique(np.round(np.concatenate(pieces), 9))


def box_region(x0, y0, x1, y1, thickness):
    return Region(within=[(x0, y0), (x1, y0), (x1, y1), (x0, y1)], thickness=thickness)


def test_another_library_finds_the_same_plate():
    """An L of floor with two edge strips and a post: scikit-fem, elements of order 2, agrees within its own mesh error.

    Its mesh error is what halving its cells still moves; ours is below that.
    """
    points = [(2.0, 2.0), (1.0, 1.0), (0.05, 0.05), (2.3, 2.3), (3.9, 0.1), (0.2, 3.0)]

    def by_library(n):
        x = lines([0.0, 0.4, 1.9, 2.1, 2.5, 4.0], [0.4 / n, 0.5 / n, 0.2 / n, 0.4 / n, 0.5 / n])
        return PlateByLibrary(
            x, x, thickness=lambda x, y: np.where((x < 0.4) | (y < 0.4), 0.4, 0.12), spring=lambda x, y: 40e6 + 0.0 * x,
            modulus=E, poisson=NU, pressure=50e3 / 0.04, box=(1.9, 1.9, 2.1, 2.1), keep=lambda x, y: (x < 2.5) | (y < 2.5), order=2,
        ).deflection(points)  # fmt: skip

    plate = Plate(
        outline=[(0, 0), (4, 0), (4, 2.5), (2.5, 2.5), (2.5, 4), (0, 4)], thickness=0.12, modulus=E, poisson=NU, spring=40e6,
        regions=[box_region(0, 0, 4, 0.4, 0.4), box_region(0, 0, 0.4, 4, 0.4)],
    )  # fmt: skip
    found = solve(plate, [Patch(at=(2.0, 2.0), force=50e3, size_x=0.2, size_y=0.2)], bonded=True).deflection(points)
    rough, fine = by_library(2), by_library(4)

    assert (np.abs(found - fine) <= np.abs(fine - rough) + 1e-4 * fine.max()).all()
    assert np.abs(found - fine).max() < 2e-3 * fine.max()


def test_a_slice_across_an_edge_strip_as_a_solid():
    """No force runs along the slice, so that the depth of the middle plane cannot matter: both models within 1 % of the solid.

    Errors are shares of the deflection under the wall. Found: 0.5 % at the free edge, where the block itself deforms.
    """
    length, width, x = 4.0, 0.2, lines([0.0, 0.1, 0.3, 0.4, 4.0], [0.05, 0.1, 0.05, 0.1])
    points = [(a, 0.1) for a in (0.0, 0.2, 0.4, 0.8, 1.2, 2.0)]
    solid = Solid(
        x, [0.0, width], lines([0.0, FLOOR, 0.4], [0.05, 0.075]), depth=lambda x, y: np.where(x < 0.4, 0.4, FLOOR),
        spring=SPRING, modulus=E, poisson=0.0, pressure=20e3 / 0.2, box=(0.1, 0.0, 0.3, width),
    ).deflection(points)  # fmt: skip
    for flush in (True, False):
        plate = Plate(
            outline=[(0, 0), (length, 0), (length, width), (0, width)], thickness=FLOOR, modulus=E, poisson=0.0, spring=SPRING,
            regions=[box_region(0, 0, 0.4, width, 0.4)], flush=flush,
        )  # fmt: skip
        wall = Patch(at=(0.2, 0.1), force=20e3 * width, size_x=0.2, size_y=width)
        found = solve(plate, [wall], bonded=True).deflection(points)
        assert np.abs(found - solid).max() < 0.01 * solid[1]


@pytest.mark.long
def test_a_floor_with_an_edge_strip_and_a_post_as_a_solid():
    """Eight by three metres, a strip 0.4 m wide and deep along one side, a post on it: 27-node bricks.

    The floor is the flange of the strip, which the eccentric model knows and the quick mode does not. Errors as shares
    of the deflection under the post, found: at the strip, at its end, on the floor beside and on the floor further off,

    * eccentric: -0.8, +1.2, +0.7, +0.1 %
    * quick: +3.4, -1.6, +2.1, +0.3 %
    """
    points = [(4.0, 0.35), (0.0, 0.2), (4.0, 1.4), (5.5, 1.0), (2.5, 0.2)]
    x = lines([0.0, 3.6, 3.9, 4.1, 4.4, 8.0], [0.32, 0.16, 0.16, 0.16, 0.32])
    y = lines([0.0, 0.1, 0.3, 0.4, 0.9, 3.0], [0.1, 0.1, 0.1, 0.16, 0.32])
    solid = Solid(
        x, y, lines([0.0, FLOOR, 0.4], [FLOOR, 0.1]), depth=lambda x, y: np.where(y < 0.4, 0.4, FLOOR),
        spring=SPRING, modulus=E, poisson=NU, pressure=60e3 / 0.04, box=(3.9, 0.1, 4.1, 0.3),
    ).deflection(points)  # fmt: skip
    errors = {}
    for flush in (True, False):
        plate = Plate(
            outline=[(0, 0), (8, 0), (8, 3), (0, 3)], thickness=FLOOR, modulus=E, poisson=NU, spring=SPRING,
            regions=[box_region(0, 0, 8, 0.4, 0.4)], flush=flush,
        )  # fmt: skip
        found = solve(plate, [Patch(at=(4.0, 0.2), force=60e3, size_x=0.2, size_y=0.2)], bonded=True).deflection(points)
        errors[flush] = (found - solid) / solid[0]

    assert np.abs(errors[True]).max() < 0.015
    assert 0.025 < errors[False][0] < 0.045
    assert np.abs(errors[False]).max() > 2.0 * np.abs(errors[True]).max()
    assert [-0.008, 0.012, 0.007, 0.001] == pytest.approx(errors[True][:4].tolist(), abs=2e-3)
    assert [0.034, -0.016, 0.021, 0.003] == pytest.approx(errors[False][:4].tolist(), abs=2e-3)
