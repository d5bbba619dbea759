"""Pads by the Eurocode: a textbook pad, plain footings, bars."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import en_1992_1_1 as en
from slabwright.standards import en_1992_1_1_bars as bars
from slabwright.standards import en_1992_1_1_punching as punching
from tests.standards.us import close


@pytest.mark.published(en.FLEXURE, punching.PUNCHING, punching.AT_THE_FACE, en.MINIMUM_STEEL)
def test_square_pad_of_a_textbook():
    """Mosley, Bungey and Hulse, Reinforced Concrete Design to Eurocode 2, example 10.1, figures from memory.

    1000 kN permanent and 350 kN variable on a 400 mm column, C30, 2.8 m square, d 520 mm. Printed: 1875 kN, 239 kPa,
    4393 kN at the face, perimeter 8134 mm, 626 kN, 0.15 MPa at 2d; 482 kN·m, 2243 mm² with z = 0.95 d; 455 kN at d.
    """
    load = 1.35 * 1000e3 + 1.5 * 350e3
    pressure = load / 2.8**2
    at_2d = punching.punching(
        strength_pa=30e6, post_x_m=0.4, post_y_m=0.4, depth_m=0.52, distance_m=1.04, width_m=2.8, steel_area_m2=2412e-6, load_n=load,
        pressure_pa=pressure,
    )  # fmt: skip
    moment = pressure * 2.8 * 1.2**2 / 2
    bending = en.flexure(strength_pa=30e6, width_m=2.8, depth_m=0.52, steel_area_m2=2243e-6)

    assert (close(1875), close(239)) == (load / 1e3, pressure / 1e3)
    assert close(4393) == punching.face_capacity_n(strength_pa=30e6, post_x_m=0.4, post_y_m=0.4, depth_m=0.52) / 1e3
    assert close(8134) == at_2d.perimeter_m * 1e3
    # the book leaves out the column's round corners in another way: 5.22 m² and 626 kN
    assert (close(5.22, 0.01), close(626, 0.01)) == (at_2d.area_m2, (load - pressure * at_2d.area_m2) / 1e3)
    assert pytest.approx(0.15, abs=0.005) == at_2d.stress_pa / 1e6
    assert close(482) == moment / 1e3
    assert (close(0.95 * 0.52), close(482, 0.002)) == (bending.lever_arm_m, bending.capacity_nm / 1e3)
    assert close(455, 0.002) == pressure * 2.8 * (1.2 - 0.52) / 1e3
    assert en.minimum_steel_m2(strength_pa=30e6, width_m=2.8, depth_m=0.52) < 2412e-6


@pytest.mark.published(en.ONE_WAY_SHEAR)
def test_shear_strength_rises_towards_the_post():
    """Hand: d 200, so k 2; v_min = 0.035*2^1.5*sqrt(25) = 0.495 MPa; at a = d the strength is doubled."""
    common = {
        "strength_pa": 25e6, "post_x_m": 0.3, "post_y_m": 0.3, "depth_m": 0.2, "width_m": 1.0, "steel_area_m2": 1e-4, "load_n": 1e5,
        "pressure_pa": 0.0,
    }  # fmt: skip
    far, near = punching.punching(**common, distance_m=0.4), punching.punching(**common, distance_m=0.2)

    assert close(0.495) == far.strength_pa / 1e6
    assert close(2 * far.strength_pa) == near.strength_pa


@pytest.mark.published(en.STRENGTH, en.MINIMUM_STEEL)
@pytest.mark.parametrize(("f_ck", "f_ctm"), [(20, 2.2), (25, 2.6), (30, 2.9), (35, 3.2), (40, 3.5), (50, 4.1)])
def test_mean_tensile_strength(f_ck, f_ctm):
    """Table 3.1 to its printed rounding, read through the least steel of a metre 1 m deep."""
    least = en.minimum_steel_m2(strength_pa=f_ck * 1e6, width_m=1.0, depth_m=1.0, yield_strength_pa=500e6)

    assert f_ctm == pytest.approx(least * 500 / 0.26, abs=0.06) or least == pytest.approx(0.0013)


@pytest.mark.published(en.PLAIN_FOOTING)
def test_a_footing_twice_as_thick_as_it_projects_needs_no_steel():
    """C32/40 at 61 kPa, 350 mm projection. Hand: f_ctm 3.02, f_ctd 1.129 MPa; sqrt(9*0.061/1.129)/0.85 = 0.820: 287 mm."""
    thickness = en.plain_footing_thickness_m(strength_pa=32e6, projection_m=0.35, pressure_pa=61e3)

    assert close(287, 0.002) == thickness * 1e3
    assert close(0.7) == en.plain_footing_thickness_m(strength_pa=32e6, projection_m=0.35, pressure_pa=5e6)


@pytest.mark.published(bars.ANCHORAGE, bars.LAP)
def test_anchorage_and_lap():
    """H12 in C30/37, good bond. Hand: f_bd = 2.25*0.7*2.896/1.5 = 3.041 MPa; 12/4*434.8/3.041 = 429 mm (36 diameters); lap 643 mm."""
    anchorage = bars.anchorage_length_m(bar_diameter_m=0.012, strength_pa=30e6)
    lap = bars.lap_length_m(bar_diameter_m=0.012, strength_pa=30e6)

    assert (close(429, 0.002), close(643, 0.002)) == (anchorage * 1e3, lap * 1e3)
    assert pytest.approx(36, abs=0.5) == anchorage / 0.012


@pytest.mark.published(en.LOADED_AREA)
def test_pressure_under_a_base_is_capped_at_three():
    """Hand: 0.04 m², C25: f_cd 14.17 MPa; spread 0.64 m² gives root 4, capped: 0.04*14.17*3 = 1.7 MN."""
    assert close(1.7e6) == en.loaded_area_capacity_n(strength_pa=25e6, loaded_area_m2=0.04, spread_area_m2=0.64)


def test_concrete_beyond_c50_is_refused():
    with pytest.raises(OutOfRange, match="C12/15 to C50/60"):
        en.minimum_steel_m2(strength_pa=60e6, width_m=1.0, depth_m=1.0)
