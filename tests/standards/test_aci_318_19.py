"""Pads and footings by the concrete code: properties, plain, reinforced, shear, bearing."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import aci_318_19
from slabwright.standards import aci_318_19_flexure as flexure
from slabwright.standards import aci_318_19_plain as plain
from slabwright.standards import aci_318_19_shear as shear
from slabwright.standards.aci_318_19_flexure import PostKind
from slabwright.standards.aci_318_19_shear import PostPlace
from slabwright.standards.astm_a615 import BARS
from tests.standards.us import FT, IN, IN2, KIP, KIP_FT, KSF, LB, LB_IN, PSF, PSI, close


@pytest.mark.published(aci_318_19.MODULUS)
@pytest.mark.parametrize(("strength", "modulus"), [(2500, 2850000), (3000, 3122019), (3500, 3372165), (4000, 3604997)])
def test_modulus_of_concrete(strength, modulus):
    assert close(modulus, 0.0005) == aci_318_19.concrete_modulus_pa(strength_pa=strength * PSI) / PSI


@pytest.mark.published(aci_318_19.RUPTURE)
@pytest.mark.parametrize(("strength", "rupture"), [(3000, 410.8), (4000, 474.3)])
def test_modulus_of_rupture(strength, rupture):
    assert close(rupture) == aci_318_19.rupture_modulus_pa(strength_pa=strength * PSI) / PSI


def test_concrete_without_strength_is_refused():
    with pytest.raises(OutOfRange, match="strength must be above nought"):
        aci_318_19.rupture_modulus_pa(strength_pa=0.0)


@pytest.mark.published(plain.FLEXURE)
def test_plain_footing_in_bending():
    """2,500 psi, 12 x 8 in. strip, 3,000 psf on 6 in.: 10,800 against 4,500 in-lb (2 in. rule seen, formula from memory)."""
    found = plain.flexure(strength_pa=2500 * PSI, width_m=12 * IN, thickness_m=8 * IN, pressure_pa=3000 * PSF, projection_m=6 * IN)

    assert (close(10800), close(4500)) == (found.capacity_nm / LB_IN, found.demand_nm / LB_IN)
    assert close(6.0) == plain.effective_thickness_m(8 * IN) / IN


@pytest.mark.published(plain.FLEXURE)
def test_floor_strip_that_hangs_on_a_pad():
    """4 in. slab of 3,000 psi on a prepared base, no deduction: 5,258 in-lb a foot against 300 for 12 in. of its own weight."""
    found = plain.flexure(
        strength_pa=3000 * PSI, width_m=FT, thickness_m=4 * IN, cast_against_soil=False, pressure_pa=50 * PSF, projection_m=12 * IN
    )

    assert (close(5258, 0.002), close(300)) == (found.capacity_nm / LB_IN, found.demand_nm / LB_IN)


@pytest.mark.published(plain.ONE_WAY_SHEAR)
def test_plain_footing_in_one_way_shear():
    found = plain.one_way_shear_of_strip_n(strength_pa=2500 * PSI, thickness_m=8 * IN)

    assert close(2880) == found / LB


@pytest.mark.published(plain.TWO_WAY_SHEAR)
def test_post_punching_a_plain_pad():
    """6 in. post on a 30 in. pad 12 in. thick, 18 kip: b_o 64 in., 51,200 against 12,880 lb."""
    found = plain.two_way_shear(
        strength_pa=2500 * PSI,
        post_x_m=6 * IN,
        post_y_m=6 * IN,
        thickness_m=12 * IN,
        load_n=18 * KIP,
        pressure_pa=18 * KIP / (30 * IN) ** 2,
    )

    assert (close(64), close(51200), close(12880)) == (found.perimeter_m / IN, found.capacity_n / LB, found.demand_n / LB)


@pytest.mark.published(flexure.CRITICAL_SECTION)
def test_critical_section_under_a_base_plate():
    """30 in. pad, 5.5 in. post, 8 in. plate: 11.625 in.; a column at its face, a wall half way to its middle."""
    plate = flexure.projection_m(pad_m=30 * IN, post_m=5.5 * IN, plate_m=8 * IN, kind=PostKind.BASE_PLATE)

    assert close(11.625) == plate / IN
    assert close(12.25) == flexure.projection_m(pad_m=30 * IN, post_m=5.5 * IN) / IN
    assert close(13.0) == flexure.projection_m(pad_m=30 * IN, post_m=8 * IN, kind=PostKind.MASONRY_WALL) / IN


@pytest.mark.published(flexure.FLEXURE, flexure.MINIMUM_STEEL, shear.ONE_WAY_SHEAR, shear.TWO_WAY_SHEAR)
def test_square_pad_under_a_post_complete():
    """36 x 36 x 12 in., 3,000 psi, 4 No. 4 each way on 3 in. cover, 6 in. post, D 6 and L 10 kip.

    Formulas from memory, the clause that lets a footing neglect the size effect seen; d is that of the average layer.
    """
    load = (1.2 * 6 + 1.6 * 10) * KIP
    pressure = load / (36 * IN) ** 2
    steel = 4 * BARS[4].area_m2
    depth = flexure.effective_depths(thickness_m=12 * IN, cover_m=3 * IN, bar_diameter_m=0.5 * IN).mean_m
    one_way = shear.one_way_shear(strength_pa=3000 * PSI, width_m=36 * IN, depth_m=depth, steel_area_m2=steel)
    two_way = shear.two_way_shear(
        strength_pa=3000 * PSI, post_x_m=6 * IN, post_y_m=6 * IN, depth_m=depth, load_n=load, pressure_pa=pressure
    )
    bending = flexure.flexure(strength_pa=3000 * PSI, width_m=36 * IN, depth_m=depth, steel_area_m2=steel)
    projection = flexure.projection_m(pad_m=36 * IN, post_m=6 * IN)

    assert (close(23200), close(2577.8)) == (load / LB, pressure / PSF)
    assert close(8.5) == depth / IN
    assert (close(0.0026144), close(13853, 0.002)) == (one_way.steel_ratio, one_way.capacity_n / LB)
    assert close(4188.9) == pressure * 36 * IN * (projection - depth) / LB
    assert (close(58.0), close(81008), close(19436)) == (two_way.perimeter_m / IN, two_way.capacity_n / LB, two_way.demand_n / LB)
    assert (close(0.5229), close(29.66, 0.002)) == (bending.block_depth_m / IN, bending.capacity_nm / KIP_FT)
    assert close(6.042, 0.002) == pressure * 36 * IN * projection**2 / 2 / KIP_FT
    assert close(0.7776) == flexure.minimum_steel(width_m=36 * IN, thickness_m=12 * IN).area_m2 / IN2


@pytest.mark.published(shear.TWO_WAY_SHEAR, flexure.FLEXURE)
def test_large_square_footing_of_a_textbook():
    """Wight, Reinforced Concrete, 7th ed., example 15-2: 134 in. square, 32 in. thick, d 28 in., 11 No. 8, D 400 and L 270 kip.

    The book prints 954 kip-ft, 204 and 308 kip, 156 and 164 psi (seen on a page that quotes it) and 1070 kip-ft, rounded;
    one-way shear is that of the 2014 code, 2 sqrt(f'c).
    """
    load = (1.2 * 400 + 1.6 * 270) * KIP
    side, column, depth = 134 * IN, 18 * IN, 28 * IN
    pressure = 7.314 * KSF
    two_way = shear.two_way_shear(
        strength_pa=3000 * PSI, post_x_m=column, post_y_m=column, depth_m=depth, load_n=load, pressure_pa=pressure, size_effect=False
    )
    one_way = shear.one_way_shear(strength_pa=3000 * PSI, width_m=side, depth_m=depth, steel_area_m2=11 * 0.79 * IN2, stirrups=True)
    bending = flexure.flexure(strength_pa=3000 * PSI, width_m=side, depth_m=depth, steel_area_m2=11 * 0.79 * IN2)
    projection = flexure.projection_m(pad_m=side, post_m=column)

    assert close(7.314) == load / side**2 / KSF
    assert (close(184), close(804.5), close(846.6)) == (two_way.perimeter_m / IN, two_way.demand_n / KIP, two_way.capacity_n / KIP)
    assert (close(156.2, 0.002), close(164.3, 0.002)) == (two_way.stress_pa / PSI, two_way.strength_pa / PSI)
    assert (close(204.2), close(308.3)) == (pressure * side * (projection - depth) / KIP, one_way.capacity_n / KIP)
    assert (close(954.0), close(1065.1)) == (pressure * side * projection**2 / 2 / KIP_FT, bending.capacity_nm / KIP_FT)
    assert pytest.approx(1070, abs=5) == bending.capacity_nm / KIP_FT


@pytest.mark.published(flexure.MINIMUM_STEEL)
def test_wall_footing_of_a_textbook():
    """Wight, example 15-1: D 10 and L 12.5 kip/ft, 5 ksf at 5 ft depth under 120 pcf soil, 12 in. thick: 61.8, so 62 in."""
    net = 5.0 - 0.150 * 1.0 - 0.120 * 4.0
    width_ft = (10 + 12.5) / net

    assert (close(4.37, 0.002), close(5.149, 0.002), close(61.8, 0.002)) == (net, width_ft, width_ft * 12)
    assert close(6.194, 0.002) == (1.2 * 10 + 1.6 * 12.5) / (62 / 12)


@pytest.mark.published(shear.SIZE_EFFECT)
@pytest.mark.parametrize(("depth", "factor"), [(6, 1.0), (8.5, 1.0), (10, 1.0), (15, 0.8944), (20, 0.8165), (28, 0.7255)])
def test_size_effect(depth, factor):
    assert close(factor) == shear.size_factor(depth_m=depth * IN)


@pytest.mark.published(flexure.MINIMUM_STEEL, flexure.SPACING)
def test_least_steel_of_a_pad():
    """36 x 12 in.: 0.7776 in², four No. 4, at most 18 in. apart."""
    least = flexure.minimum_steel(width_m=36 * IN, thickness_m=12 * IN, bar_area_m2=BARS[4].area_m2)

    assert (close(0.7776), 4, close(18)) == (least.area_m2 / IN2, least.n_bars, least.spacing_m / IN)


@pytest.mark.published(flexure.CENTRAL_BAND)
def test_central_band_of_an_oblong_footing():
    """5 x 3 ft: three quarters of the short bars in the middle 3 ft."""
    assert close(0.75) == flexure.central_band_share(long_side_m=5 * FT, short_side_m=3 * FT)


@pytest.mark.published(flexure.EFFECTIVE_DEPTH)
def test_depths_of_two_layers():
    depths = flexure.effective_depths(thickness_m=12 * IN, cover_m=3 * IN, bar_diameter_m=0.5 * IN)

    assert (close(8.75), close(8.25), close(8.5)) == (depths.outer_m / IN, depths.inner_m / IN, depths.mean_m / IN)


def test_cover_that_leaves_no_depth_is_refused():
    with pytest.raises(OutOfRange, match="make the pad deeper"):
        flexure.effective_depths(thickness_m=3 * IN, cover_m=3 * IN, bar_diameter_m=0.5 * IN)


@pytest.mark.published(shear.BEARING)
def test_bearing_under_a_post():
    """30.25 in² on nine times as much: the root is capped at 2."""
    areas = {"strength_pa": 2500 * PSI, "loaded_area_m2": 30.25 * IN2, "support_area_m2": 9 * 30.25 * IN2}

    assert close(83566) == shear.bearing_on_concrete_n(**areas) / LB
    assert close(77138) == shear.bearing_on_concrete_n(**areas, plain=True) / LB


def test_a_steel_ratio_that_yields_late_takes_a_lower_reduction():
    """Hand: b 12, d 10, 8 in², 3,000 psi: a 15.69 in., strain 0.003(0.85 x 10/15.69 - 1) < 0, so 0.65."""
    found = flexure.flexure(strength_pa=3000 * PSI, width_m=12 * IN, depth_m=10 * IN, steel_area_m2=8 * IN2)

    assert 0.65 == found.reduction


def test_a_post_at_the_edge_has_a_three_sided_perimeter():
    """Hand: 10 in. post, d 10, 4 in. to the side: b_1 = 4 + 10 + 5 = 19, b_2 = 20, b_o = 58; corner 19 + 19 = 38."""
    edge = shear.punching_perimeter(post_1_m=10 * IN, post_2_m=10 * IN, depth_m=10 * IN, place=PostPlace.EDGE, reach_1_m=4 * IN)
    corner = shear.punching_perimeter(
        post_1_m=10 * IN, post_2_m=10 * IN, depth_m=10 * IN, place=PostPlace.CORNER, reach_1_m=4 * IN, reach_2_m=4 * IN
    )

    assert (close(58), close(380), 30.0) == (edge.length_m / IN, edge.area_m2 / IN2, edge.alpha_s)
    assert (close(38), close(361), 20.0) == (corner.length_m / IN, corner.area_m2 / IN2, corner.alpha_s)


def test_a_moment_adds_shear_stress():
    """Hand: b_1 = b_2 = 20, d 10: gamma_v = 0.4, J = 10*8000/6 + 20*1000/6 + 10*20*400/2 = 56,667 in⁴; 100 kip-in adds 7.06 psi."""
    common = {"strength_pa": 4000 * PSI, "post_x_m": 10 * IN, "post_y_m": 10 * IN, "depth_m": 10 * IN, "load_n": 50 * KIP}
    without = shear.two_way_shear(**common)
    with_moment = shear.two_way_shear(**common, moment_x_nm=100 * 1000 * LB_IN)

    assert close(7.06, 2e-3) == (with_moment.stress_pa - without.stress_pa) / PSI
