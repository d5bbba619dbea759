"""Prescriptive footings, slabs and frost protection against the code tables as seen in adopted copies and hand-outs."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import irc
from slabwright.standards.irc import (
    ConcreteUse,
    FillMaterial,
    FloorKind,
    IrcEdition,
    WallKind,
    Weathering,
    footing_size,
)
from slabwright.standards.irc_frost import InsulationKind, frost_protection, insulation_thickness_m
from slabwright.units import FOOT_M, INCH_M, KIP_N, PSF_PA, PSI_PA, THERMAL_RESISTANCE

R = THERMAL_RESISTANCE.units["R"].factor


def inches(value_in):
    return pytest.approx(value_in * INCH_M, rel=1e-9)


@pytest.mark.published(irc.FOOTING_TABLE_2012)
@pytest.mark.parametrize(
    ("wall", "stories", "widths_in"),
    [
        (WallKind.LIGHT_FRAME, 1, (12, 12, 12, 12)),
        (WallKind.LIGHT_FRAME, 2, (15, 12, 12, 12)),
        (WallKind.LIGHT_FRAME, 3, (23, 17, 12, 12)),
        (WallKind.BRICK_VENEER, 1, (12, 12, 12, 12)),
        (WallKind.BRICK_VENEER, 2, (21, 16, 12, 12)),
        (WallKind.BRICK_VENEER, 3, (32, 24, 16, 12)),
        (WallKind.CONCRETE_OR_GROUTED, 1, (16, 12, 12, 12)),
        (WallKind.CONCRETE_OR_GROUTED, 2, (29, 21, 14, 12)),
        (WallKind.CONCRETE_OR_GROUTED, 3, (42, 32, 21, 16)),
    ],
)
def test_the_older_one_table_form(wall, stories, widths_in):
    """Text seen in a state-adopted copy; its cell 2 stories, grouted, 1500 psf reads 19, a slip for 29 (from memory)."""
    found = [
        footing_size(stories=stories, soil_bearing_pa=psf * PSF_PA, wall=wall, edition=IrcEdition.IRC_2012).width_m
        for psf in (1500, 2000, 3000, 4000)
    ]

    assert [inches(width) for width in widths_in] == found


SEEN_LIGHT_FRAME = {
    (1, "slab"): (12, 6), (1, "crawl space"): (12, 6), (1, "basement"): (14, 6), (2, "slab"): (12, 6), (2, "crawl space"): (13, 6),
    (2, "basement"): (17, 6), (3, "slab"): (12, 6), (3, "crawl space"): (15, 6), (3, "basement"): (20, 6),
}  # fmt: skip
SEEN_CONCRETE = {
    (1, "slab"): (12, 6), (1, "crawl space"): (15, 6), (1, "basement"): (20, 6), (2, "slab"): (18, 6), (2, "crawl space"): (22, 6),
    (2, "basement"): (27, 8), (3, "slab"): (25, 7), (3, "crawl space"): (29, 9), (3, "basement"): (33, 12),
}  # fmt: skip


@pytest.mark.published(irc.FOOTING_TABLE_2018_30_2000)
@pytest.mark.parametrize(("wall", "table"), [(WallKind.LIGHT_FRAME, SEEN_LIGHT_FRAME), (WallKind.CONCRETE_OR_GROUTED, SEEN_CONCRETE)])
def test_the_column_of_30_psf_snow_and_2000_psf_soil(wall, table):
    """Text seen in a jurisdiction's hand-out quoting the tables."""
    for (stories, floor), (width_in, thickness_in) in table.items():
        size = footing_size(
            stories=stories,
            soil_bearing_pa=2000 * PSF_PA,
            snow_pa=30 * PSF_PA,
            wall=wall,
            floor=FloorKind(floor),
            edition=IrcEdition.IRC_2018,
        )

        assert (inches(width_in), inches(thickness_in)) == (size.width_m, size.thickness_m)


