"""Thickenings below the floor, folds, and what the quick mode costs."""

import numpy as np
import pytest
import shapely
from tests.solvers.plate import closed_forms

from slabwright.solvers.plate import Analysis, Fold, Gradient, LineLoad, Patch, Plate, Pressure, Quantity, Region, Weight, solve
from slabwright.standards.joint_transfer import EFFICIENCY, joint_stiffness_pa

E = 30e9


def ribbed_strip(flush):
    """A strip 8 m long, 0.4 m wide and 0.1 m thick with a rib 0.2 m wide and 0.4 m deep below it; nu = 0."""
    rib = Region(within=[(0, 0.1), (8, 0.1), (8, 0.3), (0, 0.3)], thickness=0.4)
    return Plate(
        outline=[(0, 0), (8, 0), (8, 0.4), (0, 0.4)], thickness=0.1, modulus=E, poisson=0.0, spring=20e6, regions=[rib], flush=flush
    )


def section(flush):
    """Second moment of the whole section: about its common centroid, or each part about its own."""
    parts = [(0.2, 0.1), (0.2, 0.4)]
    area = sum(b * h for b, h in parts)
    centre = sum(b * h * h / 2 for b, h in parts) / area
    return sum(b * h**3 / 12 + (b * h * (h / 2 - centre) ** 2 if flush else 0.0) for b, h in parts)


@pytest.mark.parametrize("flush", [True, False])
def test_a_rib_below_the_floor_acts_as_one_beam_with_it(flush):
    """Euler-Bernoulli beam on springs with the T section's own second moment; shear is worth 1 %, and is added by Timoshenko."""
    answer = solve(ribbed_strip(flush), [LineLoad(line=[(4, 0.1), (4, 0.3)], force=100e3 / 0.2)], bonded=True, size=0.5)
    shear = 5 / 6 * E / 2 * 0.1  # of the area; lower than the true T section's, hence the tolerance
    given = {"stiffness": E * section(flush), "shear": shear, "spring": 20e6 * 0.4, "length": 8.0, "force": 100e3}
    w, _ = closed_forms.timoshenko_beam_centre_load(**given)
    _, moment = closed_forms.timoshenko_beam_centre_load(**given, x=0.5)

    assert w == pytest.approx(answer.deflection([(4.0, 0.2)])[0], rel=5e-3)
    y = (np.arange(40) + 0.5) / 100.0
    places = [(4.5, one) for one in y]
    depth = np.where((y > 0.1) & (y < 0.3), 0.4, 0.1)
    normal, bending = answer.normal_forces(places)[:, 0], answer.moments(places)[:, 0]
    assert abs(normal.mean() * 0.4) < 1e-4 * 100e3
    assert moment == pytest.approx((bending + normal * depth / 2).mean() * 0.4, rel=0.015)


def test_the_quick_mode_is_too_soft_where_a_rib_bends_along_its_length():
    """Its margins against the eccentric model on a floor with an edge and a pad: what the docstring of Plate says of it."""
    edges = [
        Region(within=[(0, 0), (8, 0), (8, 0.4), (0, 0.4)], thickness=0.5),
        Region(within=[(0, 0), (0.4, 0), (0.4, 6), (0, 6)], thickness=0.5),
    ]
    pad = Region(within=[(3.6, 0), (4.4, 0), (4.4, 0.8), (3.6, 0.8)], thickness=0.7)

    def found(flush):
        plate = Plate(
            outline=[(0, 0), (8, 0), (8, 6), (0, 6)],
            thickness=0.1,
            modulus=E,
            poisson=0.15,
            spring=30e6,
            regions=[*edges, pad],
            flush=flush,
        )
        loads = [Patch(at=(4.0, 0.4), force=60e3, size_x=0.2, size_y=0.2), Patch(at=(0.2, 0.2), force=20e3, size_x=0.2, size_y=0.2)]
        answer = Analysis(plate, loads).solve(loads, bonded=True)
        return answer.deflection([(4.0, 0.4), (0.0, 0.0)])

    post, corner = found(False) / found(True)
    assert 1.03 < post < 1.25
    assert 1.03 < corner < 1.25


def test_a_hinge_under_a_load_doubles_the_deflection_of_a_long_strip():
    """Hetényi: each half carries half the load at its end, y = P lam / k, against P lam / 2k of the whole beam."""
    stiffness, spring = E * 0.3 * 0.1**3 / 12, 30e6 * 0.3
    lam = (spring / 4 / stiffness) ** 0.25
    length = 16.0 / lam
    outline = [(0, 0), (length, 0), (length, 0.3), (0, 0.3)]
    hinge = Fold(start=(length / 2, 0), end=(length / 2, 0.3), shear=1e15)
    deflections = []
    for folds in ((), (hinge,)):
        plate = Plate(outline=outline, thickness=0.1, modulus=E, poisson=0.0, spring=30e6, folds=folds)
        load = LineLoad(line=[(length / 2, 0), (length / 2, 0.3)], force=10e3 / 0.3, fineness=0.1)
        deflections.append(solve(plate, [load], bonded=True, size=0.3 / lam).deflection([(length / 2, 0.15)])[0])

    assert 10e3 * lam / spring / 2 == pytest.approx(deflections[0], rel=1e-2)
    assert 10e3 * lam / spring == pytest.approx(deflections[1], rel=2e-2)  # the strip's own turning is worth 1 %


