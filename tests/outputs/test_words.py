"""Numbers and states in words, against what the trade writes."""

import math
from datetime import date
from decimal import Decimal

import pytest

from slabwright.outputs.numbers import day_text, dimension_text, money_text, percent_text, quantity_text, spelling
from slabwright.outputs.typography import answer_runs, formula_runs, typeset
from slabwright.outputs.words import check_text, line_text, table_text
from slabwright.results.check import Check, State
from slabwright.results.lines import QuantityLine, Trade
from slabwright.results.table import Column, Table
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M, KIP_N, PSF_PA, PSI_PA, Family
from tests.outputs.plans import RULE, TABLE


def check(demand: float, capacity: float, suffix: str = "", **more: object) -> Check:
    return Check(key="k", name="Name", where="pad P1", demand=demand, capacity=capacity, suffix=suffix, clause=TABLE, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "suffix", "us", "si"),
    [
        (1536 * PSF_PA, "pa", "1,536 psf", "73.54 kPa"),
        (3500 * PSI_PA, "pa", "3,500 psi", "24.13 MPa"),
        (0.2 * INCH_M**2, "m2", "0.2 in²", "129 mm²"),
        (1080 * FOOT_M**2, "m2", "1,080 ft²", "100.3 m²"),
        (8.5 * KIP_N, "n", "8.5 kip", "37.81 kN"),
        (0.25 * KIP_N, "n", "250 lb", "1.112 kN"),
        (29 * CUBIC_YARD_M3, "m3", "29 yd³", "22.17 m³"),
        (4.5 * INCH_M, "m", "4 1/2 in", "114 mm"),
        (36 * FOOT_M, "m", "36'-0\"", "10.973 m"),
        (12.0, "", "12", "12"),
    ],
)
def test_quantities_read_in_the_unit_the_trade_uses(value: float, suffix: str, us: str, si: str) -> None:
    """Bearing in psf and stress in psi, bars in square inches and floors in square feet; conversions by hand."""
    assert (us, si) == (quantity_text(value, suffix, Family.US), quantity_text(value, suffix, Family.SI))


def test_a_count_names_the_thing_counted() -> None:
    assert "24 bars" == quantity_text(24, "", Family.US, "bars")
    assert "8.6 %" == quantity_text(0.086, "", Family.US, "%")


def test_numbers_side_by_side_share_one_unit() -> None:
    """A column of depths is all inches; one with a long run is all feet and inches."""
    inches = spelling([4 * INCH_M, 20.5 * INCH_M], "m", Family.US)
    feet = spelling([12 * INCH_M, 36 * FOOT_M], "m", Family.US)

    assert ("in", "20 1/2") == (inches.unit, inches.number(20.5 * INCH_M))
    assert ("", "1'-0\"", "36'-0\"") == (feet.unit, feet.number(12 * INCH_M), feet.number(36 * FOOT_M))


def test_inches_that_are_no_eighths_are_written_in_decimals() -> None:
    """A settlement of 0.32 in is not 3/8 in."""
    written = spelling([0.32 * INCH_M, 1.0 * INCH_M], "m", Family.US)

    assert ("0.32 in", "1.00 in") == (written.with_unit(0.32 * INCH_M), written.with_unit(INCH_M))


@pytest.mark.parametrize(
    ("values", "texts"),
    [
        ((15.5, 5.167, 20.0), ["15.50", "5.17", "20.00"]),
        ((15.5, 5.25, 0.0), ["15.50", "5.25", "0"]),
        ((12.0, 3.0), ["12", "3"]),
        ((0.0002, 1200.0), ["0.0002", "1,200"]),
    ],
)
def test_decimals_of_a_column_stand_under_each_other(values: tuple[float, ...], texts: list[str]) -> None:
    """As many as any of them needs; numbers very far apart each have their own."""
    written = spelling(values, "", Family.SI)

    assert texts == [written.number(value) for value in values]


def test_a_column_of_noughts_has_a_unit_all_the_same() -> None:
    assert ("in", "0") == (spelling([0.0], "m", Family.US).unit, spelling([0.0], "m", Family.US).number(0.0))


def test_sheets_read_in_mils_and_openings_in_inches() -> None:
    """A retarder is 10 mil thick; a joint opens 0.0276 in."""
    assert "10 mil" == spelling([0.010 * INCH_M, 0.006 * INCH_M], "m", Family.US).with_unit(0.010 * INCH_M)
    assert "0.0276 in" == spelling([0.0276 * INCH_M], "m", Family.US).with_unit(0.0276 * INCH_M)


