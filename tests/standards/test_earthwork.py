"""Volumes of earth against worked examples from 1857 to today's exam questions."""

import math
from itertools import pairwise

import pytest

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause, Source, arithmetic, practice
from slabwright.standards.earthwork import (
    BORROW_PIT,
    END_AREAS,
    LAYER,
    PRISMOID,
    RAISED_PAD,
    SHRINKAGE,
    SWELL,
    bank_volume_m3,
    end_area_volume_m3,
    grid_volume_m3,
    layer_volume_m3,
    loose_volume_m3,
    prismoid_volume_m3,
    raised_pad_volume_m3,
)
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M

FOOT3 = FOOT_M**3
FE_QUESTION = Source("FE-style question", "Worked question: amount of borrow needed")
TAKE_OFF = Source("estimating exercise", "Student solution of an excavation-and-concrete estimating exercise")


@pytest.mark.published(Clause(FE_QUESTION, "one cell of 50 ft", Basis.TEXT_SEEN))
def test_borrow_for_one_cell():
    """Corners 87.6, 87.6, 87.6, 88.6 to 90.0 ft: 2.15 ft mean, 199 yd³ printed (199.07)."""
    depths = [(90.0 - level) * FOOT_M for level in (87.6, 87.6, 87.6, 88.6)]
    volume = grid_volume_m3(depths_m=depths, n_columns=2, cell_x_m=50 * FOOT_M, cell_y_m=50 * FOOT_M)

    assert pytest.approx(2.15) == sum(depths) / 4 / FOOT_M
    assert pytest.approx(199.0, abs=0.1) == volume / CUBIC_YARD_M3


@pytest.mark.published(BORROW_PIT)
def test_borrow_pit_of_two_by_three_cells():
    """Sums 4.9 (one cell), 6.5 (two), 2.4 (four): 687.5 m³."""
    depths = [1.2, 0.9, 1.5, 2.1, 0.8, 1.1, 1.3, 1.7, 0.4, 0.6, 1.0, 1.2]

    assert pytest.approx(687.5) == grid_volume_m3(depths_m=depths, n_columns=4, cell_x_m=10, cell_y_m=10)
    assert pytest.approx(687.5) == 100 / 4 * (4.9 + 2 * 6.5 + 4 * 2.4)


def _cut_area(cut_ft):
    """Base 20 ft, side slopes 1.5 to 1."""
    return (20 * cut_ft + 1.5 * cut_ft**2) * FOOT_M**2


@pytest.mark.published(END_AREAS)
def test_mean_end_areas_of_a_railroad_cut():
    """Cuts 0, 5, 10, 15, 0 ft at 50 ft: 56,250 ft³; the print rounds the mean areas and gives 56,200."""
    volume = end_area_volume_m3(areas_m2=[_cut_area(cut) for cut in (0, 5, 10, 15, 0)], spacing_m=50 * FOOT_M)

    assert pytest.approx(56250) == volume / FOOT3


@pytest.mark.published(PRISMOID)
def test_prismoidal_volume_of_the_same_cut():
    """Middle areas from mean heights 59.375, 234.375, 484.375, 234.375 ft²: 52,500 ft³."""
    cuts = [0, 5, 10, 15, 0]
    middles = [_cut_area((a + b) / 2) for a, b in pairwise(cuts)]
    assert pytest.approx([59.375, 234.375, 484.375, 234.375]) == [area / FOOT_M**2 for area in middles]

    parts = [
        prismoid_volume_m3(length_m=50 * FOOT_M, end_1_m2=_cut_area(a), middle_m2=m, end_2_m2=_cut_area(b))
        for (a, b), m in zip(pairwise(cuts), middles, strict=True)
    ]
    assert pytest.approx(52500) == math.fsum(parts) / FOOT3
    assert pytest.approx(1944.444, abs=0.001) == math.fsum(parts) / CUBIC_YARD_M3


@pytest.mark.published(arithmetic("frustum of a square pyramid, 4 x 4 to 2 x 2, height 3"))
def test_frustum():
    assert pytest.approx(28) == prismoid_volume_m3(length_m=3, end_1_m2=16, middle_m2=9, end_2_m2=4)
    assert pytest.approx(30) == end_area_volume_m3(areas_m2=[16, 4], spacing_m=3)


