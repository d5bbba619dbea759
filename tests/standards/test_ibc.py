"""Presumptive soil values, sliding and footing steel against the building code."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import ibc
from slabwright.standards.hud_structural_guide import SIMPLE_FOOTING, plain_footing_thickness_m
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N, PSF_PA

PCF = POUND_FORCE_N / FOOT_M**3


@pytest.mark.published(ibc.PRESUMPTIVE_BEARING)
@pytest.mark.parametrize(
    ("soil", "vertical_psf", "lateral_pcf", "friction", "cohesion_psf"),
    [
        ("crystalline bedrock", 12000, 1200, 0.70, None),
        ("sedimentary rock", 4000, 400, 0.35, None),
        ("GW", 3000, 200, 0.35, None),
        ("GP", 3000, 200, 0.35, None),
        ("SM", 2000, 150, 0.25, None),
        ("SC", 2000, 150, 0.25, None),
        ("GC", 2000, 150, 0.25, None),
        ("CL", 1500, 100, None, 130),
        ("MH", 1500, 100, None, 130),
        ("CH", 1500, 100, None, 130),
        ("ml", 1500, 100, None, 130),
    ],
)
def test_presumptive_table(soil, vertical_psf, lateral_pcf, friction, cohesion_psf):
    """Text seen: IBC 2012 Table 1806.2 in a geotechnical handbook."""
    found = ibc.presumptive_bearing(soil_class=soil)

    assert pytest.approx((vertical_psf, lateral_pcf)) == (found.vertical_pa / PSF_PA, found.lateral_n_m3 / PCF)
    assert friction == found.friction
    assert (None if cohesion_psf is None else pytest.approx(cohesion_psf * PSF_PA)) == found.cohesion_pa


@pytest.mark.parametrize("soil", ["OH", "peat", "fill", "mud"])
def test_organic_soil_and_fill_have_no_value(soil):
    with pytest.raises(OutOfRange, match="soils report"):
        ibc.presumptive_bearing(soil_class=soil)


def test_an_unknown_class_lists_the_known_ones():
    with pytest.raises(OutOfRange, match=r"write one of .*GW.*CL"):
        ibc.presumptive_bearing(soil_class="loam")


@pytest.mark.published(ibc.SLIDING_CAP)
def test_cohesive_sliding_is_capped_by_half_the_dead_load():
    """130 psf x 12 ft² = 1,560 lb against half of 2,500 lb (cap from memory)."""
    resistance_n = ibc.sliding_resistance_n(soil_class="CL", dead_n=2500 * POUND_FORCE_N, contact_area_m2=12 * FOOT_M**2)

    assert pytest.approx(1250.0) == resistance_n / POUND_FORCE_N


@pytest.mark.published(ibc.LIGHT_FRAME_FOOTING)
@pytest.mark.parametrize(("floors", "width_in", "thickness_in"), [(1, 12, 6), (2, 15, 6), (3, 18, 8)])
def test_light_frame_footings(floors, width_in, thickness_in):
    size = ibc.light_frame_footing(floors=floors)

    assert pytest.approx((width_in, thickness_in)) == (size.width_m / INCH_M, size.thickness_m / INCH_M)


@pytest.mark.published(ibc.PLAIN_FOOTING_EDGE)
def test_edge_thickness_of_plain_footings():
    assert pytest.approx(8) == ibc.plain_footing_edge_thickness_m() / INCH_M
    assert pytest.approx(6) == ibc.plain_footing_edge_thickness_m(light_frame_house=True) / INCH_M


@pytest.mark.published(ibc.SEISMIC_FOOTING_STEEL)
def test_steel_of_a_12_by_12_footing():
    """0.288 in² asked for, two No. 4 give 0.40 in² (text seen in two municipal adoptions)."""
    steel = ibc.seismic_footing_steel(width_m=12 * INCH_M, thickness_m=12 * INCH_M, n_top=1, n_bottom=1)

    assert pytest.approx((0.288, 0.40)) == (steel.required_m2 / INCH_M**2, steel.provided_m2 / INCH_M**2)
    assert steel.holds


def test_two_bars_at_the_bottom_alone_do_not_hold():
    assert not ibc.seismic_footing_steel(width_m=12 * INCH_M, thickness_m=12 * INCH_M, n_top=0, n_bottom=2).holds


@pytest.mark.published(SIMPLE_FOOTING)
@pytest.mark.parametrize(("projection_in", "thickness_in"), [(4, 6), (8, 8), (10, 10)])
def test_plain_footing_is_as_thick_as_it_projects(projection_in, thickness_in):
    """First half of the rule seen in a reprint of the guide; the 6 in. floor from memory."""
    assert pytest.approx(thickness_in) == plain_footing_thickness_m(projection_m=projection_in * INCH_M) / INCH_M