def test_a_clean_break_parts_the_plate():
    """Without interlock the far side feels nothing, and the near side is a free end: y = 2 P lam / k."""
    stiffness, spring = E * 0.3 * 0.1**3 / 12, 30e6 * 0.3
    lam = (spring / 4 / stiffness) ** 0.25
    length = 16.0 / lam
    plate = Plate(
        outline=[(0, 0), (length, 0), (length, 0.3), (0, 0.3)], thickness=0.1, modulus=E, poisson=0.0, spring=30e6,
        folds=[Fold(start=(length / 2, 0), end=(length / 2, 0.3))],
    )  # fmt: skip
    edge = length / 2 - 0.00025
    answer = solve(plate, [LineLoad(line=[(edge, 0), (edge, 0.3)], force=10e3 / 0.3, fineness=0.1)], bonded=True, size=0.3 / lam)

    assert 2 * 10e3 * lam / spring == pytest.approx(answer.deflection([(edge, 0.15)])[0], rel=1.5e-2)
    assert abs(answer.deflection([(length / 2 + 0.00025, 0.15)])[0]) < 1e-3 * answer.deflection([(edge, 0.15)])[0]


@pytest.mark.published(EFFICIENCY)
@pytest.mark.parametrize("efficiency", [0.4, 0.75, 0.9])
def test_a_joint_passes_on_what_its_stiffness_says(efficiency):
    """Half planes joined by a shear spring (exact) to 0.01; the published regression, from memory, within 0.06 of both.

    A thin plate, as the exact solution is Kirchhoff's.
    """
    thickness, spring, modulus, poisson = 0.05, 40e6, 27 * E, 0.15
    radius = (modulus * thickness**3 / 12 / (1 - poisson**2) / spring) ** 0.25
    shear = joint_stiffness_pa(efficiency=efficiency, subgrade_modulus_pa_m=spring, relative_stiffness_m=radius)
    fold = Fold(start=(4, 0), end=(4, 8), shear=shear)
    plate = Plate(
        outline=[(0, 0), (8, 0), (8, 8), (0, 8)], thickness=thickness, modulus=modulus, poisson=poisson, spring=spring, folds=[fold]
    )
    edge = 4.0 - plate.fold_width(fold) / 2.0
    answer = solve(plate, [LineLoad(line=[(edge, 3.9), (edge, 4.1)], force=200e3, fineness=0.1)], bonded=True, size=0.4)
    near, far = answer.deflection([(edge, 4.0), (8.0 - edge, 4.0)])
    exact = closed_forms.joint_efficiency(stiffness=shear / spring / radius, poisson=poisson, half_load=0.1 / radius)

    assert exact == pytest.approx(far / near, abs=0.01)
    assert efficiency == pytest.approx(exact, abs=0.06)


def test_a_thick_part_feels_no_more_than_the_floors_own_couple():
    """A free edge strip under a gradient in the floor's depth: its curvature is the floor's couple over its own stiffness."""
    plate = Plate(outline=[(0, 0), (6, 0), (6, 0.4), (0, 0.4)], thickness=0.5, modulus=E, poisson=0.0, spring=1.0)
    answer = solve(plate, [Gradient(curvature=1e-3, depth=0.1)], bonded=True, size=0.6)
    ends, middle = answer.deflection([(0.5, 0.2), (5.5, 0.2)]), answer.deflection([(3.0, 0.2)])[0]

    assert 1e-3 * (0.1 / 0.5) ** 3 * 2.5**2 / 2 == pytest.approx(middle - ends.mean(), rel=1e-6)


def test_weight_that_the_soil_took_before_bends_nothing_and_still_holds_down():
    """A slab with an edge: cast on its soil it stays flat under its own weight, and lifts only where weight is overcome."""
    edge = Region(within=[(0, 0), (6, 0), (6, 0.4), (0, 0.4)], thickness=0.5)
    plate = Plate(outline=[(0, 0), (6, 0), (6, 4), (0, 4)], thickness=0.1, modulus=E, poisson=0.15, spring=30e6, regions=[edge])
    resting = solve(plate, [Weight(unit_weight=24e3, cast_on_soil=True)])
    laid_on = solve(plate, [Weight(unit_weight=24e3)])
    volume = 24.0 * 0.1 + 2.4 * 0.4

    assert 1e-9 > np.abs(resting.deflection([(1.0, 1.0), (3.0, 0.2)])).max()
    assert 24e3 * volume == pytest.approx(resting.reaction.force, rel=1e-9)
    assert [24e3 * 0.1, 24e3 * 0.5] == pytest.approx(resting.pressure([(3.0, 3.0), (3.0, 0.2)]).tolist(), rel=1e-6)
    tensions = [one.greatest(Quantity.TOP_TENSION).value for one in (laid_on, resting)]
    assert tensions[0] > 1e5 > 1e3 > tensions[1]
    pulled = [Patch(at=(3.0, 3.0), force=-8e3, size_x=0.2, size_y=0.2)]
    lifted = solve(plate, [Weight(unit_weight=24e3, cast_on_soil=True), *pulled])
    assert 1.0 > lifted.contact_fraction
    assert 24e3 * volume - 8e3 == pytest.approx(lifted.reaction.force, rel=1e-9)


def test_a_pressure_on_a_polygon_brings_its_area_wherever_the_grid_lies():
    plate = Plate(outline=[(0, 0), (6, 0), (6, 4), (0, 4)], thickness=0.1, modulus=E, poisson=0.15, spring=30e6)
    disc = shapely.Point(2.37, 1.71).buffer(0.83)
    both = shapely.union_all([disc, shapely.box(4.1, 0.3, 5.3, 3.9)])
    answer = solve(plate, [Pressure(pressure=5e3, within=both)], bonded=True)

    assert 5e3 * both.area == pytest.approx(answer.applied.force, rel=1e-9)
    assert 5e3 * both.area * both.centroid.x == pytest.approx(answer.applied.force_x, rel=1e-9)
