"""A moving load against the same load standing at every place, one by one."""

from dataclasses import replace

import numpy as np
import pytest

from slabwright.errors import OutOfRange
from slabwright.solvers.plate import Analysis, Gradient, Patch, Plate, Quantity, Region, Weight, envelope
from slabwright.solvers.plate.loads import forces_of, moved_forces
from slabwright.solvers.plate.recovery import M_X, M_XY, M_Y, N_X, N_XY, N_Y, sampled_forces

EDGE = Region(within=[(0, 0), (6, 0), (6, 0.4), (0, 0.4)], thickness=0.5)
PLATE = Plate(outline=[(0, 0), (6, 0), (6, 4), (0, 4)], thickness=0.12, modulus=30e9, poisson=0.15, spring=40e6, regions=[EDGE])
AXLE = [Patch(at=(0.0, -0.4), force=15e3, size_x=0.15, size_y=0.15), Patch(at=(0.0, 0.4), force=15e3, size_x=0.15, size_y=0.15)]
PLACES = np.array([(0.5, 0.9), (3.0, 2.0), (5.3, 3.4), (1.7, 1.3), (4.4, 0.8)])


def tension(forces, thickness, face):
    sides = [forces[..., n] / thickness + face * 6 * forces[..., m] / thickness**2 for n, m in ((N_X, M_X), (N_Y, M_Y), (N_XY, M_XY))]
    return (sides[0] + sides[1]) / 2 + np.hypot((sides[0] - sides[1]) / 2, sides[2])


@pytest.mark.parametrize("gradient", [0.0, 1e-4])
def test_the_envelope_is_the_worst_of_every_place(gradient):
    """Linear about the standing state, so equal to the last digits where nothing lifts."""
    analysis = Analysis(PLATE)
    standing = [Weight(unit_weight=24e3), Gradient(curvature=gradient, depth=0.12)]
    base = analysis.solve(standing, bonded=True)
    hull = envelope(analysis, base, AXLE, PLACES)
    top, bottom = [], []
    for x, y in PLACES:
        moved = [Patch(at=(x + p.at[0], y + p.at[1]), force=p.force, size_x=p.size_x, size_y=p.size_y) for p in AXLE]
        answer = analysis.solve([*standing, *moved], bonded=True)
        forces = sampled_forces(answer.mesh, answer.recovery, answer.x, (standing[1],))
        top.append(tension(forces, answer.recovery.thickness, -1.0))
        bottom.append(tension(forces, answer.recovery.thickness, 1.0))

    assert np.allclose(np.max(top, axis=0), hull.top, rtol=1e-6, atol=1.0)
    assert np.allclose(np.max(bottom, axis=0), hull.bottom, rtol=1e-6, atol=1.0)
    assert np.array_equal(
        np.argmax(bottom, axis=0).ravel()[hull.bottom.ravel() > 1e3], hull.bottom_position.ravel()[hull.bottom.ravel() > 1e3]
    )
    extreme, stands = hull.greatest_bottom()
    assert hull.bottom.max() == extreme.value
    assert stands in [tuple(place) for place in PLACES]


def test_more_places_than_are_solved_at_once_make_one_envelope():
    analysis = Analysis(PLATE, size=1.0)
    base = analysis.solve([Weight(unit_weight=24e3)])
    many = np.random.default_rng(2).uniform([0.2, 0.6], [5.8, 3.4], (150, 2))
    whole = envelope(analysis, base.coarser, AXLE, many)
    halves = [envelope(analysis, base.coarser, AXLE, part) for part in (many[:70], many[70:])]

    assert np.allclose(whole.top, np.maximum(halves[0].top, halves[1].top))
    assert np.allclose(whole.bottom, np.maximum(halves[0].bottom, halves[1].bottom))


@pytest.mark.parametrize("patch", [AXLE[0], Patch(at=(0.1, 0.0), force=-2e3, size_x=0.3, size_y=0.2, rotation=0.4, moment_x=500.0)])
def test_a_moved_load_is_that_load_at_each_place(patch):
    """On a plate with a skewed side, so that some of the cells under it are cut."""
    skewed = Plate(outline=[(0, 0), (6, 0), (5, 4), (0, 4)], thickness=0.12, modulus=30e9, poisson=0.15, spring=40e6)
    mesh = Analysis(skewed, size=0.7).mesh
    places = np.array([(0.5, 0.9), (3.0, 2.0), (4.9, 2.5), (2.8, 2.1)])

    together = moved_forces(patch, places, mesh)
    alone = [forces_of(replace(patch, at=tuple(patch.at + place)), mesh)[0] for place in places]
    assert np.allclose(alone, together, rtol=0.0, atol=1e-12 * abs(patch.force))
    assert np.allclose(patch.force, together[:, :: mesh.elements.n_fields].sum(axis=1))


def test_a_place_off_the_plate_is_refused():
    analysis = Analysis(PLATE, size=1.0)
    base = analysis.solve([Weight(unit_weight=24e3)])
    with pytest.raises(OutOfRange, match="lies off the plate"):
        envelope(analysis, base, AXLE, np.array([(3.0, 3.8)]))


def test_the_spread_of_a_figure_covers_its_true_error():
    """Moment under a post on the default mesh against the same on a mesh twice as fine, of the same order."""
    post = Patch(at=(3.0, 2.2), force=40e3, size_x=0.15, size_y=0.15)
    default, fine = (Analysis(PLATE, [post], size=size).solve([post], bonded=True) for size in (None, 0.2))

    def moment(answer):
        return answer.greatest(Quantity.MOMENT_GREATEST).value

    error = abs(moment(default) / moment(fine) - 1.0)
    assert error < 0.005
    assert default.spread(moment) < 0.02