@pytest.mark.published(irc.HOUSE_WIDTH_NOTE)
def test_a_wider_house_asks_for_a_wider_and_thicker_footing():
    """40 ft instead of 32 ft: four steps of 2 in. and 1 in. on 12 x 6 (text seen in a hand-out)."""
    size = footing_size(stories=1, soil_bearing_pa=2000 * PSF_PA, house_width_m=40 * FOOT_M)

    assert (inches(20), inches(10)) == (size.width_m, size.thickness_m)


def test_a_narrow_house_never_goes_below_12_by_6():
    size = footing_size(stories=1, soil_bearing_pa=2000 * PSF_PA, house_width_m=20 * FOOT_M)

    assert (inches(12), inches(6)) == (size.width_m, size.thickness_m)


def test_between_two_columns_the_table_is_interpolated():
    """2 stories with basement at 30 psf: 23 in. at 1500 and 17 in. at 2000 psf, so 20 in. half way (footnote a)."""
    size = footing_size(stories=2, soil_bearing_pa=1750 * PSF_PA, floor=FloorKind.BASEMENT)

    assert inches(20) == size.width_m


@pytest.mark.parametrize("soil_psf", [1499, 1000])
def test_soil_below_the_table_is_refused(soil_psf):
    with pytest.raises(OutOfRange, match="soils investigation"):
        footing_size(stories=1, soil_bearing_pa=soil_psf * PSF_PA)


def test_snow_above_the_table_is_refused():
    with pytest.raises(OutOfRange, match="may not be extrapolated"):
        footing_size(stories=1, soil_bearing_pa=2000 * PSF_PA, snow_pa=71 * PSF_PA)


def test_a_fourth_story_is_refused():
    with pytest.raises(OutOfRange, match="1 to 3 stories"):
        footing_size(stories=4, soil_bearing_pa=2000 * PSF_PA)


@pytest.mark.published(irc.FOOTING_SIZE)
@pytest.mark.parametrize(("load_plf", "soil_psf", "width_in"), [(2500, 1500, 20.0), (1350, 2000, 12.0)])
def test_width_of_a_wall_footing_from_its_load(load_plf, soil_psf, width_in):
    """Load over soil value, never under 12 in.; the second needs only 8.1 in. (principle seen in adopted text)."""
    width_m = irc.wall_footing_width_m(line_load_n_m=load_plf * PSF_PA * FOOT_M, soil_bearing_pa=soil_psf * PSF_PA)

    assert inches(width_in) == width_m


@pytest.mark.published(irc.PAD_AREA)
def test_area_of_a_pad_from_its_tributary_load():
    """9,000 lb on 2,000 psf: 4.5 ft², a side of 25.456 in."""
    area_m2 = irc.pad_area_m2(load_n=9 * KIP_N, soil_bearing_pa=2000 * PSF_PA)

    assert pytest.approx(4.5 * FOOT_M**2, rel=1e-9) == area_m2
    assert pytest.approx(25.456 * INCH_M, rel=1e-4) == area_m2**0.5


def test_zero_bearing_is_refused():
    with pytest.raises(OutOfRange, match="soils report"):
        irc.pad_area_m2(load_n=1.0, soil_bearing_pa=0.0)


@pytest.mark.published(irc.FOOTING_SIZE)
@pytest.mark.parametrize(("width_in", "projection_in", "holds"), [(16, 4.0, True), (24, 8.0, False)])
def test_projection_of_a_footing(width_in, projection_in, holds):
    """8 in. wall on a footing 6 in. thick (text seen: at least 2 in., not exceeding the thickness)."""
    found = irc.footing_projection(footing_width_m=width_in * INCH_M, wall_thickness_m=8 * INCH_M, footing_thickness_m=6 * INCH_M)

    assert (inches(projection_in), holds) == (found.projection_m, found.holds)


@pytest.mark.published(irc.FOOTING_DEPTH)
@pytest.mark.parametrize(("frost_in", "depth_in"), [(0, 12), (18, 18), (42, 42)])
def test_depth_of_an_outside_footing(frost_in, depth_in):
    assert inches(depth_in) == irc.footing_depth_m(frost_depth_m=frost_in * INCH_M)


