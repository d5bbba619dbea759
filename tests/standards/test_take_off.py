"""Counting by hand: exercises and worked cases, with the slips their printed answers make."""

import pytest

from slabwright.errors import Infeasible, OutOfRange
from slabwright.sources import Basis, Clause, Source
from slabwright.standards import take_off, take_off_bars
from slabwright.standards.astm_a615 import bar_of_number
from slabwright.standards.take_off import chair_count, chairs_by_area, roll_count, rolls_by_area, sheet_count
from slabwright.standards.take_off_bars import bar_spacing, lapped_run, stock_cutting

from .us import FT, IN

FORTY_DIAMETERS = Clause(
    Source("lap article", "Web article on typical minimum overlaps of bars"), "40 diameters, 1/2 in. bar: 20 in.", Basis.TEXT_SEEN
)
MESH_PRACTICE = take_off.SHEETS


@pytest.mark.published(take_off_bars.BAR_COUNT)
def test_bars_are_one_more_than_spaces():
    """83 ft at 12 in. with 2 in. cover: 992 in. clear, 82.67 -> 83 spaces, 84 bars. The printed answer stops at 83."""
    found = bar_spacing(width_m=83 * FT, cover_m=2 * IN, largest_spacing_m=12 * IN)

    assert (83, 84) == (found.n_spaces, found.n_bars)
    assert pytest.approx(992 / 83) == found.spacing_m / IN


@pytest.mark.published(take_off_bars.BAR_COUNT)
def test_bars_both_ways():
    """100 x 83 ft, No.4 at 12 in., 2 in. cover: 84 and 101 bars, 16,721 ft net, 12,287 lb with 10 % at 0.668 lb/ft.

    By hand: 84 x 99.667 + 101 x 82.667 = 8,372.0 + 8,349.3 ft.
    """
    long_bars = bar_spacing(width_m=83 * FT, cover_m=2 * IN, largest_spacing_m=12 * IN).n_bars
    short_bars = bar_spacing(width_m=100 * FT, cover_m=2 * IN, largest_spacing_m=12 * IN).n_bars
    net_ft = long_bars * (100 - 4 / 12) + short_bars * (83 - 4 / 12)
    pounds = 1.1 * net_ft * FT * bar_of_number(number=4).mass_kg_m / 0.45359237

    assert (84, 101) == (long_bars, short_bars)
    assert pytest.approx(16721.333, abs=0.01) == net_ft
    assert pytest.approx(12286.8, abs=0.5) == pounds


@pytest.mark.published(take_off_bars.LAPPED_RUN)
def test_a_run_of_lapped_bars():
    """100 ft in 20 ft bars lapped 2 ft: (100 - 2)/18 = 5.44, six bars, 110 ft of steel."""
    found = lapped_run(length_m=100 * FT, stock_length_m=20 * FT, lap_m=2 * FT)

    assert 6 == found.n_bars
    assert pytest.approx(110.0) == found.steel_m / FT


@pytest.mark.published(take_off_bars.LAPPED_RUN)
def test_a_footing_of_four_sides():
    """Runs of 39.5 and 23.5 ft, 25 in. laps: 3 and 2 bars, 43.667 and 25.583 ft, closers of 3.667 and 5.583 ft.

    Four of each are 277 ft or 288.9 lb of No.5; the closers go two and two into a bar, so 8 + 4 whole bars and 2 more.
    """
    runs = [lapped_run(length_m=length * FT, stock_length_m=20 * FT, lap_m=25 * IN) for length in (39.5, 23.5)]
    closers = [run.closing_m for run in runs]
    plan = stock_cutting(lengths_m=[20 * FT, *closers], counts=[12, 4, 4], stock_m=[20 * FT])

    assert [3, 2] == [run.n_bars for run in runs]
    assert pytest.approx([43.6667, 25.5833], abs=1e-4) == [run.steel_m / FT for run in runs]
    assert pytest.approx([3.6667, 5.5833], abs=1e-4) == [closing / FT for closing in closers]
    assert pytest.approx(277.0, abs=0.001) == sum(4 * run.steel_m / FT for run in runs)
    assert pytest.approx(288.9, abs=0.1) == 277.0 * bar_of_number(number=5).mass_kg_m * FT / 0.45359237
    assert (14, 14.0, 14.0) == (plan.n_stock, plan.cost, plan.least_cost)


@pytest.mark.published(take_off_bars.LAPPED_RUN)
def test_a_closed_ring():
    """140 ft round, 20 ft bars, 29 in. laps: 140/(20 - 29/12) = 7.96, eight bars; worked by hand."""
    assert 8 == lapped_run(length_m=140 * FT, stock_length_m=20 * FT, lap_m=29 * IN, closed=True).n_bars


@pytest.mark.published(FORTY_DIAMETERS)
@pytest.mark.parametrize(("number", "lap_in"), [(4, 20.0), (5, 25.0)])
def test_forty_diameters(number, lap_in):
    """Arithmetic on the bar table; the code's lap is the engineer's."""
    assert pytest.approx(lap_in) == 40 * bar_of_number(number=number).diameter_m / IN


