"""Spacing of joints by slump and stone, by shrinkage, by steel and by drag, against what is printed."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause
from slabwright.standards import aci_209r_92, aci_360r, pca_floors, subgrade_drag
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M, POUND_KG, PSF_PA, PSI_PA

CRSI_EXAMPLE = Clause(
    subgrade_drag.ACI_360R, "8 in. slab with joints at 24 ft, Grade 60, as an institute's data sheet works it", Basis.TEXT_SEEN
)


@pytest.mark.published(pca_floors.SPACING_BY_MIX)
@pytest.mark.parametrize(
    ("t_in", "small_ft", "large_ft", "stiff_ft"),
    [(4, 8, 10, 12), (5, 10, 13, 15), (6, 12, 15, 18), (7, 14, 18, 21), (8, 16, 20, 24), (9, 18, 23, 27), (10, 20, 25, 30)],
)
def test_the_printed_table_of_slump_and_stone(t_in, small_ft, large_ft, stiff_ft):
    """Columns: 4 to 6 in. of slump with stone under 3/4 in., the same with 3/4 in. and larger, slump less than 4 in."""

    def feet(slump_in, stone_in):
        found = pca_floors.joint_spacing_by_mix(thickness_m=t_in * INCH_M, slump_m=slump_in * INCH_M, aggregate_size_m=stone_in * INCH_M)
        return found.spacing_m / FOOT_M

    assert pytest.approx(small_ft) == feet(5, 0.5)
    assert pytest.approx(large_ft) == feet(5, 1.0)
    assert pytest.approx(large_ft) == feet(4, 0.75)
    assert pytest.approx(stiff_ft) == feet(3, 0.75)


@pytest.mark.published(pca_floors.SPACING_BY_MIX)
def test_the_handbook_reads_its_own_table_so():
    """A drive 4 in. thick, slump 5 in., stone of 1 in.: joints every 10 ft, as the handbook's text works it."""
    found = pca_floors.joint_spacing_by_mix(thickness_m=4 * INCH_M, slump_m=5 * INCH_M, aggregate_size_m=INCH_M)

    assert pytest.approx(10) == found.spacing_m / FOOT_M
    assert pytest.approx(30) == found.thicknesses


def test_between_and_beyond_printed_thicknesses():
    """5.5 in.: halfway from 13 to 15 ft; 3 in.: three quarters of 4 in.; 12 in.: 30 ft by a fifth; a stone of 20 mm is one of 3/4 in."""

    def feet(t_in, slump_in=5.0, stone_m=0.020):
        return (
            pca_floors.joint_spacing_by_mix(thickness_m=t_in * INCH_M, slump_m=slump_in * INCH_M, aggregate_size_m=stone_m).spacing_m
            / FOOT_M
        )

    assert pytest.approx(14) == feet(5.5)
    assert pytest.approx(7.5) == feet(3)
    assert pytest.approx(36) == feet(12, slump_in=2.0)
    assert feet(5, stone_m=0.019) == feet(5)


@pytest.mark.published(aci_209r_92.SHRINKAGE_BY_MIX)
def test_shrinkage_by_mix_worked_by_hand():
    """Slump 4 in. 1.054, 540 lb/yd³ 0.9444, air 2 % 1, fines 50 % 1: 776.4 millionths; the coefficients from memory.

    Fines 40 % 0.86; air 8 % 1.014; three days of moist curing 1.202 - 0.2337 log 3 = 1.0905.
    """
    plain = {"slump_m": 4 * INCH_M, "cement_kg_m3": 540 * POUND_KG / CUBIC_YARD_M3, "air": 0.02}
    base = aci_209r_92.ultimate_shrinkage(**plain)

    assert pytest.approx(780e-6 * 1.054 * 0.9444, rel=1e-6) == base
    assert pytest.approx(0.86, rel=1e-6) == aci_209r_92.ultimate_shrinkage(**plain, fine_share=0.40) / base
    assert pytest.approx(1.02, rel=1e-6) == aci_209r_92.ultimate_shrinkage(**plain, fine_share=0.60) / base
    assert pytest.approx(1.014, rel=1e-6) == aci_209r_92.ultimate_shrinkage(**(plain | {"air": 0.08})) / base
    assert pytest.approx(1.0905, rel=1e-4) == aci_209r_92.ultimate_shrinkage(**plain, moist_days=3.0) / base


