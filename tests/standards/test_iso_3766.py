"""Cut lengths of bent bars: the centre line measured on a polygon, and the rule of the British bar list."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.standards.aci_318_19_development import hook
from slabwright.standards.iso_3766 import LENGTHS, bar_cut_length, centre_line, hairpin_length_m

from .us import IN, close

quarter = math.pi / 2


@pytest.mark.published(LENGTHS)
@pytest.mark.parametrize(("diameter_mm", "radius_mm"), [(8, 16), (10, 20), (12, 24), (16, 32), (20, 70)])
def test_one_and_two_bends_as_the_british_list_rounds_them(diameter_mm, radius_mm):
    """Shape 11: A + B - 0.5r - d; shape 21: A + B + C - r - 2d, from memory. The rule rounds 0.43r + 1.21d: within a bar diameter."""
    d, r = diameter_mm / 1000, radius_mm / 1000
    one = bar_cut_length(legs_m=[0.6, 0.4], bar_diameter_m=d, bend_diameter_m=2 * r)
    two = bar_cut_length(legs_m=[0.6, 0.4, 0.6], bar_diameter_m=d, bend_diameter_m=2 * r)

    assert pytest.approx(1.0 - 0.5 * r - d, abs=0.3 * d) == one.cut_m
    assert pytest.approx(1.6 - r - 2 * d, abs=0.6 * d) == two.cut_m


def test_a_bend_of_six_diameters_saves_two_and_a_half():
    """r = 3d: 2 x 4d - (pi/2) x 3.5d = 2.502d; by hand."""
    found = bar_cut_length(legs_m=[24 * IN, 24 * IN], bar_diameter_m=0.5 * IN, bend_diameter_m=3 * IN)

    assert close(2.502 * 0.5, rel=1e-3) == found.saved_m / IN
    assert close(48 - 2.502 * 0.5, rel=1e-5) == found.cut_m / IN


def test_a_straight_bar_is_cut_as_long_as_it_is():
    assert 3.0 == bar_cut_length(legs_m=[3.0], bar_diameter_m=0.012, bend_diameter_m=0.048).cut_m


@given(
    st.lists(st.floats(0.4, 3.0), min_size=1, max_size=4),
    st.floats(0.006, 0.025),
    st.floats(3.0, 10.0),
    st.floats(0.2, 2.2),
)
def test_the_cut_length_is_that_of_the_drawn_centre_line(legs, diameter, times, angle):
    """Drawn with many short chords and measured, whatever the legs and bends."""
    bend = times * diameter
    setback = (bend / 2 + diameter) * math.tan(angle / 2)
    assume(min(legs) > 2 * setback)
    found = bar_cut_length(legs_m=legs, bar_diameter_m=diameter, bend_diameter_m=bend, angle_rad=angle)
    signs = [(-1) ** number for number in range(len(legs) - 1)]
    points = centre_line(legs_m=legs, bends_rad=[angle * s for s in signs], bar_diameter_m=diameter, bend_diameter_m=bend, steps=400)

    assert pytest.approx(found.cut_m, rel=1e-5) == sum(math.dist(a, b) for a, b in pairwise(points))


def test_a_hairpin_is_two_legs_and_a_half_circle():
    """Legs of 8 ft over 2 ft of No.5: 2 x 7 ft + pi x (24 - 0.625)/2 in.; by hand."""
    found = hairpin_length_m(leg_m=96 * IN, width_m=24 * IN, bar_diameter_m=0.625 * IN)

    assert close(168 + math.pi * 23.375 / 2, rel=1e-9) == found / IN


def test_a_hooked_bar_of_a_pad():
    """24 in. out to out with standard 90 degree hooks of No.4 (8 in. legs): 40 in. less 2 x 1.251 in."""
    leg = hook(bar_diameter_m=0.5 * IN).outside_m
    found = bar_cut_length(legs_m=[leg, 24 * IN, leg], bar_diameter_m=0.5 * IN, bend_diameter_m=3 * IN)

    assert close(8.0) == leg / IN
    assert close(40 - 2 * 1.251, rel=1e-3) == found.cut_m / IN


def test_legs_too_short_for_their_bends_are_refused():
    with pytest.raises(OutOfRange, match="leg 2 is shorter than its bends need"):
        bar_cut_length(legs_m=[0.5, 0.05, 0.5], bar_diameter_m=0.016, bend_diameter_m=0.064)
    with pytest.raises(OutOfRange, match="two bends of 90"):
        bar_cut_length(legs_m=[0.5, 0.5], bar_diameter_m=0.016, bend_diameter_m=0.064, angle_rad=math.pi)
    with pytest.raises(OutOfRange, match="hairpin"):
        hairpin_length_m(leg_m=0.1, width_m=0.3, bar_diameter_m=0.012)
