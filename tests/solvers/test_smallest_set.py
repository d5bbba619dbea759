"""The cheapest few types against brute force over everything, and the two ways of searching against each other."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from slabwright.errors import Infeasible
from slabwright.solvers import smallest_set as module
from slabwright.solvers.smallest_set import smallest_set

costs = hnp.arrays(
    float, st.tuples(st.integers(1, 7), st.integers(1, 6)), elements=st.one_of(st.integers(1, 9).map(float), st.just(float("inf")))
)


def brute(cost, n):
    """Least cost over every set of up to n columns."""
    sets = (one for size in range(1, n + 1) for one in combinations(range(cost.shape[1]), size))
    return min((cost[:, list(one)].min(axis=1).sum() for one in sets), default=float("inf"))


@settings(max_examples=120, deadline=None)
@given(costs, st.integers(1, 3))
def test_the_choice_is_the_cheapest_of_all(cost, n):
    """Every set of columns tried by hand; where none serves everybody it is said."""
    expected = brute(cost, n)
    if not np.isfinite(expected):
        with pytest.raises(Infeasible):
            smallest_set(cost, n)
        return
    found = smallest_set(cost, n)

    assert expected == found.cost
    assert len(found.types) <= n
    assert found.cost == sum(cost[member, column] for member, column in enumerate(found.choice))


@settings(max_examples=30, deadline=None)
@given(costs, st.integers(1, 3))
def test_the_integer_programme_agrees_with_the_search(cost, n):
    """Both ways reach the same cost."""
    cost = cost[np.isfinite(cost).any(axis=1)]
    if not len(cost):
        return
    counts = np.ones(len(cost), dtype=np.int64)
    searched, solved = module._searched(cost, counts, min(n, cost.shape[1])), module._solved(cost, counts, min(n, cost.shape[1]))

    assert (searched is None) == (solved is None)
    if searched is not None and solved is not None:
        assert pytest.approx(cost[:, list(searched)].min(axis=1).sum()) == cost[:, list(solved)].min(axis=1).sum()


def test_more_types_never_cost_more():
    cost = np.random.default_rng(5).uniform(1, 9, (40, 25))
    totals = [smallest_set(cost, n).cost for n in (1, 2, 3)]

    assert sorted(totals, reverse=True) == totals


def test_a_member_that_fits_nothing_is_named():
    with pytest.raises(Infeasible, match="member 1"):
        smallest_set(np.array([[1.0], [np.inf]]), 1)
