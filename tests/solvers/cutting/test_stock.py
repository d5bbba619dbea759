"""Cutting stock: published optima, exact duals, brute force, and plans that cut each piece once."""

import math
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from slabwright.errors import Infeasible, OutOfRange
from slabwright.solvers.cutting.plan import CutPlan, Stock, rounded_up, whole_units
from slabwright.solvers.cutting.stock import cut_stock, first_fit_decreasing

from . import published_instances as published


def assert_sound(plan: CutPlan, lengths: Sequence[int], demands: Sequence[int], stock: Sequence[Stock], kerf: int = 0) -> None:
    """Every piece once, every pattern within its stock, the cost as charged, the bound below it."""
    made = Counter()
    for pattern in plan.patterns:
        n = sum(pattern.counts)
        used = sum(count * length for count, length in zip(pattern.counts, lengths, strict=True)) + (n - 1) * kerf
        assert used <= stock[pattern.stock].length
        assert n > 0 < pattern.times
        for kind, count in enumerate(pattern.counts):
            made[kind] += count * pattern.times

    assert list(demands) == [made[kind] for kind in range(len(demands))]
    assert sum(stock[pattern.stock].price * pattern.times for pattern in plan.patterns) == plan.cost
    assert plan.bound <= plan.cost


@pytest.mark.published(published.PAPER_MACHINE)
def test_paper_machine_needs_73_rolls():
    """5600 mm masters, 13 widths: 72.7 rolls by length, 73 by proof, 0.401 % waste; as printed."""
    widths, demands = published.PAPER_WIDTHS, published.PAPER_DEMANDS
    plan = cut_stock(widths, demands, [Stock(5600)])
    total = sum(width * demand for width, demand in zip(widths, demands, strict=True))

    assert (73, 73) == (plan.cost, plan.bound)
    assert 407160 == total
    assert pytest.approx(0.401, abs=0.0005) == 100 * (1 - total / (5600 * plan.n_stock))
    assert_sound(plan, widths, demands, [Stock(5600)])


@pytest.mark.published(published.CHVATAL)
def test_textbook_raws():
    """Raws of 100 in., finals of 45, 36, 31 and 14: linear program 452.25, whole numbers 453."""
    lengths, demands = (45, 36, 31, 14), (97, 610, 395, 211)
    plan = cut_stock(lengths, demands, [Stock(100)])

    assert (453, 453) == (plan.cost, plan.bound)
    assert_sound(plan, lengths, demands, [Stock(100)])


@pytest.mark.published(published.BPPLIB)
@pytest.mark.parametrize("name", published.BINS)
def test_library_of_bins(name):
    """Fewest bins as the library's bound table states them; the second of the pair is our proof."""
    capacity, items, fewest, first_fit = published.BINS[name]
    tally = Counter(items)
    lengths, demands = list(tally), list(tally.values())
    plan = cut_stock(lengths, demands, [Stock(capacity)])

    assert (fewest, fewest) == (plan.cost, plan.bound)
    assert_sound(plan, lengths, demands, [Stock(capacity)])
    if first_fit is not None:
        assert first_fit == first_fit_decreasing(lengths, demands, [Stock(capacity)]).cost


@pytest.mark.published(published.DOSA)
@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 30), min_size=1, max_size=25))
def test_first_fit_decreasing_keeps_its_promise(items):
    """At most 11/9 of the optimum plus 6/9; 20 bins allow 25, 48 allow 59, 16 allow 20."""
    tally = Counter(items)
    best = cut_stock(list(tally), list(tally.values()), [Stock(30)]).cost
    first_fit = first_fit_decreasing(list(tally), list(tally.values()), [Stock(30)]).cost

    assert best <= first_fit <= math.floor(11 / 9 * best + 6 / 9)
    assert [25, 59, 20] == [math.floor((11 * n + 6) / 9) for n in (20, 48, 16)]


def test_a_saw_cut_takes_its_share():
    """Four pieces of 5 and three cuts of 0.01 are 20.03, more than 20; arithmetic."""
    lengths, _ = whole_units([20.0, 5.0, 0.01])

    assert 2 == cut_stock([lengths[1]], [4], [Stock(lengths[0])], kerf=lengths[2]).cost
    assert 1 == cut_stock([lengths[1]], [4], [Stock(lengths[0])]).cost


