"""Search for gross errors: a planted bust is found, pinned where it can be and named as unpinned where it cannot."""

import math

import numpy as np
import pytest

from slabwright.solvers.measurements import Kind, Observation
from slabwright.solvers.network import Network
from slabwright.solvers.snooping import CRITICAL_VALUE, NONCENTRALITY, smallest_findable_errors, snooped

SD = 0.002
POINTS = np.array([[0.0, 0.0], [6.0, 0.0], [12.0, 0.0], [12.0, 8.0], [6.0, 8.0], [0.0, 8.0]])
PAIRS = [(i, j) for i in range(6) for j in range(i + 1, 6)]


def taped(points, pairs, rng, busts=()):
    errors = dict(busts)
    values = [math.dist(points[i], points[j]) + rng.normal(0, SD) + errors.get((i, j), 0.0) for i, j in pairs]
    observations = [Observation(kind=Kind.DISTANCE, at=i, to=j, value=value, sd=SD) for (i, j), value in zip(pairs, values, strict=True)]
    return Network(points, np.zeros(len(points), dtype=bool), observations)


def test_limits_are_those_of_the_normal_distribution():
    """3.29 leaves 1 in 1,000 outside; 3.29 + 0.84 = 4.13 is found with a chance of 80 % (both to two decimals)."""
    from scipy.stats import norm

    assert pytest.approx(norm.isf(0.0005), abs=0.005) == CRITICAL_VALUE
    assert pytest.approx(norm.isf(0.0005) + norm.isf(0.2), abs=0.005) == NONCENTRALITY


@pytest.mark.parametrize("seed", range(6))
def test_a_tape_misread_by_a_foot_is_found_and_sized(seed):
    rng = np.random.default_rng(seed)
    bust = PAIRS[seed]
    adjustment, suspects, kept = snooped(taped(POINTS, PAIRS, rng, {bust: 0.3048}.items()))

    assert PAIRS.index(bust) == suspects[0].observation
    assert pytest.approx(0.3048, abs=0.01) == suspects[0].gross_error
    assert () == suspects[0].indistinct
    assert PAIRS.index(bust) not in kept
    assert len(PAIRS) - len(suspects) == len(kept) == len(adjustment.residuals)


def test_two_busts_are_found_one_after_the_other():
    adjustment, suspects, _ = snooped(taped(POINTS, PAIRS, np.random.default_rng(3), {(0, 3): 0.1, (1, 5): -0.05}.items()))

    assert {PAIRS.index((0, 3)), PAIRS.index((1, 5))} == {one.observation for one in suspects}
    assert adjustment.unit_error < 2.0


def test_good_measurements_are_left_alone():
    """With a test at 1 in 1,000 and 15 measurements, false alarms come in about 1.5 % of nets; none in these fifty by seed."""
    alarms = sum(bool(snooped(taped(POINTS, PAIRS, np.random.default_rng(seed)))[1]) for seed in range(50))

    assert alarms <= 3


def test_with_one_spare_measurement_the_bust_cannot_be_pinned_on_one():
    """Six distances among four points have one condition: every standardised residual is the same size."""
    points = POINTS[[0, 2, 3, 5]]
    pairs = [(i, j) for i in range(4) for j in range(i + 1, 4)]
    _, suspects, _ = snooped(taped(points, pairs, np.random.default_rng(1), {(0, 2): 0.05}.items()))

    assert 1 == len(suspects)
    assert {*range(6)} == {suspects[0].observation, *suspects[0].indistinct}


def test_an_error_of_the_findable_size_is_found_four_times_in_five():
    """By its definition; 400 nets, the count has a standard deviation of 8."""
    network = taped(POINTS, PAIRS, np.random.default_rng(0))
    size = smallest_findable_errors(network, network.adjusted())[4]
    rng = np.random.default_rng(8)
    found = 0
    for _ in range(400):
        adjustment = taped(POINTS, PAIRS, rng, {PAIRS[4]: size}.items()).adjusted()
        found += abs(adjustment.standardised[4]) > CRITICAL_VALUE
    assert 0.74 < found / 400 < 0.86


def test_an_unchecked_measurement_has_no_findable_error():
    points = POINTS[[0, 1, 3]]
    network = taped(points, [(0, 1), (1, 2), (0, 2)], np.random.default_rng(0))

    assert np.isinf(smallest_findable_errors(network, network.adjusted())).all()
