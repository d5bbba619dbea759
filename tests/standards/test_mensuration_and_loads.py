"""Areas, volumes, truck loads and base material against published examples."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.reckon import reckon
from slabwright.sources import Basis, Clause, Source, arithmetic, practice
from slabwright.standards import register
from slabwright.standards.mensuration import FRUSTUM, SHOELACE, frustum_volume_m3, polygon_measures
from slabwright.standards.order_quantity import round_up_m3
from slabwright.standards.ready_mix import WASTE, WasteOf, loose_from_compacted, truck_count, waste_share
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M, US_TON_KG

EXCAVATION = Clause(
    Source("excavation exercise", "Student solution of an excavation-and-concrete estimating exercise"), "topsoil", Basis.TEXT_SEEN
)
NAVY_MANUAL = Source("NAVEDTRA 14070", "US Navy training manual Engineering Aid, material estimating example, waste from NAVFAC P-405")
NAVY_EXAMPLE = Clause(NAVY_MANUAL, "ch. 5, fig. 5-2", Basis.TEXT_SEEN)
COURSE = Clause(Source("estimating fundamentals", "Exercises of an estimating-fundamentals course"), "slab with waste", Basis.TEXT_SEEN)
EXAM = Clause(Source("contractor examination", "Contractor examination question"), "mat with waste", Basis.TEXT_SEEN)
GRAVEL = practice("1.4 short tons to the loose yard, 15 % for compaction")
FT3_M3 = FOOT_M**3
L_SHAPE = ((0, 0), (12, 0), (12, 5), (7, 5), (7, 9), (0, 9))


@pytest.mark.published(SHOELACE)
@pytest.mark.parametrize("ring", [L_SHAPE, L_SHAPE[::-1]])
def test_an_l_shape(ring):
    """Area 88, perimeter 42, centroid (5.204545, 3.931818); by hand (63 x 3.5 + 25 x 9.5)/88 and (63 x 4.5 + 25 x 2.5)/88."""
    found = polygon_measures(corners_m=ring)

    assert pytest.approx((88.0, 42.0, 5.204545, 3.931818), abs=1e-6) == (
        found.area_m2, found.perimeter_m, found.centroid_x_m, found.centroid_y_m,
    )  # fmt: skip
    assert found.counter_clockwise == (ring is L_SHAPE)


@pytest.mark.published(SHOELACE)
@pytest.mark.parametrize("turn", [1, -1])
def test_a_rectangle_with_a_hole(turn):
    """40 x 24 less 6 x 4: area 936, centroid (20.179487, 12.102564); the hole either way round."""
    found = polygon_measures(corners_m=((0, 0), (40, 0), (40, 24), (0, 24)), hole_m=((10, 6), (16, 6), (16, 10), (10, 10))[::turn])

    assert pytest.approx((936, 20.179487, 12.102564), abs=1e-6) == (found.area_m2, found.centroid_x_m, found.centroid_y_m)


@given(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5))
def test_a_polygon_far_away_measures_the_same(x, y):
    found = polygon_measures(corners_m=[(a + x, b + y) for a, b in L_SHAPE])

    assert pytest.approx((88.0, 5.204545 + x, 3.931818 + y), abs=1e-5) == (found.area_m2, found.centroid_x_m, found.centroid_y_m)


@pytest.mark.parametrize("ring", [((0, 0), (1, 0)), ((0, 0), (1, 0), (2, 0))])
def test_a_polygon_needs_corners_and_area(ring):
    with pytest.raises(OutOfRange):
        polygon_measures(corners_m=ring)


@pytest.mark.published(FRUSTUM)
def test_frusta():
    """4 x 4 to 2 x 2, height 3: exactly 28 where the mean of the end areas gives 30; a cone of the same areas holds the same."""
    assert pytest.approx(28.0, rel=1e-12) == frustum_volume_m3(bottom_area_m2=16, top_area_m2=4, height_m=3)
    assert 30.0 == 3 * (16 + 4) / 2
    r, big = math.sqrt(4 / math.pi), math.sqrt(16 / math.pi)
    assert pytest.approx(28.0) == math.pi * 3 / 3 * (r * r + big * big + r * big)


@pytest.mark.published(FRUSTUM)
def test_a_square_pad_with_tapers():
    """3 ft square, 8 in. deep, 45 degrees: 9.0617 ft³."""
    top_ft = 3 + 2 * 8 / 12
    volume = frustum_volume_m3(bottom_area_m2=9 * FOOT_M**2, top_area_m2=top_ft**2 * FOOT_M**2, height_m=8 * INCH_M)

    assert pytest.approx(9.0617, abs=0.0001) == volume / FT3_M3


@pytest.mark.published(NAVY_EXAMPLE)
def test_foundation_of_the_navy_manual():
    """Walls, footings and slab of a 20 ft x 32 ft building: 527.40 ft³, with 10 % waste 580.14 ft³ or 21.49 yd³.

    One line of the print reads 133.032 for 133.32. The manual rounds down to 21; an order goes up to the quarter yard, 21.5.
    """
    items = [(32, 0.67, 2, 2), (18.67, 0.67, 2, 2), (33.33, 2, 1, 2), (17.33, 2, 1, 2), (18.67, 30.67, 0.33, 1)]
    parts = [a * b * c * n for a, b, c, n in items]
    with_waste = sum(parts) * (1 + waste_share(of=WasteOf.NAVY))

    assert pytest.approx([85.76, 50.04, 133.32, 69.32, 188.96], abs=0.011) == parts
    assert pytest.approx(580.14, abs=0.011) == with_waste
    assert pytest.approx(21.49, abs=0.005) == with_waste / 27
    assert pytest.approx(21.5) == round_up_m3(volume_m3=with_waste * FT3_M3, step_m3=0.25 * CUBIC_YARD_M3) / CUBIC_YARD_M3


@pytest.mark.published(COURSE)
def test_a_slab_with_waste():
    """100 ft x 83 ft x 5 in. and 10 %: 3,458.33 ft³, 140.9 yd³."""
    cubic_feet = 100 * 83 * 5 / 12

    assert pytest.approx(3458.33, abs=0.01) == cubic_feet
    assert pytest.approx(140.9, abs=0.05) == cubic_feet / 27 * 1.1


@pytest.mark.published(EXAM)
def test_a_mat_with_waste():
    """120 ft x 80 ft x 2 ft and 8 %: 711.11 yd³, with waste 768."""
    assert pytest.approx(768.0, rel=1e-12) == 120 * 80 * 2 / 27 * (1 + waste_share(of=WasteOf.SLABS))


@pytest.mark.published(WASTE)
def test_published_waste_allowances():
    """Footings 5 %, slabs 8 %, Navy 10 %; the Army 10 % up to 200 yd³ and 5 % above (from memory)."""
    assert [0.05, 0.08, 0.10] == [waste_share(of=one) for one in (WasteOf.FOOTINGS, WasteOf.SLABS, WasteOf.NAVY)]
    assert [0.10, 0.05] == [waste_share(of=WasteOf.ARMY, volume_m3=yards * CUBIC_YARD_M3) for yards in (200, 201)]


@pytest.mark.published(EXCAVATION)
def test_trucks_for_stripped_topsoil():
    """577.25 ft², 9 in. deep, 10 % swell: 16.03 yd³ in the bank, 17.64 loose, three 7 yd³ trucks."""
    bank_ft3 = (10.5 * 17 + 14.5 * 12.5 + 15 * 14.5) * 9 / 12
    loads = truck_count(volume_m3=bank_ft3 * 1.1 * FT3_M3, truck_m3=7 * CUBIC_YARD_M3)

    assert pytest.approx(432.94, abs=0.005) == bank_ft3
    assert pytest.approx(16.03, abs=0.02) == bank_ft3 / 27
    assert pytest.approx(17.64, abs=0.02) == bank_ft3 * 1.1 / 27
    assert (3, 2) == (loads.n_loads, loads.n_full)
    assert pytest.approx(3.64, abs=0.02) == loads.balance_m3 / CUBIC_YARD_M3


@given(st.integers(0, 40), st.sampled_from((6.0, 9.0 * CUBIC_YARD_M3, 10.0 * CUBIC_YARD_M3)))
def test_whole_loads_leave_no_balance_load(n, truck_m3):
    """A volume of so many loads is so many loads, the last digit of a float aside."""
    loads = truck_count(volume_m3=sum([truck_m3] * n), truck_m3=truck_m3)

    assert (n, n, 0.0) == (loads.n_loads, loads.n_full, loads.balance_m3)


@pytest.mark.published(arithmetic("rounding goes up to the supplier's step"))
def test_an_order_is_rounded_up():
    """21.49 to 21.5, 16.68 to 16.75, 9 stays 9, a ten-thousandth more costs the next quarter."""
    for volume, order in ((21.49, 21.5), (16.681350000000002, 16.75), (9.0, 9.0), (9.0001, 9.25)):
        assert pytest.approx(order, abs=1e-9) == round_up_m3(volume_m3=volume, step_m3=0.25)


@pytest.mark.published(GRAVEL)
def test_gravel_base():
    """40 ft x 24 ft x 4 in.: 11.8519 yd³ compacted, 13.6296 loose, 19.081 short tons."""
    compacted = 40 * 24 * 4 / 12 * FT3_M3
    bought = loose_from_compacted(compacted_m3=compacted, shrink_factor=1.15, loose_density_kg_m3=1.4 * US_TON_KG / CUBIC_YARD_M3)

    assert pytest.approx(11.8519, abs=0.001) == compacted / CUBIC_YARD_M3
    assert pytest.approx(13.6296, abs=0.001) == bought.loose_m3 / CUBIC_YARD_M3
    assert pytest.approx(19.081, abs=0.01) == bought.mass_kg / US_TON_KG


@pytest.mark.published(arithmetic("one yard spreads 81 ft² at 4 in., 162 at 2 in., 324 at 1 in."))
@pytest.mark.parametrize(("depth_in", "spread_ft2"), [(4, 81), (2, 162), (1, 324)])
def test_what_a_yard_spreads(depth_in, spread_ft2):
    assert pytest.approx(CUBIC_YARD_M3, rel=1e-12) == spread_ft2 * FOOT_M**2 * depth_in * INCH_M


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (frustum_volume_m3, {"bottom_area_m2": -1.0, "top_area_m2": 1.0, "height_m": 1.0}),
        (truck_count, {"volume_m3": 10.0, "truck_m3": 0.0}),
        (loose_from_compacted, {"compacted_m3": 10.0, "shrink_factor": 0.9, "loose_density_kg_m3": 1600.0}),
    ],
)
def test_what_has_no_meaning_is_refused(function, arguments):
    with pytest.raises(OutOfRange):
        function(**arguments)


def test_they_can_be_reckoned_by_name():
    """As typed on the command line."""
    entries = register()
    pad = reckon(entries["frustum-volume"], {"bottom-area": "9 ft2", "top-area": "18.7778 ft2", "height": "8 in"})
    shape = reckon(entries["polygon-area"], {"corners": "0 ft,0 ft; 40 ft,0 ft; 40 ft,24 ft; 0 ft,24 ft"})
    loads = reckon(entries["truck-count"], {"volume": "28.75 yd3", "truck": "10 yd3"})

    assert pytest.approx(9.0617, abs=1e-3) == pad.value / FT3_M3
    assert pytest.approx(960.0) == shape.value.area_m2 / FOOT_M**2
    assert (3, 2) == (loads.value.n_loads, loads.value.n_full)
    assert any("sqrt" in step.formula for step in pad.steps)