@pytest.mark.published(irc.FOOTING_SLOPE)
def test_a_footing_bottom_may_drop_one_in_ten():
    """14.4 in. over 12 ft."""
    assert inches(14.4) == irc.footing_bottom_drop_m(run_m=12 * FOOT_M)


@pytest.mark.published(irc.SITE_DRAINAGE)
@pytest.mark.parametrize(("distance_ft", "impervious", "fall_in"), [(10, False, 6.0), (8, True, 1.92)])
def test_the_ground_falls_away(distance_ft, impervious, fall_in):
    assert inches(fall_in) == irc.outside_fall_m(distance_m=distance_ft * FOOT_M, impervious=impervious)


@pytest.mark.published(irc.TURNED_DOWN_STEEL)
@pytest.mark.parametrize(
    ("bars", "holds"),
    [
        ({"top": (4,), "bottom": (4,)}, True),
        ({"middle_third": (5,)}, True),
        ({"middle_third": (4, 4)}, True),
        ({"middle_third": (4,)}, False),
        ({"bottom": (4, 4)}, False),
        ({"top": (3,), "bottom": (4,)}, False),
    ],
)
def test_steel_of_a_turned_down_edge(bars, holds):
    """Text seen in an adopted code: either No. 4 top and bottom, or one No. 5 or two No. 4 in the middle third."""
    assert holds == irc.turned_down_steel_holds(**bars)


@pytest.mark.published(irc.TURNED_DOWN_SIZE)
def test_size_of_a_turned_down_edge():
    """12 in. deep, 12 in. wide, slab 3.5 in.; frost and the width table may ask for more."""
    size = irc.turned_down_size()

    assert (inches(12), inches(12), inches(3.5)) == (size.depth_below_ground_m, size.bottom_width_m, size.slab_thickness_m)
    assert inches(20) == irc.turned_down_size(frost_depth_m=20 * INCH_M).depth_below_ground_m
    assert inches(15) == irc.turned_down_size(table_width_m=15 * INCH_M).bottom_width_m


@pytest.mark.published(irc.SLAB_THICKNESS)
@pytest.mark.parametrize(("thickness_in", "holds"), [(3.0, False), (3.5, True), (4.0, True)])
def test_least_slab_thickness(thickness_in, holds):
    assert holds == (thickness_in * INCH_M >= irc.LEAST_SLAB_THICKNESS_M)


@pytest.mark.published(irc.FILL_DEPTH)
@pytest.mark.parametrize(
    ("material", "depth_in", "holds"),
    [(FillMaterial.SAND_OR_GRAVEL, 20, True), (FillMaterial.EARTH, 8, True), (FillMaterial.EARTH, 10, False)],
)
def test_fill_inside_the_foundation(material, depth_in, holds):
    assert holds == (depth_in * INCH_M <= irc.fill_depth_limit_m(material=material))


@pytest.mark.published(irc.BASE_COURSE)
def test_base_course_below_grade():
    """4 in. passing 2 in.; none asked for over well-drained ground (exception from memory)."""
    assert inches(4) == irc.base_course_thickness_m(below_grade=True)
    assert inches(2) == irc.BASE_COURSE_MAX_SIZE_M
    assert 0.0 == irc.base_course_thickness_m(below_grade=True, well_drained=True)


@pytest.mark.published(irc.VAPOUR_RETARDER)
@pytest.mark.parametrize(("edition", "mil", "sheet"), [(IrcEdition.IRC_2012, 6, ""), (IrcEdition.IRC_2021, 10, "A")])
def test_retarder_by_edition(edition, mil, sheet):
    """2012 text seen, 2021 from memory."""
    rule = irc.retarder_rule(edition=edition)

    assert (inches(mil / 1000), inches(6), sheet) == (rule.thickness_m, rule.lap_m, rule.sheet_class)


@pytest.mark.published(irc.SLAB_STEEL)
@pytest.mark.parametrize(("thickness_in", "low_in", "high_in"), [(4, 2.0, 2.667), (6, 3.0, 4.0)])
def test_band_of_slab_steel(thickness_in, low_in, high_in):
    band = irc.slab_steel_band(slab_thickness_m=thickness_in * INCH_M)

    assert pytest.approx(low_in, abs=0.01) == band.low_m / INCH_M
    assert pytest.approx(high_in, abs=0.01) == band.high_m / INCH_M