@pytest.mark.published(SWELL)
def test_swell():
    """200 x 20 x 2 m at 40 %: 8,000 and 11,200 m³; in feet 296 and 414 yd³ as truncated by the page."""
    assert pytest.approx(11200) == loose_volume_m3(bank_m3=8000, swell=0.4)
    bank = 200 * 20 * 2 * FOOT3
    assert pytest.approx(296, abs=0.5) == bank / CUBIC_YARD_M3
    assert pytest.approx(414, abs=1.0) == loose_volume_m3(bank_m3=bank, swell=0.4) / CUBIC_YARD_M3


@pytest.mark.published(Clause(TAKE_OFF, "topsoil strip", Basis.TEXT_SEEN))
def test_topsoil_strip_by_the_truck():
    """577.25 ft², 9 in., 10 % swell: 16.03 and 17.64 yd³, three trucks of 7 yd³ (the solution uses 0.037 yd³/ft³)."""
    area = 10.5 * 17 + 14.5 * 12.5 + 15 * 14.5
    assert pytest.approx(577.25) == area
    bank = layer_volume_m3(area_m2=area * FOOT_M**2, depth_m=9 * INCH_M)
    loose = loose_volume_m3(bank_m3=bank, swell=0.1)

    assert pytest.approx(432.94, abs=0.005) == bank / FOOT3
    assert pytest.approx((16.03, 17.64), abs=0.02) == (bank / CUBIC_YARD_M3, loose / CUBIC_YARD_M3)
    assert 3 == math.ceil(loose / CUBIC_YARD_M3 / 7)


@pytest.mark.published(SHRINKAGE)
def test_shrinkage():
    assert pytest.approx(111.1111, abs=1e-4) == bank_volume_m3(compacted_m3=100, remaining=0.9)


@pytest.mark.published(practice("gravel base: 1.15 loose for compacted, 1.4 short tons a loose cubic yard; both inputs"))
def test_gravel_base_by_the_ton():
    """40 x 24 ft, 4 in.: 11.8519 compacted, 13.6296 loose yd³, 19.081 tons."""
    compacted = layer_volume_m3(area_m2=40 * 24 * FOOT_M**2, depth_m=4 * INCH_M) / CUBIC_YARD_M3
    loose = loose_volume_m3(bank_m3=compacted, swell=0.15)

    assert pytest.approx((11.8519, 13.6296), abs=0.001) == (compacted, loose)
    assert pytest.approx(19.081, abs=0.01) == 1.4 * loose


@pytest.mark.published(LAYER)
@pytest.mark.parametrize(("depth_in", "area_ft2"), [(4, 81), (2, 162), (1, 324)])
def test_what_a_cubic_yard_spreads(depth_in, area_ft2):
    assert pytest.approx(CUBIC_YARD_M3) == layer_volume_m3(area_m2=area_ft2 * FOOT_M**2, depth_m=depth_in * INCH_M)


@pytest.mark.published(LAYER)
def test_a_base_half_an_inch_low_costs_a_yard_and_a_half():
    """1,000 ft²: 1.5432 yd³."""
    assert pytest.approx(1.5432, abs=1e-4) == layer_volume_m3(area_m2=1000 * FOOT_M**2, depth_m=0.5 * INCH_M) / CUBIC_YARD_M3


@pytest.mark.published(RAISED_PAD)
def test_a_raised_pad_is_a_prismoid():
    """44 x 28 ft top, 1.5 ft, 2 to 1: 2,190 ft³; mean end areas 2,199."""
    volume = raised_pad_volume_m3(length_m=44 * FOOT_M, width_m=28 * FOOT_M, height_m=1.5 * FOOT_M, side_slope=2.0)
    top, middle, bottom = (((44 + s) * (28 + s)) * FOOT_M**2 for s in (0.0, 3.0, 6.0))

    assert pytest.approx(2190.0, abs=0.001) == volume / FOOT3
    assert pytest.approx(volume) == prismoid_volume_m3(length_m=1.5 * FOOT_M, end_1_m2=top, middle_m2=middle, end_2_m2=bottom)
    assert pytest.approx(2199.0) == end_area_volume_m3(areas_m2=[top, bottom], spacing_m=1.5 * FOOT_M) / FOOT3


def test_refusals():
    with pytest.raises(OutOfRange, match="whole rows"):
        grid_volume_m3(depths_m=[1, 2, 3, 4, 5], n_columns=2, cell_x_m=1, cell_y_m=1)
    with pytest.raises(OutOfRange):
        end_area_volume_m3(areas_m2=[1.0], spacing_m=1)
    with pytest.raises(OutOfRange):
        bank_volume_m3(compacted_m3=1, remaining=0)
