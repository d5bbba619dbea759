"""Squaring, diagonals, racks and errors of a length against printed figures and identities."""

import math

import pytest

from slabwright.errors import OutOfRange
from slabwright.reckon import reckon
from slabwright.sources import Basis, Clause, arithmetic
from slabwright.standards import find
from slabwright.standards.setting_out import (
    ADJUSTMENT_COMPUTATIONS,
    CORNER_ERROR,
    CROSSING_STRINGS,
    DIAGONALS,
    INVERSE,
    PARALLELOGRAM_LAW,
    RACK,
    THREE_FOUR_FIVE,
    corner_error,
    diagonal_m,
    error_of_distance_m,
    line_from_coordinates,
    rack_of_rectangle,
    string_crossing,
    tape_temperature_m,
    three_four_five,
)
from slabwright.units import FOOT_M, INCH_M, format_feet_inches


@pytest.mark.published(THREE_FOUR_FIVE)
@pytest.mark.parametrize(("short", "long", "hypotenuse"), [(3, 4, 5), (6, 8, 10), (9, 12, 15), (12, 16, 20)])
def test_any_multiple_of_three_four_five_is_square(short, long, hypotenuse):
    triangle = three_four_five(short_leg_m=short)

    assert pytest.approx((long, hypotenuse), rel=1e-15) == (triangle.long_leg_m, triangle.hypotenuse_m)


@pytest.mark.published(DIAGONALS)
def test_diagonal_of_twenty_by_thirty_feet():
    """36.055513 ft; 0.6662 in. is 10.66 sixteenths, so 36 ft 0 11/16 in."""
    diagonal = diagonal_m(length_m=30 * FOOT_M, width_m=20 * FOOT_M)

    assert pytest.approx(36.055513, abs=1e-6) == diagonal / FOOT_M
    assert "36'-0 11/16\"" == format_feet_inches(diagonal, 16)


@pytest.mark.published(RACK)
def test_rack_of_forty_by_twenty_four_feet():
    """Diagonals 46.679 and 46.6165 ft; the site rule (d1 - d2) x mean diagonal / 2a gives the same 0.4373 in."""
    racked = rack_of_rectangle(
        slid_side_m=40 * FOOT_M, other_side_m=24 * FOOT_M, long_diagonal_m=46.679 * FOOT_M, short_diagonal_m=46.6165 * FOOT_M
    )

    assert pytest.approx(0.036444, abs=1e-6) == racked.rack_m / FOOT_M
    assert pytest.approx(0.4373, abs=0.001) == racked.rack_m / INCH_M
    assert pytest.approx(89.913, abs=1e-4) == math.degrees(racked.angle_rad)
    assert pytest.approx(0.00151848, abs=1e-8) == math.cos(racked.angle_rad)
    assert pytest.approx(0.43732, abs=0.001) == 0.75 * 46.647615 / (2 * 40)


@pytest.mark.published(PARALLELOGRAM_LAW)
def test_parallelogram_law_finds_a_misread_length():
    """a 12.0, b 8.0, diagonals 14.44 and 14.404 m."""
    racked = rack_of_rectangle(slid_side_m=12.0, other_side_m=8.0, long_diagonal_m=14.44, short_diagonal_m=14.404)

    assert pytest.approx(-0.011184, abs=1e-6) == racked.misclosure_m2
    assert pytest.approx(-0.000194, abs=1e-6) == racked.length_error_m


@pytest.mark.published(CORNER_ERROR)
@pytest.mark.parametrize(("legs", "degrees", "drift_in"), [((3, 4), 0.1244, 1.0422), ((12, 16), 0.03109, 0.2605)])
def test_a_larger_triangle_squares_better(legs, degrees, drift_in):
    """A hypotenuse 1/16 in. too long, run out over 40 ft."""
    error = corner_error(leg_a_m=legs[0] * FOOT_M, leg_b_m=legs[1] * FOOT_M, hypotenuse_error_m=INCH_M / 16, run_m=40 * FOOT_M)

    assert pytest.approx(degrees, abs=1e-4) == math.degrees(error.angle_rad)
    assert pytest.approx(drift_in, abs=0.001) == error.drift_m / INCH_M


@pytest.mark.published(CROSSING_STRINGS)
def test_strings_between_batter_boards_cross():
    crossing = string_crossing(first_m=((-1.2, 0.05), (13.1, -0.02)), second_m=((0.03, -1.4), (-0.01, 9.3)))

    assert pytest.approx((0.024602, 0.044005), abs=1e-6) == (crossing.x_m, crossing.y_m)
    with pytest.raises(OutOfRange, match="side by side"):
        string_crossing(first_m=((0, 0), (1, 0)), second_m=((0, 1), (1, 1)))


@pytest.mark.published(INVERSE)
def test_length_and_bearing_from_coordinates():
    line = line_from_coordinates(from_east_m=1000, from_north_m=2000, to_east_m=1012, to_north_m=2008)

    assert pytest.approx(14.422205, abs=1e-6) == line.length_m
    assert pytest.approx(56.309932, abs=1e-6) == math.degrees(line.bearing_rad)


@pytest.mark.published(Clause(ADJUSTMENT_COMPUTATIONS, "example of an electronic distance of 453.87 ft", Basis.MEMORY))
def test_error_of_an_electronic_distance():
    """5 mm + 10 in a million, centring 0.003 ft, target 0.005 ft: 0.018 ft as printed; from memory."""
    error = error_of_distance_m(
        length_m=453.87 * FOOT_M, instrument_m=0.005, part_of_length=10e-6, centring_m=0.003 * FOOT_M, target_m=0.005 * FOOT_M
    )

    assert pytest.approx(0.018, abs=0.0005) == error / FOOT_M


@pytest.mark.published(arithmetic("errors of tape lengths add in quadrature"))
def test_four_tape_lengths_double_the_error_of_one():
    assert pytest.approx(0.004) == error_of_distance_m(length_m=120.0, instrument_m=0.002, n_lengths=4)


def test_sixteen_degrees_are_an_eighth_of_an_inch_in_a_hundred_feet():
    """Rule of the trade for steel tapes: 0.0000065 per °F x 100 ft x 16 °F = 0.125 in."""
    correction = tape_temperature_m(length_m=100 * FOOT_M, tape_temp_c=20 + 16 / 1.8)

    assert pytest.approx(0.125, abs=0.002) == correction / INCH_M


def test_reckon_reads_them():
    worked = reckon(find("diagonal"), {"length": "30 ft", "width": "20 ft"})

    assert pytest.approx(36.055513 * FOOT_M, abs=1e-6) == worked.value
    crossing = reckon(find("string-crossing"), {"first": "-1.2 m,0.05 m;13.1 m,-0.02 m", "second": "0.03 m,-1.4 m;-0.01 m,9.3 m"})
    assert pytest.approx(0.024602, abs=1e-6) == crossing.value.x_m
    for name in ("three-four-five", "level-closure", "error-of-distance", "prismoid-volume", "grid-volume", "order-quantity"):
        assert find(name) is not None