@pytest.mark.published(irc.CONCRETE_STRENGTH)
@pytest.mark.parametrize(
    ("use", "strengths_psi"),
    [
        (ConcreteUse.NOT_EXPOSED, (2500, 2500, 2500)),
        (ConcreteUse.INTERIOR_SLAB, (2500, 2500, 2500)),
        (ConcreteUse.EXPOSED_WALL, (2500, 3000, 3000)),
        (ConcreteUse.EXPOSED_SLAB, (2500, 3000, 3500)),
    ],
)
def test_least_strength_by_weathering(use, strengths_psi):
    """Text seen: a code-check handbook page quoting the table."""
    found = [irc.least_strength_pa(use=use, weathering=weathering) / PSI_PA for weathering in Weathering]

    assert pytest.approx(strengths_psi) == found


@pytest.mark.published(irc.ANCHOR_BOLTS)
def test_bolts_of_a_14_ft_plate():
    """Three bolts with 12 in. ends, none closer to an end than 3.5 in."""
    bolts = irc.sill_bolts(plate_length_m=14 * FOOT_M)

    assert (3, inches(3.5), inches(7), inches(72)) == (bolts.n_bolts, bolts.least_end_m, bolts.embedment_m, bolts.spacing_m)


def test_a_short_plate_still_has_two_bolts():
    assert 2 == irc.sill_bolts(plate_length_m=2.5 * FOOT_M).n_bolts


@pytest.mark.published(irc.FROST_PROTECTION)
@pytest.mark.parametrize(
    ("index", "line"),
    [
        (1500, (12, 4.5, 0, 0, 0, 0, 0)),
        (2000, (14, 5.6, 0, 0, 0, 0, 0)),
        (2500, (16, 6.7, 1.7, 4.9, 12, 24, 40)),
        (3000, (16, 7.8, 6.5, 8.6, 12, 24, 40)),
        (3500, (16, 9.0, 8.0, 11.2, 24, 30, 60)),
        (4000, (16, 10.1, 10.5, 13.1, 24, 36, 60)),
    ],
)
def test_frost_protection_table(index, line):
    """Line 4000 partly seen in a state summary, the rest from memory; nought stands for none asked for."""
    found = frost_protection(freezing_index_kd=index * 5 / 9)
    depth, vertical, walls, corners, a, b, c = line

    assert (inches(depth), inches(a), inches(b), inches(c)) == (found.depth_m, found.width_m, found.corner_width_m, found.corner_length_m)
    assert pytest.approx((vertical, walls, corners)) == (
        found.vertical_m2k_w / R,
        found.along_walls_m2k_w / R,
        found.at_corners_m2k_w / R,
    )


def test_frost_protection_interpolates_and_ends_at_4000():
    assert pytest.approx(6.15) == frost_protection(freezing_index_kd=2250 * 5 / 9).vertical_m2k_w / R
    with pytest.raises(OutOfRange, match="ends at 4000"):
        frost_protection(freezing_index_kd=4100 * 5 / 9)


@pytest.mark.published(irc.INSULATION_R)
@pytest.mark.parametrize(
    ("kind", "thickness_in"), [(InsulationKind.EPS_II, 2.792), (InsulationKind.EPS_IX, 2.094), (InsulationKind.XPS, 1.489)]
)
def test_thickness_of_insulation_for_r_6_7(kind, thickness_in):
    thickness_m = insulation_thickness_m(resistance_m2k_w=6.7 * R, kind=kind)

    assert pytest.approx(thickness_in, rel=0.002) == thickness_m / INCH_M


@pytest.mark.published(irc.TURNED_DOWN_STEEL)
def test_dowels_of_a_slab_cast_after_its_edge():
    """Not in one placement: hooked dowels at most 4 ft apart."""
    assert inches(48) == irc.DOWEL_SPACING_M
