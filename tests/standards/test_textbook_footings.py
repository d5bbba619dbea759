"""Footings as a textbook designs them, worked through with the formulas of the program, each printed figure beside ours.

McCormac and Brown, Design of Reinforced Concrete, 9th ed., chapter 12, concrete of 3,000 psi, Grade 60; figures from memory, each of
them checked by hand against the book's own chain of figures. The book's one-way shear is that of the 2014 code, 2 sqrt(f'c).
"""

import pytest

from slabwright.standards import aci_318_19_flexure as flexure
from slabwright.standards import aci_318_19_shear as shear
from tests.standards.us import FT, IN, IN2, KIP, KIP_FT, KSF, PSI, close

FC = 3000 * PSI


def least_depth_one_way_in(demand_kip, width_in):
    """Depth at which one-way shear is just carried: capacity is proportional to it."""
    one_inch = shear.one_way_shear(strength_pa=FC, width_m=width_in * IN, depth_m=1 * IN, steel_area_m2=1e-3, stirrups=True)
    return demand_kip * KIP / one_inch.capacity_n


@pytest.mark.published(flexure.FLEXURE)
def test_wall_footing():
    """Example 12.1: wall 12 in., D 20 and L 15 kip/ft, bottom 4 ft down, soil 100 pcf, 4 ksf, 20 in. thick, d 16.5 in.

    Printed: 3,517 psf, 9.95 ft so 10 ft, 4.80 ksf, 15.0 kip, 15.21 in., 48.6 kip-ft, 198.3 psi, 0.00345 and 0.68 in² a foot.
    """
    net_psf = 4000 - 20 / 12 * 150 - 28 / 12 * 100
    pressure_ksf = (1.2 * 20 + 1.6 * 15) / 10
    shear_kip = pressure_ksf * (10 / 2 - 6 / 12 - 16.5 / 12)
    moment_kip_ft = pressure_ksf * flexure.projection_m(pad_m=10 * FT, post_m=12 * IN) ** 2 / FT**2 / 2
    steel = flexure.flexure(strength_pa=FC, width_m=12 * IN, depth_m=16.5 * IN, steel_area_m2=0.00345 * 12 * 16.5 * IN2)

    assert (3517, 9.95, 4.80) == (round(net_psf), round(35e3 / net_psf, 2), pressure_ksf)
    assert (15.0, 15.21) == (shear_kip, round(least_depth_one_way_in(shear_kip, 12), 2))
    assert 48.6 == round(moment_kip_ft, 1)
    assert 198.3 == round(12e3 * moment_kip_ft / (0.9 * 12 * 16.5**2), 1)
    assert (close(48.6, 0.002), 0.68) == (steel.capacity_nm / KIP_FT, round(0.00345 * 12 * 16.5, 2))


@pytest.mark.published(shear.TWO_WAY_SHEAR, flexure.FLEXURE)
def test_square_footing():
    """Example 12.2: column 16 in., D 200 and L 160 kip, bottom 5 ft down, 5 ksf, 24 in. thick, d 19.5 in.

    Printed: 4,400 psf, 81.82 ft² so 9 ft square, 6.12 ksf, 142 in., 442.09 kip, 18.95 in., 121.61 kip, 13.7 in., 404 kip-ft, 131.2 psi,
    0.00225.
    """
    net_psf = 5000 - 24 / 12 * 150 - 36 / 12 * 100
    pressure_ksf = round((1.2 * 200 + 1.6 * 160) / 81, 2)
    two_way = shear.two_way_shear(
        strength_pa=FC, post_x_m=16 * IN, post_y_m=16 * IN, depth_m=19.5 * IN, load_n=81 * pressure_ksf * KIP,
        pressure_pa=pressure_ksf * KSF, size_effect=False,
    )  # fmt: skip
    projection_ft = flexure.projection_m(pad_m=9 * FT, post_m=16 * IN) / FT
    shear_kip = 9 * pressure_ksf * (projection_ft - 19.5 / 12)
    moment_kip_ft = 9 * pressure_ksf * projection_ft**2 / 2
    steel = flexure.flexure(strength_pa=FC, width_m=108 * IN, depth_m=19.5 * IN, steel_area_m2=0.00225 * 108 * 19.5 * IN2)

    assert (4400, 81.82, 6.12) == (net_psf, round(360e3 / net_psf, 2), pressure_ksf)
    # the book rounds 35.5 in. to 2.96 ft
    assert (close(142), close(442.09, 0.001)) == (two_way.perimeter_m / IN, two_way.demand_n / KIP)
    assert 18.95 == pytest.approx(19.5 * two_way.demand_n / two_way.capacity_n, abs=0.02)
    # the book rounds 2.2083 ft to 2.208
    assert (close(121.61, 0.001), 13.7) == (shear_kip, round(least_depth_one_way_in(shear_kip, 108), 1))
    assert 404 == pytest.approx(moment_kip_ft, abs=1.0)
    assert 131.2 == pytest.approx(12e3 * moment_kip_ft / (0.9 * 108 * 19.5**2), abs=0.3)
    assert close(404, 0.005) == steel.capacity_nm / KIP_FT


@pytest.mark.published(shear.BEARING)
def test_load_handed_from_column_to_footing():
    """Example 12.3: column 16 in. of 5,000 psi on the footing, D 200 and L 300 kip: 720 kip against 707 at the column's foot and, with
    the root held to 2, 849 in the footing.
    """
    column = shear.bearing_on_concrete_n(strength_pa=5000 * PSI, loaded_area_m2=256 * IN2, support_area_m2=256 * IN2)
    footing = shear.bearing_on_concrete_n(strength_pa=FC, loaded_area_m2=256 * IN2, support_area_m2=81 * FT**2)

    assert (720.0, 707, 849) == (1.2 * 200 + 1.6 * 300, round(column / KIP), round(footing / KIP))


@pytest.mark.published(flexure.CENTRAL_BAND)
def test_oblong_footing():
    """Example 12.4: column 18 in., D 185 and L 150 kip, 4 ksf, one side at most 7 ft, 24 in. thick, d 19.5 in., then deeper.

    Printed: 3,400 psf, 98.5 ft² so 7 by 14 ft, 4.71 ksf, 152.49 kip, 22.09 in.; two thirds of the short bars in the middle 7 ft.
    """
    net_psf = 4000 - 24 / 12 * 150 - 36 / 12 * 100
    pressure_ksf = round((1.2 * 185 + 1.6 * 150) / 98, 2)
    projection_ft = flexure.projection_m(pad_m=14 * FT, post_m=18 * IN) / FT
    shear_kip = 7 * pressure_ksf * (projection_ft - 19.5 / 12)

    assert (3400, 98.5, 4.71) == (net_psf, round(335e3 / net_psf, 1), pressure_ksf)
    assert (152.49, 22.09) == (round(shear_kip, 2), pytest.approx(least_depth_one_way_in(shear_kip, 84), abs=0.02))
    assert close(2 / 3) == flexure.central_band_share(long_side_m=14 * FT, short_side_m=7 * FT)