def test_dimensions_on_a_drawing() -> None:
    """Feet and inches to 1/8 in., millimetres without a unit and with a thin gap."""
    assert "16'-6 1/2\"" == dimension_text(5.0419, Family.US)
    assert "12\u202f500" == dimension_text(12.5, Family.SI)


def test_demand_and_limit_share_one_unit() -> None:
    words = check_text(check(972 * PSF_PA, 12_000 * PSF_PA, "pa"), Family.US)

    assert ("6.75 psi", "83.33 psi", "0.08") == (words.demand, words.limit, words.ratio)


def test_a_check_that_just_fails_never_reads_as_if_it_held() -> None:
    """1.0004 m against 1 m: ratio 1.0004, and two different figures."""
    words = check_text(check(1.0004, 1.0, "m"), Family.US)

    assert State.FAILS is words.state
    assert "1.0004" == words.ratio
    assert words.demand != words.limit


def test_spread_is_shown_beside_the_ratio() -> None:
    assert "0.96 ±40 %" == check_text(check(0.96, 1.0, spread=0.4), Family.US).ratio


def test_the_whole_check_in_one_line() -> None:
    line = check_text(check(1536 * PSF_PA, 2000 * PSF_PA, "pa"), Family.US).line

    assert "Name, pad P1: 1,536 psf against 2,000 psf, ratio 0.77, holds (Invented Code 7 table 4.2)" == line


def test_a_table_puts_its_units_into_the_heads() -> None:
    table = Table.of(
        "Pads", ["pad", Column("depth", "m"), Column("pressure", "pa")], [("P1", 14 * INCH_M, 1500 * PSF_PA), ("P2", None, math.nan)]
    )

    head, rows, numeric = table_text(table, Family.US)

    assert ("pad", "depth (in)", "pressure (psf)") == head
    assert (("P1", "14", "1,500"), ("P2", "", "")) == rows
    assert (False, True, True) == numeric


def test_an_empty_table_keeps_its_heads() -> None:
    head, rows, _ = table_text(Table.of("Nothing", ["a", Column("b", "m")], []), Family.SI)

    assert ((), 2) == (rows, len(head))


@pytest.mark.parametrize(("family", "text"), [(Family.US, "132 ft"), (Family.SI, "40.23 m")])
def test_runs_are_ordered_in_whole_feet_or_metres(family: Family, text: str) -> None:
    line = QuantityLine(key="k", item="form", quantity=132 * FOOT_M, suffix="m", trade=Trade.FORMS, basis="", clause=RULE)

    assert text == line_text(line, family)


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("16'-6 1/2\"", "16′-6½″"),
        ("4 1/2 in", "4½ in"),
        ("3/16 in", "³⁄₁₆ in"),
        ("cut 1 1/4 in deep at -3/8 in", "cut 1¼ in deep at −⅜ in"),
        ("120'", "120′"),
        ("6/7/2031 and 24/36", "6/7/2031 and 24/36"),
        ("t/4", "t/4"),
        ('waits for "question 3"', 'waits for "question 3"'),
        ("the 50's", "the 50's"),
        ("2031-04-09, 3-4 in", "2031-04-09, 3-4 in"),
    ],
)
def test_real_fractions_and_primes_on_paper(written: str, printed: str) -> None:
    assert printed == typeset(written)


def test_the_figure_of_an_answer_is_found() -> None:
    assert (("Order ", False), ("29 yd³", True), (".", False)) == answer_runs("Order *29 yd³*.")


def test_subscripts_of_a_formula_are_found() -> None:
    assert (("V", False), ("c", True), (" = √(f", False), ("c", True), (") · b", False)) == formula_runs("V_c = √(f_c) · b")


def test_money_percent_and_days() -> None:
    assert ("$1,234.50", "GBP 3.00", "-$2.00") == (
        money_text(Decimal("1234.5"), "$"),
        money_text(Decimal(3), "GBP"),
        money_text(Decimal(-2), "$"),
    )
    assert ("8.6 %", "") == (percent_text(0.086), percent_text(0.0))
    assert ("April 9, 2031", "9 April 2031", "not dated") == (
        day_text(date(2031, 4, 9), Family.US),
        day_text(date(2031, 4, 9), Family.SI),
        day_text(None, Family.SI),
    )