@pytest.mark.published(aci_209r_92.SHRINKAGE_IN_PLACE)
@pytest.mark.parametrize(("humidity", "factor"), [(0.4, 0.992), (0.7, 0.686), (0.9, 0.30)])
def test_shrinkage_in_place_worked_by_hand(humidity, factor):
    """5 in. drying through its top for a year: 1.2 exp(-0.6) = 0.6586, f = 26 exp(1.8) = 157.3 d, 365/522.3 = 0.6988."""
    found = aci_209r_92.shrinkage_in_place(ultimate=1e-3, drying_days=365, rel_humidity=humidity, volume_over_surface_m=5 * INCH_M)

    assert pytest.approx(0.6988 * max(0.6586 * factor, 0.2) * 1e-3, rel=1e-3) == found


def test_deep_concrete_dries_later_and_less():
    """Limits: nought at the start; thicker always less; no factor of humidity and size below 0.2."""
    found = [
        aci_209r_92.shrinkage_in_place(ultimate=7.8e-4, drying_days=365, rel_humidity=0.5, volume_over_surface_m=inches * INCH_M)
        for inches in (4, 5, 7, 12, 20)
    ]

    assert sorted(found, reverse=True) == found
    assert 0.0 == aci_209r_92.shrinkage_in_place(ultimate=7.8e-4, drying_days=0, rel_humidity=0.5, volume_over_surface_m=0.1)
    late = aci_209r_92.shrinkage_in_place(ultimate=1e-3, drying_days=1e9, rel_humidity=0.95, volume_over_surface_m=0.3)
    assert pytest.approx(2e-4, rel=1e-3) == late


@pytest.mark.published(aci_360r.SPACING_BY_SHRINKAGE)
def test_joints_of_wet_and_dry_mixes_open_alike():
    """30 thicknesses at 780 millionths; (780 + 99)/(900 + 99) of it at 900; 24 and 36 at the ends. Worked by hand from equal opening."""
    assert pytest.approx(30) == aci_360r.thicknesses_by_shrinkage(ultimate=780e-6)
    assert pytest.approx(30 * 879 / 999) == aci_360r.thicknesses_by_shrinkage(ultimate=900e-6)
    assert 24.0 == aci_360r.thicknesses_by_shrinkage(ultimate=1100e-6)
    assert 36.0 == aci_360r.thicknesses_by_shrinkage(ultimate=500e-6)


@pytest.mark.published(CRSI_EXAMPLE)
def test_the_steel_of_the_worked_example_drags_its_24_ft():
    """0.045 in²/ft at 40,000 psi, friction 1.5, 100 psf; the same figures forwards give the steel."""
    length = subgrade_drag.spacing_by_steel_m(
        friction=1.5, steel_m2_m=0.045 * INCH_M**2 / FOOT_M, weight_pa=100 * PSF_PA, steel_stress_pa=40_000 * PSI_PA
    )

    assert pytest.approx(24, rel=1e-6) == length / FOOT_M
    assert pytest.approx(0.045, rel=1e-6) == subgrade_drag.drag_steel_m2_m(
        friction=1.5, length_m=length, weight_pa=100 * PSF_PA, steel_stress_pa=40_000 * PSI_PA
    ) * FOOT_M / INCH_M**2  # fmt: skip


@pytest.mark.published(subgrade_drag.PLAIN_SPACING)
def test_drag_alone_lets_concrete_run_far():
    """200 psi, friction 1.5, 150 pcf: 2 x 144 x 200 / 225 = 256 ft; that length pulls 200 psi again."""
    length = subgrade_drag.spacing_by_drag_m(friction=1.5, tension_pa=200 * PSI_PA)

    assert pytest.approx(256) == length / FOOT_M
    assert pytest.approx(200) == subgrade_drag.subgrade_drag_pa(friction=1.5, length_m=length) / PSI_PA


@pytest.mark.parametrize(
    "call",
    [
        lambda: pca_floors.joint_spacing_by_mix(thickness_m=0.0, slump_m=0.1, aggregate_size_m=0.02),
        lambda: pca_floors.joint_spacing_by_mix(thickness_m=0.1, slump_m=0.0, aggregate_size_m=0.02),
        lambda: aci_209r_92.ultimate_shrinkage(slump_m=0.1, cement_kg_m3=0.0, air=0.02),
        lambda: aci_209r_92.ultimate_shrinkage(slump_m=0.1, cement_kg_m3=300.0, air=2.0),
        lambda: aci_209r_92.shrinkage_in_place(ultimate=1e-3, drying_days=1.0, rel_humidity=50.0, volume_over_surface_m=0.1),
        lambda: aci_360r.thicknesses_by_shrinkage(ultimate=-1e-4),
        lambda: subgrade_drag.spacing_by_steel_m(friction=0.0, steel_m2_m=1e-4, weight_pa=3000.0, steel_stress_pa=3e8),
        lambda: subgrade_drag.spacing_by_drag_m(friction=-1.0, tension_pa=1e6),
    ],
)
def test_senseless_values_are_refused(call):
    """Each with its reason."""
    with pytest.raises(OutOfRange):
        call()
