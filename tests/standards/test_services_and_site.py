"""Services under the slab, earth electrode, safety rules and acceptance numbers read on site."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import irc_plumbing, nfpa_70, osha_1926, site_acceptance
from slabwright.standards.osha_1926 import SawPlace
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N

PSI = POUND_FORCE_N / INCH_M**2


@pytest.mark.published(irc_plumbing.DRAIN_TEST)
def test_a_drain_stands_ten_feet_of_water_or_five_psi_for_a_quarter_hour():
    """IRC P2503 as quoted by a city's list: 10 ft head or 5 psi, 15 min. Water of 62.4 pcf: 10 ft is 4.33 psi, under 5."""
    test = irc_plumbing.drain_test()

    assert pytest.approx((10 * FOOT_M, 5 * PSI, 15 / 60)) == (test.head_m, test.air_pa, test.time_h)
    assert 0.8 < 62.4 * 10 / 144 / (test.air_pa / PSI) < 1


@pytest.mark.published(irc_plumbing.DRAIN_FALL)
@pytest.mark.parametrize(("inches", "inch_per_foot"), [(1.5, 1 / 4), (2.5, 1 / 4), (3, 1 / 8), (4, 1 / 8), (6, 1 / 8), (8, 1 / 16)])
def test_least_fall_by_diameter(inches, inch_per_foot):
    """IRC Table P3005.3, from memory: 1/4 in. a foot to 2 1/2 in., 1/8 from 3 to 6, 1/16 from 8."""
    assert pytest.approx(inch_per_foot / 12) == irc_plumbing.drain_fall(diameter_m=inches * INCH_M)


def test_a_drain_without_a_diameter_is_refused():
    with pytest.raises(OutOfRange, match="diameter"):
        irc_plumbing.drain_fall(diameter_m=0.0)


@pytest.mark.published(nfpa_70.ELECTRODE)
def test_the_encased_electrode():
    """NEC 250.52(A)(3): 20 ft of 1/2 in. bar in 2 in. of concrete."""
    rule = nfpa_70.electrode_rule()

    assert pytest.approx((20.0, 0.5, 2.0)) == (rule.length_m / FOOT_M, rule.diameter_m / INCH_M, rule.cover_m / INCH_M)


@pytest.mark.published(osha_1926.SILICA)
@pytest.mark.parametrize(
    ("place", "hours", "factor"),
    [
        (SawPlace.WALK_BEHIND_OUTDOORS, 8, 0), (SawPlace.WALK_BEHIND_INDOORS, 1, 10), (SawPlace.HAND_HELD_OUTDOORS, 4, 0),
        (SawPlace.HAND_HELD_OUTDOORS, 4.5, 10), (SawPlace.HAND_HELD_INDOORS, 1, 10),
    ],
)  # fmt: skip
def test_respirators_of_the_saw_table(place, hours, factor):
    """29 CFR 1926.1153 table 1, as quoted."""
    assert factor == osha_1926.saw_respirator_factor(place=place, time_h=hours)


@pytest.mark.published(osha_1926.EXCAVATION)
@pytest.mark.parametrize(("feet", "protect", "ladder"), [(3.9, False, False), (4, False, True), (4.9, False, True), (5, True, True)])
def test_digs_are_protected_from_five_feet_and_have_a_way_out_from_four(feet, protect, ladder):
    rule = osha_1926.dig_rule(depth_m=feet * FOOT_M)

    assert (protect, ladder) == (rule.protect, rule.ladder)
    assert pytest.approx(2.0) == rule.spoil_back_m / FOOT_M


@pytest.mark.published(site_acceptance.TROWEL_AIR)
@pytest.mark.parametrize(("air", "may"), [(0.02, True), (0.03, True), (0.035, False), (0.06, False)])
def test_no_hard_trowel_over_three_per_cent_air(air, may):
    assert may is site_acceptance.may_be_troweled(air=air)
