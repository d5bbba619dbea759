"""The random numbers of the kernels: published outputs, moments, independence of neighbours."""

import numba as nb
import numpy as np
import pytest
from scipy.stats import expon, kstest, norm

from slabwright.solvers.light_random import exponential, mixed, next_word, normal, uniform


def stream(word):
    return np.array([word], dtype=np.uint64)


def test_published_outputs():
    """First five words of stream 1234567, as public lists of test vectors of this generator print them; from memory."""
    one = stream(1234567)

    assert [
        6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821,
    ] == [int(next_word(one)) for _ in range(5)]  # fmt: skip


@nb.njit
def many_normals(word, n):
    one, drawn = np.array([word], dtype=np.uint64), np.empty(n)
    for k in range(n):
        drawn[k] = normal(one)
    return drawn


@pytest.mark.parametrize("seed", [0, 20260])
def test_normal_numbers_are_normal(seed):
    """Kolmogorov and Smirnov at 1 in 1000, and neighbours without likeness."""
    drawn = many_normals(np.uint64(seed), 1_000_000)

    assert kstest(drawn, norm.cdf).pvalue > 1e-3
    assert abs(np.corrcoef(drawn[:-1], drawn[1:])[0, 1]) < 0.004
    assert pytest.approx((0.0, 1.0, 0.0, 3.0), abs=0.02) == (drawn.mean(), drawn.var(), (drawn**3).mean(), (drawn**4).mean())


@pytest.mark.parametrize("beyond", [1.0, 2.0, 3.0, 3.442619855899, 4.0])
def test_tails_hold_as_many_as_the_law_says(beyond):
    """On both sides, within four standard errors of the count; the layers end at 3.44."""
    drawn = many_normals(np.uint64(5), 2_000_000)
    for count in ((drawn > beyond).sum(), (drawn < -beyond).sum()):
        expected = 2_000_000 * norm.sf(beyond)
        assert abs(count - expected) < 4 * np.sqrt(expected)


def test_uniform_and_exponential_numbers():
    one = stream(7)
    flat = np.array([uniform(one) for _ in range(20_000)])
    waits = np.array([exponential(one, 2.0) for _ in range(20_000)])

    assert kstest(flat, "uniform").pvalue > 1e-3
    assert kstest(waits, expon(scale=2.0).cdf).pvalue > 1e-3
    assert 0.0 < flat.min() and flat.max() <= 1.0


def test_neighbouring_streams_are_strangers():
    """First uniform number of 20,000 streams one after the other, as days are given them."""
    first = np.array([uniform(stream(mixed(np.uint64(number)))) for number in range(20_000)])

    assert kstest(first, "uniform").pvalue > 1e-3
    assert abs(np.corrcoef(first[:-1], first[1:])[0, 1]) < 0.03