def test_mixed_stock_goes_by_price():
    """Six pieces of 7 ft: 14 ft each from 20 ft bars (three at 10) or 21 ft from 40 ft bars... by hand.

    A 20 ft bar holds two pieces, a 40 ft bar five, so three short bars cost 30, one long and one short 25 + 10.
    """
    assert 30 == cut_stock([7], [6], [Stock(20, 10), Stock(40, 25)]).cost
    assert 31 == cut_stock([7], [6], [Stock(20, 11), Stock(40, 20)]).cost


def by_constraint_solver(lengths: Sequence[int], demands: Sequence[int], stock: Sequence[Stock]) -> int:
    """Least cost by a general solver over bars, no columns: an independent statement of the problem."""
    model = cp_model.CpModel()
    most = sum(demands)
    bars = [(one, bar) for one in range(len(stock)) for bar in range(most)]
    used = {key: model.new_bool_var(f"u{key}") for key in bars}
    takes = {(kind, key): model.new_int_var(0, demands[kind], f"x{kind}{key}") for kind in range(len(lengths)) for key in bars}
    for kind, demand in enumerate(demands):
        model.add(sum(takes[kind, key] for key in bars) == demand)
    for key in bars:
        model.add(sum(lengths[kind] * takes[kind, key] for kind in range(len(lengths))) <= stock[key[0]].length * used[key])
    model.minimize(sum(stock[one].price * used[one, bar] for one, bar in bars))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 20
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_small_problems_agree_with_a_general_solver(data):
    """Mixed stock and prices; optimum and proof equal those of a constraint solver."""
    lengths = data.draw(st.lists(st.integers(2, 12), min_size=1, max_size=3, unique=True))
    demands = data.draw(st.lists(st.integers(0, 2), min_size=len(lengths), max_size=len(lengths)))
    stock = [Stock(12, data.draw(st.integers(8, 14))), Stock(data.draw(st.integers(13, 20)), data.draw(st.integers(12, 24)))]
    plan = cut_stock(lengths, demands, stock)

    assert_sound(plan, lengths, demands, stock)
    assert plan.cost == (by_constraint_solver(lengths, demands, stock) if any(demands) else 0)
    assert plan.is_optimal


@settings(max_examples=30, deadline=None)
@given(st.data())
def test_every_plan_cuts_each_piece_once(data):
    """Sizes of real bar lists; the gap never above one stock length."""
    lengths = data.draw(st.lists(st.integers(300, 6000), min_size=1, max_size=14, unique=True))
    demands = data.draw(st.lists(st.integers(0, 40), min_size=len(lengths), max_size=len(lengths)))
    stock = [Stock(6000), Stock(12000, 2)]
    kerf = data.draw(st.sampled_from([0, 3]))
    plan = cut_stock(lengths, demands, stock, kerf=kerf)

    assert_sound(plan, lengths, demands, stock, kerf)
    assert plan.cost - plan.bound <= 1


def test_nothing_wanted_costs_nothing():
    plan = cut_stock([5, 6], [0, 0], [Stock(10)])

    assert (0, 0, ()) == (plan.cost, plan.bound, plan.patterns)


def test_a_piece_longer_than_any_stock_is_refused():
    with pytest.raises(Infeasible, match="longer than the longest stock length of 10"):
        cut_stock([11], [1], [Stock(10)])


@pytest.mark.parametrize(("lengths", "demands"), [([0], [1]), ([-3], [1]), ([4], [-1]), ([4], [1, 2])])
def test_lengths_and_counts_without_meaning_are_refused(lengths, demands):
    with pytest.raises(OutOfRange):
        cut_stock(lengths, demands, [Stock(10)])


@pytest.mark.parametrize(("bound", "prices", "sum_of_prices"), [(31, (10, 26), 36), (53, (10, 26), 56), (41, (10,), 50), (7, (4, 6, 9), 8)])
def test_a_bound_is_rounded_up_to_what_the_prices_add_up_to(bound, prices, sum_of_prices):
    """By hand: 36 = 10 + 26, for 30 is too little and 40 more; 56 = 3 x 10 + 26; 8 = 4 + 4."""
    assert sum_of_prices == rounded_up(Fraction(bound), prices)
