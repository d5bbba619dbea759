"""Level books against printed examples, one of which is printed wrong."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.standards.levelling import (
    CURVATURE,
    FGCC,
    LEVEL_CLOSURE,
    LEVEL_REDUCTION,
    TWO_PEGS,
    level_closure,
    reduced_book,
    rod_level_m,
    shared_out,
    sight_curvature_m,
    two_peg_test,
)
from slabwright.units import FOOT_M, MILE_M

FE_GUIDE = Source("FE study guide", "Civil FE exam study guide, surveying section")
RISE_AND_FALL = Source("rise-and-fall tutorial", "Web tutorial on rise-and-fall checks")
BOOKING = Source("booking of levels", "Web article: Booking and reduction of levels")
LECTURE = Source("levelling lecture", "Surveying lecture slides, ch. 8, levelling continued")


@pytest.mark.published(LEVEL_REDUCTION)
def test_height_of_instrument():
    """BM 820.00, backsight 8.42, foresight 1.20: 827.22 ft."""
    assert pytest.approx(827.22) == rod_level_m(benchmark_m=820.0, backsight_m=8.42, foresight_m=1.20)


@pytest.mark.published(Clause(FE_GUIDE, "6.5", Basis.TEXT_SEEN))
def test_height_of_instrument_in_a_study_guide():
    assert pytest.approx(97.7) == rod_level_m(benchmark_m=100.0, backsight_m=4.2, foresight_m=6.5)


@pytest.mark.published(Clause(RISE_AND_FALL, "worked example", Basis.QUOTED))
def test_a_book_printed_with_a_fall_for_a_rise():
    """The page books the last step as a fall of 0.445 (100.415) though 1.720 < 2.165 is a rise; its own check fails.

    By hand: 100 + 1.855 - 2.410 = 99.445; - 1.280 = 100.575; - 0.995 = 100.860; + 2.165 - 1.720 = 101.305.
    """
    book = reduced_book(
        [
            ("BM", 1.855, None, None),
            ("A", None, 2.410, None),
            ("B", None, 1.280, None),
            ("CP1", 2.165, None, 0.995),
            ("C", None, None, 1.720),
        ],
        start_m=100.0,
    )

    assert pytest.approx([100.0, 99.445, 100.575, 100.860, 101.305]) == [one.level_m for one in book.levels]
    assert pytest.approx(1.305) == book.sights_difference_m
    assert pytest.approx(1.305) == book.rises_difference_m
    assert book.agrees
    assert abs(book.levels[-1].level_m - 100.415) > 0.8


@pytest.mark.published(Clause(BOOKING, "three sums", Basis.TEXT_SEEN))
def test_three_sums_agree():
    """Sums 5.62, 4.95, 1.37, 0.70 and first level 100.00 give a last level of 100.67, all three differences 0.67.

    The article prints sums only; the book below has those sums in two set-ups.
    """
    book = reduced_book(
        [("1", 2.90, None, None), ("2", None, 1.60, None), ("3", 2.72, None, 2.30), ("4", None, 2.68, None), ("5", None, None, 2.65)],
        start_m=100.0,
    )
    rises = [one.rise_m for one in book.levels[1:]]

    assert pytest.approx((5.62, 4.95)) == (sum(book.backsights_m), sum(book.foresights_m))
    assert pytest.approx((1.37, 0.70)) == (sum(max(rise, 0) for rise in rises), -sum(min(rise, 0) for rise in rises))
    assert pytest.approx(100.67) == book.levels[-1].level_m
    assert book.agrees


@pytest.mark.published(Clause(LECTURE, "distribution of a misclosure", Basis.QUOTED))
def test_a_misclosure_is_shared_over_the_set_ups():
    """0.05 ft over five set-ups: -0.01 each, -0.04 at the fourth (the slide leaves out the minus sign)."""
    rows = [("0", 1.0, None, None), *((str(number), 1.0, None, 0.99) for number in range(1, 5)), ("5", None, None, 0.99)]
    book = reduced_book(rows, start_m=0.0)
    assert pytest.approx(0.05) == book.levels[-1].level_m

    corrected = shared_out(book, 0.05)
    assert pytest.approx(-0.04) == corrected[4] - book.levels[4].level_m
    assert pytest.approx(0.0, abs=1e-12) == corrected[5]
    closure = level_closure(backsights_m=[1.0] * 5, foresights_m=[0.99] * 5, start_m=0.0, end_m=0.0, length_m=1000.0)
    assert pytest.approx(-0.01) == closure.correction_m
    assert not closure.closes


@pytest.mark.published(LEVEL_CLOSURE)
def test_allowed_misclosure_of_a_quarter_kilometre():
    closure = level_closure(backsights_m=[1.0], foresights_m=[0.994], start_m=0.0, end_m=0.0, length_m=250.0)

    assert pytest.approx(6.0) == 1000 * closure.allowed_m
    assert pytest.approx(6.0) == 1000 * closure.misclosure_m
    assert closure.closes


@pytest.mark.published(Clause(FGCC, "3.5, third order in feet and miles", Basis.QUOTED))
@pytest.mark.parametrize(("miles", "feet"), [(0.25, 0.025), (300 / 5280, 0.0119)])
def test_allowed_misclosure_in_feet_and_miles(miles, feet):
    """0.05 √miles ft as printed; 12 mm √km differs from it by 0.1 %."""
    closure = level_closure(backsights_m=[1.0], foresights_m=[1.0], start_m=0.0, end_m=0.0, length_m=miles * MILE_M)

    assert pytest.approx(feet, rel=0.003) == closure.allowed_m / FOOT_M


@pytest.mark.published(CURVATURE)
def test_curvature_is_nothing_on_a_house_pad():
    """60 m: 0.243 mm; 200 ft: 0.000824 ft by 0.0206 F², F in thousands of feet."""
    assert pytest.approx(0.243, abs=1e-4) == 1000 * sight_curvature_m(sight_m=60.0)
    assert pytest.approx(0.000824, abs=1.5e-6) == sight_curvature_m(sight_m=200 * FOOT_M) / FOOT_M


@pytest.mark.published(TWO_PEGS)
def test_two_pegs():
    test = two_peg_test(mid_near_m=1.5, mid_far_m=1.2, close_near_m=1.6, close_far_m=1.33)

    assert pytest.approx((0.3, 0.27, 0.03, 1.3)) == (
        test.true_difference_m,
        test.apparent_difference_m,
        test.error_m,
        test.correct_far_reading_m,
    )


@pytest.mark.published(arithmetic("fall per run"))
def test_a_quarter_inch_to_the_foot():
    """Over 24 ft: 6.0 in., 2.0833 %."""
    book = reduced_book([("top", 1.0, None, None), ("drain", None, None, 1.0 + 0.25 / 12 * 24)], start_m=0.0)

    assert pytest.approx(-6.0 / 12) == book.levels[-1].level_m
    assert pytest.approx(0.020833, abs=1e-6) == 0.25 / 12


def test_a_book_must_begin_with_a_backsight():
    with pytest.raises(OutOfRange, match="backsight"):
        reduced_book([("A", None, 1.0, None)], start_m=0.0)
    with pytest.raises(OutOfRange, match="line 2"):
        reduced_book([("A", 1.0, None, None), ("B", None, None, None)], start_m=0.0)
    with pytest.raises(OutOfRange, match="one backsight and one foresight"):
        level_closure(backsights_m=[1.0], foresights_m=[], start_m=0, end_m=0, length_m=10)
