"""Rows over a breadth: hand counts, exactness against trying everything."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import Infeasible, OutOfRange
from slabwright.solvers.covering import cover_with_rows, fewest_rows
from slabwright.sources import Basis, Clause, Source

EXERCISE = Clause(Source("estimating exercise", "Estimating-fundamentals course exercise"), "membrane, subtract the lap", Basis.QUOTED)
HAND = Clause(Source("arithmetic", "Exact mathematics or arithmetic on the job's own figures."), "lapped strips", Basis.DERIVED)


@pytest.mark.published(HAND)
@pytest.mark.parametrize(("breadth", "n", "covered"), [(24, 3, 29.0), (83, 9, 86.0), (9.5, 1, 10.0), (10, 1, 10.0)])
def test_lapped_strips_count_as_in_one_dimension(breadth, n, covered):
    """Strips of 10 with laps of 0.5: n = ceil((W - l)/(w - l)) and they cover n(w - l) + l."""
    assert n == fewest_rows(breadth, 10, 0.5)
    assert covered == n * 9.5 + 0.5 >= breadth


@pytest.mark.published(EXERCISE)
def test_membrane_over_100_by_83_feet():
    """Rolls of 10 ft with 1 ft laps: 10 strips along the 100 ft, 11 the other way."""
    assert (10, 11) == (fewest_rows(83, 10, 1), fewest_rows(100, 10, 1))


@pytest.mark.published(HAND)
def test_an_exact_fit_takes_no_row_more():
    """(39.6667 - 0.6667)/(5 - 0.6667) is 9 exactly, and a float above it by its last digit."""
    assert 9 == fewest_rows(40 - 4 / 12, 5, 8 / 12)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_rows_are_the_cheapest_there_are(data):
    """Every choice of starts tried, on small breadths."""
    lap, high = data.draw(st.sampled_from([0.0, 1.0])), data.draw(st.integers(3, 11))
    starts = data.draw(st.lists(st.integers(-3, high), min_size=1, max_size=9))
    widths = [data.draw(st.sampled_from([2.0, 4.0])) for _ in starts]
    cost = st.integers(0, 9)
    rows = [data.draw(cost) for _ in starts]
    seams = [data.draw(cost) for _ in starts]

    def covers(chosen: tuple[int, ...]) -> bool:
        spans = [(starts[i], starts[i] + widths[i]) for i in chosen]
        laps = all(a <= c <= b - lap and b < d for (a, b), (c, d) in pairwise(spans))
        return spans[0][0] <= 0 and spans[-1][1] >= high and laps

    order = sorted(range(len(starts)), key=lambda i: (starts[i], starts[i] + widths[i]))
    choices = [c for n in range(1, len(starts) + 1) for c in combinations(order, n) if covers(c)]
    best = min((sum(rows[i] for i in c) + sum(seams[i] for i in c[1:]) for c in choices), default=None)
    if best is None:
        with pytest.raises(Infeasible):
            cover_with_rows(0, high, lap=lap, starts=starts, widths=widths, row_costs=rows, seam_costs=seams)
        return
    found = cover_with_rows(0, high, lap=lap, starts=starts, widths=widths, row_costs=rows, seam_costs=seams)

    assert best == found.cost
    assert covers(found.chosen)


def test_a_roll_narrower_than_its_lap_is_refused():
    with pytest.raises(OutOfRange, match="not wider than its lap"):
        fewest_rows(10, 0.5, 0.6)


def test_rows_with_equal_costs_are_the_fewest():
    starts = np.arange(0, 21) * 0.5
    found = cover_with_rows(0, 10, lap=0.5, starts=starts, widths=np.full(21, 3.0), row_costs=np.ones(21), seam_costs=np.zeros(21))

    assert fewest_rows(10, 3, 0.5) == len(found.chosen) == found.cost
