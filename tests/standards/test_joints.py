"""Joint spacing, depth, shape and opening against what is printed."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause
from slabwright.standards.aashto_1993 import JOINT_OPENING, SEALANT_SHAPE, joint_opening_m, sealant_reservoir
from slabwright.standards.aci_302_1r import (
    ACI_302_1R,
    CSA_GREATEST_SPACING_M,
    CSA_JOINTS,
    EARLY_ENTRY_DEPTH,
    JOINT_SPACING,
    PANEL_ASPECT,
    SAW_DEPTH,
    SawKind,
    effective_cut,
    joint_spacing,
    panel_aspect,
    saw_depth_m,
)
from slabwright.standards.dowels import FLOOR_DOWELS, HEAVY_DOWELS, dowel, heavy_dowel
from slabwright.units import FOOT_M, INCH_M


@pytest.mark.published(JOINT_SPACING)
@pytest.mark.parametrize(("t_in", "low_ft", "high_ft"), [(4, 8, 12), (5, 10, 15), (6, 12, 18), (7, 14, 18)])
def test_spacing_is_24_to_36_thicknesses_and_at_most_18_ft(t_in, low_ft, high_ft):
    """As quoted from ACI 302.1R-96."""
    found = joint_spacing(thickness_m=t_in * INCH_M)

    assert pytest.approx(low_ft) == found.low_m / FOOT_M
    assert pytest.approx(high_ft) == found.high_m / FOOT_M


@pytest.mark.published(CSA_JOINTS)
def test_the_canadian_cap_is_5_m():
    """100 mm: 2.4 to 3.6 m, depth 25 to 33.3 mm; 5 m at most however thick."""
    found = joint_spacing(thickness_m=0.100, cap_m=CSA_GREATEST_SPACING_M)

    assert pytest.approx((2.4, 3.6)) == (found.low_m, found.high_m)
    assert pytest.approx(5.0) == joint_spacing(thickness_m=0.2, cap_m=CSA_GREATEST_SPACING_M).high_m
    assert pytest.approx(0.025, abs=5e-4) == saw_depth_m(thickness_m=0.100)


@pytest.mark.published(SAW_DEPTH)
@pytest.mark.parametrize(("t_in", "depth_in"), [(3.5, 1.0), (4, 1.0), (5, 1.25), (6, 1.5)])
def test_a_cut_is_a_quarter_of_the_thickness_and_at_least_an_inch(t_in, depth_in):
    """Quarter-depth rule as quoted."""
    assert pytest.approx(depth_in) == saw_depth_m(thickness_m=t_in * INCH_M) / INCH_M


@pytest.mark.published(EARLY_ENTRY_DEPTH)
@pytest.mark.parametrize("t_in", [4, 6, 9])
def test_an_early_entry_cut_is_an_inch_in_slabs_up_to_nine(t_in):
    """ACI 302.1R-15 5.2.8.3; the 9 in. limit from memory."""
    assert pytest.approx(1.0) == saw_depth_m(thickness_m=t_in * INCH_M, saw=SawKind.EARLY_ENTRY) / INCH_M


@pytest.mark.published(PANEL_ASPECT)
@pytest.mark.parametrize(
    ("sides_ft", "ratio", "holds"),
    [((12, 18), 1.5, True), ((10, 16), 1.6, False), ((12, 12.5), 1.042, True), ((9.6, 10), 1.042, True), ((10, 8), 1.25, True)],
)
def test_the_long_side_is_at_most_half_as_long_again(sides_ft, ratio, holds):
    """ACI 302.1R-80 2.3.2 as quoted."""
    found = panel_aspect(length_m=sides_ft[0] * FOOT_M, width_m=sides_ft[1] * FOOT_M)

    assert pytest.approx(ratio, rel=1e-3) == found.aspect
    assert holds is found.holds


@pytest.mark.published(Clause(ACI_302_1R, "quarter-depth rule, applied to local thickness", Basis.DERIVED))
def test_an_inch_in_a_twelve_inch_edge_is_no_joint():
    """1/4 in a 4 in. slab, 1/12 in a 12 in. edge."""
    assert pytest.approx(0.25) == effective_cut(cut_m=INCH_M, local_thickness_m=4 * INCH_M)
    assert pytest.approx(0.0833, abs=1e-4) == effective_cut(cut_m=INCH_M, local_thickness_m=12 * INCH_M)


@pytest.mark.published(JOINT_OPENING)
@pytest.mark.parametrize(("length_in", "drop_f", "strain", "opening_in"), [(144, 50, 0.0004, 0.07776), (180, 60, 0.0003, 0.0907)])
def test_joint_opening(length_in, drop_f, strain, opening_in):
    """C = 0.80 on a granular base, alpha 5.5e-6 /°F; from memory."""
    found = joint_opening_m(
        panel_length_m=length_in * INCH_M, temp_drop_k=drop_f / 1.8, shrinkage_strain=strain, expansion_1_k=5.5e-6 * 1.8
    )

    assert pytest.approx(opening_in, rel=2e-3) == found / INCH_M


@pytest.mark.published(SEALANT_SHAPE)
def test_sealant_reservoir():
    """0.07776 in. at 25 per cent needs 0.311 in.; a 3/8 in. reservoir has a rod of 0.469 in.; from memory."""
    assert pytest.approx(0.31104, rel=1e-4) == sealant_reservoir(opening_m=0.07776 * INCH_M).width_m / INCH_M
    wide = sealant_reservoir(opening_m=0.375 / 4 * INCH_M)
    assert pytest.approx(0.46875, abs=0.02) == wide.rod_m / INCH_M
    assert pytest.approx(0.25, abs=0.02) == wide.depth_m / INCH_M


@pytest.mark.published(FLOOR_DOWELS)
@pytest.mark.parametrize(
    ("slab_in", "diameter_in", "length_in"), [(5, 5 / 8, 12), (6, 3 / 4, 14), (7, 7 / 8, 14), (8, 1, 14), (9, 9 / 8, 16), (10, 5 / 4, 16)]
)
def test_dowels_of_floors(slab_in, diameter_in, length_in):
    """12 in. apart; from memory."""
    found = dowel(thickness_m=slab_in * INCH_M)

    assert pytest.approx((diameter_in, length_in, 12)) == (found.diameter_m / INCH_M, found.length_m / INCH_M, found.spacing_m / INCH_M)


@pytest.mark.published(HEAVY_DOWELS)
@pytest.mark.parametrize(
    ("slab_in", "length_in", "spacing_in"), [(7, 16, 12), (10, 16, 12), (14, 20, 15), (18, 20, 18), (24, 24, 18), (27, 30, 18)]
)
def test_dowels_of_pavements(slab_in, length_in, spacing_in):
    """UFC 3-260-02 Table 12-8."""
    found = heavy_dowel(thickness_m=slab_in * INCH_M)

    assert pytest.approx((length_in, spacing_in)) == (found.length_m / INCH_M, found.spacing_m / INCH_M)


@pytest.mark.parametrize(
    "call",
    [
        lambda: dowel(thickness_m=0.0),
        lambda: heavy_dowel(thickness_m=-1.0),
        lambda: joint_spacing(thickness_m=0.0),
        lambda: joint_spacing(thickness_m=0.1, thicknesses=40.0),
        lambda: saw_depth_m(thickness_m=-0.1),
        lambda: panel_aspect(length_m=0.0, width_m=1.0),
        lambda: effective_cut(cut_m=0.02, local_thickness_m=0.0),
        lambda: joint_opening_m(panel_length_m=0.0, shrinkage_strain=0.0, temp_drop_k=0.0),
        lambda: sealant_reservoir(opening_m=0.001, strain=0.0),
    ],
)
def test_senseless_values_are_refused(call):
    """Each with its reason."""
    with pytest.raises(OutOfRange):
        call()