@pytest.mark.published(take_off.ROLLS_BY_AREA)
def test_mesh_rolls_by_area():
    """8,300 ft² and 12 % from rolls of 750 ft²: 12.395, 13 rolls. The printed answer counts both faces and gets 25."""
    found = rolls_by_area(area_m2=8300 * FT**2, roll_area_m2=750 * FT**2, allowance=0.12)

    assert 13 == found.n_rolls
    assert pytest.approx(12.395, abs=0.001) == found.exact


@pytest.mark.published(MESH_PRACTICE)
def test_mesh_sheets_both_ways():
    """40 x 24 ft, 2 in. cover, sheets of 5 x 10 ft, 8 in. laps: 6 x 5 = 30 or 3 x 9 = 27; worked by hand.

    (39.6667 - 0.6667)/(5 - 0.6667) is 9 exactly; ten rows would be a float's mistake.
    """
    found = sheet_count(length_m=40 * FT, width_m=24 * FT, sheet_length_m=10 * FT, sheet_width_m=5 * FT, lap_m=8 * IN, cover_m=2 * IN)

    assert (27, 30) == (found.n_sheets, found.n_sheets_other_way)
    assert (9, 3) == (found.rows, found.sheets_a_row)


@pytest.mark.published(take_off.STRIPS)
def test_membrane_strips():
    """100 x 83 ft, rolls 10 x 100 ft, 1 ft laps: 10 strips of one roll each; 11 the other way."""
    found = roll_count(length_m=100 * FT, width_m=83 * FT, roll_width_m=10 * FT, roll_length_m=100 * FT, lap_m=1 * FT)

    assert (10, 11, 10) == (found.n_strips, found.n_strips_other_way, found.n_rolls)


def test_strips_longer_and_shorter_than_a_roll():
    """By hand: strips of 150 ft from 100 ft rolls take a roll and 51 ft; of 40 ft two to a roll."""
    long = roll_count(length_m=150 * FT, width_m=20 * FT, roll_width_m=10.5 * FT, roll_length_m=100 * FT, lap_m=1 * FT)
    short = roll_count(length_m=40 * FT, width_m=20 * FT, roll_width_m=10.5 * FT, roll_length_m=100 * FT, lap_m=1 * FT)

    assert (2, 4) == (long.n_strips, long.n_rolls)
    assert (2, 1) == (short.n_strips, short.n_rolls)


@pytest.mark.published(take_off.CHAIRS_BY_AREA)
@pytest.mark.parametrize(("area_ft2", "chairs"), [(600, 24), (1210, 49)])
def test_a_chair_to_25_square_feet(area_ft2, chairs):
    assert chairs == chairs_by_area(area_m2=area_ft2 * FT**2)


def test_chairs_in_a_grid():
    """A mat of 10 x 6 ft at 2 ft: 6 x 4 = 24; at 2.1 ft the spaces are no wider than asked, 6 x 4 again; by hand."""
    assert 24 == chair_count(length_m=10 * FT, width_m=6 * FT, spacing_m=2 * FT)
    assert 24 == chair_count(length_m=10 * FT, width_m=6 * FT, spacing_m=2.1 * FT)


def test_stock_cutting_by_price():
    """Six pieces of 7 ft: three bars of 20 ft at 11 are 33, one of 20 and one of 40 ft at 20 are 31; by hand."""
    found = stock_cutting(lengths_m=[7 * FT], counts=[6], stock_m=[20 * FT, 40 * FT], prices=[11, 20])

    assert (2, 31.0, 31.0) == (found.n_stock, found.cost, found.least_cost)
    assert pytest.approx(1 - 42 / 60) == found.wasted
    assert "1 x (5) from stock 2" in found.patterns


def test_a_saw_cut_counts():
    """Four pieces of 5 and three cuts of 0.01 do not come out of 20."""
    assert 2 == stock_cutting(lengths_m=[5.0], counts=[4], stock_m=[20.0], kerf_m=0.01).n_stock
    assert 1 == stock_cutting(lengths_m=[5.0], counts=[4], stock_m=[20.0]).n_stock


def test_what_cannot_be_is_refused():
    with pytest.raises(OutOfRange, match="longer than its lap"):
        roll_count(length_m=10, width_m=10, roll_width_m=0.2, roll_length_m=30, lap_m=0.3)
    with pytest.raises(OutOfRange, match="cover leaves no floor"):
        sheet_count(length_m=1, width_m=1, sheet_length_m=6, sheet_width_m=2.4, lap_m=0.2, cover_m=0.5)
    with pytest.raises(OutOfRange, match="cover is larger"):
        bar_spacing(width_m=0.1, cover_m=0.075, largest_spacing_m=0.3)
    with pytest.raises(Infeasible, match="longer than the longest stock"):
        stock_cutting(lengths_m=[7.0], counts=[1], stock_m=[6.0])
    with pytest.raises(OutOfRange, match="one price for each"):
        stock_cutting(lengths_m=[7.0], counts=[1], stock_m=[8.0], prices=[1, 2])
